; needs: sob sxt xor
; with: instructions

; Three instructions that came after the first processors (row D08): XOR, SOB [course-processor], SXT (firm).  MARK and
; RTT have programs of their own, because some processors have only one of them.
; Left out: V after SXT if it was set (one early text leaves it alone, unconfirmed).

device  = 0
vector  = 0
name:   .asciz  /later/
about:  .asciz  /SXT and XOR in all modes, SOB over all distances/
        .even

run:    TST     pass
        BNE     1$
        MOV     #12525,seed0    ; later passes go on with other numbers
1$:     JSR     PC,signs
        JSR     PC,xors
        JSR     PC,itself
        MOV     #src,telled
        MOV     #whole,telled+2
        MOV     #esxt,entry
        MOV     #eend,enough
        JSR     PC,allmod
        JSR     PC,counts
        JSR     PC,loops
        RTS     PC

; SXT of each register, with all codes before.
signs:  MOV     #whole,telled
        CLR     telled+2
        MOV     #esxt,entry
        CLR     dreg
1$:     CLR     turn
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     turn,ccin
        MOV     dreg,R1
        MOV     #6700,op
        BIS     R1,op
        ASL     R1
        MOV     in0(R1),whole
        MOV     whole,dst
        JSR     PC,judged
        INC     turn
        CMP     turn,#20
        BLO     2$
        INC     dreg
        CMP     dreg,#6
        BLO     1$
        RTS     PC

; The rest of a case with a register.
judged: JSR     PC,refer
        MOV     dreg,R1
        JSR     PC,inreg
        JSR     PC,shot
        JSR     PC,verify
        JMP     finish

; XOR of every two registers; the operands go on.
xors:   MOV     #src,telled
        MOV     #whole,telled+2
        MOV     #exor,entry
        MOV     #edges,edge
        MOV     #edges,edge2
        CLR     sreg
1$:     CLR     dreg
2$:     CMP     sreg,dreg
        BEQ     4$
        JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     @edge,src
        MOV     @edge2,whole
        MOV     whole,dst
        JSR     PC,source
        MOV     dreg,R1
        BIS     R1,op
        ASL     R1
        MOV     whole,in0(R1)
        JSR     PC,judged
        ADD     #2,edge2        ; all operands with all others, over and over
        CMP     edge2,#eedges
        BLO     4$
        MOV     #edges,edge2
        ADD     #2,edge
        CMP     edge,#eedges
        BHIS    5$
4$:     INC     dreg
        CMP     dreg,#6
        BLO     2$
        INC     sreg
        CMP     sreg,#6
        BLO     1$
        CLR     sreg
        BR      1$
5$:     RTS     PC

; XOR with `src` in register `sreg`.
source: MOV     #74000,op
        MOV     sreg,R0
        SWAB    R0
        ASR     R0
        ASR     R0
        BIS     R0,op
        MOV     sreg,R1
        ASL     R1
        MOV     src,in0(R1)
        MOV     src,out0(R1)
        RTS     PC

; A register with itself gives 0.
itself: JSR     R5,next
        .word   hself
        MOV     #123456,R3
        SEC
        XOR     R3,R3
        IOT
        MOV     R3,code
        JSR     R5,want
        .word   0, code
        JSR     R5,wantcc
        .word   5
        RTS     PC

; For `allmod`: XOR takes another register as its source.
extra:  CLR     src
        CMP     entry,#exor
        BNE     9$
1$:     INC     sreg
        CMP     sreg,#6
        BLO     2$
        CLR     sreg
2$:     CMP     dmode,#10
        BHIS    3$
        CMP     sreg,dreg
        BEQ     1$
3$:     JSR     PC,dice
        MOV     R0,src
        MOV     op,code
        JSR     PC,source
        BIS     code,op
9$:     RTS     PC

; SOB to the next instruction: one less in any register, codes as they were.
counts: MOV     #whole,telled
        CLR     telled+2
        MOV     #edges,edge
1$:     CLR     dreg
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     #hsob,head
        MOV     dreg,R0
        SWAB    R0
        ASR     R0
        ASR     R0
        BIS     #77000,R0
        MOV     R0,op
        MOV     @edge,whole
        MOV     dreg,R1
        ASL     R1
        MOV     whole,in0(R1)
        MOV     whole,out0(R1)
        SUB     #1,out0(R1)
        JSR     PC,shot
        JSR     PC,verify
        JSR     PC,finish
        INC     dreg
        CMP     dreg,#6
        BLO     2$
        ADD     #2,edge
        CMP     edge,#eedges
        BLO     1$
        RTS     PC

; Back over each distance, into a row of INC R0 that count how far it went: once, twice and not at all.
loops:  MOV     #room,R1
1$:     MOV     #5200,(R1)+     ; INC R0
        CMP     R1,#sobbed
        BLO     1$
        MOV     #207,sobbed+2
        CLR     code
2$:     MOV     #1,turn
3$:     JSR     R5,next
        .word   hloops
        MOV     code,R0
        BIS     #77200,R0       ; SOB R2
        MOV     R0,sobbed
        MOV     turn,R2
        CLR     R0
        .word   257
        JSR     PC,sobbed
        MOV     R0,got
        MOV     R2,got2
        CLR     need
        MOV     turn,need2
        DEC     need2
        TST     code
        BEQ     5$
        MOV     need2,R1
        BEQ     5$
4$:     ADD     code,need       ; each time it goes back: all words between
        DEC     need
        DEC     R1
        BNE     4$
        CLR     need2
5$:     JSR     R5,wantat
        .word   need, got
        JSR     R5,wantat
        .word   need2, got2
        INC     turn
        CMP     turn,#4
        BLO     3$
        INC     code
        CMP     code,#77
        BLOS    2$
        RTS     PC

rsxt:   CLR     R3
        BIT     #10,ccin
        BEQ     1$
        MOV     #177777,R3
1$:     BIT     #2,ccin
        BEQ     2$
        MOV     #2,ccopen
2$:     JSR     PC,nz
        JMP     keepc

rxor:   CLR     R3
        MOV     #1,R0
1$:     CLR     R2
        BIT     R0,src
        BEQ     2$
        INC     R2
2$:     BIT     R0,dst
        BEQ     3$
        INC     R2
3$:     CMP     R2,#1
        BNE     4$
        BIS     R0,R3
4$:     ASL     R0
        BNE     1$
        JSR     PC,nz
        JMP     keepc

esxt:   .word   6700, rsxt, hsxt, 0
exor:   .word   74000, rxor, hxor, 0
eend:
edges:  .word   0, 1, 2, 200, 77777, 100000, 52525, 125252, 177600, 177777
eedges:
edge:   .word   0
edge2:  .word   0
turn:   .word   0
code:   .word   0
need:   .word   0
need2:  .word   0
got:    .word   0
got2:   .word   0
hsxt:   .asciz  /SXT/
hxor:   .asciz  /XOR/
hsob:   .asciz  /SOB/
hself:  .asciz  /XOR of a register with itself/
hloops: .asciz  /SOB back over this distance/
        .even
; Beyond the program: words for `loops`.
room    = .
sobbed  = room+200
