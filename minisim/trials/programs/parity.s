; device: memory-parity
; with: cases

; The parity register of a memory board: what it holds, and what it tells of a word that was written with wrong
; parity. All of it is unconfirmed (recalled, no document at hand): bit 15 error, bits 11-5 address bits 17-11 of the
; error, bit 2 writes wrong parity, bit 0 lets errors trap through 114.  A register without bit 2 (one of error
; correction has other bits) is tested as far as it holds bits 15 and 0.  The word that is spoiled lies in this
; program; so the board under test must be the one that holds the first 4K words: with another one no error is seen,
; and the program says so.

device  = 172100
vector  = 114
name:   .asciz  /parity/
about:  .asciz  /the parity register of the memory that holds this program/
        .even

run:    MOV     at,R4
        CLR     gone
        MOV     #1$,@#4
        TST     (R4)
        BR      2$
1$:     ADD     #4,SP
        INC     gone
2$:     JSR     R5,rearm
        .word   4
        TST     gone
        BEQ     check
        TST     pass
        BNE     9$
        MOV     #tnansw,R0
        JSR     PC,print
        MOV     R4,R0
        JSR     PC,octal
        MOV     #tnot,R0
        JSR     PC,print
        JMP     line
9$:     RTS     PC
check:  CLR     (R4)
        JSR     R5,next
        .word   thold
        MOV     #1,(R4)
        MOV     (R4),R0
        BIC     #177776,R0
        MOV     R0,found
        MOV     #1,wanted
        JSR     R5,judge
        CLR     (R4)
        MOV     (R4),R0
        BIC     #77776,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        JSR     R5,next
        .word   trest
        MOV     #1,(R4)
        JSR     PC,hushed
        RESET
        MOV     (R4),R0
        BIC     #77776,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        MOV     #4,(R4)         ; is there a bit that writes wrong parity?
        MOV     (R4),R0
        CLR     (R4)
        BIT     #4,R0
        BNE     4$
        TST     pass
        BNE     9$
        MOV     #tnowrg,R0
        JSR     PC,print
        JMP     line
4$:     JSR     R5,next         ; without the trap: bit 15 and the place
        .word   terror
        JSR     PC,spoil
        TST     spoilt
        MOV     (R4),R1
        CLR     (R4)
        MOV     #52525,spoilt   ; right again
        CLR     (R4)
        BIC     #77777,R1
        MOV     R1,found
        MOV     #100000,wanted
        JSR     R5,judge
        CMP     wanted,found
        BEQ     5$
        MOV     #tother,R0
        JSR     PC,print
        JMP     line
5$:     JSR     R5,next         ; with the trap
        .word   ttrapp
        CLR     hits
        MOV     #hit,@#114
        MOV     #340,@#116
        JSR     PC,spoil
        MOV     #1,(R4)
        TST     spoilt
        NOP
        CLR     (R4)
        MOV     #52525,spoilt
        JSR     R5,rearm
        .word   114
        JSR     R5,want
        .word   1, hits
        JSR     R5,next         ; right again: no error
        .word   tright
        CLR     (R4)
        TST     spoilt
        MOV     (R4),R0
        BIC     #77777,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
9$:     RTS     PC
; Writes one word with wrong parity; nothing else is written meanwhile.
spoil:  MOV     #4,(R4)
        MOV     #52525,spoilt
        CLR     (R4)
        RTS     PC
hit:    INC     hits
        CLR     (R4)
        RTI

gone:   .word   0
hits:   .word   0
spoilt: .word   52525
tnansw: .asciz  /  nobody answers at /
tnot:   .asciz  /: nothing is tested/
thold:  .asciz  /bit 0 holds what is written/
trest:  .asciz  /RESET clears bits 15 and 0/
tnowrg: .asciz  /  no bit to write wrong parity: errors are not tested/
terror: .asciz  /a word of wrong parity: error bit/
tother: .asciz  /  it may be the register of a board that does not hold this program/
ttrapp: .asciz  /a word of wrong parity traps through 114/
tright: .asciz  /the word written again: no error/
        .even
