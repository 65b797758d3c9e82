; Driver: serial block tape on the first line after the console.  What a driver is: driver-cartridge-disk-2mb.s.
;
; A command is a packet of 14 bytes; data come and go in packets of 128 bytes; an end packet closes it.  Each packet has
; a check word: the sum of its words, the carry added in again.

port     = 176500               ; receive status; data, transmit status and data follow

ready:  MOV  R0,unit
        MOV  #port,R4
wake:   INC  4(R4)              ; break, for longer than a character
        CLR  R0
        JSR  PC,give
        JSR  PC,give
        JSR  PC,idle
        DEC  4(R4)
        TST  2(R4)              ; what came meanwhile
        MOV  #4,R0              ; INIT, twice
        JSR  PC,give
        JSR  PC,give
1$:     JSR  PC,fetch
        CMPB R0,#20             ; CONTINUE
        BNE  1$
        RTS  PC

write:  MOV  #3,R3
        BR   move
read:   MOV  #2,R3
move:   MOV  R0,-(SP)
        MOV  R1,-(SP)
        MOV  #port,R4
        MOV  R0,block
        MOVB R3,opcode
        MOVB unit,tape
        MOV  #packet,R1
        MOV  #12.,R5
        JSR  PC,send
        MOV  (SP),R1            ; the buffer
        CMPB opcode,#3
        BEQ  2$
1$:     JSR  PC,fetch             ; read: data packets, then the end
        CMPB R0,#1
        BNE  5$
        JSR  PC,data
        BNE  6$
        BR   1$
2$:     MOV  #4,left            ; write: a packet each time the drive says go on
3$:     JSR  PC,fetch
        CMPB R0,#20
        BNE  5$
        DEC  left
        BMI  3$
        CLR  R2                 ; sum
        MOV  #100001,R0         ; flag 001, 128 bytes
        ADD  R0,R2
        JSR  PC,give
        SWAB R0
        JSR  PC,give
        MOV  #128.,R5
        JSR  PC,more
        BR   3$
5$:     CMPB R0,#2              ; the end packet
        BNE  6$
        MOV  #13.,R5            ; its other bytes; the success code is the third
7$:     JSR  PC,fetch
        CMP  R5,#11.
        BNE  8$
        MOVB R0,R3
8$:     DEC  R5
        BNE  7$
        TSTB R3
        BMI  9$                 ; 0 and 1 are good
        CLC
        BR   10$
6$:     JSR  PC,wake            ; out of step: begin anew
9$:     SEC
10$:    MOV  (SP)+,R1
        MOV  (SP)+,R0
        RTS  PC

; The rest of a data packet to R1 and up; Z says whether its check word is right.
data:   JSR  PC,fetch             ; count
        MOVB R0,R5
        BIC  #177400,R5
        MOV  R5,R2
        SWAB R2
        INC  R2                 ; the first word of the sum: flag and count
1$:     JSR  PC,fetch
        MOVB R0,(R1)+
        BIC  #177400,R0
        BIT  #1,R1              ; the low byte of a pair comes first
        BNE  2$
        SWAB R0
2$:     ADD  R0,R2
        ADC  R2
        DEC  R5
        BNE  1$
        JSR  PC,fetch
        MOVB R0,R5
        BIC  #177400,R5
        JSR  PC,fetch
        SWAB R0
        CLRB R0
        BIS  R0,R5
        CMP  R5,R2
        RTS  PC

; R5 bytes from R1 on and their check word.
send:   CLR  R2
more:   MOVB (R1)+,R0
        BIC  #177400,R0
        JSR  PC,give
        BIT  #1,R1
        BNE  1$
        SWAB R0
1$:     ADD  R0,R2
        ADC  R2
        DEC  R5
        BNE  more
        MOV  R2,R0
        JSR  PC,give
        SWAB R0
give:    TSTB 4(R4)
        BPL  give
        MOVB R0,6(R4)
        RTS  PC

idle:   TSTB 4(R4)
        BPL  idle
        RTS  PC

fetch:    TSTB (R4)
        BPL  fetch
        MOVB 2(R4),R0
        RTS  PC

packet: .byte 2, 12             ; flag, count of what follows
opcode: .byte 0, 0
tape:   .byte 0, 0
        .word 0                 ; sequence
        .word 512.              ; bytes
block:  .word 0
unit:   .word 0
left:   .word 0
