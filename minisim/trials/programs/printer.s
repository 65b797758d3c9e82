; device: line-printer
; person: Put the printer on line with paper in it, and look at what it prints: 95 lines, each begins one character further.
; with: cases

; The line printer: status, interrupts, and a rolling pattern that a person looks at.  Status bits and when it
; interrupts: [printer-handbook-1983]; vector and ready after loading: from memory, firm.

device  = 177514
vector  = 200
status  = 0                     ; from R4
data    = 2
name:   .asciz  /printer/
about:  .asciz  /the line printer: status, interrupts, and a pattern to look at/
        .even

run:    MOV     at,R4
        JSR     R5,next
        .word   tansw
        CLR     gone
        MOV     #1$,@#4
        TST     status(R4)
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
3$:     JSR     R5,next
        .word   tline
        MOV     status(R4),R0
        BIC     #77577,R0
        MOV     R0,found
        MOV     #200,wanted
        JSR     R5,judge
        CMP     wanted,found
        BNE     9$
        JSR     R5,next         ; enable, until RESET
        .word   trest
        MOV     #100,status(R4)
        MOV     status(R4),R0
        BIC     #177677,R0
        MOV     R0,was
        JSR     PC,hushed
        RESET
        MOV     status(R4),R0
        BIC     #77477,R0
        MOV     R0,found
        JSR     R5,want
        .word   100, was
        MOV     status(R4),R0
        BIC     #77477,R0
        MOV     R0,was
        JSR     R5,want
        .word   200, was
        JSR     R5,next         ; loading takes ready away, and it comes back
        .word   tready
        MOV     #15,data(R4)
        MOV     status(R4),R0
        BIC     #177577,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        JSR     PC,ready
        TST     gone
        BNE     9$
        JSR     PC,intrs
        JSR     PC,rolls
9$:     CLR     status(R4)
        MOV     by,R0
        MOV     R0,10$
        JSR     R5,rearm
10$:    .word   0
        RTS     PC

; Waits until it is ready: paper moves may take a second or two.
ready:  MOV     #200,R1
        CLR     R0
1$:     TSTB    status(R4)
        BMI     2$
        DEC     R0
        BNE     1$
        DEC     R1
        BNE     1$
        INC     gone
        JSR     R5,bad
        .word   tnever
2$:     RTS     PC

intrs:  JSR     R5,next
        .word   tint
        JSR     PC,arms
        JSR     PC,lowpri
        MOV     #100,status(R4) ; it is ready: at once, and once
        JSR     PC,wait
        JSR     PC,highpr
        JSR     R5,want
        .word   1, hits
        JSR     R5,next
        .word   tintag
        JSR     PC,lowpri
        MOV     #15,data(R4)
        JSR     PC,wait
        JSR     PC,highpr
        CLR     status(R4)
        JSR     R5,want
        .word   2, hits
        JSR     R5,next
        .word   tintn
        JSR     PC,arms
        JSR     PC,lowpri
        MOV     #15,data(R4)
        JSR     PC,wait
        JSR     PC,highpr
        JSR     R5,want
        .word   0, hits
        JMP     ready
arms:   MOV     by,R1
        MOV     #goti,(R1)+
        MOV     #340,(R1)
        CLR     hits
        RTS     PC
goti:   INC     hits
        RTI
wait:   MOV     #10,R1
        CLR     R0
1$:     DEC     R0
        BNE     1$
        DEC     R1
        BNE     1$
        RTS     PC

; 95 lines of 80 characters, each begins one further; then a new page.
rolls:  JSR     R5,next
        .word   troll
        MOV     #40,R3
1$:     MOV     R3,R2
        MOV     #80.,width
2$:     JSR     PC,emit
        INC     R2
        CMP     R2,#177
        BLO     3$
        MOV     #40,R2
3$:     DEC     width
        BNE     2$
        MOV     #15,R2
        JSR     PC,emit
        MOV     #12,R2
        JSR     PC,emit
        TST     gone
        BNE     9$
        INC     R3
        CMP     R3,#177
        BLO     1$
        MOV     #14,R2
        JSR     PC,emit
9$:     RTS     PC
emit:   TST     gone
        BNE     9$
        JSR     PC,ready
        MOV     R2,data(R4)
        TST     status(R4)      ; error: off line, no paper
        BPL     9$
        INC     gone
        JSR     R5,bad
        .word   tstop
9$:     RTS     PC

gone:   .word   0
was:    .word   0
hits:   .word   0
width:  .word   0
tansw:  .asciz  /its status answers/
tnansw: .asciz  /nobody answers/
tline:  .asciz  /ready, no error: it is on line/
trest:  .asciz  /interrupt enable, until RESET/
tready: .asciz  /a character takes ready away, and it comes back/
tnever: .asciz  /it does not get ready/
tint:   .asciz  /ready interrupts through its vector, once/
tintag: .asciz  /ready that comes back interrupts again/
tintn:  .asciz  /not enabled: no interrupt/
troll:  .asciz  /95 lines are printed/
tstop:  .asciz  /the error bit came while it printed/
        .even
