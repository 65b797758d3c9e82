; needs: fpp
; with: rows product
; memory: 24

; The floating point processor.  Known results: minisim/trials/cases/fpp*.yaml, exact fractions by the rules of the
; formats [processor-handbooks-1972-81] (firm where nothing else is said; tables named unconfirmed rest on memory
; alone).  Besides: integers there and back against base instructions, and single precision against double precision
; rounded. Units differ in when they trap: a parallel one at the next floating instruction.  So each instruction that
; is to trap has CFCC behind it, and the PC saved is the same for all.  Left out, because units differ or nothing is
; known: FMM and the maintenance codes, low words of MODF and LDEXP after a trapped overflow or underflow, dirty
; zeros. Before each case the unit is made to note an illegal accumulator (FEC 2, FEA `prime`) with its traps off: an
; instruction without an error must leave both.

device  = 0
vector  = 0
name:   .asciz  /fpp/
about:  .asciz  /the floating point processor: all instructions, accumulators, modes, roundings and exceptions/
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
        JSR     PC,status
        JSR     PC,ccopy
        JSR     PC,pairs
        JSR     PC,alone
        JSR     PC,modes
        JSR     PC,stack
        JSR     PC,errors
        JSR     PC,none
        JSR     PC,behind
        JSR     PC,whole
        JSR     PC,narrow
        JSR     PC,precis
        JSR     R5,rearm
        .word   244
        RTS     PC

; --- tables of cases ------------------------------------------------------------------------------------------------
; A table: text, end, 1 if accumulators are four words (0: the low two are 0), codes of the FPS not looked at,
; accumulators not looked at (bit 0: AC0), three words of instruction, places that a row fills before, 0, places that
; it fills with what must be found, 0, rows.  What is not named must stay.  `cc` is IIEEGG, each two octal digits N Z
; V C of the processor: not looked at, expected, before.

rows:   MOV     (R5)+,R1
        MOV     R5,back
        MOV     (R1)+,head
        MOV     (R1)+,limit
        MOV     R1,start1
        ADD     #14,R1
        MOV     R1,shape
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
        MOV     start1,R2
        MOV     (R2)+,wide
        MOV     (R2)+,nofps
        MOV     (R2)+,noac
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

; Patterns into everything before; nothing to be left out, no trap.
before: MOV     #patts,R1
        MOV     #infps,R2
1$:     MOV     (R1)+,(R2)+
        CMP     R1,#epatts
        BLO     1$
        MOV     #170000,cc
        MOV     #1,wide
        CLR     nofps
        CLR     noac
        CLR     xtrap
        MOV     #-1,xfec
        MOV     #240,op+2
        MOV     #240,op+4
        RTS     PC
patts:  .word   0, 10101, 21212, 32323, 43434, 54545, 65656
        .word   040321, 012345, 054321, 177777, 041622, 123456, 000001, 100000
        .word   037777, 111111, 022222, 033333, 036543, 000001, 177777, 012121
        .word   042404, 177777, 000000, 000001, 037070, 070707, 107070, 170707
        .word   052525, 125252, 052526, 125253, 052527, 125254
epatts:

; What must be found: what was there.
same:   MOV     R1,-(SP)
        MOV     R2,-(SP)
        TST     wide
        BNE     2$
        MOV     #inac0+4,R1     ; low halves of AC0, AC1, AC2
1$:     CLR     (R1)+
        CLR     (R1)+
        CMP     (R1)+,(R1)+
        CMP     R1,#inac3+4
        BLO     1$
2$:     MOV     #infps,R1
        MOV     #outfps,R2
3$:     MOV     (R1)+,(R2)+
        CMP     R1,#inmem+14
        BLO     3$
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        RTS     PC

; Does the instruction at `op`: everything from infps on is put in place, everything is fetched from gotfps on.
shot:   MOV     SP,outsp
        MOV     #gather,after
        CLR     traps
        CLR     gotpc
        MOV     #inmem,R1
        MOV     #mem,R2
1$:     MOV     (R1)+,(R2)+
        CMP     R1,#inmem+14
        BLO     1$
        LDFPS   #40200
prime:  .word   172406          ; LDF with accumulator 6
        LDD     inac4,AC0
        STD     AC0,AC4
        LDD     inac5,AC0
        STD     AC0,AC5
        LDD     inac0,AC0
        LDD     inac1,AC1
        LDD     inac2,AC2
        LDD     inac3,AC3
        LDFPS   infps
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
gather: STFPS   gotfps
        STST    gotfec
        LDFPS   #40200
        STD     AC0,gotac0
        STD     AC1,gotac1
        STD     AC2,gotac2
        STD     AC3,gotac3
        LDD     AC4,AC0
        STD     AC0,gotac4
        LDD     AC5,AC0
        STD     AC0,gotac5
shots:  MOV     outsp,SP        ; whatever a trap may have left on it
        RTS     PC

; The trap through 244: noted, then on.
ftrap:  MOV     (SP)+,gotpc
        TST     (SP)+
        INC     traps
        IOT
        CMP     traps,#10       ; a unit that traps at whatever it is given
        BHIS    1$
        JMP     @after
1$:     CMP     after,#gather
        BEQ     shots
        JMP     @after

; Compares.  Only a failure writes its text.
verify: MOV     #kept0,R1
        MOV     #out0,R2
        MOV     #regs,R3
1$:     MOV     R3,R0
        JSR     PC,alike
        ADD     #4,R3
        CMP     (R1)+,(R2)+
        CMP     R1,#kept5
        BLOS    1$
        MOV     #outsp,R2
        MOV     #tsp,R0
        JSR     PC,alike
        JSR     PC,ccrow
        MOV     #tcodes,R0
        JSR     PC,alike
        BIC     nofps,gotfps    ; the floating status
        BIC     nofps,outfps
        MOV     #gotfps,R1
        MOV     #outfps,R2
        MOV     #tfps,R0
        JSR     PC,alike
        MOV     #traps,R1
        MOV     #xtrap,R2
        MOV     #ttraps,R0
        JSR     PC,alike
        TST     xtrap
        BEQ     4$
        MOV     #op+2,work      ; the instruction that follows: behind one or two words
        CMP     op+2,#170000
        BHIS    3$
        ADD     #2,work
3$:     MOV     #gotpc,R1
        MOV     #work,R2
        MOV     #tsaved,R0
        JSR     PC,alike
4$:     MOV     #2,work         ; FEC and FEA of an error, else those of before
        MOV     #prime,work+2
        CMP     xfec,#-1
        BEQ     5$
        MOV     xfec,work
        MOV     #op,work+2
5$:     MOV     #gotfec,R1
        MOV     #work,R2
        MOV     #tfec,R0
        JSR     PC,alike
        MOV     #gotfec+2,R1
        MOV     #work+2,R2
        MOV     #tfea,R0
        JSR     PC,alike
        MOV     #gotac0,R1
        MOV     #outac0,R2
        MOV     #'0,R3
6$:     ASR     noac
        BCC     7$
        ADD     #10,R1
        ADD     #10,R2
        BR      9$
7$:     MOV     #'1,R4
8$:     MOVB    R3,tac+2
        MOVB    R4,tac+11
        MOV     #tac,R0
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        INC     R4
        CMP     R4,#'4
        BLOS    8$
9$:     INC     R3
        CMP     R3,#'5
        BLOS    6$
        MOV     #mem,R1
        MOV     #outmem,R2
        MOV     #'1,R4
10$:    MOVB    R4,tmem+14
        MOV     #tmem,R0
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        INC     R4
        CMP     R4,#'6
        BLOS    10$
        JMP     finish

; The text of a failure: `head`, the words before, and what of it (R0).
compos: JSR     PC,opens
        MOV     R0,-(SP)
        MOV     shape,R2
1$:     MOV     (R2)+,R0
        BEQ     2$
        CMP     R0,#cc
        BEQ     1$
        MOV     (R0),R1
        JSR     PC,spell
        BR      1$
2$:     MOV     (SP)+,R0
        JMP     closes

; --- status and codes -----------------------------------------------------------------------------------------------

; LDFPS and STFPS of each bit alone; bits 13 and 12 are not there, bit 4 is there on some units.
status: MOV     #hstat,head
        MOV     #sstat,shape
        MOV     #1,count
1$:     BIT     #30020,count
        BNE     2$
        JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     count,in2
        JSR     PC,same
        MOV     #170102,op      ; LDFPS R2
        MOV     #170203,op+2    ; STFPS R3
        MOV     count,outfps
        MOV     count,out3
        JSR     PC,shot
        JSR     PC,verify
2$:     ASL     count
        BCC     1$
        RTS     PC
sstat:  .word   in2, 0

; CFCC of each set of codes.
ccopy:  MOV     #hcfcc,head
        MOV     #sfps,shape
        CLR     count
1$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     count,infps
        JSR     PC,same
        MOV     #170000,op
        MOV     count,R1
        COM     R1
        BIC     #177760,R1
        MOV     count,R2
        SWAB    R2
        ASR     R2
        ASR     R2
        BIS     R1,R2
        MOV     R2,cc
        JSR     PC,shot
        JSR     PC,verify
        INC     count
        CMP     count,#17
        BLOS    1$
        RTS     PC
sfps:   .word   infps, 0

; --- every accumulator ----------------------------------------------------------------------------------------------

; LDD from each to each, STD from each to each.
pairs:  MOV     #hpair,head
        MOV     #sop,shape
        MOV     #172400,opcode
1$:     CLR     dest            ; the accumulator in bits 7 and 6
2$:     CLR     source          ; the operand
3$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     #200,infps
        JSR     PC,same
        MOV     dest,R1
        SWAB    R1
        ASR     R1
        ASR     R1
        BIS     opcode,R1
        BIS     source,R1
        MOV     R1,op
        MOV     source,R1
        MOV     dest,R2
        CMP     opcode,#172400
        BEQ     4$
        MOV     dest,R1         ; STD goes the other way
        MOV     source,R2
4$:     ASL     R1
        ASL     R1
        ASL     R1
        ADD     #inac0,R1
        ASL     R2
        ASL     R2
        ASL     R2
        ADD     #outac0,R2
        MOV     (R1)+,(R2)+
        MOV     (R1)+,(R2)+
        MOV     (R1)+,(R2)+
        MOV     (R1)+,(R2)+
        JSR     PC,shot
        JSR     PC,verify
        INC     source
        CMP     source,#6
        BLO     3$
        INC     dest
        CMP     dest,#4
        BLO     2$
        CMP     opcode,#174000
        BEQ     5$
        MOV     #174000,opcode
        BR      1$
5$:     RTS     PC
sop:    .word   op, 0

; CLRD TSTD ABSD NEGD of each, of plus and minus.
alone:  MOV     #hpair,head
        MOV     #sop,shape
        MOV     #170400,opcode
1$:     CLR     source
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     #217,infps
        MOV     source,R1
        BIC     #10,R1
        MOV     opcode,op
        BIS     R1,op
        ASL     R1
        ASL     R1
        ASL     R1
        BIT     #10,source
        BEQ     3$
        BIS     #100000,inac0(R1)
3$:     JSR     PC,same
        MOV     #200,outfps
        ADD     #outac0,R1
        CMP     opcode,#170500
        BLO     4$
        BEQ     5$
        CMP     opcode,#170700
        BEQ     6$
        BIC     #100000,(R1)    ; ABS
        BR      7$
4$:     CLR     (R1)+           ; CLR
        CLR     (R1)+
        CLR     (R1)+
        CLR     (R1)+
        BIS     #4,outfps
        BR      7$
6$:     ADD     #100000,(R1)    ; NEG
5$:     TST     (R1)
        BPL     7$
        BIS     #10,outfps
7$:     JSR     PC,shot
        JSR     PC,verify
        INC     source
        BIT     #7,source       ; 0 to 5 with plus, 10 to 15 with minus
        BEQ     8$
        CMP     source,#6
        BEQ     9$
        CMP     source,#16
        BEQ     8$
        BR      2$
