; device: serial-line
; person: Put the loop-back plug on the line (its output on its input). Not the line of the console.
; with: cases serial

; A serial line with a loop-back plug: for boards without a maintenance bit, and for the drivers and receivers that the
; maintenance bit leaves out.

device  = 176500
vector  = 300
name:   .asciz  /serial-plug/
about:  .asciz  /a serial line with a loop-back plug/
        .even
loopbt: .word   0
