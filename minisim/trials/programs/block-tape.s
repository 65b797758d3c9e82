; device: serial-block-tape
; scratch: yes
; memory: 12
; with: storage

; The serial block tape: two drives with a controller of their own at the end of a serial line, 512 blocks of 512 bytes.
; Codes: derived, [block-tape-driver-header]; capacity: seen, [block-tape-guide]; the conversation: from memory, firm.
; Left out: the handshake after each byte, the switches, a drive without a cartridge at a bootstrap (unconfirmed).
; A pass takes some minutes: the tape moves a lot.

device  = 176500                ; receive status, data, transmit status, data
vector  = 300

data    = 1                     ; flags
ctrl    = 2
init    = 4
boot    = 10
goon    = 20
xoff    = 23

read    = 2                     ; opcodes; the modifier stands in the upper byte
write   = 3
positn  = 5
verif   = 400                   ; write, and verify
records = 100000                ; numbers of records of 128 bytes instead of blocks

name:   .asciz  /block-tape/
about:  .asciz  /line, packets, positions, blocks and errors of the serial block tape and its cartridge/
        .even

run:    MOV     SP,ground
        MOV     at,R4
        MOV     #400.,patien
        JSR     PC,regist
        JSR     PC,mounted
        JSR     PC,refuse
        JSR     PC,talk
        JSR     PC,reads
        JSR     PC,writes
        JSR     PC,calm
        RTS     PC

; --- the line -------------------------------------------------------------------------------------------------------

; The next byte, in R0.  None: the pass ends.
fetch:  TSTB    (R4)
        BMI     2$
        MOV     patien,1$
        JSR     R5,until
        .word   0, 200
1$:     .word   0
        BCC     2$
        JSR     R5,bad
        .word   tsilen
        JMP     quit
2$:     MOVB    2(R4),R0
        BIC     #177400,R0
        RTS     PC
patien: .word   0               ; how long to wait: a cartridge is wound to its end in half a minute

give:   TSTB    4(R4)
        BMI     1$
        JSR     R5,until
        .word   4, 200, 50.
        BCC     1$
        JSR     R5,bad
        .word   tstuck
        JMP     quit
1$:     MOVB    R0,6(R4)
        RTS     PC

; Break, INIT, INIT: the drive answers CONTINUE, whatever it did before.
wake:   MOV     at,R4
        BIS     #1,4(R4)
        CLR     R0
        JSR     PC,give         ; what is sent in a break measures the time
        JSR     PC,give
        JSR     PC,give
        JSR     R5,until
        .word   4, 200, 50.
        BIC     #1,4(R4)
        TST     2(R4)           ; what came meanwhile
        MOV     #init,R0
        JSR     PC,give
        JSR     PC,give
        MOV     #10.,patien
        MOV     #200.,R3
1$:     JSR     PC,fetch
        CMP     R0,#goon
        BEQ     2$
        DEC     R3
        BNE     1$
        JSR     R5,bad
        .word   tnocon
        JMP     quit
2$:     MOV     #400.,patien
        RTS     PC

; A byte of R0 into the sum in R2; `half` says which of a pair.
sumup:  COM     half
        BMI     1$
        SWAB    R0
        ADD     R0,R2
        ADC     R2
        SWAB    R0
        RTS     PC
1$:     ADD     R0,R2
        ADC     R2
        RTS     PC
half:   .word   0

; R3 bytes from R1 on, into the sum and the line; then the sum.
send:   CLR     R2
        CLR     half
more:   MOVB    (R1)+,R0
        BIC     #177400,R0
        JSR     PC,sumup
        JSR     PC,give
        DEC     R3
        BNE     more
        ADD     spoil,R2        ; not 0: a wrong sum
        MOV     R2,R0
        JSR     PC,give
        SWAB    R0
        JMP     give
spoil:  .word   0

; The next byte, into the sum.
taken:  JSR     PC,fetch
        JMP     sumup

; The sum of what was taken, against the two bytes that follow.
summed: MOV     R2,mysum
        JSR     PC,fetch
        MOV     R0,R1
        JSR     PC,fetch
        SWAB    R0
        BIS     R1,R0
        MOV     R0,itssum
        JSR     R5,namedat
        .word   nsum, mysum, itssum
        RTS     PC
mysum:  .word   0
itssum: .word   0

; --- a command ------------------------------------------------------------------------------------------------------

; .word opcode and modifier, bytes, block.  Data go to `buffer` or come from there; the end packet closes it.
cmd:    MOV     (R5)+,opcode
        MOV     (R5)+,bytes
        MOV     (R5)+,block
        JSR     PC,cmd0
        RTS     R5
cmd0:   MOV     at,R4
        MOVB    unit,drivno
cmd1:   MOV     #buffer,bpoint
        MOV     bytes,wleft
        CLR     packs
        MOV     #packet,R1
        MOV     #12.,R3
        JSR     PC,send
reply:  CLR     R2
        CLR     half
        JSR     PC,taken
        CMP     R0,#data
        BEQ     3$
        CMP     R0,#ctrl
        BEQ     4$
        CMP     R0,#goon
        BEQ     6$
1$:     MOV     R0,strang
        JSR     R5,named
        .word   nflag, ctrl, strang
        MOV     #-1,endcod
        JMP     wake

3$:     INC     packs           ; a data packet
        JSR     PC,taken
        MOV     R0,R3
        BEQ     1$
        CMP     R3,#200
        BHI     1$
2$:     JSR     PC,taken
        CMP     bpoint,#bufend
        BHIS    7$
        MOVB    R0,@bpoint
        INC     bpoint
7$:     DEC     R3
        BNE     2$
        JSR     PC,summed
        BR      reply

4$:     MOV     #endpac,R1      ; the end packet
        MOVB    R0,(R1)+
        MOV     #11.,R3
5$:     JSR     PC,taken
        MOVB    R0,(R1)+
        DEC     R3
        BNE     5$
        JMP     summed

6$:     TST     wleft           ; the drive wants data
        BEQ     1$
        MOV     #200,R3
        CMP     R3,wleft
        BLOS    8$
        MOV     wleft,R3
8$:     SUB     R3,wleft
        INC     packs
        MOV     R3,R0
        SWAB    R0
        BIS     #data,R0
        MOV     R0,datpac
        CLR     R2
        CLR     half
        MOV     #data,R0
        JSR     PC,sumup
        JSR     PC,give
        MOV     R3,R0
        JSR     PC,sumup
        JSR     PC,give
        MOV     bpoint,R1
        ADD     R3,bpoint
        JSR     PC,more
        JMP     reply
datpac: .word   0
bpoint: .word   0
wleft:  .word   0
packs:  .word   0               ; data packets
strang: .word   0
packet: .byte   ctrl, 12
opcode: .word   0
drivno: .byte   0, 0
        .word   0
bytes:  .word   0
block:  .word   0
endpac: .byte   0, 0, 0         ; flag, count, END
endcod: .byte   0
endunt: .byte   0, 0
        .word   0
enddon: .word   0
endsum: .word   0
part:   .word   0

; The end packet says: .word code, bytes done.
ends:   MOV     (R5)+,1$
        MOV     (R5)+,2$
        MOV     endpac,part
        JSR     R5,named
        .word   nendp, 5002, part
        MOVB    endpac+2,part
        CLRB    part+1
        JSR     R5,named
        .word   nend, 100, part
        MOVB    endcod,part
        CLRB    part+1
        JSR     R5,named
        .word   ncode
1$:     .word   0, part
        MOVB    endunt,part
        CLRB    part+1
        MOVB    drivno,strang
        CLRB    strang+1
        JSR     R5,namedat
        .word   nunit, strang, part
        JSR     R5,named
        .word   ndone
2$:     .word   0, enddon
        MOV     endsum,part     ; bit 15: something is to be told
        BIC     #77777,part
        CLR     strang
        TSTB    endcod
        BEQ     3$
        MOV     #100000,strang
3$:     JSR     R5,namedat
        .word   nsummr, strang, part
        RTS     R5

; --- registers and line ---------------------------------------------------------------------------------------------

regist: JSR     R5,allans
        .word   tansw, 3
        JSR     R5,next
        .word   tinit           ; the enables and the break bit are 0, the transmitter is ready
        MOV     at,R4
        MOV     #100,(R4)
        MOV     #100,4(R4)
        JSR     PC,calm
        MOV     (R4),R0
        MOV     4(R4),R1
        BIC     #177677,R0
        BIC     #177476,R1
        IOT
        JSR     R5,want
        .word   0, kept0
        JSR     R5,want
        .word   200, kept1

        JSR     R5,next
        .word   twake
        JSR     PC,wake
        JSR     R5,close

        TST     by
        BNE     4$
        RTS     PC
4$:     JSR     R5,next         ; level 4: not at priority 4, at 3
        .word   ttxirq
        JSR     PC,watch
        MOV     #100,4(R4)      ; ready is there, the enable rises
        JSR     R5,lower
        .word   200
        JSR     R5,named
        .word   nirq, 0, rung2
        JSR     R5,lower
        .word   140
        JSR     R5,lower
        .word   140
        JSR     R5,named
        .word   nirq, 1, rung2
        JSR     R5,named
        .word   nirq, 0, rung
        CLR     4(R4)

        JSR     R5,next
        .word   trxirq
        JSR     PC,watch
        MOV     #100,(R4)
        MOV     #init,R0        ; the drive answers two INITs with one byte
        JSR     PC,give
        JSR     PC,give
        JSR     R5,until
        .word   0, 200, 10.
        JSR     R5,named
        .word   nirq, 0, rung
        JSR     R5,lower
        .word   200
        JSR     R5,named
        .word   nirq, 0, rung
        JSR     R5,lower
        .word   140
        JSR     R5,lower
        .word   140
        JSR     R5,named
        .word   nirq, 1, rung
        JSR     R5,named
        .word   nirq, 0, rung2
        CLR     (R4)
        JSR     PC,fetch
        IOT
        JSR     R5,named
        .word   nflag, goon, kept0
        JSR     R5,close
        JSR     PC,calm
        JMP     wake

; --- the drives -----------------------------------------------------------------------------------------------------

mounted: JSR    R5,next
        .word   tmount
        JSR     R5,cmd
        .word   positn, 0, 0
        CMPB    endcod,#367
        BNE     1$
        JSR     R5,bad
        .word   tempty
        JMP     quit
1$:     JSR     R5,ends
        .word   0, 0

        JSR     R5,next         ; the other drive of the box is there; a cartridge need not be in it
        .word   tother
        MOV     unit,R0
        COM     R0
        BIC     #177776,R0
        MOVB    R0,drivno
        MOV     #positn,opcode
        CLR     bytes
        CLR     block
        JSR     PC,cmd1
        TSTB    endcod
        BEQ     2$
        JSR     R5,ends
        .word   367, 0
2$:     JSR     R5,close
        RTS     PC

; What can't be done: code, and no motion.
refuse: MOV     #trefus,R1
1$:     MOV     R1,listat
        MOV     (R1)+,opcode
        TST     (R1)+
        MOV     (R1)+,block
        MOV     (R1)+,2$
        MOV     (R1)+,3$
        JSR     R5,next
2$:     .word   0
        MOV     listat,R1
        MOV     2(R1),R0
        BPL     4$
        MOV     unit,R0
4$:     MOV     R0,drivno       ; and no switches
        MOV     #512.,bytes
        MOV     at,R4
        JSR     PC,wash
        JSR     PC,cmd1
        JSR     R5,ends
3$:     .word   0, 0
        JSR     R5,named
        .word   npacks, 0, packs
        JSR     R5,clean
        .word   front, rear
        JSR     R5,close
        MOV     listat,R1
        ADD     #12,R1
        CMP     R1,#trefux
        BLO     1$
        RTS     PC
listat: .word   0
trefus: .word   read, 2, 0, tnodrv, 370                 ; A41; a drive of -1 is that of the test
        .word   positn, 377, 0, tnodrv, 370
        .word   read, -1, 512., tnoblk, 311
        .word   read, -1, 177777, tnoblk, 311
        .word   positn, -1, 512., tnoblk, 311
        .word   records+read, -1, 2048., tnoblk, 311
        .word   4, -1, 0, tnoop, 320
        .word   77, -1, 0, tnoop, 320
        .word   0, -1, 0, tplain, 0                     ; what only ends
        .word   1, -1, 0, tplain, 0
        .word   10, -1, 0, tplain, 0
        .word   11, -1, 0, tplain, 0
        .word   7, -1, 0, tself, 0
