; device: floppy-single
; scratch: yes
; with: storage floppy

; The 8-inch floppy of single density: bytes go to and from the buffer in the drive box through the data register.
; Sources and what is left out: parts/floppy.s.  Left out besides: error codes, which here can only be read by a function
; whose answer is unconfirmed; function 4, which is not used.  Single density is from memory, firm.

device  = 177170
vector  = 264
outset  = 40
defect  = 3                     ; parity, data check

name:   .asciz  /floppy-single/
about:  .asciz  /registers, buffer, sectors, errors and interrupts of the single-density 8-inch floppy and its drive/
        .even
drive:  .word   0
size:   .word   64.

codeis: TST     (R5)+
        RTS     R5
rewrit: RTS     PC

; 128 bytes, each asked for; no more, no fewer.
filbuf: MOV     #fill1,R1
        JSR     PC,starts
1$:     JSR     PC,asked
        TSTB    (R4)
        BPL     ends
        MOVB    (R2)+,R1
        BIC     #177400,R1
        MOV     R1,data(R4)
        INC     bytes
        BR      1$
empbuf: MOV     #empty1,R1
        JSR     PC,starts
1$:     JSR     PC,asked
        TSTB    (R4)
        BPL     ends
        MOV     data(R4),R1
        CMP     bytes,#128.
        BHIS    2$
        MOVB    R1,(R2)+
2$:     INC     bytes
        BR      1$
ends:   JSR     PC,waits
        CLR     unaskd
        JSR     R5,named
        .word   nbytes, 128., bytes
        JMP     sound
starts: MOV     at,R4
        JSR     PC,waits
        BIS     drive,R1
        MOV     R1,(R4)
        MOV     #buffer,R2
        CLR     bytes
        RTS     PC
bytes:  .word   0

special: MOV    #tseeds,R1      ; the buffer without the diskette
1$:     MOV     R1,listat
        JSR     R5,next
        .word   tbuff
        JSR     PC,wash
        MOV     @listat,R0
        MOV     size,R1
        JSR     PC,fill
        JSR     PC,filbuf
        MOV     #2,left
2$:     JSR     PC,wash         ; emptying it leaves it as it is
        JSR     PC,empbuf
        JSR     PC,beside
        MOV     @listat,R0
        MOV     size,R1
        JSR     PC,same
        DEC     left
        BNE     2$
        JSR     R5,close
        MOV     listat,R1
        TST     (R1)+
        CMP     R1,#tseedx
        BLO     1$

        JSR     R5,next
        .word   tshake          ; GO clears DONE; a byte clears the request, which comes back
        JSR     PC,waits
        MOV     #fill1,R1
        BIS     drive,R1
        MOV     R1,(R4)
        MOV     (R4),R0
        JSR     PC,asked
        MOV     (R4),R1
        CLR     data(R4)
        MOV     (R4),R2
        JSR     PC,asked
        MOV     (R4),R3
        BIC     #177537,R0
        BIC     #177537,R1
        BIC     #177537,R2
        BIC     #177537,R3
        IOT
        JSR     R5,want
        .word   0, kept0
        JSR     R5,want
        .word   200, kept1
        JSR     R5,want
        .word   0, kept2
        JSR     R5,want
        .word   200, kept3
        JSR     R5,close
        JSR     PC,calm         ; it ends the function
        JMP     waits
left:   .word   0
tseeds: .word   0, 125252, 177777, 14631
tseedx:
nbytes: .asciz  /number of bytes asked for/
tbuff:  .asciz  /128 bytes into the buffer and out of it, twice/
tshake: .asciz  /done, and the request for a byte, come and go/
        .even

front:  . = . + 20
buffer: . = . + 200
        . = . + 20
other:  . = . + 200
        . = . + 20
rear:
