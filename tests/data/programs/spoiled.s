; Its second case wants a wrong sum on purpose.
name:   .asciz  /spoiled/
about:  .asciz  /wants a wrong sum/
        .even
device  = 0
vector  = 0
run:    JSR     R5,next
        .word   tadd
        IOT
        JSR     R5,next
        .word   tadd
        MOV     #2,R0           ; two and three
        ADD     #3,R0
        IOT
        JSR     R5,want
        .word   6, kept0
        RTS     PC
tadd:   .asciz  /2 + 3/
        .even
