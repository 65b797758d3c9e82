; Traps and interrupts.  What the processors do differently is found out, and each way is held to its own rules:
; JMP to a register (row D05), odd addresses (D25), stack limit (D24), T set by RTI (D15), PC after fetching where
; nobody answers (D31), a register that was stepped for nothing (D32), PS at an address (D22), program requests.
; Sources: vectors and the order on the stack [handbook-1969] pp. 42-44, [news-1985-handbook-quotes]; reserved codes and
; priorities firm; the transmitter [handbook-1969] p. 55, the edge of its request firm; the zone of a stack limit
; [wiki-stacks].  RTT is in `rtt`, MTPS and MFPS in `ps`, SPL in `spl`.

device  = 0
vector  = 0
name:   .asciz  /traps/
about:  .asciz  /traps and interrupts: vectors, what is saved, priorities, WAIT, RESET, trace, missing addresses/
        .even

run:    MOV     #snap,@#20      ; IOT notes the whole PS here
        MOV     #ticked,@#100   ; an event line can't be switched off: it may tick whenever priority is low
        CLR     pause
        JSR     PC,fours
        JSR     PC,levels
        JSR     PC,reserv
        JSR     PC,regjmp
        JSR     PC,nobody
        JSR     PC,odds
        JSR     PC,backto
        JSR     PC,traced
        JSR     PC,limits
        JSR     PC,reset
        TST     speaks
        BEQ     1$
        JSR     PC,masks
        JSR     PC,waits
1$:     JSR     PC,asks
        JSR     PC,psword
        JSR     R5,rearm
        .word   20
        JSR     R5,rearm
        .word   100
        RTS     PC

; --- one trap -------------------------------------------------------------------------------------------------------

; Does the instruction at `top` with codes ccin and waits for a trap through `vec`, whose new PS is `newps`.
; Notes: came (how often), hpc and hps as saved, hsp, psin (PS in the service), psback (afterwards), kept0 to kept6.
shoot:  MOV     SP,spsafe
        CLR     came
        MOV     #4,cnote
        MOV     #4,tnote
        MOV     vec,R0
        CMP     R0,#20          ; IOT itself: EMT notes in its place
        BNE     1$
        MOV     #104000,cnote
        MOV     #104000,tnote
        MOV     #snap,@#30
1$:     MOV     #catch,(R0)+
        MOV     newps,(R0)
        MOV     ccin,R0
        BIS     #260,R0
        MOV     R0,tset
        MOV     in0,R0
        MOV     #11111,R1
        MOV     #22222,R2
        MOV     #33333,R3
        MOV     #44444,R4
        MOV     #55555,R5
        .word   257
tset:   .word   260
top:    .word   240, 240, 240
tnote:  IOT
tend:   MOV     R0,kept0
        MOV     R1,kept1
        MOV     R2,kept2
        MOV     R3,kept3
        MOV     R4,kept4
        MOV     R5,kept5
        MOV     SP,kept6
        MOV     spsafe,SP
        MOV     psnow,psback
        MOV     vec,R0
        CMP     R0,#20
        BNE     1$
        MOV     #snap,(R0)+
        MOV     #340,(R0)
        MOV     #30,R0
1$:     MOV     R0,2$
        JSR     R5,rearm
2$:     .word   0
        MOV     #4,cnote
        RTS     PC

; The service of a trap or interrupt.
catch   = .
cnote:  IOT
noted:  MOV     psnow,psin
        MOV     SP,hsp
        MOV     (SP),hpc
        MOV     2(SP),hps
        INC     came
        CMP     came,#10        ; again and again?
        BLO     1$
        MOV     #tend,(SP)
        RTI
1$:     TST     goon            ; where to go on, if not where it was
        BEQ     2$
        MOV     goon,(SP)
2$:     RTI

; IOT: the PS as it was.
snap:   MOV     2(SP),psnow
        RTI

ticked: INC     pause
        RTI

; Registers as before, SP too; one trap, which saved PC and PS in the right places and took its new PS.
holds:  JSR     R5,wantat
        .word   one, came
        JSR     R5,wantat
        .word   pcwant, hpc
        MOV     ccin,psneed
        BIS     #340,psneed
        JSR     R5,wantat
        .word   psneed, hps
        JSR     R5,wantat
        .word   newps, psin
        JSR     R5,wantat       ; RTI brought it back
        .word   psneed, psback
        MOV     spsafe,level2
        SUB     #4,level2
        JSR     R5,wantat
        .word   level2, hsp
unhurt: JSR     R5,wantat
        .word   spsafe, kept6
        JSR     R5,wantat
        .word   in0, kept0
        JSR     R5,want
        .word   11111, kept1
        JSR     R5,want
        .word   22222, kept2
        JSR     R5,want
        .word   33333, kept3
        JSR     R5,want
        .word   44444, kept4
        JSR     R5,want
        .word   55555, kept5
        RTS     PC

; A plain start: an instruction of one word.
fresh:  MOV     #240,top
        MOV     #240,top+2
        MOV     #240,top+4
        MOV     #340,newps
        MOV     #10101,in0
        MOV     #top+2,pcwant
        CLR     goon
        RTS     PC

; --- instructions that trap -----------------------------------------------------------------------------------------

; EMT, TRAP, IOT, BPT: with all codes before, and others from the vector.
fours:  MOV     #tfour,row
1$:     CLR     ccin
2$:     MOV     row,R1
        MOV     4(R1),3$
        JSR     R5,next
3$:     .word   0
        JSR     PC,fresh
        MOV     row,R1
        MOV     (R1)+,top
        MOV     (R1)+,vec
        MOV     ccin,R0
        COM     R0
        BIC     #177760,R0
        BIS     R0,newps
        JSR     PC,shoot
        JSR     PC,holds
        INC     ccin
        CMP     ccin,#20
        BLO     2$
        ADD     #6,row
        CMP     row,#efour
        BLO     1$
        RTS     PC
tfour:  .word   104000, 30, hemt, 104125, 30, hemt, 104252, 30, hemt, 104377, 30, hemt
        .word   104400, 34, htrap, 104525, 34, htrap, 104652, 34, htrap, 104777, 34, htrap
        .word   3, 14, hbpt, 4, 20, hiot
efour:

; The new PS comes from the vector, with its priority; of one-level processors only its top bit is looked at.
levels: CLR     prio
1$:     JSR     R5,next
        .word   hlevel
        JSR     PC,fresh
        MOV     #5,ccin
        MOV     #104400,top
        MOV     #34,vec
        MOV     prio,newps
        BIS     #12,newps
        JSR     PC,shoot
        CMP     psin,newps
        BEQ     2$
        BIC     #140,newps
2$:     JSR     PC,holds
        ADD     #40,prio
        CMP     prio,#340
        BLOS    1$
        RTS     PC

; Reserved instructions: 000030 to 000077 and 007400 to 007777.
reserv: MOV     #30,code
1$:     JSR     R5,next
        .word   hreser
        JSR     PC,fresh
        MOV     code,top
        MOV     code,ccin
        BIC     #177760,ccin
        MOV     #10,vec
        JSR     PC,shoot
        JSR     PC,holds
        INC     code
        CMP     code,#100
        BLO     1$
        BHI     2$
        MOV     #7400,code
2$:     CMP     code,#10000
        BLO     1$
        RTS     PC

; JMP and JSR with a register: 4 or 10, and nothing happened.
regjmp: JSR     R5,next
        .word   hregj
        MOV     #102,code       ; JMP R2
        JSR     PC,either
        JSR     R5,next
        .word   hregj
        MOV     #4302,code      ; JSR R3,R2
        JSR     PC,either
        RTS     PC
either: JSR     PC,fresh
        MOV     code,top
        MOV     #7,ccin
        MOV     #10,vec
        MOV     #catch,@#4
        JSR     PC,shoot
        JSR     R5,rearm
        .word   4
        JMP     holds

; --- addresses ------------------------------------------------------------------------------------------------------

; An address that nobody answers: looked for where few devices are.
nobody: MOV     #160000,R1
        MOV     #3$,@#4
1$:     TST     (R1)
        ADD     #20,R1
        CMP     R1,#164000
        BLO     1$
        JSR     R5,rearm
        .word   4
        JSR     R5,next
        .word   hnone
        JSR     R5,bad
        .word   tnone
        RTS     PC
3$:     CMP     (SP)+,(SP)+
        JSR     R5,rearm
        .word   4
        MOV     R1,absent
        MOV     #tabsen,row
4$:     MOV     row,R1
        MOV     2(R1),5$
        JSR     R5,next
5$:     .word   0
        JSR     PC,fresh
        MOV     row,R1
        MOV     (R1)+,top
        MOV     absent,top+2
        MOV     #top+4,pcwant
        MOV     #12,ccin
        MOV     #4,vec
        JSR     PC,shoot
        BIC     #17,hps         ; what became of the codes is not said
        BIC     #17,psback
        CLR     ccin
        JSR     PC,holds
        ADD     #4,row
        CMP     row,#eabsen
        BLO     4$
        JSR     R5,next         ; a jump there: PC as fetched, or a word on
        .word   hfetch
        JSR     PC,fresh
        MOV     #137,top
        MOV     absent,top+2
        MOV     #tnote,goon
        MOV     #12,ccin
        MOV     #4,vec
        JSR     PC,shoot
        MOV     absent,pcwant
        CMP     hpc,absent
        BEQ     6$
        ADD     #2,pcwant
6$:     JSR     PC,holds
        JSR     R5,next         ; (R0)+: stepped or not
        .word   hstep
        JSR     PC,fresh
        MOV     #5720,top       ; TST (R0)+
        MOV     absent,in0
        CLR     ccin
        MOV     #4,vec
        JSR     PC,shoot
        BIC     #17,hps
        BIC     #17,psback
        CMP     kept0,absent
        BEQ     7$
        SUB     #2,kept0
7$:     JMP     holds
tabsen: .word   5737, hread, 5037, hwrit, 5237, hmodi, 105737, hreadb, 105037, hwritb, 13700, hmovr, 10037, hmovm
        .word   23700, hcmps
eabsen:

; A word at an odd address: a trap through 4, or the word at the even one.
odds:   JSR     R5,next
        .word   hodd
        JSR     PC,fresh
        MOV     #123456,cell
        MOV     #13700,top      ; MOV @#cell+1,R0
        MOV     #cell+1,top+2
        MOV     #top+4,pcwant
        CLR     ccin
        MOV     #4,vec
        JSR     PC,shoot
        BIC     #17,hps
        BIC     #17,psback
        TST     came
        BEQ     1$
        JSR     PC,holds
        JSR     R5,next
        .word   hoddw
        JSR     PC,fresh
        MOV     #10037,top      ; MOV R0,@#cell+1
        MOV     #cell+1,top+2
        MOV     #top+4,pcwant
        JSR     PC,shoot
        BIC     #17,hps
        BIC     #17,psback
        JSR     PC,holds
        JSR     R5,want
        .word   123456, cell
        BR      2$
1$:     MOV     cell,in0
        JSR     PC,unhurt
        JSR     R5,next
        .word   hoddw
        JSR     PC,fresh
        MOV     #10037,top
        MOV     #cell+1,top+2
        JSR     PC,shoot
        JSR     R5,want
        .word   0, came
        JSR     PC,unhurt
        JSR     R5,want
        .word   10101, cell
2$:     JSR     R5,next         ; a byte there is nothing odd
        .word   hoddb
        JSR     PC,fresh
        MOV     #123456,cell
        MOV     #113700,top     ; MOVB @#cell+1,R0
        MOV     #cell+1,top+2
        JSR     PC,shoot
        MOV     #177647,in0
        JSR     R5,want
        .word   0, came
        JMP     unhurt

; --- RTI, trace -----------------------------------------------------------------------------------------------------

; RTI brings back any codes, and takes two words from the stack.
backto: CLR     ccin
1$:     JSR     R5,next
        .word   hrti
        MOV     SP,spsafe
        MOV     ccin,psneed
        BIS     #340,psneed
        MOV     psneed,-(SP)
        MOV     #2$,-(SP)
        MOV     ccin,R0         ; other codes before
        COM     R0
        BIC     #177760,R0
        BIS     #260,R0
        MOV     R0,4$
        CLR     R1
        .word   257
4$:     .word   260
        RTI
        INC     R1
2$:     IOT
        MOV     R1,cell
        MOV     SP,kept6
        MOV     spsafe,SP
        JSR     R5,wantat
        .word   psneed, psnow
        JSR     R5,want
        .word   0, cell
        JSR     R5,wantat
        .word   spsafe, kept6
        INC     ccin
        CMP     ccin,#20
        BLO     1$
        RTS     PC

; T set by RTI: one trap, before or after the next instruction; where it is after, on and on.
traced: JSR     R5,next
        .word   htrace
        MOV     #1,turns
        JSR     PC,trace
        MOV     #tr1,pcwant
        CMP     hpc,#tr1
        BEQ     1$
        ADD     #2,pcwant
1$:     JSR     R5,wantat
        .word   pcwant, hpc
        JSR     R5,want
        .word   360, hps
        JSR     R5,want
        .word   340, psin
        CMP     pcwant,#tr1
        BEQ     2$
        JSR     R5,next
        .word   htraces
        MOV     #3,turns
        JSR     PC,trace
        JSR     R5,want
        .word   tr1+6, hpc
2$:     RTS     PC

trace:  MOV     SP,spsafe
        CLR     came
        MOV     #tcatch,@#14
        CLR     R1
        MOV     #360,-(SP)
        MOV     #tr1,-(SP)
        RTI
tr1:    INC     R1
        INC     R1
        INC     R1
        INC     R1
        INC     R1
        MOV     R1,cell
        MOV     SP,kept6
        MOV     spsafe,SP
        JSR     R5,rearm
        .word   14
        JSR     R5,wantat
        .word   turns, came
        JSR     R5,want
        .word   5, cell
        JSR     R5,wantat
        .word   spsafe, kept6
        RTS     PC
tcatch: IOT
        MOV     psnow,psin
        MOV     (SP),hpc
        MOV     2(SP),hps
        INC     came
        CMP     came,turns
        BLO     1$
        BIC     #20,2(SP)
1$:     RTI

; --- the stack limit ------------------------------------------------------------------------------------------------

; A word pushed below 400: where there is a limit, it is stored and then comes a trap through 4.
limits: JSR     R5,next
        .word   hlim1
        MOV     #402,R1
        JSR     PC,push
        JSR     R5,want
        .word   0, came
        JSR     R5,want
        .word   400, kept6
        CLR     zone            ; a trap, or none, at each place of the zone alike
        MOV     #400,code
1$:     JSR     R5,next
        .word   hlim2
        MOV     code,R1
        JSR     PC,push
        ADD     came,zone
        MOV     code,psneed     ; where SP must be
        SUB     #2,psneed
        TST     came
        BEQ     2$
        SUB     #4,psneed
        JSR     R5,want
        .word   pushed, hpc
        JSR     R5,want
        .word   340, hps
2$:     JSR     R5,wantat
        .word   psneed, kept6
        JSR     R5,want
        .word   12345, cell
        SUB     #10,code
        CMP     code,#350
        BHIS    1$
        JSR     R5,next
        .word   hlim3
        TST     zone
        BEQ     3$
        JSR     R5,want
        .word   4, zone
3$:     RTS     PC
push:   MOV     SP,spsafe
        CLR     came
        MOV     #lcatch,@#4
        MOV     #12345,R0
        MOV     R1,SP
        .word   257
        MOV     R0,-(SP)
