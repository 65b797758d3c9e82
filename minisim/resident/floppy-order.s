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
