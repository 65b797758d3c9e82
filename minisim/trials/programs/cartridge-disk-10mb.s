; device: cartridge-disk-10mb
; scratch: yes
; memory: 12
; with: storage

; The cartridge disk of the 5 and 10 MB class: forty sectors of 128 words on each of two surfaces, 256 or 512 cylinders.
; Registers and geometry: seen, [cartridge-disk-wiki]; codes of functions and of the drive's state: derived,
; [cartridge-disk-driver-header]; what they do: from memory, firm.
; Never written is the last track: the factory's table of bad sectors stands there, and nobody can make it again.
; Left out: function 0, the header check word, a seek beyond the last cylinder, get status in another form (unconfirmed);
; the volume check, for which a person would have to take the cartridge out.

device  = 174400
vector  = 160

; from the first register
control = 0
memory  = 2
place   = 4
many    = 6                     ; written: words; read: status or header
above   = 10                    ; only with 22 address lines

ready   = 200
check   = 2                     ; functions
status  = 4
seek    = 6
header  = 10
write   = 12
read    = 14
blind   = 16                    ; reads without looking at headers

name:   .asciz  /cartridge-disk-10mb/
about:  .asciz  /registers, seeks, transfers, errors and interrupts of the 5 or 10 MB cartridge disk and its drive/
        .even

run:    MOV     SP,ground
        MOV     at,R4
        MOV     unit,R0         ; it stands in bits 9 and 8
        SWAB    R0
        MOV     R0,drive
        JSR     PC,regist
        JSR     PC,mounted
        JSR     PC,seeks
        JSR     PC,reads
        JSR     PC,bounds
        JSR     PC,lines
        JSR     PC,upper
        JSR     PC,writes
        JSR     PC,calm
        RTS     PC

; --- a function -----------------------------------------------------------------------------------------------------

; .word function, disk address, words, memory.  It ends, or the pass does.
go:     MOV     (R5)+,gocont
        MOV     (R5)+,goplac
        MOV     (R5)+,gocnt
        MOV     (R5)+,gomem
        JSR     PC,go0
        RTS     R5
go0:    MOV     at,R4
        MOV     goplac,place(R4)
        MOV     gomem,memory(R4)
        MOV     gocnt,R0
        NEG     R0
        MOV     R0,many(R4)
        MOV     gocont,R0
        BIS     drive,R0
        MOV     R0,control(R4)  ; ready is written as 0: that starts it
        JSR     R5,until
        .word   control, ready, 50.
        BCC     1$
        JSR     R5,bad
        .word   tnorea
        JMP     quit
1$:     MOV     control(R4),ended1
        RTS     PC
drive:  .word   0
gocont: .word   0
goplac: .word   0
gocnt:  .word   0
gomem:  .word   0
ended1: .word   0               ; control at the end
part:   .word   0

; Without an error.
sound:  MOV     ended1,part
        BIC     #1777,part
        JSR     R5,named
        .word   nctl, 0, part
        RTS     PC

; With these errors, bits 15 to 10.
wrong:  MOV     (R5)+,1$
        MOV     ended1,part
        BIC     #1777,part
        JSR     R5,named
        .word   nctl
1$:     .word   0, part
        RTS     R5

; Disk address and bus address are now these.
stands: MOV     (R5)+,1$
        MOV     (R5)+,2$
        MOV     place(R4),part
        JSR     R5,named
        .word   nplc
1$:     .word   0, part
        MOV     memory(R4),part
        JSR     R5,named
        .word   nmem
2$:     .word   0, part
        RTS     R5

; Get status, and clear the errors of the drive.
reset:  JSR     R5,go
        .word   status, 13, 0, 0
        MOV     many(R4),dstat
        RTS     PC
dstat:  .word   0

; The arm to the cylinder and head of the disk address in R2, by what the header says; it arrives, or the pass ends.
goto:   MOV     R2,target
        JSR     R5,go
        .word   header, 0, 0, 0
        JSR     PC,sound
        MOV     many(R4),R0
        BIC     #177,R0
        MOV     target,R1
        BIC     #177,R1
        SUB     R1,R0
        BLO     1$
        BIS     #1,R0
        BR      2$
1$:     NEG     R0
        BIS     #5,R0           ; bit 2: to higher cylinders
2$:     BIT     #100,target
        BEQ     3$
        BIS     #20,R0
3$:     MOV     R0,goplac
        MOV     #seek,gocont
        JSR     PC,go0
        JSR     PC,sound
