; One asynchronous line whose output comes back to its input: by its maintenance bit, or by a plug.  The program says
; which: `loopbt` is the bit of the transmit status that does it, or 0.
;
; Sources: registers, values after RESET, DONE and READY, order of interrupts, a request that is withdrawn:
; [handbook-1969] pp. 54-55; overrun: from memory, firm [serial-board-page].  Boards without error bits show 0 there
; (found out), so do characters of fewer than 8 bits (found out with 377).  The break bit and the reader are left out.

rxcsr   = 0                     ; from R4
rxbuf   = 2
txcsr   = 4
txbuf   = 6

run:    MOV     at,R4
        CLR     gone
        JSR     PC,answer
        TST     gone
        BEQ     1$
        RTS     PC
1$:     JSR     PC,atrest
        JSR     PC,enable
        JSR     PC,looped
        TST     gone
        BNE     8$
        JSR     PC,charac
        TST     gone
        BNE     8$
        JSR     PC,overru
8$:     JSR     PC,transi
        TST     gone
        BNE     9$
        JSR     PC,receii
9$:     MOV     at,R4
        JSR     PC,idle
        JSR     R5,rears
        JMP     fresh

; --- registers ------------------------------------------------------------------------------------------------------

answer: JSR     R5,next
        .word   tansw
        CLR     gone
        MOV     #1$,@#4
        TST     rxcsr(R4)
        TST     txcsr(R4)
        BR      2$
1$:     ADD     #4,SP
        INC     gone
2$:     JSR     R5,rearm
        .word   4
        TST     gone
        BEQ     3$
        JSR     R5,bad
        .word   tnansw
3$:     RTS     PC

atrest: JSR     R5,next         ; all 0 but READY [handbook-1969] p. 55
        .word   trest
        JSR     PC,idle
        MOV     #100,rxcsr(R4)
        MOV     #100,txcsr(R4)
        JSR     PC,hushed
        RESET
        MOV     rxcsr(R4),R0
        BIC     #103677,R0      ; interrupt enable and DONE; other bits are not on all boards
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        MOV     txcsr(R4),R0
        BIC     #177472,R0      ; READY, interrupt enable, maintenance, break
        MOV     R0,found
        MOV     #200,wanted
        JSR     R5,judge
        RTS     PC

enable: JSR     R5,next         ; at priority 7 nothing interrupts
        .word   tenab
        MOV     #100,rxcsr(R4)
        MOV     rxcsr(R4),R0
        CLR     rxcsr(R4)
        BIC     #177677,R0
        MOV     R0,found
        MOV     #100,wanted
        JSR     R5,judge
        MOV     rxcsr(R4),R0
        BIC     #177677,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        JSR     PC,idle
        MOV     #100,txcsr(R4)
        MOV     txcsr(R4),R0
        CLR     txcsr(R4)
        BIC     #177477,R0
        MOV     R0,found
        MOV     #300,wanted
        JSR     R5,judge
        JSR     PC,hushed
        RESET                   ; the request goes too
        RTS     PC

; Is there a way back?
looped: TST     loopbt
        BNE     5$
        CMP     R4,#177560
        BNE     1$
        INC     gone
        MOV     #2,took
        TST     pass
        BNE     9$
        MOV     #tmycon,R0      ; the plug is not for this line
        JSR     PC,print
        JMP     line
5$:
        JSR     PC,idle
        MOV     loopbt,txcsr(R4)
        MOV     txcsr(R4),R0
        CLR     txcsr(R4)
        BIT     loopbt,R0
        BNE     1$
        INC     gone
        MOV     #2,took         ; never measured: long enough for 300 baud
        TST     pass
        BNE     9$
        MOV     #tnloop,R0      ; no failure: the board has no such bit
        JSR     PC,print
        JMP     line
1$:     JSR     R5,next         ; how many bits, and how long a character takes
        .word   tbits8
        MOV     #377,R1
        CMP     R4,#177560
        BNE     2$
        MOV     #177,R1         ; nothing beyond 7 bits to the console
2$:     JSR     PC,around
        TST     gone
        BEQ     3$
        JSR     R5,bad
        .word   tnever
        BR      9$
3$:     MOV     R2,mask
        BIC     #177400,mask
        CMP     mask,R1
        BEQ     9$
        CMP     mask,#177
        BEQ     9$
        CMP     mask,#77
        BEQ     9$
        CMP     mask,#37
        BEQ     9$
        MOV     R1,wanted
        MOV     R2,found
        JSR     R5,judge
9$:     RTS     PC

; --- characters -----------------------------------------------------------------------------------------------------

charac: MOV     #377,lastch
        CLR     char
        CMP     R4,#177560      ; to the console only what it can print
        BNE     1$
        MOV     #176,lastch
        MOV     #40,char
1$:     JSR     R5,next
        .word   tchar
        MOV     char,R1
        JSR     PC,around
        TST     gone
        BEQ     2$
        JSR     R5,bad
        .word   tnever
        RTS     PC
2$:     MOV     mask,R0
        COM     R0
        BIC     R0,R1
        MOV     R1,wanted       ; the error bits are 0 too
        MOV     R2,found
        JSR     R5,judge
        JSR     R5,want         ; DONE, until it was read
        .word   200, before
        JSR     R5,want
        .word   0, after
        JSR     R5,want         ; READY fell
        .word   0, busy
        JSR     R5,repeat
        INC     char
        CMP     char,lastch
        BLOS    1$
        RTS     PC

; Two characters, none read: the newer one, with the error bits 15 and 14 where there are any; the next has none.
overru: JSR     R5,next
        .word   tover
        JSR     PC,idle
        MOV     loopbt,txcsr(R4)
        MOV     #101,txbuf(R4)
        JSR     PC,ready
        MOV     #52,txbuf(R4)
        JSR     PC,ready
        JSR     PC,delay
        MOV     rxbuf(R4),R2
        CLR     txcsr(R4)
        CMP     R2,#52
        BEQ     1$
        MOV     R2,found
        MOV     #140052,wanted
        JSR     R5,judge
1$:     MOV     #103,R1
        JSR     PC,around
        MOV     R2,found
        MOV     mask,R0
        COM     R0
        MOV     #103,wanted
        BIC     R0,wanted
        JSR     R5,judge
        RTS     PC

; --- interrupts -----------------------------------------------------------------------------------------------------

transi: JSR     R5,next         ; READY is there: at once, and once
        .word   ttxint
        JSR     PC,arms
        MOV     #100,txcsr(R4)
        JSR     R5,want         ; not at priority 7
        .word   0, ntx
        JSR     PC,lowpri
        JSR     PC,delay
        JSR     PC,highpr
        MOV     R4,-(SP)
        JSR     R5,want
        .word   1, ntx
        JSR     R5,want
        .word   0, nrx
        MOV     (SP)+,R4
        JSR     R5,next         ; and when it comes back
        .word   ttxagn
        JSR     PC,arms
        MOV     loopbt,R0
        BIS     #100,R0
        MOV     R0,txcsr(R4)
        JSR     PC,lowpri
        JSR     PC,delay
        MOV     #40,txbuf(R4)
        JSR     PC,delay
        JSR     PC,highpr
        CLR     txcsr(R4)
        JSR     R5,want
        .word   2, ntx
        JSR     R5,want
        .word   0, nrx
        JSR     R5,next         ; enable 0: none
        .word   tnoint
        JSR     PC,arms
        JSR     PC,lowpri
        MOV     #40,txbuf(R4)
        JSR     PC,delay
        JSR     PC,highpr
        JSR     R5,want
        .word   0, ntx
        JSR     R5,want
        .word   0, nrx
        RTS     PC

receii: JSR     R5,next
        .word   trxint
        JSR     PC,arms
        MOV     #100,rxcsr(R4)
        MOV     loopbt,txcsr(R4)
        JSR     PC,lowpri
        JSR     R5,want         ; nothing has come yet
        .word   0, nrx
        MOV     #125,txbuf(R4)
        JSR     PC,delay
        JSR     PC,highpr
        CLR     txcsr(R4)
        JSR     R5,want
        .word   1, nrx
        JSR     R5,want
        .word   0, ntx
        MOV     mask,R1
        BIC     #177652,R1
        MOV     R1,wanted
        MOV     rxbuf(R4),found
        JSR     R5,judge
        JSR     R5,next         ; read before it could interrupt: none [handbook-1969] p. 54
        .word   twithd
        JSR     PC,arms
        MOV     #100,rxcsr(R4)
        MOV     #55,R1
        JSR     PC,around
        JSR     PC,lowpri
        JSR     PC,delay
        JSR     PC,highpr
        JSR     R5,want
        .word   0, nrx
        JSR     R5,next         ; both at once: receive first [handbook-1969] p. 55
        .word   tboth
        JSR     PC,arms
        MOV     loopbt,txcsr(R4)
        MOV     #56,txbuf(R4)
        JSR     PC,ready
        JSR     PC,delay
        CLR     order
        MOV     #100,rxcsr(R4)
        MOV     #100,txcsr(R4)
        JSR     PC,lowpri
        JSR     PC,delay
        JSR     PC,highpr
        JSR     R5,want
        .word   1, nrx
        JSR     R5,want
        .word   1, ntx
        JSR     R5,want
        .word   3, order
        RTS     PC

; Vectors of the line; counts are 0.
arms:   JSR     PC,idle
        CLR     rxcsr(R4)
        CLR     txcsr(R4)
        TST     rxbuf(R4)
        MOV     by,R1
        MOV     #gotrx,(R1)+
        MOV     #340,(R1)+
        MOV     #gottx,(R1)+
        MOV     #340,(R1)+
        CLR     nrx
        CLR     ntx
        CLR     order
        RTS     PC
gotrx:  INC     nrx
        ASL     order
        INC     order
        RTI
gottx:  INC     ntx
        ASL     order
        TST     nrx
        BEQ     1$
        INC     order
1$:     RTI

; The vectors tell of unexpected interrupts again.
rears:  MOV     by,R0
        MOV     R0,1$
        JSR     R5,rearm
1$:     .word   0
        MOV     by,R0
        ADD     #4,R0
        MOV     R0,2$
        JSR     R5,rearm
2$:     .word   0
        RTS     R5

; --- waiting --------------------------------------------------------------------------------------------------------

; Sends R1 around: R2 = the word that came.  `gone` if none did.  How long it took: `took`.
around: JSR     PC,idle
        TST     rxbuf(R4)
        MOV     loopbt,R0       ; the receive enable stays as it is
        MOV     R0,txcsr(R4)
        MOV     R1,txbuf(R4)
        MOV     txcsr(R4),busy
        BIC     #177577,busy
        CLR     took
        MOV     #40,R2
        CLR     R0
1$:     TSTB    rxcsr(R4)
        BMI     2$
        DEC     R0
        BNE     1$
        INC     took
        DEC     R2
        BNE     1$
        INC     gone
2$:     MOV     R0,tookl
        MOV     rxcsr(R4),before
        MOV     rxbuf(R4),R2
        MOV     rxcsr(R4),after
        MOV     #177577,R0
        BIC     R0,before
        BIC     R0,after
        CLR     txcsr(R4)
        RTS     PC

; Waits for READY, with an end.
ready:  MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     #40,R1
        CLR     R0
1$:     TSTB    txcsr(R4)
        BMI     2$
        DEC     R0
        BNE     1$
        DEC     R1
        BNE     1$
2$:     MOV     (SP)+,R1
        MOV     (SP)+,R0
        RTS     PC

; READY, and as long again as two characters take.
idle:   JSR     PC,ready
; As long as two characters took, and a little more.
delay:  MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     #3,R2
1$:     MOV     tookl,R0
        NEG     R0
        BNE     3$
        INC     R0
3$:     MOV     took,R1
        INC     R1
2$:     TSTB    txcsr(R4)       ; as slow as the loop that measured it
        BR      4$
4$:     DEC     R0
        BNE     2$
        DEC     R1
        BNE     2$
        DEC     R2
        BNE     1$
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        MOV     (SP)+,R0
        RTS     PC

; The console begins a new line: what went around stands on it too.
fresh:  CMP     at,#177560
        BNE     1$
        JSR     PC,line
1$:     RTS     PC

gone:   .word   0
mask:   .word   0               ; bits of a character
char:   .word   0
lastch: .word   0
before: .word   0               ; DONE before and after reading
after:  .word   0
busy:   .word   0               ; READY right after loading
took:   .word   0               ; how long a character takes, high and low
tookl:  .word   0
nrx:    .word   0               ; interrupts
ntx:    .word   0
order:  .word   0               ; 3: receive, then transmit
tansw:  .asciz  /its registers answer/
tnansw: .asciz  /nobody answers/
trest:  .asciz  /after RESET: nothing enabled, READY/
tenab:  .asciz  /interrupt enable bits hold what is written/
tnloop: .asciz  /  no maintenance bit: characters need the loop-back plug and the program serial-plug/
tmycon: .asciz  /  the line of the console takes no plug: give the address of another line at 001010/
tbits8: .asciz  /a character comes back/
tnever: .asciz  /no character came back/
tchar:  .asciz  /each character comes back; DONE, READY/
tover:  .asciz  /overrun: the newer character, with its error bits/
ttxint: .asciz  /READY interrupts through its vector + 4, once/
ttxagn: .asciz  /READY that comes back interrupts again/
tnoint: .asciz  /not enabled: no interrupt/
trxint: .asciz  /DONE interrupts through its vector, once/
twithd: .asciz  /a character read in time does not interrupt/
tboth:  .asciz  /both at once: receive goes first/
        .even