trefux:

; --- the conversation -----------------------------------------------------------------------------------------------

; Out of step: INIT again and again, until break, INIT, INIT.
talk:   JSR     R5,next
        .word   tbadsm
        INC     spoil
        MOVB    unit,drivno
        MOV     #positn,opcode
        CLR     bytes
        CLR     block
        MOV     #packet,R1
        MOV     #12.,R3
        JSR     PC,send
        CLR     spoil
        JSR     PC,lost
        JSR     R5,next
        .word   tbadfl
        MOV     #77,R0
        JSR     PC,give
        JSR     PC,lost

        JSR     R5,next
        .word   tboot           ; A45
        JSR     R5,cmd
        .word   read, 512., 0
        JSR     R5,ends
        .word   0, 512.
        JSR     PC,wake
        MOV     #boot,R0
        JSR     PC,give
        MOVB    unit,R0
        JSR     PC,give
        MOV     #buffer,R1
        CLR     R3
1$:     JSR     PC,fetch
        CMPB    R0,(R1)+
        BNE     2$
        INC     R3
        CMP     R3,#512.
        BLO     1$
        BR      3$
2$:     MOVB    -(R1),R1
        BIC     #177400,R1
        IOT
        JSR     R5,wantat
        .word   kept1, kept0
3$:     JSR     R5,close
        JSR     PC,wake

        JSR     R5,next
        .word   tpause          ; XOFF within a packet, CONTINUE: no byte is lost
        MOV     #buffer,R0      ; what the last case read stays for comparing
        MOV     #other,R1
        MOV     #256.,R2
4$:     MOV     (R0)+,(R1)+
        DEC     R2
        BNE     4$
        JSR     PC,wash1
        MOVB    unit,drivno
        MOV     #read,opcode
        MOV     #512.,bytes
        CLR     block
        MOV     #buffer,bpoint
        CLR     packs
        CLR     wleft
        MOV     #packet,R1
        MOV     #12.,R3
        JSR     PC,send
        CLR     R2
        CLR     half
        JSR     PC,taken        ; flag and count, by hand
        MOV     R0,strang
        JSR     R5,named
        .word   nflag, data, strang
        JSR     PC,taken
        MOV     R0,R3
        MOV     #xoff,R0
        JSR     PC,give
        MOV     #4,left         ; what is on its way may still come
5$:     JSR     R5,until
        .word   0, 200, 3
        BCS     6$
        JSR     PC,taken
        MOVB    R0,@bpoint
        INC     bpoint
        DEC     R3
        DEC     left
        BNE     5$
        JSR     R5,bad
        .word   tflows
6$:     MOV     #goon,R0
        JSR     PC,give
7$:     JSR     PC,taken
        MOVB    R0,@bpoint
        INC     bpoint
        DEC     R3
        BNE     7$
        JSR     PC,summed
        JSR     PC,reply
        JSR     R5,ends
        .word   0, 512.
        MOV     #256.,R2
        JSR     PC,equal

        JSR     R5,next
        .word   tbreak          ; a break in the middle of a packet
        MOV     #packet,R1
        MOV     #12.,R3
        JSR     PC,send
        JSR     PC,fetch
        JSR     PC,fetch
        JSR     PC,fetch
        JSR     PC,wake
        JSR     R5,cmd
        .word   10, 0, 0
        JSR     R5,ends
        .word   0, 0
        JSR     R5,close
        RTS     PC
left:   .word   0

lost:   MOV     at,R4
        MOV     #4,left
1$:     JSR     PC,fetch
        MOV     R0,strang
        JSR     R5,named
        .word   nflag, init, strang
        DEC     left
        BNE     1$
        JSR     R5,close
        JMP     wake

wash1:  MOV     #buffer,R0
1$:     MOV     #dull,(R0)+
        CMP     R0,#bufend
        BLO     1$
        RTS     PC

