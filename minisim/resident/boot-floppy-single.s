; Boot ROM: 8-inch floppy, single density, drive 0.  Reads block 0 (track 1, sectors 1, 3, 5, 7) to 0 and jumps there
; with R0 = 0, R1 = 177170.  `begin` says where it starts; boot-fault.s stands behind it.

        . = begin
start:  MOV  #177170,R1
        CLR  R2                 ; where the bytes go
        MOV  #1,R3              ; sector
1$:     BIT  #40,(R1)           ; DONE
        BEQ  1$
        MOV  #7,(R1)            ; read sector
2$:     TSTB (R1)
        BPL  2$
        MOV  R3,2(R1)
3$:     TSTB (R1)
        BPL  3$
        MOV  #1,2(R1)           ; track
4$:     BIT  #40,(R1)
        BEQ  4$
        TST  (R1)
        BMI  fault
        MOV  #3,(R1)            ; empty the buffer
5$:     TSTB (R1)
        BPL  6$
        MOVB 2(R1),(R2)+
        BR   5$
6$:     BIT  #40,(R1)
        BEQ  5$
        CMPB (R3)+,(R3)+        ; the sector after the next: R3 grows by 2
        CMP  R3,#9.
        BNE  1$
        CLR  R0
        CLR  PC
