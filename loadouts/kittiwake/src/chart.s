; Fits a tide to a day of gauge readings, prints it, and draws both.  Needs EIS and the floating point instructions.
; Assemble with readings.s behind this file.
;
; The tide of a constituent is  amplitude * cosine (speed * time - lag),  which is  C * cosine + S * sine (speed * time)
; with C = amplitude * cosine (lag), S = amplitude * sine (lag).  The mean level and a C and an S for each constituent are
; the unknowns.  Least squares: of all tides, the one for which the sum of the squared differences from the readings is
; least.  For it the unknowns solve the normal equations
;
;       sum over the readings of  f(i) * f(j) * unknown(j)  =  sum over the readings of  f(i) * reading
;
; where f(0) is 1, f(1) and f(2) are the cosine and the sine of the first constituent, and so on.  All this is done with
; numbers of 64 bits; only the drawing needs no more than 32.
;
; Each reading has a row in the table: f(0), f(1) ..., the reading, the curve.  Each equation has a row: the factors of the
; unknowns, the right side.

transmit  = 177564              ; console: transmit status; data follow
most      = 9.                  ; unknowns
longest   = 145.                ; readings
last      = 54.                 ; last column of the drawing
exact     = -60.                ; a term with this exponent adds nothing to a sum near 1
small     = -16.                ; a pivot with this exponent: what is left of an equation is noise

; Floating point numbers whose first word is all that is not zero

half      = 40000
one       = 40200
four0     = 40600
ten       = 41040
ninety    = 41664

; What LDFPS switches on: 64 bits (200), traps for integers out of range (400), overflow (1000), undefined variable (4000).
; A term of a series may become too small for any number: that one is then zero, without a trap.

mode      = 5600

        . = 244
        .word broken, 340

        . = 1000
start:  MOV  #start,SP
        LDFPS #mode
        JSR  PC,heading
        JSR  PC,sizes
        JSR  PC,fill
        JSR  PC,normal
        JSR  PC,solve
        JSR  PC,curve
        JSR  PC,report
        JSR  PC,draw
        JSR  PC,total
finish: CLR  R0                 ; two fill characters: behind them all that counts has left the line
        JSR  PC,put
        JSR  PC,put
        HALT

; --- an error of the floating point processor comes here

broken: STST failed             ; what it was, and the instruction
        MOV  #stops,R0
        JSR  PC,print
        MOV  failed,R0
        JSR  PC,octal
        MOV  #at,R0
        JSR  PC,print
        MOV  failed+2,R0
        JSR  PC,octal
        BR   close

refuse: JSR  PC,print           ; the text in R0, and the end
close:  MOV  #line,R0
        JSR  PC,print
        BR   finish

; --- how many unknowns; how long the rows are, in bytes

sizes:  MOV  #1,R1
        MOV  #parts,R0
1$:     TST  (R0)+
        BEQ  2$
        TST  (R0)+
        ADD  #2,R1
        BR   1$
2$:     MOV  #many,R0
        CMP  R1,#most
        BHI  refuse
        CMP  count,#longest
        BHI  refuse
        MOV  R1,unknowns
        INC  R1
        MOV  R1,places
        ASH  #3,R1
        MOV  R1,width
        ADD  #10,R1
        MOV  R1,stride
        MOV  #few,R0
        CMP  count,unknowns
        BLO  refuse
        RTS  PC

; --- the table: a row for each reading

fill:   MOV  #table,R5
        MOV  #heights,R4
        MOV  count,R3
        CLR  minute
1$:     LDD  #one,AC0
        STD  AC0,(R5)+
        MOV  #parts,R2
2$:     MOV  (R2)+,speed+2
        BEQ  3$
        TST  (R2)+
        JSR  PC,angle
        STD  AC2,(R5)+
        STD  AC3,(R5)+
        BR   2$
3$:     LDCID (R4)+,AC0
        STD  AC0,(R5)+
        CLRD (R5)+
        ADD  every,minute
        SOB  R3,1$
        RTS  PC

; --- the angle that the constituent with this speed has come to at this minute: cosine to AC2, sine to AC3
;     R0 and R1 are lost

angle:  SETL                    ; a speed is a word without sign: as a long integer, with a word of zeros before it
        LDCLD speed,AC0
        LDCLD turn,AC1
        SETI
        LDCID minute,AC2
        MULD AC2,AC0
        DIVD AC1,AC0
        MULD #four0,AC0         ; in quarter turns
        ADDD #half,AC0
        MODD #one,AC0           ; the nearest whole quarter to AC1
        STCDI AC1,-(SP)
        SUBD #half,AC0          ; what is left: half a quarter at most, either way
        MULD quarter,AC0
        STD  AC0,AC4

