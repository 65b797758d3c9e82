; frame: no
; Jumps where nothing is: it never comes to its end.
        . = 1000
start:  CLR     R0              ; nothing to count
        BR      .
done:   HALT
