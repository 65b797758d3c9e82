; person: put the loop-back plug on
; frame: no
        . = 1000
start:
done:   HALT
