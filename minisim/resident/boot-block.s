; Block 0 of a medium with the resident program: brings the program from the blocks behind it and starts it.
;
; A boot ROM puts this block at 0 and jumps there, with the unit in R0.  A driver stands behind it; what a driver is
; for, and how it is called, stands at the top of driver-cartridge-disk-2mb.s.

first    = 1                    ; block where the program begins
behind   = 20                   ; block behind its last one
program  = 1000                 ; where it goes

        . = 0
start:  MOV  #program,SP
        JSR  PC,ready
        MOV  #first,R0
        MOV  #program,R1
1$:     JSR  PC,read
        BCS  2$
        ADD  #1000,R1           ; 512 bytes
        INC  R0
        CMP  R0,#behind
        BNE  1$
        MOV  unit,R0
        JMP  @#program
2$:     HALT                    ; the program can't be read; the block is in R0
        BR   start
