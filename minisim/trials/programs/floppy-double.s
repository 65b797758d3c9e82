; device: floppy-double
; scratch: yes
; memory: 12
; with: storage floppy

; The 8-inch floppy of double density, with a diskette of either density: DMA goes to and from the buffer in the drive box.
; Sources and what is left out: parts/floppy.s.  Left out besides: the codes of too many words and of a wrong key, what
; fills the rest of a buffer (unconfirmed); what the three detail words behind the error code hold; changing the density.

device  = 177170
vector  = 264
outset  = 4040
defect  = 6021                  ; no memory, too many words, density error, data check
dense   = 400                   ; in the status register

name:   .asciz  /floppy-double/
about:  .asciz  /registers, buffer, sectors, densities, errors and interrupts of the double-density 8-inch floppy/
        .even
drive:  .word   0
size:   .word   64.

filbuf: MOV     #fill1,fnword
        BR      whole
empbuf: MOV     #empty1,fnword
whole:  MOV     size,par1
        MOV     #buffer,par2
        MOV     #2,fnpars
        JSR     PC,func0
        JMP     sound

; The code stands in the first byte of four words (from memory, firm).
codeis: MOV     (R5)+,1$
        JSR     R5,func
        .word   error1, 1, detail, 0
        MOV     detail,stpart
        BIC     #177400,stpart
        JSR     R5,named
        .word   ncode
1$:     .word   0, stpart
        RTS     R5

; The density is that of the diskette, as read status tells it.
special: JSR    R5,next
        .word   tdens
        JSR     R5,func
        .word   stat1, 0, 0, 0
        JSR     PC,sound
        MOV     #64.,size
        BIT     #40,esword
        BEQ     1$
        MOV     #128.,size
        BIS     #dense,drive
1$:     JSR     R5,func         ; bit 5 tells it with reading too, bit 8 the drive
        .word   read1, 2, 1, 1
        JSR     PC,sound
        MOV     drive,R1
        BIC     #177757,R1
        ASL     R1
        ASL     R1
        ASL     R1
        ASL     R1
        BIT     #dense,drive
        BEQ     2$
        BIS     #40,R1
2$:     MOV     esword,R0
        BIC     #177337,R0
        IOT
        JSR     R5,wantat
        .word   kept1, kept0

        MOV     #tcount,R1      ; words into the buffer and out of it
3$:     MOV     R1,listat
        CMP     (R1),size
        BHI     5$
        MOV     (R1),4$
        MOV     (R1),short
        JSR     R5,next
        .word   tbuff
        JSR     PC,wash
        MOV     #36471,R0
        MOV     size,R1
        JSR     PC,fill
        JSR     PC,filbuf
        JSR     PC,wash
        JSR     R5,func
        .word   empty1, 2
4$:     .word   0, buffer
        JSR     PC,sound
        MOV     size,-(SP)
        MOV     short,size
        JSR     PC,beside
        MOV     #36471,R0
        MOV     size,R1
        JSR     PC,same
        MOV     (SP)+,size
        JSR     R5,close
5$:     MOV     listat,R1
        TST     (R1)+
        CMP     R1,#tcounx
        BLO     3$

        JSR     R5,next
        .word   tfew            ; a buffer filled in part holds these words first
        MOV     #125252,buffer
        JSR     R5,func
        .word   fill1, 2, 1, buffer
        JSR     PC,sound
        JSR     PC,wash
        JSR     R5,func
        .word   empty1, 2, 1, buffer
        JSR     R5,want
        .word   125252, buffer
        JSR     R5,clean
        .word   buffer+2, rear

        JSR     R5,next
        .word   tmany           ; more than a sector has
        JSR     PC,wash
        MOV     size,par1
        INC     par1
        MOV     #buffer,par2
        MOV     #2,fnpars
        MOV     #empty1,fnword
        JSR     PC,func0
        JSR     R5,wrong
        .word   2000
        JSR     R5,clean
        .word   front, rear
        MOV     size,par1
        INC     par1
        MOV     #fill1,fnword
        JSR     PC,func0
        JSR     R5,wrong
        .word   2000
        JSR     R5,close

        JSR     PC,shake
        JSR     PC,upper
        JSR     PC,density
        RTS     PC
short:  .word   0
tcount: .word   1, 2, 63., 64., 65., 127., 128.
tcounx:

; GO clears DONE; a parameter clears the request, which comes back.
shake:  JSR     R5,next
        .word   tshake
        JSR     PC,waits
        MOV     #read1,R1
        BIS     drive,R1
        MOV     R1,(R4)
        MOV     (R4),R0
        JSR     PC,asked
        MOV     (R4),R1
        MOV     #1,data(R4)
        MOV     (R4),R2
        JSR     PC,asked
        MOV     (R4),R3
        BIC     #177537,R0
        BIC     #177537,R1
        BIC     #177537,R2
        BIC     #177537,R3
        IOT
        JSR     R5,want
        .word   0, kept0
        JSR     R5,want
        .word   200, kept1
        JSR     R5,want
        .word   0, kept2
        JSR     R5,want
        .word   200, kept3
        MOV     #1,data(R4)
        JSR     PC,waits
        CLR     unaskd
        JSR     PC,sound
        JSR     R5,close
        RTS     PC

; A function of the other density (A37): code 240 [floppy-guide-1978].
density: JSR    R5,next
        .word   tother
        MOV     drive,-(SP)
        MOV     #dense,R0
        BIT     R0,drive
        BEQ     1$
        BIC     R0,drive
        BR      2$
1$:     BIS     R0,drive
2$:     JSR     R5,func
        .word   read1, 2, 1, 1
        MOV     (SP)+,drive
        JSR     R5,wrong
        .word   20
        JSR     R5,codeis
        .word   240
        JSR     R5,func
        .word   read1, 2, 1, 1
        JSR     PC,sound
        JSR     R5,close
        RTS     PC

; Set media density, as it is: it rewrites all sectors.  Without the right key nothing is written.
rewrit: JSR     R5,next
        .word   tkey
        JSR     R5,func
        .word   read1, 2, 1, 1
        JSR     PC,empbuf
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     size,R2
1$:     MOV     (R0)+,(R1)+
        DEC     R2
        BNE     1$
        JSR     R5,func
        .word   11, 1, 110, 0
        MOV     stword,stpart
        BIC     #77777,stpart
        JSR     R5,named
        .word   nerror, 100000, stpart
        JSR     R5,func
        .word   read1, 2, 1, 1
        JSR     PC,sound
        JSR     PC,empbuf
        MOV     #buffer,R0
        MOV     #other,R1
        MOV     size,R2
2$:     CMP     (R0)+,(R1)+
        BNE     3$
        DEC     R2
        BNE     2$
        BR      4$
3$:     MOV     -(R0),R2
        MOV     -(R1),R3
        IOT
        JSR     R5,wantat
        .word   kept3, kept2

4$:     JSR     R5,next
        .word   trewri          ; some 15 seconds
        JSR     PC,waits
        MOV     #11,R1
        BIS     drive,R1
        MOV     R1,(R4)
        JSR     PC,asked
        MOV     #111,data(R4)
        JSR     R5,until
        .word   status, done1, 400.
        JSR     PC,waits
        CLR     unaskd
        JSR     PC,sound
        MOV     #treads,R1
5$:     MOV     R1,listat
        MOV     (R1)+,par1
        MOV     (R1)+,par2
        MOV     #read1,fnword
        MOV     #2,fnpars
        JSR     PC,func0
        JSR     PC,sound
        MOV     listat,R1
        CMP     (R1)+,(R1)+
        CMP     R1,#treadx
        BLO     5$
        JSR     R5,close
        RTS     PC

; --- address bits 17 and 16 -----------------------------------------------------------------------------------------

upper:  JSR     PC,hole
        BCS     1$
        JSR     R5,next
        .word   tnomem
        JSR     PC,wash
        MOV     gap,par2
        MOV     #1,par1
        MOV     #2,fnpars
        MOV     #30000+empty1,fnword
        JSR     PC,func0
        JSR     R5,wrong
        .word   4000
        MOV     #30000+fill1,fnword
        JSR     PC,func0
        JSR     R5,wrong
        .word   4000
        JSR     R5,clean
        .word   front, rear
        JSR     R5,close

1$:     JSR     R5,func         ; is there memory behind the first 64 KB?
        .word   10000+fill1, 2, 1, 0
        BIT     #4000,esword
        BNE     2$
        JSR     R5,next
        .word   tabove
        MOV     #52013,R0
        MOV     size,R1
        JSR     PC,fill
        JSR     PC,filbuf
        JSR     PC,wash
        MOV     #10000+empty1,fnword
        JSR     PC,whole
        JSR     R5,clean
        .word   front, rear
        MOV     #100707,R0
        MOV     size,R1
        JSR     PC,fill
        JSR     PC,filbuf
        MOV     #10000+fill1,fnword
        JSR     PC,whole
        JSR     PC,wash
        JSR     PC,empbuf
        JSR     PC,beside
        MOV     #52013,R0
        MOV     size,R1
        JSR     PC,same

        JSR     R5,next
        .word   tcarry
        MOV     @#0,R2
        JSR     R5,func
        .word   empty1, 2, 2, 177776
        JSR     PC,sound
        MOV     @#0,R3
        IOT
        JSR     R5,wantat
        .word   kept2, kept3
        JSR     R5,close
2$:     RTS     PC

ncode:  .asciz  /error code/
tdens:  .asciz  /the density of the diskette and the drive are told/
tbuff:  .asciz  /words into the buffer and out of it, so many as asked for/
tfew:   .asciz  /one word into the buffer and out of it/
tmany:  .asciz  /more words than a sector has are refused/
tshake: .asciz  /done, and the request for a parameter, come and go/
tkey:   .asciz  /set density with a wrong key changes nothing/
trewri: .asciz  /set density, as it is: all sectors are rewritten/
tother: .asciz  /a function of the other density is refused/
tnomem: .asciz  /transfers to an address where there is no memory/
tabove: .asciz  /address bit 16: words come and go above, not below/
tcarry: .asciz  /the address carries into bit 16/
        .even
detail: . = . + 10
front:  . = . + 20
buffer: . = . + 400
        . = . + 20
other:  . = . + 400
        . = . + 20
rear:
