; device: cartridge-disk-2mb
; scratch: yes
; Says whether its medium may be written, and writes the first sector if so.
name:   .asciz  /scratch/
about:  .asciz  /writes one sector/
        .even
device  = 177400
vector  = 0
run:    JSR     R5,next
        .word   tmay
        JSR     PC,look
        BIT     #10,R0
        BNE     1$
        JSR     R5,bad
        .word   tnot
1$:     JSR     R5,next
        .word   twrite
        MOV     at,R1
        MOV     #177400,6(R1)   ; 256 words
        MOV     #1000,10(R1)    ; from here
        CLR     12(R1)          ; to the first sector
        MOV     unit,R0
        SWAB    R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        MOV     R0,12(R1)
        MOV     #3,4(R1)        ; write, go
        CLR     R2
2$:     TSTB    4(R1)
        BMI     3$
        DEC     R2
        BNE     2$
3$:     MOV     4(R1),R0
        BPL     4$
        JSR     R5,bad
        .word   terr
4$:     RTS     PC
tmay:   .asciz  /may the medium be written?/
tnot:   .asciz  /nobody said so/
twrite: .asciz  /a sector is written/
terr:   .asciz  /the drive tells of an error/
        .even
