; Prints the tide table of one day: time and height of every high and low water.  Needs the base set only.
; Assemble with constituents.s behind this file.
;
; How a height is worked out, exactly (words of 16 bits, "high word" and "low word" of 32 bits; / drops the rest):
;
;   A whole turn of a constituent is 2^32.  At minute 0 its phase has the high word
;       40000 - (lag * 18. + lag * 13398. / 2^16)       (a quarter turn makes a cosine of the sine; 65536/3600 = 18.2044)
;   and the low word 0; every minute the phase grows by
;       speed * 198. + speed * 55121. / 2^16            (2^32 / 21600000 = 198.84108)
;
;   Sine of a phase: its high word counts.  Bit 15 is the sign; bit 14 says that the quarter is run through backwards;
;   the place p in the quarter is bits 13:0, or 40000 less those bits where bit 14 is set.  With i = p / 256. and
;   f = the rest, the sine is
;       sines[i] + (sines[i+1] - sines[i]) * f / 256.   (100000 is 1)
;
;   The level is mean * 2^15 + sum of amplitude * sine, signed, in 2^-15 mm.
;
; A high water is the first of the highest levels since the last low water, and it counts once the level has fallen by
; 20 mm (10. in the high word); low waters likewise.  At the beginning either may come first.  What lies at minute 0 is
; no turn, and minutes from 1440. on belong to the next day; they are looked at only to make the last turn certain.
;
; Each minute of the table waits for a tick of the line clock, so at 60 Hz a day takes 26 seconds.

receive  = 177560               ; console: receive status; transmit status and data follow
transmit = receive+4
clock    = 177546
day      = 1440.
last     = 1560.                ; two hours into the next day
fall     = 10.
work     = 20000                ; behind everything: a record for each constituent
amplitude = 0                   ; words of such a record
phase    = 2
step     = 6
record   = 12

        . = 100
        .word tick, 300         ; line clock: level 6

        . = 1000
start:  MOV  #start,SP
        CLR  -(SP)              ; RTI lowers the level on every processor, PS register or not
        MOV  #1$,-(SP)
        RTI
1$:     JSR  PC,prepare
        MOV  #head,R0
        JSR  PC,print
        MOV  #station,R0
        JSR  PC,print
        MOV  #for,R0
        JSR  PC,print
        MOV  #date,R0
        JSR  PC,print
        MOV  #above,R0
        JSR  PC,print
        MOV  #100,@#clock
        CLR  minute
        CLR  way
        JSR  PC,height
        MOV  #level,R3
        MOV  #top,R2
        JSR  PC,keep
        MOV  #level,R3
        MOV  #bottom,R2
        JSR  PC,keep
2$:     INC  minute
        JSR  PC,pause
        JSR  PC,height
        JSR  PC,turn
        CMP  minute,#last
        BLO  2$
        MOV  #tail,R0
        JSR  PC,print
        MOV  #10.,R5            ; the last character needs time to leave the line
3$:     JSR  PC,pause
        DEC  R5
        BNE  3$
        CLR  @#clock
        HALT

; --- line clock

tick:   INC  ticks
        MOV  #100,@#clock       ; clears the monitor bit where there is one
        RTI

pause:  TST  ticks
        BNE  1$
        WAIT
        BR   pause
1$:     CLR  ticks
        RTS  PC

; --- the table of constituents becomes a record each: amplitude, phase, step (32 bits, high word first)

prepare: MOV #parts,R4
        MOV  #work,R5
1$:     MOV  (R4)+,(R5)
        BEQ  2$
        MOV  2(R4),R0           ; lag
        MOV  #18.,R1
        JSR  PC,multiply
        MOV  R1,-(SP)
        MOV  2(R4),R0
        MOV  #13398.,R1
        JSR  PC,multiply
        ADD  (SP)+,R0
        MOV  #40000,R1
        SUB  R0,R1
        MOV  R1,phase(R5)
        CLR  phase+2(R5)
        MOV  (R4),R0            ; speed
        MOV  #55121.,R1
        JSR  PC,multiply
        MOV  R0,-(SP)
        MOV  (R4),R0
        MOV  #198.,R1
        JSR  PC,multiply
        ADD  (SP)+,R1
        ADC  R0
        MOV  R0,step(R5)
        MOV  R1,step+2(R5)
        CMP  (R4)+,(R4)+
        ADD  #record,R5
        BR   1$
