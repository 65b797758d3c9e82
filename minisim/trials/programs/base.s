; with: instructions base-set

; The base set: every instruction with one and two operands, words and bytes, in every addressing mode; branches,
; jumps, subroutines, condition codes.  RTI, traps and interrupts are in `traps`, what came later in `later`, `mark`
; and `rtt`.  What is expected comes from `refer` (parts/base-set.s), which works place by place with single bits; the
; rules of codes, modes and branches are those of [course-processor] and [handbook-1969].  `base-known` has the results
; that documents print.
; Left out, because processors or documents differ: a register that is source and stepped destination at once (rows
; D01, D02), PC as source with an indexed destination (D03), the target of JMP and JSR in mode 2 (D04; both are taken),
; V after SWAB if it was set (D06), V after SBC if C was clear (disputed), JMP and JSR to a register (D05: in `traps`).

device  = 0
vector  = 0
name:   .asciz  /base/
about:  .asciz  /the base set of instructions: operands, modes, codes, branches, jumps and subroutines/
        .even

run:    TST     pass
        BNE     1$
        MOV     #52525,seed0    ; later passes go on with other numbers
1$:     JSR     PC,singls
        JSR     PC,pairs
        JSR     PC,random
        JSR     PC,modes1
        JSR     PC,modes2
        JSR     PC,opers
        JSR     PC,branch
        JSR     PC,extent
        JSR     PC,jumps
        JSR     PC,links
        JSR     PC,backs
        JSR     PC,swaps
        JSR     PC,same
        RTS     PC

; --- one operand in a register --------------------------------------------------------------------------------------

singls: MOV     #whole,telled
        CLR     telled+2
        CLR     dreg
        MOV     #ops1,entry
1$:     MOV     #edges,edge
2$:     CLR     turn
3$:     JSR     PC,another
        JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     turn,R1
        MOVB    fcodes(R1),ccin
        MOV     @edge,whole
        JSR     PC,single
        INC     turn
        CMP     turn,#4
        BLO     3$
        ADD     #2,edge
        CMP     edge,#eedges
        BLO     2$
        ADD     #10,entry
        CMP     entry,#ops2
        BLO     1$
        RTS     PC

; The next register of R0 to R5.
another: INC    dreg
        CMP     dreg,#6
        BLO     1$
        CLR     dreg
1$:     RTS     PC

; The instruction of `entry` with `whole` in register `dreg`.
single: MOV     dreg,R1
        MOV     @entry,op
        BIS     R1,op
        ASL     R1
        MOV     whole,in0(R1)
        MOV     whole,out0(R1)
        MOV     whole,dst
        JSR     PC,refer
        MOV     dreg,R1
        JSR     PC,inreg
        JSR     PC,shot
        JSR     PC,verify
        JMP     finish

; --- two operands in registers --------------------------------------------------------------------------------------

pairs:  MOV     #src,telled
        MOV     #whole,telled+2
        CLR     telled+4
        CLR     sreg
        CLR     turn
        MOV     #ops2,entry
1$:     MOV     #edges,edge
2$:     MOV     #edges,edge2
3$:     JSR     PC,both2
        JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     turn,R1
        BIC     #177774,R1
        MOVB    fcodes(R1),ccin
        MOV     @edge,src
        MOV     @edge2,whole
        JSR     PC,double
        INC     turn
        ADD     #2,edge2
        CMP     edge2,#eedges
        BLO     3$
        ADD     #2,edge
        CMP     edge,#eedges
        BLO     2$
        ADD     #10,entry
        CMP     entry,#eops2
        BLO     1$
        RTS     PC

; The next two of R0 to R5.
both2:  JSR     PC,others
        CMP     sreg,#6
        BHIS    both2
        CMP     dreg,#6
        BHIS    both2
        RTS     PC

; The instruction of `entry` with `src` and `whole` in two registers.
double: MOV     @entry,op
        MOV     sreg,R0
        JSR     PC,up6
        BIS     R0,op
        BIS     dreg,op
        MOV     sreg,R1
        ASL     R1
        MOV     src,in0(R1)
        MOV     src,out0(R1)
        MOV     dreg,R1
        ASL     R1
        MOV     whole,in0(R1)
        MOV     whole,out0(R1)
        MOV     whole,dst
        JSR     PC,refer
        MOV     dreg,R1
        JSR     PC,inreg
        JSR     PC,shot
        JSR     PC,verify
        JMP     finish

; The next two registers that are not the same, of R0 to SP.
others: INC     dreg
        CMP     dreg,#7
        BLO     1$
        CLR     dreg
        INC     sreg
        CMP     sreg,#7
        BLO     1$
        CLR     sreg
