; The frame that stands in front of every test program.  It counts cases and passes, compares, and tells what was found.
; It needs the base instructions, 177564/177566 if there is a console line, and nothing else: no operating system, no
; interrupts, no arithmetic options.  A processor that fails in here is for the program `first`, which has no frame.
;
; A program's own source follows and defines
;       name    .asciz, its short name          about   .asciz, what it tests, in one sentence
;       run     a subroutine (JSR PC,run): one pass
;       device  address of its first register, or 0;   vector  its vector, or 0
;
; What a program uses:
;       JSR R5,next     .word text              the next case begins; `text` says what it tests
;       IOT                                     notes the condition codes in `codes`, R0 to R5 and SP in kept0 to kept6
;       JSR R5,want     .word value, place      the word at `place` must be `value`
;       JSR R5,wantat   .word place, place      the word at the second place must be that at the first
;       JSR R5,wantcc   .word codes             N Z V C as 10 4 2 1, as the last IOT noted them
;       JSR R5,bad      .word text              a failure without two words to compare
;       JSR R5,rearm    .word vector            the vector tells of unexpected traps again (20: notes again)
;       JSR PC,look                             R0: the switches
;       print (R0: text), octal (R0: word), decimal (R0: number), line: each by JSR PC; all registers are kept
;       placed, placeh, placel                  placed not 0: a failure names this memory address (bits 21-16, 15-0)
; A case may leave any registers; SP must stand where it stood.  Everything runs at priority 7.

        . = 1000
start:  JMP     begin           ; 001000  start here, also to start over
soft:   .word   0               ; 001004  switches in memory, joined with those at 177570 if there are any:
                                ;         1 halt after a failure   2 repeat a case that failed   4 do not tell failures
passes: .word   0               ; 001006  so many passes, then halt; 0: for ever
at:     .word   device          ; 001010  first register of the device under test
by:     .word   vector          ; 001012  its vector
unit:   .word   0               ; 001014  unit or drive
spare:  .word   0               ; 001016  what the program says it is

begin:  MOV     #1000,SP
        RESET
        MOV     #340,-(SP)      ; priority 7, on every processor the same way
        MOV     #1$,-(SP)
        RTI
1$:     JSR     PC,arm
        CLR     speaks          ; is there a console line?
        MOV     #2$,@#4
        TST     @#177564
        INC     speaks
        BR      3$
2$:     CMP     (SP)+,(SP)+
3$:     CLR     hard            ; are there switches?
        MOV     #4$,@#4
        TST     @#177570
        INC     hard
        BR      5$
4$:     CMP     (SP)+,(SP)+
5$:     JSR     R5,rearm
        .word   4
        CLR     pass
        CLR     placed
        MOV     #name,R0
        JSR     PC,print
        MOV     #colon,R0
        JSR     PC,print
        MOV     #about,R0
        JSR     PC,print
        JSR     PC,line

again:  CLR     case
        CLR     failed
        CLR     faults
        JSR     PC,run
ranout: JSR     R5,next         ; here the last case may be repeated
        .word   colon
        DEC     case
        INC     pass
        MOV     #name,R0
        JSR     PC,print
        MOV     #ended,R0
        JSR     PC,print
        MOV     pass,R0
        JSR     PC,decimal
        MOV     #comma,R0
        JSR     PC,print
        MOV     case,R0
        JSR     PC,decimal
        MOV     #tcases,R0
        JSR     PC,print
        MOV     faults,R0
        JSR     PC,decimal
        MOV     #tfault,R0
        JSR     PC,print
        JSR     PC,line
        TST     passes
        BEQ     again
        CMP     pass,passes
        BLO     again
done:   HALT                    ; all passes are made; continue starts over
        JMP     begin

; --- cases ----------------------------------------------------------------------------------------------------------

next:   MOV     R0,-(SP)
        TST     failed
        BEQ     1$
        CLR     failed
        JSR     PC,look
        BIT     #2,R0
        BNE     2$
1$:     MOV     (R5)+,text
        MOV     R5,loop
        INC     case
        MOV     (SP)+,R0
        MOV     SP,level
        RTS     R5
2$:     MOV     (SP)+,R0
        MOV     #ranout,@#776     ; where `run` returns to: the last case is repeated from behind it
        MOV     level,SP
        MOV     loop,R5
        RTS     R5

; IOT comes here.
noting: MOV     2(SP),codes
        BIC     #177760,codes
        MOV     R0,kept0
        MOV     R1,kept1
        MOV     R2,kept2
        MOV     R3,kept3
        MOV     R4,kept4
        MOV     R5,kept5
        CMP     (SP)+,(SP)+     ; SP as it was before the IOT
        MOV     SP,kept6
        CMP     -(SP),-(SP)
        RTI

want:   MOV     (R5)+,wanted
        BR      compar
wantcc: MOV     (R5)+,wanted
        MOV     codes,found
        BR      judge
wantat: MOV     @(R5)+,wanted
compar: MOV     @(R5)+,found
judge:  CMP     wanted,found
        BEQ     1$
        JSR     PC,tell
1$:     RTS     R5

bad:    MOV     (R5)+,reason
        JSR     PC,tell
        RTS     R5

; --- telling --------------------------------------------------------------------------------------------------------

; A failure: of `reason` if there is one, else of `wanted` and `found`.
tell:   INC     failed
        INC     faults
        MOV     R0,-(SP)
        JSR     PC,look
        BIT     #4,R0
        BNE     4$
        MOV     #name,R0
        JSR     PC,print
        MOV     #tfail,R0
        JSR     PC,print
        MOV     case,R0
        JSR     PC,decimal
        MOV     #colon,R0
        JSR     PC,print
        MOV     text,R0
        JSR     PC,print
        JSR     PC,line
        TST     reason
        BEQ     1$
        MOV     #blank,R0
        JSR     PC,print
        MOV     reason,R0
        JSR     PC,print
        BR      2$
1$:     MOV     #texp,R0
        JSR     PC,print
        MOV     wanted,R0
        JSR     PC,octal
        MOV     #tfound,R0
        JSR     PC,print
        MOV     found,R0
        JSR     PC,octal
        MOV     #txor,R0
        JSR     PC,print
        JSR     PC,differ
2$:     TST     placed
        BEQ     3$
        MOV     #tat,R0
        JSR     PC,print
        JSR     PC,where
3$:     JSR     PC,line
4$:     CLR     reason
        JSR     PC,look
        BIT     #1,R0
        BEQ     going
halted: HALT                    ; a failure was told; continue goes on
going:  MOV     (SP)+,R0
        RTS     PC

; `wanted` xor `found`, and the numbers of its bits.
differ: MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     wanted,R1
        MOV     found,R0
        BIC     found,R1
        BIC     wanted,R0
        BIS     R0,R1
        MOV     R1,R0
        JSR     PC,octal
        MOV     #tbits,R0
        JSR     PC,print
        CLR     R2
1$:     CLC
        ROR     R1
        BCC     2$
        MOV     #blank,R0
        JSR     PC,print
        MOV     R2,R0
        JSR     PC,decimal
2$:     INC     R2
        TST     R1
        BNE     1$
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        RTS     PC

; An unexpected trap: the stub of its vector leads here, R5 behind it.
caught: SUB     #stubs+4,R5
        MOV     R5,R4
        MOV     #name,R0
        JSR     PC,print
        MOV     #ttrap,R0
        JSR     PC,print
        MOV     R4,R0
        JSR     PC,octal
        MOV     #tpc,R0
        JSR     PC,print
        MOV     2(SP),R0
        JSR     PC,octal
        MOV     #tps,R0
        JSR     PC,print
        MOV     4(SP),R0
        JSR     PC,octal
        MOV     #tcase,R0
        JSR     PC,print
        MOV     case,R0
        JSR     PC,decimal
        JSR     PC,line
trappd: HALT                    ; a trap that nobody waited for; continue starts over
        JMP     begin

; All vectors from 0 to 374 lead to a stub of their own.
arm:    MOV     #stubs,R1
        CLR     R0
1$:     MOV     R1,(R0)+
        MOV     #340,(R0)+
        MOV     #4537,(R1)+     ; JSR R5,@#caught
        MOV     #caught,(R1)+
        CMP     R0,#400
        BLO     1$
        MOV     #noting,@#20
        RTS     PC

rearm:  MOV     R0,-(SP)
        MOV     (R5)+,R0
        CMP     R0,#20
        BNE     1$
        MOV     #noting,(R0)+
        BR      2$
