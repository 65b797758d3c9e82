; What the programs for storage devices share: waiting, interrupts, memory around a transfer, patterns, one way out.
; All of it leaves R4 alone; R4 is the address of the device's first register wherever a case begins.
;
;       ground                          SP at the start of `run`, which does MOV SP,ground
;       JSR PC,answer   R0: address     C set: nobody answers there
;       JSR R5,allans   .word text, words       a case: so many registers from `at` on answer, or the pass ends
;       JSR R5,named    .word name, value, place    as `want`, and a failure says by name what the word is
;       JSR R5,namedat  .word name, place, place    as `wantat`
;       JSR R5,until    .word offset, bits, tens        waits until one of the bits is 1; C set: it never is
;       JSR PC,hole     `gap`: an address of the I/O page where nobody answers; C set: there is none
;       JSR PC,calm                     bus initialise, after what was printed has left; vectors as before
;       JSR R5,close                    the end of a subroutine with cases: here its last one may be repeated
;       JMP quit                        the end of the pass: nothing more can be tested
;       JSR PC,watch                    the vectors `by` and `by` + 4 count in `rung` and `rung2`, from 0
;       JSR R5,lower    .word PS        for a short time at this PS
;       JSR R5,walk     .word text, offset, bits        each bit of a register written as 1, then as 0: two words;
;                                       the bits in `walkor` are written as 1 always
;       JSR PC,wash                     all words from `front` to `rear` hold `dull`
;       JSR R5,clean    .word from, to  they still do, from here to before there
;       JSR PC,fill     R0: seed, R1: words     a pattern in `buffer`
;       JSR PC,same     R0: seed, R1: words     `buffer` holds it
;       JSR PC,remark   R0: text        a line of the program's own, in the first pass only
;       JSR PC,digits   R0: number, R1: behind the last place, R2: how many     octal digits into a text

dull    = 165432                ; what words hold that nothing should touch
step    = 30715                 ; from one word of a pattern to the next: all bits change often

ground: .word   0
rung:   .word   0
rung2:  .word   0

named:  MOV     (R5)+,nname
        MOV     (R5)+,nwant
        BR      naming
namedat: MOV    (R5)+,nname
        MOV     @(R5)+,nwant
naming: MOV     @(R5)+,ngot
        CMP     nwant,ngot
        BEQ     4$
        MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     #nline,R1
        MOV     nname,R0
        JSR     PC,5$
        MOV     #nis,R0
        JSR     PC,5$
        MOV     ngot,R0
        JSR     PC,8$
        MOV     #nnot,R0
        JSR     PC,5$
        MOV     nwant,R0
        JSR     PC,8$
        TST     nbits
        BEQ     3$
        CLR     nbits
        MOV     #nxor,R0
        JSR     PC,5$
        MOV     nwant,R0
        BIC     ngot,R0
        BIC     nwant,ngot
        BIS     ngot,R0
        JSR     PC,8$
3$:     CLRB    (R1)
        JSR     R5,bad
        .word   nline
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        MOV     (SP)+,R0
4$:     RTS     R5
5$:     MOVB    (R0)+,(R1)+
        BNE     5$
        DEC     R1
        RTS     PC
8$:     ADD     #6,R1
        MOV     #6,R2
        JSR     PC,digits
        ADD     #6,R1
        RTS     PC
nname:  .word   0
nwant:  .word   0
ngot:   .word   0
nbits:  .word   0               ; not 0: tell the bits that differ, once
nis:    .asciz  / is /
nnot:   .asciz  /, not /
nxor:   .asciz  /, xor /
nline:  . = . + 100
        .even

answer: CLR     silent
        MOV     #2$,@#4
        TST     (R0)
1$:     JSR     R5,rearm
        .word   4
        ROR     silent
        RTS     PC
2$:     CMP     (SP)+,(SP)+
        INC     silent
        BR      1$
silent: .word   0

allans: MOV     (R5)+,1$
        MOV     (R5)+,4$
        MOV     R5,5$           ; the stack does not keep it where the case is repeated
        JSR     R5,next
1$:     .word   0
        MOV     5$,R5
        MOV     4$,R3
        MOV     at,R0
2$:     JSR     PC,answer
        BCS     3$
        TST     (R0)+
        DEC     R3
        BNE     2$
        RTS     R5
3$:     MOV     R0,placel
        MOV     #3,placeh
        INC     placed
        JSR     R5,bad
        .word   tnobod
        CLR     placed
        JMP     quit
4$:     .word   0
5$:     .word   0
tnobod: .asciz  /nobody answers there/
        .even

; From the bottom of the page: first places that are rarely used.
hole:   MOV     #160000,R0
1$:     JSR     PC,answer
        BCS     2$
        TST     (R0)+
        BNE     1$
        SEC
        RTS     PC
2$:     MOV     R0,gap
        CLC
        RTS     PC
gap:    .word   0

until:  MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     R3,-(SP)
        MOV     (R5)+,R0
        ADD     at,R0
        MOV     (R5)+,R1
        MOV     (R5)+,R2
1$:     CLR     R3
2$:     BIT     R1,(R0)
        BNE     3$
        DEC     R3
        BNE     2$
        DEC     R2
        BNE     1$
        SEC
        BR      4$
3$:     CLC
4$:     MOV     (SP)+,R3
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        MOV     (SP)+,R0
        RTS     R5

; The last character printed must have left the line: bus initialise may cut it off.
calm:   MOV     R0,-(SP)
        MOV     #20000,R0
        TST     speaks
        BEQ     2$
1$:     TSTB    @#177564
        BPL     1$
