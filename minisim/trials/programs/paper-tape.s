; device: paper-tape
; person: Take the tape out of the reader, switch the punch on with tape in it, and run one pass; then put the start of the punched tape into the reader and start again.
; with: cases

; Punch and reader.  The first pass reads the tape that lies in the reader, if one does, and compares; each pass
; punches 64 frames of leader, all 256 patterns, and 64 frames of leader.  So run one pass, put the punched tape into
; the reader, and start again.  Registers, and what enable and DONE do: [handbook-1969]; vector of the punch: from
; memory, firm. Waiting for a frame has an end.

device  = 177550
vector  = 70
rdstat  = 0                     ; from R4
rddata  = 2
pustat  = 4
pudata  = 6
name:   .asciz  /paper-tape/
about:  .asciz  /punches a tape of all patterns, reads one that lies in the reader/
        .even

run:    MOV     at,R4
        CLR     gone
        JSR     R5,next
        .word   tansw
        MOV     #1$,@#4
        TST     rdstat(R4)
        TST     pustat(R4)
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
3$:     JSR     R5,next         ; at rest: nothing but ERROR of the reader, READY of the punch
        .word   trest
        MOV     #100,rdstat(R4)
        MOV     #100,pustat(R4)
        JSR     PC,hushed
        RESET
        MOV     rdstat(R4),R0
        BIC     #173477,R0      ; BUSY, DONE, interrupt enable
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        MOV     pustat(R4),R0
        BIC     #77477,R0       ; ERROR, READY, interrupt enable
        MOV     R0,found
        MOV     #200,wanted
        JSR     R5,judge
        JSR     PC,reads
        JSR     PC,punchs
        MOV     by,R0
        MOV     R0,4$
        JSR     R5,rearm
4$:     .word   0
        MOV     by,R0
        ADD     #4,R0
        MOV     R0,5$
        JSR     R5,rearm
5$:     .word   0
        RTS     PC

; --- punch ------------------------------------------------------------------------------------------------------------

punchs: JSR     R5,next         ; READY falls and comes back
        .word   tpunch
        CLR     R2
        CLR     gone
        JSR     PC,putch
        MOV     pustat(R4),R0
        BIC     #177577,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        JSR     PC,pready
        TST     gone
        BNE     9$
        JSR     R5,next         ; interrupts: READY is there, at once; and when it comes back
        .word   tpint
        JSR     PC,arms
        MOV     #100,pustat(R4)
        JSR     PC,lowpri
        JSR     PC,moment
        JSR     PC,highpr
        JSR     R5,want
        .word   1, hitsp
        JSR     PC,putch
        JSR     PC,lowpri
        JSR     PC,moment
        JSR     PC,moment
        JSR     PC,highpr
        JSR     R5,want
        .word   2, hitsp
        JSR     R5,want
        .word   0, hitsr
        CLR     pustat(R4)
        JSR     R5,next
        .word   tall
        MOV     #76,R3          ; two frames were punched already
        JSR     PC,leader
1$:     JSR     PC,putch
        JSR     PC,pready
        INC     R2
        CMP     R2,#400
        BLO     1$
        CLR     R2
        MOV     #100,R3
        JSR     PC,leader
9$:     RTS     PC
leader: JSR     PC,putch
        JSR     PC,pready
        DEC     R3
        BNE     leader
        RTS     PC
; R2 to the data register, which answers no read: MOV and CLR read first on some processors (rows D30, D35), JSR only
; pushes its register.  Nothing interrupts at priority 7.
putch:  MOV     R2,keep2
        MOV     SP,keepsp
        MOV     R4,SP
        ADD     #pudata+2,SP
        JSR     R2,1$
1$:     MOV     keepsp,SP
        MOV     keep2,R2
        RTS     PC
pready: TST     gone
        BNE     9$
        MOV     #100,R1
        CLR     R0
1$:     TSTB    pustat(R4)
        BMI     9$
        DEC     R0
        BNE     1$
        DEC     R1
        BNE     1$
        INC     gone
        JSR     R5,bad
        .word   tpnev
9$:     RTS     PC

; --- reader -----------------------------------------------------------------------------------------------------------

; A tape that begins with leader and all patterns, or none.
reads:  TST     pass            ; in the first pass only: then the tape has been read
        BNE     9$
        TST     rdstat(R4)
        BPL     1$
        MOV     #tnotap,R0
        JSR     PC,print
        JMP     line
1$:     JSR     R5,next         ; one frame: BUSY, DONE; reading takes DONE away
        .word   tframe
        CLR     gone
        MOV     #1,rdstat(R4)
        MOV     rdstat(R4),R0
        BIC     #173576,R0      ; BUSY; not yet DONE; enable reads 0
        MOV     R0,found
        MOV     #4000,wanted
        JSR     R5,judge
        JSR     PC,rdone
        TST     gone
        BNE     9$
        MOV     rdstat(R4),R0
        BIC     #173577,R0
        MOV     R0,found
        MOV     #200,wanted
        JSR     R5,judge
        MOV     rddata(R4),found
        CLR     wanted
        JSR     R5,judge
        MOV     rdstat(R4),R0
        BIC     #173577,R0
        MOV     R0,found
        JSR     R5,judge
        JSR     R5,next         ; DONE interrupts
        .word   trint
        JSR     PC,arms
        MOV     #101,rdstat(R4)
        JSR     PC,lowpri
        JSR     PC,moment
        JSR     PC,highpr
        CLR     rdstat(R4)
        JSR     R5,want
        .word   1, hitsr
        TST     rddata(R4)
        JSR     R5,next         ; the patterns
        .word   tpatt
        MOV     #200,R3         ; leader: no more than 128 frames
2$:     JSR     PC,frame
        TST     gone
        BNE     9$
        TST     R2
        BNE     3$
        DEC     R3
        BNE     2$
        JSR     R5,bad
        .word   tnopat
        RTS     PC
3$:     MOV     #1,R3           ; 0 stood among the leader
4$:     MOV     R3,wanted
        MOV     R2,found
        JSR     R5,judge
        INC     R3
        CMP     R3,#400
        BHIS    9$
        JSR     PC,frame
        TST     gone
        BEQ     4$
9$:     RTS     PC
; R2 = the next frame.
frame:  MOV     #1,rdstat(R4)
        JSR     PC,rdone
        MOV     rddata(R4),R2
        RTS     PC
rdone:  MOV     #40,R1
        CLR     R0
1$:     TST     rdstat(R4)
        BMI     2$
        TSTB    rdstat(R4)
        BMI     9$
        DEC     R0
        BNE     1$
        DEC     R1
        BNE     1$
        INC     gone
        JSR     R5,bad
        .word   trnev
        RTS     PC
2$:     INC     gone
        JSR     R5,bad
        .word   tends
9$:     RTS     PC

; --- interrupts -------------------------------------------------------------------------------------------------------

arms:   MOV     by,R1
        MOV     #gotr,(R1)+
        MOV     #340,(R1)+
        MOV     #gotp,(R1)+
        MOV     #340,(R1)+
        CLR     hitsr
        CLR     hitsp
        RTS     PC
gotr:   INC     hitsr
        RTI
gotp:   INC     hitsp
        RTI
; Longer than a frame of the punch, 20 ms, on every processor.
moment: MOV     #2,R1
        CLR     R0
1$:     DEC     R0
        BNE     1$
        DEC     R1
        BNE     1$
        RTS     PC

gone:   .word   0
keep2:  .word   0
keepsp: .word   0
hitsr:  .word   0
hitsp:  .word   0
tansw:  .asciz  /its registers answer/
tnansw: .asciz  /nobody answers/
trest:  .asciz  /after RESET: nothing enabled, the punch is ready/
tpunch: .asciz  /punch: a frame takes READY away, and it comes back/
tpnev:  .asciz  /the punch does not get ready/
tpint:  .asciz  /punch: READY interrupts through its vector + 4/
tall:   .asciz  /punch: leader, all patterns, leader/
tnotap: .asciz  /  no tape in the reader: put the punched one in, and start again/
tframe: .asciz  /reader: a frame, BUSY and DONE/
trint:  .asciz  /reader: DONE interrupts through its vector/
tpatt:  .asciz  /reader: leader, then all patterns/
tnopat: .asciz  /128 frames, and all are empty/
trnev:  .asciz  /the reader does not get done/
tends:  .asciz  /the tape ends, or the reader is off line/
        .even
