; Boot ROM: serial block tape on the first line after the console, drive 0.  Asks for the plain 512 bytes of block 0,
; puts them to 0 and jumps there with R0 = 0, R1 = 176500.  `begin` says where it starts; boot-fault.s stands behind it.

        . = begin
start:  MOV  #176500,R1
        INC  4(R1)              ; break, for as long as two characters take
        CLR  R0
        MOV  #2,R3
1$:     TSTB 4(R1)
        BPL  1$
        CLR  6(R1)
        DEC  R3
        BPL  1$
        DEC  4(R1)
        TST  2(R1)              ; what came meanwhile
        MOV  #send,R3           ; INIT, INIT, bootstrap, drive 0
        CLR  R4
2$:     TSTB 4(R1)
        BPL  2$
        MOVB (R3)+,6(R1)
        CMP  R3,#send+2
        BNE  4$
3$:     DEC  R4                 ; within half a second or so
        BEQ  fault
        TSTB (R1)               ; CONTINUE: the drive is ready
        BPL  3$
        CMPB 2(R1),#20
        BNE  3$
4$:     CMP  R3,#send+4
        BNE  2$
5$:     TSTB (R1)
        BPL  5$
        MOVB 2(R1),(R0)+
        CMP  R0,#1000
        BNE  5$
        CLR  R0
        CLR  PC
send:   .byte 4, 4, 10, 0
