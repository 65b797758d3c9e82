; What eis and fpp share: multiplying with base instructions, by shifting and adding.

; R0 and R1: the product of `first` and `second`.
produc: CLR     R5
        MOV     first,R2
        BPL     1$
        NEG     R2
        INC     R5
1$:     MOV     second,R3
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
        JSR     PC,minus
5$:     RTS     PC

; R0 and R1: the other sign.
minus:  COM     R0
        COM     R1
        ADD     #1,R1
        ADC     R0
        RTS     PC
