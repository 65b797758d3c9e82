; needs: ps
; with: instructions

; MTPS and MFPS (row D22, firm): the low byte of PS from and to a byte in every mode.  T does not change.

device  = 0
vector  = 0
name:   .asciz  /ps/
about:  .asciz  /MTPS and MFPS in all modes, codes and priority/
        .even

run:    TST     pass
        BNE     1$
        MOV     #32525,seed0    ; later passes go on with other numbers
1$:     MOV     #tick,@#100     ; a clock may come when priority is low
        MOV     #whole,telled
        CLR     telled+2
        MOV     #emtps,entry
        MOV     #eend,enough
        JSR     PC,allmod
        JSR     PC,direct
        JSR     PC,levels
        JSR     R5,rearm
        .word   100
        RTS     PC
tick:   RTI

; For `allmod`: what MTPS gets has priority 7.
extra:  CMP     entry,#emtps
        BNE     2$
        BIS     #340,dst
        MOV     dst,whole
        TST     dmode
        BNE     1$
        MOV     dreg,R1
        ASL     R1
        BIS     #340,in0(R1)
        BIS     #340,out0(R1)
        RTS     PC
1$:     MOV     dplace,R1
        BISB    #340,(R1)
        BISB    #340,ahead(R1)
2$:     RTS     PC

rmtps:  MOV     dst,ccout
        BIC     #177760,ccout
        RTS     PC
rmfps:  MOV     ccin,R3
        BIS     #340,R3
        JSR     PC,nz
        JMP     keepc

; MTPS #, all codes, T asked for too.
direct: CLR     telled
        CLR     turn
1$:     JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     #hmtps,head
        MOV     #106427,op
        MOV     turn,op+2
        BIS     #360,op+2
        MOV     turn,ccout
        JSR     PC,shot
        JSR     PC,verify
        JSR     PC,finish
        INC     turn
        CMP     turn,#20
        BLO     1$
        RTS     PC

; Each priority by MTPS, read back by MFPS with its sign; of one-level processors only the top bit is looked at.
levels: CLR     turn
1$:     JSR     R5,next
        .word   hlevel
        MOV     turn,R0
        MOV     #52525,R1
        MTPS    R0
        MFPS    R1
        IOT
        MTPS    #340
        MOV     turn,need
        MOV     kept1,found1
        MOV     #4,need2        ; Z, or N
        TSTB    need
        BEQ     2$
        CLR     need2
2$:     TSTB    need
        BPL     3$
        BIS     #177400,need
        MOV     #10,need2
3$:     CMP     need,found1
        BEQ     4$
        BIC     #140,need
        BIC     #140,found1
        BIC     #4,codes
        BIC     #4,need2
4$:     JSR     R5,wantat
        .word   need, found1
        JSR     R5,wantat
        .word   need2, codes
        ADD     #40,turn
        CMP     turn,#340
        BLOS    1$
        RTS     PC

emtps:  .word   106400, rmtps, hmtps, 3
emfps:  .word   106700, rmfps, hmfps, 5
eend:
turn:   .word   0
need:   .word   0
need2:  .word   0
found1: .word   0
hmtps:  .asciz  /MTPS/
hmfps:  .asciz  /MFPS/
hlevel: .asciz  /MTPS and MFPS of a priority/
        .even
