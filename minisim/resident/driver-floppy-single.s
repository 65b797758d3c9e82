; Driver: 8-inch floppy, single density.  What a driver is: driver-cartridge-disk-2mb.s.
; needs: floppy-common.s
; A block is four sectors of 128 bytes, in logical order.

status   = 177170               ; the data register is the next word

ready:  MOV  R0,unit
        ASL  R0                 ; unit 1 is bit 4
        ASL  R0
        ASL  R0
        ASL  R0
        MOV  R0,drive
        RTS  PC

write:  MOV  #5,R3              ; function 2 and GO
        BR   move
read:   MOV  #7,R3              ; function 3 and GO
move:   MOV  R3,way
        MOV  R1,-(SP)
        MOV  R0,-(SP)
        MOV  #status,R4
        MOV  R0,R2
        ASL  R2
        ASL  R2
        MOV  R2,sector
        MOV  #4,left
1$:     CMP  way,#5
        BNE  2$
        MOV  #1,R5              ; function 0: fill the buffer
        JSR  PC,begin
        JSR  PC,bytes
2$:     MOV  sector,R2
        JSR  PC,place
        MOV  way,R5
        BIS  drive,R5
        JSR  PC,begin
        JSR  PC,asked
        MOV  R2,2(R4)
        JSR  PC,asked
        MOV  R3,2(R4)
        JSR  PC,end
        BCS  4$
        CMP  way,#5
        BEQ  3$
        MOV  #3,R5              ; function 1: empty the buffer
        JSR  PC,begin
        JSR  PC,bytes
3$:     INC  sector
        DEC  left
        BNE  1$
        CLC
4$:     MOV  (SP)+,R0
        MOV  (SP)+,R1
        RTS  PC

; Bytes between memory at R1 and the buffer, as long as the controller asks.
bytes:  TSTB (R4)
        BPL  2$
        CMP  way,#5
        BEQ  1$
        MOVB 2(R4),(R1)+
        BR   bytes
1$:     MOVB (R1)+,2(R4)
        BR   bytes
2$:     BIT  #40,(R4)
        BEQ  bytes
        RTS  PC

begin:  BIT  #40,(R4)           ; DONE: a function may be given
        BEQ  begin
        MOV  R5,(R4)
        RTS  PC
