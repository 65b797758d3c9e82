; needs: fis
; with: rows

; FADD FSUB FMUL FDIV on four words in memory.  Known results: minisim/trials/cases/fis.yaml, from [course-processor]
; (derived by exact fractions) and, for the errors, [processor-handbooks-1972-81] (firm); how results are rounded is
; unconfirmed and its tables say so.  Besides: whole numbers, whose results are worked out here with base
; instructions. Units differ in whether they use a word of the stack (D26) and in how an interrupt finds them (D28,
; D34): the stack has room, and nothing interrupts.  Left out: what is in the place of B after an instruction without
; an error.

device  = 0
vector  = 0
name:   .asciz  /fis/
about:  .asciz  /FADD, FSUB, FMUL and FDIV, through every register, against known results and whole numbers/
        .even

run:    TST     pass
        BNE     1$
        MOV     #52525,seed     ; later passes go on with other numbers
1$:     MOV     #ftrap,@#244
        MOV     #340,@#246
        MOV     #tlist,later
2$:     MOV     @later,3$
        JSR     R5,rows
3$:     .word   0
        ADD     #2,later
        CMP     later,#elist
        BLO     2$
        JSR     PC,dirty
        JSR     PC,regist
        JSR     PC,stack
        JSR     PC,whole
        JSR     R5,rearm
        .word   244
        RTS     PC

; --- tables of cases ------------------------------------------------------------------------------------------------
; A table: text, end, instruction through R0, 1 if it traps, 0, rows.  A row: B, A, IIEEGG (each two octal digits N Z
; V C: codes not looked at, expected, before), and what stands in the place of A afterwards.

rows:   MOV     (R5)+,R1
        MOV     R5,back
        MOV     (R1)+,head
        MOV     (R1)+,limit
        MOV     (R1)+,opcode
        MOV     (R1)+,trap
        TST     (R1)+
        MOV     R1,row
1$:     CMP     row,limit
        BHIS    4$
        JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     opcode,op
        MOV     row,R1
        MOV     (R1)+,inmem+2
        MOV     (R1)+,inmem+4
        MOV     (R1)+,inmem+6
        MOV     (R1)+,inmem+10
        MOV     (R1)+,cc
        MOV     #mem+2,in0
        JSR     PC,same
        MOV     (R1)+,outmem+6
        MOV     (R1)+,outmem+10
        MOV     trap,xtrap
        BNE     2$
        ADD     #4,out0
2$:     JSR     PC,shot
        JSR     PC,verify
        ADD     #16,row
        BR      1$
4$:     MOV     back,R5
        RTS     R5

; Patterns into everything before.
before: MOV     #10101,in0
        MOV     #21212,in1
        MOV     #32323,in2
        MOV     #43434,in3
        MOV     #54545,in4
        MOV     #65656,in5
        MOV     #125252,inmem
        MOV     #052525,inmem+12
        CLR     xtrap
        RTS     PC

; What must be found: what was there.
same:   MOV     R1,-(SP)
        MOV     #in0,R1
        MOV     #out0,R2
1$:     MOV     (R1)+,(R2)+
        CMP     R1,#inmem+14
        BLO     1$
        MOV     (SP)+,R1
        RTS     PC

; Does the instruction at `op` with registers in0 to in5, four words and a guard at either end in `mem`, codes cc.
shot:   MOV     SP,outsp
        MOV     #shots,after
        CLR     traps
        CLR     gotpc
        MOV     #inmem,R1
        MOV     #mem,R2
1$:     MOV     (R1)+,(R2)+
        CMP     R1,#inmem+14
        BLO     1$
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
op:     .word   240
        IOT
shots:  MOV     outsp,SP
        RTS     PC

; The trap through 244: its codes are those of the PS that it saved.
ftrap:  MOV     (SP)+,gotpc
        MOV     (SP)+,gotps
        INC     traps
        IOT
        MOV     gotps,codes
        BIC     #177760,codes
        JMP     @after

; Compares.  Only a failure writes its text.
verify: MOV     #kept0,R1
        MOV     #out0,R2
        MOV     #regs,R0