2$:     NOP
        DEC     R0
        BNE     2$
        RESET
        MOV     by,R0
        BEQ     3$
        JSR     PC,4$
        JSR     PC,4$
3$:     MOV     (SP)+,R0
        RTS     PC
4$:     MOV     R0,(R0)
        ADD     #stubs,(R0)+
        MOV     #340,(R0)+
        RTS     PC

close:  TST     failed
        BEQ     1$
        CLR     failed
        MOV     R0,-(SP)
        JSR     PC,look
        BIT     #2,R0
        BNE     2$
        MOV     (SP)+,R0
1$:     RTS     R5
2$:     MOV     (SP)+,R0
        MOV     level,SP
        MOV     loop,R5
        RTS     R5

quit:   JSR     R5,close
        JSR     PC,calm
        MOV     ground,SP
        RTS     PC

watch:  MOV     R0,-(SP)
        CLR     rung
        CLR     rung2
        MOV     by,R0
        BEQ     1$
        MOV     #rang,(R0)+
        MOV     #340,(R0)+
        MOV     #rang2,(R0)+
        MOV     #340,(R0)
1$:     MOV     (SP)+,R0
        RTS     PC
rang:   INC     rung
        RTI
rang2:  INC     rung2
        RTI

; Pulses of a line clock that can't be kept off go by unseen.
lower:  MOV     R0,-(SP)
        MOV     #pulse,@#100
        MOV     (R5)+,-(SP)
        MOV     #1$,-(SP)
        RTI
1$:     MOV     #10,R0
2$:     DEC     R0
        BNE     2$
        MOV     #340,-(SP)
        MOV     #3$,-(SP)
        RTI
3$:     JSR     R5,rearm
        .word   100
        MOV     (SP)+,R0
        RTS     R5
pulse:  RTI

walk:   MOV     (R5)+,wtext
        MOV     (R5)+,wplace
        ADD     at,wplace
        MOV     (R5)+,wbits
        MOV     #1,wbit
1$:     BIT     wbit,wbits
        BEQ     2$
        MOV     wtext,3$
        JSR     R5,next
3$:     .word   0
        MOV     wbit,wgot
        BIS     walkor,wgot
        MOV     wgot,@wplace
        MOV     @wplace,wgot
        MOV     wbits,R1        ; other bits may be anything
        COM     R1
        BIC     R1,wgot
        JSR     R5,wantat
        .word   wbit, wgot
        MOV     wbits,R0
        BIC     wbit,R0
        MOV     R0,wwant
        BIS     walkor,R0
        MOV     R0,@wplace
        MOV     @wplace,wgot
        MOV     wbits,R1
        COM     R1
        BIC     R1,wgot
        JSR     R5,wantat
        .word   wwant, wgot
2$:     ASL     wbit
        BNE     1$
        JSR     R5,close
        MOV     walkor,@wplace
        CLR     walkor
        RTS     R5
walkor: .word   0
wtext:  .word   0
wplace: .word   0
wbits:  .word   0
wbit:   .word   0
wwant:  .word   0
wgot:   .word   0

; --- memory and patterns --------------------------------------------------------------------------------------------

wash:   MOV     R0,-(SP)
        MOV     #front,R0
1$:     MOV     #dull,(R0)+
        CMP     R0,#rear
        BLO     1$
        MOV     (SP)+,R0
        RTS     PC

clean:  MOV     R0,-(SP)
        MOV     (R5)+,R0
        CMP     R0,(R5)
        BHIS    3$
1$:     CMP     (R0),#dull
        BNE     2$
        TST     (R0)+
        CMP     R0,(R5)
        BLO     1$
        BR      3$
2$:     MOV     R0,placel       ; tell the first one by its address
        CLR     placeh
        INC     placed
        MOV     (R0),wgot
        JSR     R5,want
        .word   dull, wgot
        CLR     placed
3$:     MOV     (SP)+,R0
        TST     (R5)+
        RTS     R5

fill:   MOV     R2,-(SP)
        MOV     #buffer,R2
1$:     MOV     R0,(R2)+
        ADD     #step,R0
        DEC     R1
        BNE     1$
        MOV     (SP)+,R2
        RTS     PC

; The first wrong word is told, with its number.
same:   MOV     R2,-(SP)
        MOV     #buffer,R2
1$:     CMP     R0,(R2)
        BNE     2$
        TST     (R2)+
        ADD     #step,R0
        DEC     R1
        BNE     1$
        BR      3$
2$:     MOV     R0,wwant
        MOV     (R2),wgot
        MOV     R2,R0
        SUB     #buffer,R0
        ASR     R0
        MOV     #nword1,R1
        MOV     #3,R2
        JSR     PC,digits
        INC     nbits
        JSR     R5,namedat
        .word   nword, wwant, wgot
3$:     MOV     (SP)+,R2
        RTS     PC

nword:  .ascii  /word 000/
nword1: .asciz  //
        .even

digits: MOV     R3,-(SP)
1$:     MOV     R0,R3
        BIC     #177770,R3
        ADD     #'0,R3
        MOVB    R3,-(R1)
        CLC
        ROR     R0
        ASR     R0
        ASR     R0
        DEC     R2
        BNE     1$
        MOV     (SP)+,R3
        RTS     PC

; `name`: a sentence of R0, in the first pass only.
remark: TST     pass
        BNE     1$
        MOV     R0,-(SP)
        MOV     #name,R0
        JSR     PC,print
        MOV     #colon,R0
        JSR     PC,print
        MOV     (SP)+,R0
        JSR     PC,print
        JSR     PC,line
1$:     RTS     PC
