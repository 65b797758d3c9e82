; What several programs share: repeating a case, priorities, waiting for the console.

; At the end of a case whose data come from a table: again, if it failed and that is wanted.
repeat: TST     failed
        BEQ     9$
        MOV     R0,-(SP)
        JSR     PC,look
        BIT     #2,R0
        BEQ     8$
        MOV     (SP)+,R0
        CLR     failed
        MOV     level,SP
        MOV     loop,R5
        RTS     R5
8$:     MOV     (SP)+,R0
9$:     RTS     R5

; Priority 0, 7, on every processor the same way.  A line clock without a register ticks all the time: nobody minds.
lowpri: MOV     #tick,@#100
        MOV     #340,@#102
        MOV     (SP),-(SP)
        CLR     2(SP)
        RTI
highpr: MOV     #340,-(SP)
        MOV     #1$,-(SP)
        RTI
1$:     JSR     R5,rearm
        .word   100
        RTS     PC
tick:   RTI

; The console has printed all: RESET would cut it off.
hushed: TST     speaks
        BEQ     9$
1$:     TSTB    @#177564
        BPL     1$
        MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     #4,R1
        CLR     R0
2$:     DEC     R0
        BNE     2$
        DEC     R1
        BNE     2$
        MOV     (SP)+,R1
        MOV     (SP)+,R0
9$:     RTS     PC
