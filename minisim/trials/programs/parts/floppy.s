; What the programs for both 8-inch floppy controllers share; storage.s stands before it.
; Registers: seen, [floppy-wiki]; handshake and error codes: seen, [floppy-guide-1978]; the rest: from memory, firm.
; Left out: the codes of a drive without a diskette and of a protected one (unconfirmed), what the unit and density bits
; of the status register read as (unconfirmed), a track number of exactly 77 (disputed), a function while one is running,
; what initialise leaves in the buffer (two readings).
;
; The program has
;       outset  status after initialise         defect  bits of the error and status word that tell of a fault
;       size    words of a sector now           drive   unit and density, as the status register has them
;       filbuf, empbuf  JSR PC: `buffer` to the controller's buffer, or back: `size` words
;       codeis  JSR R5, .word code: the code of the last error
;       rewrit  JSR PC: cases of its own that write
;       special JSR PC: cases of its own, after the drive was found ready

status  = 0
data    = 2
done1   = 40
fill1   = 1                     ; functions with GO
empty1  = 3
write1  = 5
read1   = 7
stat1   = 13
del1    = 15
error1  = 17

run:    MOV     SP,ground
        MOV     at,R4
        CLR     drive
        TST     unit
        BEQ     1$
        MOV     #20,drive
1$:     JSR     PC,regist
        JSR     PC,mounted
        JSR     PC,special
        JSR     PC,bounds
        JSR     PC,reads
        JSR     PC,unload
        JSR     PC,lines
        JSR     PC,writes
        JSR     PC,calm
        RTS     PC

; --- a function -----------------------------------------------------------------------------------------------------

; .word function, parameters, first, second.  It ends, or the pass does.
func:   MOV     (R5)+,fnword
        MOV     (R5)+,fnpars
        MOV     (R5)+,par1
        MOV     (R5)+,par2
        JSR     PC,func0
        RTS     R5
func0:  MOV     at,R4
        JSR     PC,waits
        MOV     fnword,R0
        BIS     drive,R0
        MOV     R0,(R4)
        MOV     #par1,R1
        MOV     fnpars,unaskd
1$:     TST     unaskd
        BEQ     waits
        JSR     PC,asked
        TSTB    (R4)
        BPL     waits
        MOV     (R1)+,data(R4)
        DEC     unaskd
        BR      1$

; Until DONE.
waits:  JSR     R5,until
        .word   status, done1, 50.
        BCC     1$
        JSR     R5,bad
        .word   tnodon
        JMP     quit
1$:     MOV     (R4),stword
        MOV     data(R4),esword
        RTS     PC

; Until a parameter or byte is asked for, or the function is over.
asked:  JSR     R5,until
        .word   status, done1+200, 50.
        BCC     1$
        JSR     R5,bad
        .word   tnoask
        JMP     quit
1$:     RTS     PC
fnword: .word   0
fnpars: .word   0
par1:   .word   0
par2:   .word   0
unaskd: .word   0
stword: .word   0
esword: .word   0
stpart: .word   0

; Without an error, and all parameters were taken.
sound:  MOV     stword,stpart
        BIC     #77777,stpart
        JSR     R5,named
        .word   nerror, 0, stpart
        JSR     R5,named
        .word   nunask, 0, unaskd
        MOV     #defect,R0
        COM     R0
        MOV     esword,stpart
        BIC     R0,stpart
        JSR     R5,named
        .word   nesw, 0, stpart
        RTS     PC

; With an error: .word bits of the error and status word that must be 1, of those in `defect`.
wrong:  MOV     stword,stpart
        BIC     #77777,stpart
        JSR     R5,named
        .word   nerror, 100000, stpart
        MOV     (R5)+,1$
        MOV     #defect,R0
        COM     R0
        MOV     esword,stpart
        BIC     R0,stpart
        JSR     R5,named
        .word   nesw
1$:     .word   0, stpart
        RTS     R5

; --- registers ------------------------------------------------------------------------------------------------------

regist: JSR     R5,allans
        .word   tansw, 2
        JSR     R5,next
        .word   tinit           ; initialise from the bus (A35)
        MOV     at,R4
        JSR     PC,calm
        JSR     PC,begun

        JSR     R5,next
        .word   tbegin          ; from bit 14; DONE falls at once
        MOV     at,R4
        MOV     #40000,(R4)
        MOV     (R4),R0
        BIC     #177737,R0
        IOT
        JSR     R5,want
        .word   0, kept0
        JSR     PC,begun

        JSR     R5,next
        .word   tenabl
        MOV     at,R4
        MOV     #100,(R4)
        MOV     (R4),R0
        CLR     (R4)
        MOV     (R4),R1
        BIC     #177677,R0
        BIC     #177677,R1
        IOT
        JSR     R5,want
        .word   100, kept0
        JSR     R5,want
        .word   0, kept1

        JSR     R5,next
        .word   twonly          ; function, GO and the address bits can't be read; 10 and 9 are nothing
        MOV     at,R4
        MOV     #33016,(R4)
        MOV     (R4),R0
        CLR     (R4)
        BIC     #40760,R0
        IOT
        JSR     R5,want
        .word   outset-40, kept0
        JSR     R5,close
        RTS     PC

begun:  JSR     PC,waits
        MOV     stword,stpart
        JSR     R5,named
        .word   nstat, outset, stpart
        MOV     esword,stpart
        BIC     #177773,stpart
        JSR     R5,named
        .word   nbegin, 4, stpart
        RTS     PC

; --- the drive ------------------------------------------------------------------------------------------------------

mounted: JSR    R5,next
        .word   tmount
        JSR     R5,func
        .word   stat1, 0, 0, 0
        BIT     #200,esword
        BNE     1$
        JSR     R5,bad
        .word   tempty
        JMP     quit
1$:     JSR     PC,sound
        JSR     R5,close
        RTS     PC

; Where there is a drive without a diskette, it says so, and it can't be read.
unload: MOV     drive,-(SP)
        MOV     #20,R0
        BIT     R0,drive
        BEQ     1$
        BIC     R0,drive
        BR      2$
1$:     BIS     R0,drive
2$:     JSR     R5,func
        .word   stat1, 0, 0, 0
        BIT     #200,esword
        BNE     3$
        MOV     drive,par2
        JSR     R5,next
        .word   tunloa
        JSR     R5,func
        .word   read1, 2, 1, 1
        MOV     stword,stpart
        BIC     #77777,stpart
        JSR     R5,named
        .word   nerror, 100000, stpart
        JSR     R5,close
3$:     MOV     (SP)+,drive
        RTS     PC

; --- sectors that there are not -------------------------------------------------------------------------------------

bounds: MOV     #tbound,R1
1$:     MOV     R1,listat
        MOV     (R1)+,par1
        MOV     (R1)+,par2
        MOV     (R1)+,2$
        MOV     (R1)+,3$
        JSR     R5,next
2$:     .word   0
        MOV     #read1,fnword
        MOV     #2,fnpars
        JSR     PC,func0
        JSR     R5,wrong
        .word   0
        JSR     R5,codeis
3$:     .word   0
        JSR     R5,func         ; the next function clears the error
        .word   read1, 2, 1, 1
        JSR     PC,sound
        JSR     R5,close
        MOV     listat,R1
        ADD     #10,R1
        CMP     R1,#tbounx
        BLO     1$
        RTS     PC
listat: .word   0
tbound: .word   0, 1, tsect, 70                 ; sector, track, text, code
        .word   33, 1, tsect, 70
        .word   40, 114, tsect, 70
        .word   377, 0, tsect, 70
        .word   1, 116, ttrack, 40
        .word   32, 200, ttrack, 40
        .word   1, 377, ttrack, 40
tbounx:

; --- reading --------------------------------------------------------------------------------------------------------

reads:  MOV     #treads,R1
1$:     MOV     R1,listat
        JSR     R5,next
        .word   ttwice
        JSR     PC,wash
        MOV     listat,R1
        MOV     (R1)+,par1
        MOV     (R1)+,par2
        MOV     #read1,fnword
        MOV     #2,fnpars
        JSR     PC,func0
        JSR     PC,sound
        JSR     PC,empbuf
        JSR     PC,beside
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     size,R2
2$:     MOV     (R0)+,(R1)+
        DEC     R2
        BNE     2$
        JSR     R5,func         ; something else between
        .word   read1, 2, 15, 46
        JSR     PC,sound
        MOV     listat,R1
        MOV     (R1)+,par1
        MOV     (R1)+,par2
        JSR     PC,func0
        JSR     PC,sound
        JSR     PC,wash1
        JSR     PC,empbuf
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     size,R2
3$:     CMP     (R0)+,(R1)+
        BNE     4$
        DEC     R2
        BNE     3$
        BR      5$
4$:     MOV     -(R0),R2
        MOV     -(R1),R3
        IOT
        JSR     R5,wantat
        .word   kept2, kept3
5$:     JSR     R5,close
        MOV     listat,R1
        CMP     (R1)+,(R1)+
        CMP     R1,#treadx
        BLO     1$
        RTS     PC
treads: .word   1, 1,  32, 1,  1, 0,  32, 0,  15, 46,  1, 114,  32, 114
treadx:

; Nothing around the sector in `buffer` was touched.
beside: JSR     R5,clean
        .word   front, buffer
        MOV     size,R0
        ASL     R0
        ADD     #buffer,R0
        MOV     R0,1$
        JSR     R5,clean
1$:     .word   0, other
        RTS     PC
wash1:  MOV     #buffer,R0
        MOV     size,R1
1$:     MOV     #dull,(R0)+
        DEC     R1
        BNE     1$
        RTS     PC

; --- interrupts -----------------------------------------------------------------------------------------------------
; Level 5 on one bus, 4 on the other: not at priority 5, at 3.  With one level only, 5 keeps them off as well.

lines:  TST     by
        BNE     1$
        RTS     PC
1$:     JSR     R5,next
        .word   tirq
        JSR     PC,waits
        CLR     (R4)
        JSR     PC,watch
        JSR     R5,func
        .word   100+read1, 2, 1, 1
        JSR     R5,named
        .word   nirq, 0, rung
        JSR     R5,lower
        .word   240
        JSR     R5,named
        .word   nirq, 0, rung
        JSR     PC,rings
        JSR     PC,sound

        JSR     R5,next
        .word   terrq
        MOV     at,R4
        CLR     (R4)
        JSR     PC,watch
        JSR     R5,func
        .word   100+read1, 2, 33, 1
        JSR     PC,rings
        JSR     R5,wrong
        .word   0

        JSR     R5,next
        .word   tnoirq
        MOV     at,R4
        CLR     (R4)
        JSR     PC,watch
        JSR     R5,func
        .word   read1, 2, 1, 1
        JSR     R5,lower
        .word   0
        JSR     R5,named
        .word   nirq, 0, rung
        JSR     R5,close
        JSR     PC,calm
        JMP     waits
rings:  JSR     R5,lower
        .word   140
        JSR     R5,named
        .word   nirq, 1, rung
        JSR     R5,lower
        .word   140
        JSR     R5,named
        .word   nirq, 1, rung
        RTS     PC

; --- what writes ----------------------------------------------------------------------------------------------------

writes: JSR     PC,look
        BIT     #10,R0
        BNE     1$
        MOV     #tread,R0
        JSR     PC,remark
        RTS     PC
1$:     JSR     PC,trial
        BCS     2$
        JSR     PC,rewrit
        JSR     PC,packs
        JSR     PC,marks
2$:     RTS     PC

; The first write: whether it may be written at all shows by trying.  C set: it may not.
trial:  JSR     R5,next
        .word   ttrial
        JSR     R5,func
        .word   read1, 2, 1, 1
        JSR     PC,sound
        JSR     PC,empbuf
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     size,R2
1$:     MOV     (R0),(R1)+
        COM     (R0)+
        DEC     R2
        BNE     1$
        JSR     PC,filbuf
        JSR     R5,func
        .word   write1, 2, 1, 1
        CLR     locked
        TST     stword
        BPL     2$
        INC     locked
2$:     JSR     R5,func
        .word   read1, 2, 1, 1
        JSR     PC,sound
        JSR     PC,empbuf
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     size,R2
3$:     MOV     (R1)+,R3
        TST     locked
        BNE     4$
        COM     R3
4$:     CMP     (R0)+,R3
        BNE     5$
        DEC     R2
        BNE     3$
        BR      6$
5$:     MOV     -(R0),R2
        IOT
        JSR     R5,wantat
        .word   kept3, kept2
6$:     JSR     R5,close
        TST     locked
        BEQ     7$
        MOV     #tlock,R0
        JSR     PC,remark
        SEC
        RTS     PC
7$:     CLC
        RTS     PC
locked: .word   0

; All sectors of the first, the middle and the last track.
packs:  MOV     #tpack,R1
1$:     MOV     R1,packat
        MOV     (R1),track
        JSR     R5,next
        .word   twrite
        MOV     #1,sector
2$:     JSR     PC,pattrn
        JSR     PC,filbuf
        MOV     #write1,fnword
        JSR     PC,toward
        JSR     PC,func0
        JSR     PC,sound
        JSR     PC,onward
        BNE     2$
        JSR     R5,close
        MOV     packat,R1
        TST     (R1)+
        CMP     R1,#tpackx
        BLO     1$

        MOV     #tpack,R1
3$:     MOV     R1,packat
        MOV     (R1),track
        MOV     #1,sector
4$:     CLR     marked
        JSR     PC,verify
        JSR     PC,onward
        BNE     4$
        MOV     packat,R1
        TST     (R1)+
        CMP     R1,#tpackx
        BLO     3$
        RTS     PC
packat: .word   0
track:  .word   0
sector: .word   0
marked: .word   0               ; the deleted-data mark is expected
tpack:  .word   0, 46, 114
tpackx:

; Five sectors further, which is about when the head gets there; all 26 come by.  Z: it is the first one again.
onward: ADD     #5,sector
        CMP     sector,#32
        BLOS    1$
        SUB     #32,sector
1$:     CMP     sector,#1
        RTS     PC

toward: MOV     sector,par1
        MOV     track,par2
        MOV     #2,fnpars
        RTS     PC

; The pattern of the sector, in `buffer`: its seed has the track in bits 11-5, the sector below, the pass above.
pattrn: JSR     PC,seed
        MOV     size,R1
        JMP     fill
seed:   MOV     track,R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        ADD     sector,R0
        MOV     pass,R1
        SWAB    R1
        ASL     R1
        ASL     R1
        ASL     R1
        ASL     R1
        ADD     R1,R0
        RTS     PC

verify: MOV     track,R0
        MOV     #trackn+3,R1
        MOV     #3,R2
        JSR     PC,digits
        MOV     sector,R0
        MOV     #secno+2,R1
        MOV     #2,R2
        JSR     PC,digits
        JSR     R5,next
        .word   tplacd
        JSR     PC,wash
        JSR     PC,toward
        MOV     #read1,fnword
        JSR     PC,func0
        JSR     PC,sound
        MOV     esword,stpart
        BIC     #177677,stpart
        JSR     R5,namedat
        .word   nmark, marked, stpart
        JSR     PC,empbuf
        JSR     PC,beside
        JSR     PC,seed
        MOV     size,R1
        JSR     PC,same
        JSR     R5,close
        RTS     PC

; A sector with the deleted-data mark, and without it again; the neighbours keep theirs.
marks:  JSR     R5,next
        .word   tmark
        MOV     #46,track
        MOV     #15,sector
        JSR     PC,pattrn
        JSR     PC,filbuf
        MOV     #del1,fnword
        JSR     PC,toward
        JSR     PC,func0
        JSR     PC,sound
        JSR     R5,close
        MOV     #100,marked
        JSR     PC,verify
        CLR     marked
        INC     sector
        JSR     PC,verify
        SUB     #2,sector
        JSR     PC,verify
        JSR     R5,next
        .word   tunmrk
        MOV     #15,sector
        JSR     PC,pattrn
        JSR     PC,filbuf
        MOV     #write1,fnword
        JSR     PC,toward
        JSR     PC,func0
        JSR     PC,sound
        JSR     R5,close
        JSR     PC,verify
        RTS     PC

; --- texts ----------------------------------------------------------------------------------------------------------

nerror: .asciz  /error bit of the status register/
nstat:  .asciz  /status register/
nesw:   .asciz  /error and status word, bits of faults/
nbegin: .asciz  /error and status word, initialise done/
nunask: .asciz  /number of parameters not asked for/
nirq:   .asciz  /number of interrupts/
nmark:  .asciz  /error and status word, deleted data/
tread:  .asciz  /nothing is written: switch 10 (octal) says that the diskette may be overwritten, and it is off/
tlock:  .asciz  /the drive refuses to write: that the sector stays is tested instead of writing/
tnodon: .asciz  /DONE did not come: are the drives on the cable, and have they power?/
tnoask: .asciz  /the controller does not ask for what its function needs/
tempty: .asciz  /the drive is not ready: is it there, is a diskette in it, is its door closed?/
tansw:  .asciz  /the registers answer/
tinit:  .asciz  /bus initialise: done after a while, and says so/
tbegin: .asciz  /initialise by the program: done after a while, and says so/
tenabl: .asciz  /interrupt enable is written and read/
twonly: .asciz  /bits that are only written read as 0/
tmount: .asciz  /read status: the drive is ready/
tunloa: .asciz  /a drive without a diskette gives an error/
tsect:  .asciz  /a sector that there is not/
ttrack: .asciz  /a track that there is not/
ttwice: .asciz  /a sector read twice, and nothing beside it touched/
tirq:   .asciz  /interrupt when done, once/
terrq:  .asciz  /a function that fails interrupts/
tnoirq: .asciz  /no interrupt without the enable/
ttrial: .asciz  /a sector written is changed, or refused and stays/
twrite: .asciz  /writing all sectors of a track/
tmark:  .asciz  /writing with the deleted-data mark/
tunmrk: .asciz  /writing without it again/
tplacd: .ascii  /read back track /
trackn: .ascii  /000, sector /
secno:  .ascii  /00/<0>
        .even