arrive: JSR     R5,until
        .word   control, 1, 20.
        BCC     1$
        JSR     R5,bad
        .word   tnoarm
        JMP     quit
1$:     RTS     PC
target: .word   0

; The header under the head is of this cylinder and head, and of a sector that there is; a zero word follows.
under:  JSR     R5,go
        .word   header, 0, 0, 0
        JSR     PC,sound
        MOV     many(R4),R0
        MOV     many(R4),R1
        MOV     R0,R2
        MOV     R0,R3
        BIC     #77,R2
        BIC     #177700,R3
        IOT
        MOV     target,part
        BIC     #77,part
        JSR     R5,namedat
        .word   nhead, part, kept2
        JSR     R5,named
        .word   nzero, 0, kept1
        CMP     kept3,#50
        BLO     1$
        JSR     R5,bad
        .word   thigh
1$:     RTS     PC

; --- registers ------------------------------------------------------------------------------------------------------

regist: JSR     R5,allans
        .word   tansw, 4
        JSR     R5,next
        .word   tinit
        MOV     at,R4
        MOV     #177777,memory(R4)
        MOV     #177777,place(R4)
        MOV     #1676,control(R4)
        JSR     PC,calm
        MOV     control(R4),R0
        BIC     #1,R0           ; drive 0 may be ready
        MOV     memory(R4),R1
        MOV     place(R4),R2
        MOV     many(R4),R3
        IOT
        JSR     R5,named
        .word   nctl, 200, kept0
        JSR     R5,named
        .word   nmem, 0, kept1
        JSR     R5,named
        .word   nplc, 0, kept2
        JSR     R5,named
        .word   nmany, 0, kept3

        JSR     R5,next
        .word   teach
        MOV     at,R4
        MOV     #54320,memory(R4)
        MOV     #31463,place(R4)
        MOV     #1260,control(R4)
        MOV     memory(R4),R0
        MOV     place(R4),R1
        MOV     control(R4),R2
        BIC     #176401,R2
        IOT
        JSR     R5,named
        .word   nmem, 54320, kept0
        JSR     R5,named
        .word   nplc, 31463, kept1
        JSR     R5,named
        .word   nctl, 1260, kept2
        JSR     R5,close

        JSR     R5,walk
        .word   tmem, memory, 177776
        JSR     R5,walk
        .word   tplace, place, 177777
        MOV     #ready,walkor   ; written as 1: nothing is started
        JSR     R5,walk
        .word   tcontr, control, 1476
        MOV     at,R0
        ADD     #above,R0
        JSR     PC,answer
        BCS     4$
        JSR     R5,walk
        .word   tabov, above, 77
        MOV     at,R4
        CLR     above(R4)
4$:     RTS     PC

; --- the drive ------------------------------------------------------------------------------------------------------

mounted: JSR    R5,next
        .word   tmount
        JSR     PC,reset
        JSR     R5,until        ; an arm may still be on its way
        .word   control, 1, 10.
        JSR     PC,reset
        MOV     dstat,part
        BIC     #177770,part
        BIT     #2000,ended1    ; nobody answered in time
        BNE     9$
        CMP     part,#5
        BEQ     1$
9$:     JSR     R5,bad
        .word   tempty
        JMP     quit
1$:     JSR     PC,sound
        MOV     dstat,part      ; heads out and on track, no error; head, size and write lock may be 0 or 1
        BIC     #20300,part
        JSR     R5,named
        .word   ndstat, 35, part
        MOV     #377,last
        BIT     #200,dstat
        BEQ     2$
        MOV     #777,last
2$:     MOV     last,R0         ; cylinders stand in bits 15 to 7 of the disk address
        SWAB    R0
        CLRB    R0
        ASR     R0
        BIC     #100177,R0
        BIT     #400,last
        BEQ     3$
        BIS     #100000,R0
3$:     MOV     R0,last
        CLC
        ROR     R0
        BIC     #177,R0
        MOV     R0,middle
        JSR     R5,go           ; the same without clearing errors
        .word   status, 3, 0, 0
        MOV     many(R4),R0
        IOT
        JSR     R5,namedat
        .word   ndstat, dstat, kept0
        JSR     R5,close

        MOV     drive,-(SP)     ; is there a drive less?
        MOV     #1400,drive
