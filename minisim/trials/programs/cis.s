; needs: cis
; with: rows
; memory: 24

; The commercial instructions: strings and decimals, operands in registers and behind the instruction.  What they must
; do is known to us from memory alone (minisim/trials/cases/cis-*.yaml): codes of the instructions, types and digits
; are firm, overpunched digits seen [overpunch-cobol], the rest is unconfirmed.  A failure may be the fault of this
; program. Besides the tables: decimal strings of all types, made here with base instructions from numbers of a shift
; register. All strings lie in one arena of 252s, which is compared as a whole: nothing else may be written.  Each row
; is run twice, with its operands in registers and with descriptors behind the instruction. Left out: signs and N Z of
; a negative result that lost all its digits; registers after a number too long for 32 bits.

device  = 0
vector  = 0
name:   .asciz  /cis/
about:  .asciz  /the commercial instructions for strings and decimals (most of what it expects is unconfirmed)/
        .even

run:    TST     pass
        BNE     1$
        MOV     #52525,seed     ; later passes go on with other numbers
1$:     MOV     #ctrap,@#10
        MOV     #340,@#12
        JSR     PC,makes
        MOV     #tlist,later
2$:     MOV     @later,3$
        JSR     R5,rows
3$:     .word   0
        ADD     #2,later
        CMP     later,#elist
        BLO     2$
        JSR     PC,loads
        JSR     PC,none
        JSR     PC,strung
        JSR     PC,mixed
        JSR     R5,rearm
        .word   10
        RTS     PC

; The tables of characters: small letters, the next character, the class (digit 2, letter 1).
makes:  CLR     R0
1$:     CLRB    lower(R0)
        CLRB    class(R0)
        MOV     R0,R1
        INC     R1
        MOVB    R1,succ(R0)
        CMP     R0,#60
        BLO     3$
        CMP     R0,#71
        BHI     2$
        MOVB    #2,class(R0)
2$:     CMP     R0,#101
        BLO     3$
        CMP     R0,#132
        BHI     3$
        MOVB    #1,class(R0)
        MOV     R0,R1
        ADD     #40,R1
        MOVB    R1,lower(R0)
3$:     INC     R0
        CMP     R0,#400
        BLO     1$
        RTS     PC

; --- tables of cases ------------------------------------------------------------------------------------------------
; A table: text, end, what is known of the instruction (`c...`), rows.  A row: IIEEGG, each two octal digits N Z V C
; of codes not looked at, expected, before; which registers are given (bits 5-0) and found (bits 11-6), bit 12: the
; number of 32 bits is not looked at; the registers; then bytes: place in the arena, number, bytes, ... 377 before,
; and the same afterwards.

rows:   MOV     (R5)+,R1
        MOV     R5,back
        MOV     (R1)+,head
        MOV     (R1)+,limit
        MOV     (R1)+,known
        MOV     R1,row
1$:     CMP     row,limit
        BHIS    4$
        CLR     form
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     row,R1
        MOV     (R1)+,cc
        MOV     (R1)+,R0
        MOV     #in0,R2
        JSR     PC,some
        JSR     PC,same
        MOV     #out0,R2
        JSR     PC,some
        MOV     R0,loose
        MOV     #arena,R2
        JSR     PC,lay
        JSR     PC,twin
        MOV     #arenax,R2
        JSR     PC,lay
        INC     R1
        BIC     #1,R1
        MOV     R1,ahead
        JSR     PC,build
        JSR     PC,shot
        JSR     PC,verify
        INC     form
        CMP     form,#2
        BLO     2$
        MOV     ahead,row
        BR      1$
4$:     MOV     back,R5
        RTS     R5

; Those of six registers at R2 that the low bits of R0 name, from R1 on; R0 is shifted along.
some:   MOV     #6,R3
1$:     ASR     R0
        BCC     2$
        MOV     (R1)+,(R2)
2$:     TST     (R2)+
        DEC     R3
        BNE     1$
        RTS     PC

; Bytes of a row at R1 into the arena at R2.
lay:    MOVB    (R1)+,R3
        BMI     2$
        ADD     R2,R3
        MOVB    (R1)+,R4
1$:     MOVB    (R1)+,(R3)+
        DEC     R4
        BNE     1$
        BR      lay
2$:     RTS     PC

; Patterns into the registers before, 252 into the arena.
before: MOV     #arena,R1
1$:     MOV     #125252,(R1)+
        CMP     R1,#arena+200
        BLO     1$
        CLR     loose
        CLR     xtrap
filled: MOV     #10101,in0
        MOV     #21212,in1
        MOV     #32323,in2
        MOV     #43434,in3
        MOV     #54545,in4
        MOV     #65656,in5
        RTS     PC

; What must be found in the registers: what was there.
same:   MOV     R1,-(SP)
        MOV     #in0,R1
        MOV     #out0,R2
1$:     MOV     (R1)+,(R2)+
        CMP     R1,#in5
        BLOS    1$
        MOV     (SP)+,R1
        RTS     PC

; What must be found in the arena: what is there.
twin:   MOV     R1,-(SP)
        MOV     #arena,R1
        MOV     #arenax,R2
1$:     MOV     (R1)+,(R2)+
        CMP     R1,#arena+200
        BLO     1$
        MOV     (SP)+,R1
        RTS     PC

; The instruction at `op`.  Form 0 has its operands in registers.  Form 1 has the addresses of descriptors behind it and
; leaves the registers, but for the searches; of a number of 32 bits in memory the low half comes first.
build:  MOV     #op+2,R1
10$:    MOV     #240,(R1)+
        CMP     R1,#op+20
        BLO     10$
        MOV     #125252,long
        MOV     #125252,long+2
        MOV     #in0,R1
        MOV     #desc,R2
1$:     MOV     (R1)+,(R2)+
        CMP     R1,#in5
        BLOS    1$
        MOV     known,R1
        MOV     (R1)+,op
        TST     form
        BEQ     8$
        ADD     #100,op
        MOV     (R1)+,R2
        MOV     (R1)+,R3
        MOV     #op+2,R4
2$:     MOVB    (R2)+,R0
        BEQ     5$
        CMP     R0,#'C
        BHI     3$
        SUB     #'A,R0
        ASL     R0
        ASL     R0
        ADD     #desc,R0
        MOV     R0,(R4)+
        BR      2$
3$:     CMP     R0,#'b
        BNE     4$
        MOV     #long,(R4)+
        BR      2$
4$:     SUB     #'d,R0
        ASL     R0
        MOV     desc+10(R0),(R4)+
        BR      2$
5$:     BIT     #4,R3           ; a number goes in
        BEQ     6$
        MOV     in3,long
        MOV     in2,long+2
6$:     MOV     long,longx
        MOV     long+2,longx+2
        BIT     #2,R3           ; a number comes out
        BEQ     7$
        MOV     out3,longx
        MOV     out2,longx+2
7$:     MOV     out0,R4
        MOV     out1,R5
        JSR     PC,filled
        JSR     PC,same
        BIT     #1,R3           ; a search
        BEQ     9$
        MOV     R4,out0
        MOV     R5,out1
        BR      9$
8$:     MOV     long,longx
        MOV     long+2,longx+2
9$:     RTS     PC

; Does the instruction at `op` with registers in0 to in5 and codes cc.
shot:   MOV     SP,outsp
        CLR     traps
        CLR     gotpc
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
op:     .word   240, 240, 240, 240, 240, 240, 240, 240
        IOT
shots:  MOV     outsp,SP
        RTS     PC

; The trap through 10: noted, then on.
ctrap:  MOV     (SP)+,gotpc
        TST     (SP)+
        INC     traps
        IOT
        BR      shots

; Compares.  Only a failure writes its text.
verify: MOV     #kept0,R1
        MOV     #out0,R2
        MOV     #regs,R3
1$:     TST     loose
        BEQ     2$
        TST     form
        BNE     2$
        CMP     R1,#kept2
        BEQ     3$
        CMP     R1,#kept3
        BEQ     3$
2$:     MOV     R3,R0
        JSR     PC,alike
3$:     ADD     #4,R3
        CMP     (R1)+,(R2)+
        CMP     R1,#kept5
        BLOS    1$
        MOV     #outsp,R2
        MOV     #tsp,R0
        JSR     PC,alike
        JSR     PC,ccrow
        MOV     #tcodes,R0
        JSR     PC,alike
        MOV     #traps,R1
        MOV     #xtrap,R2
        MOV     #ttraps,R0
        JSR     PC,alike
        TST     xtrap
        BEQ     4$
        MOV     #op+2,work
        MOV     #gotpc,R1
        MOV     #work,R2
        MOV     #tsaved,R0
        JSR     PC,alike
4$:     TST     loose
        BNE     5$
        MOV     #long,R1
        MOV     #longx,R2
        MOV     #tlong,R0
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        JSR     PC,alike
5$:     MOV     #arena,R1
        MOV     #arenax,R2
        MOV     #tarena,R0
        INC     placed
6$:     MOV     R1,placel
        JSR     PC,alike
        CMP     (R1)+,(R2)+
        CMP     R1,#arena+200
        BLO     6$
        CLR     placed
        JMP     finish

; The text of a failure: `head`, code, operands, and what of it (R0).
compos: JSR     PC,opens
        MOV     R0,-(SP)
        MOV     op,R1
        JSR     PC,spell
        MOV     #desc,R2
1$:     MOV     (R2)+,R1
        JSR     PC,spell
        CMP     R2,#desc+14
        BLO     1$
        MOV     (SP)+,R0
        JMP     closes

; --- loading descriptors, reserved codes ----------------------------------------------------------------------------

; L2DR and L3DR: rows are eight words of instructions, R4 and R5 before, R4 and R5 afterwards, codes.
loads:  MOV     #hload,head
        MOV     #tload,row
        CLR     form
1$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     #cmove,known
        JSR     PC,build
        MOV     row,R1
        MOV     #op,R2
2$:     MOV     (R1)+,(R2)+
        CMP     R2,#op+20
        BLO     2$
        MOV     (R1)+,in4
        MOV     (R1)+,in5
        MOV     #descs,R3
        JSR     PC,same
        MOV     (R3)+,out0
        MOV     (R3)+,out1
        MOV     (R3)+,out2
        MOV     (R3)+,out3
        MOV     (R1)+,out4
        MOV     (R1)+,out5
        MOV     (R1)+,cc
        JSR     PC,twin
        JSR     PC,shot
        JSR     PC,verify
        ADD     #32,row
        CMP     row,#eload
        BLO     1$
        RTS     PC
tload:  .word   76024, 240, 240, 240, 240, 240, 240, 240, plist, 65656, plist+4, 65656, 001212
        .word   76025, 240, 240, 240, 240, 240, 240, 240, 54545, plist, 54545, plist+4, 000505
        .word   76027, descs, descs+4, 240, 240, 240, 240, 240, 54545, 65656, 54545, 65656, 000505
        .word   76067, descs, descs+4, descs+10, 240, 240, 240, 240, 54545, 65656, 55555, 66666, 001212
; MOV #plist,SP; L2DR SP or L3DR SP; MOV SP,R4; MOV @#outsp,SP
        .word   12706, plist, 76026, 10604, 13706, outsp, 240, 240, 54545, 65656, plist+4, 65656, 170000
        .word   12706, plist, 76066, 10604, 13706, outsp, 240, 240, 54545, 65656, plist+6, 66666, 170000
eload:
plist:  .word   descs, descs+4, descs+10
descs:  .word   11111, 22222, 33333, 44444, 55555, 66666

; Codes that are none: reserved (firm).
none:   MOV     #hnone,head
        MOV     #tnone,row
        CLR     form
1$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     #cmove,known
        JSR     PC,build
        JSR     PC,same
        JSR     PC,twin
        MOV     @row,op
        MOV     #170000,cc
        INC     xtrap
        JSR     PC,shot
        JSR     PC,verify
        ADD     #2,row
        CMP     row,#enone
        BLO     1$
        RTS     PC
tnone:  .word   76000, 76017, 76033, 76046, 76047, 76100, 76120, 76133, 76146, 76160, 76200, 76577, 76777
enone:

; --- strings against base instructions ------------------------------------------------------------------------------

; 50 times two strings of up to 15 letters A to D, much alike, through every string instruction in both forms.
strung: MOV     #62,left
1$:     JSR     PC,random
        MOV     R0,first
        MOV     #texta,R4
        MOV     #textb,R5
2$:     JSR     PC,random
        BIC     #177774,R0
        ADD     #101,R0
        MOVB    R0,(R4)+
        MOVB    R0,(R5)+
        CMP     R4,#texta+20
        BLO     2$
        JSR     PC,random       ; one of the second is B
        BIC     #177760,R0
        MOVB    #102,textb(R0)
        MOV     #tstrin,row
3$:     CLR     form
4$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        MOV     row,R1
        MOV     (R1)+,head
        MOV     (R1)+,known
        MOV     first,R0
        MOV     R0,R2
        BIC     #177760,R2
        MOV     R2,in0
        MOV     #sa,in1
        ASR     R0
        ASR     R0
        ASR     R0
        ASR     R0
        MOV     R0,R2
        BIC     #177760,R2
        MOV     R2,in2
        MOV     #sb,in3
        ASR     R0
        ASR     R0
        ASR     R0
        MOVB    R0,in4          ; a letter, and something above it
        BIC     #374,in4
        ADD     #101,in4
        MOV     #succ,in5
        MOV     #texta,R2
        MOV     #sa,R3
5$:     MOVB    20(R2),sb-sa(R3)
        MOVB    (R2)+,(R3)+
        CMP     R2,#texta+20
        BLO     5$
        JSR     PC,@(R1)+
        MOV     codes,R0
        MOV     R0,R1
        COM     R1
        BIC     #177760,R1
        SWAB    R0
        ASR     R0
        ASR     R0
        BIS     R1,R0
        MOV     R0,cc
        JSR     PC,build
        JSR     PC,shot
        JSR     PC,verify
        INC     form
        CMP     form,#2
        BLO     4$
        ADD     #6,row
        CMP     row,#estrin
        BLO     3$
        DEC     left
        BEQ     6$
        JMP     1$
6$:     RTS     PC

tstrin: .word   hlocc, clocc, finds
        .word   hskpc, cskpc, passes2
        .word   hscanc, cscanc, scans
        .word   hspanc, cspanc, spans
        .word   hcmpc, ccmpc, equals
        .word   hmatc, cmatc, match
        .word   hmovc, cmovc, moves
        .word   hmovrc, cmovrc, mover
        .word   hmovtc, cmovtc, movet
estrin:

; Each sets what must be found, and `codes`.
finds:  JSR     PC,begin2
1$:     TST     R0
        BEQ     hit
        CMPB    (R1),in4
        BEQ     hit
        INC     R1
        DEC     R0
        BR      1$
passes2: JSR    PC,begin2
1$:     TST     R0
        BEQ     hit
        CMPB    (R1),in4
        BNE     hit
        INC     R1
        DEC     R0
        BR      1$
scans:  BIC     #100,in4        ; the mask: 1 to 4
        JSR     PC,begin2
1$:     TST     R0
        BEQ     hit
        MOVB    (R1),R2
        BITB    in4,succ(R2)
        BNE     hit
        INC     R1
        DEC     R0
        BR      1$
spans:  BIC     #100,in4        ; the mask: 1 to 4
        JSR     PC,begin2
1$:     TST     R0
        BEQ     hit
        MOVB    (R1),R2
        BITB    in4,succ(R2)
        BEQ     hit
        INC     R1
        DEC     R0
        BR      1$
hit:    MOV     R0,out0
        MOV     R1,out1
        TST     R0              ; V and C are 0
        IOT
        RTS     PC
begin2: JSR     PC,same
        JSR     PC,twin
        MOV     in0,R0
        MOV     in1,R1
        MOV     in2,R2
        MOV     in3,R3
        RTS     PC
equals: JSR     PC,begin2
1$:     MOVB    in4,R4          ; the shorter is filled up
        MOVB    R4,R5
        TST     R0
        BEQ     2$
        MOVB    (R1),R4
2$:     TST     R2
        BEQ     3$
        MOVB    (R3),R5
3$:     CMPB    R4,R5
        BNE     6$
        TST     R0
        BNE     4$
        TST     R2
        BEQ     6$
4$:     TST     R0
        BEQ     5$
        DEC     R0
        INC     R1
5$:     TST     R2
        BEQ     1$
        DEC     R2
        INC     R3
        BR      1$
6$:     MOV     R0,out0
        MOV     R1,out1
        MOV     R2,out2
        MOV     R3,out3
        CMPB    R4,R5
        IOT
        RTS     PC
match:  BIC     #177774,in2     ; a short one is looked for
        ADD     #10,in3         ; from the middle of the second
        JSR     PC,begin2
1$:     CMP     R0,in2
        BLO     4$
        MOV     R1,R4
        MOV     in3,R5
        MOV     in2,R2
        BEQ     3$
2$:     CMPB    (R4)+,(R5)+
        BNE     5$
        DEC     R2
        BNE     2$
3$:     JMP     hit
5$:     INC     R1
        DEC     R0
        BR      1$
4$:     MOV     in1,R1          ; not there
        ADD     in0,R1
        CLR     R0
        JMP     hit
; Moves: to the third place; what is left over, zeros, the lengths compared.
moves:  JSR     PC,ready
        MOV     #arenax-arena+sd,R3
1$:     TST     R2
        BEQ     moved
        DEC     R2
        MOVB    in4,R4
        TST     R0
        BEQ     2$
        DEC     R0
        MOVB    (R1)+,R4
2$:     MOVB    R4,(R3)+
        BR      1$
mover:  JSR     PC,ready
        MOV     #arenax-arena+sd,R3
        ADD     R0,R1
        ADD     R2,R3
1$:     TST     R2              ; from the right
        BEQ     moved
        DEC     R2
        MOVB    in4,R4
        TST     R0
        BEQ     2$
        DEC     R0
        MOVB    -(R1),R4
2$:     MOVB    R4,-(R3)
        BR      1$
movet:  JSR     PC,ready
        MOV     #arenax-arena+sd,R3
1$:     TST     R2
        BEQ     moved
        DEC     R2
        MOVB    in4,R4
        TST     R0
        BEQ     2$
        DEC     R0
        MOVB    (R1)+,R5
        MOVB    succ(R5),R4
2$:     MOVB    R4,(R3)+
        BR      1$
moved:  MOV     R0,out0
        CMP     in0,in2
        IOT
        RTS     PC
ready:  MOV     #sd,in3
        JSR     PC,begin2
        CLR     out1
        CLR     out2
        CLR     out3
        RTS     PC

; --- decimals against base instructions -----------------------------------------------------------------------------

; 40 times two numbers of 16 bits in strings of types by chance, through every decimal instruction in both forms.
mixed:  MOV     #50,left
1$:     JSR     PC,random
        MOV     R0,first
        JSR     PC,random
        MOV     R0,second
        JSR     PC,random
        MOV     R0,chance
        MOV     #tmixed,row
2$:     CLR     form
3$:     JSR     R5,next
        .word   buffer
        JSR     PC,before
        CLR     cc
        MOV     row,R1
        MOV     (R1)+,head
        MOV     (R1)+,known
        MOV     (R1)+,R5
        MOV     (R1)+,R0        ; 0: types 0 to 5, 1: types 6 and 7, 2 and 3: from one to the other
        JSR     PC,types
        JSR     PC,(R5)
        JSR     PC,gives
        JSR     PC,build
        JSR     PC,shot
        JSR     PC,verify
        INC     form
        CMP     form,#2
        BLO     3$
        ADD     #10,row
        CMP     row,#emixed
        BLO     2$
        DEC     left
        BNE     1$
        RTS     PC

tmixed: .word   haddn, caddn, adds, 0
        .word   hsubn, csubn, subs, 0
        .word   hcmpn, ccmpn, compas, 0
        .word   hashn, cashn, powers2, 0
        .word   hcvtnl, ccvtnl, tolong, 0
        .word   hcvtln, ccvtln, fromlo, 0
        .word   haddp, caddp, adds, 1
        .word   hsubp, csubp, subs, 1
        .word   hcmpp, ccmpp, compas, 1
        .word   hmulp, cmulp, muls, 1
        .word   hdivp, cdivp, divs, 1
        .word   hashp, cashp, powers2, 1
        .word   hcvtpl, ccvtpl, tolong, 1
        .word   hcvtlp, ccvtlp, fromlo, 1
        .word   hcvtnp, ccvtnp, turns, 2
        .word   hcvtpn, ccvtpn, turns, 3
emixed:

; Types and lengths of the three strings; v1 and v2: the two numbers, without sign where a type has none.
types:  MOV     R0,-(SP)
        MOV     chance,R1
        JSR     PC,6$
        MOV     R2,typea
        JSR     PC,6$
        MOV     R2,typeb
        JSR     PC,6$
        MOV     R2,typed
        MOV     (SP),R0
        CMP     R0,#2
        BLO     1$
        MOV     R0,R3           ; a conversion: the destination is of the other kind
        MOV     #3,R0
        SUB     R3,R0           ; 2: source 0 to 5, destination 6 or 7
        BEQ     5$
        BIC     #177776,typed
        ADD     #6,typed
        BR      2$
5$:     BIC     #177776,typea
        ADD     #6,typea
        BR      2$
1$:     TST     R0
        BEQ     2$
        BIC     #177776,typea
        BIC     #177776,typeb
        BIC     #177776,typed
        ADD     #6,typea
        ADD     #6,typeb
        ADD     #6,typed
2$:     TST     (SP)+
        MOV     first,R1
        MOV     R1,R2
        BIC     #177774,R2
        ADD     #7,R2
        MOV     R2,lena
        BIC     #177776,R2
        ADD     #13,R2
        MOV     R2,lend
        MOV     #v1,R3
        MOV     typea,R4
        JSR     PC,7$
        MOV     second,R1
        MOV     R1,R2
        BIC     #177774,R2
        ADD     #12,R2
        MOV     R2,lenb
        MOV     #v2,R3
        MOV     typeb,R4
7$:     CLR     (R3)            ; R1 as 32 bits to (R3), its size if the type in R4 has no sign
        TST     R1
        BPL     9$
        DEC     (R3)
        BIT     #1,R4
        BEQ     9$
        CMP     R4,#1
        BEQ     8$
        CMP     R4,#7
        BNE     9$
8$:     CLR     (R3)
        NEG     R1
9$:     MOV     R1,2(R3)
        RTS     PC
6$:     MOV     R1,R2           ; R2: 0 to 5
        BIC     #177770,R2
        CMP     R2,#6
        BLO     10$
        SUB     #6,R2
10$:    ASR     R1
        ASR     R1
        ASR     R1
        RTS     PC

; Each sets registers before and afterwards and `val`, the result; `goes` tells where the destination is described.
adds:   JSR     PC,both
        ADD     v1+2,val+2
        ADC     val
        ADD     v1,val
        RTS     PC
subs:   JSR     PC,both
        SUB     v1+2,val+2
        SBC     val
        SUB     v1,val
        RTS     PC
compas: JSR     PC,both
        CLR     goes
        MOV     in4,out4
        MOV     v1,val
        MOV     v1+2,val+2
        SUB     v2+2,val+2
        SBC     val
        SUB     v2,val
        RTS     PC
muls:   JSR     PC,both
        JSR     PC,produc
        RTS     PC
; The dividend: the product, and to it less than the divisor, so that the quotient must be chopped.
divs:   JSR     PC,both
        JSR     PC,produc
        MOV     v1+2,R2         ; size of v1, less 1
        TST     v1
        BPL     1$
        NEG     R2
1$:     DEC     R2
        MOV     v2,quot
        MOV     v2+2,quot+2
        TST     val
        BMI     3$
        ADD     R2,val+2
        ADC     val
        BR      4$
3$:     SUB     R2,val+2
        SBC     val
        CMP     typeb,#7        ; without a sign: the quotient has that of the divisor
        BNE     4$
        JSR     PC,minus
4$:     CMP     typeb,#7
        BNE     5$
        TST     v1
        BPL     5$
        COM     quot            ; v2 is a size already
        NEG     quot+2
        BNE     5$
        INC     quot
5$:     MOV     val,v2
        MOV     val+2,v2+2
        MOV     quot,val
        MOV     quot+2,val+2
        RTS     PC
powers2: MOV    #in2,goes
        MOV     second,R2
        BIC     #177774,R2
        MOV     R2,in4
        JSR     PC,one
1$:     DEC     R2
        BMI     2$
        MOV     val,R0          ; ten times
        MOV     val+2,R1
        ASL     R1
        ROL     R0
        ASL     R1
        ROL     R0
        ADD     val+2,R1
        ADC     R0
        ADD     val,R0
        ASL     R1
        ROL     R0
        MOV     R0,val
        MOV     R1,val+2
        BR      1$
2$:     JSR     PC,same
        CLR     out0
        CLR     out1
        CLR     out4
        RTS     PC
tolong: CLR     goes
        JSR     PC,one
        JSR     PC,same
        CLR     out0
        CLR     out1
        MOV     val,out2
        MOV     val+2,out3
        RTS     PC
fromlo: MOV     #in0,goes
        JSR     PC,one
        CLR     typea           ; the number itself, with its sign
        MOV     first,R1
        MOV     #val,R3
        CLR     R4
        CLR     (R3)
        TST     R1
        BPL     1$
        DEC     (R3)
1$:     MOV     R1,2(R3)
        MOV     val,in2
        MOV     val+2,in3
        JSR     PC,same
        CLR     out2
        CLR     out3
        RTS     PC
turns:  MOV     #in2,goes
        JSR     PC,one
        JSR     PC,same
        CLR     out0
        CLR     out1
        RTS     PC
both:   MOV     #in4,goes
        JSR     PC,same
        CLR     out0
        CLR     out1
        CLR     out2
        CLR     out3
        MOV     v2,val
        MOV     v2+2,val+2
        RTS     PC
one:    MOV     v1,val
        MOV     v1+2,val+2
        RTS     PC

; Lays the sources into the arena and what must be found there, and makes the codes of `val`.
gives:  MOV     val,quot
        MOV     val+2,quot+2
        CMP     goes,#in0
        BEQ     2$
        MOV     v1,val
        MOV     v1+2,val+2
        MOV     typea,R0
        MOV     lena,R1
        MOV     #sa,R2
        MOV     #in0,R3
        JSR     PC,store
        CMP     goes,#in4
        BEQ     1$
        MOV     row,R1
        CMP     4(R1),#compas
        BNE     2$
1$:     MOV     v2,val
        MOV     v2+2,val+2
        MOV     typeb,R0
        MOV     lenb,R1
        MOV     #sb,R2
        MOV     #in2,R3
        JSR     PC,store
2$:     JSR     PC,twin
        MOV     quot,val
        MOV     quot+2,val+2
        MOV     goes,R3
        BEQ     3$
        MOV     typed,R0
        MOV     lend,R1
        MOV     #arenax-arena+sd,R2
        JSR     PC,store
        SUB     #arenax-arena,2(R3)
        MOV     (R3),out0-in0(R3)       ; descriptors of destinations stay
        MOV     2(R3),out0-in0+2(R3)
3$:     CLR     R0              ; codes: N, of a destination with a sign; Z; C of a negative number made long
        TST     val
        BPL     6$
        TST     goes
        BEQ     4$
        CMP     typed,#1
        BEQ     6$
        CMP     typed,#7
        BEQ     6$
4$:     MOV     #10,R0
        MOV     row,R1
        CMP     4(R1),#tolong
        BNE     6$
        INC     R0
6$:     MOV     val,R1
        BIS     val+2,R1
        BNE     7$
        MOV     #4,R0
7$:     MOV     R0,R1
        COM     R1
        BIC     #177760,R1
        SWAB    R0
        ASR     R0
        ASR     R0
        BIS     R1,R0
        MOV     R0,cc
        RTS     PC

; Stores `val` as a string of type R0 with R1 digits, the first at R2, and its descriptor at R3.
store:  MOV     R3,-(SP)
        MOV     R0,stype
        MOV     R1,(R3)
        MOV     R2,2(R3)
        SWAB    R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        BIS     R0,(R3)
        MOV     R1,count
        MOV     R2,where1
        MOV     val,R0
        MOV     val+2,R1
        CLR     sign
        TST     R0
        BPL     1$
        INC     sign
        COM     R0
        NEG     R1
        BNE     1$
        INC     R0
1$:     MOV     #tens,R4        ; ten digits
        MOV     #digits,R5
2$:     CLR     R3
3$:     CMP     R0,(R4)
        BLO     5$
        BHI     4$
        CMP     R1,2(R4)
        BLO     5$
4$:     SUB     2(R4),R1
        SBC     R0
        SUB     (R4),R0
        INC     R3
        BR      3$
5$:     MOVB    R3,(R5)+
        ADD     #4,R4
        CMP     R4,#etens
        BLO     2$
        CMP     stype,#6
        BHIS    packed
        JSR     PC,digit        ; as characters
6$:     ADD     #60,R0
        MOVB    R0,(R2)+
        JSR     PC,digit
        BPL     6$
        MOV     stype,R0
        BNE     7$
        TST     sign            ; zoned
        BEQ     stored
        BISB    #100,-1(R2)
        BR      stored
7$:     CMP     R0,#2
        BLO     stored
        BEQ     8$
        CMP     R0,#4
        BLO     9$
        BHI     10$
        MOVB    #53,(R2)        ; a sign behind
        TST     sign
        BEQ     stored
        MOVB    #55,(R2)
        BR      stored
10$:    MOV     where1,R2       ; a sign before
        MOVB    #53,-(R2)
        TST     sign
        BEQ     stored
        MOVB    #55,(R2)
        BR      stored
8$:     MOV     R2,where1       ; the last digit with its sign
        DEC     where1
9$:     MOVB    @where1,R0      ; the first
        SUB     #60,R0
        TST     sign
        BEQ     11$
        ADD     #12,R0
11$:    MOVB    punch(R0),@where1
stored: MOV     (SP)+,R3
        RTS     PC
packed: CLR     R4              ; not 0: half a byte is there
        BIT     #1,count
        BNE     1$
        INC     R4              ; an even number: 0 in front
        CLR     R5
1$:     JSR     PC,digit
2$:     JSR     PC,4$
        JSR     PC,digit
        BPL     2$
        MOV     #17,R0
        CMP     stype,#7
        BEQ     3$
        MOV     #14,R0
        ADD     sign,R0
3$:     JSR     PC,4$
        BR      stored
4$:     TST     R4
        BNE     5$
        MOV     R0,R5
        ASL     R5
        ASL     R5
        ASL     R5
        ASL     R5
        INC     R4
        RTS     PC
5$:     BIS     R0,R5
        MOVB    R5,(R2)+
        CLR     R4
        RTS     PC
; The next of `count` digits: R0, minus when there is none.
digit:  MOV     #-1,R0
        TST     count
        BEQ     2$
        MOV     #12,R0
        SUB     count,R0
        DEC     count
        TST     R0
        BPL     1$
        CLR     R0              ; more than ten: zeros in front
        BR      2$
1$:     MOVB    digits(R0),R0
2$:     TST     R0
        RTS     PC

; val: v1 by v2, by shifting and adding; both have 16 bits and a sign.
produc: CLR     R5
        MOV     v1+2,R2
        TST     v1
        BPL     1$
        NEG     R2
        INC     R5
1$:     MOV     v2+2,R3
        TST     v2
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
        MOV     R0,val
        MOV     R1,val+2
        ASR     R5
        BCC     5$
        JSR     PC,minus
5$:     RTS     PC

; val: the other sign.
minus:  COM     val
        NEG     val+2
        BNE     1$
        INC     val
1$:     RTS     PC

tens:   .word   35632, 145000, 2765, 160400, 230, 113200, 17, 41100, 1, 103240, 0, 23420, 0, 1750, 0, 144
        .word   0, 12, 0, 1
etens:
punch:  .byte   173, 101, 102, 103, 104, 105, 106, 107, 110, 111        ; 0 to 9 with plus
        .byte   175, 112, 113, 114, 115, 116, 117, 120, 121, 122        ; with minus
texta:  . = . + 20
textb:  . = . + 20
digits: .byte   0, 0, 0, 0, 0, 0, 0, 0, 0, 0
        .even

; --- what is known of each instruction ------------------------------------------------------------------------------
; code; words behind it, by letter: A B C descriptors of R0-R1, R2-R3, R4-R5, d e the words in R4 and R5, b the
; address of a number of 32 bits; 1 a search, 2 a number comes out, 4 a number goes in

cmove:
cmovc:  .word   76030, words0, 0
cmovrc: .word   76031, words0, 0
cmovtc: .word   76032, words1, 0
clocc:  .word   76040, words2, 1
cskpc:  .word   76041, words2, 1
cscanc: .word   76042, words3, 1
cspanc: .word   76043, words3, 1
ccmpc:  .word   76044, words0, 0
cmatc:  .word   76045, words4, 1
caddn:  .word   76050, words5, 0
csubn:  .word   76051, words5, 0
ccmpn:  .word   76052, words4, 0
ccvtnl: .word   76053, words6, 2
ccvtpn: .word   76054, words4, 0
ccvtnp: .word   76055, words4, 0
cashn:  .word   76056, words0, 0
ccvtln: .word   76057, words6, 4
caddp:  .word   76070, words5, 0
csubp:  .word   76071, words5, 0
ccmpp:  .word   76072, words4, 0
ccvtpl: .word   76073, words6, 2
cmulp:  .word   76074, words5, 0
cdivp:  .word   76075, words5, 0
cashp:  .word   76076, words0, 0
ccvtlp: .word   76077, words6, 4
words0: .asciz  /ABd/
words1: .asciz  /ABde/
words2: .asciz  /Ad/
words3: .asciz  /AC/
words4: .asciz  /AB/
words5: .asciz  /ABC/
words6: .asciz  /Ab/
        .even

; --- tables ---------------------------------------------------------------------------------------------------------

tlist:
        .word   tmovc, tmovrc, tmovtc, tlocc, tskpc, tscanc, tspanc, tcmpc, tmatc
        .word   taddn, tsubn, tcmpn, taddp, tsubp, tcmpp, tmulp, tdivp, tashn
        .word   tashp, tcvtnp, tcvtpn, tcvtnl, tcvtpl, tcvtln, tcvtlp
elist:
tmovc: .word   hmovc, emovc, cmovc
        .word   17, 1737, 5, sa, 3, sd, 52, 2, 0, 0, 0
        .byte   10, 5, 101, 102, 103, 104, 105, 377, 130, 4, 101, 102, 103, 252, 377
        .even
        .word   413, 1737, 3, sa, 3, sd, 52, 0, 0, 0, 0
        .byte   10, 3, 101, 102, 103, 377, 130, 4, 101, 102, 103, 252, 377
        .even
        .word   1106, 1737, 2, sa, 5, sd, 52, 0, 0, 0, 0
        .byte   10, 2, 101, 102, 377, 130, 6, 101, 102, 52, 52, 52, 252, 377
        .even
        .word   1106, 1637, 0, sa, 2, sd, 52, 0, 0, 0
        .byte   377, 130, 3, 52, 52, 252, 377
        .even
        .word   17, 1237, 2, sa, 0, sd, 52, 0, 0
        .byte   10, 2, 101, 102, 377, 377
        .even
        .word   413, 1737, 1, sa, 1, sd, 52, 0, 0, 0, 0
        .byte   10, 1, 132, 377, 130, 2, 132, 252, 377
        .even
        .word   413, 1737, 6, sa, 6, sa+2, 52, 0, 0, 0, 0
        .byte   10, 11, 101, 102, 103, 104, 105, 106, 56, 56, 56, 377, 10, 11, 101, 102, 101, 102, 103
        .byte   104, 105, 106, 56, 377
        .even
        .word   413, 1737, 6, sa, 6, sa-2, 52, 0, 0, 0, 0
        .byte   6, 11, 56, 56, 101, 102, 103, 104, 105, 106, 56, 377, 6, 11, 101, 102, 103, 104, 105, 106
        .byte   105, 106, 56, 377
        .even
        .word   1106, 1737, 4, sa, 7, sa+1, 52, 0, 0, 0, 0
        .byte   10, 11, 101, 102, 103, 104, 56, 56, 56, 56, 56, 377, 10, 11, 101, 101, 102, 103, 104, 52
        .byte   52, 52, 56, 377
        .even
        .word   1106, 1737, 1, sa, 3, sd, 177440, 0, 0, 0, 0
        .byte   10, 1, 101, 377, 130, 4, 101, 40, 40, 252, 377
        .even
emovc:
tmovrc: .word   hmovrc, emovrc, cmovrc
        .word   17, 1737, 5, sa, 3, sd, 52, 2, 0, 0, 0
        .byte   10, 5, 101, 102, 103, 104, 105, 377, 130, 4, 103, 104, 105, 252, 377
        .even
        .word   413, 1737, 3, sa, 3, sd, 52, 0, 0, 0, 0
        .byte   10, 3, 101, 102, 103, 377, 130, 4, 101, 102, 103, 252, 377
        .even
        .word   1106, 1737, 2, sa, 5, sd, 52, 0, 0, 0, 0
        .byte   10, 2, 101, 102, 377, 130, 6, 52, 52, 52, 101, 102, 252, 377
        .even
        .word   1106, 1637, 0, sa, 2, sd, 52, 0, 0, 0
        .byte   377, 130, 3, 52, 52, 252, 377
        .even
        .word   17, 1237, 2, sa, 0, sd, 52, 0, 0
        .byte   10, 2, 101, 102, 377, 377
        .even
        .word   413, 1737, 1, sa, 1, sd, 52, 0, 0, 0, 0
        .byte   10, 1, 132, 377, 130, 2, 132, 252, 377
        .even
        .word   413, 1737, 6, sa, 6, sa+2, 52, 0, 0, 0, 0
        .byte   10, 11, 101, 102, 103, 104, 105, 106, 56, 56, 56, 377, 10, 11, 101, 102, 101, 102, 103
        .byte   104, 105, 106, 56, 377
        .even
        .word   413, 1737, 6, sa, 6, sa-2, 52, 0, 0, 0, 0
        .byte   6, 11, 56, 56, 101, 102, 103, 104, 105, 106, 56, 377, 6, 11, 101, 102, 103, 104, 105, 106
        .byte   105, 106, 56, 377
        .even
        .word   1106, 1737, 4, sa, 7, sa+1, 52, 0, 0, 0, 0
        .byte   10, 11, 101, 102, 103, 104, 56, 56, 56, 56, 56, 377, 10, 11, 101, 52, 52, 52, 101, 102
        .byte   103, 104, 56, 377
        .even
        .word   1106, 1737, 1, sa, 3, sd, 177440, 0, 0, 0, 0
        .byte   10, 1, 101, 377, 130, 4, 40, 40, 101, 252, 377
        .even
emovrc:
tmovtc: .word   hmovtc, emovtc, cmovtc
        .word   17, 1777, 5, sa, 3, sd, 52, lower, 2, 0, 0, 0
        .byte   10, 5, 101, 102, 103, 104, 105, 377, 130, 4, 141, 142, 143, 252, 377
        .even
        .word   413, 1777, 3, sa, 3, sd, 52, lower, 0, 0, 0, 0
        .byte   10, 3, 110, 101, 107, 377, 130, 4, 150, 141, 147, 252, 377
        .even
        .word   1106, 1777, 2, sa, 4, sd, 101, lower, 0, 0, 0, 0
        .byte   10, 2, 101, 102, 377, 130, 5, 141, 142, 101, 101, 252, 377
        .even
        .word   1106, 1677, 0, sa, 2, sd, 52, lower, 0, 0, 0
        .byte   377, 130, 3, 52, 52, 252, 377
        .even
        .word   413, 1777, 4, sa, 4, sa+1, 52, succ, 0, 0, 0, 0
        .byte   10, 5, 101, 56, 56, 56, 56, 377, 10, 5, 101, 102, 103, 104, 105, 377
        .even
emovtc:
tlocc: .word   hlocc, elocc, clocc
        .word   17, 37, 5, sa, 0, 0, 101
        .byte   10, 5, 101, 102, 103, 104, 105, 377, 377
        .even
        .word   17, 337, 5, sa, 0, 0, 103, 3, sa+2
        .byte   10, 5, 101, 102, 103, 104, 105, 377, 377
        .even
        .word   17, 337, 5, sa, 0, 0, 105, 1, sa+4
        .byte   10, 5, 101, 102, 103, 104, 105, 377, 377
        .even
        .word   413, 337, 5, sa, 0, 0, 132, 0, sa+5
        .byte   10, 5, 101, 102, 103, 104, 105, 377, 377
        .even
        .word   413, 37, 0, sa, 0, 0, 132
        .byte   377, 377
        .even
        .word   17, 337, 4, sa, 0, 0, 102, 3, sa+1
        .byte   10, 4, 101, 102, 102, 101, 377, 377
        .even
        .word   17, 337, 2, sa, 0, 0, 52502, 1, sa+1
        .byte   10, 2, 101, 102, 377, 377
        .even
elocc:
tskpc: .word   hskpc, eskpc, cskpc
        .word   17, 37, 2, sa, 0, 0, 40
        .byte   10, 2, 101, 102, 377, 377
        .even
        .word   17, 337, 5, sa, 0, 0, 40, 2, sa+3
        .byte   10, 5, 40, 40, 40, 101, 102, 377, 377
        .even
        .word   17, 337, 4, sa, 0, 0, 40, 1, sa+3
        .byte   10, 4, 40, 40, 40, 101, 377, 377
        .even
        .word   413, 337, 4, sa, 0, 0, 40, 0, sa+4
        .byte   10, 4, 40, 40, 40, 40, 377, 377
        .even
        .word   413, 37, 0, sa, 0, 0, 40
        .byte   377, 377
        .even
        .word   17, 337, 2, sa, 0, 0, 40, 1, sa+1
        .byte   10, 2, 40, 240, 377, 377
        .even
eskpc:
tscanc: .word   hscanc, escanc, cscanc
        .word   17, 377, 4, sa, 0, 0, 1, class, 2, sa+2
        .byte   10, 4, 61, 62, 101, 63, 377, 377
        .even
        .word   17, 377, 3, sa, 0, 0, 2, class, 1, sa+2
        .byte   10, 3, 101, 102, 67, 377, 377
        .even
        .word   17, 377, 3, sa, 0, 0, 3, class, 1, sa+2
        .byte   10, 3, 56, 56, 101, 377, 377
        .even
        .word   413, 377, 3, sa, 0, 0, 2, class, 0, sa+3
        .byte   10, 3, 101, 102, 103, 377, 377
        .even
        .word   413, 377, 3, sa, 0, 0, 0, class, 0, sa+3
        .byte   10, 3, 101, 102, 103, 377, 377
        .even
        .word   413, 77, 0, sa, 0, 0, 3, class
        .byte   377, 377
        .even
        .word   413, 377, 3, sa, 0, 0, 1002, class, 0, sa+3
        .byte   10, 3, 101, 102, 103, 377, 377
        .even
escanc:
tspanc: .word   hspanc, espanc, cspanc
        .word   17, 377, 4, sa, 0, 0, 1, class, 1, sa+3
        .byte   10, 4, 101, 102, 103, 61, 377, 377
        .even
        .word   17, 377, 2, sa, 0, 0, 2, class, 1, sa+1
        .byte   10, 2, 67, 101, 377, 377
        .even
        .word   17, 377, 3, sa, 0, 0, 3, class, 1, sa+2
        .byte   10, 3, 101, 61, 56, 377, 377
        .even
        .word   413, 377, 3, sa, 0, 0, 1, class, 0, sa+3
        .byte   10, 3, 101, 102, 103, 377, 377
        .even
        .word   17, 77, 3, sa, 0, 0, 0, class
        .byte   10, 3, 101, 102, 103, 377, 377
        .even
        .word   413, 77, 0, sa, 0, 0, 3, class
        .byte   377, 377
        .even
espanc:
tcmpc: .word   hcmpc, ecmpc, ccmpc
        .word   413, 1737, 3, sa, 3, sb, 40, 0, sa+3, 0, sb+3
        .byte   10, 3, 101, 102, 103, 60, 3, 101, 102, 103, 377, 377
        .even
        .word   1106, 1737, 3, sa, 3, sb, 40, 1, sa+2, 1, sb+2
        .byte   10, 3, 101, 102, 102, 60, 3, 101, 102, 103, 377, 377
        .even
        .word   17, 1737, 3, sa, 3, sb, 40, 1, sa+2, 1, sb+2
        .byte   10, 3, 101, 102, 104, 60, 3, 101, 102, 103, 377, 377
        .even
        .word   1106, 37, 3, sa, 3, sb, 40
        .byte   10, 3, 130, 102, 103, 60, 3, 131, 102, 103, 377, 377
        .even
        .word   413, 37, 0, sa, 0, sb, 40
        .byte   377, 377
        .even
        .word   413, 1737, 2, sa, 4, sb, 40, 0, sa+2, 0, sb+4
        .byte   10, 2, 101, 102, 60, 4, 101, 102, 40, 40, 377, 377
        .even
        .word   413, 1737, 4, sa, 2, sb, 40, 0, sa+4, 0, sb+2
        .byte   10, 4, 101, 102, 40, 40, 60, 2, 101, 102, 377, 377
        .even
        .word   1106, 1737, 2, sa, 3, sb, 40, 0, sa+2, 1, sb+2
        .byte   10, 2, 101, 102, 60, 3, 101, 102, 41, 377, 377
        .even
        .word   1106, 1737, 3, sa, 2, sb, 177, 1, sa+2, 0, sb+2
        .byte   10, 3, 101, 102, 41, 60, 2, 101, 102, 377, 377
        .even
        .word   1304, 37, 1, sa, 1, sb, 40
        .byte   10, 1, 177, 60, 1, 200, 377, 377
        .even
        .word   215, 37, 1, sa, 1, sb, 40
        .byte   10, 1, 200, 60, 1, 177, 377, 377
        .even
        .word   1106, 37, 0, sa, 1, sb, 40
        .byte   60, 1, 101, 377, 377
        .even
ecmpc:
tmatc: .word   hmatc, ematc, cmatc
        .word   17, 317, 5, sa, 2, sb, 3, sa+2
        .byte   10, 5, 101, 102, 103, 104, 105, 60, 2, 103, 104, 377, 377
        .even
        .word   17, 17, 5, sa, 2, sb
        .byte   10, 5, 101, 102, 103, 104, 105, 60, 2, 101, 102, 377, 377
        .even
        .word   17, 317, 5, sa, 2, sb, 2, sa+3
        .byte   10, 5, 101, 102, 103, 104, 105, 60, 2, 104, 105, 377, 377
        .even
        .word   17, 17, 3, sa, 3, sb
        .byte   10, 3, 101, 102, 103, 60, 3, 101, 102, 103, 377, 377
        .even
        .word   413, 317, 5, sa, 2, sb, 0, sa+5
        .byte   10, 5, 101, 102, 103, 104, 105, 60, 2, 103, 105, 377, 377
        .even
        .word   17, 17, 3, sa, 0, sb
        .byte   10, 3, 101, 102, 103, 377, 377
        .even
        .word   413, 317, 2, sa, 3, sb, 0, sa+2
        .byte   10, 2, 101, 102, 60, 3, 101, 102, 103, 377, 377
        .even
        .word   413, 17, 0, sa, 0, sb
        .byte   377, 377
        .even
        .word   17, 317, 6, sa, 4, sb, 4, sa+2
        .byte   10, 6, 101, 102, 101, 102, 101, 103, 60, 4, 101, 102, 101, 103, 377, 377
        .even
        .word   413, 317, 4, sa, 2, sb, 0, sa+4
        .byte   10, 4, 101, 102, 103, 101, 60, 2, 101, 130, 377, 377
        .even
ematc:
taddn: .word   haddn, eaddn, caddn
        .word   17, 1777, 3, sa, 40002, sb, 4, sd, 0, 0, 0, 0
        .byte   10, 3, 61, 62, 63, 60, 3, 64, 65, 53, 377, 130, 4, 60, 61, 66, 70, 377
        .even
        .word   17, 1777, 3, sa, 40001, sb, 40004, sd, 0, 0, 0, 0
        .byte   10, 3, 71, 71, 71, 60, 2, 61, 53, 377, 130, 5, 61, 60, 60, 60, 53, 377
        .even
        .word   215, 1777, 3, sa, 40003, sb, 3, sd, 0, 0, 0, 0
        .byte   10, 3, 71, 71, 71, 60, 4, 60, 60, 62, 53, 377, 130, 3, 60, 60, 61, 377
        .even
        .word   1007, 1777, 1, sa, 40001, sb, 30002, sd, 0, 0, 0, 0
        .byte   10, 1, 165, 60, 2, 63, 53, 377, 130, 2, 175, 62, 377
        .even
        .word   413, 1777, 2, sa, 40002, sb, 3, sd, 0, 0, 0, 0
        .byte   10, 2, 64, 165, 60, 3, 64, 65, 53, 377, 130, 3, 60, 60, 60, 377
        .even
        .word   413, 1777, 2, sa, 40002, sb, 40002, sd, 0, 0, 0, 0
        .byte   10, 2, 60, 160, 60, 3, 60, 60, 55, 377, 130, 3, 60, 60, 53, 377
        .even
        .word   17, 1777, 3, sa, 40002, sb, 10003, sd, 0, 0, 0, 0
        .byte   10, 3, 67, 60, 160, 60, 3, 61, 61, 55, 377, 130, 3, 67, 61, 61, 377
        .even
        .word   413, 1677, 0, sa, 40000, sb, 0, sd, 0, 0, 0
        .byte   377, 377
        .even
        .word   611, 1777, 1, sa, 40001, sb, 0, sd, 0, 0, 0, 0
        .byte   10, 1, 61, 60, 2, 61, 53, 377, 377
        .even
        .word   215, 1777, 37, sa, 40037, sb, 37, sd, 0, 0, 0, 0
        .byte   10, 37, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71
        .byte   71, 71, 71, 71, 71, 71, 71, 71, 71, 60, 40, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71
        .byte   71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 53, 377, 130, 37, 71, 71
        .byte   71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71
        .byte   71, 71, 71, 71, 70, 377
        .even
        .word   140611, 1777, 3, sa, 40003, sb, 40003, sd, 0, 0, 0, 0
        .byte   10, 3, 66, 60, 160, 60, 4, 64, 60, 60, 55, 377, 130, 4, 60, 60, 60, 55, 377
        .even
eaddn:
tsubn: .word   hsubn, esubn, csubn
        .word   17, 1777, 40002, sa, 20003, sb, 40003, sd, 0, 0, 0, 0
        .byte   10, 3, 64, 65, 53, 60, 3, 61, 62, 103, 377, 130, 4, 60, 67, 70, 53, 377
        .even
        .word   1007, 1777, 40001, sa, 20001, sb, 20001, sd, 0, 0, 0, 0
        .byte   10, 2, 65, 53, 60, 1, 103, 377, 130, 1, 113, 377
        .even
        .word   413, 1777, 40003, sa, 20003, sb, 40003, sd, 0, 0, 0, 0
        .byte   10, 4, 63, 62, 61, 53, 60, 3, 63, 62, 101, 377, 130, 4, 60, 60, 60, 53, 377
        .even
        .word   17, 1777, 40001, sa, 20001, sb, 40002, sd, 0, 0, 0, 0
        .byte   10, 2, 63, 55, 60, 1, 105, 377, 130, 3, 60, 70, 53, 377
        .even
        .word   17, 1777, 40001, sa, 20004, sb, 20004, sd, 0, 0, 0, 0
        .byte   10, 2, 61, 53, 60, 4, 61, 60, 60, 173, 377, 130, 4, 60, 71, 71, 111, 377
        .even
        .word   611, 1777, 40001, sa, 20002, sb, 40002, sd, 0, 0, 0, 0
        .byte   10, 2, 61, 55, 60, 2, 71, 111, 377, 130, 3, 60, 60, 53, 377
        .even
        .word   1007, 1777, 40002, sa, 20000, sb, 40002, sd, 0, 0, 0, 0
        .byte   10, 3, 61, 62, 53, 377, 130, 3, 61, 62, 55, 377
        .even
esubn:
tcmpn: .word   hcmpn, ecmpn, ccmpn
        .word   413, 1717, 3, sa, 50004, sb+1, 0, 0, 0, 0
        .byte   10, 3, 60, 61, 62, 60, 5, 53, 60, 60, 61, 62, 377, 377
        .even
        .word   1007, 1717, 2, sa, 50002, sb+1, 0, 0, 0, 0
        .byte   10, 2, 61, 61, 60, 3, 53, 61, 62, 377, 377
        .even
        .word   17, 1717, 2, sa, 50002, sb+1, 0, 0, 0, 0
        .byte   10, 2, 61, 62, 60, 3, 53, 61, 61, 377, 377
        .even
        .word   1007, 1717, 1, sa, 50001, sb+1, 0, 0, 0, 0
        .byte   10, 1, 171, 60, 2, 53, 61, 377, 377
        .even
        .word   413, 1717, 2, sa, 50002, sb+1, 0, 0, 0, 0
        .byte   10, 2, 60, 160, 60, 3, 53, 60, 60, 377, 377
        .even
        .word   17, 1717, 37, sa, 50037, sb+1, 0, 0, 0, 0
        .byte   10, 37, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71
        .byte   71, 71, 71, 71, 71, 71, 71, 71, 71, 60, 40, 53, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71
        .byte   71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 70, 377, 377
        .even
        .word   413, 1617, 0, sa, 50001, sb+1, 0, 0, 0
        .byte   60, 2, 53, 60, 377, 377
        .even
ecmpn:
taddp: .word   haddp, eaddp, caddp
        .word   17, 1777, 60003, sa, 60002, sb, 60004, sd, 0, 0, 0, 0
        .byte   10, 2, 22, 74, 60, 2, 4, 134, 377, 130, 3, 0, 26, 214, 377
        .even
        .word   17, 1777, 60003, sa, 60001, sb, 60004, sd, 0, 0, 0, 0
        .byte   10, 2, 231, 234, 60, 1, 34, 377, 130, 3, 1, 0, 14, 377
        .even
        .word   215, 1777, 60003, sa, 60003, sb, 60003, sd, 0, 0, 0, 0
        .byte   10, 2, 231, 234, 60, 2, 0, 54, 377, 130, 2, 0, 34, 377
        .even
        .word   1007, 1777, 60001, sa, 60001, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 135, 60, 1, 74, 377, 130, 2, 0, 55, 377
        .even
        .word   413, 1777, 60002, sa, 60002, sb, 60003, sd, 0, 0, 0, 0
        .byte   10, 2, 4, 135, 60, 2, 4, 134, 377, 130, 2, 0, 14, 377
        .even
        .word   413, 1777, 60002, sa, 60002, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 2, 0, 15, 60, 2, 0, 15, 377, 130, 2, 0, 14, 377
        .even
        .word   17, 1777, 60003, sa, 60002, sb, 70003, sd, 0, 0, 0, 0
        .byte   10, 2, 160, 15, 60, 2, 1, 35, 377, 130, 2, 161, 37, 377
        .even
        .word   413, 1777, 60000, sa, 60000, sb, 60000, sd, 0, 0, 0, 0
        .byte   10, 1, 14, 60, 1, 14, 377, 130, 1, 14, 377
        .even
        .word   611, 1777, 60001, sa, 60001, sb, 60000, sd, 0, 0, 0, 0
        .byte   10, 1, 34, 60, 1, 34, 377, 130, 1, 14, 377
        .even
        .word   215, 1777, 60037, sa, 60037, sb, 60037, sd, 0, 0, 0, 0
        .byte   10, 20, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 234, 60
        .byte   20, 231, 231, 231, 231
        .byte   231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 234, 377, 130, 20, 231, 231, 231
        .byte   231, 231, 231, 231, 231, 231
        .byte   231, 231, 231, 231, 231, 231, 214, 377
        .even
        .word   140611, 1777, 60003, sa, 60003, sb, 60003, sd, 0, 0, 0, 0
        .byte   10, 2, 140, 15, 60, 2, 100, 15, 377, 130, 2, 0, 15, 377
        .even
eaddp:
tsubp: .word   hsubp, esubp, csubp
        .word   17, 1777, 60002, sa, 60003, sb, 60003, sd, 0, 0, 0, 0
        .byte   10, 2, 4, 134, 60, 2, 22, 74, 377, 130, 2, 7, 214, 377
        .even
        .word   1007, 1777, 60001, sa, 60001, sb, 60001, sd, 0, 0, 0, 0
        .byte   10, 1, 134, 60, 1, 74, 377, 130, 1, 55, 377
        .even
        .word   413, 1777, 60003, sa, 60003, sb, 60003, sd, 0, 0, 0, 0
        .byte   10, 2, 62, 34, 60, 2, 62, 34, 377, 130, 2, 0, 14, 377
        .even
        .word   17, 1777, 60001, sa, 60001, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 75, 60, 1, 134, 377, 130, 2, 0, 214, 377
        .even
        .word   17, 1777, 60001, sa, 60004, sb, 60004, sd, 0, 0, 0, 0
        .byte   10, 1, 34, 60, 3, 1, 0, 14, 377, 130, 3, 0, 231, 234, 377
        .even
        .word   611, 1777, 60001, sa, 60002, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 35, 60, 2, 11, 234, 377, 130, 2, 0, 14, 377
        .even
        .word   1007, 1777, 60002, sa, 60000, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 2, 1, 54, 60, 1, 14, 377, 130, 2, 1, 55, 377
        .even
esubp:
tcmpp: .word   hcmpp, ecmpp, ccmpp
        .word   413, 1717, 60003, sa, 60004, sb, 0, 0, 0, 0
        .byte   10, 2, 1, 54, 60, 3, 0, 1, 54, 377, 377
        .even
        .word   1007, 1717, 60002, sa, 60002, sb, 0, 0, 0, 0
        .byte   10, 2, 1, 34, 60, 2, 1, 54, 377, 377
        .even
        .word   17, 1717, 60002, sa, 60002, sb, 0, 0, 0, 0
        .byte   10, 2, 1, 54, 60, 2, 1, 34, 377, 377
        .even
        .word   1007, 1717, 60001, sa, 60001, sb, 0, 0, 0, 0
        .byte   10, 1, 235, 60, 1, 34, 377, 377
        .even
        .word   413, 1717, 60002, sa, 60002, sb, 0, 0, 0, 0
        .byte   10, 2, 0, 15, 60, 2, 0, 14, 377, 377
        .even
        .word   17, 1717, 60037, sa, 60037, sb, 0, 0, 0, 0
        .byte   10, 20, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 234, 60
        .byte   20, 231, 231, 231, 231
        .byte   231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 214, 377, 377
        .even
        .word   413, 1717, 60000, sa, 60001, sb, 0, 0, 0, 0
        .byte   10, 1, 14, 60, 1, 14, 377, 377
        .even
ecmpp:
tmulp: .word   hmulp, emulp, cmulp
        .word   17, 1777, 60002, sa, 60002, sb, 60003, sd, 0, 0, 0, 0
        .byte   10, 2, 1, 54, 60, 2, 1, 54, 377, 130, 2, 24, 114, 377
        .even
        .word   1007, 1777, 60001, sa, 60001, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 175, 60, 1, 214, 377, 130, 2, 5, 155, 377
        .even
        .word   17, 1777, 60001, sa, 60001, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 175, 60, 1, 215, 377, 130, 2, 5, 154, 377
        .even
        .word   413, 1777, 60001, sa, 60003, sb, 60004, sd, 0, 0, 0, 0
        .byte   10, 1, 14, 60, 2, 22, 75, 377, 130, 3, 0, 0, 14, 377
        .even
        .word   1007, 1777, 60001, sa, 60005, sb, 60005, sd, 0, 0, 0, 0
        .byte   10, 1, 34, 60, 3, 22, 64, 135, 377, 130, 3, 22, 64, 135, 377
        .even
        .word   215, 1777, 60002, sa, 60002, sb, 60003, sd, 0, 0, 0, 0
        .byte   10, 2, 11, 234, 60, 2, 11, 234, 377, 130, 2, 200, 34, 377
        .even
        .word   215, 1777, 60037, sa, 60037, sb, 60037, sd, 0, 0, 0, 0
        .byte   10, 20, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 234, 60
        .byte   20, 231, 231, 231, 231
        .byte   231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 234, 377, 130, 20, 0, 0, 0, 0, 0, 0, 0, 0, 0
        .byte   0, 0, 0, 0, 0, 0, 34, 377
        .even
        .word   17, 1777, 70002, sa, 60001, sb, 70003, sd, 0, 0, 0, 0
        .byte   10, 2, 2, 137, 60, 1, 115, 377, 130, 2, 20, 17, 377
        .even
emulp:
tdivp: .word   hdivp, edivp, cdivp
        .word   17, 1777, 60001, sa, 60003, sb, 60003, sd, 0, 0, 0, 0
        .byte   10, 1, 174, 60, 2, 20, 14, 377, 130, 2, 1, 114, 377
        .even
        .word   1007, 1777, 60001, sa, 60003, sb, 60003, sd, 0, 0, 0, 0
        .byte   10, 1, 174, 60, 2, 20, 15, 377, 130, 2, 1, 115, 377
        .even
        .word   17, 1777, 60001, sa, 60003, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 175, 60, 2, 20, 15, 377, 130, 2, 1, 114, 377
        .even
        .word   413, 1777, 60001, sa, 60001, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 174, 60, 1, 155, 377, 130, 2, 0, 14, 377
        .even
        .word   17, 1777, 60001, sa, 60037, sb, 60037, sd, 0, 0, 0, 0
        .byte   10, 1, 34, 60, 20, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231
        .byte   231, 234, 377, 130, 20
        .byte   231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 234, 377
        .even
        .word   17, 1777, 60037, sa, 60037, sb, 60001, sd, 0, 0, 0, 0
        .byte   10, 20, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 234, 60
        .byte   20, 231, 231, 231, 231
        .byte   231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 234, 377, 130, 1, 34, 377
        .even
        .word   611, 1777, 60001, sa, 60003, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 34, 60, 2, 20, 14, 377, 130, 2, 0, 14, 377
        .even
        .word   140314, 1777, 60001, sa, 60002, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 14, 60, 2, 1, 54, 377, 377
        .even
        .word   140314, 1777, 60001, sa, 60002, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 15, 60, 2, 1, 54, 377, 377
        .even
        .word   140314, 1777, 60001, sa, 60001, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 14, 60, 1, 14, 377, 377
        .even
        .word   413, 1777, 60001, sa, 60001, sb, 60002, sd, 0, 0, 0, 0
        .byte   10, 1, 74, 60, 1, 14, 377, 130, 2, 0, 14, 377
        .even
edivp:
tashn: .word   hashn, eashn, cashn
        .word   17, 2337, 3, sa, 40005, sd, 2, 0, 0, 0
        .byte   10, 3, 61, 62, 63, 377, 130, 6, 61, 62, 63, 60, 60, 53, 377
        .even
        .word   1007, 2337, 3, sa, 4, sd, 1, 0, 0, 0
        .byte   10, 3, 61, 62, 163, 377, 130, 4, 61, 62, 63, 160, 377
        .even
        .word   215, 2337, 3, sa, 40004, sd, 2, 0, 0, 0
        .byte   10, 3, 61, 62, 63, 377, 130, 5, 62, 63, 60, 60, 53, 377
        .even
        .word   1007, 337, 4, sa, 40005, sd, 0, 0, 0
        .byte   10, 4, 61, 62, 63, 164, 377, 130, 6, 60, 61, 62, 63, 64, 55, 377
        .even
        .word   17, 2337, 2, sa, 40003, sd, 4400, 0, 0, 0
        .byte   10, 2, 61, 71, 377, 130, 4, 60, 61, 71, 53, 377
        .even
        .word   17, 2337, 3, sa, 40003, sd, 377, 0, 0, 0
        .byte   10, 3, 61, 62, 71, 377, 130, 4, 60, 61, 62, 53, 377
        .even
        .word   17, 2337, 3, sa, 40003, sd, 2777, 0, 0, 0
        .byte   10, 3, 61, 62, 65, 377, 130, 4, 60, 61, 63, 53, 377
        .even
        .word   17, 2337, 3, sa, 40003, sd, 2777, 0, 0, 0
        .byte   10, 3, 61, 62, 64, 377, 130, 4, 60, 61, 62, 53, 377
        .even
        .word   17, 2337, 3, sa, 40003, sd, 4777, 0, 0, 0
        .byte   10, 3, 61, 62, 61, 377, 130, 4, 60, 61, 63, 53, 377
        .even
        .word   17, 2337, 4, sa, 40004, sd, 2777, 0, 0, 0
        .byte   10, 4, 71, 71, 71, 65, 377, 130, 5, 61, 60, 60, 60, 53, 377
        .even
        .word   413, 2337, 3, sa, 40003, sd, 4774, 0, 0, 0
        .byte   10, 3, 71, 71, 171, 377, 130, 4, 60, 60, 60, 53, 377
        .even
        .word   17, 2337, 3, sa, 40002, sd, 2775, 0, 0, 0
        .byte   10, 3, 71, 71, 71, 377, 130, 3, 60, 61, 53, 377
        .even
        .word   1007, 2337, 3, sa, 2, sd, 2777, 0, 0, 0
        .byte   10, 3, 61, 62, 165, 377, 130, 2, 61, 163, 377
        .even
        .word   413, 2337, 1, sa, 40037, sd, 177, 0, 0, 0
        .byte   10, 1, 60, 377, 130, 40, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60
        .byte   60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 53, 377
        .even
        .word   413, 2337, 37, sa, 40003, sd, 4600, 0, 0, 0
        .byte   10, 37, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71
        .byte   71, 71, 71, 71, 71, 71, 71, 71, 71, 377, 130, 4, 60, 60, 60, 53, 377
        .even
eashn:
tashp: .word   hashp, eashp, cashp
        .word   17, 2337, 60003, sa, 60005, sd, 2, 0, 0, 0
        .byte   10, 2, 22, 74, 377, 130, 3, 22, 60, 14, 377
        .even
        .word   1007, 2337, 60003, sa, 60004, sd, 1, 0, 0, 0
        .byte   10, 2, 22, 75, 377, 130, 3, 1, 43, 15, 377
        .even
        .word   215, 2337, 60003, sa, 60004, sd, 2, 0, 0, 0
        .byte   10, 2, 22, 74, 377, 130, 3, 2, 60, 14, 377
        .even
        .word   1007, 337, 60004, sa, 60005, sd, 0, 0, 0
        .byte   10, 3, 1, 43, 115, 377, 130, 3, 1, 43, 115, 377
        .even
        .word   17, 2337, 60002, sa, 60003, sd, 4400, 0, 0, 0
        .byte   10, 2, 1, 234, 377, 130, 2, 1, 234, 377
        .even
        .word   17, 2337, 60003, sa, 60003, sd, 377, 0, 0, 0
        .byte   10, 2, 22, 234, 377, 130, 2, 1, 54, 377
        .even
        .word   17, 2337, 60003, sa, 60003, sd, 2777, 0, 0, 0
        .byte   10, 2, 22, 134, 377, 130, 2, 1, 74, 377
        .even
        .word   17, 2337, 60003, sa, 60003, sd, 2777, 0, 0, 0
        .byte   10, 2, 22, 114, 377, 130, 2, 1, 54, 377
        .even
        .word   17, 2337, 60003, sa, 60003, sd, 4777, 0, 0, 0
        .byte   10, 2, 22, 34, 377, 130, 2, 1, 74, 377
        .even
        .word   17, 2337, 60004, sa, 60004, sd, 2777, 0, 0, 0
        .byte   10, 3, 11, 231, 134, 377, 130, 3, 1, 0, 14, 377
        .even
        .word   413, 2337, 60003, sa, 60003, sd, 4774, 0, 0, 0
        .byte   10, 2, 231, 235, 377, 130, 2, 0, 14, 377
        .even
        .word   17, 2337, 60003, sa, 60002, sd, 2775, 0, 0, 0
        .byte   10, 2, 231, 234, 377, 130, 2, 0, 34, 377
        .even
        .word   1007, 2337, 60003, sa, 60002, sd, 2777, 0, 0, 0
        .byte   10, 2, 22, 135, 377, 130, 2, 1, 75, 377
        .even
        .word   413, 2337, 60001, sa, 60037, sd, 177, 0, 0, 0
        .byte   10, 1, 14, 377, 130, 20, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 14, 377
        .even
        .word   413, 2337, 60037, sa, 60003, sd, 4600, 0, 0, 0
        .byte   10, 20, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 234
        .byte   377, 130, 2, 0, 14, 377
        .even
eashp:
tcvtnp: .word   hcvtnp, ecvtnp, ccvtnp
        .word   1007, 317, 4, sa, 60005, sd, 0, 0
        .byte   10, 4, 61, 62, 63, 164, 377, 130, 3, 1, 43, 115, 377
        .even
        .word   17, 317, 10004, sa, 60005, sd, 0, 0
        .byte   10, 4, 61, 62, 63, 64, 377, 130, 3, 1, 43, 114, 377
        .even
        .word   1007, 317, 20004, sa, 60005, sd, 0, 0
        .byte   10, 4, 61, 62, 63, 115, 377, 130, 3, 1, 43, 115, 377
        .even
        .word   1007, 317, 30004, sa, 60005, sd, 0, 0
        .byte   10, 4, 112, 62, 63, 64, 377, 130, 3, 1, 43, 115, 377
        .even
        .word   1007, 317, 40004, sa, 60005, sd, 0, 0
        .byte   10, 5, 61, 62, 63, 64, 55, 377, 130, 3, 1, 43, 115, 377
        .even
        .word   1007, 317, 50004, sa+1, 60005, sd, 0, 0
        .byte   10, 5, 55, 61, 62, 63, 64, 377, 130, 3, 1, 43, 115, 377
        .even
        .word   17, 317, 40003, sa, 70003, sd, 0, 0
        .byte   10, 4, 61, 62, 63, 55, 377, 130, 2, 22, 77, 377
        .even
        .word   413, 317, 2, sa, 60002, sd, 0, 0
        .byte   10, 2, 60, 160, 377, 130, 2, 0, 14, 377
        .even
        .word   215, 317, 3, sa, 60002, sd, 0, 0
        .byte   10, 3, 61, 62, 63, 377, 130, 2, 2, 74, 377
        .even
        .word   611, 317, 1, sa, 60000, sd, 0, 0
        .byte   10, 1, 64, 377, 130, 1, 14, 377
        .even
        .word   1007, 317, 50037, sa+1, 60037, sd, 0, 0
        .byte   10, 40, 55, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71
        .byte   71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 377, 130, 20, 231, 231, 231, 231, 231, 231, 231
        .byte   231, 231, 231, 231
        .byte   231, 231, 231, 231, 235, 377
        .even
ecvtnp:
tcvtpn: .word   hcvtpn, ecvtpn, ccvtpn
        .word   1007, 317, 60003, sa, 4, sd, 0, 0
        .byte   10, 2, 22, 75, 377, 130, 4, 60, 61, 62, 163, 377
        .even
        .word   17, 317, 60003, sa, 10004, sd, 0, 0
        .byte   10, 2, 22, 75, 377, 130, 4, 60, 61, 62, 63, 377
        .even
        .word   1007, 317, 60003, sa, 20004, sd, 0, 0
        .byte   10, 2, 22, 75, 377, 130, 4, 60, 61, 62, 114, 377
        .even
        .word   1007, 317, 60003, sa, 30004, sd, 0, 0
        .byte   10, 2, 22, 75, 377, 130, 4, 175, 61, 62, 63, 377
        .even
        .word   1007, 317, 60003, sa, 40004, sd, 0, 0
        .byte   10, 2, 22, 75, 377, 130, 5, 60, 61, 62, 63, 55, 377
        .even
        .word   1007, 317, 60003, sa, 50004, sd+1, 0, 0
        .byte   10, 2, 22, 75, 377, 130, 5, 55, 60, 61, 62, 63, 377
        .even
        .word   17, 317, 60004, sa, 4, sd, 0, 0
        .byte   10, 3, 1, 43, 14, 377, 130, 4, 61, 62, 63, 60, 377
        .even
        .word   17, 317, 60004, sa, 20004, sd, 0, 0
        .byte   10, 3, 1, 43, 14, 377, 130, 4, 61, 62, 63, 173, 377
        .even
        .word   17, 317, 60004, sa, 30004, sd, 0, 0
        .byte   10, 3, 1, 43, 14, 377, 130, 4, 101, 62, 63, 60, 377
        .even
        .word   17, 317, 60004, sa, 40004, sd, 0, 0
        .byte   10, 3, 1, 43, 14, 377, 130, 5, 61, 62, 63, 60, 53, 377
        .even
        .word   17, 317, 60004, sa, 50004, sd+1, 0, 0
        .byte   10, 3, 1, 43, 14, 377, 130, 5, 53, 61, 62, 63, 60, 377
        .even
        .word   413, 317, 60003, sa, 20003, sd, 0, 0
        .byte   10, 2, 0, 15, 377, 130, 3, 60, 60, 173, 377
        .even
        .word   215, 317, 60003, sa, 40002, sd, 0, 0
        .byte   10, 2, 22, 74, 377, 130, 3, 62, 63, 53, 377
        .even
        .word   17, 317, 70003, sa, 50003, sd+1, 0, 0
        .byte   10, 2, 22, 77, 377, 130, 4, 53, 61, 62, 63, 377
        .even
        .word   611, 317, 60001, sa, 50000, sd, 0, 0
        .byte   10, 1, 115, 377, 377
        .even
        .word   140611, 317, 60003, sa, 20002, sd, 0, 0
        .byte   10, 2, 20, 15, 377, 130, 2, 60, 175, 377
        .even
ecvtpn:
tcvtnl: .word   hcvtnl, ecvtnl, ccvtnl
        .word   17, 1717, 40006, sa, 11, 22, 0, 0, 1, 161100
        .byte   10, 7, 61, 62, 63, 64, 65, 66, 53, 377, 377
        .even
        .word   1106, 1717, 40006, sa, 11, 22, 0, 0, 177776, 16700
        .byte   10, 7, 61, 62, 63, 64, 65, 66, 55, 377, 377
        .even
        .word   413, 1717, 40003, sa, 11, 22, 0, 0, 0, 0
        .byte   10, 4, 60, 60, 60, 53, 377, 377
        .even
        .word   413, 1717, 40003, sa, 11, 22, 0, 0, 0, 0
        .byte   10, 4, 60, 60, 60, 55, 377, 377
        .even
        .word   413, 1717, 40000, sa, 11, 22, 0, 0, 0, 0
        .byte   377, 377
        .even
        .word   17, 1717, 40012, sa, 11, 22, 0, 0, 77777, 177777
        .byte   10, 13, 62, 61, 64, 67, 64, 70, 63, 66, 64, 67, 53, 377, 377
        .even
        .word   1106, 1717, 40012, sa, 11, 22, 0, 0, 100000, 0
        .byte   10, 13, 62, 61, 64, 67, 64, 70, 63, 66, 64, 70, 55, 377, 377
        .even
        .word   150215, 10317, 40012, sa, 11, 22, 0, 0
        .byte   10, 13, 62, 61, 64, 67, 64, 70, 63, 66, 64, 70, 53, 377, 377
        .even
        .word   150204, 10317, 40012, sa, 11, 22, 0, 0
        .byte   10, 13, 62, 61, 64, 67, 64, 70, 63, 66, 64, 71, 55, 377, 377
        .even
        .word   150215, 10317, 40037, sa, 11, 22, 0, 0
        .byte   10, 40, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71, 71
        .byte   71, 71, 71, 71, 71, 71, 71, 71, 71, 53, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 24
        .byte   10, 2, 62, 173, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177754
        .byte   10, 2, 62, 175, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 25
        .byte   10, 2, 62, 101, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177753
        .byte   10, 2, 62, 112, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 26
        .byte   10, 2, 62, 102, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177752
        .byte   10, 2, 62, 113, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 27
        .byte   10, 2, 62, 103, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177751
        .byte   10, 2, 62, 114, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 30
        .byte   10, 2, 62, 104, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177750
        .byte   10, 2, 62, 115, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 31
        .byte   10, 2, 62, 105, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177747
        .byte   10, 2, 62, 116, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 32
        .byte   10, 2, 62, 106, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177746
        .byte   10, 2, 62, 117, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 33
        .byte   10, 2, 62, 107, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177745
        .byte   10, 2, 62, 120, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 34
        .byte   10, 2, 62, 110, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177744
        .byte   10, 2, 62, 121, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 35
        .byte   10, 2, 62, 111, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177743
        .byte   10, 2, 62, 122, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 2
        .byte   10, 2, 173, 62, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177776
        .byte   10, 2, 175, 62, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 14
        .byte   10, 2, 101, 62, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177764
        .byte   10, 2, 112, 62, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 26
        .byte   10, 2, 102, 62, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177752
        .byte   10, 2, 113, 62, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 40
        .byte   10, 2, 103, 62, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177740
        .byte   10, 2, 114, 62, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 52
        .byte   10, 2, 104, 62, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177726
        .byte   10, 2, 115, 62, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 64
        .byte   10, 2, 105, 62, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177714
        .byte   10, 2, 116, 62, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 76
        .byte   10, 2, 106, 62, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177702
        .byte   10, 2, 117, 62, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 110
        .byte   10, 2, 107, 62, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177670
        .byte   10, 2, 120, 62, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 122
        .byte   10, 2, 110, 62, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177656
        .byte   10, 2, 121, 62, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 134
        .byte   10, 2, 111, 62, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177644
        .byte   10, 2, 122, 62, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 36
        .byte   10, 2, 63, 133, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 3
        .byte   10, 2, 133, 63, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 36
        .byte   10, 2, 63, 77, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 3
        .byte   10, 2, 77, 63, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177742
        .byte   10, 2, 63, 135, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177775
        .byte   10, 2, 135, 63, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177742
        .byte   10, 2, 63, 41, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177775
        .byte   10, 2, 41, 63, 377, 377
        .even
        .word   1106, 1717, 20002, sa, 0, 0, 0, 0, 177777, 177742
        .byte   10, 2, 63, 72, 377, 377
        .even
        .word   1106, 1717, 30002, sa, 0, 0, 0, 0, 177777, 177775
        .byte   10, 2, 72, 63, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 36
        .byte   10, 2, 63, 60, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 3
        .byte   10, 2, 60, 63, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 43
        .byte   10, 2, 63, 65, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 65
        .byte   10, 2, 65, 63, 377, 377
        .even
        .word   17, 1317, 20002, sa, 0, 0, 0, 0, 47
        .byte   10, 2, 63, 71, 377, 377
        .even
        .word   17, 1317, 30002, sa, 0, 0, 0, 0, 135
        .byte   10, 2, 71, 63, 377, 377
        .even
        .word   17, 1317, 40002, sa, 0, 0, 0, 0, 14
        .byte   10, 3, 61, 62, 53, 377, 377
        .even
        .word   17, 1317, 40002, sa, 0, 0, 0, 0, 14
        .byte   10, 3, 61, 62, 40, 377, 377
        .even
        .word   1106, 1717, 40002, sa, 0, 0, 0, 0, 177777, 177764
        .byte   10, 3, 61, 62, 55, 377, 377
        .even
        .word   17, 1317, 50002, sa+1, 0, 0, 0, 0, 14
        .byte   10, 3, 53, 61, 62, 377, 377
        .even
        .word   17, 1317, 50002, sa+1, 0, 0, 0, 0, 14
        .byte   10, 3, 40, 61, 62, 377, 377
        .even
        .word   1106, 1717, 50002, sa+1, 0, 0, 0, 0, 177777, 177764
        .byte   10, 3, 55, 61, 62, 377, 377
        .even
        .word   17, 1317, 3, sa, 0, 0, 0, 0, 173
        .byte   10, 3, 61, 62, 63, 377, 377
        .even
        .word   1106, 1717, 3, sa, 0, 0, 0, 0, 177777, 177605
        .byte   10, 3, 61, 62, 163, 377, 377
        .even
        .word   17, 1317, 3, sa, 0, 0, 0, 0, 173
        .byte   10, 3, 1, 362, 63, 377, 377
        .even
        .word   17, 1317, 10003, sa, 0, 0, 0, 0, 1613
        .byte   10, 3, 71, 60, 67, 377, 377
        .even
ecvtnl:
tcvtpl: .word   hcvtpl, ecvtpl, ccvtpl
        .word   17, 1717, 60006, sa, 11, 22, 0, 0, 1, 161100
        .byte   10, 4, 1, 43, 105, 154, 377, 377
        .even
        .word   1106, 1717, 60006, sa, 11, 22, 0, 0, 177776, 16700
        .byte   10, 4, 1, 43, 105, 155, 377, 377
        .even
        .word   413, 1717, 60003, sa, 11, 22, 0, 0, 0, 0
        .byte   10, 2, 0, 14, 377, 377
        .even
        .word   413, 1717, 60003, sa, 11, 22, 0, 0, 0, 0
        .byte   10, 2, 0, 15, 377, 377
        .even
        .word   413, 1717, 60000, sa, 11, 22, 0, 0, 0, 0
        .byte   10, 1, 14, 377, 377
        .even
        .word   17, 1717, 60012, sa, 11, 22, 0, 0, 77777, 177777
        .byte   10, 6, 2, 24, 164, 203, 144, 174, 377, 377
        .even
        .word   1106, 1717, 60012, sa, 11, 22, 0, 0, 100000, 0
        .byte   10, 6, 2, 24, 164, 203, 144, 215, 377, 377
        .even
        .word   150215, 10317, 60012, sa, 11, 22, 0, 0
        .byte   10, 6, 2, 24, 164, 203, 144, 214, 377, 377
        .even
        .word   150204, 10317, 60012, sa, 11, 22, 0, 0
        .byte   10, 6, 2, 24, 164, 203, 144, 235, 377, 377
        .even
        .word   150215, 10317, 60037, sa, 11, 22, 0, 0
        .byte   10, 20, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 231, 234, 377, 377
        .even
        .word   17, 1317, 60003, sa, 0, 0, 0, 0, 173
        .byte   10, 2, 22, 72, 377, 377
        .even
        .word   1106, 1717, 60003, sa, 0, 0, 0, 0, 177777, 177605
        .byte   10, 2, 22, 73, 377, 377
        .even
        .word   17, 1317, 60003, sa, 0, 0, 0, 0, 173
        .byte   10, 2, 22, 74, 377, 377
        .even
        .word   1106, 1717, 60003, sa, 0, 0, 0, 0, 177777, 177605
        .byte   10, 2, 22, 75, 377, 377
        .even
        .word   17, 1317, 60003, sa, 0, 0, 0, 0, 173
        .byte   10, 2, 22, 76, 377, 377
        .even
        .word   17, 1317, 60003, sa, 0, 0, 0, 0, 173
        .byte   10, 2, 22, 77, 377, 377
        .even
        .word   1106, 1717, 60004, sa, 0, 0, 0, 0, 177777, 175456
        .byte   10, 3, 1, 43, 115, 377, 377
        .even
        .word   17, 1317, 70003, sa, 0, 0, 0, 0, 173
        .byte   10, 2, 22, 77, 377, 377
        .even
ecvtpl:
tcvtln: .word   hcvtln, ecvtln, ccvtln
        .word   17, 1417, 40007, sd, 1, 161100, 0, 0
        .byte   377, 130, 10, 60, 61, 62, 63, 64, 65, 66, 53, 377
        .even
        .word   1007, 1417, 30006, sd, 177776, 16700, 0, 0
        .byte   377, 130, 6, 112, 62, 63, 64, 65, 66, 377
        .even
        .word   413, 17, 40003, sd, 0, 0
        .byte   377, 130, 4, 60, 60, 60, 53, 377
        .even
        .word   17, 1417, 40012, sd, 77777, 177777, 0, 0
        .byte   377, 130, 13, 62, 61, 64, 67, 64, 70, 63, 66, 64, 67, 53, 377
        .even
        .word   1007, 417, 30012, sd, 100000, 0, 0
        .byte   377, 130, 12, 113, 61, 64, 67, 64, 70, 63, 66, 64, 70, 377
        .even
        .word   215, 1017, 40003, sd, 0, 2322, 0
        .byte   377, 130, 4, 62, 63, 64, 53, 377
        .even
        .word   17, 1417, 10003, sd, 177777, 177764, 0, 0
        .byte   377, 130, 3, 60, 61, 62, 377
        .even
        .word   611, 1017, 40000, sd, 0, 7, 0
        .byte   377, 377
        .even
        .word   17, 1017, 6, sd, 0, 23766, 0
        .byte   377, 130, 6, 60, 61, 60, 62, 63, 60, 377
        .even
        .word   1007, 1417, 6, sd, 177777, 154001, 0, 0
        .byte   377, 130, 6, 60, 61, 60, 62, 63, 171, 377
        .even
        .word   413, 17, 6, sd, 0, 0
        .byte   377, 130, 6, 60, 60, 60, 60, 60, 60, 377
        .even
        .word   17, 1017, 10006, sd, 0, 23766, 0
        .byte   377, 130, 6, 60, 61, 60, 62, 63, 60, 377
        .even
        .word   413, 17, 10006, sd, 0, 0
        .byte   377, 130, 6, 60, 60, 60, 60, 60, 60, 377
        .even
        .word   17, 1017, 20006, sd, 0, 23766, 0
        .byte   377, 130, 6, 60, 61, 60, 62, 63, 173, 377
        .even
        .word   1007, 1417, 20006, sd, 177777, 154001, 0, 0
        .byte   377, 130, 6, 60, 61, 60, 62, 63, 122, 377
        .even
        .word   413, 17, 20006, sd, 0, 0
        .byte   377, 130, 6, 60, 60, 60, 60, 60, 173, 377
        .even
        .word   17, 1017, 30006, sd, 0, 23766, 0
        .byte   377, 130, 6, 173, 61, 60, 62, 63, 60, 377
        .even
        .word   1007, 1417, 30006, sd, 177777, 154001, 0, 0
        .byte   377, 130, 6, 175, 61, 60, 62, 63, 71, 377
        .even
        .word   413, 17, 30006, sd, 0, 0
        .byte   377, 130, 6, 173, 60, 60, 60, 60, 60, 377
        .even
        .word   17, 1017, 40006, sd, 0, 23766, 0
        .byte   377, 130, 7, 60, 61, 60, 62, 63, 60, 53, 377
        .even
        .word   1007, 1417, 40006, sd, 177777, 154001, 0, 0
        .byte   377, 130, 7, 60, 61, 60, 62, 63, 71, 55, 377
        .even
        .word   413, 17, 40006, sd, 0, 0
        .byte   377, 130, 7, 60, 60, 60, 60, 60, 60, 53, 377
        .even
        .word   17, 1017, 50006, sd+1, 0, 23766, 0
        .byte   377, 130, 7, 53, 60, 61, 60, 62, 63, 60, 377
        .even
        .word   1007, 1417, 50006, sd+1, 177777, 154001, 0, 0
        .byte   377, 130, 7, 55, 60, 61, 60, 62, 63, 71, 377
        .even
        .word   413, 17, 50006, sd+1, 0, 0
        .byte   377, 130, 7, 53, 60, 60, 60, 60, 60, 60, 377
        .even
ecvtln:
tcvtlp: .word   hcvtlp, ecvtlp, ccvtlp
        .word   17, 1417, 60007, sd, 1, 161100, 0, 0
        .byte   377, 130, 4, 1, 43, 105, 154, 377
        .even
        .word   1007, 1417, 60006, sd, 177776, 16700, 0, 0
        .byte   377, 130, 4, 1, 43, 105, 155, 377
        .even
        .word   413, 17, 60003, sd, 0, 0
        .byte   377, 130, 2, 0, 14, 377
        .even
        .word   17, 1417, 60012, sd, 77777, 177777, 0, 0
        .byte   377, 130, 6, 2, 24, 164, 203, 144, 174, 377
        .even
        .word   1007, 417, 60012, sd, 100000, 0, 0
        .byte   377, 130, 6, 2, 24, 164, 203, 144, 215, 377
        .even
        .word   215, 1017, 60003, sd, 0, 2322, 0
        .byte   377, 130, 2, 43, 114, 377
        .even
        .word   17, 1417, 70003, sd, 177777, 177764, 0, 0
        .byte   377, 130, 2, 1, 57, 377
        .even
        .word   611, 1017, 60000, sd, 0, 7, 0
        .byte   377, 130, 1, 14, 377
        .even
        .word   17, 1017, 60006, sd, 0, 23766, 0
        .byte   377, 130, 4, 0, 20, 43, 14, 377
        .even
        .word   1007, 1417, 60006, sd, 177777, 154001, 0, 0
        .byte   377, 130, 4, 0, 20, 43, 235, 377
        .even
        .word   413, 17, 60006, sd, 0, 0
        .byte   377, 130, 4, 0, 0, 0, 14, 377
        .even
        .word   17, 1017, 70006, sd, 0, 23766, 0
        .byte   377, 130, 4, 0, 20, 43, 17, 377
        .even
        .word   413, 17, 70006, sd, 0, 0
        .byte   377, 130, 4, 0, 0, 0, 17, 377
        .even
ecvtlp:

; --- words and texts ------------------------------------------------------------------------------------------------

buffer: . = . + 240
later:  .word   0
back:   .word   0
seed:   .word   0
head:   .word   0
limit:  .word   0
known:  .word   0
ahead:  .word   0
row:    .word   0
form:   .word   0               ; 0 in registers, 1 behind the instruction
loose:  .word   0
work:   .word   0
count:  .word   0
left:   .word   0
sign:   .word   0
stype:  .word   0
where1: .word   0
chance: .word   0
first:  .word   0
second: .word   0
typea:  .word   0
typeb:  .word   0
typed:  .word   0
lena:   .word   0
lenb:   .word   0
lend:   .word   0
goes:   .word   0
v1:     .word   0, 0
v2:     .word   0, 0
val:    .word   0, 0
quot:   .word   0, 0
cc:     .word   0
traps:  .word   0
xtrap:  .word   0
gotpc:  .word   0
outsp:  .word   0
long:   .word   0, 0
longx:  .word   0, 0
desc:   .word   0, 0, 0, 0, 0, 0
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
regs:   .ascii  /R0/<0><0>/R1/<0><0>/R2/<0><0>/R3/<0><0>/R4/<0><0>/R5/<0><0>
tsp:    .asciz  /SP/
tcodes: .asciz  /codes N Z V C/
ttraps: .asciz  /traps through 10/
tsaved: .asciz  /PC saved by the trap/
tlong:  .asciz  /number in memory/
tarena: .asciz  /strings in memory/
hload:  .asciz  /descriptors loaded:/
hnone:  .asciz  /reserved code/
hmovc:  .asciz  /MOVC/
hmovrc: .asciz  /MOVRC/
hmovtc: .asciz  /MOVTC/
hlocc:  .asciz  /LOCC/
hskpc:  .asciz  /SKPC/
hscanc: .asciz  /SCANC/
hspanc: .asciz  /SPANC/
hcmpc:  .asciz  /CMPC/
hmatc:  .asciz  /MATC/
haddn:  .asciz  /ADDN/
hsubn:  .asciz  /SUBN/
hcmpn:  .asciz  /CMPN/
haddp:  .asciz  /ADDP/
hsubp:  .asciz  /SUBP/
hcmpp:  .asciz  /CMPP/
hmulp:  .asciz  /MULP/
hdivp:  .asciz  /DIVP/
hashn:  .asciz  /ASHN/
hashp:  .asciz  /ASHP/
hcvtnp: .asciz  /CVTNP/
hcvtpn: .asciz  /CVTPN/
hcvtnl: .asciz  /CVTNL/
hcvtpl: .asciz  /CVTPL/
hcvtln: .asciz  /CVTLN/
hcvtlp: .asciz  /CVTLP/
        .even
arena:  . = . + 200
arenax: . = . + 200
sa      = arena+10
sb      = arena+60
sd      = arena+130
lower:  . = . + 400
succ:   . = . + 400
class:  . = . + 400
