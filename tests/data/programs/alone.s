; frame: no
; Stands alone and halts where all is well.
        . = 1000
start:  MOV     #5,R0
1$:     DEC     R0
        BNE     1$
done:   HALT