1$:     JSR     PC,alike
        ADD     #4,R0
        CMP     (R1)+,(R2)+
        CMP     R1,#kept5
        BLOS    1$
        MOV     #outsp,R2
        JSR     PC,alike
        JSR     PC,ccrow
        MOV     #tcodes,R0
        JSR     PC,alike
        MOV     #traps,R1
        MOV     #xtrap,R2
        MOV     #ttraps,R0
        JSR     PC,alike
        MOV     #mem,R1
        MOV     #outmem,R2
        TST     xtrap
        BEQ     2$
        MOV     #op+2,work
        MOV     #gotpc,R1
        MOV     #work,R2
        MOV     #tsaved,R0
        JSR     PC,alike
        MOV     #mem+2,R1       ; B stays after an error
        MOV     #outmem+2,R2
        MOV     #tmemb,R0
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        JSR     PC,alike
2$:     MOV     #mem,R1
        MOV     #outmem,R2
        MOV     #tguard,R0
        JSR     PC,alike
        ADD     #6,R1
        ADD     #6,R2
        MOV     #tmem1,R0
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        MOV     #tmem2,R0
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        MOV     #tguard,R0
        JSR     PC,alike
        JMP     finish

; The text of a failure: `head`, A, B, the code, and what of it (R0).
compos: JSR     PC,opens
        MOV     R0,-(SP)
        MOV     inmem+6,R1
        JSR     PC,spell
        MOV     inmem+10,R1
        JSR     PC,spell
        MOV     #tand,R0
        JSR     PC,copy
        MOV     inmem+2,R1
        JSR     PC,spell
        MOV     inmem+4,R1
        JSR     PC,spell
        MOV     #tcode,R0
        JSR     PC,copy
        MOV     op,R1
        JSR     PC,spell
        MOV     (SP)+,R0
        JMP     closes

; --- other cases ----------------------------------------------------------------------------------------------------

; An operand with exponent 0 is zero whatever stands beside it (unconfirmed): the codes, and the product.
dirty:  MOV     #hdirty,head
        JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     #75020,op
        MOV     #000177,inmem+2
        MOV     #177777,inmem+4
        MOV     #040400,inmem+6
        CLR     inmem+10
        MOV     #000413,cc
        MOV     #mem+2,in0
        JSR     PC,same
        ADD     #4,out0
        CLR     outmem+6
        JSR     PC,shot
        JMP     verify

; 6 and 2 by each instruction through each register.
regist: MOV     #hregis,head
        MOV     #tregs,row
1$:     CLR     source
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     #40400,inmem+2
        CLR     inmem+4
        MOV     #40700,inmem+6
        CLR     inmem+10
        MOV     row,R1
        MOV     (R1)+,op
        BIS     source,op
        MOV     source,R2
        ASL     R2
        MOV     #mem+2,in0(R2)
        MOV     R2,R3
        JSR     PC,same
        ADD     #4,out0(R3)
        MOV     (R1)+,outmem+6
        MOV     #000017,cc
        JSR     PC,shot
        JSR     PC,verify
        INC     source
        CMP     source,#6
        BLO     2$
        ADD     #4,row
        CMP     row,#eregs
        BLO     1$
        RTS     PC
tregs:  .word   75000, 41000, 75010, 40600, 75020, 41100, 75030, 40500
eregs:

; The same through SP: the result is left on the stack.
stack:  MOV     #hstack,head
        MOV     #tregs,row
1$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     @row,2$
        BIS     #6,2$
        MOV     2$,op
        MOV     SP,outsp
        MOV     #3$,after
        CLR     traps
        CLR     -(SP)           ; A, then B
        MOV     #40700,-(SP)
        CLR     -(SP)
        MOV     #40400,-(SP)
        .word   277             ; all codes 1
2$:     .word   240
        IOT
3$:     MOV     outsp,SP
        MOV     -(SP),mem+10
        MOV     -(SP),mem+6
        MOV     outsp,SP
        MOV     row,R2
        TST     (R2)+
        MOV     #mem+6,R1
        MOV     #tmem1,R0
        JSR     PC,alike
        MOV     #mem+10,R1
        MOV     #zero,R2
        MOV     #tmem2,R0
        JSR     PC,alike
        MOV     #codes,R1
        MOV     #tcodes,R0
        JSR     PC,alike
        MOV     #traps,R1
        MOV     #ttraps,R0
        JSR     PC,alike
        SUB     #4,outsp
        MOV     #kept6,R1
        MOV     #outsp,R2
        MOV     #tsp,R0
        JSR     PC,alike
        JSR     PC,finish
        ADD     #4,row
        CMP     row,#eregs
        BLO     1$
        RTS     PC

