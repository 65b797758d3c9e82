; Reads where nothing answers.
name:   .asciz  /trapping/
about:  .asciz  /reads where nothing answers/
        .even
device  = 0
vector  = 0
run:    JSR     R5,next
        .word   tread
        CLR     R1
        TST     @#163776        ; nobody answers here
        RTS     PC
tread:  .asciz  /a read/
        .even
