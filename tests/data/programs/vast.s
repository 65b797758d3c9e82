; memory: 3000
; frame: no
        . = 1000
start:
done:   HALT
