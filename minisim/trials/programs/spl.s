; needs: spl

; SPL sets the priority and nothing else (firm).

device  = 0
vector  = 0
name:   .asciz  /spl/
about:  .asciz  /SPL with all levels and codes/
        .even

run:    MOV     #snap,@#20      ; IOT notes the whole PS here
        MOV     #tick,@#100     ; a clock may come when priority is low
        CLR     level2
1$:     CLR     ccin
2$:     JSR     R5,next
        .word   hspl
        MOV     level2,R0
        BIS     #230,R0
        MOV     R0,4$
        MOV     level2,R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        BIS     ccin,R0
        MOV     R0,need
        MOV     ccin,R0
        BIS     #260,R0
        MOV     R0,3$
        .word   257
3$:     .word   260
4$:     .word   230
        IOT
        SPL     7
        JSR     R5,wantat
        .word   need, psnow
        INC     ccin
        CMP     ccin,#20
        BLO     2$
        INC     level2
        CMP     level2,#10
        BLO     1$
        JSR     R5,rearm
        .word   20
        JSR     R5,rearm
        .word   100
        RTS     PC

snap:   MOV     2(SP),psnow
tick:   RTI

level2: .word   0
ccin:   .word   0
need:   .word   0
psnow:  .word   0
hspl:   .asciz  /SPL/
        .even
