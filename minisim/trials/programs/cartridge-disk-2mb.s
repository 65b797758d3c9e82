; device: cartridge-disk-2mb
; scratch: yes
; memory: 12
; with: storage

; The cartridge disk of the 2.5 MB class: twelve sectors of 256 words on each of two surfaces, 203 cylinders.
; Names of bits and geometry: seen, [small-cartridge-pages].  What they do: from memory, firm [small-cartridge-manual].
; Left out: function 7, the write lock, which only a person at the drive undoes; setting the enable while READY is 1,
; and a GO while READY is 0 (unconfirmed or not known); formatting; the maintenance register.

device  = 177400
vector  = 220

; from the first register
status  = 0
errors  = 2
control = 4
count   = 6
memory  = 10
place   = 12

ready   = 200
write   = 3                     ; functions with GO
read    = 5
check   = 7                     ; memory against the medium
seek    = 11
rcheck  = 13                    ; reads without moving words
home    = 15                    ; drive reset

name:   .asciz  /cartridge-disk-2mb/
about:  .asciz  /registers, seeks, transfers, errors and interrupts of the 2.5 MB cartridge disk and its drive/
        .even

run:    MOV     SP,ground
        MOV     at,R4
        MOV     unit,R0         ; it stands in bits 15-13
        SWAB    R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        MOV     R0,drive
        JSR     PC,regist
        JSR     PC,mounted
        JSR     PC,bounds
        JSR     PC,seeks
        JSR     PC,reads
        JSR     PC,borders
        JSR     PC,lines
        JSR     PC,upper
        JSR     PC,writes
        JSR     PC,calm
        RTS     PC

; --- registers ------------------------------------------------------------------------------------------------------

regist: JSR     R5,allans
        .word   tansw, 6
        JSR     R5,next
        .word   tinit
        MOV     at,R4
        MOV     #177777,count(R4)
        MOV     #177777,memory(R4)
        MOV     #177777,place(R4)
        MOV     #6076,control(R4)
        JSR     PC,calm
        JSR     PC,idle

        JSR     R5,next
        .word   treset
        MOV     at,R4
        MOV     #177777,count(R4)
        MOV     #177777,memory(R4)
        MOV     #177777,place(R4)
        MOV     #6076,control(R4)
        JSR     PC,reset
        JSR     PC,idle

        JSR     R5,next
        .word   tronly
        MOV     at,R4
        MOV     #177777,errors(R4)
        MOV     errors(R4),R0
        IOT
        JSR     R5,want
        .word   0, kept0

        JSR     R5,next
        .word   teach           ; four different words at once
        MOV     at,R4
        MOV     #12345,count(R4)
        MOV     #54320,memory(R4)
        MOV     #31463,place(R4)
        MOV     #60,control(R4)
        MOV     count(R4),R0
        MOV     memory(R4),R1
        MOV     place(R4),R2
        MOV     control(R4),R3
        IOT
        JSR     R5,want
        .word   12345, kept0
        JSR     R5,want
        .word   54320, kept1
        JSR     R5,want
        .word   31463, kept2
        JSR     R5,want
        .word   260, kept3
        JSR     R5,close

        JSR     R5,walk
        .word   tcount, count, 177777
        JSR     R5,walk
        .word   tmem, memory, 177776
        JSR     R5,walk
        .word   tplace, place, 177777
        JSR     R5,walk
        .word   tcontr, control, 6476
        RTS     PC

; What control reset and initialise leave (A23).
idle:   MOV     control(R4),R0
        MOV     errors(R4),R1
        MOV     count(R4),R2
        MOV     memory(R4),R3
        IOT
        JSR     R5,named
        .word   nctl, 200, kept0
        JSR     R5,named
        .word   nerr, 0, kept1
        JSR     R5,named
        .word   ncnt, 0, kept2
        JSR     R5,named
        .word   nmem, 0, kept3
        MOV     place(R4),R0
        IOT
        JSR     R5,named
        .word   nplc, 0, kept0
        RTS     PC

reset:  MOV     #1,control(R4)
        BR      ended1

; A function: .word control, disk address without the drive, words, memory.  It ends, or the pass does.
go:     MOV     (R5)+,gocont
        MOV     (R5)+,goplac
        MOV     (R5)+,gocnt
        MOV     (R5)+,gomem
        JSR     PC,go0
        RTS     R5
go0:    MOV     at,R4
        MOV     goplac,R0
        ADD     drive,R0
        MOV     R0,place(R4)
        MOV     gocnt,R0
        NEG     R0
        MOV     R0,count(R4)
        MOV     gomem,memory(R4)
        MOV     gocont,control(R4)
ended1: JSR     R5,until
        .word   control, ready, 50.
        BCC     1$
        JSR     R5,bad
        .word   tnorea
        JMP     quit