4$:     MOV     drive,R0
        MOV     R0,control(R4)
        BIS     #ready,R0
        MOV     R0,control(R4)
        CMP     drive,(SP)
        BEQ     5$
        BIT     #1,control(R4)
        BEQ     6$
5$:     SUB     #400,drive
        BPL     4$
        BR      7$
6$:     JSR     R5,next
        .word   tabsen
        JSR     R5,go           ; nothing there: timed out, 200 ms
        .word   read, 0, 1, buffer
        BIS     #40000,ended1   ; a drive of itself may tell more
        JSR     R5,wrong
        .word   142000
        JSR     R5,close
7$:     MOV     (SP)+,drive
        RTS     PC
last:   .word   0               ; disk address of the last cylinder
middle: .word   0

; --- seeks ----------------------------------------------------------------------------------------------------------

seeks:  CLR     tseek           ; cylinders and heads
        MOV     #300,tseek+2
        MOV     last,R0
        MOV     R0,tseek+4
        BIS     #100,R0
        MOV     R0,tseek+6
        MOV     middle,R0
        MOV     R0,tseek+10
        ADD     #200,R0
        MOV     R0,tseek+12
        ADD     #100,R0
        MOV     R0,tseek+14
        MOV     #200,tseek+16
        CLR     tseek+20
        MOV     #100,tseek+22
        MOV     #tseek,R1
1$:     MOV     R1,seekat
        JSR     R5,next
        .word   tseekt
        MOV     @seekat,R2
        JSR     PC,goto
        JSR     PC,under
        JSR     R5,go           ; bit 6 of the status is the head
        .word   status, 3, 0, 0
        MOV     many(R4),R0
        MOV     @seekat,R1
        BIC     #177677,R0
        BIC     #177677,R1
        IOT
        JSR     R5,wantat
        .word   kept1, kept0
        JSR     R5,close
        MOV     seekat,R1
        TST     (R1)+
        CMP     R1,#tseek+24
        BLO     1$

        JSR     R5,next
        .word   tfar            ; A33
        CLR     R2
        JSR     PC,goto
        MOV     last,R0
        BIS     #5,R0
        MOV     R0,goplac
        MOV     #seek,gocont
        JSR     PC,go0
        JSR     PC,sound
        MOV     ended1,part
        BIC     #177776,part
        JSR     R5,named
        .word   nrdy, 0, part
        JSR     R5,go           ; meanwhile the drive says that it seeks
        .word   status, 3, 0, 0
        MOV     many(R4),part
        BIC     #177770,part
        JSR     R5,named
        .word   nstate, 4, part
        JSR     PC,arrive
        MOV     last,target
        JSR     PC,under
        JSR     R5,close
        RTS     PC
seekat: .word   0
tseek:  . = . + 24

; --- reading --------------------------------------------------------------------------------------------------------

reads:  MOV     middle,tread1+6
        MOV     middle,R0
        ADD     #147,R0
        MOV     R0,tread1+10
        MOV     last,R0
        MOV     R0,tread1+12
        ADD     #123,R0
        MOV     R0,tread1+14
        MOV     #tread1,R1
1$:     MOV     R1,seekat
        JSR     R5,next         ; a sector twice, and compared by the controller
        .word   ttwice
        MOV     @seekat,R2
        JSR     PC,goto
        JSR     PC,wash
        MOV     @seekat,goplac
        MOV     #read,gocont
        MOV     #128.,gocnt
        MOV     #buffer,gomem
        JSR     PC,go0
        JSR     PC,sound
        MOV     @seekat,R0
        INC     R0
        MOV     R0,2$
        JSR     R5,stands
2$:     .word   0, buffer+400
        JSR     R5,clean
        .word   front, buffer
        JSR     R5,clean
        .word   buffer+400, rear
        MOV     #other,gomem
        JSR     PC,go0
        JSR     PC,sound
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     #128.,R2
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
5$:     MOV     #check,gocont
        JSR     PC,go0
        JSR     PC,sound

        JSR     R5,next
        .word   tdiffr
        COM     other+376
        MOV     #check,gocont
        JSR     PC,go0
        JSR     R5,wrong
        .word   104000
        COM     other+376
        JSR     PC,go0
        JSR     PC,sound
        JSR     R5,close
        MOV     seekat,R1
        TST     (R1)+
        CMP     R1,#tread1+16
        BLO     1$

        CLR     R2
        JSR     PC,goto
        MOV     #tparts,R1      ; a count is what goes to memory, no word more
6$:     MOV     R1,seekat
        JSR     R5,next
        .word   tpart
        JSR     PC,wash
        MOV     @seekat,R0
        MOV     R0,gocnt
        ASL     R0
        ADD     #buffer,R0
        MOV     R0,7$
        CLR     goplac
        MOV     #read,gocont
        MOV     #buffer,gomem
        JSR     PC,go0
        JSR     PC,sound
        MOV     memory(R4),part
        JSR     R5,namedat
        .word   nmem, 7$, part
        JSR     R5,clean
        .word   front, buffer
        JSR     R5,clean
7$:     .word   0, rear
        MOV     #check,gocont
        JSR     PC,go0
        JSR     PC,sound
        JSR     R5,close
        MOV     seekat,R1
        TST     (R1)+
        CMP     R1,#tpartx
        BLO     6$

        JSR     R5,next
        .word   tsecnd          ; the second of two sectors is the one behind
        JSR     R5,go
        .word   read, 0, 256., buffer
        JSR     PC,sound
        JSR     R5,go
        .word   check, 1, 128., buffer+400
        JSR     PC,sound

        JSR     R5,next
        .word   tcut            ; initialise ends a transfer: no word comes later
        JSR     PC,wash
        MOV     @#0,cutat
        MOV     at,R4
        CLR     place(R4)
        MOV     #buffer,memory(R4)
        MOV     #-128.,many(R4)
        MOV     #read,R0
        BIS     drive,R0
        MOV     R0,control(R4)
        RESET
        MOV     #60000,R0       ; some turns
8$:     DEC     R0
        BNE     8$
        MOV     control(R4),part
        BIC     #1,part
        JSR     R5,named
        .word   nctl, 200, part
        JSR     R5,clean
        .word   front, rear
        JSR     R5,wantat
        .word   cutat, 0

        JSR     R5,next
        .word   tblind
        JSR     PC,wash
        JSR     R5,go
        .word   blind, 0, 128., buffer
        JSR     PC,sound
        JSR     R5,clean
        .word   front, buffer
        JSR     R5,clean
        .word   buffer+400, rear
        JSR     R5,close
        RTS     PC
cutat:  .word   0
tread1: .word   0, 1, 47, 0, 0, 0, 0
tparts: .word   1, 2, 127., 128., 129., 300., 384.
tpartx:

; --- sectors that are not there -------------------------------------------------------------------------------------

bounds: CLR     R2
        JSR     PC,goto
        MOV     last,tbound+14
        MOV     #tbound,R1
1$:     MOV     R1,seekat
        JSR     R5,next
        .word   tnohea
        JSR     PC,wash
        MOV     @seekat,goplac
        MOV     #read,gocont
        MOV     #128.,gocnt
        MOV     #buffer,gomem
        JSR     PC,go0
        JSR     R5,wrong
        .word   112000
        JSR     R5,clean
        .word   front, rear
        JSR     R5,go           ; the next function clears the error
        .word   read, 0, 1, buffer
        JSR     PC,sound
        JSR     R5,close
        MOV     seekat,R1
        TST     (R1)+
        CMP     R1,#tbounx
        BLO     1$

        JSR     R5,next
        .word   tpast           ; behind sector 47 there is none
        JSR     PC,wash
        JSR     R5,go
        .word   read, 47, 256., buffer
        JSR     R5,wrong
        .word   112000
        JSR     R5,clean
        .word   buffer+400, rear
        JSR     R5,go
        .word   check, 47, 128., buffer
        JSR     PC,sound
        JSR     R5,close
        RTS     PC
tbound: .word   50, 77, 100, 147, 200, 1000, 0         ; sectors, the other head, other cylinders
tbounx:

; --- interrupts -----------------------------------------------------------------------------------------------------
; Level 5 on one bus, 4 on the other: not at priority 5, at 3.  With one level only, 5 keeps them off as well.

lines:  TST     by
        BNE     1$
        RTS     PC
1$:     CLR     R2
        JSR     PC,goto
        JSR     R5,next
        .word   tirq
        JSR     PC,watch
        JSR     R5,go
        .word   100+read, 0, 128., buffer
        JSR     PC,rings

        JSR     R5,next
        .word   terrq
        JSR     PC,watch
        JSR     R5,go
        .word   100+read, 50, 128., buffer
        JSR     PC,rings
        JSR     R5,wrong
        .word   112000

        JSR     R5,next
        .word   tnoirq
        JSR     PC,watch
        JSR     R5,go
        .word   read, 0, 128., buffer
        JSR     R5,lower
        .word   0
        JSR     R5,named
        .word   nirq, 0, rung

        JSR     R5,next
        .word   tseekq          ; one when the controller is ready, none when the arm arrives (A33)
        JSR     PC,watch
        MOV     last,R0
        BIS     #5,R0
        MOV     R0,goplac
        MOV     #100+seek,gocont
        JSR     PC,go0
        JSR     PC,rings
        JSR     PC,arrive
        JSR     R5,lower
        .word   0
        JSR     R5,named
        .word   nirq, 1, rung
        JSR     R5,close
        JMP     calm

; None at priority 7 and 5; one below, and no second one.
rings:  JSR     R5,named
        .word   nirq, 0, rung
        JSR     R5,lower
        .word   240
        JSR     R5,named
        .word   nirq, 0, rung
        JSR     R5,lower
        .word   140
        JSR     R5,named
        .word   nirq, 1, rung
        JSR     R5,lower
        .word   140
        JSR     R5,named
        .word   nirq, 1, rung
        RTS     PC

; --- address bits above 15 ------------------------------------------------------------------------------------------

upper:  CLR     R2
        JSR     PC,goto
        MOV     at,R0           ; with 22 lines there may be memory everywhere
        ADD     #above,R0
        JSR     PC,answer
        BCC     1$
        JSR     PC,hole
        BCS     1$
        JSR     R5,next
        .word   tnomem
        MOV     #60+check,gocont
        JSR     PC,nomem
        MOV     #60+read,gocont
        JSR     PC,nomem
        JSR     R5,close

1$:     JSR     R5,go           ; is there memory behind the first 64 KB?
        .word   20+check, 0, 1, 0
        BIT     #20000,ended1
        BNE     2$
        JSR     R5,next
        .word   tabove
        JSR     PC,wash
        JSR     R5,go
        .word   20+read, 0, 128., buffer
        JSR     PC,sound
        JSR     R5,clean
        .word   front, rear
        JSR     R5,go
        .word   20+check, 0, 128., buffer
        JSR     PC,sound

        JSR     R5,next
        .word   tcarry
        MOV     @#0,R2
        JSR     R5,go
        .word   read, 0, 2, 177776
        JSR     PC,sound
        JSR     R5,stands
        .word   1, 2
        MOV     ended1,R0
        BIC     #177717,R0
        MOV     @#0,R3
        IOT
        JSR     R5,want
        .word   20, kept0
        JSR     R5,wantat
        .word   kept2, kept3
        JSR     R5,close
2$:     RTS     PC
nomem:  JSR     PC,wash
        CLR     goplac
        MOV     #1,gocnt
        MOV     gap,gomem
        JSR     PC,go0
        JSR     R5,wrong
        .word   120000
        JSR     R5,clean
        .word   front, rear
        RTS     PC

; --- what writes ----------------------------------------------------------------------------------------------------

writes: JSR     PC,look
        BIT     #10,R0
        BNE     1$
        MOV     #tread,R0
        JSR     PC,remark
        RTS     PC
1$:     JSR     PC,reset
        BIT     #20000,dstat
        BEQ     2$
        MOV     #tlock,R0
        JSR     PC,remark
        BR      locked
2$:     JSR     PC,packs
        JSR     PC,spiral
        JSR     PC,partly
        RTS     PC

; A protected drive refuses with an error of its own, and the sector stays as it was.
locked: JSR     R5,next
        .word   tlockd
        CLR     R2
        JSR     PC,goto
        JSR     R5,go
        .word   read, 0, 128., other
        JSR     PC,sound
        MOV     #other,R0
        MOV     #buffer,R1
        MOV     #128.,R2
1$:     MOV     (R0)+,(R1)
        COM     (R1)+
        DEC     R2
        BNE     1$
        JSR     R5,go
        .word   write, 0, 128., buffer
        JSR     R5,wrong
        .word   140000
        JSR     R5,go
        .word   status, 3, 0, 0
        MOV     many(R4),part
        BIC     #155777,part
        JSR     R5,named
        .word   ndstat, 22000, part
        JSR     R5,go           ; until that is cleared nothing goes
        .word   read, 0, 1, buffer
        JSR     R5,wrong
        .word   140000
        JSR     PC,reset
        JSR     R5,go
        .word   check, 0, 128., other
        JSR     PC,sound
        JSR     R5,close
        RTS     PC

