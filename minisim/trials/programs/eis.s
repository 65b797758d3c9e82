; needs: eis
; with: rows product

; MUL DIV ASH ASHC.  Known results: minisim/trials/cases/eis.yaml, from [course-processor] and
; [processor-handbooks-1972-81] (derived and firm).  All other expected values are worked out here by another way with
; base instructions: single shifts, multiplying by shifting and adding, dividing by shifting and subtracting. Left
; out, because documents or processors differ: C of MUL whose product is 077777; registers and N Z V of DIV whose
; quotient is -2^15; registers after an overflow of DIV next to -2^31; DIV with an odd register; N and Z of DIV when V
; is 1.

device  = 0
vector  = 0
name:   .asciz  /eis/
about:  .asciz  /MUL, DIV, ASH and ASHC with all registers and modes, against known results and base instructions/
        .even

run:    TST     pass
        BNE     1$
        MOV     #52525,seed     ; later passes go on with other numbers
1$:     JSR     R5,rows
        .word   tmul
        JSR     R5,rows
        .word   tmulo
        JSR     R5,rows
        .word   tdiv
        JSR     R5,rows
        .word   tdivx
        JSR     R5,rows
        .word   tdivm
        JSR     R5,rows
        .word   tash
        JSR     R5,rows
        .word   tashc
        JSR     R5,rows
        .word   tturn
        JSR     R5,rows
        .word   tover
        JSR     R5,rows
        .word   tstep
        JSR     PC,regist
        JSR     PC,modes
        JSR     PC,stack
        JSR     PC,shifts
        JSR     PC,long
        JSR     PC,turns
        JSR     PC,mulall
        JSR     PC,mulran
        JSR     PC,divran
        RTS     PC

; --- tables of cases ------------------------------------------------------------------------------------------------
; A table: text, end, three words of instruction, places that a row fills before, 0, places that it fills with what must
; be found, 0, rows.  Registers not named hold patterns, and must keep them.  A word for `cc` is IIEEGG, each two octal
; digits N Z V C: codes not looked at, codes expected, codes before.

rows:   MOV     (R5)+,R1
        MOV     R5,back
        MOV     (R1)+,head
        MOV     (R1)+,limit
        MOV     R1,shape
        ADD     #6,R1
1$:     TST     (R1)+
        BNE     1$
2$:     TST     (R1)+
        BNE     2$
        MOV     R1,row
3$:     CMP     row,limit
        BHIS    4$
        JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     row,R1
        MOV     shape,R2
        MOV     (R2)+,op
        MOV     (R2)+,op+2
        MOV     (R2)+,op+4
6$:     MOV     (R2)+,R3
        BEQ     7$
        MOV     (R1)+,(R3)
        BR      6$
7$:     JSR     PC,same
8$:     MOV     (R2)+,R3
        BEQ     9$
        MOV     (R1)+,(R3)
        BR      8$
9$:     MOV     R1,ahead
        JSR     PC,shot
        JSR     PC,verify
        MOV     ahead,row
        BR      3$
4$:     MOV     back,R5
        RTS     R5

; Patterns into the registers before.
before: MOV     #10101,in0
        MOV     #21212,in1
        MOV     #32323,in2
        MOV     #43434,in3
        MOV     #54545,in4
        MOV     #65656,in5
        MOV     #240,op+2
        MOV     #240,op+4
        CLR     loose
        RTS     PC

; What must be found: what was there.
same:   MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     #in0,R1
        MOV     #out0,R2
1$:     MOV     (R1)+,(R2)+
        CMP     R1,#in5
        BLOS    1$
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        RTS     PC

; Does the instruction at `op` with registers in0 to in5 and codes cc.
shot:   MOV     SP,out6
        MOV     cc,R0
        BIC     #177760,R0
        BIS     #260,R0
        MOV     R0,set
        MOV     in0,R0
        MOV     in1,R1
        MOV     in2,R2
        MOV     in3,R3
        MOV     in4,R4
        MOV     in5,R5
        .word   257             ; all codes 0
set:    .word   260             ; these 1
op:     .word   240, 240, 240
        IOT
        TST     loose
        BEQ     1$
        MOV     kept0,out0
        MOV     kept1,out1
1$:     RTS     PC

; Compares registers and codes with out0 to out6 and cc.  Only a failure writes its text.
verify: MOV     #kept0,R1
        MOV     #out0,R2
        MOV     #regs,R3
1$:     MOV     R3,R0
        JSR     PC,alike
        ADD     #4,R3
        CMP     (R1)+,(R2)+
        CMP     R1,#kept6
        BLOS    1$
        JSR     PC,ccrow
        MOV     #tcodes,R0
        JSR     PC,alike
        JMP     finish

; The text of a failure: `head`, the words before, and what of it (R0).
compos: JSR     PC,opens
        MOV     R0,-(SP)
        MOV     shape,R2
        ADD     #6,R2
1$:     MOV     (R2)+,R0
        BEQ     2$
        CMP     R0,#cc
        BEQ     1$
        MOV     (R0),R1
        JSR     PC,spell
        BR      1$
2$:     MOV     (SP)+,R0
        JMP     closes

; --- every register -------------------------------------------------------------------------------------------------

; Each row of `tregs` with every register that it fits and every other register as source.
regist: MOV     #tregs-20,row
        MOV     #20,width
        MOV     #sregs,shape
1$:     ADD     width,row
        CMP     row,#eregs
        BHIS    9$
        MOV     row,R1
        MOV     (R1)+,head
        CLR     dest
        BIT     #1,(R1)         ; odd registers?
        BEQ     2$
        INC     dest
2$:     CLR     source
3$:     MOV     source,R0       ; not one of its own registers
        BIC     #1,R0
        MOV     dest,R1
        BIC     #1,R1
        CMP     R0,R1
        BEQ     4$
        JSR     R5,next
        .word   buffer
        JSR     PC,each
4$:     INC     source
        CMP     source,#6
        BLO     3$
        ADD     #2,dest
        CMP     dest,#6
        BLO     2$
        BR      1$
9$:     RTS     PC

; Source and register of the present case; the words of it hold still until the case is done, for its repetition.
each:   JSR     PC,before
        MOV     row,R1
        TST     (R1)+
        MOV     (R1)+,R2        ; instruction, bit 0: odd
        BIC     #1,R2
        MOV     dest,R0
        SWAB    R0
        ASR     R0
        ASR     R0
        BIS     R0,R2
        BIS     source,R2
        MOV     R2,op
        MOV     dest,R3
        ASL     R3
        MOV     source,R4
        ASL     R4
        MOV     (R1)+,in0(R3)
        BIT     #1,dest
        BEQ     1$
        TST     (R1)+
        BR      2$
1$:     MOV     (R1)+,in0+2(R3)
2$:     MOV     (R1)+,in0(R4)
        JSR     PC,same
        MOV     (R1)+,out0(R3)
        BIT     #1,dest
        BEQ     3$
        TST     (R1)+
        BR      4$
3$:     MOV     (R1)+,out0+2(R3)
4$:     MOV     (R1)+,cc
        JSR     PC,shot
        JSR     PC,verify
        RTS     PC

; text, instruction (bit 0: odd registers), register, its neighbour, source, result, that of the neighbour, codes
sregs:  .word   0, 0, 0, op, in0, in1, in2, in3, in4, in5, 0
tregs:  .word   hmul, 70000, 12345, 177777, 177776, 177777, 153066, 001017
        .word   hmul, 70001, 12345, 0, 177776, 153066, 0, 001007
        .word   hdiv, 71000, 1, 2, 7, 22222, 4, 000017
        .word   hash, 72000, 12345, 177777, 2, 51624, 177777, 000017
        .word   hash, 72001, 123456, 0, 75, 172345, 0, 001106
        .word   hashc, 73000, 11064, 53170, 177774, 443, 42547, 000116
        .word   hashco, 73001, 1, 0, 77, 100000, 0, 160117
eregs:

; --- every mode -----------------------------------------------------------------------------------------------------

; The source in each mode; R4 points, R2 and R3 are worked on.
modes:  MOV     #smode,shape
        MOV     #hmode,head
        CLR     source          ; number of the instruction
1$:     MOV     #tmode,row
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     source,R4
        ASL     R4
        ASL     R4
        ASL     R4
        ASL     R4
        ADD     #tinst,R4
        MOV     row,R1
        MOV     (R4)+,op
        MOV     (R4)+,cell
        MOV     (R4)+,in2
        MOV     (R4)+,in3
        MOV     #cell,point
        BIS     (R1)+,op
        MOV     (R1)+,op+2
        MOV     (R1)+,in4
        JSR     PC,same
        MOV     (R4)+,out2
        MOV     (R4)+,out3
        MOV     (R4)+,cc
        MOV     (R1)+,out4
        BIT     #20,op          ; modes of PC that have the operand behind the instruction
        BEQ     3$
        CMP     op+2,#1         ; relative: to `cell`, to `point`
        BNE     3$
        MOV     #cell-op-4,op+2
3$:     CMP     op+2,#3
        BNE     4$
        MOV     #point-op-4,op+2
4$:     CMP     op+2,#177777
        BNE     5$
        MOV     cell,op+2
5$:     MOV     cell,work
        JSR     PC,shot
        MOV     #cell,R1        ; the source has only been read
        MOV     #work,R2
        MOV     #tcell,R0
        JSR     PC,alike
        JSR     PC,verify
        ADD     #10,row
        CMP     row,#emode
        BLO     2$
        INC     source
        CMP     source,#4
        BLO     1$
        RTS     PC

; instruction, source, R2, R3, results, codes
tinst:  .word   70200, 177773, 7, 177777, 177777, 177735, 001017, 0
        .word   71200, 177773, 0, 45, 177771, 2, 001017, 0
        .word   72200, 3, 1234, 177777, 12340, 177777, 000017, 0
        .word   73200, 177775, 1, 52525, 0, 25252, 000117, 0
; mode, word behind (177777: the source itself, 1 and 3: relative), R4 before and after
tmode:  .word   14, 240, cell, cell
        .word   24, 240, cell, cell+2
        .word   34, 240, point, point+2
        .word   44, 240, cell+2, cell
        .word   54, 240, point+2, point
        .word   64, 100, cell-100, cell-100
        .word   74, 177776, point+2, point+2
        .word   27, 177777, 4, 4
        .word   37, cell, 4, 4
        .word   67, 1, 4, 4
        .word   77, 3, 4, 4
emode:
smode:  .word   0, 0, 0, op, cell, in2, in3, 0

; DIV (SP)+,R4 takes its divisor from the stack.
stack:  JSR     R5,next
        .word   hstack
        CLR     R4
        MOV     #100,R5
        MOV     SP,work
        MOV     #11,-(SP)
        .word   277             ; all codes
        DIV     (SP)+,R4
        IOT
        JSR     R5,want
        .word   7, kept4
        JSR     R5,want
        .word   1, kept5
        JSR     R5,wantat
        .word   work, kept6
        JSR     R5,wantcc
        .word   0
        JMP     finish

; --- shifts against single shifts -----------------------------------------------------------------------------------

; ASH R2,R3 of each value by each count.  The upper bits of the count are those of the value: they must not matter.
shifts: MOV     #sash,shape
        MOV     #hash,head
        MOV     #values,row
1$:     CLR     count
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     @row,in3
        MOV     @row,in2
        BIC     #77,in2
        BIS     count,in2
        JSR     PC,same
        MOV     #72302,op
        MOV     in3,R0
        MOV     R0,R1
        JSR     PC,single
        MOV     R0,out3
        CLR     R1
        JSR     PC,flags
        JSR     PC,shot
        JSR     PC,verify
        INC     count
        CMP     count,#100
        BLO     2$
        ADD     #2,row
        CMP     row,#evalue
        BLO     1$
        RTS     PC
sash:   .word   0, 0, 0, in3, in2, 0

; Shifts R0 by single instructions; R3: C, R4: V.
single: CLR     R3
        CLR     R4
        MOV     count,R2
        CMP     R2,#40
        BHIS    3$
1$:     TST     R2
        BEQ     5$
        ASL     R0
        BVC     2$
        INC     R4              ; C stays
2$:     MOV     #0,R3
        ADC     R3
        DEC     R2
        BR      1$
3$:     ASR     R0
        MOV     #0,R3
        ADC     R3
        INC     R2
        CMP     R2,#100
        BLO     3$
5$:     RTS     PC

; cc from the number in R0 and R1, C in R3 and V in R4; before, each code stands the other way.
flags:  CLR     R2
        TST     R3
        BEQ     1$
        INC     R2
