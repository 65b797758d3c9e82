; Driver: cartridge disk of the 5 and 10 MB class.  What a driver is: driver-cartridge-disk-2mb.s.
;
; The controller seeks by differences and reads within one track only; a block is two sectors of it.

control  = 174400               ; control, bus address +2, disk address +4, count and header +6

ready:  MOV  R0,unit
        SWAB R0
        MOV  R0,drive           ; the unit stands in bits 9 and 8
        MOV  #control,R4
        BR   clear

write:  MOV  #12,R3             ; function 5
        BR   move
read:   MOV  #14,R3             ; function 6
move:   MOV  #control,R4
        MOV  R3,-(SP)
        MOV  R0,R2
        CLR  R5
1$:     SUB  #20.,R2            ; twenty blocks a track
        BLO  2$
        ADD  #100,R5            ; the other head, then the next cylinder
        BR   1$
2$:     ADD  #20.,R2
        ASL  R2                 ; two sectors a block
        ADD  R5,R2              ; disk address of the block
        MOV  #10,R5             ; function 4: read header, to see where the arm stands
        JSR  PC,do
        BCS  6$
        MOV  6(R4),R3
        BIC  #177,R3            ; cylinders stand in bits 15 to 7
        MOV  R2,R5
        BIC  #177,R5
        SUB  R5,R3
        BLO  3$
        BIS  #1,R3              ; back
        BR   4$
3$:     NEG  R3
        BIS  #5,R3              ; bit 2: to higher cylinders
4$:     BIT  #100,R2
        BEQ  5$
        BIS  #20,R3             ; head 1
5$:     MOV  R3,4(R4)
        MOV  #6,R5              ; function 3: seek
        JSR  PC,do
        BCS  6$
        MOV  R2,4(R4)
        MOV  R1,2(R4)
        MOV  #-256.,6(R4)
        MOV  (SP),R5
        JSR  PC,do
        BCS  6$
        TST  (SP)+
        RTS  PC
6$:     TST  (SP)+
clear:  MOV  #13,4(R4)          ; get status, and clear the errors of the drive
        MOV  #4,R5
        JSR  PC,do
        SEC
        RTS  PC

; A function of R5 on the drive, when its arm stands; C is set on an error.
do:     BIS  drive,R5
        MOV  R5,(R4)            ; ready is written as 0: that starts it
1$:     TSTB (R4)
        BPL  1$
        TST  (R4)
        BMI  3$
2$:     BIT  #1,(R4)            ; drive ready
        BEQ  2$
        CLC
        RTS  PC
3$:     SEC
        RTS  PC

unit:   .word 0
drive:  .word 0
