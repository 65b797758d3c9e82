; How words of memory are tested: shared by the programs that test memory below and above 28K words.
;
; test: JSR PC with R0 = kind (0, 2, 4, 6: see `kinds`; 12: as 6 in a fourth of the time, R4 = pass), R1 = first address, R2 = address behind the last word.
; It gives Z = 1 if all is well; else R3 = the address, R0 = the word expected there, R4 = the word found.
; R5 is used too.  It may stand anywhere in memory (the program for low memory copies it elsewhere), and uses the stack
; and no other memory than what it tests.
;
; The patterns are arithmetic, with no source: each word holds something else than its neighbours and than any word
; whose address differs in one bit; each bit is written and read as 0 and as 1 going up and going down; each byte is
; written while the other one of its word is looked at; a single 1 goes through each bit of each word.

test:   ADD     R0,PC
        BR      tsaddr
        BR      tsmarc
        BR      tsbyte
        JMP     tswalk
        JMP     tswal4

; Address in address, and its complement.
tsaddr: MOV     R1,R3
1$:     MOV     R3,(R3)
        ADD     #2,R3
        CMP     R3,R2
        BLO     1$
        MOV     R1,R3
2$:     MOV     (R3),R4
        MOV     R3,R0
        CMP     R0,R4
        BNE     tsbad
        COM     R0
        MOV     R0,(R3)
        ADD     #2,R3
        CMP     R3,R2
        BLO     2$
        MOV     R1,R3
3$:     MOV     (R3),R4
        MOV     R3,R0
        COM     R0
        CMP     R0,R4
        BNE     tsbad
        ADD     #2,R3
        CMP     R3,R2
        BLO     3$
tsgood: SEZ
tsbad:  RTS     PC              ; Z is 0: a comparison failed

; Marching zeros and ones: fill with 0; up: 0 to 1; up: 1 to 0; down: 0 to 1; down: 1 to 0; all are 0.
tsmarc: CLR     R0
        JSR     PC,tsfill
        JSR     PC,tsup
        BNE     tsbad
        COM     R0
        JSR     PC,tsup
        BNE     tsbad
        COM     R0
        JSR     PC,tsdown
        BNE     tsbad
        COM     R0
        JSR     PC,tsdown
        BNE     tsbad
        COM     R0
; All words are R0?
tssame: MOV     R1,R3
1$:     MOV     (R3),R4
        CMP     R0,R4
        BNE     tsbad
        ADD     #2,R3
        CMP     R3,R2
        BLO     1$
        BR      tsgood

tsfill: MOV     R1,R3
1$:     MOV     R0,(R3)+
        CMP     R3,R2
        BLO     1$
        RTS     PC
; Each word is R0, and becomes its complement.
tsup:   MOV     R0,R5
        COM     R5
        MOV     R1,R3
1$:     MOV     (R3),R4
        CMP     R0,R4
        BNE     tsbad
        MOV     R5,(R3)+
        CMP     R3,R2
        BLO     1$
        BR      tsgood
tsdown: MOV     R0,R5
        COM     R5
        MOV     R2,R3
1$:     SUB     #2,R3
        MOV     (R3),R4
        CMP     R0,R4
        BNE     tsbad
        MOV     R5,(R3)
        CMP     R3,R1
        BHI     1$
        BR      tsgood

; Bytes: the low ones, then the high ones, then the low ones again.
tsbyte: CLR     R0
        JSR     PC,tsfill
        MOV     #377,R5
        MOV     R5,R0
        CLR     R4
        JSR     PC,tslane
        BNE     tsbad
        MOV     #252,R5
        MOV     #125377,R0
        MOV     #1,R4
        JSR     PC,tslane
        BNE     tsbad
        MOV     #63,R5
        MOV     #125063,R0
        CLR     R4
        JSR     PC,tslane
        BNE     tsbad
        MOV     #314,R5         ; and the high ones once more, upper bits the other way
        MOV     #146063,R0
        MOV     #1,R4
; R5 into each byte at an address with bit 0 as in R4; each word is R0 then?  The byte read alone too.
tslane: MOV     R1,R3
        ADD     R4,R3
1$:     MOVB    R5,(R3)
        ADD     #2,R3
        CMP     R3,R2
        BLO     1$
        MOV     R1,R3
        ADD     R4,R3
2$:     CMPB    R5,(R3)
        BNE     3$
        ADD     #2,R3
        CMP     R3,R2
        BLO     2$
        BR      tssame
3$:     SUB     R4,R3           ; to the word
        MOV     (R3),R4
        CLZ
        RTS     PC

; A single 1: in each word the next bit; sixteen times, each time one bit further.
tswalk: MOV     #1,R5
1$:     JSR     PC,tsturn
        BNE     9$
        ASL     R5
        BCC     1$
        SEZ
9$:     RTS     PC
; The same four times, each time four bits further; the pass says where it begins.
tswal4: BIC     #177774,R4
        MOV     #1,R5
1$:     DEC     R4
        BMI     2$
        ASL     R5
        BR      1$
2$:     JSR     PC,tsturn
        BNE     9$
        ASL     R5
        ASL     R5
        ASL     R5
        ASL     R5
        BNE     2$
9$:     RTS     PC
; Once, R5 in the first word.
tsturn: MOV     R5,R0
        MOV     R1,R3
2$:     MOV     R0,(R3)+
        ASL     R0
        ADC     R0
        CMP     R3,R2
        BLO     2$
        MOV     R5,R0
        MOV     R1,R3
3$:     MOV     (R3),R4
        CMP     R0,R4
        BNE     4$
        ADD     #2,R3
        ASL     R0
        ADC     R0
        CMP     R3,R2
        BLO     3$
        SEZ
4$:     RTS     PC
tsend:

kinds:  .word   tkaddr, tkmarc, tkbyte, tkwalk, 0
tkaddr: .asciz  /each word holds its own address, then the complement/
tkmarc: .asciz  /marching zeros and ones, up and down/
tkbyte: .asciz  /each byte by itself/
tkwalk: .asciz  /a single 1 through all bits/
        .even

; --- where memory is ------------------------------------------------------------------------------------------------

; R1 = first address, R2 = address behind: what of it answers, looked at in steps of 128 words.  Gives R1 and R2 of the
; first stretch that does; equal if there is none.
finds:  MOV     #3$,@#4
1$:     CMP     R1,R2           ; the first that answers
        BHIS    5$
        CLR     R3
        MOV     (R1),(R1)
        TST     R3
        BEQ     2$
        ADD     #400,R1
        BR      1$
2$:     MOV     R1,R4           ; the first behind it that does not
21$:    ADD     #400,R4
        CMP     R4,R2
        BHIS    5$
        MOV     (R4),(R4)
        TST     R3
        BEQ     21$
        MOV     R4,R2
        BR      5$
3$:     INC     R3
        RTI
5$:     JSR     R5,rearm
        .word   4
        RTS     PC

; Tells what `test` gave.
amiss:  MOV     R0,wanted
        MOV     R4,found
        JSR     R5,judge
        CLR     placed
        RTS     PC