1$:     RTS     PC
drive:  .word   0               ; bits 15-13 of the disk address
gocont: .word   0
goplac: .word   0
gocnt:  .word   0
gomem:  .word   0

; All words went, without an error.
sound:  MOV     at,R4
        MOV     errors(R4),snderr
        MOV     count(R4),sndcnt
        MOV     control(R4),sndctl
        BIC     #37777,sndctl
        JSR     R5,named
        .word   nerr, 0, snderr
        JSR     R5,named
        .word   ncnt, 0, sndcnt
        JSR     R5,named
        .word   nctl, 0, sndctl
        RTS     PC
snderr: .word   0
sndcnt: .word   0
sndctl: .word   0

; A hard error: .word bits of the error register.
wrong:  MOV     at,R4
        MOV     errors(R4),snderr
        BIC     #37,snderr
        MOV     control(R4),sndctl
        BIC     #37777,sndctl
        MOV     (R5)+,sndcnt
        JSR     R5,namedat
        .word   nerr, sndcnt, snderr
        JSR     R5,named
        .word   nctl, 140000, sndctl
        RTS     R5

; The disk address and the bus address are now .word these.
stands: MOV     at,R4
        MOV     (R5)+,sndcnt
        ADD     drive,sndcnt
        MOV     place(R4),snderr
        JSR     R5,namedat
        .word   nplc, sndcnt, snderr
        MOV     (R5)+,sndcnt
        MOV     memory(R4),snderr
        JSR     R5,namedat
        .word   nmem, sndcnt, snderr
        RTS     R5

; --- the drive ------------------------------------------------------------------------------------------------------

mounted: JSR    R5,next
        .word   tmount
        MOV     at,R4
        JSR     PC,reset
        MOV     drive,place(R4)
        BIT     #200,status(R4)
        BNE     1$
        JSR     R5,bad
        .word   tempty
        JMP     quit
1$:     JSR     R5,until        ; an arm may still be on its way
        .word   status, 100, 20.
        MOV     status(R4),R0   ; sector counter valid, ready, arm stands
        BIC     #177077,R0
        IOT
        JSR     R5,want
        .word   700, kept0
        BIT     #4000,status(R4) ; the density of this class
        BNE     2$
        JSR     R5,bad
        .word   tdense

2$:     JSR     R5,next
        .word   tturn           ; all twelve numbers come by, and no other
        MOV     at,R4
        CLR     R2
        MOV     #177777,R3
3$:     MOV     status(R4),R0
        BIC     #177760,R0
        MOV     #1,R1
4$:     DEC     R0
        BMI     5$
        ASL     R1
        BR      4$
5$:     BIS     R1,R2
        CMP     R2,#7777
        BEQ     11$
        DEC     R3
        BNE     3$
11$:    IOT
        JSR     R5,want
        .word   7777, kept2

        JSR     R5,next
        .word   tequal          ; bit 4: it is the sector of the disk address
        MOV     at,R4
        MOV     #5,R0
        ADD     drive,R0
        MOV     R0,place(R4)
        CLR     R2
        CLR     R1
        MOV     #177777,R3
6$:     MOV     status(R4),R0
        BIC     #177740,R0
        CMP     R0,#25          ; there
        BNE     7$
        INC     R2
7$:     CMP     R0,#5           ; there, and not told
        BNE     8$
        INC     R1
8$:     CMP     R0,#20          ; told, and it is another one
        BLO     9$
        CMP     R0,#25
        BEQ     9$
        INC     R1
9$:     CMP     R2,#100.        ; often enough
        BHIS    10$
        DEC     R3
        BNE     6$
        TST     R2
        BNE     10$
        JSR     R5,bad
        .word   tnever
10$:    IOT
        JSR     R5,want
        .word   0, kept1
        JSR     R5,close
        RTS     PC

; --- addresses that there are not -----------------------------------------------------------------------------------

bounds: MOV     #read,gocont    ; sectors 14 to 17, on both surfaces
        MOV     #14,goplac
        MOV     #tsect,R2
        MOV     #40,R3
        JSR     PC,refuse
        MOV     #17,goplac
        JSR     PC,refuse
        MOV     #14532,goplac   ; the last cylinder
        ADD     #2,goplac
        JSR     PC,refuse
        MOV     #check,gocont
        JSR     PC,refuse
        MOV     #rcheck,gocont
        JSR     PC,refuse
        MOV     #tcyl,R2        ; cylinders 313, 377
        MOV     #100,R3
        MOV     #14540,goplac
        MOV     #read,gocont
        JSR     PC,refuse
        MOV     #17753,goplac
        JSR     PC,refuse
        MOV     #seek,gocont
        JSR     PC,refuse
        MOV     #14540,goplac
        JSR     PC,refuse
        MOV     #check,gocont
        JSR     PC,refuse
        MOV     #rcheck,gocont
        JSR     PC,refuse
        MOV     #tformt,R2      ; format goes with reading and writing only
        MOV     #4000,R3
        CLR     goplac
        MOV     #2000+rcheck,gocont
        JSR     PC,refuse
        MOV     #2000+check,gocont
        JSR     PC,refuse

        JSR     R5,next
        .word   tstick          ; an error stands until control reset (A25)
        JSR     PC,wash
        JSR     R5,go
        .word   read, 14, 256., buffer
        JSR     R5,go
        .word   read, 0, 256., buffer
        JSR     R5,wrong
        .word   40
        JSR     R5,clean
        .word   front, rear
        JSR     R5,go
        .word   seek, 0, 256., buffer
        JSR     R5,wrong
        .word   40
        JSR     PC,reset
        JSR     PC,idle
        JSR     R5,go
        .word   read, 0, 256., buffer
        JSR     PC,sound

        JSR     R5,next
        .word   tstick2         ; ... or initialise
        JSR     R5,go
        .word   read, 14540, 256., buffer
        JSR     R5,wrong
        .word   100
        JSR     PC,calm
        JSR     PC,idle
        JSR     R5,close

        MOV     #8.,R3          ; is there a drive less?
        CLR     R2
1$:     MOV     at,R4
        MOV     R2,place(R4)
        BIT     #200,status(R4)
        BEQ     2$
        ADD     #20000,R2
        DEC     R3
        BNE     1$
        RTS     PC
2$:     MOV     R2,absent
        JSR     R5,next
        .word   tabsen
        JSR     PC,wash
        MOV     absent,R2
        SUB     drive,R2
        MOV     R2,goplac
        MOV     #read,gocont
        MOV     #256.,gocnt
        MOV     #buffer,gomem
        JSR     PC,go0
        MOV     control(R4),R0
        BIC     #37777,R0
        MOV     errors(R4),R1
        BIC     #100200,R1      ; no such drive, or nothing in it
        CLR     R2
        BIT     #100200,errors(R4)
        BNE     3$
        INC     R2
3$:     IOT
        JSR     R5,want
        .word   140000, kept0
        JSR     R5,want
        .word   0, kept1
        JSR     R5,want
        .word   0, kept2
        JSR     R5,clean
        .word   front, rear
        JSR     R5,close
        MOV     at,R4
        JSR     PC,reset
        RTS     PC
absent: .word   0

; The function and place that are set are refused with the bits of R3, and nothing moves.
refuse: MOV     R2,1$
        MOV     R3,2$
        JSR     R5,next
1$:     .word   0
        JSR     PC,wash
        MOV     #256.,gocnt
        MOV     #buffer,gomem
        JSR     PC,go0
        JSR     R5,wrong
2$:     .word   0
        MOV     count(R4),R0
        MOV     memory(R4),R1
        IOT
        JSR     R5,want
        .word   -256., kept0
        JSR     R5,want
        .word   buffer, kept1
        JSR     R5,clean
        .word   front, rear
        JSR     R5,close
        JSR     PC,reset
        MOV     1$,R2
        MOV     2$,R3
        RTS     PC

; --- seeks ----------------------------------------------------------------------------------------------------------

seeks:  MOV     #tseek,R1       ; cylinders
1$:     MOV     R1,seekat
        JSR     R5,next
        .word   tseekt
        MOV     #seek,gocont
        MOV     @seekat,goplac
        CLR     gocnt
        CLR     gomem
        JSR     PC,go0
        JSR     PC,arrive
        JSR     R5,close
        MOV     seekat,R1
        TST     (R1)+
        CMP     R1,#tseeke
        BLO     1$

        JSR     R5,next
        .word   tfar            ; READY comes before the arm has arrived
        JSR     R5,go
        .word   seek, 0, 0, 0
        JSR     PC,arrive
        JSR     R5,go
        .word   seek, 14500, 0, 0
        MOV     control(R4),R0
        BIC     #157777,R0
        MOV     status(R4),R1
        BIC     #177677,R1
        IOT
        JSR     R5,want
        .word   0, kept0
        JSR     R5,want
        .word   0, kept1
        JSR     PC,arrive

        JSR     R5,next
        .word   tclear          ; the next function clears search complete
        JSR     R5,go
        .word   seek, 0, 0, 0
        JSR     PC,arrive
        JSR     R5,go
        .word   rcheck, 0, 1, 0
        MOV     control(R4),R0
        BIC     #157777,R0
        IOT
        JSR     R5,want
        .word   0, kept0
        JSR     PC,sound

        JSR     R5,next
        .word   thome           ; drive reset leads to cylinder 0
        JSR     R5,go
        .word   seek, 6240, 0, 0
        JSR     PC,arrive
        JSR     R5,go
        .word   home, 6240, 0, 0
        JSR     PC,arrive
        JSR     PC,sound

        JSR     R5,next
        .word   tbusy           ; the disk address can't be loaded while a function runs
        MOV     at,R4
        MOV     drive,place(R4)
        MOV     #-1,count(R4)
        CLR     memory(R4)
        MOV     #rcheck,control(R4)
        MOV     control(R4),R1
        MOV     status(R4),R2   ; nor is the drive ready for another access
        MOV     #177777,place(R4)
        MOV     place(R4),R0
        SUB     drive,R0
        BIC     #177577,R1
        BIC     #177677,R2
        IOT
        JSR     R5,want
        .word   0, kept1
        JSR     R5,want
        .word   0, kept2
        JSR     R5,want
        .word   0, kept0
        JSR     PC,ended1
        JSR     PC,sound
        JSR     R5,stands
        .word   1, 0
        JSR     R5,close
        RTS     PC