1$:     CMP     dreg,sreg
        BEQ     others
        RTS     PC

up6:    MOV     #6,R2
1$:     ASL     R0
        DEC     R2
        BNE     1$
        RTS     PC

; --- random operands ------------------------------------------------------------------------------------------------

random: MOV     #16.,turns
1$:     MOV     #ops1,entry
        MOV     #whole,telled
        CLR     telled+2
2$:     JSR     PC,another
        JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     cellb,whole
        JSR     PC,single
        ADD     #10,entry
        CMP     entry,#ops2
        BLO     2$
        MOV     #src,telled
        MOV     #whole,telled+2
3$:     JSR     PC,both2
        JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     cella,src
        MOV     cellb,whole
        JSR     PC,double
        ADD     #10,entry
        CMP     entry,#eops2
        BLO     3$
        DEC     turns
        BNE     1$
        RTS     PC

; --- modes ----------------------------------------------------------------------------------------------------------

modes1: MOV     #whole,telled
        CLR     telled+2
        MOV     #ops1,entry
        MOV     #ops2,enough
        JMP     allmod
extra:  RTS     PC

; Two operands: each mode of the source with each of the destination, in registers that are not the same.
modes2: MOV     #src,telled
        MOV     #whole,telled+2
        MOV     #ops2,entry
1$:     CLR     smode
2$:     CLR     dmode
3$:     JSR     PC,others
        JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     @entry,op
        MOV     #op+2,R5
        MOV     smode,R0
        MOV     sreg,R1
        JSR     PC,stride
        ADD     #cella,R0
        MOV     R0,ptra
        MOV     R0,R2
        MOV     #src,R3
        JSR     PC,taken
        MOV     smode,R0
        MOV     sreg,R1
        MOV     #ptra,R3
        JSR     PC,spot
        MOV     R4,R0
        JSR     PC,up6
        BIS     R0,op
        JSR     PC,dstat
        MOV     dst,whole
        JSR     PC,refer
        JSR     PC,result
        JSR     PC,shot
        JSR     PC,verify
        JSR     PC,finish
        INC     dmode
        CMP     dmode,#10
        BNE     4$
        INC     dmode           ; no destination in the instruction itself
4$:     CMP     dmode,#13
        BLOS    3$
        INC     smode
        CMP     smode,#13
        BLOS    2$
        ADD     #10,entry
        CMP     entry,#eops2
        BLO     1$
        RTS     PC

; --- codes set and cleared ------------------------------------------------------------------------------------------

; 000240 to 000277, each with all codes before.
opers:  CLR     telled
        MOV     #240,code
1$:     CLR     turn
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     #hopers,head
        MOV     turn,ccin
        MOV     turn,R1
        MOV     code,op
        MOV     code,R0
        BIC     #177760,R0
        BIT     #20,code
        BNE     3$
        BIC     R0,R1
        BR      4$
3$:     BIS     R0,R1
4$:     MOV     R1,ccout
        JSR     PC,shot
        JSR     PC,verify
        JSR     PC,finish
        INC     turn
        CMP     turn,#20
        BLO     2$
        INC     code
        CMP     code,#300
        BLO     1$
        RTS     PC

; --- branches -------------------------------------------------------------------------------------------------------

; Each with all codes, forwards and backwards.  tbran: text, code, and a word whose bit n says that it branches with
; codes n [course-processor].
branch: CLR     telled
        MOV     #tbran,row
1$:     CLR     turn
        MOV     row,R1
        MOV     4(R1),mask
2$:     CLR     shft            ; the bit of these codes
        ROR     mask
        ROL     shft
        MOV     #bforth,place
3$:     JSR     R5,next
        .word   buffer
        MOV     row,R1
        MOV     (R1)+,head
        MOV     (R1),R0
        MOV     R0,bforth
        MOV     R0,bback
        BIS     #6,bforth       ; to `yes`
        BIS     #372,bback      ; -6: to `yes` too
        MOV     turn,ccin
        MOV     turn,ccout
        MOV     turn,R0
        BIS     #260,R0
        MOV     R0,bset
        MOV     #7,landed
        JSR     PC,try
        MOV     @place,op
        MOV     #shft,R2
        MOV     #landed,R1
        MOV     #tyes,R0
        JSR     PC,equal
        MOV     #codes,R1
        MOV     #ccout,R2
        MOV     #tcodes,R0
        JSR     PC,equal
        JSR     PC,finish
        CMP     place,#bback
        BEQ     4$
        MOV     #bback,place
        BR      3$
4$:     INC     turn
        CMP     turn,#20
        BLO     2$
        ADD     #6,row
        CMP     row,#ebran
        BLO     1$
        RTS     PC

try:    MOV     place,bjump+2
        .word   257
bset:   .word   260
bjump:  JMP     @#bforth
bforth: BR      yes
        IOT
        CLR     landed
        RTS     PC
        HALT                    ; a branch went to a wrong place; so at the next HALT
        HALT
yes:    IOT
        MOV     #1,landed
        RTS     PC
bback:  BR      yes
        IOT
        CLR     landed
        RTS     PC

; BR as far as it goes, backwards and forwards: into a row of INC R0, which count how far it went.
extent: MOV     #room,R1
1$:     MOV     #5200,(R1)+     ; INC R0
        CMP     R1,#roomt
        BLO     1$
        MOV     #207,(R1)       ; RTS PC at the end
        MOV     #-200,turn
2$:     JSR     R5,next
        .word   hexten
        MOV     #room,R4        ; forwards: from the first of them
        MOV     #<roomt-room-2>/2,shft
        TST     turn
        BPL     3$
        MOV     #roomt-2,R4     ; backwards: from the last, with the RTS before it
        MOV     #207,-2(R4)
        MOV     #-2,shft
3$:     SUB     turn,shft
        MOV     turn,R0
        BIC     #177400,R0
        BIS     #400,R0
        MOV     R0,(R4)
        CLR     R0
        JSR     PC,(R4)
        MOV     R0,code
        MOV     #5200,(R4)
        MOV     #5200,roomt-4
        JSR     R5,wantat
        .word   shft, code
        INC     turn
        CMP     turn,#-1        ; to itself
        BNE     4$
        INC     turn
4$:     CMP     turn,#177
        BLE     2$
        RTS     PC

; --- jumps and subroutines ------------------------------------------------------------------------------------------

; JMP in every mode to `land`.
jumps:  CLR     telled
        MOV     #1,dmode
1$:     CLR     dreg
        CMP     dmode,#10
        BLO     2$
        MOV     #6,dreg
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     #hjmp,head
        MOV     #100,op
        JSR     PC,aim
        CMP     dreg,#6
        BNE     3$
        CMP     dmode,#10
        BHIS    3$
        INC     usesp
3$:     JSR     PC,shot
        JSR     PC,verify
        JSR     PC,there
        JSR     PC,finish
        INC     dreg
        CMP     dreg,#7
        BLO     2$
        JSR     PC,nextmd
        BLOS    1$
        RTS     PC

; The destination `land` into the instruction.
aim:    MOV     #op+2,R5
        MOV     #2,step
        MOV     dmode,R0
        MOV     dreg,R1
        MOV     #land,R2
        MOV     #pland,R3
        JSR     PC,spot
        BIS     R4,op
        RTS     PC

; Did it come to `land`, once?
there:  MOV     #landed,R1
        MOV     #one,R2
        MOV     #tthere,R0
        JMP     equal

; The next mode; BLOS: there is one.
nextmd: INC     dmode
        CMP     dmode,#10
        BNE     1$
        INC     dmode
1$:     CMP     dmode,#13
        RTS     PC

; JSR in every mode, with every link.
links:  CLR     telled
        MOV     #7,sreg
        MOV     #1,dmode
1$:     INC     sreg            ; the link: R0 to R5 and PC
        CMP     sreg,#6
        BNE     2$
        INC     sreg
2$:     CMP     sreg,#10
        BLO     3$
        CLR     sreg
3$:     CLR     dreg
        CMP     dmode,#10
        BLO     4$
        MOV     #5,dreg
4$:     CMP     dmode,#10
        BHIS    5$
        CMP     sreg,dreg
        BEQ     9$
5$:     JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     #hjsr,head
        MOV     #2,sink
        MOV     sreg,R0
        JSR     PC,up6
        BIS     #4000,R0
        MOV     R0,op
        JSR     PC,aim
        MOV     sreg,R1
        CMP     R1,#7
        BEQ     6$
        ASL     R1
        MOV     in0(R1),saved
        MOV     R5,out0(R1)
        BR      7$
6$:     MOV     R5,saved
7$:     JSR     PC,shot
        JSR     PC,verify
        JSR     PC,there
        MOV     #pushed,R1
        MOV     #saved,R2
        MOV     #tstack,R0
        JSR     PC,equal
        JSR     PC,finish
9$:     INC     dreg
        CMP     dreg,#6
        BLO     4$
        CMP     sreg,#7         ; all links in this mode?
        BNE     1$
        JSR     PC,nextmd
        BLOS    1$
        RTS     PC

; RTS with every link.
backs:  CLR     sreg
1$:     JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     #hrts,head
        MOV     sreg,op
        BIS     #200,op
        MOV     #2,lift
        MOV     #land,popped
        MOV     sreg,R1
        CMP     R1,#7
        BEQ     2$
        JSR     PC,dice
        MOV     R0,popped
        ASL     R1
        MOV     #land,in0(R1)
        MOV     R0,out0(R1)
2$:     JSR     PC,shot
        JSR     PC,verify
        JSR     PC,there
        JSR     PC,finish
        INC     sreg
        CMP     sreg,#6
        BLO     1$
        BHI     3$
        INC     sreg
        BR      1$
3$:     RTS     PC

; JSR PC,@(SP)+ : two routines that take turns.
swaps:  JSR     R5,next
        .word   hswaps
        CLR     code
        MOV     SP,spsafe
        MOV     #turn1,-(SP)
        JSR     PC,@(SP)+
        CMP     (SP),#turn2
        BNE     swapx
        ADD     #1,code
        JSR     PC,@(SP)+
        CMP     (SP),#turn3
        BNE     swapx
        ADD     #10,code
        JSR     PC,@(SP)+
swapx:  MOV     SP,kept6
        MOV     spsafe,SP
        JSR     R5,want
        .word   11111, code
        JSR     R5,wantat
        .word   spsafe, kept6
        RTS     PC
turn1:  ADD     #100,code
        JSR     PC,@(SP)+
turn2:  ADD     #1000,code
        JSR     PC,@(SP)+
turn3:  ADD     #10000,code
        RTS     PC

; --- one register twice, PC as a register ---------------------------------------------------------------------------

same:   JSR     R5,next
        .word   tpc1
        MOV     PC,R0
1$:     MOV     R0,code
        JSR     R5,want
        .word   1$, code
        JSR     R5,next
        .word   tpc2
        CLR     R1
        MOV     #2,R0
        ADD     R0,PC
        INC     R1
        ADD     #2,PC
        INC     R1
        MOV     #2$,PC
        INC     R1
2$:     MOV     R1,code
        JSR     R5,want
        .word   0, code
        JSR     R5,next
        .word   tpc3
        CLR     R1
        TST     (PC)+
        INC     R1
        TSTB    (PC)+
        INC     R1
        CMP     (PC)+,(PC)+
        INC     R1
        INC     R1
        BITB    (PC)+,(PC)+
        INC     R1
        INC     R1
        MOV     R1,code
        JSR     R5,want
        .word   0, code
        JSR     R5,next
        .word   tsp1
        MOV     SP,spsafe
        MOV     #123,-(SP)
        MOV     #456,-(SP)
        MOV     (SP)+,(SP)
        MOV     (SP),code
        MOV     SP,kept6
        MOV     spsafe,SP
        MOV     spsafe,shft
        SUB     #2,shft
        JSR     R5,want
        .word   456, code
        JSR     R5,wantat
        .word   shft, kept6
        JSR     R5,next
        .word   tsp2
        MOV     SP,spsafe
        CMP     -(SP),-(SP)
        CMPB    -(SP),-(SP)
        CMP     (SP)+,(SP)+
        CMPB    (SP)+,(SP)+
        MOV     SP,kept6
        MOV     spsafe,SP
        JSR     R5,wantat
        .word   spsafe, kept6
        JSR     R5,next
        .word   tsame1
        JSR     PC,cells4
        ADD     (R2)+,(R2)+     ; 1 and 20
        MOV     R2,code
        JSR     R5,want
        .word   21, cells+2
        JSR     R5,want
        .word   cells+4, code
        JSR     R5,next
        .word   tsame3
        JSR     PC,cells4
        BIS     (R2)+,-(R2)
        ADD     (R2)+,-(R2)     ; 1 and 1
        MOV     R2,code
        JSR     R5,want
        .word   2, cells
        JSR     R5,want
        .word   cells, code
        JSR     R5,next
        .word   tsame4
        JSR     PC,cells4
        INC     R2
        MOVB    #5,(R2)
        MOVB    (R2)+,(R2)+
        MOV     R2,code
        JSR     R5,want
        .word   5, cells+2
        JSR     R5,want
        .word   cells+3, code
        JSR     R5,next
        .word   tsame5
        JSR     PC,cells4
        MOV     #cells+6,cells
        MOV     #cells+4,cells+2
        MOV     @(R2)+,@(R2)+   ; 4000 to cells+4
        MOV     R2,code
        JSR     R5,want
        .word   4000, cells+4
        JSR     R5,want
        .word   cells+4, code
        JSR     R5,next
        .word   tsame6
        JSR     PC,cells4
        ADD     (R2)+,R2        ; first past the 1, then with it
        MOV     R2,code
        JSR     R5,want
        .word   cells+3, code
        JSR     R5,next
        .word   tsame7
        JSR     PC,cells4
        MOV     (R2),R2
        MOV     #cells,R3
        MOV     6(R3),R3
        ADD     R2,R3
        MOV     R3,code
        JSR     R5,want
        .word   4001, code
        JSR     R5,next
        .word   twrap
        JSR     PC,cells4
        MOV     #177774,R2
        MOV     cells+6(R2),code
        JSR     R5,want         ; 177774 more is 4 less
        .word   20, code
        JSR     R5,next
        .word   tkeep
        MOV     SP,spsafe
        MOV     #keepr,R2
        JSR     R2,(R2)         ; the destination counts before the link is made
keepr0: BR      keepr
keepr:  MOV     R2,code
        MOV     (SP),shft
        MOV     SP,kept6
        MOV     spsafe,SP
        JSR     R5,want
        .word   keepr0, code
        JSR     R5,want
        .word   keepr, shft
        ADD     #2,kept6
        JSR     R5,wantat
        .word   spsafe, kept6
        RTS     PC

cells4: MOV     #cells,R2
        MOV     #1,(R2)+
        MOV     #20,(R2)+
        MOV     #300,(R2)+
        MOV     #4000,(R2)+
        MOV     #cells,R2
        RTS     PC

; text, code, bit n: branches with codes n
tbran:  .word   hbr, 400, 177777, hbne, 1000, 7417, hbeq, 1400, 170360, hbge, 2000, 146063, hblt, 2400, 31714
        .word   hbgt, 3000, 6003, hble, 3400, 171774, hbpl, 100000, 377, hbmi, 100400, 177400, hbhi, 101000, 2405
        .word   hblos, 101400, 175372, hbvc, 102000, 31463, hbvs, 102400, 146314, hbcc, 103000, 52525
        .word   hbcs, 103400, 125252
ebran:
edges:  .word   0, 1, 2, 177, 200, 377, 400, 40000, 77777, 100000, 100001, 52525, 125252, 177600, 177777
eedges:

row:    .word   0
edge:   .word   0
edge2:  .word   0
turn:   .word   0
turns:  .word   0
code:   .word   0
mask:   .word   0
shft:   .word   0
place:  .word   0
saved:  .word   0
one:    .word   1
pland:  .word   land
fcodes: .byte   0, 17, 1, 16
hbr:    .asciz  /BR/
hbne:   .asciz  /BNE/
hbeq:   .asciz  /BEQ/
hbge:   .asciz  /BGE/
hblt:   .asciz  /BLT/
hbgt:   .asciz  /BGT/
hble:   .asciz  /BLE/
hbpl:   .asciz  /BPL/
hbmi:   .asciz  /BMI/
hbhi:   .asciz  /BHI/
hblos:  .asciz  /BLOS/
hbvc:   .asciz  /BVC/
hbvs:   .asciz  /BVS/
hbcc:   .asciz  /BCC/
hbcs:   .asciz  /BCS/
hopers: .asciz  /clear or set codes/
hexten: .asciz  /BR over this distance/
hjmp:   .asciz  /JMP/
hjsr:   .asciz  /JSR/
hrts:   .asciz  /RTS/
hswaps: .asciz  /JSR PC,@(SP)+ in turns/
tyes:   .asciz  /1: branches/
tthere: .asciz  /times it came to where it should go/
tstack: .asciz  /the word on the stack/
tpc1:   .asciz  /MOV PC,R0/
tpc2:   .asciz  /ADD and MOV to PC/
tpc3:   .asciz  /words behind TST, TSTB, CMP and BITB (PC)+/
tsp1:   .asciz  /MOV (SP)+,(SP)/
tsp2:   .asciz  /SP goes by 2 with words and bytes/
tsame1: .asciz  /ADD (R2)+,(R2)+/
tsame3: .asciz  /(R2)+,-(R2)/
tsame4: .asciz  /MOVB (R2)+,(R2)+/
tsame5: .asciz  /MOV @(R2)+,@(R2)+/
tsame6: .asciz  /ADD (R2)+,R2/
tsame7: .asciz  /MOV (R2),R2/
twrap:  .asciz  /an address beyond 177777 goes on at 0/
tkeep:  .asciz  /JSR R2,(R2)/
        .even
; Beyond the program: words for `extent`.
room    = .
roomt   = room+402
