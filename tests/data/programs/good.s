; Adds two words: three cases, all of which hold.
name:   .asciz  /good/
about:  .asciz  /adds two words/
        .even
device  = 0
vector  = 0
run:    JSR     R5,next
        .word   tadd
        MOV     #2,R0
        ADD     #3,R0
        IOT
        JSR     R5,want
        .word   5, kept0
        JSR     R5,wantcc
        .word   0
        JSR     R5,next
        .word   tadd
        MOV     #177777,R0
        ADD     #1,R0
        IOT
        JSR     R5,want
        .word   0, kept0
        JSR     R5,next
        .word   tadd
        IOT
        JSR     R5,wantcc
        .word   0
        RTS     PC
tadd:   .asciz  /ADD of two words/
        .even
