; device: multiplexer
; with: cases

; The multiplexer of eight lines, or four: by its maintenance bit each line hears what it sends.  Bits:
; [mux-driver-header]; FIFO of 64: [mux-wiki]; what they do: from memory, firm.  How many lines there are is found
; out. All at 9600 baud, 8 bits.  Terminals on the lines may see what is sent.  Left out: break, parity, other
; lengths, overrun.

device  = 160100
vector  = 300
control = 0                     ; from R4
fifo    = 2                     ; read; written: parameters
enable  = 4
data    = 6
name:   .asciz  /multiplexer/
about:  .asciz  /the multiplexer, its lines led back by the maintenance bit/
        .even

run:    MOV     at,R4
        JSR     R5,next
        .word   tansw
        CLR     gone
        MOV     #1$,@#4
        TST     control(R4)
        TST     enable(R4)
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
3$:     JSR     PC,clears
        TST     gone
        BNE     9$
        JSR     PC,holds
        JSR     PC,lines
        TST     gone
        BNE     9$
        JSR     PC,sends
        JSR     PC,queue
        JSR     PC,alarms
        JSR     PC,intrs
9$:     JSR     PC,wipe
        MOV     #400,enable(R4)
        CLR     enable(R4)
        MOV     by,R0
        MOV     R0,10$
        JSR     R5,rearm
10$:    .word   0
        MOV     by,R0
        ADD     #4,R0
        MOV     R0,11$
        JSR     R5,rearm
11$:    .word   0
        RTS     PC

; Bit 4 clears, and drops by itself.
clears: JSR     R5,next
        .word   tclear
        MOV     #50150,control(R4)
        JSR     PC,wipe
        TST     gone
        BEQ     1$
        JSR     R5,bad
        .word   tstays
        RTS     PC
1$:     MOV     control(R4),found
        CLR     wanted
        JSR     R5,judge
        MOVB    enable(R4),found
        CLRB    found+1
        JSR     R5,judge
        MOV     fifo(R4),R0     ; nothing in it
        BIC     #77777,R0
        MOV     R0,found
        JSR     R5,judge
        RTS     PC
wipe:   MOV     #20,control(R4)
        CLR     R0
1$:     BIT     #20,control(R4)
        BEQ     2$
        DEC     R0
        BNE     1$
        INC     gone
2$:     RTS     PC

holds:  MOV     #held,R3
1$:     JSR     R5,next
        .word   tholds
        MOV     (R3),control(R4)
        MOV     (R3),wanted
        MOV     control(R4),R0
        BIC     #127627,R0
        MOV     R0,found
        JSR     R5,judge
        JSR     R5,repeat
        TST     (R3)+
        BNE     1$
        JSR     R5,next         ; enables of the lines, read back
        .word   ten
        MOV     #1,R1
2$:     MOV     R1,enable(R4)
        MOV     enable(R4),R0
        BIC     #177760,R0      ; lines 0 to 3 on all boards
        MOV     R0,found
        MOV     R1,wanted
        JSR     R5,judge
        ASL     R1
        CMP     R1,#10
        BLOS    2$
        CLR     enable(R4)
        JSR     R5,next         ; RESET
        .word   trest
        MOV     #50150,control(R4)
        MOV     #1,enable(R4)
        JSR     PC,hushed
        RESET
        CLR     R0
3$:     BIT     #20,control(R4)
        BEQ     4$
        DEC     R0
        BNE     3$
4$:     MOV     control(R4),found
        CLR     wanted
        JSR     R5,judge
        MOV     enable(R4),found
        JSR     R5,judge
        RTS     PC
held:   .word   40000, 10000, 100, 10, 50110, 0

; Which lines are there: those whose enable makes the scanner find them.  Four, or all eight.
lines:  JSR     R5,next
        .word   tlines
        CLR     there
        MOV     #1,R2
        CLR     R1
1$:     JSR     PC,ready
        BNE     2$
        BIS     R2,there
        JSR     R5,numbers
2$:     INC     R1
        ASL     R2
        CMP     R2,#400
        BLO     1$
        JSR     PC,wipe
        CMP     there,#377
        BEQ     9$
        CMP     there,#17
        BEQ     8$
        MOV     there,found
        MOV     #377,wanted
        JSR     R5,judge
        TST     there
        BNE     9$
        INC     gone
        RTS     PC
8$:     TST     pass
        BNE     9$
        MOV     #tfour,R0
        JSR     PC,print
        JSR     PC,line
9$:     RTS     PC
; The scanner's number is that of the line R1.
numbers: MOV    control(R4),R0
        SWAB    R0
        BIC     #177770,R0
        MOV     R0,found
        MOV     R1,wanted
        JSR     R5,judge
        RTS     R5

; Line R1 looped, 8 bits, 9600 baud, and enabled; waits until it is offered: Z = 1.
ready:  MOV     #50,control(R4)
        MOV     R1,R0
        ADD     #17030,R0
        MOV     R0,fifo(R4)
        MOV     R2,enable(R4)
again1: CLR     R0
1$:     TST     control(R4)
        BMI     2$
        DEC     R0
        BNE     1$
        CLZ
        RTS     PC
2$:     SEZ
        RTS     PC

; 256 characters on each line.
sends:  MOV     #1,R2
        CLR     R1
1$:     BIT     R2,there
        BEQ     7$
        JSR     R5,next
        .word   tsends
        JSR     PC,ready
        CLR     R3
2$:     JSR     PC,again1
        BNE     5$
        MOV     R3,data(R4)
        CLR     R0
3$:     TSTB    control(R4)
        BMI     4$
        DEC     R0
        BNE     3$
        BR      5$
4$:     MOV     fifo(R4),found
        MOV     R1,R0
        BIS     #200,R0
        SWAB    R0
        BIS     R3,R0
        MOV     R0,wanted
        CMP     wanted,found
        BNE     6$
        INC     R3
        CMP     R3,#400
        BLO     2$
        BR      61$
5$:     JSR     R5,bad
        .word   tnever
        BR      61$
6$:     JSR     R5,judge
61$:    JSR     PC,wipe
        JSR     R5,repeat
7$:     INC     R1
        ASL     R2
        CMP     R2,#400
        BLO     1$
        RTS     PC

; 64 characters wait in order; then there is none.
queue:  JSR     R5,next
        .word   tqueue
        MOV     #1,R2
        CLR     R1
        JSR     PC,ready
        MOV     #40,R3
1$:     JSR     PC,again1
        MOV     R3,data(R4)
        INC     R3
        CMP     R3,#140
        BLO     1$
        JSR     PC,delay
        MOV     #100040,R3
2$:     MOV     fifo(R4),found
        MOV     R3,wanted
        CMP     wanted,found
        BEQ     3$
        JSR     R5,judge
        BR      4$
3$:     JSR     PC,settle
        INC     R3
        CMP     R3,#100140
        BLO     2$
4$:     MOV     fifo(R4),R0
        BIC     #77777,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        JMP     wipe
; The next word comes to the exit of the FIFO.
settle: MOV     #100,R0
1$:     DEC     R0
        BNE     1$
        RTS     PC
; Longer than three characters at 9600 baud, 3.1 ms, on every processor.
delay:  MOV     #60000,R0
1$:     DEC     R0
        BNE     1$
        RTS     PC

; With the alarm enabled: at 16 characters, not before; reading clears it.
alarms: JSR     R5,next
        .word   talarm
        MOV     #1,R2
        CLR     R1
        JSR     PC,ready
        BIS     #10000,control(R4)
        MOV     #17,R3
1$:     JSR     PC,again1
        MOV     R3,data(R4)
        DEC     R3
        BNE     1$
        JSR     PC,delay
        MOV     control(R4),R0
        BIC     #157777,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        JSR     PC,again1
        MOV     #0,data(R4)
        JSR     PC,delay
        MOV     control(R4),R0
        BIC     #157777,R0
        MOV     R0,found
        MOV     #20000,wanted
        JSR     R5,judge
        TST     fifo(R4)
        MOV     control(R4),R0
        BIC     #157777,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        JMP     wipe

; Interrupts.
intrs:  JSR     R5,next         ; transmit ready
        .word   ttxint
        JSR     PC,arms
        MOV     #1,R2
        CLR     R1
        JSR     PC,ready
        BIS     #40000,control(R4)
        JSR     PC,delay
        JSR     R5,want         ; not at priority 7
        .word   0, ntx
        JSR     PC,lowpri
        JSR     PC,delay
        JSR     PC,highpr
        JSR     R5,want
        .word   1, ntx
        JSR     R5,want
        .word   0, nrx
        JSR     PC,wipe
        JSR     R5,next         ; receive done
        .word   trxint
        JSR     PC,arms
        MOV     #1,R2
        CLR     R1
        JSR     PC,ready
        BIS     #100,control(R4)
        JSR     PC,lowpri
        MOV     #125,data(R4)
        JSR     PC,delay
        JSR     PC,highpr
        JSR     R5,want
        .word   1, nrx
        JSR     R5,want
        .word   0, ntx
        JSR     R5,want
        .word   100125, came
        JSR     PC,wipe
        JSR     R5,next         ; neither enabled
        .word   tnoint
        JSR     PC,arms
        MOV     #1,R2
        CLR     R1
        JSR     PC,ready
        JSR     PC,lowpri
        MOV     #125,data(R4)
        JSR     PC,delay
        JSR     PC,highpr
        JSR     R5,want
        .word   0, nrx
        JSR     R5,want
        .word   0, ntx
        JMP     wipe
arms:   MOV     by,R1
        MOV     #gotrx,(R1)+
        MOV     #340,(R1)+
        MOV     #gottx,(R1)+
        MOV     #340,(R1)+
        CLR     nrx
        CLR     ntx
        CLR     came
        RTS     PC
gotrx:  INC     nrx
        MOV     fifo(R4),came
        RTI
gottx:  INC     ntx
        RTI

gone:   .word   0
there:  .word   0               ; a bit for each line
nrx:    .word   0
ntx:    .word   0
came:   .word   0
tansw:  .asciz  /its registers answer/
tnansw: .asciz  /nobody answers/
tclear: .asciz  /clear (bit 4): control, enables and FIFO are empty/
tstays: .asciz  /bit 4 does not drop/
tholds: .asciz  /control bits hold what is written/
ten:    .asciz  /transmit enables hold what is written/
trest:  .asciz  /RESET clears control and enables/
tlines: .asciz  /the scanner finds each enabled line/
tfour:  .asciz  /  four lines/
tsends: .asciz  /256 characters of a line come back, with its number/
tnever: .asciz  /a character was not taken, or did not come back/
tqueue: .asciz  /64 characters wait in order/
talarm: .asciz  /the alarm comes with 16 characters/
ttxint: .asciz  /transmit ready interrupts through its vector + 4, once/
trxint: .asciz  /receive done interrupts through its vector, once/
tnoint: .asciz  /not enabled: no interrupt/
        .even
