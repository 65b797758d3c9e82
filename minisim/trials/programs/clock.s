; device: line-clock
; with: ticks

; The line clock: one register, 177546, vector 100 [line-clock-manual].  Boards differ, and the program finds out:
; whether the register can be read, and whether bit 7 tells of ticks.  Left out: on some an interrupt clears bit 7 too.

device  = 177546
vector  = 100
name:   .asciz  /clock/
about:  .asciz  /the line clock: its register, even ticks, interrupts and priority/
        .even

run:    JSR     PC,delay
        CLR     turns
        JSR     PC,probe
        TST     reads
        BEQ     1$
        JSR     PC,bits
        TST     monit
        BEQ     1$
        JSR     PC,polls
1$:     JSR     PC,comes
        TST     turns           ; nothing else makes sense without a tick
        BEQ     2$
        JSR     PC,even
        JSR     PC,each
        JSR     PC,keeps
        JSR     PC,stops
2$:     MOV     #0,@at
        MOV     by,3$
        JSR     R5,rearm
3$:     .word   100
        RTS     PC

enable: MOV     #100,@at
        RTS     PC
quiet:  MOV     #0,@at          ; CLR would read it first on some (D35)
        RTS     PC

; Before RESET: the last letter must be out.
delay:  CLR     R0
1$:     DEC     R0
        BNE     1$
2$:     DEC     R0
        BNE     2$
        RTS     PC

; Can it be read, and has it a monitor?  RESET sets bit 7 where there is one; if not, a tick will.
probe:  JSR     R5,next
        .word   hreset
        CLR     reads
        CLR     monit
        MOV     #100,@at
        RESET
        MOV     #2$,@#4
        MOV     @at,R1
        INC     reads
        JSR     R5,rearm
        .word   4
        MOV     R1,cell
        BIC     #200,cell
        JSR     R5,want         ; no enable, and nothing else
        .word   0, cell
        CLR     R0
1$:     TSTB    @at
        BMI     3$
        DEC     R0
        BNE     1$
        RTS     PC
2$:     CMP     (SP)+,(SP)+
        JSR     R5,rearm
        .word   4
        RTS     PC
3$:     INC     monit
        RTS     PC

; Bit 6 keeps what is written, the others do not.  Priority is 7.
bits:   JSR     R5,next
        .word   hbits
        MOV     #100,@at
        MOV     @at,cell
        BIC     #200,cell
        JSR     R5,want
        .word   100, cell
        MOV     #177777,@at
        MOV     @at,cell
        BIC     #200,cell
        JSR     R5,want
        .word   100, cell
        MOV     #0,@at
        MOV     @at,cell
        BIC     #200,cell
        JSR     R5,want
        .word   0, cell
        RTS     PC

; Bit 7: cleared by writing 0, not set by writing 1, set by the next tick; even intervals.
polls:  JSR     R5,next
        .word   hclear
        MOV     #0,@at
        TSTB    @at
        BPL     1$
        MOV     #0,@at          ; a tick may just have come; two do not
        MOV     @at,cell
        JSR     R5,want
        .word   0, cell
1$:     JSR     R5,next
        .word   hone
        MOV     #0,@at
        MOV     #200,@at
        TSTB    @at
        BPL     2$
        MOV     #0,@at
        MOV     #200,@at
        MOV     @at,cell
        JSR     R5,want
        .word   0, cell
2$:     JSR     R5,next
        .word   hpolls
        JSR     PC,poll
        TST     R0
        BNE     3$
        JSR     R5,bad
        .word   tdead
        RTS     PC
3$:     JSR     PC,poll
        MOV     R0,turns
        MOV     #6,left
4$:     JSR     PC,poll
        JSR     PC,alike
        MOV     R0,turns
        DEC     left
        BNE     4$
        RTS     PC

; R0: turns until bit 7 is set; 0: never.
poll:   CLR     R0
        MOV     #0,@at
1$:     INC     R0
        BEQ     2$
        TSTB    @at
        BPL     1$
2$:     RTS     PC

; Without enable, by the program or by RESET, nothing comes.
stops:  JSR     R5,next
        .word   hstops
        JSR     PC,fresh
        JSR     PC,quiet
        JSR     PC,silent
        JSR     R5,next
        .word   hrests
        JSR     PC,delay
        JSR     PC,fresh
        JSR     PC,enable
        RESET
silent: JSR     R5,setps
        .word   140
        CLR     came
        JSR     PC,during
        JSR     PC,during
        JSR     R5,setps
        .word   340
        JSR     R5,want
        .word   0, came
        RTS     PC

reads:  .word   0
monit:  .word   0
cell:   .word   0
hreset: .asciz  /bits of the register after RESET/
hbits:  .asciz  /bit 6 can be written and read, others not/
hclear: .asciz  /writing 0 clears bit 7/
hone:   .asciz  /writing 1 does not set bit 7/
hpolls: .asciz  /bit 7 is set by each tick, evenly/
hstops: .asciz  /no interrupt without bit 6/
hrests: .asciz  /no interrupt after RESET/
        .even