; 100 pairs of whole numbers: sums and differences of 16 bits, products of 12 bits, and the quotients back: all exact.
whole:  MOV     #144,left
1$:     JSR     PC,random
        MOV     R0,first
        JSR     PC,random
        MOV     R0,second
        MOV     #twhole,row
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     row,R1
        MOV     (R1)+,head
        MOV     (R1)+,op
        MOV     #mem+2,in0
        JSR     PC,@(R1)+
        MOV     a,R0            ; as numbers with exponents
        MOV     a+2,R1
        JSR     PC,float
        MOV     R0,inmem+6
        MOV     R1,inmem+10
        MOV     b,R0
        MOV     b+2,R1
        JSR     PC,float
        MOV     R0,inmem+2
        MOV     R1,inmem+4
        JSR     PC,same
        ADD     #4,out0
        MOV     res,R0
        MOV     res+2,R1
        JSR     PC,float
        MOV     R0,outmem+6
        MOV     R1,outmem+10
        MOV     #000017,cc
        MOV     res,R0
        BPL     3$
        MOV     #001007,cc
3$:     BIS     res+2,R0
        BNE     4$
        MOV     #000413,cc
4$:     JSR     PC,shot
        JSR     PC,verify
        ADD     #6,row
        CMP     row,#ewhole
        BLO     2$
        DEC     left
        BNE     1$
        RTS     PC
twhole: .word   hfadd, 75000, adds
        .word   hfsub, 75010, subs
        .word   hfmul, 75020, muls
        .word   hfdiv, 75030, divs
ewhole:

; Each sets a, b and the result.
adds:   JSR     PC,words
        MOV     a,res
        MOV     a+2,res+2
        ADD     b+2,res+2
        ADC     res
        ADD     b,res
        RTS     PC
subs:   JSR     PC,words
        MOV     a,res
        MOV     a+2,res+2
        SUB     b+2,res+2
        SBC     res
        SUB     b,res
        RTS     PC
muls:   JSR     PC,words
        MOV     #4,R2           ; to 12 bits with their signs
1$:     ASR     a+2
        ASR     b+2
        DEC     R2
        BNE     1$
        JMP     produc
divs:   JSR     PC,muls
        TST     b+2             ; never by zero
        BNE     1$
        INC     b+2
        JSR     PC,produc
1$:     MOV     a,R0            ; the product by b is a
        MOV     a+2,R1
        MOV     res,a
        MOV     res+2,a+2
        MOV     R0,res
        MOV     R1,res+2
        RTS     PC
words:  CLR     a
        MOV     first,a+2
        BPL     1$
        DEC     a
1$:     CLR     b
        MOV     second,b+2
        BPL     2$
        DEC     b
2$:     RTS     PC

; R0 and R1, 32 bits with sign and at most 24 that count, as a floating number.
float:  CLR     R3              ; sign
        MOV     R0,R2
        BIS     R1,R2
        BEQ     3$
        TST     R0
        BPL     1$
        MOV     #100000,R3
        COM     R0
        NEG     R1
        BNE     1$
        INC     R0
1$:     MOV     #240,R2         ; exponent: 0.1... times 2^32
2$:     TST     R0
        BMI     4$
        ASL     R1
        ROL     R0
        DEC     R2
        BR      2$
4$:     BIC     #100000,R0      ; the bit that is not stored
        SWAB    R1
        BIC     #177400,R1
        MOV     R0,R4
        SWAB    R4
        MOV     R4,R0
        BIC     #177600,R0      ; seven bits
        BIC     #377,R4         ; and eight at the top of the second word
        BIS     R4,R1
        SWAB    R2              ; exponent to bits 14-7
        ASR     R2
        BIC     #100000,R2
        BIS     R2,R0
        BIS     R3,R0
3$:     RTS     PC

; res: a by b, by shifting and adding; both have 16 bits and a sign.
produc: CLR     R5
        MOV     a+2,R2
        BPL     1$
        NEG     R2
        INC     R5
1$:     MOV     b+2,R3
        BPL     2$
        NEG     R3
        INC     R5
2$:     CLR     R0
        CLR     R1
        MOV     #16.,R4
3$:     ASL     R1
        ROL     R0
        ASL     R3
        BCC     4$
        ADD     R2,R1
        ADC     R0
4$:     DEC     R4
        BNE     3$
        ASR     R5
        BCC     5$
        COM     R0
        NEG     R1
        BNE     5$
        INC     R0
5$:     MOV     R0,res
        MOV     R1,res+2
        RTS     PC

; --- tables ---------------------------------------------------------------------------------------------------------

tlist:
        .word   tfadd, tfsub, tfmul, tfdiv, tfaddr, tfmulr, tfdivr, toadd
        .word   tosub, tomul, todiv, tuadd, tusub, tumul, tudiv, tzdiv
elist:
; FADD: A + B in the place of A, the register past B
tfadd:  .word   hfadd, etfadd, 75000, 0, 0
        .word   40200, 0, 40400, 0, 17, 40500, 0
        .word   40200, 0, 140400, 0, 1007, 140200, 0
        .word   140200, 0, 40400, 0, 17, 40200, 0
        .word   140200, 0, 140400, 0, 1007, 140500, 0
        .word   140200, 0, 40200, 0, 413, 0, 0
        .word   40200, 0, 0, 0, 17, 40200, 0
        .word   0, 0, 40200, 0, 17, 40200, 0
        .word   0, 0, 0, 0, 413, 0, 0
        .word   32200, 0, 40177, 177777, 17, 40200, 0
        .word   140177, 177777, 40200, 0, 17, 32200, 0
        .word   26200, 0, 40200, 0, 17, 40200, 0
        .word   41110, 0, 40040, 0, 17, 41122, 0
etfadd:
; FSUB: A - B in the place of A
tfsub:  .word   hfsub, etfsub, 75010, 0, 0
        .word   40200, 0, 40400, 0, 17, 40200, 0
        .word   40400, 0, 40200, 0, 1007, 140200, 0
        .word   40500, 0, 40500, 0, 413, 0, 0
        .word   140400, 0, 140200, 0, 17, 40200, 0
        .word   40200, 0, 0, 0, 1007, 140200, 0
        .word   0, 0, 40200, 0, 17, 40200, 0
        .word   40200, 0, 40200, 1, 17, 32400, 0
etfsub:
; FMUL: A times B in the place of A
tfmul:  .word   hfmul, etfmul, 75020, 0, 0
        .word   40500, 0, 40400, 0, 17, 40700, 0
        .word   40500, 0, 140400, 0, 1007, 140700, 0
        .word   140500, 0, 140400, 0, 17, 40700, 0
        .word   0, 0, 40500, 0, 413, 0, 0
        .word   140400, 0, 0, 0, 413, 0, 0
        .word   40000, 0, 40000, 0, 17, 37600, 0
        .word   40200, 0, 200, 0, 17, 200, 0
        .word   40200, 0, 77777, 177777, 17, 77777, 177777
        .word   41110, 0, 41110, 0, 17, 42034, 40000
etfmul:
; FDIV: A divided by B in the place of A
tfdiv:  .word   hfdiv, etfdiv, 75030, 0, 0
        .word   40400, 0, 40700, 0, 17, 40500, 0
        .word   40600, 0, 140400, 0, 1007, 140000, 0
        .word   140400, 0, 140400, 0, 17, 40200, 0
        .word   40500, 0, 0, 0, 413, 0, 0
        .word   40500, 0, 40500, 0, 17, 40200, 0
        .word   77777, 177777, 77777, 177777, 17, 40200, 0
        .word   37600, 0, 40740, 0, 17, 41340, 0
etfdiv:
; FADD whose exact result needs more than 24 bits: half of the last place rounds away from zero  (unconfirmed)
tfaddr: .word   hfaddr, etfaddr, 75000, 0, 0
        .word   32200, 0, 40200, 0, 17, 40200, 1
        .word   32177, 177776, 40200, 0, 17, 40200, 0
        .word   32200, 1, 40200, 0, 17, 40200, 1
        .word   132200, 0, 140200, 0, 1007, 140200, 1
        .word   32000, 0, 40177, 177777, 17, 40200, 0
        .word   132000, 0, 140177, 177777, 1007, 140200, 0
etfaddr:
; FMUL whose exact result needs more than 24 bits: half of the last place rounds away from zero  (unconfirmed)
tfmulr: .word   hfmulr, etfmulr, 75020, 0, 0
        .word   40300, 0, 40200, 1, 17, 40300, 2
        .word   40240, 0, 40200, 1, 17, 40240, 1
        .word   40377, 177777, 40200, 1, 17, 40400, 0
etfmulr:
; FDIV whose exact result needs more than 24 bits: half of the last place rounds away from zero  (unconfirmed)
tfdivr: .word   hfdivr, etfdivr, 75030, 0, 0
        .word   40500, 0, 40200, 0, 17, 37652, 125253
        .word   40500, 0, 40400, 0, 17, 40052, 125253
        .word   41040, 0, 140200, 0, 1007, 137314, 146315
etfdivr:
; A result too great: trap through 244 with V, operands and register as they were
toadd:  .word   hoadd, etoadd, 75000, 1, 0
        .word   77777, 177777, 77777, 177777, 215, 77777, 177777
etoadd:
tosub:  .word   hosub, etosub, 75010, 1, 0
        .word   77777, 177777, 177777, 177777, 215, 177777, 177777
etosub:
tomul:  .word   homul, etomul, 75020, 1, 0
        .word   60200, 0, 60200, 0, 215, 60200, 0
        .word   60200, 0, 160200, 0, 205, 160200, 0
etomul:
todiv:  .word   hodiv, etodiv, 75030, 1, 0
        .word   40000, 0, 77777, 177777, 215, 77777, 177777
etodiv:
; A result below 2^-128: trap through 244 with N and V, operands and register as they were
tuadd:  .word   huadd, etuadd, 75000, 1, 0
        .word   100200, 0, 201, 0, 1205, 201, 0
etuadd:
tusub:  .word   husub, etusub, 75010, 1, 0
        .word   200, 0, 300, 0, 1205, 300, 0
etusub:
tumul:  .word   humul, etumul, 75020, 1, 0
        .word   40000, 0, 200, 0, 1205, 200, 0
        .word   20200, 0, 100200, 0, 1205, 100200, 0
etumul:
tudiv:  .word   hudiv, etudiv, 75030, 1, 0
        .word   40400, 0, 200, 0, 1205, 200, 0
etudiv:
; FDIV by zero: trap through 244 with N, V and C, operands and register as they were
tzdiv:  .word   hzdiv, etzdiv, 75030, 1, 0
        .word   0, 0, 40200, 0, 1304, 40200, 0
        .word   0, 0, 140200, 0, 1304, 140200, 0
        .word   0, 0, 0, 0, 1304, 0, 0
etzdiv:

; --- words and texts ------------------------------------------------------------------------------------------------

buffer: . = . + 160
later:  .word   0
back:   .word   0
seed:   .word   0
head:   .word   0
limit:  .word   0
opcode: .word   0
trap:   .word   0
row:    .word   0
source: .word   0
left:   .word   0
work:   .word   0
first:  .word   0
second: .word   0
a:      .word   0, 0
b:      .word   0, 0
res:    .word   0, 0
zero:   .word   0
cc:     .word   0
after:  .word   0               ; where a trap goes on
traps:  .word   0
xtrap:  .word   0
gotpc:  .word   0
gotps:  .word   0
outsp:  .word   0
mem:    .word   0, 0, 0, 0, 0, 0
in0:    .word   0
in1:    .word   0
in2:    .word   0
in3:    .word   0
in4:    .word   0
in5:    .word   0
inmem:  .word   0, 0, 0, 0, 0, 0
out0:   .word   0
out1:   .word   0
out2:   .word   0
out3:   .word   0
out4:   .word   0
out5:   .word   0
outmem: .word   0, 0, 0, 0, 0, 0
regs:   .ascii  /R0/<0><0>/R1/<0><0>/R2/<0><0>/R3/<0><0>/R4/<0><0>/R5/<0><0>
tsp:    .asciz  /SP/
tcodes: .asciz  /codes N Z V C/
ttraps: .asciz  /traps through 244/
tsaved: .asciz  /PC saved by the trap/
tmem1:  .asciz  /word 1/
tmem2:  .asciz  /word 2/
tmemb:  .asciz  /the other operand/
tguard: .asciz  /the word beside the operands/
tand:   .asciz  / and/
tcode:  .asciz  /, code/
hdirty: .asciz  /FMUL by zero with a fraction (unconfirmed) of/
hregis: .asciz  /every register,/
hstack: .asciz  /on the stack,/
hfadd:  .asciz  /FADD of/
hfsub:  .asciz  /FSUB of/
hfmul:  .asciz  /FMUL of/
hfdiv:  .asciz  /FDIV of/
hfaddr: .asciz  /FADD rounded (unconfirmed) of/
hfmulr: .asciz  /FMUL rounded (unconfirmed) of/
hfdivr: .asciz  /FDIV rounded (unconfirmed) of/
hoadd:  .asciz  /FADD overflow of/
hosub:  .asciz  /FSUB overflow of/
homul:  .asciz  /FMUL overflow of/
hodiv:  .asciz  /FDIV overflow of/
huadd:  .asciz  /FADD underflow of/
husub:  .asciz  /FSUB underflow of/
humul:  .asciz  /FMUL underflow of/
hudiv:  .asciz  /FDIV underflow of/
hzdiv:  .asciz  /FDIV by zero of/
        .even