; The series: each term is the one before times angle / number.  Odd ones make the sine, even ones the cosine.

        CLR  R1
        LDD  #one,AC1
        LDD  AC1,AC2
        CLRD AC3
1$:     INC  R1
        MULD AC4,AC1
        LDCID R1,AC0
        DIVD AC0,AC1
        ADDD AC1,AC3
        INC  R1
        MULD AC4,AC1
        LDCID R1,AC0
        DIVD AC0,AC1
        NEGD AC1                ; signs change with every pair
        ADDD AC1,AC2
        STEXP AC1,R0
        CMP  R0,#exact
        BGT  1$

        MOV  (SP)+,R0           ; and the whole quarters
        BIT  #1,R0
        BEQ  2$
        LDD  AC2,AC1
        LDD  AC3,AC2
        NEGD AC2
        LDD  AC1,AC3
2$:     BIT  #2,R0
        BEQ  3$
        NEGD AC2
        NEGD AC3
3$:     RTS  PC

; --- the normal equations

normal: MOV  #equations,R0
        MOV  #most*<most+1>,R1
1$:     CLRD (R0)+
        SOB  R1,1$
        MOV  #table,R5
        MOV  count,R4
2$:     MOV  #equations,R0
        MOV  unknowns,R3
        MOV  R5,R2
3$:     LDD  (R2)+,AC1          ; f(i)
        MOV  R5,R1
        MOV  places,left
4$:     LDD  (R1)+,AC0          ; f(j), and the reading behind them
        MULD AC1,AC0
        ADDD (R0),AC0
        STD  AC0,(R0)+
        DEC  left
        BNE  4$
        SOB  R3,3$
        ADD  stride,R5
        SOB  R4,2$
        RTS  PC

; --- solve them: every column is taken out of all rows but one
;     R5 is the row whose turn it is, R4 how far its column lies from the beginning of a row

solve:  MOV  #equations,R5
        CLR  R4
        MOV  unknowns,left
1$:     MOV  left,R3            ; the greatest number of the column, from this row down
        MOV  R5,R0
        CLRD AC1
2$:     MOV  R0,R2
        ADD  R4,R2
        LDD  (R2),AC0
        ABSD AC0
        CMPD AC0,AC1            ; codes of AC0 - AC1
        CFCC
        BLT  3$
        LDD  AC0,AC1
        MOV  R0,R1
3$:     ADD  width,R0
        SOB  R3,2$
        STEXP AC1,R0
        CMP  R0,#small
        BLE  9$
        MOV  R5,R0              ; that row changes places with this one
        MOV  places,R3
4$:     LDD  (R0),AC0
        LDD  (R1),AC1
        STD  AC0,(R1)+
        STD  AC1,(R0)+
        SOB  R3,4$
        MOV  #equations,R0
        MOV  unknowns,R3
5$:     CMP  R0,R5
        BEQ  7$
        MOV  R0,R1
        ADD  R4,R1
        MOV  R5,R2
        ADD  R4,R2
        MOV  R0,behind
        ADD  width,behind
        LDD  (R1),AC1
        DIVD (R2),AC1
6$:     LDD  (R2)+,AC0
        MULD AC1,AC0
        NEGD AC0
        ADDD (R1),AC0
        STD  AC0,(R1)+
        CMP  R1,behind
        BLO  6$
7$:     ADD  width,R0
        SOB  R3,5$
        ADD  width,R5
        ADD  #10,R4
        DEC  left
        BNE  1$

        MOV  #equations,R0      ; each unknown stands alone now
        MOV  R0,R1
        ADD  width,R1
        MOV  #answers,R2
        MOV  unknowns,R3
8$:     LDD  -(R1),AC0
        DIVD (R0),AC0
        STD  AC0,(R2)+
        ADD  width,R0
        ADD  #10,R0
        ADD  width,R1
        ADD  #10,R1             ; -(R1) went back by so much
        SOB  R3,8$
        RTS  PC
9$:     MOV  #unclear,R0
        JMP  refuse

; --- the curve, and how far the readings are from it

curve:  MOV  #table,R5
        MOV  count,R4
        MOV  R5,R0
        ADD  width,R0
        LDD  -(R0),AC0          ; the first reading
        STD  AC0,lowest
        STD  AC0,highest
        CLRD greatest
        CLR  minute
        CLRD AC3                ; sum of the squares