1$:     MOV     R0,(R0)
        ADD     #stubs,(R0)+
2$:     MOV     #340,(R0)
        MOV     (SP)+,R0
        RTS     R5

look:   MOV     soft,R0
        TST     hard
        BEQ     1$
        BIS     @#177570,R0
1$:     RTS     PC

; --- printing -------------------------------------------------------------------------------------------------------

line:   MOV     R0,-(SP)
        MOV     #crlf,R0
        JSR     PC,print
        MOV     (SP)+,R0
        RTS     PC

print:  MOV     R0,-(SP)
        TST     speaks
        BEQ     3$
1$:     TSTB    (R0)
        BEQ     3$
2$:     TSTB    @#177564
        BPL     2$
        MOVB    (R0)+,@#177566
        BR      1$
3$:     MOV     (SP)+,R0
        RTS     PC

; R0: one character
letter: TST     speaks
        BEQ     2$
1$:     TSTB    @#177564
        BPL     1$
        MOVB    R0,@#177566
2$:     RTS     PC

; Six octal digits of R0.
octal:  MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     R0,R1
        MOV     #6,R2
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
        JSR     PC,letter
        DEC     R2
        BNE     1$
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        MOV     (SP)+,R0
        RTS     PC

; Eight octal digits: bits 21-16 in placeh, 15-0 in placel.
where:  MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     R3,-(SP)
        MOV     placel,R1
        MOVB    placeh,R2
        SWAB    R2              ; bits 23-16 to the top, 15-8 behind them
        CLRB    R2
        SWAB    R1
        BISB    R1,R2
        CLRB    R1              ; the low byte at the top of the second word
        MOV     #8.,R3
1$:     CLR     R0
        JSR     PC,9$
        JSR     PC,9$
        JSR     PC,9$
        ADD     #'0,R0
        JSR     PC,letter
        DEC     R3
        BNE     1$
        MOV     (SP)+,R3
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        MOV     (SP)+,R0
        RTS     PC
9$:     ASL     R1
        ROL     R2
        ROL     R0
        RTS     PC

; R0 as a decimal number without leading zeros.
decimal: MOV    R0,-(SP)
        MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     R3,-(SP)
        MOV     R0,R1
        MOV     #powers,R2
        CLR     R3              ; a digit was printed
1$:     CLR     R0
2$:     CMP     R1,(R2)
        BLO     3$
        SUB     (R2),R1
        INC     R0
        BR      2$
3$:     BIS     R0,R3
        BNE     4$
        CMP     (R2),#1         ; the last digit always
        BNE     5$
4$:     ADD     #'0,R0
        JSR     PC,letter
        MOV     #1,R3
5$:     CMP     (R2)+,#1
        BNE     1$
        MOV     (SP)+,R3
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        MOV     (SP)+,R0
        RTS     PC
powers: .word   10000., 1000., 100., 10., 1

; --- words and texts ------------------------------------------------------------------------------------------------

pass:   .word   0               ; passes made
case:   .word   0               ; number of the present case, also how many there were
faults: .word   0               ; failures of this pass
failed: .word   0               ; not 0: the present case failed
text:   .word   0               ; what it tests
loop:   .word   0               ; where it begins
level:  .word   0               ; SP there
wanted: .word   0
found:  .word   0
reason: .word   0
speaks: .word   0               ; there is a console line
hard:   .word   0               ; there are switches
placed: .word   0
placeh: .word   0
placel: .word   0
codes:  .word   0
kept0:  .word   0
kept1:  .word   0
kept2:  .word   0
kept3:  .word   0
kept4:  .word   0
kept5:  .word   0
kept6:  .word   0
stubs:  . = . + 400

colon:  .asciz  /: /
comma:  .asciz  /, /
blank:  .asciz  / /
crlf:   .asciz  <15><12>
ended:  .asciz  /: end of pass /
tcases: .asciz  / cases, /
tfault: .asciz  / failures/
tfail:  .asciz  /: failed, case /
texp:   .asciz  / expected /
tfound: .asciz  /, found /
txor:   .asciz  /, xor /
tbits:  .asciz  /, bits/
tat:    .asciz  /, at /
ttrap:  .asciz  /: unexpected trap through /
tpc:    .asciz  /, PC /
tps:    .asciz  /, PS /
tcase:  .asciz  /, case /
        .even