pushed: BR      lend
lcatch: INC     came
        MOV     (SP),hpc        ; no IOT here: its words would lie below the limit too
        MOV     2(SP),hps
lend:   MOV     SP,kept6
        MOV     spsafe,SP
        MOV     -(R1),cell
        JSR     R5,rearm
        .word   4
        MOV     #340,R1         ; the vectors it wrote over
1$:     MOV     R1,2$
        JSR     R5,rearm
2$:     .word   0
        ADD     #4,R1
        CMP     R1,#400
        BLO     1$
        RTS     PC

; --- interrupts -----------------------------------------------------------------------------------------------------

; RESET leaves registers and PS alone, and takes away the enable of the transmitter with its request.
reset:  JSR     PC,delay        ; the last letter must be out
        JSR     R5,next
        .word   hreset
        JSR     PC,fresh
        MOV     #5,top
        MOV     #34,vec
        MOV     #13,ccin
        TST     speaks
        BEQ     1$
        MOV     #100,@#177564
1$:     JSR     PC,shoot
        MOV     #353,psneed
        JSR     R5,wantat
        .word   psneed, psback
        JSR     R5,want
        .word   0, came
        JSR     PC,unhurt
        TST     speaks
        BEQ     2$
        MOV     @#177564,cell
        BIC     #177477,cell
        JSR     R5,want         ; ready, not enabled
        .word   200, cell
        JSR     R5,next
        .word   hresei
        MOV     #catch,@#64
        MOV     #340,@#66
        JSR     R5,setps
        .word   0
        JSR     R5,setps
        .word   340
        JSR     R5,rearm
        .word   64
        JSR     R5,want
        .word   0, came
2$:     RTS     PC

; PS from the word behind.
setps:  MOV     (R5)+,psneed
        MOV     psneed,-(SP)
        MOV     #1$,-(SP)
        RTI
1$:     RTS     R5

delay:  CLR     R0
1$:     DEC     R0
        BNE     1$
2$:     DEC     R0
        BNE     2$
        RTS     PC

; The transmitter is ready, or a failure.
ready:  CLR     R0
        CLR     R1
1$:     TSTB    @#177564
        BMI     2$
        INC     R0
        BNE     1$
        INC     R1
        CMP     R1,#20
        BLO     1$
        JSR     R5,bad
        .word   tready
2$:     RTS     PC

; The request of the transmitter, level 4, at each priority; where it is masked, it comes when the priority goes down.
masks:  CLR     works
        CLR     prio
maskl:  JSR     R5,next
        .word   hmask
        JSR     PC,fresh
        MOV     #345,newps
        MOV     #catch,@#64
        MOV     newps,@#66
        CLR     @#177564
        JSR     PC,ready
        CLR     came
        MOV     prio,2$
        BIS     #1,2$
        JSR     R5,setps
2$:     .word   0
        MOV     #100,@#177564   ; ready and enabled: it asks at once
mpc:    NOP
        NOP
        NOP
        NOP
        JSR     R5,setps
        .word   340
        CMP     prio,#200
        BHIS    3$
        MOV     came,works
        JSR     PC,asked
        MOV     hpc,cell
        SUB     #mpc,cell
        CMP     cell,#6
        BLOS    4$
        JSR     R5,want
        .word   mpc, hpc
        BR      4$
3$:     JSR     R5,want
        .word   0, came
        JSR     R5,setps
        .word   141
        NOP
        NOP
        JSR     R5,setps
        .word   340
        JSR     PC,asked
4$:     CLR     @#177564
        JSR     R5,rearm
        .word   64
        ADD     #40,prio
        CMP     prio,#340
        BLOS    maskl
        RTS     PC

; One interrupt, at a low priority with C alone set, with the PS of its vector in the service.
asked:  JSR     R5,want
        .word   1, came
        BIC     #177560,hps     ; lower priorities than 4 are not looked at: some processors have only one bit
        JSR     R5,want
        .word   1, hps
        JSR     R5,want
        .word   345, psin
        RTS     PC

; WAIT goes on after an interrupt.  Two letters without a mark are sent, so that the second is still on its way.
waits:  TST     works           ; without interrupts it would wait for ever
        BEQ     waitx
        JSR     R5,next
        .word   hwait
        MOV     #5,turns
waitl:  CLR     @#177564
        JSR     PC,ready
        CLR     @#177566
        JSR     PC,ready
        CLR     @#177566
        CLR     came
        CLR     early
        CLR     loops
        CLR     pause
        MOV     #wcatch,@#64
        MOV     #345,@#66
        MOV     #100,@#177564
        MOV     SP,spsafe
        JSR     R5,setps
        .word   0
wait1:  WAIT
wpc:    INC     loops
        TST     came            ; a clock may tick too
        BEQ     wait1
        MOV     spsafe,SP
        JSR     R5,setps
        .word   340
        CLR     @#177564
        JSR     R5,rearm
        .word   64
        TST     early
        BEQ     waity
        DEC     turns
        BNE     waitl
        JSR     R5,bad
        .word   tearly
waitx:  RTS     PC
waity:  JSR     R5,want
        .word   1, came
        JSR     R5,want
        .word   wpc, hpc
        SUB     pause,loops     ; it went on no more often than something came
        DEC     loops
        BLE     waitx
        JSR     R5,bad
        .word   tloops
        RTS     PC
wcatch: INC     came
        MOV     (SP),hpc
        CMP     (SP),#wpc
        BEQ     1$
        INC     early           ; it came before WAIT did
        MOV     #wpc,(SP)
1$:     RTI

; Program requests at each level, where there are any.
asks:   MOV     #9$,@#4
        TST     @#177772
        JSR     R5,rearm
        .word   4
        MOV     #1000,code
        MOV     #40,prio
1$:     JSR     R5,next
        .word   hask
        JSR     PC,fresh
        MOV     #pcatch,@#240
        MOV     #345,@#242
        CLR     came
        MOV     code,@#177772
        MOV     @#177772,cell
        MOV     prio,R0         ; the level stands in bits 7-5 and 3-1 too
        ASR     R0
        ASR     R0
        ASR     R0
        ASR     R0
        BIS     prio,R0
        BIS     code,R0
        MOV     R0,psneed
        JSR     R5,wantat
        .word   psneed, cell
        MOV     prio,2$
        JSR     R5,setps
2$:     .word   0
        NOP
        NOP
        JSR     R5,want         ; not at its own priority
        .word   0, came
        MOV     prio,3$
        SUB     #37,3$
        JSR     R5,setps
3$:     .word   0
        NOP
        NOP
        JSR     R5,setps
        .word   340
        CLR     @#177772
        JSR     R5,want         ; at the one below
        .word   1, came
        JSR     R5,want
        .word   345, psin
        MOV     prio,psneed
        SUB     #37,psneed
        JSR     R5,wantat
        .word   psneed, hps
        JSR     R5,rearm
        .word   240
        ADD     #40,prio
        ASL     code
        BNE     1$
        RTS     PC
9$:     CMP     (SP)+,(SP)+
        JSR     R5,rearm
        .word   4
        RTS     PC
pcatch: IOT
        CLR     @#177772
        JMP     noted

; PS at 177776, where it can be read there (D22).  Left out: whether T can be written (D18), and the codes of the
; instruction that writes.
psword: MOV     #9$,@#4
        TST     @#177776
        JSR     R5,rearm
        .word   4
        CLR     ccin
1$:     JSR     R5,next
        .word   hpsrd
        MOV     ccin,R0
        BIS     #260,R0
        MOV     R0,2$
        .word   257
2$:     .word   260
        MOV     @#177776,cell
        MOV     ccin,psneed
        BIS     #340,psneed
        JSR     R5,wantat
        .word   psneed, cell
        INC     ccin
        CMP     ccin,#20
        BLO     1$
        CLR     prio
3$:     JSR     R5,next
        .word   hpswr
        MOV     prio,@#177776
        IOT
        MOV     #340,@#177776
        MOV     psnow,cell
        BIC     #177437,cell
        JSR     R5,wantat
        .word   prio, cell
        ADD     #40,prio
        CMP     prio,#340
        BLOS    3$
        JSR     R5,next
        .word   hpsby
        MOVB    #100,@#177776
        MOVB    @#177776,cell   ; a byte of it
        MOV     #340,@#177776
        BIC     #177437,cell
        JSR     R5,want
        .word   100, cell
        RTS     PC
9$:     CMP     (SP)+,(SP)+
        JSR     R5,rearm
        .word   4
        RTS     PC

; --- words ----------------------------------------------------------------------------------------------------------

row:    .word   0
code:   .word   0
turns:  .word   0
prio:   .word   0
ccin:   .word   0
in0:    .word   0
vec:    .word   0
newps:  .word   0
pcwant: .word   0
psneed: .word   0
goon:   .word   0
absent: .word   0
cell:   .word   0
works:  .word   0
early:  .word   0
zone:   .word   0
loops:  .word   0               ; how often WAIT went on
pause:  .word   0               ; ticks that came by the way
one:    .word   1
spsafe: .word   0
level2: .word   0
came:   .word   0               ; how many traps or interrupts
hpc:    .word   0               ; PC and PS as saved
hps:    .word   0
hsp:    .word   0               ; SP in the service
psin:   .word   0               ; PS there
psback: .word   0               ; PS after it
psnow:  .word   0

hemt:   .asciz  /EMT traps through 30/
htrap:  .asciz  /TRAP traps through 34/
hbpt:   .asciz  /BPT traps through 14/
hiot:   .asciz  /IOT traps through 20/
hlevel: .asciz  /the vector gives codes and priority/
hreser: .asciz  /a reserved instruction traps through 10/
hregj:  .asciz  /JMP or JSR to a register traps/
hnone:  .asciz  /an address that nobody answers/
tnone:  .asciz  /every address from 160000 to 164000 answers/
hfetch: .asciz  /a jump to where nobody answers traps through 4/
hstep:  .asciz  /(R0)+ where nobody answers traps through 4/
hread:  .asciz  /reading where nobody answers traps through 4/
hwrit:  .asciz  /clearing where nobody answers traps through 4/
hmodi:  .asciz  /counting where nobody answers traps through 4/
hreadb: .asciz  /reading a byte where nobody answers traps through 4/
hwritb: .asciz  /clearing a byte where nobody answers traps through 4/
hmovr:  .asciz  /MOV from where nobody answers leaves the register alone/
hmovm:  .asciz  /MOV to where nobody answers traps through 4/
hcmps:  .asciz  /CMP with what nobody answers traps through 4/
hodd:   .asciz  /reading a word at an odd address/
hoddw:  .asciz  /writing a word at an odd address/
hoddb:  .asciz  /a byte at an odd address/
hrti:   .asciz  /RTI brings back the codes/
htrace: .asciz  /T set by RTI traps once through 14/
htraces: .asciz /T set by RTI traps after each instruction/
hlim1:  .asciz  /a word pushed at 400 is within any stack/
hlim2:  .asciz  /a word pushed below 400: trap through 4, or no limit/
hlim3:  .asciz  /the stack limit holds at each place below 400/
hreset: .asciz  /RESET leaves registers alone and clears the enable of the transmitter/
hresei: .asciz  /RESET takes away a request/
hmask:  .asciz  /the transmitter interrupts below priority 4/
tready: .asciz  /the transmitter is not ready/
hwait:  .asciz  /WAIT ends with an interrupt/
tearly: .asciz  /the interrupt came before WAIT each time/
hpsrd:  .asciz  /PS can be read at 177776/
hpswr:  .asciz  /the priority can be written at 177776/
hpsby:  .asciz  /PS at 177776 in bytes/
tloops: .asciz  /WAIT went on by itself/
hask:   .asciz  /a program request interrupts below its level/
        .even
