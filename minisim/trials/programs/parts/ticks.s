; A clock that interrupts through 100 for each pulse of the mains, with or without a register.  The program says
;       enable          a subroutine: lets it interrupt
;       quiet           a subroutine: stops it, if that can be done
; Every wait ends after 65536 turns of its loop, which is longer than 20 ms on any of these processors.
; One interrupt for each pulse, level 6: [line-clock-manual].  One-level processors look at bit 7 of PS alone.

; PS from the word behind.
setps:  MOV     (R5)+,psneed
        MOV     psneed,-(SP)
        MOV     #1$,-(SP)
        RTI
1$:     RTS     R5

; Its interrupts are counted.
catch:  IOT                     ; notes the codes
        MOV     codes,psin
        INC     came
        MOV     (SP),hpc
        MOV     2(SP),hps
        JSR     PC,enable       ; clears the monitor where there is one
        RTI

; Everything for the next case: `by` leads to `catch`, with codes 12.
fresh:  MOV     by,R0
        MOV     #catch,(R0)+
        MOV     #352,(R0)
        CLR     came
        RTS     PC

; R0: turns until the next interrupt; 0: none came.  Priority must be low.  The loop is from `turn` to `turned`.
until:  CLR     came
        CLR     R0
turn:   INC     R0
        BEQ     turned
        TST     came
        BEQ     turn
turned: RTS     PC

; `turns` turns of such a loop, whatever comes.
during: MOV     turns,R0
1$:     DEC     R0
        BEQ     2$
        TST     none
        BEQ     1$
2$:     RTS     PC

; It comes at priority 3, and saves what it should.
comes:  JSR     R5,next
        .word   hcomes
        JSR     PC,fresh
        JSR     PC,enable
        JSR     R5,setps
        .word   141
        JSR     PC,until
        MOV     R0,turns
        JSR     R5,setps
        .word   340
        JSR     PC,quiet
        TST     turns
        BNE     1$
        JSR     R5,bad
        .word   tdead
        RTS     PC
1$:     JSR     R5,want
        .word   1, came
        JSR     R5,want
        .word   12, psin
        BIC     #177577,hps     ; the priority: bits 6 and 5 are not everywhere
        JSR     R5,want
        .word   0, hps
        CMP     hpc,#turn
        BLO     2$
        CMP     hpc,#turned
        BLOS    3$
2$:     JSR     R5,want
        .word   turn, hpc
3$:     RTS     PC

; Six intervals: each differs by less than an eighth from the one before.
even:   JSR     R5,next
        .word   heven
        JSR     PC,fresh
        JSR     PC,enable
        JSR     R5,setps
        .word   140
        JSR     PC,until        ; a whole one begins here
        JSR     PC,until
        MOV     R0,turns
        MOV     #6,left
1$:     JSR     PC,until
        JSR     PC,alike
        MOV     R0,turns
        DEC     left
        BNE     1$
        JSR     R5,setps
        .word   340
        JMP     quiet

; R0, an interval, must be like `turns`, the one before.
alike:  MOV     R0,R1
        BEQ     1$
        SUB     turns,R1
        BPL     2$
        NEG     R1
2$:     ASL     R1
        BCS     1$
        ASL     R1
        BCS     1$
        ASL     R1
        BCS     1$
        CMP     R1,R0
        BLOS    3$
1$:     MOV     R0,found1
        JSR     R5,wantat
        .word   turns, found1
3$:     RTS     PC

; So many interrupts as intervals: 8, or one more or less.
each:   JSR     R5,next
        .word   heach
        JSR     PC,fresh
        JSR     PC,enable
        JSR     R5,setps
        .word   140
        JSR     PC,until
        MOV     #10,left
        CLR     came
1$:     JSR     PC,during
        DEC     left
        BNE     1$
        JSR     R5,setps
        .word   340
        JSR     PC,quiet
        CMP     came,#7
        BLO     2$
        CMP     came,#11
        BLOS    3$
2$:     JSR     R5,want
        .word   10, came
3$:     RTS     PC

; Priority 7 and 6 keep it out; 5 does not, unless only bit 7 counts, and then 4 does too.
keeps:  MOV     #340,prio
        JSR     PC,kept
        MOV     #300,prio
        JSR     PC,kept
        JSR     R5,next
        .word   hfive
        MOV     #200,prio
        JSR     PC,watch
        MOV     came,at4
        MOV     #240,prio
        JSR     PC,watch
        CMP     came,at4        ; both or none
        BEQ     1$
        JSR     R5,bad
        .word   tfive
1$:     JMP     quiet
kept:   JSR     R5,next
        .word   hkept
        JSR     PC,watch
        JSR     R5,want
        .word   0, came
        JSR     R5,next         ; it waits, and comes when the priority goes down
        .word   hlets
        JSR     PC,enable
        JSR     R5,setps
        .word   140
        NOP
        NOP
        NOP
        JSR     R5,setps
        .word   340
        JSR     PC,quiet
        CMP     came,#2         ; another one may just have followed
        BEQ     1$
        JSR     R5,want
        .word   1, came
1$:     RTS     PC

; Two intervals at priority `prio`; came: 0 or 1.
watch:  JSR     PC,fresh
        JSR     PC,enable
        MOV     prio,1$
        JSR     R5,setps
1$:     .word   0
        CLR     came
        JSR     PC,during
        JSR     PC,during
        JSR     R5,setps
        .word   340
        TST     came
        BEQ     2$
        MOV     #1,came
2$:     RTS     PC

came:   .word   0
hpc:    .word   0
hps:    .word   0
psin:   .word   0
psneed: .word   0
prio:   .word   0
turns:  .word   0
left:   .word   0
found1: .word   0
at4:    .word   0
none:   .word   0
hcomes: .asciz  /a tick interrupts at priority 3/
heven:  .asciz  /an interval, in turns of a loop, like the one before/
heach:  .asciz  /one interrupt for each tick: 8 intervals/
hkept:  .asciz  /priority 6 and 7 keep the tick out/
hlets:  .asciz  /a tick that was kept out comes when the priority goes down/
hfive:  .asciz  /priority 5 lets the tick in/
tdead:  .asciz  /the clock did not tick/
tfive:  .asciz  /it comes at priority 4, but not at 5/
        .even
