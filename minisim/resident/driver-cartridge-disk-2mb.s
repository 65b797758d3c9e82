; Driver: cartridge disk of the 2.5 MB class.
;
; Every driver has these:
;   ready   unit number in R0: keeps it, makes the device ready
;   read    block in R0 to 512 bytes at R1; C is set where it can't be read
;   write   the same to the medium
;   unit    the unit number
; They change R2 to R5 and keep R0 and R1.  DMA goes to the first 32 K words.

control  = 177404               ; errors, control, count, bus address, disk address: control and the next ones are used

ready:  MOV  R0,unit
        SWAB R0
        ASL  R0                 ; the unit stands in bits 15 to 13
        ASL  R0
        ASL  R0
        ASL  R0
        ASL  R0
        MOV  R0,drive
        MOV  #1,@#control       ; control reset
        RTS  PC

write:  MOV  #3,R3              ; function 1 and GO
        BR   move
read:   MOV  #5,R3              ; function 2 and GO
move:   MOV  R0,R2
        MOV  drive,R4
1$:     SUB  #12.,R2            ; twelve sectors a track
        BLO  2$
        ADD  #20,R4             ; the next surface, then the next cylinder
        BR   1$
2$:     ADD  #12.,R2
        ADD  R4,R2
        MOV  #control+10,R4
        MOV  R2,-(R4)           ; disk address
        MOV  R1,-(R4)           ; bus address
        MOV  #-256.,-(R4)       ; count
        MOV  R3,-(R4)
3$:     TSTB (R4)
        BPL  3$
        TST  (R4)
        BMI  4$
        CLC
        RTS  PC
4$:     MOV  #1,(R4)            ; an error stands until control reset
5$:     TSTB (R4)
        BPL  5$
        SEC
        RTS  PC

unit:   .word 0
drive:  .word 0
