; needs: mark

; MARK: the way back from a subroutine whose arguments lie on the stack.  SP = PC + 2 x NN, PC = R5, R5 from the stack
; (firm).

device  = 0
vector  = 0
name:   .asciz  /mark/
about:  .asciz  /MARK with 0 to 63 arguments/
        .even

run:    CLR     count
1$:     JSR     R5,next
        .word   htext
        MOV     SP,before
        MOV     #123456,R5
        MOV     R5,-(SP)
        MOV     count,R0
        BEQ     3$
2$:     MOV     R0,-(SP)        ; arguments
        DEC     R0
        BNE     2$
3$:     MOV     count,R0
        BIS     #6400,R0
        MOV     R0,-(SP)        ; MARK itself
        MOV     count,R0
        BIC     #177760,R0
        MOV     R0,need
        BIS     #260,R0
        MOV     R0,set
        MOV     #11111,R0
        MOV     #22222,R1
        MOV     #33333,R2
        MOV     #44444,R3
        MOV     #55555,R4
        MOV     SP,R5
        JSR     PC,called
        BR      gone
called: .word   257
set:    .word   260
        RTS     R5              ; to MARK, R5: the address behind JSR
gone:   IOT
        MOV     SP,after
        MOV     before,SP
        JSR     R5,wantat
        .word   before, after
        JSR     R5,wantat
        .word   need, codes
        JSR     R5,want
        .word   123456, kept5
        JSR     R5,want
        .word   11111, kept0
        JSR     R5,want
        .word   22222, kept1
        JSR     R5,want
        .word   33333, kept2
        JSR     R5,want
        .word   44444, kept3
        JSR     R5,want
        .word   55555, kept4
        INC     count
        CMP     count,#77
        BHI     4$
        JMP     run+4
4$:     RTS     PC

count:  .word   0
before: .word   0
after:  .word   0
need:   .word   0
htext:  .asciz  /MARK with so many arguments/
        .even