9$:     MOV     #10,source
        BR      2$
8$:     ADD     #100,opcode
        CMP     opcode,#170700
        BLOS    1$
        RTS     PC

; --- every mode -----------------------------------------------------------------------------------------------------

; Each kind of operand in each mode that is in memory; R4 points.
modes:  MOV     #hmode,head
        MOV     #smode,shape
        MOV     #tkind,kind
1$:     MOV     #tmode,row
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     kind,R1
        MOV     row,R2
        MOV     (R1)+,op
        BIS     (R2)+,op
        MOV     (R1)+,infps
        MOV     (R1)+,step
        MOV     (R2)+,op+2
        MOV     #inmem,R3
        JSR     PC,four
        MOV     #040300,inac0
        CLR     inac0+2
        CLR     inac0+4
        CLR     inac0+6
        MOV     #mem,point
        MOV     (R2)+,in4
        BIT     #1,in4          ; odd: the step is added
        BEQ     3$
        DEC     in4
        ADD     step,in4
3$:     JSR     PC,same
        MOV     #outac0,R3
        JSR     PC,four
        MOV     #outmem,R3
        JSR     PC,four
        MOV     (R1)+,outfps
        MOV     (R2)+,out4
        BIT     #1,out4
        BEQ     4$
        DEC     out4
        ADD     step,out4
4$:     CMP     op+2,#1         ; relative: to `mem`, to `point`
        BNE     5$
        MOV     #mem-op-4,op+2
5$:     CMP     op+2,#3
        BNE     6$
        MOV     #point-op-4,op+2
6$:     JSR     PC,shot
        JSR     PC,verify
        ADD     #10,row
        CMP     row,#emode
        BLO     2$
        ADD     #40,kind
        CMP     kind,#ekind
        BLO     1$
        RTS     PC
four:   MOV     (R1)+,(R3)+
        MOV     (R1)+,(R3)+
        MOV     (R1)+,(R3)+
        MOV     (R1)+,(R3)+
        RTS     PC

; mode, word behind (1 and 3: relative), R4 before and after (odd: one less, and the step more)
tmode:  .word   14, 240, mem, mem
        .word   24, 240, mem, mem+1
        .word   34, 240, point, point+2
        .word   44, 240, mem+1, mem
        .word   54, 240, point+2, point
        .word   64, 100, mem-100, mem-100
        .word   74, 177776, point+2, point+2
        .word   37, mem, 4, 4
        .word   67, 1, 4, 4
        .word   77, 3, 4, 4
emode:
smode:  .word   op, infps, 0

; instruction, FPS, step, four words in memory, AC0 afterwards (before: 1.5), memory afterwards, FPS afterwards
tkind:  .word   172400, 0, 4, 40511, 7732, 121041, 64302        ; LDF
        .word   40511, 7732, 0, 0, 40511, 7732, 121041, 64302, 0
        .word   172400, 200, 10, 40511, 7732, 121041, 64302     ; LDD
        .word   40511, 7732, 121041, 64302, 40511, 7732, 121041, 64302, 200
        .word   174000, 0, 4, 11111, 22222, 33333, 44444        ; STF
        .word   40300, 0, 0, 0, 40300, 0, 33333, 44444, 0
        .word   174000, 217, 10, 11111, 22222, 33333, 44444     ; STD
        .word   40300, 0, 0, 0, 40300, 0, 0, 0, 217
        .word   173400, 17, 4, 40511, 7732, 121041, 64302       ; CMPF
        .word   40300, 0, 0, 0, 40511, 7732, 121041, 64302, 0
        .word   171000, 0, 4, 40400, 0, 121041, 64302           ; MULF
        .word   40500, 0, 0, 0, 40400, 0, 121041, 64302, 0
        .word   174400, 200, 10, 140400, 0, 0, 0                ; DIVD
        .word   140100, 0, 0, 0, 140400, 0, 0, 0, 210
        .word   170700, 0, 4, 40511, 7732, 121041, 64302        ; NEGF
        .word   40300, 0, 0, 0, 140511, 7732, 121041, 64302, 10
        .word   170400, 213, 10, 40511, 7732, 121041, 64302     ; CLRD
        .word   40300, 0, 0, 0, 0, 0, 0, 0, 204
        .word   170500, 207, 10, 140511, 7732, 1, 1             ; TSTD
        .word   40300, 0, 0, 0, 140511, 7732, 1, 1, 210
        .word   170600, 7, 4, 140511, 7732, 1, 1                ; ABSF
        .word   40300, 0, 0, 0, 40511, 7732, 1, 1, 0
        .word   170100, 0, 2, 40511, 7732, 121041, 64302        ; LDFPS
        .word   40300, 0, 0, 0, 40511, 7732, 121041, 64302, 40511
        .word   170200, 47, 2, 11111, 22222, 33333, 44444       ; STFPS
        .word   40300, 0, 0, 0, 47, 22222, 33333, 44444, 47
        .word   170300, 0, 4, 11111, 22222, 33333, 44444        ; STST
        .word   40300, 0, 0, 0, 2, prime, 33333, 44444, 0
        .word   177000, 17, 2, 40511, 7732, 121041, 64302       ; LDCIF
        .word   43602, 111000, 0, 0, 40511, 7732, 121041, 64302, 0
        .word   177000, 100, 4, 40511, 7732, 121041, 64302      ; LDCLF
        .word   47602, 111040, 0, 0, 40511, 7732, 121041, 64302, 100
        .word   175400, 0, 2, 11111, 22222, 33333, 44444        ; STCFI
        .word   40300, 0, 0, 0, 1, 22222, 33333, 44444, 0
        .word   175400, 300, 4, 11111, 22222, 33333, 44444      ; STCDL
        .word   40300, 0, 0, 0, 0, 1, 33333, 44444, 300
        .word   176400, 0, 2, 5, 22222, 33333, 44444            ; LDEXP
        .word   41300, 0, 0, 0, 5, 22222, 33333, 44444, 0
        .word   175000, 17, 2, 11111, 22222, 33333, 44444       ; STEXP
        .word   40300, 0, 0, 0, 1, 22222, 33333, 44444, 0
        .word   177400, 0, 10, 40511, 7732, 121041, 64302       ; LDCDF
        .word   40511, 7733, 0, 0, 40511, 7732, 121041, 64302, 0
        .word   177400, 200, 4, 40511, 7732, 121041, 64302      ; LDCFD
        .word   40511, 7732, 0, 0, 40511, 7732, 121041, 64302, 200
        .word   176000, 0, 10, 11111, 22222, 33333, 44444       ; STCFD
        .word   40300, 0, 0, 0, 40300, 0, 0, 0, 0
        .word   176000, 200, 4, 11111, 22222, 33333, 44444      ; STCDF
        .word   40300, 0, 0, 0, 40300, 0, 33333, 44444, 200
ekind:

; A number pushed on the stack and taken from it.
stack:  JSR     R5,next
        .word   hstack
        MOV     SP,work
        MOV     SP,outsp
        MOV     #1$,after
        CLR     traps
        LDFPS   #40200
        LDD     inac4,AC1
        STD     AC1,-(SP)
        IOT
        LDD     (SP)+,AC2
        STD     AC2,gotac0
1$:     MOV     SP,work+2
        ADD     #10,kept6
        JSR     R5,want
        .word   0, traps
        JSR     R5,wantat
        .word   work, kept6
        JSR     R5,wantat
        .word   work, work+2
        MOV     work,SP
        JSR     R5,wantat
        .word   inac4, gotac0
        JSR     R5,wantat
        .word   inac4+2, gotac0+2
        JSR     R5,wantat
        .word   inac4+4, gotac0+4
        JSR     R5,wantat
        .word   inac4+6, gotac0+6
        JMP     finish

; --- exceptions -----------------------------------------------------------------------------------------------------

; Each of `terror` three times: enabled and trapped, enabled with all traps off (FID), not enabled.
errors: MOV     #serror,shape
        MOV     #terror,row
1$:     CLR     count
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     row,R1
        MOV     (R1)+,head
        MOV     (R1)+,op
        MOV     (R1)+,infps
        MOV     (R1)+,R2        ; enable bit
        MOV     #inac0,R3
        JSR     PC,four
        MOV     #inac1,R3
        JSR     PC,four
        MOV     (R1)+,in0
        TST     count
        BNE     3$
        BIS     R2,infps
        INC     xtrap
        BR      5$
3$:     CMP     count,#1
        BNE     5$
        BIS     R2,infps
        BIS     #40000,infps
5$:     JSR     PC,same
        MOV     xtrap,R4
        BEQ     6$
        MOV     #170000,op+2    ; CFCC: parallel units trap here
6$:     CLR     R2              ; offset of the result's place from that of AC0
        MOV     op,R0
        BIC     #777,R0
        CMP     R0,#176000      ; STCDF, and LDEXP: told from each other by bit 8
        BNE     7$
        BIT     #400,op
        BNE     7$
        MOV     #10,R2
7$:     ADD     #outac0,R2
        MOV     R2,R3
        CMP     count,#2
        BEQ     8$
        JSR     PC,four
        MOV     (R1)+,R4        ; error code
        MOV     R4,xfec
        MOV     (R1)+,R4        ; codes
        BIC     #17,outfps
        BIS     R4,outfps
        BIS     #100000,outfps
        CMP     (R1)+,(R1)+
        BR      9$
8$:     ADD     #14,R1          ; not enabled: zero, or what was there
        TST     (R1)+
        BMI     10$
        CLR     (R3)+
        CLR     (R3)+
        CLR     (R3)+
        CLR     (R3)+
10$:    BIC     #17,outfps
        BIS     (R1)+,outfps
9$:     MOV     (R1)+,nofps
        MOV     (R1)+,noac
        CMP     count,#2
        BNE     11$
        CLR     nofps
        CLR     noac
11$:    MOV     R1,ahead
        CMP     head,#hconv
        BNE     12$
        CLR     out0            ; where the integer goes
12$:    JSR     PC,shot
        JSR     PC,verify
        INC     count
        CMP     count,#2
        BLO     14$
        BHI     13$
        CMP     head,#hzero     ; division by zero has no enable
        BEQ     13$
14$:    JMP     2$
13$:    MOV     ahead,row
        CMP     row,#eerror
        BHIS    15$
        JMP     1$
15$:    RTS     PC
serror: .word   op, infps, inac0, inac0+2, inac0+4, inac0+6, inac1, inac1+2, inac1+4, inac1+6, in0, 0

; text, instruction, FPS without enable, enable, AC0, AC1, R0, result error code and codes if enabled; not enabled: 0
; result is 0, -1 as it was, and codes; enabled: codes and accumulators not seen
terror:
        .word   hover, 171001, 15, 1000, 77777, 177777, 0, 0, 40400, 0, 0, 0, 0, 177, 177777, 0, 0
        .word   10, 6, 0, 6, 0, 0
        .word   hover, 171001, 0, 1000, 77777, 177777, 0, 0, 140400, 0, 0, 0, 0, 100177, 177777, 0, 0
        .word   10, 16, 0, 6, 0, 0
        .word   hover, 171001, 0, 1000, 77777, 177777, 0, 0, 77777, 177777, 0, 0, 0, 37577, 177776, 0, 0
        .word   10, 2, 0, 6, 0, 0
        .word   hover, 171001, 200, 1000, 77777, 177777, 177777, 177777, 140300, 0, 0, 0, 0, 100077
        .word   177777, 177777, 177777
        .word   10, 16, 0, 6, 0, 0
        .word   hover, 172001, 0, 1000, 77777, 177777, 0, 0, 77777, 177777, 0, 0, 0, 177, 177777, 0, 0
        .word   10, 6, 0, 6, 0, 0
        .word   hover, 172001, 0, 1000, 77777, 177777, 0, 0, 71600, 0, 0, 0, 0, 0, 0, 0, 0
        .word   10, 6, 0, 6, 0, 0
        .word   hover, 173001, 0, 1000, 177777, 177777, 0, 0, 77777, 177777, 0, 0, 0, 100177, 177777, 0, 0
        .word   10, 16, 0, 6, 0, 0
        .word   hover, 174401, 0, 1000, 77777, 177777, 0, 0, 37600, 0, 0, 0, 0, 377, 177777, 0, 0
        .word   10, 2, 0, 6, 0, 0
        .word   hover, 174401, 200, 1000, 77777, 177777, 177777, 177777, 200, 0, 0, 0, 0, 37777, 177777
        .word   177777, 177777
        .word   10, 2, 0, 6, 0, 0
        .word   hover, 176001, 200, 1000, 77777, 177777, 177777, 177777, 40200, 0, 0, 0, 0, 0, 0, 0, 0
        .word   10, 6, 0, 6, 0, 0
        .word   hover, 177401, 0, 1000, 40200, 0, 0, 0, 177777, 177777, 177777, 177777, 0, 100000, 0, 0, 0
        .word   10, 16, 0, 6, 0, 0
        .word   hover, 176400, 0, 1000, 40300, 0, 0, 0, 0, 0, 0, 0, 200, 100, 0, 0, 0
        .word   10, 6, 0, 6, 14, 1
        .word   hunder, 171001, 17, 2000, 200, 0, 0, 0, 40000, 0, 0, 0, 0, 0, 0, 0, 0
        .word   12, 4, 0, 4, 0, 0
        .word   hunder, 171001, 0, 2000, 200, 0, 0, 0, 137600, 0, 0, 0, 0, 177600, 0, 0, 0
        .word   12, 10, 0, 4, 0, 0
        .word   hunder, 171001, 200, 2000, 200, 0, 0, 0, 200, 0, 0, 0, 0, 40200, 0, 0, 0
        .word   12, 0, 0, 4, 0, 0
        .word   hunder, 172001, 200, 2000, 200, 0, 0, 1, 100200, 0, 0, 0, 0, 62400, 0, 0, 0
        .word   12, 0, 0, 4, 0, 0
        .word   hunder, 173001, 0, 2000, 200, 1, 0, 0, 200, 0, 0, 0, 0, 72400, 0, 0, 0
        .word   12, 0, 0, 4, 0, 0
        .word   hunder, 174401, 0, 2000, 200, 0, 0, 0, 40600, 0, 0, 0, 0, 77600, 0, 0, 0
        .word   12, 0, 0, 4, 0, 0
        .word   hunder, 174401, 200, 2000, 100200, 0, 0, 0, 41000, 0, 0, 0, 0, 177400, 0, 0, 0
        .word   12, 10, 0, 4, 0, 0
        .word   hunder, 176400, 0, 2000, 40300, 0, 0, 0, 0, 0, 0, 0, 177600, 100, 0, 0, 0
        .word   12, 4, 0, 4, 14, 1
        .word   hzero, 174401, 12, 0, 40200, 0, 0, 0, 0, 0, 0, 0, 0, 40200, 0, 0, 0
        .word   4, 12, -1, 12, 0, 0
        .word   hzero, 174401, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0
        .word   4, 0, -1, 0, 0, 0
        .word   hconv, 175400, 0, 400, 44000, 0, 0, 0, 0, 0, 0, 0, 123456, 44000, 0, 0, 0
        .word   6, 5, -1, 5, 0, 0
        .word   hconv, 175400, 200, 400, 144000, 400, 0, 0, 0, 0, 0, 0, 123456, 144000, 400, 0, 0
        .word   6, 5, -1, 5, 0, 0
eerror:

; Accumulators 6 and 7 and words that are no instructions: FEC 2, once trapped, once with all traps off.
none:   MOV     #hnone,head
        MOV     #sop,shape
        MOV     #tnone,row
1$:     CLR     count
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     @row,op
        MOV     #5,infps
        TST     count
        BEQ     3$
        BIS     #40000,infps
3$:     JSR     PC,same
        BIS     #100000,outfps
        MOV     #2,xfec
        TST     count
        BNE     4$
        INC     xtrap
        MOV     #170000,op+2
4$:     JSR     PC,shot
        JSR     PC,verify
        INC     count
        CMP     count,#2
        BLO     2$
        ADD     #2,row
        CMP     row,#enone
        BLO     1$
        RTS     PC
; the last four are unconfirmed
tnone:  .word   172406, 172407, 174006, 174007, 172006, 173006, 171006, 174406, 173406, 171406, 170406
        .word   170407, 170506
        .word   170606, 170706, 176006, 177406, 177407
        .word   170010, 170013, 170040, 170077
enone:

; A division by zero, and each kind of floating instruction behind it: the trap comes before that does anything
; (unconfirmed).
behind: MOV     #hbehin,head
        MOV     #sbehin,shape
        MOV     #tbehin,row
1$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        CLR     inac1
        CLR     inac1+2
        CLR     inac1+4
        CLR     inac1+6
        MOV     #200,infps
        JSR     PC,same
        MOV     #174401,op
        MOV     @row,op+2
        INC     xtrap
        MOV     #4,xfec
        MOV     #100200,outfps
        JSR     PC,shot
        JSR     PC,verify
        ADD     #2,row
        CMP     row,#ebehin
        BLO     1$
        RTS     PC
sbehin: .word   op, op+2, 0
tbehin: .word   170000, 170001, 170002, 170011, 170012, 170100, 170200, 170300, 175000, 175400, 177100
        .word   172402, 172002
        .word   170704, 174003, 176402
ebehin:

; --- integers there and back ----------------------------------------------------------------------------------------

; 200 pairs: sum, difference and product in double precision against base instructions; quotient, comparison.
whole:  MOV     #hwhole,head
        MOV     #swhole,shape
        MOV     #310,left
1$:     JSR     PC,random
        MOV     R0,first
        JSR     PC,random
        MOV     R0,second
        JSR     R5,next
        .word   buffer
        MOV     SP,outsp
        MOV     #7$,after
        CLR     traps
        LDFPS   #40200
        LDCID   first,AC0
        LDCID   second,AC1
        SETL
        LDD     AC0,AC2
        ADDD    AC1,AC2
        STCDL   AC2,gotac0
        LDD     AC0,AC2
        SUBD    AC1,AC2
        STCDL   AC2,gotac1
        LDD     AC0,AC2
        MULD    AC1,AC2
        STCDL   AC2,gotac2
        DIVD    AC1,AC2
        STCDL   AC2,gotac3
        CMPD    AC0,AC1         ; codes of AC0 - AC1
        CFCC
        IOT
7$:     MOV     outsp,SP
        MOV     first,R0
        JSR     PC,extend
        MOV     R0,R2
        MOV     R1,R3
        MOV     second,R0
        JSR     PC,extend
        MOV     R2,R4
        MOV     R3,R5
        ADD     R1,R5
        ADC     R4
        ADD     R0,R4
        MOV     R4,outac0
        MOV     R5,outac0+2
        SUB     R1,R3
        SBC     R2
        SUB     R0,R2
        MOV     R2,outac1
        MOV     R3,outac1+2
        MOV     R2,sign
        JSR     PC,produc
        MOV     R0,outac2
        MOV     R1,outac2+2
        MOV     first,R0
        JSR     PC,extend
        MOV     R0,outac3
        MOV     R1,outac3+2
        MOV     #gotac0,R1
        MOV     #outac0,R2
        MOV     #twhole,R3
2$:     MOV     (R3),R0
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        MOV     (R3)+,R0
        JSR     PC,alike
        ADD     #6,R1
        ADD     #6,R2
        CMP     R3,#ewhole
        BLO     2$
        CLR     R0
        TST     sign
        BPL     3$
        MOV     #10,R0
3$:     CMP     first,second
        BNE     4$
        MOV     #4,R0
4$:     MOV     R0,work
        MOV     #codes,R1
        MOV     #work,R2
        MOV     #tcomp,R0
        JSR     PC,alike
        JSR     PC,notrap
        JSR     PC,finish
        DEC     left
        BEQ     5$
        JMP     1$
5$:     RTS     PC
swhole: .word   first, second, 0

; No trap in a case that goes without `shot`.
notrap: MOV     #traps,R1
        MOV     #nought,R2
        MOV     #ttraps,R0
        JMP     alike
twhole: .word   tsum, tdiff, tprod, tquot
ewhole:

; R0 as 32 bits in R0 and R1.
extend: MOV     R0,R1
        CLR     R0
        TST     R1
        BPL     1$
        DEC     R0
1$:     RTS     PC

; --- single against double precision --------------------------------------------------------------------------------

; 100 pairs of numbers: ADDF SUBF MULF DIVF, rounded and chopped, must be what the same in double precision is,
; rounded or chopped to single afterwards.  (With 56 bits behind 24 no result is rounded twice: 56 is more than 2 x 24
; + 2.)
narrow: MOV     #hnarro,head
        MOV     #snarro,shape
        MOV     #144,left
1$:     JSR     PC,factor
        MOV     R0,first
        JSR     PC,random
        MOV     R0,first+2
        JSR     PC,factor
        MOV     R0,second
        JSR     PC,random
        MOV     R0,second+2
        MOV     #tnarro,row
2$:     MOV     #40000,count    ; FID; then FT too
3$:     JSR     R5,next
        .word   buffer
        MOV     @row,6$
        MOV     @row,7$
        MOV     @row,op
        MOV     SP,outsp
        MOV     #9$,after
        CLR     traps
        LDFPS   count
        LDF     first,AC0
        LDF     second,AC1
6$:     .word   0
        STF     AC0,gotac0
        BIS     #200,count
        LDFPS   count
        BIC     #200,count
        LDCFD   first,AC0
        LDCFD   second,AC1
7$:     .word   0
        STCDF   AC0,outac0
9$:     MOV     outsp,SP
        JSR     PC,notrap
        MOV     #gotac0,R1
        MOV     #outac0,R2
        MOV     #tword1,R0
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        MOV     #tword2,R0
        JSR     PC,alike
        JSR     PC,finish
        ADD     #40,count
        CMP     count,#40040
        BEQ     3$
        ADD     #2,row
        CMP     row,#enarro
        BLO     2$
        DEC     left
        BEQ     8$
        JMP     1$
8$:     RTS     PC
snarro: .word   op, count, first, first+2, second, second+2, 0
tnarro: .word   172001, 173001, 171001, 174401
enarro:

; R0: the first word of a number, of any sign, between 2^-9 and 2^7.
factor: JSR     PC,random
        BIC     #74000,R0
        ADD     #36000,R0
        RTS     PC

; --- every bit of double precision ----------------------------------------------------------------------------------

; 60 times.  Numbers n and m of 28 bits: MULD gives all 56 bits, taken apart again by MODD; DIVD gives n back.
; Numbers n of 31 and k of 24 bits: n times 2^24 (by STEXP and LDEXP) and k are added, taken apart, and k is
; subtracted again.
precis: MOV     #hpreci,head
        MOV     #spreci,shape
        MOV     #74,left
1$:     JSR     PC,random
        MOV     R0,first
        JSR     PC,random
        MOV     R0,first+2
        JSR     PC,random
        MOV     R0,second
        JSR     PC,random
        MOV     R0,second+2
        BIC     #170000,first
        BIC     #170000,second
        BIS     #4000,first     ; all 28 bits
        JSR     R5,next
        .word   buffer
        JSR     PC,wide64
        MOV     SP,outsp
        MOV     #2$,after
        CLR     traps
        LDFPS   #40340          ; FID, FD, FL, FT
        LDCLD   first,AC0
        LDCLD   second,AC1
        MULD    AC1,AC0
        LDD     AC0,AC3
        LDD     #31200,AC2      ; 2^-28
        MODD    AC2,AC0
        STCDL   AC1,gotac0
        LDD     #47200,AC2      ; 2^28
        MULD    AC2,AC0
        STCDL   AC0,gotac0+4
        LDCLD   second,AC1
        DIVD    AC1,AC3
        STCDL   AC3,gotac1
        LDCLD   first,AC0
        STEXP   AC0,R0
        ADD     #24.,R0
        LDEXP   R0,AC0
        MOV     second,count
        MOV     second+2,count2
        BIC     #177400,count
        LDCLD   count,AC3
        ADDD    AC3,AC0
        LDD     AC0,AC2
        STD     AC2,AC4
        SUBD    AC3,AC2
        STEXP   AC2,R0
        SUB     #24.,R0
        LDEXP   R0,AC2
        STCDL   AC2,gotac1+4
        STEXP   AC0,R0
        SUB     #24.,R0
        LDEXP   R0,AC0
        LDD     #40200,AC2      ; 1
        MODD    AC2,AC0
        STCDL   AC1,gotac2
        LDD     #46200,AC2      ; 2^24
        MULD    AC2,AC0
        STCDL   AC0,gotac2+4
2$:     MOV     outsp,SP
        JSR     PC,notrap
        MOV     first,outac1
        MOV     first+2,outac1+2
        MOV     first,outac1+4
        MOV     first+2,outac1+6
        MOV     first,outac2
        MOV     first+2,outac2+2
        MOV     count,outac2+4
        MOV     count2,outac2+6
        MOV     #gotac0,R1
        MOV     #outac0,R2
        MOV     #tpreci,R3
3$:     MOV     (R3),R0
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        MOV     (R3)+,R0
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        CMP     R3,#epreci
        BLO     3$
        JSR     PC,finish
        DEC     left
        BEQ     4$
        JMP     1$
4$:     RTS     PC
spreci: .word   first, first+2, second, second+2, 0
tpreci: .word   tprodh, tprodl, tquot, tdiff, tsumh, tsuml
epreci:

; outac0: the product of the 28 bits of `first` and those of `second`, its upper and its lower 28 bits.
wide64: MOV     first,R2        ; R4 R5 R2 R3: what is added
        MOV     first+2,R3
        CLR     R4
        CLR     R5
        MOV     second,R0
        MOV     second+2,R1
        CLR     outac0
        CLR     outac0+2
        CLR     outac0+4
        CLR     outac0+6
1$:     CLC
        ROR     R0
        ROR     R1
        BCC     2$
        ADD     R3,outac0+6
        ADC     outac0+4
        ADC     outac0+2
        ADC     outac0
        ADD     R2,outac0+4
        ADC     outac0+2
        ADC     outac0
        ADD     R5,outac0+2
        ADC     outac0
        ADD     R4,outac0
2$:     ASL     R3
        ROL     R2
        ROL     R5
        ROL     R4
        MOV     R0,-(SP)
        BIS     R1,(SP)+
        BNE     1$
        MOV     #4,R0
3$:     ASL     outac0+6
        ROL     outac0+4
        ROL     outac0+2
        ROL     outac0
        DEC     R0
        BNE     3$
        MOV     #4,R0
4$:     CLC
        ROR     outac0+4
        ROR     outac0+6
        DEC     R0
        BNE     4$
        RTS     PC

; --- tables ---------------------------------------------------------------------------------------------------------

tlist:
        .word   tf01, tf02, tf03, tf04, tf05, tf06, tf07, tf08
        .word   tf09, tf10, tf11, tf12, tf13, tf14, tf15, tf16
        .word   tf17, tf18, tf19, tf20, tf21, tf22, tf23, tf24
        .word   tf25, tf26, tf27, tf28, tf29, tf30, tf31, tf32
        .word   tf33, tf34, tf35, tf36, tf37, tf38, tf39, tf40
        .word   tf41, tf42, tf43, tf44, tf45, tf46, tf47, tf48
        .word   tf49, tf50, tf51, tf52, tf53, tf54, tf55, tf56
        .word   tf57, tf58, tf59, tf60, tf61, tf62, tf63, tf64
        .word   tf65, tf66, tf67, tf68, tf90, tf91, tf92, tf113
        .word   tf114, tf115, tf116, tf117, tf118, tf119, tf120, tf121
        .word   tf122, tf123, tf124, tf125, tf126, tf127, tf128
        .word   tmode1, tstst, tststm, tcmpz
elist:

; SETF SETI SETD SETL
tmode1: .word   hset, eset, 1, 0, 0, 0, 240, 240
        .word   op, infps, 0
        .word   outfps, 0
        .word   170001, 0, 0
        .word   170001, 147757, 147557
        .word   170002, 0, 0
        .word   170002, 147757, 147657
        .word   170011, 0, 200
        .word   170011, 147557, 147757
        .word   170012, 0, 100
        .word   170012, 147657, 147757
eset:
; STST R0: the code alone
tstst:  .word   hstst, estst, 1, 0, 0, 170300, 240, 240
        .word   infps, 0
        .word   out0, 0
        .word   0, 2
        .word   200, 2
estst:
; STST (R1)+: code and address, a step of 4
tststm: .word   hststm, eststm, 1, 0, 0, 170321, 240, 240
        .word   in1, 0
        .word   out1, outmem, outmem+2, 0
        .word   mem, mem+4, 2, prime
eststm:
; CMPF AC1,AC0 of zeros
tcmpz:  .word   hcmpz, ecmpz, 1, 0, 0, 173401, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, inac1, inac1+2, inac1+4, inac1+6, 0
        .word   outfps, 0
        .word   13, 0, 0, 0, 0, 0, 0, 0, 0, 4
        .word   213, 0, 0, 0, 0, 0, 0, 0, 0, 204
ecmpz:
; LDFPS R0: every bit that there is
tf01:   .word   hf01, ef01, 0, 0, 0, 170100, 240, 240
        .word   in0, infps, 0
        .word   outfps, 0
        .word   0, 147757, 0
        .word   147757, 0, 147757
        .word   17, 0, 17
        .word   200, 100, 200
        .word   40000, 0, 40000
        .word   7400, 0, 7400
ef01:
; LDFPS R0: bits 13 and 12 read 0
tf02:   .word   hf01, ef02, 0, 0, 0, 170100, 240, 240
        .word   in0, infps, 0
        .word   outfps, 0
        .word   30000, 0, 0
ef02:
; STFPS R0
tf03:   .word   hf03, ef03, 0, 0, 0, 170200, 240, 240
        .word   in0, infps, 0
        .word   out0, outfps, 0
        .word   177777, 0, 0, 0
        .word   0, 147757, 147757, 147757
        .word   0, 101342, 101342, 101342
ef03:
; STFPS (R1)+: a step of 2
tf04:   .word   hf04, ef04, 0, 0, 0, 170221, 240, 240
        .word   in1, infps, inmem, 0
        .word   out1, outfps, outmem, 0
        .word   mem, 1345, 177777, mem+2, 1345, 1345
ef04:
; TSTF AC0
tf05:   .word   hf05, ef05, 0, 0, 0, 170500, 240, 240
        .word   infps, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 37314, 146315, 0, 37314, 146315
        .word   0, 137314, 146315, 10, 137314, 146315
        .word   13, 0, 0, 4, 0, 0
        .word   213, 0, 0, 204, 0, 0
ef05:
; TSTF AC0
tf06:   .word   hf05, ef06, 1, 0, 0, 170500, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   217, 37314, 146314, 146314, 146315, 200, 37314, 146314, 146314, 146315
        .word   200, 137314, 146314, 146314, 146315, 210, 137314, 146314, 146314, 146315
ef06:
; ABSF AC0
tf07:   .word   hf07, ef07, 0, 0, 0, 170600, 240, 240
        .word   infps, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 37314, 146315, 0, 37314, 146315
        .word   0, 137314, 146315, 0, 37314, 146315
        .word   13, 0, 0, 4, 0, 0
        .word   213, 0, 0, 204, 0, 0
ef07:
; ABSF AC0
tf08:   .word   hf07, ef08, 1, 0, 0, 170600, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   217, 37314, 146314, 146314, 146315, 200, 37314, 146314, 146314, 146315
        .word   200, 137314, 146314, 146314, 146315, 200, 37314, 146314, 146314, 146315
ef08:
; NEGF AC0
tf09:   .word   hf09, ef09, 0, 0, 0, 170700, 240, 240
        .word   infps, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 37314, 146315, 10, 137314, 146315
        .word   0, 137314, 146315, 0, 37314, 146315
        .word   13, 0, 0, 4, 0, 0
        .word   213, 0, 0, 204, 0, 0
ef09:
; NEGF AC0
tf10:   .word   hf09, ef10, 1, 0, 0, 170700, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   217, 37314, 146314, 146314, 146315, 210, 137314, 146314, 146314, 146315
        .word   200, 137314, 146314, 146314, 146315, 200, 37314, 146314, 146314, 146315
ef10:
; CLRF AC0
tf11:   .word   hf11, ef11, 0, 0, 0, 170400, 240, 240
        .word   infps, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 37314, 146315, 4, 0, 0
        .word   0, 137314, 146315, 4, 0, 0
        .word   13, 0, 0, 4, 0, 0
        .word   213, 0, 0, 204, 0, 0
ef11:
; CLRF AC0
tf12:   .word   hf11, ef12, 1, 0, 0, 170400, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   217, 37314, 146314, 146314, 146315, 204, 0, 0, 0, 0
        .word   200, 137314, 146314, 146314, 146315, 204, 0, 0, 0, 0
ef12:
; NEGF AC5: the last accumulator is an operand of mode 0
tf13:   .word   hf13, ef13, 1, 0, 0, 170705, 240, 240
        .word   infps, inac5, inac5+2, inac5+4, inac5+6, 0
        .word   outfps, outac5, outac5+2, outac5+4, outac5+6, 0
        .word   0, 40200, 0, 0, 0, 10, 140200, 0, 0, 0
        .word   200, 37652, 125252, 125252, 125253, 210, 137652, 125252, 125252, 125253
ef13:
; TSTF (R1)+ in memory: two words, a step of 4; four words, a step of 10
tf14:   .word   hf14, ef14, 0, 0, 0, 170521, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inmem+10, 0
        .word   outfps, out1, outmem, outmem+2, outmem+4, outmem+6, outmem+10, 0
        .word   0, mem, 137314, 146315, 123456, 12345, 52525, 10, mem+4, 137314, 146315, 123456, 12345, 52525
        .word   200, mem, 137314, 146314, 146314, 146315, 12345, 210, mem+10, 137314, 146314, 146314, 146315, 12345
        .word   0, mem, 40300, 0, 123456, 12345, 52525, 0, mem+4, 40300, 0, 123456, 12345, 52525
ef14:
; ABSF (R1)+ in memory: two words, a step of 4; four words, a step of 10
tf15:   .word   hf15, ef15, 0, 0, 0, 170621, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inmem+10, 0
        .word   outfps, out1, outmem, outmem+2, outmem+4, outmem+6, outmem+10, 0
        .word   0, mem, 137314, 146315, 123456, 12345, 52525, 0, mem+4, 37314, 146315, 123456, 12345, 52525
        .word   200, mem, 137314, 146314, 146314, 146315, 12345, 200, mem+10, 37314, 146314, 146314, 146315, 12345
        .word   0, mem, 40300, 0, 123456, 12345, 52525, 0, mem+4, 40300, 0, 123456, 12345, 52525
ef15:
; NEGF (R1)+ in memory: two words, a step of 4; four words, a step of 10
tf16:   .word   hf16, ef16, 0, 0, 0, 170721, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inmem+10, 0
        .word   outfps, out1, outmem, outmem+2, outmem+4, outmem+6, outmem+10, 0
        .word   0, mem, 137314, 146315, 123456, 12345, 52525, 0, mem+4, 37314, 146315, 123456, 12345, 52525
        .word   200, mem, 137314, 146314, 146314, 146315, 12345, 200, mem+10, 37314, 146314, 146314, 146315, 12345
        .word   0, mem, 40300, 0, 123456, 12345, 52525, 10, mem+4, 140300, 0, 123456, 12345, 52525
ef16:
; CLRF (R1)+ in memory: two words, a step of 4; four words, a step of 10
tf17:   .word   hf17, ef17, 0, 0, 0, 170421, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inmem+10, 0
        .word   outfps, out1, outmem, outmem+2, outmem+4, outmem+6, outmem+10, 0
        .word   0, mem, 137314, 146315, 123456, 12345, 52525, 4, mem+4, 0, 0, 123456, 12345, 52525
        .word   200, mem, 137314, 146314, 146314, 146315, 12345, 204, mem+10, 0, 0, 0, 0, 12345
ef17:
; LDF AC1,AC0: the number and its codes
tf18:   .word   hf18, ef18, 0, 0, 0, 172401, 240, 240
        .word   infps, inac1, inac1+2, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   0, 40300, 0, 40760, 0, 0, 40300, 0
        .word   7, 140520, 0, 40760, 0, 10, 140520, 0
        .word   13, 0, 0, 40760, 0, 4, 0, 0
        .word   200, 0, 0, 40760, 0, 204, 0, 0
ef18:
; LDF AC1,AC0: the number and its codes
tf19:   .word   hf18, ef19, 1, 0, 0, 172401, 240, 240
        .word   infps, inac1, inac1+2, inac1+4, inac1+6, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   200, 37652, 125252, 125252, 125253, 40760, 0, 0, 0, 200, 37652, 125252, 125252, 125253
        .word   217, 137652, 125252, 125252, 125253, 40760, 0, 0, 0, 210, 137652, 125252, 125252, 125253
ef19:
; LDF (R1),AC2: the low half becomes 0 in single precision
tf20:   .word   hf20, ef20, 1, 0, 0, 172611, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac2, inac2+2, inac2+4, inac2+6, 0
        .word   outfps, outac2, outac2+2, outac2+4, outac2+6, 0
        .word   0, mem, 40511, 7733, 123456, 12345, 77777, 177777, 177777, 177777, 0, 40511, 7733, 0, 0
        .word   200, mem, 140511, 7732, 121041, 64302, 77777, 177777, 177777, 177777, 210, 140511, 7732
        .word   121041, 64302
ef20:
; LDF #n,AC0: one word, the rest of the fraction is 0; behind it INC R3, to see that one word is taken
tf21:   .word   hf21, ef21, 1, 0, 0, 172427, 40300, 5203
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, out3, 0
        .word   0, 0, 0, 0, 0, 0, 40300, 0, 0, 0, 43435
        .word   217, 37652, 125252, 125252, 125253, 200, 40300, 0, 0, 0, 43435
ef21:
; STF AC0,AC4: codes stay
tf22:   .word   hf22, ef22, 1, 0, 0, 174004, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, inac4, inac4+2, inac4+4, inac4+6, 0
        .word   outfps, outac4, outac4+2, outac4+4, outac4+6, 0
        .word   5, 40300, 0, 0, 0, 0, 0, 0, 0, 5, 40300, 0, 0, 0
        .word   212, 137652, 125252, 125252, 125253, 40200, 0, 0, 0, 212, 137652, 125252, 125252, 125253
ef22:
; STF AC3,(R1): two or four words; codes stay
tf23:   .word   hf23, ef23, 1, 0, 0, 174311, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inmem+10, inac3, inac3+2, inac3+4, inac3+6, 0
        .word   outfps, outmem, outmem+2, outmem+4, outmem+6, outmem+10, 0
        .word   17, mem, 111111, 122222, 133333, 144444, 55555, 40511, 7732, 121041, 64302, 17, 40511
        .word   7732, 133333, 144444, 55555
        .word   200, mem, 111111, 122222, 133333, 144444, 55555, 40511, 7732, 121041, 64302, 200, 40511
        .word   7732, 121041, 64302, 55555
        .word   200, mem, 111111, 122222, 133333, 144444, 55555, 0, 0, 0, 0, 200, 0, 0, 0, 0, 55555
ef23:
; ADDF AC1,AC0: AC0 + AC1
tf24:   .word   hf24, ef24, 0, 0, 0, 172001, 240, 240
        .word   infps, inac0, inac0+2, inac1, inac1+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 40200, 0, 40400, 0, 0, 40500, 0
        .word   0, 140200, 0, 140400, 0, 10, 140500, 0
        .word   13, 40200, 0, 140200, 0, 4, 0, 0
        .word   0, 0, 0, 40200, 0, 0, 40200, 0
        .word   0, 40200, 0, 0, 0, 0, 40200, 0
        .word   10, 0, 0, 0, 0, 4, 0, 0
        .word   0, 40200, 1, 140200, 0, 0, 32400, 0
        .word   0, 40200, 0, 26200, 0, 0, 40200, 0
        .word   0, 40200, 0, 32200, 0, 0, 40200, 1
        .word   40, 40200, 0, 32200, 0, 40, 40200, 0
        .word   0, 140200, 0, 132200, 0, 10, 140200, 1
        .word   0, 40200, 0, 32177, 177777, 0, 40200, 0
        .word   0, 40177, 177777, 31600, 0, 0, 40177, 177777
        .word   40, 40177, 177777, 40177, 177777, 40, 40377, 177777
        .word   240, 40200, 0, 22200, 0, 240, 40200, 0
ef24:
; ADDF AC1,AC0: AC0 + AC1
tf25:   .word   hf24, ef25, 1, 0, 0, 172001, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, inac1, inac1+2, inac1+4, inac1+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   200, 37652, 125252, 125252, 125253, 37652, 125252, 125252, 125253, 200, 40052, 125252
        .word   125252, 125253
        .word   200, 40200, 0, 0, 0, 22200, 0, 0, 0, 200, 40200, 0, 0, 1
        .word   200, 40200, 0, 0, 1, 140200, 0, 0, 0, 200, 22400, 0, 0, 0
        .word   200, 40200, 0, 1, 0, 40200, 0, 2, 0, 200, 40400, 0, 1, 100000
ef25:
; SUBF AC1,AC0: AC0 - AC1
tf26:   .word   hf26, ef26, 0, 0, 0, 173001, 240, 240
        .word   infps, inac0, inac0+2, inac1, inac1+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 40400, 0, 40200, 0, 0, 40200, 0
        .word   0, 40200, 0, 40400, 0, 10, 140200, 0
        .word   13, 37652, 125253, 37652, 125253, 4, 0, 0
        .word   0, 0, 0, 40300, 0, 10, 140300, 0
        .word   0, 140300, 0, 0, 0, 10, 140300, 0
        .word   0, 140200, 0, 140500, 0, 0, 40400, 0
        .word   0, 40200, 0, 40177, 177777, 0, 32200, 0
        .word   0, 40200, 0, 31600, 0, 0, 40200, 0
        .word   40, 40200, 0, 26200, 0, 40, 40177, 177777
        .word   0, 40200, 0, 26200, 0, 0, 40200, 0
        .word   200, 40200, 0, 6200, 0, 200, 40200, 0
ef26:
; SUBF AC1,AC0: AC0 - AC1
tf27:   .word   hf26, ef27, 1, 0, 0, 173001, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, inac1, inac1+2, inac1+4, inac1+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   200, 40200, 0, 0, 0, 40177, 177777, 177777, 177777, 200, 22200, 0, 0, 0
        .word   240, 40200, 0, 0, 0, 6200, 0, 0, 0, 240, 40177, 177777, 177777, 177777
ef27:
; MULF AC1,AC0: AC0 times AC1
tf28:   .word   hf28, ef28, 0, 0, 0, 171001, 240, 240
        .word   infps, inac0, inac0+2, inac1, inac1+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 40400, 0, 40500, 0, 0, 40700, 0
        .word   0, 140300, 0, 40500, 0, 10, 140620, 0
        .word   0, 140500, 0, 140500, 0, 0, 41020, 0
        .word   13, 40640, 0, 0, 0, 4, 0, 0
        .word   0, 0, 0, 140640, 0, 4, 0, 0
        .word   0, 40000, 0, 40000, 0, 0, 37600, 0
        .word   0, 37652, 125253, 40500, 0, 0, 40200, 0
        .word   40, 37652, 125253, 40500, 0, 40, 40200, 0
        .word   0, 40200, 1, 40300, 0, 0, 40300, 2
        .word   40, 40200, 1, 40300, 0, 40, 40300, 1
        .word   0, 77777, 177777, 40200, 0, 0, 77777, 177777
        .word   0, 200, 0, 40200, 0, 0, 200, 0
ef28:
; MULF AC1,AC0: AC0 times AC1
tf29:   .word   hf28, ef29, 1, 0, 0, 171001, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, inac1, inac1+2, inac1+4, inac1+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   200, 37652, 125252, 125252, 125253, 40500, 0, 0, 0, 200, 40200, 0, 0, 0
        .word   240, 37652, 125252, 125252, 125253, 37652, 125252, 125252, 125253, 240, 37343, 107070, 161616, 34344
        .word   200, 40200, 0, 0, 1, 40300, 0, 0, 0, 200, 40300, 0, 0, 2
        .word   200, 40200, 0, 0, 1, 40200, 0, 1, 0, 200, 40200, 0, 1, 1
ef29:
; DIVF AC1,AC0: AC0 divided by AC1
tf30:   .word   hf30, ef30, 0, 0, 0, 174401, 240, 240
        .word   infps, inac0, inac0+2, inac1, inac1+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 40700, 0, 40400, 0, 0, 40500, 0
        .word   0, 40200, 0, 40500, 0, 0, 37652, 125253
        .word   40, 40200, 0, 40500, 0, 40, 37652, 125252
        .word   0, 40400, 0, 40500, 0, 0, 40052, 125253
        .word   40, 40400, 0, 40500, 0, 40, 40052, 125252
        .word   0, 140740, 0, 37600, 0, 10, 141340, 0
        .word   0, 140200, 0, 141000, 0, 0, 37400, 0
        .word   13, 0, 0, 40200, 0, 4, 0, 0
        .word   0, 77777, 177777, 77777, 177777, 0, 40200, 0
ef30:
; DIVF AC1,AC0: AC0 divided by AC1
tf31:   .word   hf30, ef31, 1, 0, 0, 174401, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, inac1, inac1+2, inac1+4, inac1+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   200, 40200, 0, 0, 0, 40500, 0, 0, 0, 200, 37652, 125252, 125252, 125253
        .word   240, 40400, 0, 0, 0, 40500, 0, 0, 0, 240, 40052, 125252, 125252, 125252
        .word   200, 40200, 0, 0, 0, 41040, 0, 0, 0, 200, 37314, 146314, 146314, 146315
ef31:
; CMPF AC1,AC0: the codes of AC1 - AC0; AC0 stays
tf32:   .word   hf32, ef32, 0, 0, 0, 173401, 240, 240
        .word   infps, inac1, inac1+2, inac0, inac0+2, 0
        .word   outfps, 0
        .word   3, 40200, 0, 40400, 0, 10
        .word   17, 40400, 0, 40200, 0, 0
        .word   3, 37652, 125253, 37652, 125253, 4
        .word   0, 140200, 0, 40000, 0, 10
        .word   0, 40000, 0, 140200, 0, 0
        .word   0, 140500, 0, 140400, 0, 10
        .word   0, 0, 0, 140400, 0, 0
        .word   0, 40200, 0, 40200, 1, 10
ef32:
; CMPF AC1,AC0: the codes of AC1 - AC0; AC0 stays
tf33:   .word   hf32, ef33, 1, 0, 0, 173401, 240, 240
        .word   infps, inac1, inac1+2, inac1+4, inac1+6, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, 0
        .word   0, 40200, 0, 0, 0, 40200, 0, 1, 0, 4
        .word   200, 40200, 0, 0, 0, 40200, 0, 1, 0, 210
ef33:
; LDCDF AC1,AC0: double becomes single, rounded or chopped
tf34:   .word   hf34, ef34, 0, 0, 0, 177401, 240, 240
        .word   infps, inac1, inac1+2, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 40300, 0, 0, 0, 0, 40300, 0
        .word   13, 0, 0, 40200, 0, 4, 0, 0
ef34:
; LDCDF AC1,AC0: double becomes single, rounded or chopped
tf35:   .word   hf34, ef35, 1, 0, 0, 177401, 240, 240
        .word   infps, inac1, inac1+2, inac1+4, inac1+6, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   0, 37652, 125252, 125252, 125253, 0, 0, 0, 0, 0, 37652, 125253, 0, 0
        .word   40, 37652, 125252, 125252, 125253, 0, 0, 0, 0, 40, 37652, 125252, 0, 0
        .word   0, 40200, 0, 100000, 0, 0, 0, 0, 0, 0, 40200, 1, 0, 0
        .word   40, 140200, 0, 100000, 0, 0, 0, 0, 0, 50, 140200, 0, 0, 0
        .word   0, 40200, 0, 77777, 177777, 0, 0, 0, 0, 0, 40200, 0, 0, 0
        .word   0, 140177, 177777, 100000, 0, 0, 0, 0, 0, 10, 140200, 0, 0, 0
ef35:
; LDCFD AC1,AC0: single becomes double, with zeros behind it
tf36:   .word   hf36, ef36, 1, 0, 0, 177401, 240, 240
        .word   infps, inac1, inac1+2, inac1+4, inac1+6, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   217, 37652, 125253, 12345, 54321, 0, 0, 0, 0, 200, 37652, 125253, 0, 0
        .word   200, 137652, 125253, 0, 0, 0, 0, 0, 0, 210, 137652, 125253, 0, 0
        .word   200, 0, 0, 0, 0, 40200, 0, 0, 0, 204, 0, 0, 0, 0
ef36:
; LDCDF (R1)+,AC0: the source is double, a step of 10
tf37:   .word   hf37, ef37, 0, 0, 0, 177421, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   outfps, out1, outac0, outac0+2, 0
        .word   0, mem, 37652, 125252, 125252, 125253, 0, 0, 0, mem+10, 37652, 125253
ef37:
; LDCFD (R1)+,AC0: the source is single, a step of 4
tf38:   .word   hf38, ef38, 0, 0, 0, 177421, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   outfps, out1, outac0, outac0+2, 0
        .word   200, mem, 37652, 125253, 12345, 54321, 0, 0, 200, mem+4, 37652, 125253
ef38:
; STCFD AC0,AC1: single goes out as double
tf39:   .word   hf39, ef39, 1, 0, 0, 176001, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, inac1, inac1+2, inac1+4, inac1+6, 0
        .word   outfps, outac1, outac1+2, outac1+4, outac1+6, 0
        .word   17, 37652, 125253, 12345, 54321, 0, 0, 0, 0, 0, 37652, 125253, 0, 0
        .word   0, 137652, 125253, 0, 0, 0, 0, 0, 0, 10, 137652, 125253, 0, 0
        .word   13, 0, 0, 0, 0, 40200, 0, 0, 0, 4, 0, 0, 0, 0
ef39:
; STCDF AC0,AC1: double goes out as single, rounded or chopped
tf40:   .word   hf40, ef40, 0, 0, 0, 176001, 240, 240
        .word   infps, inac0, inac0+2, inac1, inac1+2, 0
        .word   outfps, outac1, outac1+2, 0
        .word   217, 140300, 0, 0, 0, 210, 140300, 0
        .word   200, 0, 0, 40200, 0, 204, 0, 0
ef40:
; STCDF AC0,AC1: double goes out as single, rounded or chopped
tf41:   .word   hf40, ef41, 1, 0, 0, 176001, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, inac1, inac1+2, inac1+4, inac1+6, 0
        .word   outfps, outac1, outac1+2, outac1+4, outac1+6, 0
        .word   200, 37652, 125252, 125252, 125253, 40200, 0, 0, 0, 200, 37652, 125253, 0, 0
        .word   240, 37652, 125252, 125252, 125253, 40200, 0, 0, 0, 240, 37652, 125252, 0, 0
        .word   200, 140200, 0, 100000, 0, 0, 0, 0, 0, 210, 140200, 1, 0, 0
        .word   200, 40177, 177777, 100000, 0, 0, 0, 0, 0, 200, 40200, 0, 0, 0
ef41:
; STCFD AC0,(R1)+: four words, a step of 10
tf42:   .word   hf42, ef42, 0, 0, 0, 176021, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   outfps, out1, outmem, outmem+2, outmem+4, outmem+6, 0
        .word   0, mem, 111111, 122222, 133333, 144444, 37652, 125253, 0, mem+10, 37652, 125253, 0, 0
ef42:
; STCDF AC0,-(R1): two words, a step of 4
tf43:   .word   hf43, ef43, 1, 0, 0, 176041, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, out1, outmem, outmem+2, outmem+4, outmem+6, 0
        .word   200, mem+4, 111111, 122222, 133333, 144444, 37652, 125252, 125252, 125253, 200, mem, 37652
        .word   125253, 133333, 144444
ef43:
; LDCIF R0,AC0 and LDCID: a word becomes a number
tf44:   .word   hf44, ef44, 0, 0, 0, 177000, 240, 240
        .word   infps, in0, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 1, 0, 0, 0, 40200, 0
        .word   0, 177777, 0, 0, 10, 140200, 0
        .word   13, 0, 40200, 0, 4, 0, 0
        .word   0, 77777, 0, 0, 0, 43777, 177000
        .word   0, 100000, 0, 0, 10, 144000, 0
        .word   200, 77777, 0, 0, 200, 43777, 177000
        .word   200, 177634, 0, 0, 210, 141710, 0
ef44:
; LDCLF R0,AC0: a register is the high half of a long integer
tf45:   .word   hf45, ef45, 0, 0, 0, 177000, 240, 240
        .word   infps, in0, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   100, 1, 0, 0, 100, 44200, 0
        .word   100, 177777, 0, 0, 110, 144200, 0
        .word   140, 100000, 0, 0, 150, 150000, 0
        .word   300, 1, 0, 0, 300, 44200, 0
ef45:
; LDCLF #n,AC0: the one word is the high half; behind it INC R3, to see that one word is taken
tf46:   .word   hf46, ef46, 0, 0, 0, 177027, 177775, 5203
        .word   infps, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, out3, 0
        .word   100, 0, 0, 110, 144500, 0, 43435
        .word   300, 0, 0, 310, 144500, 0, 43435
ef46:
; LDCIF #n,AC0; behind it INC R3, to see that one word is taken
tf47:   .word   hf47, ef47, 0, 0, 0, 177027, 177775, 5203
        .word   infps, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, out3, 0
        .word   0, 0, 0, 10, 140500, 0, 43435
        .word   200, 0, 0, 210, 140500, 0, 43435
ef47:
; LDCLF (R1)+,AC0: the high word first, a step of 4
tf48:   .word   hf48, ef48, 0, 0, 0, 177021, 240, 240
        .word   infps, in1, inmem, inmem+2, inac0, inac0+2, 0
        .word   outfps, out1, outac0, outac0+2, 0
        .word   100, mem, 0, 1, 0, 0, 100, mem+4, 40200, 0
        .word   100, mem, 177777, 177777, 0, 0, 110, mem+4, 140200, 0
        .word   100, mem, 77777, 177777, 0, 0, 100, mem+4, 50000, 0
        .word   140, mem, 77777, 177777, 0, 0, 140, mem+4, 47777, 177777
        .word   100, mem, 100000, 0, 0, 0, 110, mem+4, 150000, 0
        .word   100, mem, 400, 1, 0, 0, 100, mem+4, 46200, 1
        .word   140, mem, 400, 1, 0, 0, 140, mem+4, 46200, 0
        .word   100, mem, 177377, 177777, 0, 0, 110, mem+4, 146200, 1
        .word   100, mem, 0, 0, 40200, 0, 104, mem+4, 0, 0
        .word   300, mem, 0, 177777, 0, 0, 300, mem+4, 44177, 177400
ef48:
; LDCLF (R1)+,AC0: the high word first, a step of 4
tf49:   .word   hf48, ef49, 1, 0, 0, 177021, 240, 240
        .word   infps, in1, inmem, inmem+2, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, out1, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   300, mem, 77777, 177777, 0, 0, 0, 0, 300, mem+4, 47777, 177777, 177000, 0
ef49:
; LDCIF -(R1),AC0: a step of 2
tf50:   .word   hf50, ef50, 0, 0, 0, 177041, 240, 240
        .word   infps, in1, inmem, inac0, inac0+2, 0
        .word   outfps, out1, outac0, outac0+2, 0
        .word   0, mem+2, 14, 0, 0, 0, mem, 41100, 0
ef50:
; STCFI AC0,R0: chopped towards zero; the codes go to the processor too
tf51:   .word   hf51, ef51, 0, 0, 0, 175400, 240, 240
        .word   infps, inac0, inac0+2, in0, cc, 0
        .word   outfps, out0, 0
        .word   17, 40200, 0, 123456, 17, 0, 1
        .word   0, 40770, 0, 123456, 17, 0, 7
        .word   0, 140770, 0, 123456, 1007, 10, 177771
        .word   13, 40175, 70244, 123456, 413, 4, 0
        .word   0, 140175, 70244, 123456, 413, 4, 0
        .word   0, 0, 0, 123456, 413, 4, 0
        .word   0, 43777, 177400, 123456, 17, 0, 77777
        .word   0, 144000, 200, 123456, 1007, 10, 100000
ef51:
; STCFI AC0,R0: chopped towards zero; the codes go to the processor too
tf52:   .word   hf51, ef52, 1, 0, 0, 175400, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, in0, cc, 0
        .word   outfps, out0, 0
        .word   200, 43777, 177777, 177774, 122402, 123456, 17, 200, 77777
ef52:
; STCFI AC0,R0 outside the range: 0 and FC, no trap without FIC
tf53:   .word   hf53, ef53, 0, 0, 0, 175400, 240, 240
        .word   infps, inac0, inac0+2, in0, cc, 0
        .word   outfps, out0, 0
        .word   0, 44000, 0, 123456, 512, 5, 0
        .word   0, 144000, 400, 123456, 512, 5, 0
        .word   200, 77777, 177777, 123456, 512, 205, 0
ef53:
; STCFL AC0,(R1)+: the high word first, a step of 4
tf54:   .word   hf54, ef54, 0, 0, 0, 175421, 240, 240
        .word   infps, inac0, inac0+2, in1, inmem, inmem+2, cc, 0
        .word   outfps, out1, outmem, outmem+2, 0
        .word   100, 140300, 0, mem, 111111, 122222, 1007, 110, mem+4, 177777, 177777
        .word   100, 46000, 1, mem, 111111, 122222, 17, 100, mem+4, 200, 1
        .word   300, 150000, 0, mem, 111111, 122222, 1007, 310, mem+4, 100000, 0
        .word   100, 0, 0, mem, 111111, 122222, 413, 104, mem+4, 0, 0
ef54:
; STCFL AC0,(R1)+: the high word first, a step of 4
tf55:   .word   hf54, ef55, 1, 0, 0, 175421, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, in1, inmem, inmem+2, cc, 0
        .word   outfps, out1, outmem, outmem+2, 0
        .word   300, 47777, 177777, 177400, 0, mem, 111111, 122222, 17, 300, mem+4, 77777, 177777
ef55:
; STCFL AC0,(R1) outside the range: 0 and FC, no trap without FIC
tf56:   .word   hf56, ef56, 1, 0, 0, 175411, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, in1, inmem, inmem+2, cc, 0
        .word   outfps, outmem, outmem+2, 0
        .word   300, 50000, 0, 0, 0, mem, 111111, 122222, 512, 305, 0, 0
        .word   300, 150000, 0, 400, 0, mem, 111111, 122222, 512, 305, 0, 0
ef56:
; STCFL AC0,R0: only the high half is stored
tf57:   .word   hf57, ef57, 1, 0, 0, 175400, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, in0, 0
        .word   outfps, out0, 0
        .word   100, 44500, 0, 0, 0, 123456, 100, 3
        .word   100, 140500, 0, 0, 0, 123456, 110, 177777
        .word   300, 47777, 177777, 177000, 0, 123456, 300, 77777
ef57:
; STCFI AC0,-(R1): a step of 2
tf58:   .word   hf58, ef58, 0, 0, 0, 175441, 240, 240
        .word   infps, inac0, inac0+2, in1, inmem, inmem+2, 0
        .word   outfps, out1, outmem, outmem+2, 0
        .word   0, 141100, 0, mem+2, 111111, 122222, 10, mem, 177764, 122222
ef58:
; STEXP AC0,R0: the exponent; the codes go to the processor too
tf59:   .word   hf59, ef59, 0, 0, 0, 175000, 240, 240
        .word   infps, inac0, inac0+2, in0, cc, 0
        .word   outfps, out0, 0
        .word   17, 40200, 0, 123456, 17, 0, 1
        .word   0, 40000, 0, 123456, 413, 4, 0
        .word   0, 37314, 146315, 123456, 1007, 10, 177775
        .word   0, 77777, 177777, 123456, 17, 0, 177
        .word   0, 100200, 0, 123456, 1007, 10, 177601
        .word   200, 0, 0, 123456, 1007, 210, 177600
ef59:
; STEXP AC0,(R1)+: a step of 2
tf60:   .word   hf60, ef60, 0, 0, 0, 175021, 240, 240
        .word   infps, inac0, inac0+2, in1, inmem, 0
        .word   outfps, out1, outmem, 0
        .word   300, 41710, 0, mem, 111111, 300, mem+2, 7
ef60:
; LDEXP R0,AC0: a new exponent, sign and fraction stay
tf61:   .word   hf61, ef61, 0, 0, 0, 176400, 240, 240
        .word   infps, in0, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   17, 0, 140300, 0, 10, 140100, 0
        .word   0, 1, 40300, 0, 0, 40300, 0
        .word   0, 177, 40300, 0, 0, 77700, 0
        .word   0, 177601, 140300, 0, 10, 100300, 0
ef61:
; LDEXP R0,AC0: a new exponent, sign and fraction stay
tf62:   .word   hf61, ef62, 1, 0, 0, 176400, 240, 240
        .word   infps, in0, inac0, inac0+2, inac0+4, inac0+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, 0
        .word   200, 5, 37652, 125252, 125252, 125253, 200, 41252, 125252, 125252, 125253
ef62:
; LDEXP R0,AC0 outside the range, no trap enabled: exact zero  (unconfirmed)
tf63:   .word   hf63, ef63, 0, 0, 0, 176400, 240, 240
        .word   infps, in0, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   0, 200, 140300, 0, 6, 0, 0
        .word   200, 77777, 40300, 0, 206, 0, 0
        .word   17, 177600, 140300, 0, 4, 0, 0
        .word   200, 100000, 40300, 0, 204, 0, 0
ef63:
; LDEXP (R1)+,AC0: a step of 2
tf64:   .word   hf64, ef64, 0, 0, 0, 176421, 240, 240
        .word   infps, in1, inmem, inac0, inac0+2, 0
        .word   outfps, out1, outac0, outac0+2, 0
        .word   200, mem, 5, 40200, 0, 200, mem+2, 41200, 0
ef64:
; LDEXP #n,AC0; behind it INC R3, to see that one word is taken
tf65:   .word   hf65, ef65, 0, 0, 0, 176427, 177776, 5203
        .word   infps, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, out3, 0
        .word   0, 40300, 0, 0, 37500, 0, 43435
ef65:
; MODF AC2,AC0: the whole part to AC1, the fraction to AC0
tf66:   .word   hf66, ef66, 0, 0, 0, 171402, 240, 240
        .word   infps, inac0, inac0+2, inac2, inac2+2, inac1, inac1+2, 0
        .word   outfps, outac0, outac0+2, outac1, outac1+2, 0
        .word   17, 40520, 0, 40440, 0, 40760, 0, 0, 37400, 0, 41000, 0
        .word   0, 140750, 0, 40200, 0, 40760, 0, 10, 137600, 0, 140740, 0
        .word   13, 40500, 0, 40640, 0, 40760, 0, 4, 0, 0, 41160, 0
        .word   0, 40000, 0, 40000, 0, 40760, 0, 0, 37600, 0, 0, 0
        .word   0, 0, 0, 40640, 0, 40760, 0, 4, 0, 0, 0, 0
        .word   0, 140400, 0, 40600, 0, 40760, 0, 4, 0, 0, 141000, 0
        .word   200, 45226, 132074, 40300, 0, 40760, 0, 200, 37600, 0, 45342, 7130
        .word   200, 137400, 0, 40000, 0, 40760, 0, 210, 137200, 0, 0, 0
ef66:
; MODF AC2,AC1: an odd accumulator takes the fraction alone
tf67:   .word   hf67, ef67, 0, 0, 0, 171502, 240, 240
        .word   infps, inac1, inac1+2, inac2, inac2+2, 0
        .word   outfps, outac1, outac1+2, 0
        .word   0, 40520, 0, 40440, 0, 0, 37400, 0
        .word   200, 140750, 0, 40200, 0, 210, 137600, 0
ef67:
; MODF AC2,AC0: a whole part wider than the format leaves fraction 0  (unconfirmed)
tf68:   .word   hf68, ef68, 1, 0, 0, 171402, 240, 240
        .word   infps, inac0, inac0+2, inac0+4, inac0+6, inac2, inac2+2, inac2+4, inac2+6, inac1, inac1+2
        .word   inac1+4, inac1+6, 0
        .word   outfps, outac0, outac0+2, outac0+4, outac0+6, outac1, outac1+2, outac1+4, outac1+6, 0
        .word   0, 77777, 177777, 0, 0, 40200, 0, 0, 0, 40200, 0, 0, 0, 4, 0, 0, 0, 0, 77777, 177777, 0, 0
        .word   200, 77777, 177777, 177777, 177777, 40000, 0, 0, 0, 40200, 0, 0, 0, 204, 0, 0, 0, 0, 77577
        .word   177777, 177777, 177777
        .word   0, 45777, 177777, 0, 0, 45777, 177777, 0, 0, 40200, 0, 0, 0, 4, 0, 0, 0, 0, 53577, 177776, 0, 0
        .word   0, 40300, 0, 0, 0, 47600, 1, 0, 0, 40200, 0, 0, 0, 4, 0, 0, 0, 0, 47700, 1, 0, 0
        .word   200, 40300, 0, 0, 0, 57200, 0, 0, 1, 40200, 0, 0, 0, 204, 0, 0, 0, 0, 57300, 0, 0, 1
ef68:
; MODF AC2,AC0 overflows; enabled: the trap  (unconfirmed)
tf90:   .word   hf90, ef90, 0, 14, 3, 171402, 170000, 240
        .word   infps, inac0, inac0+2, inac2, inac2+2, inac1, inac1+2, 0
        .word   xtrap, outfps, xfec, outac0, outac0+2, outac1, outac1+2, 0
        .word   1000, 77777, 177777, 40400, 0, 40200, 0, 1, 101006, 10, 0, 0, 177, 177777
ef90:
; MODF AC2,AC0 overflows; enabled, but all traps off (FID): the error is kept all the same  (unconfirmed)
tf91:   .word   hf90, ef91, 0, 14, 3, 171402, 240, 240
        .word   infps, inac0, inac0+2, inac2, inac2+2, inac1, inac1+2, 0
        .word   outfps, xfec, outac0, outac0+2, outac1, outac1+2, 0
        .word   41000, 77777, 177777, 40400, 0, 40200, 0, 141006, 10, 0, 0, 177, 177777
ef91:
; MODF AC2,AC0 overflows; not enabled  (unconfirmed)
tf92:   .word   hf90, ef92, 0, 0, 0, 171402, 240, 240
        .word   infps, inac0, inac0+2, inac2, inac2+2, inac1, inac1+2, 0
        .word   outfps, outac0, outac0+2, outac1, outac1+2, 0
        .word   0, 77777, 177777, 40400, 0, 40200, 0, 6, 0, 0, 0, 0
ef92:
; LDF (R1),AC0 of the undefined variable, enabled: AC0 and the codes stay  (unconfirmed)
tf113:   .word   hf113, ef113, 0, 0, 0, 172411, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   xtrap, outfps, xfec, 0
        .word   4005, mem, 100000, 0, 0, 0, 40300, 0, 1, 104005, 14
        .word   4210, mem, 100177, 177777, 1, 1, 40300, 0, 1, 104210, 14
ef113:
; LDF (R1),AC0 of the undefined variable, enabled, traps off  (unconfirmed)
tf114:   .word   hf114, ef114, 0, 0, 0, 172411, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   outfps, xfec, 0
        .word   44005, mem, 100000, 0, 0, 0, 40300, 0, 144005, 14
ef114:
; LDF (R1),AC0 of the undefined variable, not enabled: exact zero  (unconfirmed)
tf115:   .word   hf115, ef115, 0, 0, 0, 172411, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   12, mem, 100000, 0, 0, 0, 40300, 0, 4, 0, 0
        .word   212, mem, 100177, 177777, 1, 1, 40300, 0, 204, 0, 0
ef115:
; ADDF (R1),AC0 with the undefined variable, enabled: AC0 stays  (unconfirmed)
tf116:   .word   hf116, ef116, 0, 0, 0, 172011, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   xtrap, outfps, xfec, 0
        .word   4003, mem, 100000, 0, 0, 0, 40300, 0, 1, 104003, 14
ef116:
; MULF (R1),AC0 with the undefined variable, enabled: AC0 stays  (unconfirmed)
tf117:   .word   hf117, ef117, 0, 0, 0, 171011, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   xtrap, outfps, xfec, 0
        .word   4003, mem, 100000, 0, 0, 0, 40300, 0, 1, 104003, 14
ef117:
; CMPF (R1),AC0 with the undefined variable, enabled: AC0 stays  (unconfirmed)
tf118:   .word   hf118, ef118, 0, 0, 0, 173411, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   xtrap, outfps, xfec, 0
        .word   4003, mem, 100000, 0, 0, 0, 40300, 0, 1, 104003, 14
ef118:
; DIVF (R1),AC0 with the undefined variable, enabled: AC0 stays  (unconfirmed)
tf119:   .word   hf119, ef119, 0, 0, 0, 174411, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   xtrap, outfps, xfec, 0
        .word   4003, mem, 100000, 0, 0, 0, 40300, 0, 1, 104003, 14
ef119:
; ADDF (R1),AC0 with the undefined variable, not enabled: taken as 0  (unconfirmed)
tf120:   .word   hf120, ef120, 0, 0, 0, 172011, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   outfps, outac0, outac0+2, 0
        .word   3, mem, 100000, 0, 0, 0, 40300, 0, 0, 40300, 0
ef120:
; NEGF (R1) of the undefined variable, enabled: memory stays  (unconfirmed)
tf121:   .word   hf121, ef121, 0, 0, 0, 170711, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, 0
        .word   xtrap, outfps, xfec, 0
        .word   4003, mem, 100000, 0, 0, 0, 1, 104003, 14
ef121:
; NEGF (R1) of the undefined variable, not enabled: exact zero  (unconfirmed)
tf122:   .word   hf122, ef122, 0, 0, 0, 170711, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, 0
        .word   outfps, outmem, outmem+2, outmem+4, outmem+6, 0
        .word   203, mem, 100177, 177777, 1, 1, 204, 0, 0, 0, 0
ef122:
; ABSF (R1) of the undefined variable, enabled: memory stays  (unconfirmed)
tf123:   .word   hf123, ef123, 0, 0, 0, 170611, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, 0
        .word   xtrap, outfps, xfec, 0
        .word   4003, mem, 100000, 0, 0, 0, 1, 104003, 14
ef123:
; ABSF (R1) of the undefined variable, not enabled: exact zero  (unconfirmed)
tf124:   .word   hf124, ef124, 0, 0, 0, 170611, 240, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, 0
        .word   outfps, outmem, outmem+2, outmem+4, outmem+6, 0
        .word   203, mem, 100177, 177777, 1, 1, 204, 0, 0, 0, 0
ef124:
; TSTF (R1) of the undefined variable, enabled: the trap comes after the codes  (unconfirmed)
tf125:   .word   hf125, ef125, 0, 0, 0, 170511, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, 0
        .word   xtrap, outfps, xfec, 0
        .word   4003, mem, 100000, 0, 0, 0, 1, 104014, 14
ef125:
; LDCDF (R1),AC0 of the undefined variable, enabled  (unconfirmed)
tf126:   .word   hf126, ef126, 0, 0, 0, 177411, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   xtrap, outfps, xfec, 0
        .word   4003, mem, 100000, 0, 0, 0, 40300, 0, 1, 104003, 14
ef126:
; LDCFD (R1),AC0 of the undefined variable, enabled  (unconfirmed)
tf127:   .word   hf127, ef127, 0, 0, 0, 177411, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, inac0, inac0+2, 0
        .word   xtrap, outfps, xfec, 0
        .word   4203, mem, 100000, 0, 0, 0, 40300, 0, 1, 104203, 14
ef127:
; LDF (R1)+,AC0 of the undefined variable, enabled: the step stays taken  (unconfirmed)
tf128:   .word   hf128, ef128, 0, 0, 0, 172421, 170000, 240
        .word   infps, in1, inmem, inmem+2, inmem+4, inmem+6, 0
        .word   xtrap, outfps, xfec, out1, 0
        .word   4000, mem, 100000, 0, 0, 0, 1, 104000, 14, mem+4
ef128:

; --- words and texts ------------------------------------------------------------------------------------------------

buffer: . = . + 240
later:  .word   0
back:   .word   0
start1: .word   0
seed:   .word   0
head:   .word   0
shape:  .word   0
limit:  .word   0
ahead:  .word   0
row:    .word   0
kind:   .word   0
step:   .word   0
work:   .word   0, 0
opcode: .word   0
dest:   .word   0
source: .word   0
count:  .word   0
count2: .word   0
left:   .word   0
sign:   .word   0
first:  .word   0, 0
second: .word   0, 0
point:  .word   0
cc:     .word   0
wide:   .word   0
nofps:  .word   0
noac:   .word   0
xtrap:  .word   0
xfec:   .word   0
after:  .word   0               ; where a trap goes on
nought: .word   0
traps:  .word   0
gotpc:  .word   0
outsp:  .word   0
mem:    .word   0, 0, 0, 0, 0, 0
infps:  .word   0
in0:    .word   0
in1:    .word   0
in2:    .word   0
in3:    .word   0
in4:    .word   0
in5:    .word   0
inac0:  .word   0, 0, 0, 0
inac1:  .word   0, 0, 0, 0
inac2:  .word   0, 0, 0, 0
inac3:  .word   0, 0, 0, 0
inac4:  .word   0, 0, 0, 0
inac5:  .word   0, 0, 0, 0
inmem:  .word   0, 0, 0, 0, 0, 0
outfps: .word   0
out0:   .word   0
out1:   .word   0
out2:   .word   0
out3:   .word   0
out4:   .word   0
out5:   .word   0
outac0: .word   0, 0, 0, 0
outac1: .word   0, 0, 0, 0
outac2: .word   0, 0, 0, 0
outac3: .word   0, 0, 0, 0
outac4: .word   0, 0, 0, 0
outac5: .word   0, 0, 0, 0
outmem: .word   0, 0, 0, 0, 0, 0
gotfps: .word   0
gotfec: .word   0, 0
gotac0: .word   0, 0, 0, 0
gotac1: .word   0, 0, 0, 0
gotac2: .word   0, 0, 0, 0
gotac3: .word   0, 0, 0, 0
gotac4: .word   0, 0, 0, 0
gotac5: .word   0, 0, 0, 0

regs:   .ascii  /R0/<0><0>/R1/<0><0>/R2/<0><0>/R3/<0><0>/R4/<0><0>/R5/<0><0>
tsp:    .asciz  /SP/
tcodes: .asciz  /codes N Z V C of the processor/
tfps:   .asciz  /floating status/
ttraps: .asciz  /traps through 244/
tsaved: .asciz  /PC saved by the trap/
tfec:   .asciz  /error code (FEC)/
tfea:   .asciz  /error address (FEA)/
tac:    .asciz  /AC0 word 1/
tmem:   .asciz  /memory word 1/
tsum:   .asciz  /sum/
tdiff:  .asciz  /difference/
tprod:  .asciz  /product/
tquot:  .asciz  /quotient/
tprodh: .asciz  /upper half of the product (MULD, MODD)/
tprodl: .asciz  /lower half of the product (MULD, MODD)/
tsumh:  .asciz  /upper half of the sum (ADDD, LDEXP, MODD)/
tsuml:  .asciz  /lower half of the sum (ADDD, LDEXP, MODD)/
tcomp:  .asciz  /codes of the comparison/
tword1: .asciz  /word 1/
tword2: .asciz  /word 2/
hstat:  .asciz  /LDFPS and STFPS of a single bit/
hcfcc:  .asciz  /CFCC of the codes/
hpair:  .asciz  /accumulators of code/
hmode:  .asciz  /modes: code and status/
hstack: .asciz  /STD on the stack, LDD from it/
hnone:  .asciz  /illegal code or accumulator: code/
hbehin: .asciz  /an exception before the next instruction (unconfirmed): codes/
hwhole: .asciz  /integers there and back/
hpreci: .asciz  /every bit of double precision/
hnarro: .asciz  /single against double precision: code, status, numbers/
hset:   .asciz  /SETF, SETD, SETI, SETL: code and status/
hstst:  .asciz  /STST R0/
hststm: .asciz  /STST (R1)+/
hcmpz:  .asciz  /CMPF of zeros/
hover:  .asciz  /overflow (unconfirmed): code, status, operands/
hunder: .asciz  /underflow (unconfirmed): code, status, operands/
hzero:  .asciz  /division by zero (unconfirmed): code, status, operands/
hconv:  .asciz  /integer conversion (unconfirmed): code, status, operands/
hf01:   .asciz  /LDFPS R0/
hf03:   .asciz  /STFPS R0/
hf04:   .asciz  /STFPS (R1)+/
hf05:   .asciz  /TSTF AC0/
hf07:   .asciz  /ABSF AC0/
hf09:   .asciz  /NEGF AC0/
hf11:   .asciz  /CLRF AC0/
hf13:   .asciz  /NEGF AC5/
hf14:   .asciz  /TSTF (R1)+/
hf15:   .asciz  /ABSF (R1)+/
hf16:   .asciz  /NEGF (R1)+/
hf17:   .asciz  /CLRF (R1)+/
hf18:   .asciz  /LDF AC1,AC0/
hf20:   .asciz  /LDF (R1),AC2/
hf21:   .asciz  /LDF #n,AC0/
hf22:   .asciz  /STF AC0,AC4/
hf23:   .asciz  /STF AC3,(R1)/
hf24:   .asciz  /ADDF AC1,AC0/
hf26:   .asciz  /SUBF AC1,AC0/
hf28:   .asciz  /MULF AC1,AC0/
hf30:   .asciz  /DIVF AC1,AC0/
hf32:   .asciz  /CMPF AC1,AC0/
hf34:   .asciz  /LDCDF AC1,AC0/
hf36:   .asciz  /LDCFD AC1,AC0/
hf37:   .asciz  /LDCDF (R1)+,AC0/
hf38:   .asciz  /LDCFD (R1)+,AC0/
hf39:   .asciz  /STCFD AC0,AC1/
hf40:   .asciz  /STCDF AC0,AC1/
hf42:   .asciz  /STCFD AC0,(R1)+/
hf43:   .asciz  /STCDF AC0,-(R1)/
hf44:   .asciz  /LDCIF R0,AC0/
hf45:   .asciz  /LDCLF R0,AC0/
hf46:   .asciz  /LDCLF #n,AC0/
hf47:   .asciz  /LDCIF #n,AC0/
hf48:   .asciz  /LDCLF (R1)+,AC0/
hf50:   .asciz  /LDCIF -(R1),AC0/
hf51:   .asciz  /STCFI AC0,R0/
hf53:   .asciz  /STCFI outside the range, no trap/
hf54:   .asciz  /STCFL AC0,(R1)+/
hf56:   .asciz  /STCFL outside the range, no trap/
hf57:   .asciz  /STCFL AC0,R0/
hf58:   .asciz  /STCFI AC0,-(R1)/
hf59:   .asciz  /STEXP AC0,R0/
hf60:   .asciz  /STEXP AC0,(R1)+/
hf61:   .asciz  /LDEXP R0,AC0/
hf63:   .asciz  /LDEXP outside the range, no trap (unconfirmed)/
hf64:   .asciz  /LDEXP (R1)+,AC0/
hf65:   .asciz  /LDEXP #n,AC0/
hf66:   .asciz  /MODF AC2,AC0/
hf67:   .asciz  /MODF AC2,AC1/
hf68:   .asciz  /MODF of a wide whole part (unconfirmed)/
hf90:   .asciz  /MODF overflow (unconfirmed)/
hf113:  .asciz  /LDF (R1),AC0 of the undefined variable, enabled (unconfirmed)/
hf114:  .asciz  /LDF (R1),AC0 of the undefined variable, enabled, traps off (unconfirmed)/
hf115:  .asciz  /LDF (R1),AC0 of the undefined variable, not enabled (unconfirmed)/
hf116:  .asciz  /ADDF (R1),AC0 with the undefined variable, enabled (unconfirmed)/
hf117:  .asciz  /MULF (R1),AC0 with the undefined variable, enabled (unconfirmed)/
hf118:  .asciz  /CMPF (R1),AC0 with the undefined variable, enabled (unconfirmed)/
hf119:  .asciz  /DIVF (R1),AC0 with the undefined variable, enabled (unconfirmed)/
hf120:  .asciz  /ADDF (R1),AC0 with the undefined variable, not enabled (unconfirmed)/
hf121:  .asciz  /NEGF (R1) of the undefined variable, enabled (unconfirmed)/
hf122:  .asciz  /NEGF (R1) of the undefined variable, not enabled (unconfirmed)/
hf123:  .asciz  /ABSF (R1) of the undefined variable, enabled (unconfirmed)/
hf124:  .asciz  /ABSF (R1) of the undefined variable, not enabled (unconfirmed)/
hf125:  .asciz  /TSTF (R1) of the undefined variable, enabled (unconfirmed)/
hf126:  .asciz  /LDCDF (R1),AC0 of the undefined variable, enabled (unconfirmed)/
hf127:  .asciz  /LDCFD (R1),AC0 of the undefined variable, enabled (unconfirmed)/
hf128:  .asciz  /LDF (R1)+,AC0 of the undefined variable, enabled (unconfirmed)/
        .even
