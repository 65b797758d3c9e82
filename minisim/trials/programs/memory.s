; with: cases patterns

; Memory up to 28K words, as a program without memory management sees it, with its own place too: for that the program
; puts a copy of itself into the second 4K words and tests the first 4K words from there.  What was in memory, also a
; loader, is lost.  Sizes are found by time-outs (address 0 to 160000), which trap through 4 [handbook-1969].
; All expected words are arithmetic (parts/patterns.s).

device  = 0
vector  = 0
name:   .asciz  /memory/
about:  .asciz  /every word of memory up to 28K words, that under this program too/
        .even

run:    CLR     bank
        CLR     refuge
1$:     MOV     bank,R1
        MOV     R1,R2
        ADD     #20000,R2
        JSR     PC,finds
        TST     bank
        BNE     2$
        MOV     R2,lowend
        MOV     #theend+77,R1   ; the first 4K words: what lies above this program
        BIC     #77,R1
2$:     MOV     R1,first
        MOV     R2,behind
        JSR     PC,report
        CMP     R1,R2
        BHIS    3$
        MOV     faults,-(SP)
        JSR     PC,onebnk
        CMP     (SP)+,faults
        BNE     3$
        TST     bank
        BEQ     3$
        TST     refuge
        BNE     3$
        MOV     behind,R0       ; is there room for the copy?
        SUB     first,R0
        CMP     R0,#theend+mytest-moves+tsend-test
        BLO     3$
        MOV     first,refuge
3$:     ADD     #20000,bank
        CMP     bank,#160000
        BLO     1$
        TST     refuge
        BEQ     4$
        JSR     PC,under
        RTS     PC
4$:     TST     pass
        BNE     5$
        MOV     #tsmall,R0
        JSR     PC,print
        JSR     PC,line
5$:     RTS     PC

; In the first pass: which memory there is.
report: TST     pass
        BNE     9$
        MOV     R1,-(SP)
        CMP     R1,R2
        BHIS    3$
        TST     bank
        BNE     1$
        CLR     R1
1$:     MOV     #tthere,R0
        JSR     PC,print
        MOV     R1,R0
        JSR     PC,octal
        MOV     #tto,R0
        JSR     PC,print
        MOV     R2,R0
        SUB     #2,R0
        JSR     PC,octal
        JSR     PC,line
3$:     MOV     (SP)+,R1
9$:     RTS     PC

; All kinds from `first` to `behind`.
onebnk: CLR     kind
another: JSR    PC,named
        JSR     R5,next
        .word   buffer
        MOV     kind,R0
        MOV     first,R1
        MOV     behind,R2
        MOV     SP,oldsp
        MOV     #silent,@#4
        JSR     PC,test
        BEQ     nextk
        INC     placed
        MOV     R3,placel
        JSR     PC,amiss
nextk:  JSR     R5,rearm
        .word   4
        JSR     R5,repeat
        ADD     #2,kind
        CMP     kind,#10
        BLO     another
        RTS     PC

; Nobody answered at an address where a neighbour did.
silent: MOV     oldsp,SP
        INC     placed
        MOV     R3,placel
        JSR     R5,bad
        .word   tsilen
        CLR     placed
        BR      nextk

; All kinds from 0 to `lowend`, from the copy.
under:  CLR     first
        MOV     lowend,behind
        CLR     kind
1$:     JSR     PC,named
        JSR     R5,next
        .word   buffer
        MOV     #moves,R3       ; the part that runs, behind the place of the copy
        MOV     refuge,R4
        ADD     #theend,R4
        MOV     R4,entry
2$:     MOV     (R3)+,(R4)+
        CMP     R3,#mytest
        BLO     2$
        MOV     #test,R3
4$:     MOV     (R3)+,(R4)+
        CMP     R3,#tsend
        BLO     4$
        MOV     kind,R0
        MOV     lowend,R2
        JSR     PC,@entry
        TST     R1
        BEQ     3$
        INC     placed
        MOV     R3,placel
        JSR     PC,amiss
3$:     JSR     R5,repeat
        ADD     #2,kind
        CMP     kind,#10
        BLO     1$
        RTS     PC

; The text of a case.
named:  MOV     kind,R1
        MOV     kinds(R1),R1
        MOV     #buffer,R2
        MOV     #tfrom,R0
        JSR     PC,puts
        MOV     first,R0
        JSR     PC,puto
        MOV     #tto,R0
        JSR     PC,puts
        MOV     behind,R0
        SUB     #2,R0
        JSR     PC,puto
        MOV     #colon,R0
        JSR     PC,puts
        MOV     R1,R0
puts:   MOVB    (R0)+,(R2)+
        BNE     puts
        DEC     R2
        RTS     PC
puto:   MOV     #6,R3           ; six octal digits
        MOV     R0,R4
        CLR     R0
        BR      2$
1$:     CLR     R0
        ASL     R4
        ROL     R0
        ASL     R4
        ROL     R0
2$:     ASL     R4
        ROL     R0
        ADD     #'0,R0
        MOVB    R0,(R2)+
        DEC     R3
        BNE     1$
        CLRB    (R2)
        RTS     PC

; --- the part that runs elsewhere: no absolute address of its own may stand in it ----------------------------------
; R0 = kind, R2 = address behind the last word.  R1 is not 0 if a test failed.  `test` stands behind it in the copy.
moves:  MOV     SP,keepsp
        MOV     PC,SP
        ADD     #mystak-.,SP
        MOV     PC,R4           ; its refuge lies `theend` before it
2$:     SUB     #2$-moves+theend,R4
        MOV     R4,myhome
        CLR     R3
1$:     MOV     (R3)+,(R4)+
        CMP     R3,#theend
        BLO     1$
        CLR     R1
        JSR     PC,mytest
        BEQ     4$
        INC     fault
4$:     MOV     myhome,R1
        CLR     R2
3$:     MOV     (R1)+,(R2)+
        CMP     R2,#theend
        BLO     3$
        MOV     fault,R1
        MOV     keepsp,SP
        RTS     PC
keepsp: .word   0
myhome: .word   0
fault:  .word   0
        . = . + 40              ; its stack
mystak:
mytest:


bank:   .word   0               ; first address of these 4K words
kind:   .word   0
first:  .word   0
behind: .word   0
lowend: .word   0               ; end of memory in the first 4K words
refuge: .word   0               ; where the copy goes
entry:  .word   0
oldsp:  .word   0
tthere: .asciz  /  memory from /
tto:    .asciz  / to /
tfrom:  .asciz  /from /
tsilen: .asciz  /nobody answers/
tsmall: .asciz  /  what lies under this program is not tested: no other 4K words can take its copy/
buffer: . = . + 140
        .even
theend:
