; Loads an absolute paper tape frame by frame, checks every block, and starts what it brought.
;
; One of two short files comes before this one and says where things are:
;   reader   status register of the reader: DONE is bit 7, enable bit 0, ERROR bit 15 where the reader has it;
;            the data register is the next word
;   begin    where a processor starts
;   frames   where the ten words of the subroutine go
; (boot-reader.s for the fast reader, boot-terminal.s for the reader of the console terminal.)
;
; Ends in the program, or in HALT: behind a transfer block with an odd address, when the reader reports ERROR, and
; after the word "checksum" when a block does not add up to 0.
;
; The only memory it writes beside the tape's own is the word at 776, where a return address stands.

transmit = 177564               ; transmit status of the console; its data register is the next word

        . = frames
frame:  INC  (R1)               ; enable: the reader moves on by one frame
1$:     TST  (R1)
        BMI  stop               ; out of tape, or off line
        TSTB (R1)
        BPL  1$                 ; not yet DONE
        CLR  R0
        BISB 2(R1),R0           ; the frame, without the sign a MOVB would spread
        ADD  R0,R2              ; the low byte of R2 is the sum of the block
        RTS  PC

        . = begin
start:  MOV  #1000,SP
        MOV  #reader,R1
        MOV  #frame,R5          ; a call through a register is one word shorter
next:   CLR  R2
        JSR  PC,(R5)
        DEC  R0                 ; a block begins with 001; all before it is passed over
        BNE  next
        JSR  PC,(R5)            ; 000
        JSR  PC,(R5)            ; count, low and high, to R3
        MOV  R0,R3
        JSR  PC,(R5)
        SWAB R0
        BIS  R0,R3
        JSR  PC,(R5)            ; address, low and high, to R4
        MOV  R0,R4
        JSR  PC,(R5)
        SWAB R0
        BIS  R0,R4
        SUB  #6,R3              ; the count includes the six frames read so far
        BLOS last               ; a count below 6 can't be right either: its sum will tell
1$:     JSR  PC,(R5)
        MOVB R0,(R4)+
        DEC  R3
        BNE  1$
        JSR  PC,(R5)            ; checksum
        TSTB R2
        BEQ  next

bad:    MOV  #text,R0
1$:     TSTB @#transmit
        BPL  1$
        MOVB (R0)+,@#transmit+2
        BNE  1$                 ; the 000 behind the text goes out too, so that all before it has left the line
stop:   HALT

last:   JSR  PC,(R5)            ; checksum of the transfer block
        TSTB R2
        BNE  bad
        BIT  #1,R4
        BNE  stop
        JMP  (R4)

text:   .asciz /checksum/<12>
        .even