2$:     RTS  PC

; --- level of this minute; every phase moves on to the next minute

height: MOV  mean,R0
        CLR  R1
        CLC
        ROR  R0
        ROR  R1
        MOV  R0,level
        MOV  R1,level+2
        MOV  #work,R5
1$:     MOV  (R5),R4
        BEQ  4$
        MOV  phase(R5),R0
        JSR  PC,sine
        MOV  R4,R1
        JSR  PC,multiply
        TST  phase(R5)
        BMI  2$
        ADD  R1,level+2
        ADC  level
        ADD  R0,level
        BR   3$
2$:     SUB  R1,level+2
        SBC  level
        SUB  R0,level
3$:     ADD  step+2(R5),phase+2(R5)
        ADC  phase(R5)
        ADD  step(R5),phase(R5)
        ADD  #record,R5
        BR   1$
4$:     RTS  PC

; --- R0: high word of a phase in, size of its sine out, 0 to 100000; the sign is bit 15 of the phase

sine:   MOV  R0,R1
        BIC  #140000,R1
        BIT  #40000,R0
        BEQ  1$
        SUB  #40000,R1
        NEG  R1
1$:     MOV  R1,R2
        BIC  #177400,R1
        BIC  #377,R2
        SWAB R2
        ASL  R2
        MOV  sines(R2),-(SP)
        MOV  sines+2(R2),R0
        SUB  (SP),R0
        JSR  PC,multiply
        SWAB R0                 ; the middle two bytes of the product
        SWAB R1
        BIC  #177400,R1
        BIS  R1,R0
        ADD  (SP)+,R0
        RTS  PC

; --- R0 times R1, without sign: high word to R0, low word to R1; R2 and R3 are lost

multiply: MOV R0,R2
        MOV  #16.,R3
        CLR  R0
        CLC
        ROR  R1
1$:     BCC  2$
        ADD  R2,R0
2$:     ROR  R0
        ROR  R1                 ; a bit of the product in, the next bit of the factor out
        DEC  R3                 ; leaves C alone
        BNE  1$
        RTS  PC

; --- R0 by R1, without sign: quotient to R0, rest to R1; R2 is lost

divide: MOV  R0,R2
        CLR  R0
1$:     CMP  R2,R1
        BLO  2$
        SUB  R1,R2
        INC  R0
        BR   1$
2$:     MOV  R2,R1
        RTS  PC

; --- has the tide turned?

turn:   MOV  #top,R2
        MOV  #level,R3
        JSR  PC,less
        BPL  1$
        JSR  PC,keep            ; higher than ever since the last low water
        BR   2$
1$:     CMP  R0,#fall
        BLT  2$
        TST  way
        BMI  2$
        MOV  #-1,way
        MOV  #high,R5
        MOV  #top,R4
        JSR  PC,row
        MOV  #bottom,R2
        MOV  #level,R3
        JSR  PC,keep
2$:     MOV  #level,R2
        MOV  #bottom,R3
        JSR  PC,less
        BPL  3$
        MOV  #bottom,R2
        MOV  #level,R3
        JSR  PC,keep
        RTS  PC
3$:     CMP  R0,#fall
        BLT  4$
        TST  way
        BGT  4$
        MOV  #1,way
        MOV  #low,R5
        MOV  #bottom,R4
        JSR  PC,row
        MOV  #top,R2
        MOV  #level,R3
        JSR  PC,keep
4$:     RTS  PC

; --- R0, R1: the level at (R2) less the level at (R3); N is its sign

less:   MOV  (R2),R0
        MOV  2(R2),R1
        SUB  2(R3),R1
        SBC  R0
        SUB  (R3),R0
        RTS  PC

; --- level and minute at (R3) to (R2)

keep:   MOV  (R3)+,(R2)+
        MOV  (R3)+,(R2)+
        MOV  (R3)+,(R2)+
        RTS  PC

; --- a row of the table: word at R5, level and minute at R4

row:    TST  4(R4)
        BEQ  5$
        CMP  4(R4),#day
        BHIS 5$
        MOV  R5,R0
        JSR  PC,print
        MOV  4(R4),R0
        MOV  #60.,R1
        JSR  PC,divide
        MOV  R1,-(SP)
        JSR  PC,two
        MOV  #':,R0
        JSR  PC,put
        MOV  (SP)+,R0
        JSR  PC,two
        MOV  #40,R0
        JSR  PC,put
        MOV  (R4),R0            ; to whole mm
        MOV  2(R4),R1
        ADD  #40000,R1
        ADC  R0
        ASL  R1
        ROL  R0
        MOV  #40,R5
        TST  R0
        BPL  1$
        NEG  R0
        MOV  #'-,R5
1$:     ADD  #5,R0              ; to whole cm
        MOV  #10.,R1
        JSR  PC,divide
        TST  R0
        BNE  2$
        MOV  #40,R5             ; 0 has no sign
2$:     MOV  #100.,R1
        JSR  PC,divide          ; metres, cm
        MOV  R1,-(SP)
        MOV  R0,-(SP)
        CMP  R0,#10.
        BHIS 3$
        MOV  #40,R0
        JSR  PC,put
3$:     MOV  R5,R0
        JSR  PC,put
        MOV  (SP)+,R0
        CMP  R0,#10.
        BHIS 6$
        ADD  #'0,R0
        JSR  PC,put
        BR   4$
6$:     JSR  PC,two
4$:     MOV  #'.,R0
        JSR  PC,put
        MOV  (SP)+,R0
        JSR  PC,two
        MOV  #metres,R0
        JSR  PC,print
5$:     RTS  PC

; --- R0 as two decimal digits

two:    MOV  #10.,R1
        JSR  PC,divide
        ADD  #'0,R0
        JSR  PC,put
        MOV  R1,R0
        ADD  #'0,R0
        JSR  PC,put
        RTS  PC

; --- the text at R0, up to a byte of 0

print:  MOV  R1,-(SP)
        MOV  R0,R1
1$:     MOVB (R1)+,R0
        BEQ  2$
        JSR  PC,put
        BR   1$
2$:     MOV  (SP)+,R1
        RTS  PC

; --- the character in R0

put:    TSTB @#transmit
        BPL  put
        MOVB R0,@#transmit+2
        RTS  PC

; --- data

level:  .word 0, 0              ; level and minute stand together, as in top and bottom
minute: .word 0
top:    .word 0, 0, 0
bottom: .word 0, 0, 0
way:    .word 0                 ; 1 rising, -1 falling, 0 not known yet
ticks:  .word 0

; 32768 times the sine of 0 to 64 sixty-fourths of a quarter turn, and one entry more that is never used

sines:  .word 0., 804., 1608., 2411., 3212., 4011.
        .word 4808., 5602., 6393., 7180., 7962., 8740.
        .word 9512., 10279., 11039., 11793., 12540., 13279.
        .word 14010., 14733., 15447., 16151., 16846., 17531.
        .word 18205., 18868., 19520., 20160., 20788., 21403.
        .word 22006., 22595., 23170., 23732., 24279., 24812.
        .word 25330., 25833., 26320., 26791., 27246., 27684.
        .word 28106., 28511., 28899., 29269., 29622., 29957.
        .word 30274., 30572., 30853., 31114., 31357., 31581.
        .word 31786., 31972., 32138., 32286., 32413., 32522.
        .word 32610., 32679., 32729., 32758., 32768., 32768.

head:   .asciz <15><12>
for:    .asciz <15><12>/Tide table for /
above:  .asciz /, metres above chart datum/<15><12><15><12>
high:   .asciz /HIGH  /
low:    .asciz /LOW   /
metres: .asciz / m/<15><12>
tail:   .asciz <15><12>/End of the table/<15><12>
        .even
