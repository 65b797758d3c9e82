; The end of every boot ROM that reads sectors: the word `fault`, then HALT; continue tries again.
; (A line feed and one fill character follow the word, so that its last letter has left the line before the halt.)

fault:  MOV  #text,R0
1$:     TSTB @#177564
        BPL  1$
        MOVB (R0)+,@#177566
        BNE  1$
        HALT
        BR   start
text:   .asciz /fault/<12>
        .even