1$:     MOV  R5,R1
        MOV  #answers,R0
        MOV  unknowns,R3
        CLRD AC0
2$:     LDD  (R1)+,AC1
        MULD (R0)+,AC1
        ADDD AC1,AC0
        SOB  R3,2$
        LDD  (R1)+,AC2
        STD  AC0,(R1)
        JSR  PC,widen
        STD  AC2,AC4
        SUBD AC0,AC2
        LDD  AC4,AC0
        JSR  PC,widen
        ABSD AC2
        CMPD greatest,AC2       ; codes of greatest - AC2
        CFCC
        BGE  3$
        STD  AC2,greatest
        MOV  minute,when
3$:     MULD AC2,AC2
        ADDD AC2,AC3
        ADD  every,minute
        ADD  stride,R5
        SOB  R4,1$
        LDCID count,AC0
        DIVD AC0,AC3
        LDD  AC3,AC0
        JSR  PC,root
        STD  AC0,error
        RTS  PC

widen:  CMPD lowest,AC0
        CFCC
        BLE  1$
        STD  AC0,lowest
1$:     CMPD highest,AC0
        CFCC
        BGE  2$
        STD  AC0,highest
2$:     RTS  PC

; --- the square root of AC0, which is not negative, to AC0; AC1 and AC2, R0 and R1 are lost

root:   TSTD AC0
        CFCC
        BEQ  2$
        LDD  AC0,AC2
        STEXP AC0,R0            ; half the exponent makes a first guess: not less than half of the root, not more than it
        ASR  R0
        LDEXP R0,AC0
        MOV  #6,R1              ; each round doubles the digits that are right
1$:     LDD  AC2,AC1
        DIVD AC0,AC1
        ADDD AC1,AC0
        MULD #half,AC0
        SOB  R1,1$
2$:     RTS  PC

; --- amplitude and lag of the constituent with C in AC0 and S in AC1: mm and degrees, to memory

polar:  STD  AC0,cosine
        STD  AC1,sine
        MULD AC0,AC0
        MULD AC1,AC1
        ADDD AC1,AC0
        JSR  PC,root
        STD  AC0,size
        CLRD lag
        TSTD size
        CFCC
        BEQ  9$

; The smaller side by the greater one is the tangent of half a quarter at most

        LDD  cosine,AC0
        ABSD AC0
        LDD  sine,AC1
        ABSD AC1
        CMPD AC0,AC1            ; codes of AC0 - AC1
        CFCC
        BGE  1$
        STD  AC0,AC4
        LDD  AC1,AC0
        LDD  AC4,AC1
1$:     DIVD AC0,AC1
        LDD  AC1,AC0

; The tangent t of an angle gives t / (1 + root of (1 + t * t)) of half of it; twice that, and the series is short

        JSR  PC,halve
        JSR  PC,halve
        LDD  AC0,AC1            ; t - t^3 / 3 + t^5 / 5 ...: AC1 the power, AC2 the sum, AC4 -t * t
        LDD  AC0,AC2
        MULD AC0,AC0
        NEGD AC0
        STD  AC0,AC4
        MOV  #1,R1
2$:     MULD AC4,AC1
        ADD  #2,R1
        LDCID R1,AC3
        LDD  AC1,AC0
        DIVD AC3,AC0
        ADDD AC0,AC2
        STEXP AC0,R0
        CMP  R0,#exact
        BGT  2$
        MULD #four0,AC2         ; the whole angle, in degrees
        MULD #ninety,AC2
        DIVD quarter,AC2

; Which of the eight parts of a turn it is

        LDD  sine,AC0
        ABSD AC0
        LDD  cosine,AC1
        ABSD AC1
        CMPD AC1,AC0
        CFCC
        BGE  3$
        LDD  #ninety,AC0        ; the sine was the greater one
        SUBD AC2,AC0
        LDD  AC0,AC2
3$:     TSTD cosine
        CFCC
        BGE  4$
        LDCID #180.,AC0
        SUBD AC2,AC0
        LDD  AC0,AC2
4$:     TSTD sine
        CFCC
        BGE  5$
        LDCID #360.,AC0
        SUBD AC2,AC0
        LDD  AC0,AC2
5$:     STD  AC2,lag
9$:     RTS  PC

halve:  STD  AC0,AC5
        MULD AC0,AC0
        ADDD #one,AC0
        JSR  PC,root
        ADDD #one,AC0
        LDD  AC5,AC1
        DIVD AC0,AC1
        LDD  AC1,AC0
        RTS  PC

; --- texts and numbers

heading: MOV #line,R0
        JSR  PC,print
        MOV  #station,R0
        JSR  PC,print
        MOV  #tide,R0
        JSR  PC,print
        MOV  #date,R0
        JSR  PC,print
        MOV  #head,R0
        JSR  PC,print
        RTS  PC

report: MOV  #mean,R0
        JSR  PC,print
        LDD  answers,AC0
        MOV  #46.,R2
        JSR  PC,fine
        MOV  #parts,R5
        MOV  #answers+10,R4
1$:     MOV  #line,R0
        JSR  PC,print
        MOV  (R5)+,speed+2
        BEQ  2$
        MOV  (R5)+,R0
        JSR  PC,print
        SETL
        LDCLD speed,AC0
        SETI
        LDCID #1000.,AC1
        DIVD AC1,AC0
        MOV  #32.,R2
        JSR  PC,fine
        LDD  (R4)+,AC0
        LDD  (R4)+,AC1
        JSR  PC,polar
        LDD  size,AC0
        MOV  #46.,R2
        JSR  PC,fine
        LDD  lag,AC0
        MOV  #60.,R2
        JSR  PC,fine
        BR   1$
2$:     RTS  PC

total:  MOV  #line,R0
        JSR  PC,print
        MOV  #far,R0
        JSR  PC,print
        LDD  greatest,AC0
        CLR  R2
        JSR  PC,fine
        MOV  #mm,R0
        JSR  PC,print
        MOV  when,R1
        JSR  PC,time
        MOV  #sum,R0
        JSR  PC,print
        LDCID count,AC0
        CLR  R1
        JSR  PC,number
        MOV  #rms,R0
        JSR  PC,print
        LDD  error,AC0
        JSR  PC,fine
        MOV  #end,R0
        JSR  PC,print
        RTS  PC

; --- AC0 in decimal: R1 digits behind the point (fine: three), the last one in column R2 - 1, or where it comes
;     R0, R1, AC0 to AC2 are lost

fine:   MOV  #3,R1
number: MOV  R3,-(SP)
        MOV  #40,sign
        TSTD AC0
        CFCC
        BGE  1$
        ABSD AC0
        MOV  #'-,sign
1$:     MOV  R1,R0
        BEQ  3$
2$:     MULD #ten,AC0
        SOB  R0,2$
3$:     ADDD #half,AC0          ; to the nearest whole number
        MODD #one,AC0
        LDD  AC1,AC0
        MOV  #digits,R3
        TSTD AC0
        CFCC
        BNE  4$
        MOV  #40,sign           ; 0 has no sign
4$:     LDD  AC0,AC2            ; the last digit is what ten times the tenth leaves
        DIVD #ten,AC0
        MODD #one,AC0
        LDD  AC1,AC0
        MULD #ten,AC1
        SUBD AC1,AC2
        STCDI AC2,R0
        ADD  #'0,R0
        MOVB R0,-(R3)
        DEC  R1
        BNE  5$
        MOVB #'.,-(R3)
        BR   4$                 ; a digit stands before the point
5$:     BGT  4$
        TSTD AC0
        CFCC
        BNE  4$
        CMPB sign,#40
        BEQ  6$
        MOVB sign,-(R3)
6$:     MOV  #40,R0             ; spaces before it
7$:     MOV  R2,R1
        SUB  #digits,R1
        ADD  R3,R1              ; R2 less how many characters stand there
        CMP  column,R1
        BGE  8$
        JSR  PC,put
        BR   7$
8$:     MOV  R3,R0
        JSR  PC,print
        MOV  (SP)+,R3
        RTS  PC

; --- R1 minutes as hours and minutes; R0 and R1 are lost

time:   CLR  R0
        DIV  #60.,R0
        MOV  R1,-(SP)
        JSR  PC,two
        MOV  #':,R0
        JSR  PC,put
        MOV  (SP)+,R0

two:    MOV  R0,R1              ; R0 as two decimal digits
        CLR  R0
        DIV  #10.,R0
        ADD  #'0,R0
        JSR  PC,put
        MOV  R1,R0
        ADD  #'0,R0
        BR   put

octal:  MOV  R0,R1              ; R0 as six octal digits
        CLR  R0
        MOV  #6,R2
        ASHC #1,R0
1$:     ADD  #'0,R0
        JSR  PC,put
        CLR  R0
        ASHC #3,R0
        SOB  R2,1$
        RTS  PC

print:  MOV  R1,-(SP)           ; the text at R0, up to a byte of 0
        MOV  R0,R1