; Every sector of the first and the middle cylinder, and of the first surface of the last one.
packs:  MOV     #100,tpack+2
        MOV     middle,R0
        MOV     R0,tpack+4
        ADD     #100,R0
        MOV     R0,tpack+6
        MOV     last,tpack+10
        MOV     #tpack,R1
1$:     MOV     R1,packat
        MOV     (R1),sector
        JSR     R5,next
        .word   twrite
        MOV     sector,R2
        JSR     PC,goto
        MOV     #40.,left
2$:     JSR     PC,pattrn
        MOV     #write,gocont
        JSR     PC,go0
        JSR     PC,sound
        INC     sector
        DEC     left
        BNE     2$
        MOV     packat,R1
        TST     (R1)+
        CMP     R1,#tpackx
        BLO     1$

        MOV     #tpack,R1
3$:     MOV     R1,packat
        MOV     (R1),sector
        MOV     #40.,left
4$:     JSR     PC,verify
        INC     sector
        DEC     left
        BNE     4$
        MOV     packat,R1
        TST     (R1)+
        CMP     R1,#tpackx
        BLO     3$
        RTS     PC
packat: .word   0
sector: .word   0
left:   .word   0
tpack:  .word   0, 0, 0, 0, 0
tpackx:

; The pattern of `sector` in the buffer, all set for a transfer.
pattrn: JSR     PC,seed
        MOV     #128.,R1
        MOV     R1,gocnt
        MOV     #buffer,gomem
        MOV     sector,goplac
        JMP     fill
seed:   MOV     pass,R0
        ASL     R0
        ASL     R0
        ASL     R0
        ADD     sector,R0
        RTS     PC

; One case: the sector holds its pattern, says the program, and says the controller.
verify: MOV     sector,R0
        MOV     #cylno+3,R1
        ASL     R0
        SWAB    R0
        BIC     #177400,R0
        TST     sector
        BPL     1$
        BIS     #400,R0
1$:     MOV     #3,R2
        JSR     PC,digits
        MOV     sector,R0
        BIC     #177700,R0
        MOV     #secno+2,R1
        MOV     #2,R2
        JSR     PC,digits
        MOVB    #'0,surfno
        BIT     #100,sector
        BEQ     2$
        INCB    surfno
2$:     JSR     R5,next
        .word   tplacd
        MOV     sector,R0
        BIC     #77,R0
        MOV     target,R1
        BIC     #77,R1
        CMP     R0,R1
        BEQ     3$
        MOV     R0,R2
        JSR     PC,goto
3$:     JSR     PC,wash
        JSR     PC,pattrn
        MOV     #check,gocont
        JSR     PC,go0
        JSR     PC,sound
        JSR     PC,wash
        MOV     #read,gocont
        JSR     PC,go0
        JSR     PC,sound
        JSR     PC,seed
        MOV     #128.,R1
        JSR     PC,same
        JSR     R5,close
        RTS     PC

; Three sectors in one transfer; and two where the track has one left.
spiral: MOV     #200,R2         ; cylinder 1
        JSR     PC,goto
        JSR     R5,next
        .word   tspira
        MOV     #204,sector
        JSR     PC,three
        MOV     #204,sector
        MOV     sector,goplac
        MOV     #write,gocont
        MOV     #384.,gocnt
        MOV     #buffer,gomem
        JSR     PC,go0
        JSR     PC,sound
        JSR     R5,stands
        .word   207, buffer+1400
        JSR     R5,close
        MOV     #3,left
1$:     JSR     PC,verify
        INC     sector
        DEC     left
        BNE     1$

        JSR     R5,next
        .word   tbehnd
        MOV     #247,sector
        JSR     PC,three
        MOV     #247,sector
        MOV     sector,goplac
        MOV     #write,gocont
        MOV     #256.,gocnt
        MOV     #buffer,gomem
        JSR     PC,go0
        JSR     R5,wrong
        .word   112000
        JSR     R5,close
        JMP     verify

; The patterns of three sectors behind each other in `buffer`.
three:  MOV     #3,left
        MOV     #buffer,R2
1$:     JSR     PC,seed
        MOV     #128.,R1
2$:     MOV     R0,(R2)+
        ADD     #step,R0
        DEC     R1
        BNE     2$
        INC     sector
        DEC     left
        BNE     1$
        RTS     PC

; Part of a sector: the rest becomes 0, and the next sector stays.
partly: JSR     R5,next
        .word   tpartw
        MOV     #220,sector
        JSR     PC,three
        JSR     R5,go
        .word   write, 220, 384., buffer
        MOV     #221,sector
        JSR     PC,pattrn
        COM     buffer
        JSR     R5,go
        .word   write, 221, 50., buffer
        JSR     PC,sound
        MOV     memory(R4),part
        JSR     R5,named
        .word   nmem, buffer+100., part
        JSR     PC,wash
        JSR     R5,go
        .word   read, 221, 128., buffer
        JSR     PC,sound
        COM     buffer
        JSR     PC,seed
        MOV     #50.,R1
        JSR     PC,same
        MOV     #buffer+100.,R0
1$:     TST     (R0)+
        BNE     2$
        CMP     R0,#buffer+400
        BLO     1$
        BR      3$
2$:     MOV     -(R0),R0
        IOT
        JSR     R5,want
        .word   0, kept0
3$:     JSR     R5,close
        DEC     sector
        JSR     PC,verify
        ADD     #2,sector
        JMP     verify

; --- texts ----------------------------------------------------------------------------------------------------------

nctl:   .asciz  /control/
nmem:   .asciz  /bus address/
nplc:   .asciz  /disk address/
nmany:  .asciz  /multi-purpose register/
nirq:   .asciz  /number of interrupts/
nrdy:   .asciz  /drive ready/
nstate: .asciz  /state of the drive/
ndstat: .asciz  /status of the drive/
nhead:  .asciz  /cylinder and head of the header/
nzero:  .asciz  /second word of the header/
tread:  .asciz  /nothing is written: switch 10 (octal) says that the cartridge may be overwritten, and it is off/
tlock:  .asciz  /the drive is write-protected: that it refuses to write is tested instead of writing/
tnorea: .asciz  /the controller does not get ready: it does not end a function/
tempty: .asciz  /the drive is not ready: is it there, is a cartridge in it, has it loaded its heads?/
tnoarm: .asciz  /the drive does not get ready: the arm has not arrived/
thigh:  .asciz  /the header tells a sector above 47/

tansw:  .asciz  /the registers answer/
tinit:  .asciz  /bus initialise: ready, everything else 0/
teach:  .asciz  /each register holds its own word/
tmem:   .asciz  /bus address, one bit/
tplace: .asciz  /disk address, one bit/
tcontr: .asciz  /control, one bit/
tabov:  .asciz  /address bits 21 to 16, one bit/
tmount: .asciz  /get status: the drive is ready and has no error/
tabsen: .asciz  /a drive that is not there or has no cartridge gives an error/
tseekt: .asciz  /seek: the header tells cylinder and head/
tfar:   .asciz  /a long seek: the controller is ready at once, the drive later/
ttwice: .asciz  /a sector read twice, compared by the controller, and nothing beside it touched/
tdiffr: .asciz  /write check finds a word that differs/
tpart:  .asciz  /so many words as asked for, and no more/
tsecnd: .asciz  /reading goes on in the next sector/
tcut:   .asciz  /bus initialise ends a transfer/
tblind: .asciz  /reading without headers: so many words as asked for/
tnohea: .asciz  /a sector that is not on this track is not found/
tpast:  .asciz  /reading past the last sector of a track/
tirq:   .asciz  /interrupt at the end of a transfer, once/
terrq:  .asciz  /a function that fails interrupts/
tnoirq: .asciz  /no interrupt without the enable/
tseekq: .asciz  /a seek interrupts when the controller is ready, not when the arm arrives/
tnomem: .asciz  /transfers to an address where there is no memory/
tabove: .asciz  /address bit 16: words go to the memory above, and not below/
tcarry: .asciz  /the bus address carries into bit 16/
tlockd: .asciz  /a write-protected drive refuses to write, and the sector stays/
twrite: .asciz  /writing all sectors of a track/
tspira: .asciz  /writing three sectors in one transfer/
tbehnd: .asciz  /writing past the last sector of a track/
tpartw: .asciz  /part of a sector is written, the rest becomes 0/
tplacd: .ascii  /read back cylinder /
cylno:  .ascii  /000, head /
surfno: .ascii  /0, sector /
secno:  .ascii  /00/<0>
        .even

front:  . = . + 20
buffer: . = . + 1400
        . = . + 20
other:  . = . + 400
        . = . + 20
rear:
