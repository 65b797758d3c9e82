; Boot ROM: cartridge disk of the 2.5 MB class, drive 0.  Reads block 0 to 0 and jumps there with R0 = 0, R1 = 177404.
; `begin` says where it starts; boot-fault.s stands behind it.

        . = begin
start:  MOV  #177414,R1
        CLR  -(R1)              ; drive 0, cylinder 0, surface 0, sector 0
        CLR  -(R1)              ; bus address 0
        MOV  #-256.,-(R1)       ; one sector
        MOV  #5,-(R1)           ; read, GO
1$:     TSTB (R1)
        BPL  1$
        TST  (R1)
        BMI  fault
        CLR  R0
        CLR  PC
