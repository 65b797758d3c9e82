; device: serial-line
; with: cases serial

; A serial line, the console's too, by its maintenance bit.  Four-line boards and some others have none: then only what
; needs no character back is tested, and the program says so.

device  = 177560
vector  = 60
name:   .asciz  /serial/
about:  .asciz  /a serial line, its output led back to its input by the maintenance bit/
        .even
loopbt: .word   4