seekat: .word   0
tseek:  .word   0, 40, 0, 100, 6240, 6200, 14500, 14440, 14500, 0, 14500, 40
tseeke:

; An arm arrives: search complete, the number of the drive, access ready.
arrive: JSR     R5,until
        .word   control, 20000, 20.
        BCC     1$
        JSR     R5,bad
        .word   tnoarm
        JMP     quit
1$:     MOV     at,R4
        MOV     status(R4),R0
        BIC     #17677,R0
        MOV     #100,R1
        ADD     drive,R1
        IOT
        JSR     R5,wantat
        .word   kept1, kept0
        MOV     errors(R4),R0
        IOT
        JSR     R5,want
        .word   0, kept0
        RTS     PC

; --- reading --------------------------------------------------------------------------------------------------------

reads:  MOV     #treads,R1
1$:     MOV     R1,seekat
        JSR     R5,next         ; a sector twice, and compared by the controller
        .word   ttwice
        JSR     PC,wash
        MOV     @seekat,goplac
        MOV     #read,gocont
        MOV     #256.,gocnt
        MOV     #buffer,gomem
        JSR     PC,go0
        JSR     PC,sound
        JSR     R5,clean
        .word   front, buffer
        JSR     R5,clean
        .word   buffer+1000, rear
        MOV     #other,gomem
        JSR     PC,go0
        JSR     PC,sound
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     #256.,R2
2$:     CMP     (R0)+,(R1)+
        BNE     3$
        DEC     R2
        BNE     2$
        BR      4$
3$:     MOV     -(R0),R2
        MOV     -(R1),R3
        IOT
        JSR     R5,wantat
        .word   kept2, kept3
4$:     MOV     #check,gocont
        JSR     PC,go0
        JSR     PC,sound
        MOV     #rcheck,gocont
        JSR     PC,go0
        JSR     PC,sound

        JSR     R5,next         ; a word that differs is found, and does not stop the transfer
        .word   tdiffr
        COM     other+776
        MOV     #check,gocont
        JSR     PC,go0
        MOV     errors(R4),R0
        MOV     control(R4),R1
        BIC     #37777,R1
        MOV     count(R4),R2
        IOT
        JSR     R5,want
        .word   1, kept0
        JSR     R5,want
        .word   100000, kept1
        JSR     R5,want
        .word   0, kept2
        COM     other+776
        JSR     R5,close
        JSR     PC,reset
        MOV     seekat,R1
        TST     (R1)+
        CMP     R1,#treade
        BLO     1$

        MOV     #tparts,R1      ; a count is what goes to memory, no word more
5$:     MOV     R1,seekat
        JSR     R5,next
        .word   tpart
        JSR     PC,wash
        MOV     @seekat,R0
        MOV     R0,gocnt
        ASL     R0
        ADD     #buffer,R0
        MOV     R0,6$
        MOV     R0,7$
        CLR     goplac
        MOV     #read,gocont
        MOV     #buffer,gomem
        JSR     PC,go0
        JSR     PC,sound
        JSR     R5,stands
        .word   1
6$:     .word   0
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
        CMP     R1,#tparte
        BLO     5$

        JSR     R5,next
        .word   theld           ; address held: all words go to one
        JSR     PC,wash
        JSR     R5,go
        .word   4000+read, 0, 256., buffer
        JSR     PC,sound
        JSR     R5,stands
        .word   1, buffer
        JSR     R5,clean
        .word   front, buffer
        JSR     R5,clean
        .word   buffer+2, rear
        MOV     buffer,R2
        JSR     R5,go
        .word   read, 0, 256., buffer
        IOT
        JSR     R5,wantat
        .word   buffer+776, kept2

        JSR     R5,next
        .word   trchk           ; a read check moves no word
        JSR     PC,wash
        JSR     R5,go
        .word   rcheck, 0, 512., buffer
        JSR     PC,sound
        JSR     R5,clean
        .word   front, rear

        JSR     R5,next
        .word   tcut            ; initialise ends a transfer: no word comes later
        JSR     PC,wash
        MOV     @#0,cutat
        MOV     at,R4
        MOV     drive,place(R4)
        MOV     #-256.,count(R4)
        MOV     #buffer,memory(R4)
        MOV     #read,control(R4)
        RESET
        MOV     #100000,R0      ; some turns
8$:     DEC     R0
        BNE     8$
        JSR     PC,idle
        JSR     R5,clean
        .word   front, rear
        JSR     R5,wantat
        .word   cutat, 0

        JSR     R5,next
        .word   theadr          ; read in format mode: the cylinder, from three sectors
        JSR     PC,wash
        JSR     R5,go
        .word   2000+read, 6240, 3, buffer
        JSR     PC,sound
        JSR     R5,clean
        .word   buffer+6, rear
        MOV     buffer,R0
        MOV     buffer+2,R1
        MOV     buffer+4,R2
        BIC     #160037,R0
        BIC     #160037,R1
        BIC     #160037,R2
        IOT
        JSR     R5,want
        .word   6240, kept0
        JSR     R5,want
        .word   6240, kept1
        JSR     R5,want
        .word   6240, kept2
        JSR     R5,close
        RTS     PC
cutat:  .word   0
treads: .word   0, 13, 20, 33, 6245, 14500, 14533
treade:
tparts: .word   1, 2, 127., 255., 256.
tparte:

; From sector to sector, surface and cylinder; past the last one.
borders: MOV    #tbords,R1
1$:     MOV     R1,seekat
        JSR     R5,next
        .word   tbord
        JSR     PC,wash
        MOV     seekat,R1
        MOV     (R1)+,goplac
        MOV     (R1)+,2$
        MOV     #read,gocont
        MOV     #300.,gocnt
        MOV     #buffer,gomem
        JSR     PC,go0
        JSR     PC,sound
        JSR     R5,stands
2$:     .word   0, buffer+600.
        JSR     R5,clean
        .word   buffer+600., rear
        MOV     2$,goplac       ; the second part is the sector behind the border
        DEC     goplac
        MOV     #check,gocont
        MOV     #44.,gocnt
        MOV     #buffer+1000,gomem
        JSR     PC,go0
        JSR     PC,sound
        JSR     R5,close
        MOV     seekat,R1
        CMP     (R1)+,(R1)+
        CMP     R1,#tborde
        BLO     1$

        JSR     R5,next
        .word   tover
        JSR     PC,wash
        JSR     R5,go
        .word   read, 14533, 257., buffer
        JSR     R5,wrong
        .word   40000
        MOV     count(R4),R0
        MOV     memory(R4),R1
        IOT
        JSR     R5,want
        .word   -1, kept0
        JSR     R5,want
        .word   buffer+1000, kept1
        JSR     R5,clean
        .word   buffer+1000, rear
        JSR     R5,close
        MOV     at,R4
        JSR     PC,reset
        RTS     PC
tbords: .word   0, 2,   13, 21,  33, 41,  6233, 6241,  14513, 14521
tborde:

; --- interrupts -----------------------------------------------------------------------------------------------------
; Level 5 on one bus, 4 on the other: not at priority 5, at 3.  With one level only, 5 keeps them off as well.

lines:  TST     by
        BNE     1$
        RTS     PC
1$:     JSR     R5,next
        .word   tirq            ; the end of a transfer: once
        JSR     PC,watch
        JSR     R5,go
        .word   100+read, 0, 256., buffer
        JSR     PC,quiet
        JSR     PC,rings
        CLR     control(R4)

        JSR     R5,next
        .word   tnoirq          ; without the enable: never
        JSR     PC,watch
        JSR     R5,go
        .word   read, 0, 256., buffer
        JSR     R5,lower
        .word   0
        JSR     R5,want
        .word   0, rung

        JSR     R5,next
        .word   tseekq          ; a seek: at once, and when the arm stands
        JSR     R5,go
        .word   seek, 14500, 0, 0
        JSR     PC,arrive
        JSR     PC,watch
        JSR     R5,go
        .word   100+seek, 0, 0, 0
        JSR     PC,quiet
        JSR     PC,rings
        JSR     PC,arrive
        JSR     PC,watch
        JSR     PC,quiet
        JSR     PC,rings
        CLR     control(R4)

        JSR     R5,next
        .word   terrq           ; a refusal interrupts too
        JSR     PC,watch
        JSR     R5,go
        .word   100+read, 14, 256., buffer
        JSR     PC,rings
        JSR     R5,wrong
        .word   40
        JSR     R5,close
        MOV     at,R4
        JSR     PC,reset
        JSR     PC,calm
        RTS     PC

; None at priority 7 and 5; one below, and no second one.
quiet:  JSR     R5,want
        .word   0, rung
        JSR     R5,lower
        .word   240
        JSR     R5,named
        .word   nirq, 0, rung
        RTS     PC
rings:  JSR     R5,lower
        .word   140
        JSR     R5,named
        .word   nirq, 1, rung
        JSR     R5,lower
        .word   140
        JSR     R5,named
        .word   nirq, 1, rung
        JSR     R5,named
        .word   nirq, 0, rung2
        RTS     PC

; --- address bits 17 and 16 -----------------------------------------------------------------------------------------

upper:  JSR     PC,hole
        BCS     1$
        JSR     R5,next
        .word   tnomem          ; no memory there, neither to read nor to write
        MOV     #60+check,gocont
        JSR     PC,nomem
        MOV     #60+read,gocont
        JSR     PC,nomem
        JSR     R5,close

1$:     MOV     at,R4           ; is there memory behind the first 64 KB?
        JSR     R5,go
        .word   20+check, 0, 1, 0
        MOV     errors(R4),R0
        BIT     #2000,R0
        BEQ     2$
        JSR     PC,reset
        RTS     PC
2$:     JSR     R5,next
        .word   tabove
        JSR     PC,wash
        JSR     R5,go
        .word   20+read, 0, 256., buffer
        JSR     PC,sound
        JSR     R5,clean
        .word   front, rear
        JSR     R5,go
        .word   20+check, 0, 256., buffer
        JSR     PC,sound

        JSR     R5,next
        .word   tcarry
        MOV     @#0,R2
        JSR     R5,go
        .word   read, 0, 2, 177776
        JSR     PC,sound
        JSR     R5,stands
        .word   1, 2
        MOV     control(R4),R0
        BIC     #177717,R0
        MOV     @#0,R3
        IOT
        JSR     R5,want
        .word   20, kept0
        JSR     R5,wantat
        .word   kept2, kept3
        JSR     R5,close
        RTS     PC

nomem:  JSR     PC,wash
        CLR     goplac
        MOV     #1,gocnt
        MOV     gap,gomem
        JSR     PC,go0
        JSR     R5,wrong
        .word   2000
        JSR     R5,clean
        .word   front, rear
        JSR     PC,reset
        RTS     PC

; --- what writes ----------------------------------------------------------------------------------------------------

writes: JSR     PC,look
        BIT     #10,R0
        BNE     1$
        MOV     #tread,R0
        JSR     PC,remark
        RTS     PC
1$:     MOV     at,R4
        MOV     drive,place(R4)
        BIT     #40,status(R4)
        BEQ     2$
        MOV     #tlock,R0
        JSR     PC,remark
        BR      locked
2$:     JSR     PC,packs
        JSR     PC,spiral
        JSR     PC,partly
        JSR     PC,onepla
        JSR     PC,stops
        RTS     PC

; A protected drive refuses, and the sector stays as it was (A27).
locked: JSR     R5,next
        .word   tlockd
        JSR     R5,go
        .word   read, 6240, 256., other
        JSR     PC,sound
        MOV     #other,R0
        MOV     #buffer,R1
        MOV     #256.,R2
1$:     MOV     (R0)+,(R1)
        COM     (R1)+
        DEC     R2
        BNE     1$
        JSR     R5,go
        .word   write, 6240, 256., buffer
        JSR     R5,wrong
        .word   20000
        JSR     PC,reset
        JSR     R5,go
        .word   check, 6240, 256., other
        JSR     PC,sound
        JSR     R5,close
        RTS     PC

; Every sector of the first, the middle and the last cylinder.
packs:  MOV     #tpack,R1
1$:     MOV     R1,packat
        MOV     (R1),sector
        JSR     R5,next
        .word   twrite
        MOV     #24.,R3
2$:     JSR     PC,pattrn
        MOV     #write,gocont
        MOV     R3,-(SP)
        JSR     PC,go0
        JSR     PC,sound
        MOV     (SP)+,R3
        JSR     PC,follow
        DEC     R3
        BNE     2$
        MOV     packat,R1
        TST     (R1)+
        CMP     R1,#tpacke
        BLO     1$

        MOV     #tpack,R1
3$:     MOV     R1,packat
        MOV     (R1),sector
        MOV     #24.,left
4$:     JSR     PC,verify
        JSR     PC,follow
        DEC     left
        BNE     4$
        MOV     packat,R1
        TST     (R1)+
        CMP     R1,#tpacke
        BLO     3$
        RTS     PC
packat: .word   0
sector: .word   0
left:   .word   0
tpack:  .word   0, 6240, 14500
tpacke:

; The next sector of the cylinder; behind the last one the next cylinder.
follow: INC     sector
        MOV     sector,R0
        BIC     #177760,R0
        CMP     R0,#14
        BLO     1$
        ADD     #4,sector