1$:     TST     R4
        BEQ     2$
        ADD     #2,R2
2$:     TST     R0
        BPL     3$
        ADD     #10,R2
3$:     BIS     R0,R1
        BNE     4$
        ADD     #4,R2
4$:     MOV     R2,R1
        COM     R1
        BIC     #177760,R1
        SWAB    R2
        ASR     R2
        ASR     R2
        BIS     R1,R2
        MOV     R2,cc
        RTS     PC

; ASHC R4,R2 of pairs of values by each count.
long:   MOV     #sashc,shape
        MOV     #hashc,head
        MOV     #values,row
1$:     CLR     count
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     row,R1
        MOV     (R1)+,in2
        MOV     (R1),in3
        MOV     (R1),in4
        BIC     #77,in4
        BIS     count,in4
        JSR     PC,same
        MOV     #73204,op
        MOV     in2,R0
        MOV     in3,R1
        JSR     PC,double
        MOV     R0,out2
        MOV     R1,out3
        JSR     PC,flags
        JSR     PC,shot
        JSR     PC,verify
        INC     count
        CMP     count,#100
        BLO     2$
        ADD     #2,row
        CMP     row,#evalue-2
        BLO     1$
        RTS     PC
sashc:  .word   0, 0, 0, in2, in3, in4, 0

; Shifts R0 and R1 as one number; R3: C, R4: V.
double: CLR     R3
        CLR     R4
        MOV     count,R2
        CMP     R2,#40
        BHIS    3$
1$:     TST     R2
        BEQ     5$
        ASL     R1
        ROL     R0
        BVC     2$
        INC     R4
2$:     MOV     #0,R3
        ADC     R3
        DEC     R2
        BR      1$
3$:     ASR     R0
        ROR     R1
        MOV     #0,R3
        ADC     R3
        INC     R2
        CMP     R2,#100
        BLO     3$
5$:     RTS     PC

; ASHC to the right with an odd register turns it, up to 16 places; its codes but C are left out.
turns:  MOV     #sturn,shape
        MOV     #hashco,head
        MOV     #values,row
1$:     MOV     #60,count
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     @row,in1
        MOV     count,in2
        JSR     PC,same
        MOV     #73102,op
        MOV     in1,R0
        MOV     count,R2
3$:     CLR     R3
        ROR     R0
        ADC     R3
        BEQ     4$
        BIS     #100000,R0
        BR      5$
4$:     BIC     #100000,R0
5$:     INC     R2
        CMP     R2,#100
        BLO     3$
        MOV     R0,out1
        MOV     #160016,cc
        TST     R3
        BEQ     6$
        MOV     #160107,cc
6$:     JSR     PC,shot
        JSR     PC,verify
        INC     count
        CMP     count,#100
        BLO     2$
        ADD     #2,row
        CMP     row,#evalue
        BLO     1$
        RTS     PC
sturn:  .word   0, 0, 0, in1, in2, 0

values: .word   0, 1, 177777, 100000, 77777, 123456, 40000, 0, 100001, 52525
evalue:

; --- multiplying against shifting and adding ------------------------------------------------------------------------

; Each edge by each edge.
mulall: MOV     #smul,shape
        MOV     #edges,row
1$:     MOV     #edges,ahead
2$:     JSR     R5,next
        .word   buffer
        MOV     @row,first
        MOV     @ahead,second
        JSR     PC,times
        ADD     #2,ahead
        CMP     ahead,#eedge
        BLO     2$
        ADD     #2,row
        CMP     row,#eedge
        BLO     1$
        RTS     PC
edges:  .word   0, 1, 2, 377, 400, 40000, 77777, 100000, 100001, 177400, 177776, 177777
eedge:

; 256 pairs of numbers from a shift register.
mulran: MOV     #smul,shape
        MOV     #400,left
1$:     JSR     PC,random
        MOV     R0,first
        JSR     PC,random
        MOV     R0,second
        JSR     R5,next
        .word   buffer
        JSR     PC,times
        DEC     left
        BNE     1$
        RTS     PC
smul:   .word   0, 0, 0, first, second, 0

; MUL R2,R0, in odd cases MUL R2,R1: first by second.
times:  MOV     #hmul,head
        JSR     PC,before
        MOV     first,in0
        MOV     first,in1
        MOV     second,in2
        JSR     PC,same
        MOV     #70002,op
        JSR     PC,produc
        MOV     R1,out1
        BIT     #1,case
        BNE     1$
        MOV     R0,out0
        BR      2$
1$:     BIS     #100,op
2$:     CLR     R4
        CLR     R3              ; C: the high half is not just signs
        TST     R1
        BPL     3$
        INC     R3
3$:     ADD     R0,R3           ; 0 now if it fits
        MOV     R1,-(SP)
        JSR     PC,flags
        CMP     (SP)+,#77777
        BNE     4$
        BIS     #010000,cc      ; nothing is known of C at the greatest product that fits
4$:     JSR     PC,shot
        JSR     PC,verify
        RTS     PC

; --- dividing against shifting and subtracting ----------------------------------------------------------------------

; 400 dividends and divisors; quotients of all sizes, some too great.
divran: MOV     #sdiv,shape
        MOV     #hdiv,head
        MOV     #620,left
1$:     JSR     PC,random
        MOV     R0,second
        JSR     PC,random
        MOV     R0,third
        JSR     PC,random
        MOV     left,R1         ; the high half smaller in most cases
        BIC     #177770,R1
2$:     ASR     R0
        DEC     R1
        BPL     2$
        MOV     R0,first
        JSR     R5,next
        .word   buffer
        JSR     PC,divide
        DEC     left
        BNE     1$
        RTS     PC
sdiv:   .word   0, 0, 0, first, second, third, 0

; DIV R2,R0: first and second by third.
divide: JSR     PC,before
        MOV     first,in0
        MOV     second,in1
        MOV     third,in2
        JSR     PC,same
        MOV     #71002,op
        MOV     third,R2
        BPL     1$
        NEG     R2
1$:     MOV     first,R0
        MOV     second,R1
        TST     R0
        BPL     2$
        JSR     PC,minus
2$:     CLR     R3              ; remainder
        MOV     #32.,R4
3$:     ASL     R1
        ROL     R0
        ROL     R3
        CMP     R3,R2
        BLO     4$
        SUB     R2,R3
        INC     R1
4$:     DEC     R4
        BNE     3$
        TST     first           ; the remainder has the sign of the dividend
        BPL     5$
        NEG     R3
5$:     MOV     R3,out1
        MOV     third,R4        ; the sign of the quotient is that of one exclusive-or the other
        TST     first
        BPL     6$
        ADD     #100000,R4
6$:     MOV     R4,sign
        TST     R0
        BNE     8$              ; more than 16 bits
        CMP     R1,#100000
        BHI     8$
        BEQ     7$
        TST     sign
        BPL     9$
        NEG     R1
9$:     MOV     R1,out0
        MOV     R1,R0
        CLR     R1
        CLR     R3
        CLR     R4
        JSR     PC,flags
        JSR     PC,shot
        JSR     PC,verify
        RTS     PC
7$:     MOV     #160001,cc      ; 2^15: with like signs too great, else it depends
        TST     sign
        BMI     10$
8$:     MOV     #140201,cc      ; too great: V, not C
10$:    INC     loose
        JSR     PC,shot
        JSR     PC,verify
        RTS     PC

; --- tables ---------------------------------------------------------------------------------------------------------

tmul:   .word   hmul, emul, 70002, 240, 240, in0, in1, in2, cc, 0, out0, out1, 0
        .word   3, 52525, 5, 000017, 0, 17
        .word   0, 52525, 5, 000413, 0, 0
        .word   123456, 52525, 0, 000413, 0, 0
        .word   177775, 52525, 5, 001007, 177777, 177761
        .word   3, 52525, 177773, 001007, 177777, 177761
        .word   177775, 52525, 177773, 000017, 0, 17
        .word   177777, 52525, 177777, 000017, 0, 1
        .word   100000, 52525, 100000, 000116, 40000, 0
        .word   100000, 52525, 1, 001007, 177777, 100000
        .word   100000, 52525, 177777, 000116, 0, 100000
        .word   77777, 52525, 77777, 000116, 37777, 1
        .word   77777, 52525, 100000, 001106, 140000, 100000
        .word   77776, 52525, 1, 000017, 0, 77776
        .word   40000, 52525, 2, 000116, 0, 100000
        .word   40000, 52525, 177776, 001007, 177777, 100000
        .word   100001, 52525, 2, 001106, 177777, 2
        .word   400, 52525, 400, 000116, 1, 0
        .word   77777, 52525, 1, 010017, 0, 77777
        .word   11111, 52525, 7, 010017, 0, 77777
emul:
tmulo:  .word   hmulo, emulo, 70102, 240, 240, in1, in2, cc, 0, out1, 0
        .word   3, 5, 000017, 17
        .word   177775, 5, 001007, 177761
        .word   40000, 2, 000116, 100000
        .word   400, 400, 000116, 0
        .word   100000, 100000, 000116, 0
        .word   0, 177777, 000413, 0
emulo:
tdiv:   .word   hdiv, ediv, 71002, 240, 240, in0, in1, in2, cc, 0, out0, out1, 0
        .word   0, 52, 6, 000017, 7, 0
        .word   0, 7, 3, 000017, 2, 1
        .word   0, 7, 177775, 001007, 177776, 1
        .word   177777, 177771, 3, 001007, 177776, 177777
        .word   177777, 177771, 177775, 000017, 2, 177777
        .word   0, 0, 5, 000413, 0, 0
        .word   0, 2, 3, 000413, 0, 2
        .word   177777, 177777, 2, 000413, 0, 177777
        .word   0, 12345, 1, 000017, 12345, 0
        .word   0, 12345, 177777, 001007, 165433, 0
        .word   0, 77777, 77777, 000017, 1, 0
        .word   0, 100000, 100000, 001007, 177777, 0
        .word   1, 177775, 4, 000017, 77777, 1
        .word   37777, 77777, 77777, 000017, 77777, 77776
        .word   177776, 4, 4, 001007, 100001, 0
        .word   0, 20001, 2, 000017, 10000, 1
ediv:
; Too great, or by zero: the registers stay.
tdivx:  .word   hdiv, edivx, 71002, 240, 240, in0, in1, in2, cc, 0, 0
        .word   0, 100000, 1, 140200
        .word   1, 0, 2, 140201
        .word   177775, 177774, 4, 140201
        .word   12345, 0, 1, 140201
        .word   1, 0, 2, 140215
        .word   177776, 0, 177774, 140200
        .word   0, 7, 0, 140300
        .word   0, 0, 0, 140300
        .word   177777, 177770, 0, 140300
edivx:
; A quotient of -2^15, and dividends next to -2^31: the registers are left out.
tdivm:  .word   hdiv, edivm, 71002, 240, 240, in0, in1, in2, cc, loose, 0, 0
        .word   0, 100000, 177777, 160001, 1
        .word   177777, 100000, 1, 160001, 1
        .word   100000, 0, 1, 140201, 1
        .word   100000, 0, 177777, 140201, 1
        .word   100000, 1, 3, 140201, 1
        .word   2, 3, 2, 140201, 1
edivm:
tash:   .word   hash, eash, 72002, 240, 240, in0, in2, cc, 0, out0, 0
        .word   1, 0, 000003, 1
        .word   123456, 0, 001007, 123456
        .word   0, 0, 000413, 0
        .word   1, 1, 000017, 2
        .word   40000, 1, 001205, 100000
        .word   100000, 1, 000710, 0
        .word   140000, 1, 001106, 100000
        .word   1234, 3, 000017, 12340
        .word   1, 17, 001205, 100000
        .word   1, 20, 000710, 0
        .word   177777, 37, 000611, 0
        .word   50000, 2, 000301, 40000
        .word   3, 77, 000116, 1
        .word   2, 77, 000017, 1
        .word   100000, 77, 001007, 140000
        .word   177775, 76, 001007, 177777
        .word   100000, 61, 001007, 177777
        .word   77777, 60, 000413, 0
        .word   100000, 41, 001106, 177777
        .word   177777, 40, 001106, 177777
        .word   77777, 40, 000413, 0
        .word   1234, 177703, 000017, 12340
eash:
tashc:  .word   hashc, eashc, 73002, 240, 240, in0, in1, in2, cc, 0, out0, out1, 0
        .word   12345, 123456, 0, 000017, 12345, 123456
        .word   0, 100000, 0, 000017, 0, 100000
        .word   0, 0, 0, 000413, 0, 0
        .word   0, 100000, 1, 000017, 1, 0
        .word   40000, 0, 1, 001205, 100000, 0
        .word   100000, 0, 1, 000710, 0, 0
        .word   11064, 53170, 4, 000315, 21505, 63600
        .word   1, 123456, 20, 001304, 123456, 0
        .word   0, 1, 37, 001205, 100000, 0
        .word   177777, 177777, 37, 001101, 100000, 0
        .word   1, 1, 77, 000116, 0, 100000
        .word   100000, 0, 77, 001007, 140000, 0
        .word   11064, 53170, 177774, 000116, 443, 42547
        .word   123456, 12345, 60, 001007, 177777, 123456
        .word   100000, 0, 41, 001007, 177777, 177777
        .word   177777, 177777, 40, 001106, 177777, 177777
        .word   77777, 177777, 40, 000413, 0, 0
eashc:
; With an odd register to the right it turns; to the left it keeps the low half (unconfirmed).
tturn:  .word   hashco, eturn, 73102, 240, 240, in1, in2, cc, 0, out1, 0
        .word   1, 77, 160116, 100000
        .word   123456, 74, 160100, 165162
        .word   2, 61, 160001, 4
        .word   123456, 60, 160100, 123456
        .word   3, 1, 160016, 6
        .word   123456, 4, 160000, 71340
eturn:
; Source and register are the same.
tover:  .word   hover, eover, 0, 240, 240, op, in0, in1, cc, 0, out0, out1, 0
        .word   70000, 177773, 52525, 000017, 0, 31
        .word   70001, 400, 177400, 001106, 177777, 0
        .word   70101, 52525, 400, 000116, 52525, 0
        .word   70100, 7, 177776, 001007, 7, 177762
        .word   71001, 0, 11, 000017, 1, 0
        .word   71000, 177777, 177773, 000017, 5, 0
        .word   72000, 3, 52525, 000017, 30, 52525
        .word   72000, 177776, 52525, 001106, 177777, 52525
        .word   73001, 1, 2, 000017, 4, 10
        .word   73000, 1, 100000, 000017, 3, 0
eover:
; A register that the source steps and the instruction then uses: the source is settled first (unconfirmed).
tstep:  .word   hstep, estep, 0, 240, 240, op, in0, cell, cc, 0, out0, out1, 0
        .word   70020, cell, 3, 000017, 0, <cell+2>*3
        .word   72040, cell+2, 1, 000017, cell*2, 21212
estep:

regs:   .ascii  /R0/<0><0>/R1/<0><0>/R2/<0><0>/R3/<0><0>/R4/<0><0>/R5/<0><0>/SP/<0><0>
hmul:   .asciz  /MUL even register of/
hmulo:  .asciz  /MUL odd register of/
hdiv:   .asciz  /DIV of/
hash:   .asciz  /ASH of/
hashc:  .asciz  /ASHC of/
hashco: .asciz  /ASHC odd register of/
hregis: .asciz  /registers of code/
hmode:  .asciz  /modes of the source: code/
hstack: .asciz  /DIV with the divisor on the stack/
hover:  .asciz  /source and register the same: code/
hstep:  .asciz  /source steps the register (unconfirmed): code/
tcodes: .asciz  /codes N Z V C/
tcell:  .asciz  /the source in memory/
        .even

buffer: . = . + 120
seed:   .word   0
back:   .word   0
loose:  .word   0               ; R0 and R1 are not looked at
head:   .word   0
shape:  .word   0
limit:  .word   0
ahead:  .word   0
row:    .word   0
width:  .word   0
work:   .word   0
dest:   .word   0
source: .word   0
count:  .word   0
left:   .word   0
sign:   .word   0
first:  .word   0
second: .word   0
third:  .word   0
cell:   .word   0
point:  .word   0
cc:     .word   0
in0:    .word   0
in1:    .word   0
in2:    .word   0
in3:    .word   0
in4:    .word   0
in5:    .word   0
out0:   .word   0
out1:   .word   0
out2:   .word   0
out3:   .word   0
out4:   .word   0
out5:   .word   0
out6:   .word   0
