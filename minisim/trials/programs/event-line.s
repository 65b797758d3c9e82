; device: event-line
; with: ticks

; The event line of processors that have no clock register of their own (firm).  A board that holds the line down until
; bit 6 of 177546 is written (unconfirmed) is told to let it go.

device  = 177546
vector  = 100
name:   .asciz  /event-line/
about:  .asciz  /the event line: it ticks evenly, and priority keeps it out/
        .even

run:    JSR     PC,comes
        TST     turns           ; nothing else makes sense without a tick
        BEQ     1$
        JSR     PC,even
        JSR     PC,each
        JSR     PC,keeps
1$:     JSR     R5,rearm
        .word   100
        RTS     PC

enable: MOV     @#4,-(SP)
        MOV     #1$,@#4
        MOV     #100,@#177546
        BR      2$
1$:     CMP     (SP)+,(SP)+
2$:     MOV     (SP)+,@#4
quiet:  RTS     PC
