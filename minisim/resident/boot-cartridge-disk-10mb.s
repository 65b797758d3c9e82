; Boot ROM: cartridge disk of the 5 and 10 MB class, drive 0.  Reads block 0 to 0 and jumps there with R0 = 0,
; R1 = 174400.  `begin` says where it starts; boot-fault.s stands behind it.

        . = begin
start:  MOV  #1000,SP           ; one word of stack, which the block may overwrite
        MOV  #174400,R1
        MOV  #13,4(R1)          ; get status and clear the errors: the first access to a pack
        MOV  #4,(R1)
        JSR  R5,wait
        MOV  #10,(R1)           ; read header: where does the arm stand?
        JSR  R5,wait
        MOV  6(R1),R2
        BIC  #177,R2            ; so many cylinders back
        INC  R2
        MOV  R2,4(R1)
        MOV  #6,(R1)            ; seek
        JSR  R5,wait
1$:     BIT  #1,(R1)            ; the arm has arrived
        BEQ  1$
        CLR  4(R1)
        CLR  2(R1)
        MOV  #-256.,6(R1)
        MOV  #14,(R1)           ; read
        JSR  R5,wait
        CLR  R0
        CLR  PC

wait:   TSTB (R1)
        BPL  wait
        TST  (R1)
        BMI  fault
        RTS  R5             ; what comes from the stack does not matter