1$:     MOVB (R1)+,R0
        BEQ  2$
        JSR  PC,put
        BR   1$
2$:     MOV  (SP)+,R1
        RTS  PC

put:    TSTB @#transmit         ; the character in R0
        BPL  put
        MOVB R0,@#transmit+2
        INC  column
        CMP  R0,#12
        BNE  1$
        CLR  column
1$:     RTS  PC

; --- the drawing: a line for each whole hour; 32 bits are enough for columns

draw:   MOV  #axis,R0
        JSR  PC,print
        LDD  lowest,AC0
        MOV  #12.,R2
        CLR  R1
        JSR  PC,number
        LDD  highest,AC0
        MOV  #last+8.,R2
        CLR  R1
        JSR  PC,number
        MOV  #line,R0
        JSR  PC,print
        SETF
        LDCDF highest,AC0
        LDCDF lowest,AC2
        SUBF AC2,AC0
        LDCIF #last,AC3
        TSTF AC0
        CFCC
        BEQ  1$
        DIVF AC0,AC3            ; columns a mm
1$:     CLR  minute
        MOV  #table,R5
        MOV  count,R4
2$:     CLR  R0
        MOV  minute,R1
        DIV  #60.,R0
        TST  R1
        BNE  3$
        JSR  PC,hour
3$:     ADD  every,minute
        ADD  stride,R5
        SOB  R4,2$
        SETD
        RTS  PC

hour:   MOV  minute,R1
        JSR  PC,time
        MOV  #strip,R0
        MOV  #last+1,R1
1$:     MOVB #40,(R0)+
        SOB  R1,1$
        MOV  R5,R2
        ADD  width,R2
        LDCDF (R2),AC0          ; the curve
        JSR  PC,place
        MOVB #'o,(R0)
        LDCDF -(R2),AC0         ; the reading
        JSR  PC,place
        MOVB #'x,R1
        CMPB (R0),#'o
        BNE  2$
        MOV  #'*,R1
2$:     MOVB R1,(R0)
        MOV  #framed,R0
        JMP  print

place:  SUBF AC2,AC0            ; where AC0 stands in the strip, to R0
        MULF AC3,AC0
        ADDF #half,AC0
        STCFI AC0,R0
        ADD  #strip,R0
        RTS  PC

; --- data

unknowns: .word 0
places: .word 0                 ; numbers in an equation
width:  .word 0                 ; bytes of an equation; in a row of the table the curve stands so far in
stride: .word 0                 ; bytes of a row of the table
left:   .word 0
behind: .word 0
minute: .word 0
when:   .word 0
column: .word 0
sign:   .word 0
speed:  .word 0, 0
turn:   .word 329., 38656.      ; 21600000: thousandths of a degree an hour, times minutes, in a whole turn
failed: .word 0, 0
quarter: .word 040311, 007732, 121041, 064302   ; a quarter turn as the length of its arc, 1.57079632679489662

lowest: .word 0, 0, 0, 0
highest: .word 0, 0, 0, 0
greatest: .word 0, 0, 0, 0
error:  .word 0, 0, 0, 0
cosine: .word 0, 0, 0, 0
sine:   .word 0, 0, 0, 0
size:   .word 0, 0, 0, 0
lag:    .word 0, 0, 0, 0

; Behind the program and the readings, in memory that the tape leaves alone

answers = 20000                 ; 9 numbers
equations = 20200               ; 9 rows of 10 numbers
table   = 22000                 ; 145 rows of 11 numbers

        .ascii /                    /
digits: .byte 0
framed: .ascii /  |/
strip:  .ascii /                                                       /
        .ascii /|/
line:   .byte 15, 12, 0
tide:   .byte 15, 12
        .asciz /Tide fitted to the gauge readings of /
head:   .byte 15, 12, 15, 12
        .ascii /                      degrees     amplitude           lag/<15><12>
        .asciz /                      an hour            mm       degrees/<15><12>
mean:   .asciz /mean level/
axis:   .byte 15, 12
        .asciz /x reading  o curve  * both    levels in mm/<15><12>
far:    .asciz /farthest from the curve /
mm:     .asciz / mm, at /
sum:    .byte 15, 12
        .asciz /TOTAL /
rms:    .asciz / READINGS, RMS ERROR /
end:    .asciz / MM/<15><12>
stops:  .byte 15, 12
        .asciz /the floating point processor stops: error /
at:     .asciz / at /
many:   .asciz /too many readings or constituents/
few:    .asciz /too few readings/
unclear: .asciz /these readings can't tell the constituents apart/
        .even
