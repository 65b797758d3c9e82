; Boot ROM: 8-inch floppy, double density, drive 0.  Reads block 0 (track 1, sectors 1 and 3) to 0 and jumps there with
; R0 = 0, R1 = 177170.  `begin` says where it starts; boot-fault.s stands behind it.

        . = begin
start:  MOV  #1000,SP           ; one word of stack, which the block may overwrite
        MOV  #177170,R1
        CLR  R2                 ; where the words go
        MOV  #1,R3              ; sector
1$:     MOV  R3,R0
        MOV  #1,R5              ; track
        JSR  R4,do
        .word 407               ; read sector
        MOV  #128.,R0           ; words
        MOV  R2,R5
        JSR  R4,do
        .word 403               ; empty the buffer
        ADD  #256.,R2
        ADD  #2,R3
        CMP  R3,#5
        BNE  1$
        CLR  R0
        CLR  PC

; The function behind the call, with two parameters: R0, then R5.
do:     BIT  #40,(R1)           ; DONE: a function may be given
        BEQ  do
        MOV  (R4)+,(R1)
1$:     TSTB (R1)
        BPL  1$
        MOV  R0,2(R1)
2$:     TSTB (R1)
        BPL  2$
        MOV  R5,2(R1)
3$:     BIT  #40,(R1)
        BEQ  3$
        TST  (R1)
        BMI  fault
        RTS  R4                 ; what comes from the stack does not matter
