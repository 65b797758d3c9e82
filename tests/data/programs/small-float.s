; needs: fis
; frame: no
        . = 1000
start:
done:   HALT