; R2 words of `buffer` are those of `other`.
equal:  MOV     #buffer,R0
        MOV     #other,R1
equal1: CMP     (R0)+,(R1)+
        BNE     1$
        DEC     R2
        BNE     equal1
        RTS     PC
1$:     MOV     -(R0),R2
        MOV     -(R1),R3
        IOT
        JSR     R5,wantat
        .word   kept3, kept2
        RTS     PC

; --- reading --------------------------------------------------------------------------------------------------------

; Near the beginning of the tape, where the second track begins as well; then at its far end.
reads:  JSR     R5,some
        .word   tnear, tfar
        JSR     R5,next
        .word   ttwice          ; a block twice, and its records one by one
        JSR     R5,cmd
        .word   read, 512., 400
        JSR     R5,ends
        .word   0, 512.
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     #256.,R2
1$:     MOV     (R0)+,(R1)+
        DEC     R2
        BNE     1$
        JSR     PC,wash1
        JSR     R5,cmd
        .word   read, 512., 400
        JSR     R5,ends
        .word   0, 512.
        MOV     #256.,R2
        JSR     PC,equal
        JSR     R5,next
        .word   trecrd
        JSR     R5,cmd
        .word   records+read, 128., 2002
        JSR     R5,ends
        .word   0, 128.
        MOV     #buffer,R0
        MOV     #other+400,R1
        MOV     #64.,R2
        JSR     PC,equal1
        JSR     R5,next
        .word   tweak           ; with reduced sensitivity, which a good cartridge stands
        JSR     PC,wash1
        JSR     R5,cmd
        .word   400+read, 512., 400
        JSR     R5,ends
        .word   0, 512.
        MOV     #256.,R2
        JSR     PC,equal
        JSR     R5,close
        JSR     R5,some
        .word   tfar, treadx
        RTS     PC
some:   MOV     (R5)+,R1        ; so many bytes, in packets of 200: .word rows, their end
        MOV     (R5)+,rowend
1$:     MOV     R1,listat
        MOV     (R1)+,opcode
        MOV     (R1)+,bytes
        MOV     (R1)+,block
        MOV     (R1)+,2$
        MOV     (R1)+,3$
        MOV     (R1)+,5$
        MOV     (R1)+,6$
        JSR     R5,next
2$:     .word   0
        JSR     PC,wash
        JSR     PC,cmd0
        JSR     R5,ends
3$:     .word   0
5$:     .word   0
        JSR     R5,named
        .word   npacks
6$:     .word   0, packs
        MOV     5$,R0           ; nothing behind the last byte
        ADD     #buffer,R0
        BIT     #1,R0
        BEQ     7$
        CMPB    (R0)+,#dull/400
        BEQ     7$
        JSR     R5,bad
        .word   tbehnd
7$:     MOV     R0,8$
        JSR     R5,clean
8$:     .word   0, bufend
        JSR     R5,close
        MOV     listat,R1
        ADD     #16,R1
        CMP     R1,rowend
        BLO     1$

        RTS     R5
rowend: .word   0
; opcode, bytes, block, text, code, bytes done, packets
tnear:  .word   read, 1, 0, tbytes, 0, 1, 1
        .word   read, 127., 0, tbytes, 0, 127., 1
        .word   read, 129., 0, tbytes, 0, 129., 2
        .word   read, 600., 0, tbytes, 0, 600., 5
tfar:   .word   read, 512., 776, tbytes, 0, 512., 4
        .word   read, 1024., 777, tend, 376, 512., 4
treadx:

; --- what writes ----------------------------------------------------------------------------------------------------

writes: JSR     PC,look
        BIT     #10,R0
        BNE     1$
        MOV     #tread,R0
        JSR     PC,remark
        RTS     PC
1$:     JSR     PC,trial
        BCS     2$
        JSR     PC,blocks
        JSR     PC,partly
2$:     RTS     PC

; The first write: a protected cartridge refuses it with 365 and stays as it is.  C set: it does.
trial:  JSR     R5,next
        .word   ttrial
        JSR     R5,cmd
        .word   read, 512., 0
        JSR     R5,ends
        .word   0, 512.
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     #256.,R2
1$:     MOV     (R0),(R1)+
        COM     (R0)+
        DEC     R2
        BNE     1$
        JSR     R5,cmd
        .word   write, 512., 0
        CLR     locked
        CMPB    endcod,#365
        BNE     3$
        INC     locked
        JSR     R5,ends
        .word   365, 0
        JSR     R5,named
        .word   npacks, 0, packs
        BR      4$
3$:     JSR     R5,ends
        .word   0, 512.
        MOV     #other,R0
        MOV     #256.,R2
2$:     COM     (R0)+
        DEC     R2
        BNE     2$
4$:     JSR     PC,wash1
        JSR     R5,cmd
        .word   read, 512., 0
        JSR     R5,ends
        .word   0, 512.
        MOV     #256.,R2
        JSR     PC,equal
        JSR     R5,close
        TST     locked
        BEQ     5$
        MOV     #tlock,R0
        JSR     PC,remark
        SEC
        RTS     PC
5$:     CLC
        RTS     PC
locked: .word   0

; The first blocks, two over the border of the tracks, the last ones and past them; then all are read.
blocks: MOV     #tblock,R1
1$:     MOV     R1,listat
        JSR     R5,next
        .word   twrite
        MOV     listat,R1
        MOV     (R1)+,opcode
        MOV     (R1)+,bytes
        MOV     (R1)+,block
        MOV     (R1)+,2$
        MOV     (R1)+,10$
        JSR     PC,pattrn
        JSR     PC,cmd0
        JSR     R5,ends
2$:     .word   0
10$:    .word   0
        JSR     R5,close
        MOV     listat,R1
        ADD     #12,R1
        CMP     R1,#tblocx
        BLO     1$

        MOV     #tback,R1
3$:     MOV     R1,listat
        MOV     (R1),block
        JSR     PC,verify
        MOV     listat,R1
        TST     (R1)+
        CMP     R1,#tbackx
        BLO     3$
        RTS     PC
; opcode, bytes, block, code, bytes done
tblock: .word   write, 512., 0, 0, 512.
        .word   verif+write, 512., 1, 0, 512.
        .word   write, 1024., 377, 0, 1024.
        .word   write, 1536., 776, 376, 1024.           ; past the last block
tblocx:
tback:  .word   0, 1, 400, 377, 776, 777
tbackx:

; The patterns of `bytes` from `block` on, in `buffer`.
pattrn: MOV     #buffer,R2
        MOV     bytes,R3
        ASR     R3
        MOV     block,R1
1$:     JSR     PC,seed
        MOV     #256.,left
2$:     MOV     R0,(R2)+
        ADD     #step,R0
        DEC     R3
        BEQ     3$
        DEC     left
        BNE     2$
        INC     R1
        BR      1$
3$:     RTS     PC
seed:   MOV     pass,R0         ; of the block in R1
        SWAB    R0
        ASL     R0
        ASL     R0
        ADD     R1,R0
        RTS     PC

verify: MOV     block,R0
        MOV     #blkno+3,R1
        MOV     #3,R2
        JSR     PC,digits
        JSR     R5,next
        .word   tplacd
        JSR     PC,wash
        MOV     #read,opcode
        MOV     #512.,bytes
        JSR     PC,cmd0
        JSR     R5,ends
        .word   0, 512.
        JSR     R5,named
        .word   npacks, 4, packs
        MOV     block,R1
        JSR     PC,seed
        MOV     #256.,R1
        JSR     PC,same
        JSR     R5,close
        RTS     PC

; Part of a block: the rest becomes 0.  A record: the others of its block stay.
partly: JSR     R5,next
        .word   tpartw
        MOV     #1,block
        MOV     #512.,bytes
        JSR     PC,pattrn
        COM     buffer
        JSR     R5,cmd
        .word   write, 100., 1
        JSR     R5,ends
        .word   0, 100.
        JSR     R5,named
        .word   npacks, 1, packs
        JSR     PC,wash1
        JSR     R5,cmd
        .word   read, 512., 1
        COM     buffer
        MOV     #1,R1
        JSR     PC,seed
        MOV     #50.,R1
        JSR     PC,same
        MOV     #buffer+100.,R0
1$:     TST     (R0)+
        BNE     2$
        CMP     R0,#buffer+1000
        BLO     1$
        BR      3$
2$:     MOV     -(R0),R0
        IOT
        JSR     R5,want
        .word   0, kept0
3$:     JSR     R5,close
        CLR     block
        JSR     PC,verify

        JSR     R5,next
        .word   trecw
        CLR     block
        MOV     #512.,bytes
        JSR     PC,pattrn
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     #256.,R2
4$:     MOV     (R0)+,(R1)+
        DEC     R2
        BNE     4$
        MOV     #buffer,R0
        MOV     #other+400,R1
        MOV     #64.,R2
5$:     COM     (R0)
        MOV     (R0)+,(R1)+
        DEC     R2
        BNE     5$
        JSR     R5,cmd
        .word   records+write, 128., 2
        JSR     R5,ends
        .word   0, 128.
        JSR     PC,wash1
        JSR     R5,cmd
        .word   read, 512., 0
        MOV     #256.,R2
        JSR     PC,equal

        JSR     R5,close
        RTS     PC

; --- texts ----------------------------------------------------------------------------------------------------------

nsum:   .asciz  /check word of the packet/
nflag:  .asciz  /byte from the drive/
nendp:  .asciz  /flag and count of the end packet/
nend:   .asciz  /opcode of the end packet/
ncode:  .asciz  /success code/
nunit:  .asciz  /drive in the end packet/
ndone:  .asciz  /number of bytes done/
nsummr: .asciz  /summary word, bit 15/
npacks: .asciz  /number of data packets/
nirq:   .asciz  /number of interrupts/
tread:  .asciz  /nothing is written: switch 10 (octal) says that the cartridge may be overwritten, and it is off/
tlock:  .asciz  /the cartridge is write-protected: that it stays is tested instead of writing/
tsilen: .asciz  /the drive does not answer: is it on, is the cable in, do both sides have the same speed?/
tstuck: .asciz  /the transmitter of the line does not get ready/
tnocon: .asciz  /the drive answers, but not to break, INIT, INIT/
tempty: .asciz  /no cartridge is in the drive/
tflows: .asciz  /bytes go on coming after XOFF/
tbehnd: .asciz  /a byte more than asked for/

tansw:  .asciz  /the registers of the line answer/
tinit:  .asciz  /bus initialise: no enables, no break, the transmitter is ready/
twake:  .asciz  /break, INIT, INIT: the drive answers/
ttxirq: .asciz  /the transmitter interrupts, once/
trxirq: .asciz  /the receiver interrupts, once/
tmount: .asciz  /the drive has a cartridge and finds block 0/
tother: .asciz  /the other drive answers/
tnodrv: .asciz  /a drive that there is not/
tnoblk: .asciz  /a block that there is not/
tnoop:  .asciz  /an opcode that there is not/
tplain: .asciz  /a command that moves nothing/
tself:  .asciz  /the drive tests itself/
tbadsm: .asciz  /a command with a wrong check word: the drive asks for a new start/
tbadfl: .asciz  /a byte that means nothing: the drive asks for a new start/
tboot:  .asciz  /bootstrap gives the plain bytes of block 0/
tpause: .asciz  /XOFF and CONTINUE within a packet/
tbreak: .asciz  /a break within a packet/
tbytes: .asciz  /reading so many bytes, and no more/
tend:   .asciz  /reading past the last block/
ttwice: .asciz  /a block read twice/
trecrd: .asciz  /a record by its number/
tweak:  .asciz  /reading with reduced sensitivity/
ttrial: .asciz  /a block written is changed, or refused and stays/
twrite: .asciz  /writing blocks/
tpartw: .asciz  /part of a block is written, the rest becomes 0/
trecw:  .asciz  /a record is written, the others of its block stay/
tplacd: .ascii  /read back block /
blkno:  .ascii  /000/<0>
        .even

front:  . = . + 20
buffer: . = . + 3000
bufend: . = . + 20
other:  . = . + 1000
rear:
