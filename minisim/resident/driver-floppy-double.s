; Driver: 8-inch floppy, double density.  What a driver is: driver-cartridge-disk-2mb.s.
; needs: floppy-common.s
; A block is two sectors of 256 bytes, in logical order.

status   = 177170               ; the data register is the next word
double   = 400                  ; density, in the status register

ready:  MOV  R0,unit
        ASL  R0                 ; unit 1 is bit 4
        ASL  R0
        ASL  R0
        ASL  R0
        BIS  #double,R0
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
        MOV  R2,sector
        MOV  #2,left
1$:     CMP  way,#5
        BNE  2$
        MOV  #1,R5              ; function 0: fill the buffer
        JSR  PC,buffer
        BCS  4$
2$:     MOV  sector,R2
        JSR  PC,place
        MOV  way,R5
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
        JSR  PC,buffer
        BCS  4$
3$:     ADD  #256.,R1
        INC  sector
        DEC  left
        BNE  1$
        CLC
4$:     MOV  (SP)+,R0
        MOV  (SP)+,R1
        RTS  PC

buffer: JSR  PC,begin
        JSR  PC,asked
        MOV  #128.,2(R4)        ; words
        JSR  PC,asked
        MOV  R1,2(R4)
        BR   end

begin:  BIT  #40,(R4)           ; DONE: a function may be given
        BEQ  begin
        BIS  drive,R5
        MOV  R5,(R4)
        RTS  PC
