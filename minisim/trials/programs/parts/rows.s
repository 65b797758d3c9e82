; What the programs with tables of rows share (eis, fis, fpp, cis): comparing, the text of a failure, repeating a case.
; Such a program has
;       compos  a subroutine that writes the text of a failure into `buffer`: opens, spell, then closes; R0: what of it
;       head    the text before it      cc      codes of the row, two octal digits each: ignored, expected, before
;       work    a word for what is to be compared       seed    of `random`, never 0
; and uses
;       JSR PC,alike    R0: what of it; the word at (R1) must be that at (R2).  Only a failure writes its text
;       JSR PC,ccrow    leaves the codes that count in `codes` and those expected in `work`, R1 and R2 pointing at them
;       JMP finish      the end of a case: here it is repeated if it failed and that is wanted, before the words of its
;                       loop go on

finish: TST     failed
        BEQ     1$
        JSR     PC,look
        BIT     #2,R0
        BEQ     1$
        JSR     R5,next
        .word   buffer
1$:     RTS     PC

alike:  CMP     (R1),(R2)
        BEQ     agreed
        MOV     R1,place
        MOV     (R2),place-2
        MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     R3,-(SP)
        MOV     R4,-(SP)
        JSR     PC,compos
        JSR     R5,want
        .word   0
place:  .word   0
        MOV     (SP)+,R4
        MOV     (SP)+,R3
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        MOV     (SP)+,R0
agreed: RTS     PC

ccrow:  MOV     cc,R0
        SWAB    R0              ; IIEE of IIEEGG: bits 15-12 and 9-6
        ASR     R0
        ASR     R0
        ASR     R0
        ASR     R0
        BIC     #177760,R0
        BIC     R0,codes
        MOV     cc,R2
        ASL     R2
        ASL     R2
        SWAB    R2
        BIC     #177760,R2
        BIC     R0,R2
        MOV     R2,work
        MOV     #codes,R1
        MOV     #work,R2
        RTS     PC

; R3 goes along the buffer: `head` first, keeping R0.
opens:  MOV     #buffer,R3
        MOV     R0,-(SP)
        MOV     head,R0
        JSR     PC,copy
        MOV     (SP)+,R0
        RTS     PC
; A comma, and the text at R0; the end.
closes: MOVB    #54,(R3)+
        MOVB    #40,(R3)+
        JSR     PC,copy
        CLRB    (R3)
        RTS     PC
copy:   MOVB    (R0)+,(R3)+
        BNE     copy
        DEC     R3
        RTS     PC
; R1 as a blank and six octal digits; R0 and R4 are lost.
spell:  MOVB    #40,(R3)+
        MOV     #6,R4
        CLR     R0
        BR      2$
1$:     CLR     R0
        ASL     R1
        ROL     R0
        ASL     R1
        ROL     R0
2$:     ASL     R1
        ROL     R0
        ADD     #'0,R0
        MOVB    R0,(R3)+
        DEC     R4
        BNE     1$
        RTS     PC

; R0: the next number of a shift register of 16 bits.
random: MOV     #7,R1
        MOV     seed,R0
1$:     CLC
        ROR     R0
        BCC     2$
        MOV     #132000,R2      ; exclusive or
        BIC     R0,R2
        BIC     #132000,R0
        BIS     R2,R0
2$:     DEC     R1
        BNE     1$
        MOV     R0,seed
        RTS     PC
