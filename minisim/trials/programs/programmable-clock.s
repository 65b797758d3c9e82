; device: programmable-clock
; with: cases

; The programmable clock.  Registers, single and repeat mode, rates: [programmable-clock-manual]; bits, ERROR, vector:
; from memory, firm.  How long a count takes is measured in turns of a loop and compared: a count of 300 at 10 kHz takes
; ten times as long as at 100 kHz (arithmetic; a fifth more or less is let pass).  Left out, because the documents leave
; it open: what else than time clears DONE, whether the counter is loaded with the preset buffer, the maintenance bit.
; External events are left out: they need a cable.

device  = 172540
vector  = 104
status  = 0                     ; from R4
preset  = 2
counter = 4
name:   .asciz  /programmable-clock/
about:  .asciz  /the programmable clock: modes, rates, counter and interrupt/
        .even

run:    MOV     at,R4
        JSR     R5,next
        .word   tansw
        CLR     gone
        MOV     #1$,@#4
        TST     status(R4)
        TST     counter(R4)
        BR      2$
1$:     ADD     #4,SP
        INC     gone
2$:     JSR     R5,rearm
        .word   4
        TST     gone
        BEQ     3$
        JSR     R5,bad
        .word   tnansw
        RTS     PC
3$:     JSR     PC,holds
        JSR     PC,atrest
        JSR     PC,single
        TST     gone
        BNE     9$
        JSR     PC,rates
        JSR     PC,upward
        JSR     PC,falls
        JSR     PC,again2
        JSR     PC,late
        JSR     PC,mains
        JSR     PC,inter
9$:     CLR     status(R4)
        TST     status(R4)
        MOV     by,R0
        MOV     R0,10$
        JSR     R5,rearm
10$:    .word   0
        RTS     PC

; Bits that hold what is written, while it does not run.
holds:  MOV     #held,R3
1$:     JSR     R5,next
        .word   tholds
        MOV     (R3),status(R4)
        MOV     (R3),wanted
        MOV     status(R4),R0
        BIC     #177601,R0
        MOV     R0,found
        JSR     R5,judge
        JSR     R5,repeat
        TST     (R3)+
        BNE     1$
        RTS     PC
held:   .word   2, 4, 10, 20, 100, 136, 112, 124, 0

atrest: JSR     R5,next
        .word   trest
        MOV     #177777,preset(R4)
        MOV     #115,status(R4) ; interrupt enable, repeat, mains, run
        JSR     PC,hushed
        RESET
        MOV     status(R4),R0
        BIC     #177401,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        MOV     status(R4),R0   ; it does not run
        BIC     #177776,R0
        MOV     R0,found
        JSR     R5,judge
        RTS     PC

; Counts R1 in mode R2 until DONE: R0 = the status then, took = turns (low word, high word tookh).
counts: CLR     status(R4)
        TST     status(R4)
        MOV     R1,preset(R4)
        CLR     took
        CLR     tookh
        MOV     R2,status(R4)
1$:     MOV     status(R4),R0
        TSTB    R0
        BMI     2$
        INC     took
        BNE     1$
        INC     tookh
        CMP     tookh,#20
        BLO     1$
        INC     gone
2$:     RTS     PC

single: JSR     R5,next
        .word   tsing
        MOV     #300.,R1
        MOV     #1,R2           ; down, single, 100 kHz, run
        JSR     PC,counts
        TST     gone
        BEQ     1$
        JSR     R5,bad
        .word   tnever
        RTS     PC
1$:     MOV     took,fast
        BIC     #177576,R0      ; DONE, and run has dropped
        MOV     R0,found
        MOV     #200,wanted
        JSR     R5,judge
        MOV     counter(R4),found
        CLR     wanted
        JSR     R5,judge
        MOV     took,R0         ; and it stays
2$:     TST     counter(R4)
        BNE     3$
        DEC     R0
        BNE     2$
3$:     MOV     counter(R4),found
        JSR     R5,judge
        RTS     PC

; Ten times as long at 10 kHz; half as long for half the count.
rates:  JSR     R5,next
        .word   trates
        MOV     #300.,R1
        MOV     #3,R2
        JSR     PC,counts
        MOV     took,slow
        MOV     fast,R1
        MOV     #10.,R0
        JSR     PC,times
        JSR     R5,about5
        .word   slow
        JSR     R5,next
        .word   thalf
        MOV     #150.,R1
        MOV     #3,R2
        JSR     PC,counts
        MOV     took,half
        MOV     half,R1
        MOV     #2,R0
        JSR     PC,times
        JSR     R5,about5
        .word   slow
        RTS     PC

; Upwards from -300.
upward: JSR     R5,next
        .word   tupw
        MOV     #-300.,R1
        MOV     #23,R2
        JSR     PC,counts
        MOV     took,half
        BIC     #177576,R0
        MOV     R0,found
        MOV     #200,wanted
        JSR     R5,judge
        MOV     half,R1
        MOV     #1,R0
        JSR     PC,times
        JSR     R5,about5
        .word   slow
        RTS     PC

; The counter is read while it runs: down by 100 in a tenth of the time of 300.
falls:  JSR     R5,next
        .word   tfalls
        CLR     status(R4)
        MOV     #300.,preset(R4)
        MOV     #3,status(R4)
        MOV     #300.,R1
        CLR     R3
1$:     MOV     counter(R4),R0
        CMP     R0,R1
        BHI     3$              ; it went up
        BEQ     2$
        MOV     R1,R2
        SUB     R0,R2
        CMP     R2,#40          ; it jumped
        BHI     3$
        INC     R3
2$:     MOV     R0,R1
        TST     R0
        BEQ     4$
        TSTB    status(R4)
        BPL     1$
        BR      4$
3$:     MOV     R0,found
        MOV     R1,wanted
        JSR     R5,judge
        BR      5$
4$:     CMP     R3,#40          ; seen at many places
        BHI     5$
        JSR     R5,bad
        .word   tfew
5$:     RTS     PC

; Repeat mode: it goes on, each time as long.
again2: JSR     R5,next
        .word   tagain
        MOV     #300.,R1
        MOV     #11,R2          ; 100 kHz, repeat, run
        JSR     PC,counts
        BIC     #177576,R0      ; run stays
        MOV     R0,found
        MOV     #201,wanted
        JSR     R5,judge
        MOV     #3,R3
1$:     CLR     took
2$:     MOV     status(R4),R0
        TSTB    R0
        BMI     3$
        INC     took
        BNE     2$
        JSR     R5,bad
        .word   tnever
        BR      9$
3$:     DEC     R3
        BNE     1$
        MOV     took,half
        MOV     half,R1
        MOV     #1,R0
        JSR     PC,times
        JSR     R5,about5
        .word   fast
9$:     CLR     status(R4)
        TST     status(R4)
        RTS     PC

; Nobody looks while it comes to zero several times: ERROR.
late:   JSR     R5,next
        .word   tlate
        CLR     status(R4)
        TST     status(R4)
        MOV     #30.,preset(R4)
        MOV     #11,status(R4)
        MOV     fast,R0         ; ten counts of 30 at least
1$:     MOV     counter(R4),R1
        TSTB    R1
        INC     took
        DEC     R0
        BNE     1$
        MOV     status(R4),R0
        CLR     status(R4)
        BIC     #77577,R0
        MOV     R0,found
        MOV     #100200,wanted
        JSR     R5,judge
        TST     status(R4)
        RTS     PC

; The mains: two pulses, 17 to 40 ms as the first may come at once.  A supply without the pulses is no fault of the
; clock.
mains:  JSR     R5,next
        .word   tmains
        MOV     #2,R1
        MOV     #5,R2
        JSR     PC,counts
        TST     gone
        BEQ     1$
        CLR     gone
        TST     pass
        BNE     9$
        MOV     #tnoman,R0
        JSR     PC,print
        JMP     line
1$:     MOV     slow,R0         ; 300 at 10 kHz are 30 ms: from 0.5 to 1.5 of it
        MOV     R0,R2
        ASR     R0
        ADD     R0,R2
        MOV     took,found
        MOV     R0,wanted
        CMP     took,R0
        BLO     2$
        MOV     R2,wanted
        CMP     took,R2
        BLOS    9$
2$:     JSR     R5,judge
9$:     RTS     PC

; Interrupts: in single mode one, in repeat mode one each time; none without the enable, none at priority 7.
inter:  JSR     R5,next
        .word   tint1
        JSR     PC,arms
        MOV     #300.,R1
        MOV     #101,R2
        JSR     PC,asleep
        JSR     R5,want
        .word   1, hits
        JSR     R5,next
        .word   tintn
        JSR     PC,arms
        MOV     #300.,R1
        MOV     #111,R2
        JSR     PC,asleep
        CMP     hits,#2         ; three times as long as one count
        BHIS    1$
        JSR     R5,want
        .word   2, hits
1$:     JSR     R5,next
        .word   tint0
        JSR     PC,arms
        MOV     #300.,R1
        MOV     #1,R2
        JSR     PC,asleep
        JSR     R5,want
        .word   0, hits
        JSR     R5,next
        .word   tint7
        JSR     PC,arms
        MOV     #300.,R1
        MOV     #101,R2
        JSR     PC,counts
        JSR     R5,want
        .word   0, hits
        RTS     PC
; Counts R1 in mode R2 and waits at priority 0, three times as long as `fast`.
asleep: CLR     status(R4)
        TST     status(R4)
        MOV     R1,preset(R4)
        JSR     PC,lowpri
        MOV     R2,status(R4)
        MOV     #3,R2
1$:     MOV     fast,R0
2$:     MOV     counter(R4),R1
        TSTB    R1
        INC     took
        DEC     R0
        BNE     2$
        DEC     R2
        BNE     1$
        JSR     PC,highpr
        CLR     status(R4)
        RTS     PC
arms:   MOV     by,R1
        MOV     #gotone,(R1)+
        MOV     #340,(R1)
        CLR     hits
        RTS     PC
gotone: INC     hits
        TST     status(R4)      ; DONE goes
        RTI

; product = R0 times R1.
times:  CLR     product
1$:     ADD     R1,product
        DEC     R0
        BNE     1$
        RTS     PC
; The word at a place is `product`, a fifth more or less?
about5: MOV     @(R5)+,found
        MOV     product,R0
        CLR     R1
1$:     SUB     #5,R0           ; a fifth
        BLO     2$
        INC     R1
        BR      1$
2$:     MOV     product,wanted
        MOV     product,R0
        SUB     R1,R0
        CMP     found,R0
        BLO     3$
        ADD     R1,R0
        ADD     R1,R0
        CMP     found,R0
        BLOS    4$
3$:     JSR     R5,judge
4$:     RTS     R5

gone:   .word   0
took:   .word   0               ; turns of the loop that waits
tookh:  .word   0
fast:   .word   0               ; for 300 at 100 kHz
slow:   .word   0               ; at 10 kHz
half:   .word   0
product: .word  0
hits:   .word   0
tansw:  .asciz  /its registers answer/
tnansw: .asciz  /nobody answers/
tholds: .asciz  /status bits hold what is written/
trest:  .asciz  /RESET clears the status and stops it/
tsing:  .asciz  /single, 300 down at 100 kHz: DONE, stopped at 0/
tnever: .asciz  /it does not come to zero/
trates: .asciz  /10 kHz takes ten times as long (turns of a loop)/
thalf:  .asciz  /half the count takes half as long (turns of a loop)/
tupw:   .asciz  /upwards from -300/
tfalls: .asciz  /the counter goes down while it is read/
tfew:   .asciz  /it was seen at a few places only/
tagain: .asciz  /repeat: runs on, each time as long (turns of a loop)/
tlate:  .asciz  /zero again before anybody looked: ERROR/
tmains: .asciz  /two pulses of the mains (turns of a loop)/
tnoman: .asciz  /  no pulses of the mains: its supply may not give any/
tint1:  .asciz  /single: one interrupt/
tintn:  .asciz  /repeat: more than one interrupt/
tint0:  .asciz  /not enabled: no interrupt/
tint7:  .asciz  /none at priority 7/
        .even