1$:     RTS     PC

; The pattern of `sector` in the buffer, all set for a transfer.
pattrn: JSR     PC,seed
        MOV     #256.,R1
        MOV     R1,gocnt
        MOV     #buffer,gomem
        MOV     sector,goplac
        JMP     fill
seed:   MOV     pass,R0
        SWAB    R0
        ADD     sector,R0
        RTS     PC

; One case: the sector holds its pattern, says the program, and says the controller.
verify: MOV     sector,R0
        MOV     #cylno+3,R1
        ASL     R0
        ASL     R0
        ASL     R0
        SWAB    R0
        BIC     #177400,R0
        MOV     #3,R2
        JSR     PC,digits
        MOV     sector,R0
        BIC     #177760,R0
        MOV     #secno+2,R1
        MOV     #2,R2
        JSR     PC,digits
        MOVB    #'0,surfno
        BIT     #20,sector
        BEQ     1$
        INCB    surfno
1$:     JSR     R5,next
        .word   tplacd
        JSR     PC,wash
        JSR     PC,pattrn
        MOV     #check,gocont
        JSR     PC,go0
        JSR     PC,sound
        JSR     PC,wash
        MOV     #read,gocont
        JSR     PC,go0
        JSR     PC,sound
        JSR     PC,seed
        MOV     #256.,R1
        JSR     PC,same
        JSR     R5,close
        JMP     reset

; One transfer over the borders of sectors, surfaces and cylinders.
spiral: MOV     #tspir,R1
1$:     MOV     R1,packat
        JSR     R5,next
        .word   tspira
        MOV     @packat,sector
        MOV     sector,goplac
        MOV     #3,left
        MOV     #buffer,spoint
2$:     JSR     PC,seed
        MOV     #256.,R1
        MOV     spoint,R2
3$:     MOV     R0,(R2)+
        ADD     #step,R0
        DEC     R1
        BNE     3$
        MOV     R2,spoint
        JSR     PC,follow
        DEC     left
        BNE     2$
        MOV     #write,gocont
        MOV     #768.,gocnt
        MOV     #buffer,gomem
        JSR     PC,go0
        JSR     PC,sound
        MOV     sector,4$
        JSR     R5,stands
4$:     .word   0, buffer+3000
        JSR     R5,close
        MOV     @packat,sector
        MOV     #3,left
5$:     JSR     PC,verify
        JSR     PC,follow
        DEC     left
        BNE     5$
        MOV     packat,R1
        TST     (R1)+
        CMP     R1,#tspire
        BLO     1$
        RTS     PC
spoint: .word   0
tspir:  .word   103, 112, 132
tspire:

; Part of a sector: the rest becomes 0, and the next sector stays.
partly: MOV     #200,sector
        JSR     PC,pattrn
        MOV     #write,gocont
        JSR     PC,go0
        INC     sector
        JSR     PC,pattrn
        JSR     PC,go0
        JSR     R5,next
        .word   tpartw
        MOV     #200,sector
        JSR     PC,pattrn
        COM     buffer
        MOV     #100.,gocnt
        MOV     #write,gocont
        JSR     PC,go0
        JSR     PC,sound
        JSR     R5,stands
        .word   201, buffer+200.
        JSR     PC,wash
        JSR     R5,go
        .word   read, 200, 256., buffer
        JSR     PC,sound
        COM     buffer
        JSR     PC,seed
        MOV     #100.,R1
        JSR     PC,same
        MOV     #buffer+200.,R0
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
        INC     sector
        JSR     PC,verify
        RTS     PC

; Address held: one word of memory fills the sector.
onepla: JSR     R5,next
        .word   theldw
        JSR     PC,wash
        MOV     #52413,buffer
        JSR     R5,go
        .word   4000+write, 240, 256., buffer
        JSR     PC,sound
        JSR     R5,stands
        .word   241, buffer
        JSR     PC,wash
        JSR     R5,go
        .word   read, 240, 256., buffer
        MOV     #buffer,R0
1$:     CMP     (R0)+,#52413
        BNE     2$
        CMP     R0,#buffer+1000
        BLO     1$
        BR      3$
2$:     MOV     -(R0),R0
        IOT
        JSR     R5,want
        .word   52413, kept0
3$:     JSR     R5,close
        RTS     PC

; A soft error stops the transfer where that is asked for, else not.
stops:  MOV     #103,sector     ; patterns from the spirals
        JSR     PC,pattrn
        COM     buffer+100
        JSR     R5,next
        .word   tnstop
        JSR     R5,go
        .word   check, 103, 512., buffer
        MOV     control(R4),R0
        BIC     #37777,R0
        MOV     count(R4),R1
        MOV     errors(R4),R2
        IOT
        JSR     R5,want
        .word   100000, kept0
        JSR     R5,want
        .word   0, kept1
        JSR     R5,want
        .word   1, kept2
        JSR     R5,next
        .word   tstops
        JSR     PC,reset
        JSR     R5,go
        .word   400+check, 103, 512., buffer
        MOV     control(R4),R0
        BIC     #37777,R0
        MOV     count(R4),R1
        MOV     errors(R4),R2
        IOT
        JSR     R5,want
        .word   100000, kept0
        JSR     R5,want
        .word   -256., kept1
        JSR     R5,want
        .word   1, kept2
        JSR     R5,stands
        .word   104, buffer+1000
        JSR     R5,close
        MOV     at,R4
        JSR     PC,reset
        RTS     PC

; --- texts ----------------------------------------------------------------------------------------------------------

nerr:   .asciz  /error register/
nctl:   .asciz  /control/
ncnt:   .asciz  /word count/
nmem:   .asciz  /bus address/
nplc:   .asciz  /disk address/
nirq:   .asciz  /number of interrupts/
tread:  .asciz  /nothing is written: switch 10 (octal) says that the cartridge may be overwritten, and it is off/
tlock:  .asciz  /the drive is write-protected: that it refuses to write is tested instead of writing/
tnorea: .asciz  /READY did not come back: the controller does not end a function/
tempty: .asciz  /the drive is not ready: is it there, is a cartridge in it, does it turn?/
tdense: .asciz  /bit 11 is 0: a drive of another density/
tnever: .asciz  /it never was/
tnoarm: .asciz  /search complete did not come: the arm has not arrived/

tansw:  .asciz  /the registers answer/
tinit:  .asciz  /bus initialise: ready, everything else 0/
treset: .asciz  /control reset: ready, everything else 0/
tronly: .asciz  /the error register can not be written/
teach:  .asciz  /each register holds its own word/
tcount: .asciz  /word count, one bit/
tmem:   .asciz  /bus address, one bit/
tplace: .asciz  /disk address, one bit/
tcontr: .asciz  /control, one bit/
tmount: .asciz  /status of the drive: it is ready/
tturn:  .asciz  /the sector counter goes through 0 to 13/
tequal: .asciz  /status bit 4: the sector counter is at the sector of the disk address/
tsect:  .asciz  /a sector number above 13 is refused/
tcyl:   .asciz  /a cylinder above 312 is refused/
tformt: .asciz  /format with another function than read or write is refused/
tstick: .asciz  /after an error every function is refused until control reset/
tstick2: .asciz /an error is cleared by bus initialise/
tabsen: .asciz  /a drive that is not there or has no cartridge gives an error/
tseekt: .asciz  /seek: the arm arrives and says so/
tfar:   .asciz  /a long seek: ready at once, the arm is on its way/
tclear: .asciz  /a function clears search complete/
thome:  .asciz  /drive reset: the arm goes home/
tbusy:  .asciz  /while a function runs: not ready, no access, the disk address is not loaded/
tcut:   .asciz  /bus initialise ends a transfer/
ttwice: .asciz  /a sector read twice, compared by the controller, and nothing beside it touched/
tdiffr: .asciz  /write check finds a word that differs, and goes on/
tpart:  .asciz  /so many words as asked for, and no more/
theld:  .asciz  /read with the address held: all words go to one place/
trchk:  .asciz  /read check moves no words/
theadr: .asciz  /read in format mode: the headers of three sectors/
tbord:  .asciz  /reading goes on in the next sector, surface or cylinder/
tover:  .asciz  /reading past the last sector of the last cylinder/
tirq:   .asciz  /interrupt at the end of a transfer, once/
tnoirq: .asciz  /no interrupt without the enable/
tseekq: .asciz  /a seek interrupts when ready, and when the arm has arrived/
terrq:  .asciz  /a function that is refused interrupts/
tnomem: .asciz  /transfers to an address where there is no memory/
tabove: .asciz  /address bit 16: words go to the memory above, and not below/
tcarry: .asciz  /the bus address carries into bit 16/
tlockd: .asciz  /a write-protected drive refuses to write, and the sector stays/
twrite: .asciz  /writing all sectors of a cylinder/
tspira: .asciz  /writing three sectors over a border/
tpartw: .asciz  /part of a sector is written, the rest becomes 0/
theldw: .asciz  /writing with the address held: one word fills the sector/
tnstop: .asciz  /a difference does not stop a write check/
tstops: .asciz  /a difference stops a write check where that is asked for/
tplacd: .ascii  /read back cylinder /
cylno:  .ascii  /000, surface /
surfno: .ascii  /0, sector /
secno:  .ascii  /00/<0>
        .even

front:  . = . + 20
buffer: . = . + 3000
        . = . + 20
other:  . = . + 1000
        . = . + 20
rear:
