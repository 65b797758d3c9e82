; What both floppy drivers share: asking and ending, their words, and where a logical sector lies.

asked:  TSTB (R4)               ; the next parameter is asked for
        BMI  1$
        BIT  #40,(R4)           ; or it has ended already
        BEQ  asked
1$:     RTS  PC

end:    BIT  #40,(R4)
        BEQ  end
        TST  (R4)
        BMI  1$
        CLC
        RTS  PC
1$:     SEC
        RTS  PC

unit:   .word 0
drive:  .word 0
way:    .word 0
sector: .word 0
left:   .word 0

; Where a logical sector of an eight-inch diskette lies: number in R2, gives the track in R3 and the sector in R2.
;
; Two sectors further each time, six more on each next track, track 0 is left out [sector-map-posts].

place:  CLR  R3
1$:     INC  R3                 ; tracks count from 1
        SUB  #26.,R2
        BHIS 1$
        ADD  #26.,R2
        ASL  R2                 ; every other sector
        CMP  R2,#26.
        BLO  2$
        SUB  #25.,R2            ; then those between
2$:     MOV  R3,R5
        DEC  R5
3$:     DEC  R5
        BMI  5$
        ADD  #6,R2              ; six further on each track
        CMP  R2,#26.
        BLO  3$
        SUB  #26.,R2
        BR   3$
5$:     INC  R2                 ; sectors count from 1
        RTS  PC
