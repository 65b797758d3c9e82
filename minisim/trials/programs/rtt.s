; needs: rtt

; RTT: as RTI, but after setting T it always lets one instruction run before the trace trap (rows D14, D15; firm).

device  = 0
vector  = 0
name:   .asciz  /rtt/
about:  .asciz  /RTT and the trace trap after each instruction/
        .even

run:    MOV     #snap,@#20      ; IOT notes the whole PS here
        JSR     PC,backto
        JSR     PC,steps
        JSR     PC,atonce
        JSR     R5,rearm
        .word   14
        JSR     R5,rearm
        .word   20
        RTS     PC

snap:   MOV     2(SP),psnow
        RTI

; All codes, and two words from the stack.
backto: CLR     ccin
1$:     JSR     R5,next
        .word   hback
        MOV     SP,before
        MOV     ccin,need
        BIS     #340,need
        MOV     need,-(SP)
        MOV     #2$,-(SP)
        MOV     ccin,R0         ; other codes before
        COM     R0
        BIC     #177760,R0
        BIS     #260,R0
        MOV     R0,3$
        CLR     R1
        .word   257
3$:     .word   260
        RTT
        INC     R1
2$:     IOT
        MOV     R1,cell
        MOV     SP,after
        MOV     before,SP
        JSR     R5,wantat
        .word   need, psnow
        JSR     R5,want
        .word   0, cell
        JSR     R5,wantat
        .word   before, after
        INC     ccin
        CMP     ccin,#20
        BLO     1$
        RTS     PC

; So many traps as `most` says; at each the PC of tpcs: jumps and branches too.
steps:  CLR     most
1$:     INC     most
        JSR     R5,next
        .word   hsteps
        CLR     came
        CLR     wrong
        MOV     SP,before
        MOV     #traces,@#14
        CLR     R1
        MOV     #365,-(SP)      ; T, Z, C
        MOV     #step1,-(SP)
        RTT
step1:  INC     R1
step2:  BR      step3
        INC     R1
step3:  JSR     PC,step5
step4:  ADD     #2,R1
        BR      step7
step5:  TST     R1
step6:  RTS     PC
step7:  MOV     R1,cell
        MOV     SP,after
        MOV     before,SP
        JSR     R5,wantat
        .word   most, came
        JSR     R5,want
        .word   0, wrong
        JSR     R5,want
        .word   3, cell
        JSR     R5,wantat
        .word   before, after
        CMP     most,#7
        BHIS    2$
        JMP     steps+4
2$:     RTS     PC

; RTI that sets T traps before the next instruction: what RTT is for.  (D15, unconfirmed, but so on every processor that
; has RTT.)
atonce: JSR     R5,next
        .word   honce
        CLR     came
        MOV     SP,before
        MOV     #2$,@#14
        CLR     R1
        MOV     #360,-(SP)
        MOV     #1$,-(SP)
        RTI
1$:     INC     R1
        BR      3$
2$:     MOV     (SP),cell
        INC     came
        BIC     #20,2(SP)
        RTI
3$:     MOV     R1,most
        MOV     SP,after
        MOV     before,SP
        JSR     R5,want
        .word   1, came
        JSR     R5,want
        .word   1$, cell
        JSR     R5,want
        .word   1, most
        JSR     R5,wantat
        .word   before, after
        RTS     PC

traces: IOT
        BIT     #20,psnow       ; T is not set here
        BEQ     1$
        INC     wrong
1$:     MOV     came,R4
        ASL     R4
        CMP     (SP),tpcs(R4)
        BEQ     2$
        INC     wrong
2$:     BIT     #20,2(SP)       ; but in the saved PS
        BNE     3$
        INC     wrong
3$:     INC     came
        CMP     came,most
        BLO     4$
        BIC     #20,2(SP)
4$:     RTT

tpcs:   .word   step2, step3, step5, step6, step4, step4+4, step7
ccin:   .word   0
need:   .word   0
before: .word   0
after:  .word   0
cell:   .word   0
psnow:  .word   0
came:   .word   0
most:   .word   0
wrong:  .word   0
hback:  .asciz  /RTT brings back PC and PS/
honce:  .asciz  /T set by RTI traps before the next instruction/
hsteps: .asciz  /T traps after each instruction, so many times/
        .even
