; For programs that test instructions one by one: a case is an instruction at `op`, with registers, codes and memory
; cells before, and what must be found after.  All of it lies in memory, because a case that failed may be repeated.
;
;       JSR PC,fresh            patterns into in0 to in5 and out0 to out5, numbers into the cells and codes
;       JSR PC,shot             does it: kept0 to kept6, codes, cells
;       JSR PC,verify           compares them with out0 to out6, ccout without ccopen, shoul
;       JSR PC,finish           the end of a case
;       JSR PC,spot             an operand in a mode: what stands in registers and behind the instruction
;       JSR PC,refer            what the instruction of `entry` must do: res, ccout, ccopen
;
; A table of instructions has four words a row: code, its part of `refer`, its text, and flags: 1 a byte, 2 nothing is
; stored, 4 its sign is spread in a register.

; --- one case -------------------------------------------------------------------------------------------------------

; Patterns into the registers before and what must be found, numbers into the cells; nothing special.
fresh:  MOV     seed0,seed      ; a case that is repeated gets the same numbers again
        MOV     odd0,odd
        MOV     #in0,R1
        MOV     #10101,R0
1$:     MOV     R0,(R1)
        MOV     R0,16(R1)
        ADD     #11111,R0
        TST     (R1)+
        CMP     R1,#in6
        BLOS    1$
        MOV     #cells,R1
2$:     JSR     PC,dice
        MOV     R0,(R1)
        MOV     R0,ahead(R1)
        TST     (R1)+
        CMP     R1,#ptra
        BLO     2$
        JSR     PC,dice
        BIC     #177760,R0
        MOV     R0,ccin
        MOV     R0,ccout
        CLR     ccopen
        CLR     bytes
        CLR     usesp
        CLR     sink
        CLR     lift
        CLR     landed
        MOV     #head0,head
        MOV     #240,op+2
        MOV     #240,op+4
        RTS     PC

; Does the instruction at `op` with registers in0 to in5 and codes ccin, and notes what came out.
shot:   MOV     SP,spsafe
        MOV     #4,after        ; IOT
        TST     usesp
        BEQ     1$
        MOV     #240,after      ; SP is somewhere else: nothing may be pushed, and the codes are not looked at
        BR      2$
1$:     MOV     SP,in6
        SUB     lift,in6
        MOV     in6,out6
        ADD     lift,out6
        SUB     sink,out6
        TST     lift
        BEQ     2$
        MOV     popped,@in6
2$:     MOV     after,lnote
        MOV     ccin,R0
        BIS     #260,R0
        MOV     R0,set
        MOV     in0,R0
        MOV     in1,R1
        MOV     in2,R2
        MOV     in3,R3
        MOV     in4,R4
        MOV     in5,R5
        MOV     in6,SP
        .word   257             ; all codes 0
set:    .word   260             ; these 1
op:     .word   240, 240, 240
after:  IOT
gather: MOV     R0,kept0
        MOV     R1,kept1
        MOV     R2,kept2
        MOV     R3,kept3
        MOV     R4,kept4
        MOV     R5,kept5
        MOV     SP,kept6
        TST     sink
        BEQ     1$
        MOV     (SP),pushed
1$:     MOV     spsafe,SP
        RTS     PC

; Where jumps go.
land:   .word   240             ; some processors go to `land`, others behind this word (D04)
lnote:  IOT
        INC     landed
        JMP     gather

; Compares registers, codes and cells with what must be found.
verify: MOV     #kept0,R1
        MOV     #out0,R2
        MOV     #regs,R0
1$:     JSR     PC,equal
        ADD     #4,R0
        CMP     (R1)+,(R2)+
        CMP     R1,#kept6
        BLOS    1$
        TST     usesp
        BNE     2$
        BIC     ccopen,codes
        BIC     ccopen,ccout
        MOV     #codes,R1
        MOV     #ccout,R2
        MOV     #tcodes,R0
        JSR     PC,equal
2$:     MOV     #cells,R1
        MOV     #shoul,R2
        MOV     #tcells,R0
3$:     JSR     PC,equal
        CMP     (R1)+,(R2)+
        CMP     R1,#ptra
        BLO     3$
        RTS     PC

; The end of a case: here it is repeated if it failed and that is wanted, before the words of its loop go on.
finish: TST     failed
        BEQ     1$
        JSR     PC,look
        BIT     #2,R0
        BEQ     1$
        JSR     R5,next
        .word   buffer
1$:     MOV     seed,seed0
        MOV     odd,odd0
        RTS     PC

; The word at (R1) must be that at (R2); R0: what it is.  Only a failure writes its text.
equal:  CMP     (R1),(R2)
        BNE     1$
        RTS     PC
1$:     MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     R2,eqhere
        MOV     R1,eqhere+2
        JSR     PC,compos
        JSR     R5,wantat
eqhere: .word   0, 0
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        MOV     (SP)+,R0
        RTS     PC

; The text of a failure: `head`, the words in `tell1` (addresses, up to 0), the instruction, the codes before, R0.
compos: MOV     R0,-(SP)
        MOV     #buffer,R3
        MOV     head,R0
        JSR     PC,copy
        TST     bytes
        BEQ     1$
        MOVB    #'B,(R3)+
1$:     MOV     #telled,R2
3$:     MOV     (R2)+,R0
        BEQ     2$
        MOV     #tof,R0
        JSR     PC,copy
        MOV     -2(R2),R0
        MOV     (R0),R1
        JSR     PC,six
        BR      3$
2$:     MOV     #tinst,R0
        JSR     PC,copy
        MOV     op,R1
        JSR     PC,six
        MOV     #tbefor,R0
        JSR     PC,copy
        MOV     ccin,R1
        JSR     PC,six
        MOV     #comma,R0
        JSR     PC,copy
        MOV     (SP)+,R0
copy:   MOVB    (R0)+,(R3)+
        BNE     copy
        DEC     R3
        RTS     PC

; Six octal digits of R1 to (R3)+.
six:    MOV     #6,R4
        CLR     R0
        BR      2$
1$:     CLR     R0
        ASL     R1
        ROL     R0
        ASL     R1
        ROL     R0
2$:     ASL     R1
        ROL     R0
        ADD     #'0,R0
        MOVB    R0,(R3)+
        DEC     R4
        BNE     1$
        RTS     PC

; A number that looks random, in R0.
dice:   MOV     seed,R0
        ASL     R0
        ASL     R0
        ADD     seed,R0
        ADD     #33031,R0
        MOV     R0,seed
        SWAB    R0
        ADD     seed,R0
        RTS     PC

; --- operands in memory ---------------------------------------------------------------------------------------------

; R0: mode, 10 to 13: the four of PC.  R1: register.  R2: place of the operand.  R3: a word that holds this address.
; Gives R4: mode and register as in the instruction, the word behind it at (R5)+, in0(register), out0(register).
spot:   MOV     R0,R4
        ASL     R4
        ASL     R4
        ASL     R4
        BIS     R1,R4
        ASL     R1
        ASL     R0
        JMP     @spots(R0)
spots:  .word   spot0, spot1, spot2, spot3, spot4, spot5, spot6, spot7, spot27, spot37, spot67, spot77
spot0:  MOV     (R2),in0(R1)
        BR      kept
spot1:  MOV     R2,in0(R1)
        BR      kept
spot2:  MOV     R2,in0(R1)
        MOV     R2,out0(R1)
        ADD     step,out0(R1)
        RTS     PC
spot3:  MOV     R3,in0(R1)
        MOV     R3,out0(R1)
        ADD     #2,out0(R1)
        RTS     PC
spot4:  MOV     R2,in0(R1)
        ADD     step,in0(R1)
        MOV     R2,out0(R1)
        RTS     PC
spot5:  MOV     R3,in0(R1)
        ADD     #2,in0(R1)
        MOV     R3,out0(R1)
        RTS     PC
spot6:  MOV     R2,in0(R1)
        SUB     #100,in0(R1)
        MOV     #100,(R5)+
        BR      kept
spot7:  MOV     R3,in0(R1)
        ADD     #2,in0(R1)
        MOV     #-2,(R5)+
kept:   MOV     in0(R1),out0(R1)
        RTS     PC
spot27: MOV     #27,R4
        MOV     (R2),(R5)+
        RTS     PC
spot37: MOV     #37,R4
        MOV     R2,(R5)+
        RTS     PC
spot67: MOV     #67,R4
        MOV     R2,R0
        BR      far
spot77: MOV     #77,R4
        MOV     R3,R0
far:    SUB     R5,R0           ; from the word behind
        SUB     #2,R0
        MOV     R0,(R5)+
        RTS     PC

; The destination of `entry` in mode `dmode` of register `dreg`, from cellb, into the instruction.  (R5)+: words behind.
; `dplace` is where it lies, `dst` the operand.
dstat:  MOV     #cellb,dplace
        MOV     dmode,R0
        MOV     dreg,R1
        JSR     PC,stride
        ADD     R0,dplace
        MOV     dplace,ptrb
        MOV     dmode,R0
        MOV     dreg,R1
        MOV     dplace,R2
        MOV     #ptrb,R3
        JSR     PC,spot
        BIS     R4,op
        MOV     #dst,R3
        MOV     dplace,R2
; The operand at (R2) to (R3): word or byte.
taken:  MOV     entry,R0
        BIT     #1,6(R0)
        BNE     1$
        MOV     (R2),(R3)
        RTS     PC
1$:     MOVB    (R2),(R3)+
        CLRB    (R3)
        RTS     PC

; R0: mode, R1: register.  Sets `step`, `usesp`; R0: 1 for an odd byte, else 0.
stride: MOV     #2,step
        CMP     R0,#10
        BHIS    1$
        CMP     R1,#6
        BNE     1$
        INC     usesp
        BR      3$
1$:     MOV     entry,R2
        BIT     #1,6(R2)        ; a byte
        BEQ     3$
        CMP     R0,#10
        BEQ     3$              ; the one of #: even
        MOV     #1,step
        TST     R0
        BEQ     3$
        COM     odd
        BEQ     3$
        MOV     #1,R0
        RTS     PC
3$:     CLR     R0
        RTS     PC

; What must be found in the destination: `res`.
result: MOV     dplace,R1
        ADD     #ahead,R1
        TST     dmode
        BNE     store
        MOV     dreg,R1
; In register R1.
inreg:  ASL     R1
        ADD     #out0,R1
        MOV     entry,R0
        BIT     #4,6(R0)
        BEQ     store
        MOVB    res,R2          ; its sign is spread
        MOV     R2,(R1)
        RTS     PC
; At (R1), word or byte.
store:  MOV     entry,R0
        BIT     #2,6(R0)
        BNE     2$
        BIT     #1,6(R0)
        BNE     1$
        MOV     res,(R1)
        RTS     PC
1$:     MOVB    res,(R1)
2$:     RTS     PC

; --- what an instruction does, place by place -----------------------------------------------------------------------

; What the instruction of `entry` makes of `src`, `dst` and the codes ccin: res, ccout; ccopen: codes not looked at.
refer:  MOV     entry,R0
        MOV     4(R0),head
        MOV     #100000,top
        CLR     ccopen
        BIT     #1,6(R0)
        BEQ     1$
        MOV     #200,top
        INC     bytes
        BIC     #177400,src
        BIC     #177400,dst
1$:     JMP     @2(R0)

; N and Z of R3, which is the result.
nz:     CLR     ccout
        CMP     top,#200
        BNE     1$
        BIC     #177400,R3
1$:     MOV     R3,res
        BNE     2$
        BIS     #4,ccout
2$:     BIT     top,R3
        BEQ     3$
        BIS     #10,ccout
3$:     RTS     PC

; R0 + R1 + R4 (0 or 1), place by place up to `top`: R3, N Z V in ccout, the carry in R4.
adder:  CLR     R3
        MOV     #1,R2
1$:     CLR     R5              ; ones in this place
        BIT     R2,R0
        BEQ     2$
        INC     R5
2$:     BIT     R2,R1
        BEQ     3$
        INC     R5
3$:     MOV     R4,topin
        BEQ     4$
        INC     R5
4$:     CLR     R4
        CMP     R5,#2
        BLO     5$
        INC     R4
        DEC     R5
        DEC     R5
5$:     TST     R5
        BEQ     6$
        BIS     R2,R3
6$:     CMP     R2,top
        BEQ     7$
        ASL     R2
        BR      1$
7$:     JSR     PC,nz
        CMP     topin,R4        ; an overflow: the carries into and out of the sign differ
        BEQ     8$
        BIS     #2,ccout
8$:     RTS     PC

; C as before.
keepc:  BIT     #1,ccin
        BEQ     1$
        BIS     #1,ccout
1$:     RTS     PC

; --- all of a table in all modes ------------------------------------------------------------------------------------

; Instructions with one operand, from `entry` to `enough`: each in every mode of every register.  The program's own
; `extra` may add to the instruction and to `src`.
allmod: CLR     dmode
1$:     CLR     dreg
        CMP     dmode,#10
        BLO     2$
        MOV     #6,dreg         ; a mode of PC: once
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     @entry,op
        MOV     #op+2,R5
        JSR     PC,dstat
        MOV     dst,whole
        JSR     PC,extra
        JSR     PC,refer
        JSR     PC,result
        JSR     PC,shot
        JSR     PC,verify
        JSR     PC,finish
        INC     dreg
        CMP     dreg,#7
        BLO     2$
        INC     dmode
        CMP     dmode,#10
        BNE     3$
        INC     dmode           ; no destination in the instruction itself
3$:     CMP     dmode,#13
        BLOS    1$
        ADD     #10,entry
        CMP     entry,enough
        BLO     allmod
        RTS     PC

; --- words ----------------------------------------------------------------------------------------------------------

in0:    .word   0
in1:    .word   0
in2:    .word   0
in3:    .word   0
in4:    .word   0
in5:    .word   0
in6:    .word   0
out0:   .word   0
out1:   .word   0
out2:   .word   0, 0, 0, 0
out6:   .word   0
cells:  .word   0               ; memory around the operands, and those themselves
cella:  .word   0               ; source
        .word   0
cellb:  .word   0               ; destination
        .word   0
ptra:   .word   cella
ptrb:   .word   cellb
        .word   0
shoul:  .word   0, 0, 0, 0, 0   ; what must be found from `cells` to `ptra`
ahead   = shoul-cells
ccin:   .word   0               ; codes before
ccout:  .word   0               ; codes that must be found
ccopen: .word   0               ; codes that are not looked at
src:    .word   0
dst:    .word   0
whole:  .word   0               ; the destination before
res:    .word   0
top:    .word   0               ; the sign of a word or byte
topin:  .word   0               ; the carry into this place
entry:  .word   0               ; row of the table of instructions
enough: .word   0               ; its end
step:   .word   0
odd:    .word   0
dmode:  .word   0
dreg:   .word   0
dplace: .word   0
smode:  .word   0
sreg:   .word   0
bytes:  .word   0               ; not 0: an instruction of bytes
usesp:  .word   0               ; SP is an operand: no IOT
sink:   .word   0               ; so far SP must go down
lift:   .word   0               ; so far it stands lower before; there:
popped: .word   0
pushed: .word   0               ; the word at SP afterwards, if `sink`
spsafe: .word   0
landed: .word   0               ; times that `land` was reached
odd0:   .word   0
seed:   .word   0
seed0:  .word   0               ; as it was when the case began
head:   .word   0
telled: .word   whole, 0, 0     ; addresses of words that a text tells
head0:  .asciz  /instruction/
regs:   .byte   'R, '0, 0, 0, 'R, '1, 0, 0, 'R, '2, 0, 0, 'R, '3, 0, 0, 'R, '4, 0, 0, 'R, '5, 0, 0, 'S, 'P, 0, 0
tof:    .asciz  / of /
tinst:  .asciz  /, instruction /
tbefor: .asciz  /, codes before /
tcodes: .asciz  /codes N Z V C/
tcells: .asciz  /memory/
buffer: . = . + 140
        .even
