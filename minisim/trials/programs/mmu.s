; needs: mmu
; memory: 32
; with: cases

; Memory management.  Sources: [processor-handbooks-1972-81], the cases in minisim/trials/cases/mmu.yaml and
; differences-mmu.yaml, [wiki-mmu] (relocation, modes: derived); lengths and access codes are unconfirmed, but agreed
; on by all cases.  What is not on every processor is found out first: supervisor mode, split spaces, MMR3, the width
; of a PAR, three-bit access fields (rows D48 to D51).  With supervisor mode MMR1 must record steps of registers;
; without it it is not looked at.  Left out: modes that are not defined (D45), MMR2 after a trap (D52), MTPS in user
; mode (D46).
;
; The program stands below 40000 and is mapped one to one in every mode; 40000 to 57776 is the memory that is tested
; through pages.  Pages 2 to 6 are the ones under test, in user and supervisor mode page 7 too.  Page 7 of kernel mode
; leads to the I/O page.

device  = 0
vector  = 0
mmr0    = 177572
mmr1    = 177574
mmr2    = 177576
mmr3    = 172516
ps      = 177776
plain   = 40000                 ; the memory behind pages under test
whole   = 77406                 ; PDR: all blocks, read and write
name:   .asciz  /mmu/
about:  .asciz  /memory management: pages of all modes, lengths, access, aborts, modes and spaces/
        .even

run:    MOV     SP,runsp
        JSR     PC,probe
        JSR     PC,holds
        JSR     PC,alive
        JSR     PC,places
        JSR     PC,seven
        JSR     PC,iopage
        MOV     #rows,R0
        MOV     #rowend,R1
        JSR     PC,table
        TST     three
        BEQ     1$
        MOV     #rows3,R0
        MOV     #row3end,R1
        JSR     PC,table
        BR      2$
1$:     MOV     #rows2,R0
        MOV     #row2end,R1
        JSR     PC,table
2$:     JSR     PC,lengths
        JSR     PC,between
        JSR     PC,modes
        JSR     PC,regset
        JSR     PC,fetchs
        JSR     PC,twostp
        JSR     PC,frozen
        JSR     PC,spaces
        JSR     PC,quiet
        RTS     PC

; --- what this processor has ----------------------------------------------------------------------------------------

probe:  CLR     @#mmr0
        MOV     #177777,@#172344
        MOV     @#172344,parmax ; 7777 or 177777
        MOV     #77417,@#172304
        MOV     @#172304,R0
        BIC     #177776,R0
        MOV     R0,three        ; PDR bit 0: access of three bits
        MOV     #172200,R1
        JSR     PC,answer
        MOV     R0,super
        MOV     #172320,R1
        JSR     PC,answer
        MOV     R0,split
        MOV     #mmr3,R1
        JSR     PC,answer
        MOV     R0,has3
        CLR     wide
        TST     has3
        BEQ     1$
        MOV     #20,@#mmr3
        MOV     @#mmr3,wide     ; not 0: 22 bits can be switched on
        BIC     #177757,wide
        CLR     @#mmr3
1$:     CLR     m3
        MOV     #2$,@#10        ; SPL: trap 10 where it is not known
        CLR     hasspl
        .word   237             ; SPL 7
        INC     hasspl
        BR      3$
2$:     CMP     (SP)+,(SP)+
3$:     JSR     R5,rearm
        .word   10
        JSR     R5,next
        .word   twidth
        CMP     parmax,#7777
        BEQ     4$
        CMP     parmax,#177777
        BEQ     4$
        JSR     R5,want
        .word   177777, parmax
4$:     JSR     R5,next
        .word   tsplit
        TST     split           ; split spaces only with a third mode
        BEQ     5$
        TST     super
        BNE     5$
        JSR     R5,bad
        .word   tonly
5$:     RTS     PC

; R0 = 1 if something answers at R1.
answer: MOV     #1$,@#4
        CLR     R0
        TST     (R1)
        INC     R0
        BR      2$
1$:     CMP     (SP)+,(SP)+
2$:     JSR     R5,rearm
        .word   4
        RTS     PC

; --- PAR and PDR hold what is written, each its own -----------------------------------------------------------------

holds:  MOV     #sets,R4
1$:     MOV     (R4)+,R1        ; first PDR
        BEQ     9$
        MOV     (R4)+,R2        ; needs supervisor mode, split spaces
        MOV     (R4)+,R0
        JSR     PC,here
        BEQ     1$
        MOV     R0,settxt
        MOV     R4,-(SP)
        MOV     #tpdr,R5
        JSR     PC,sayset
        JSR     R5,next
        .word   buffer
        MOV     #pdrpat,R3
        MOV     #77416,R4
        JSR     PC,hold
        MOV     #tpar,R5
        JSR     PC,sayset
        JSR     R5,next
        .word   buffer
        ADD     #40,R1
        MOV     #parpat,R3
        MOV     parmax,R4
        JSR     PC,hold
        MOV     (SP)+,R4
        BR      1$
9$:     JSR     PC,unique
        RTS     PC

; Z = 0 if the set with needs R2 is there (0 always, 1 supervisor mode, 2 split spaces, 3 both).
here:   BIT     #1,R2
        BEQ     1$
        TST     super
        BEQ     2$
1$:     BIT     #2,R2
        BEQ     3$
        TST     split
        BEQ     2$
3$:     CLZ
        RTS     PC
2$:     SEZ
        RTS     PC

; Eight registers from R1, patterns at R3 up to -1, bits R4.  R1 is kept.
hold:   COM     R4
1$:     MOV     (R3)+,R2
        CMP     R2,#-1
        BEQ     4$
        BIC     R4,R2
        MOV     #8.,R0
2$:     MOV     R2,(R1)
        MOV     R2,wanted
        MOV     (R1),found
        BIC     R4,found
        JSR     R5,judge
        ADD     #2,R1
        DEC     R0
        BNE     2$
        SUB     #20,R1
        BR      1$
4$:     MOV     R2,-(SP)        ; all ones too
        COM     R4
        MOV     R4,(R1)
        MOV     R4,wanted
        MOV     (R1),found
        COM     R4
        BIC     R4,found
        JSR     R5,judge
        MOV     (SP)+,R2
        RTS     PC
pdrpat: .word   0, 52412, 25004, 40000, 20000, 10000, 4000, 2000, 1000, 400, 10, 4, 2, 77406, -1
parpat: .word   0, 52525, 25252, 1, 2, 4, 10, 20, 40, 100, 200, 400, 1000, 2000, 4000, 10000, 20000, 40000, 100000, -1

; All registers of all sets hold words of their own at the same time.
unique: JSR     R5,next
        .word   tuniq
        MOV     #1$,R3
        BR      2$
1$:     MOV     R2,(R1)
        RTS     PC
2$:     JSR     PC,every
        MOV     #3$,R3
        BR      every
3$:     MOV     R2,wanted
        MOV     (R1),found
        JSR     R5,judge
        RTS     PC
; Calls R3 with R1 = each register, R2 = a word for it.
every:  MOV     #sets,R4
        MOV     #402,R0
1$:     MOV     (R4)+,R1
        BEQ     9$
        MOV     (R4)+,R2
        TST     (R4)+
        JSR     PC,here
        BEQ     1$
        MOV     R1,lastof
        ADD     #20,lastof
2$:     MOV     R0,R2
        BIC     #170361,R2
        JSR     PC,(R3)         ; PDR
        ADD     #40,R1
        MOV     R0,R2
        BIC     #170000,R2
        COM     R2
        BIC     #170000,R2
        JSR     PC,(R3)         ; PAR
        SUB     #36,R1
        ADD     #402,R0
        BIT     #10,R0          ; only bits 3-1 and 11-8 may differ in a PDR
        BEQ     3$
        ADD     #370,R0
        BIC     #10,R0
3$:     CMP     R1,lastof
        BLO     2$
        BR      1$
9$:     RTS     PC

;       first PDR, needs, text
sets:   .word   172300, 0, tkerni, 177600, 0, tuseri, 172200, 1, tsupi
        .word   172320, 2, tkernd, 177620, 2, tuserd, 172220, 3, tsupd, 0

sayset: MOV     R0,-(SP)        ; R5: text of the case; the set behind it
        MOV     R2,-(SP)
        MOV     R5,R0
        MOV     #buffer,R2
        JSR     PC,puts
        MOV     settxt,R0
        JSR     PC,puts
        MOV     (SP)+,R2
        MOV     (SP)+,R0
        RTS     PC
puts:   MOVB    (R0)+,(R2)+
        BNE     puts
        DEC     R2
        RTS     PC

; --- a case: one instruction with memory management on --------------------------------------------------------------

; All pages away but those of the program, and the I/O page of kernel mode; all PAR 7000.
clear:  MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     R2,-(SP)
        MOV     R4,-(SP)
        MOV     #sets,R4
1$:     MOV     (R4)+,R1
        BEQ     9$
        MOV     (R4)+,R2
        TST     (R4)+
        JSR     PC,here
        BEQ     1$
        MOV     #8.,R0
2$:     MOV     #7000,40(R1)
        CLR     (R1)+
        DEC     R0
        BNE     2$
        MOV     #whole,-20(R1)
        MOV     #whole,-16(R1)
        CLR     20(R1)
        MOV     #200,22(R1)
        BR      1$
9$:     MOV     #172316,R1
        JSR     PC,iomap
        TST     split
        BEQ     10$
        MOV     #172336,R1
        JSR     PC,iomap
10$:    MOV     #30340,@#ps     ; user SP, by the previous mode
        MOV     #57776,-(SP)
        .word   6606            ; MTPI SP
        MOV     #340,@#ps
        MOV     #340,runps
        CLR     m3
        MOV     #1,m0
        MOV     #123456,in0
        MOV     #11111,in1
        MOV     #22222,in2
        MOV     #33333,in3
        MOV     #44444,in4
        MOV     #55555,in5
        MOV     #240,op+2
        MOV     #240,op+4
        MOV     (SP)+,R4
        MOV     (SP)+,R2
        MOV     (SP)+,R1
        MOV     (SP)+,R0
        RTS     PC

; The page whose PDR is R1 leads to the I/O page.
iomap:  MOV     #7600,40(R1)
        TST     wide
        BEQ     1$
        MOV     #177600,40(R1)  ; also right without 22 bits
1$:     MOV     #whole,(R1)
        RTS     PC

; Runs `op` in the mode of runps with registers in0 to in5, and notes how it ended in out0 and following.
shot:   MOV     R5,-(SP)
        MOV     R4,-(SP)
        MOV     R3,-(SP)
        MOV     R2,-(SP)
        MOV     R1,-(SP)
        MOV     R0,-(SP)
        MOV     SP,oursp
        MOV     #saw1,@#4
        MOV     #saw2,@#10
        MOV     #saw3,@#34
        MOV     #saw4,@#250
        TST     has3
        BEQ     5$
        MOV     m3,@#mmr3
5$:     MOV     in0,R0
        MOV     in1,R1
        MOV     in2,R2
        MOV     in3,R3
        MOV     in4,R4
        MOV     in5,R5
        MOV     runps,-(SP)
        MOV     #op,-(SP)
        MOV     m0,@#mmr0
        RTI
op:     .word   0, 240, 240
        TRAP    0
saw1:   MOV     #4,@#outvec
        BR      ended4
saw2:   MOV     #10,@#outvec
        BR      ended4
saw3:   MOV     #34,@#outvec
        BR      ended4
saw4:   MOV     #250,@#outvec
ended4: MOV     #lost,@#250     ; no second abort in here
        MOV     @#ps,@#outnow
        MOV     @#mmr0,@#out0m
        MOV     @#mmr1,@#out1m
        MOV     @#mmr2,@#out2m
        BIC     #200,@#out0m    ; instruction completed: only on some
        CLR     @#mmr0
        MOV     R0,@#out0
        MOV     R1,@#out1
        MOV     R2,@#out2
        MOV     R3,@#out3
        MOV     R4,@#out4
        MOV     R5,@#out5
        TST     has3
        BEQ     1$
        CLR     @#mmr3
1$:     MOV     SP,outsp
        MOV     (SP),outpc
        MOV     2(SP),outps
        MOV     oursp,SP
        MOV     SP,R0
        MOV     -(R0),outw1
        MOV     -(R0),outw2
        JSR     R5,rearm
        .word   4
        JSR     R5,rearm
        .word   10
        JSR     R5,rearm
        .word   34
        JSR     R5,rearm
        .word   250
        MOV     #340,@#ps
        MOV     (SP)+,R0
        MOV     (SP)+,R1
        MOV     (SP)+,R2
        MOV     (SP)+,R3
        MOV     (SP)+,R4
        MOV     (SP)+,R5
        RTS     PC

; With memory management on, can this program and the I/O page be reached at all?  RESET turns it off again.
alive:  JSR     R5,next
        .word   tlive
        JSR     PC,clear
        JSR     PC,hushed
        MOV     #lost,@#4
        MOV     #lost,@#250
        MOV     #125252,mark1
        CLR     R0
        CLR     R1
        MOV     #1,@#mmr0
        MOV     @#mmr0,R0
        MOV     mark1,R1
        RESET
        BIC     #177776,R0
        BEQ     lost
        CMP     R1,#125252
        BNE     lost
        JSR     R5,rearm
        .word   4
        JSR     R5,rearm
        .word   250
        RTS     PC

; It can not: the pass is over.
lost:   RESET                   ; MMR0 may be out of reach
        MOV     runsp,SP
        JSR     R5,rearm
        .word   4
        JSR     R5,rearm
        .word   10
        JSR     R5,rearm
        .word   34
        JSR     R5,rearm
        .word   250
        JSR     R5,bad
        .word   tlost
        RTS     PC

; --- relocation of every word through every page of every mode -------------------------------------------------------

places: MOV     #plain,R1       ; each word its own address
1$:     MOV     R1,(R1)
        ADD     #2,R1
        CMP     R1,#60000
        BLO     1$
        MOV     #mkern,R4
2$:     MOV     (R4),R1
        BEQ     9$
        JSR     PC,there
        BEQ     7$
        MOV     #2,page
3$:     CMP     page,#7
        BNE     4$
        CMP     R4,#mkern
        BEQ     7$              ; the I/O page of kernel mode: see `seven`
4$:     MOV     #shifts,R3
5$:     MOV     (R3)+,R2        ; PAR beyond that of `plain`, in blocks
        BMI     6$
        MOV     #tplace,R5
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,clear
        MOV     6(R4),runps
        JSR     PC,pdr          ; R1: the PDR
        MOV     #whole,(R1)
        MOV     R2,R0
        ADD     #400,R0
        MOV     R0,40(R1)
        JSR     PC,base
        MOV     R0,in1
        MOV     R2,R0           ; what is found at its first word
        SWAB    R0
        ASR     R0
        ASR     R0
        ADD     #plain,R0
        MOV     R0,in2
        NEG     R0              ; so many words
        ADD     #60000,R0
        ASR     R0
        MOV     R0,in3
        MOV     #137,op         ; JMP @#reads
        MOV     #reads,op+2
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   0, out3
        JSR     R5,repeat
        BR      5$
6$:     INC     page
        CMP     page,#10
        BLO     3$
7$:     ADD     #10,R4
        BR      2$
9$:     RTS     PC
shifts: .word   0, 1, 2, 4, 10, 20, 40, 77, 100, 125, 177, -1

; Runs in the mode under test.
reads:  CMP     (R1)+,R2
        BNE     1$
        ADD     #2,R2
        DEC     R3
        BNE     reads
1$:     TRAP    0

; A mode: first PDR, needs, text, PS.
mkern:  .word   172300, 0, tkern, 340
muser:  .word   177600, 0, tuser, 140340
msup:   .word   172200, 1, tsup, 40340
        .word   0

; Z = 0 if the mode at R4 is there.
there:  MOV     2(R4),R2
        JMP     here
; R1 = PDR of the page under test.
pdr:    MOV     page,R1
        ASL     R1
        ADD     (R4),R1
        RTS     PC
; R0 = its first virtual address.
base:   MOV     page,R0
        SWAB    R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        ASL     R0
        RTS     PC
; Mode, page, and R5: the text of the case.
saypag: MOV     R0,-(SP)
        MOV     R2,-(SP)
        MOV     4(R4),R0
        MOV     #buffer,R2
        JSR     PC,puts
        MOV     page,R0
        ADD     #'0,R0
        MOVB    R0,(R2)+
        MOV     #colon,R0
        JSR     PC,puts
        MOV     R5,R0
        JSR     PC,puts
        MOV     R2,bufend
        MOV     (SP)+,R2
        MOV     (SP)+,R0
        RTS     PC

; Page 7 of kernel mode; page 6 leads to the I/O page meanwhile.
seven:  JSR     R5,next
        .word   tseven
        JSR     PC,clear
        MOV     #172314,R1
        JSR     PC,iomap
        MOV     #400,@#172356
        MOV     #whole,@#172316
        MOV     #160000,R1
        MOV     #plain,R2
        MOV     #10000,R3
        MOV     #1,@#mmr0
1$:     CMP     (R1)+,R2
        BNE     2$
        ADD     #2,R2
        DEC     R3
        BNE     1$
2$:     CLR     @#157572        ; MMR0 through page 6
        MOV     R3,out3
        JSR     R5,want
        .word   0, out3
        RTS     PC

; The I/O page through another page: PAR and PDR are seen there.
iopage: JSR     R5,next
        .word   tio
        JSR     PC,clear
        MOV     #172304,R1
        JSR     PC,iomap
        MOV     #1234,@#172352
        MOV     #13701,op       ; MOV @#52352,R1: page 2
        MOV     #52352,op+2
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   1234, out1
        TST     wide
        BEQ     9$
        JSR     R5,next         ; the same with 22 bits
        .word   tio22
        JSR     PC,clear
        MOV     #172304,R1
        JSR     PC,iomap
        MOV     #1234,@#172352
        MOV     #52352,op+2
        MOV     #20,m3
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   1234, out1
        JSR     R5,next         ; without 22 bits the upper four bits of a PAR do not count
        .word   tio18
        JSR     PC,clear
        MOV     #170400,@#172344
        MOV     #whole,@#172304
        MOV     #57776,op+2
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   57776, out1
9$:     RTS     PC

; --- tables of references -------------------------------------------------------------------------------------------
; Each row in each mode and page.  R1 points at `off` in the page, R0 = 123456, the word in memory is `old`.
;       0 text   2 op   4 off   6 PDR   10 old   12 vector   14 MMR0 15:13   16 step of R1   20 R0 after   22 word after
;       24 marks in the PDR (W; A where there is one)   26 further MMR0 bits

table:  MOV     R0,row
        MOV     R1,rowlim
1$:     CMP     row,rowlim
        BHIS    9$
        MOV     #mkern,R4
2$:     TST     (R4)
        BEQ     8$
        JSR     PC,there
        BEQ     7$
        MOV     #2,page
3$:     CMP     page,#7
        BNE     4$
        CMP     R4,#mkern
        BEQ     7$
4$:     MOV     row,R5
        MOV     (R5),R5
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,onerow
        JSR     R5,repeat
        INC     page
        CMP     page,#10
        BLO     3$
7$:     ADD     #10,R4
        BR      2$
8$:     ADD     #26,row
        BR      1$
9$:     RTS     PC

; The row at `row` in the mode at R4 and in `page`.
onerow: JSR     PC,clear
        MOV     6(R4),runps
        JSR     PC,pdr
        MOV     R1,thepdr
        MOV     row,R3
        TST     (R3)+
        MOV     (R3)+,op
        JSR     PC,base
        MOV     R0,-(SP)
        ADD     (R3),R0
        MOV     R0,in1
        MOV     (R3)+,R2        ; the place in memory
        BIC     #1,R2
        ADD     #plain,R2
        MOV     R2,cell
        MOV     #400,40(R1)
        MOV     (R3),(R1)
        MOV     (R3)+,pdrnow
        MOV     (R3)+,(R2)
        JSR     PC,shot
        MOV     @thepdr,pdris
        TST     (SP)+
        JSR     R5,isit         ; through which vector
        .word   tvec, outvec
        MOV     (R3)+,R1        ; kind of abort
        BNE     5$
        BIC     #176,out0m      ; mode and page mean something after an abort only
        BR      1$
5$:
        MOV     page,R0
        ASL     R0
        BIS     R0,R1
        MOV     6(R4),R0        ; mode to bits 6:5
        SWAB    R0
        ASR     R0
        BIC     #177637,R0
        BIS     R0,R1
1$:     INC     R1
        MOV     R1,given
        JSR     R5,same
        .word   tmm0, out0m
        MOV     (R3)+,R1
        MOV     in1,given
        ADD     R1,given
        JSR     R5,same
        .word   treg1, out1
        CMP     outvec,#250
        BNE     2$
        MOV     #op,given
        JSR     R5,same
        .word   tmm2, out2m
        TST     super
        BEQ     2$
        CLR     given           ; MMR1: step and number of the register
        TST     R1
        BEQ     3$
        BIC     #177740,R1
        ASL     R1
        ASL     R1
        ASL     R1
        INC     R1
        MOV     R1,given
3$:     JSR     R5,same
        .word   tmm1, out1m
2$:     JSR     R5,isit
        .word   treg0, out0
        JSR     R5,isit
        .word   tword, 0
        MOV     (R3)+,R1        ; marks
        TST     three
        BNE     4$
        BIC     #200,R1
4$:     CMP     outvec,#250
        BNE     6$
        BIC     #200,pdris      ; a refused write may have read the page
6$:     BIS     R1,pdrnow
        MOV     pdrnow,given
        JSR     R5,same
        .word   tpdris, pdris
        MOV     runps,R0        ; the mode, kept in the PS and as previous mode now
        BIC     #37777,R0
        MOV     R0,given
        MOV     outps,R0
        BIC     #37777,R0
        MOV     R0,outmod
        JSR     R5,same
        .word   tmode, outmod
        MOV     outnow,R0
        ASL     R0
        ASL     R0
        BIC     #37777,R0
        MOV     R0,outmod
        JSR     R5,same
        .word   tprev, outmod
        MOV     in2,given
        JSR     R5,same
        .word   treg2, out2
        MOV     in3,given
        JSR     R5,same
        .word   treg3, out3
        RTS     PC

; The next value of the row against the word at a place; place 0: the memory word.
isit:   MOV     (R3)+,given
; `given` against the word at a place; only a failure tells the name.
same:   MOV     (R5)+,R0
        MOV     (R5)+,R2
        BNE     1$
        MOV     cell,R2
1$:     MOV     given,wanted
        MOV     (R2),found
        CMP     wanted,found
        BEQ     9$
        MOV     bufend,R2
        MOV     R0,-(SP)
        MOV     #comma,R0
        JSR     PC,puts
        MOV     (SP)+,R0
        JSR     PC,puts
        JSR     R5,judge
        MOV     bufend,R2
        CLRB    (R2)
9$:     RTS     R5

;       text, op, off, PDR, old word, vector, abort, step, R0 after, word after, marks
rows:   .word   tread, 11100, 0, whole, 7, 34, 0, 0, 7, 7, 200                          ; MOV (R1),R0
        .word   tread, 11100, 17776, whole, 177001, 34, 0, 0, 177001, 177001, 200
        .word   tread, 12100, 10000, 77402, 7, 34, 0, 2, 7, 7, 200                      ; MOV (R1)+,R0
        .word   treadb, 111100, 1, 77402, 41000, 34, 0, 0, 102, 41000, 200              ; MOVB (R1),R0
        .word   twrite, 10011, 0, whole, 7, 34, 0, 0, 123456, 123456, 300               ; MOV R0,(R1)
        .word   twrite, 10041, 17776, whole, 7, 34, 0, 177776, 123456, 7, 300           ; MOV R0,-(R1)
        .word   twritb, 110011, 1, whole, 7, 34, 0, 0, 123456, 27007, 300               ; MOVB R0,(R1)
        .word   twritb, 110021, 0, whole, 177777, 34, 0, 1, 123456, 177456, 300         ; MOVB R0,(R1)+
        .word   tchang, 5211, 100, whole, 7, 34, 0, 0, 123456, 10, 300                  ; INC (R1)
        .word   tchang, 60011, 7600, whole, 1, 34, 0, 0, 123456, 123457, 300            ; ADD R0,(R1)
        .word   tnone, 5711, 0, 77400, 7, 250, 100000, 0, 123456, 7, 0                  ; TST (R1)
        .word   tnone, 5721, 17776, 77400, 7, 250, 100000, 2, 123456, 7, 0              ; TST (R1)+
        .word   tnone, 5041, 2, 77400, 7, 250, 100000, 177776, 123456, 7, 0             ; CLR -(R1)
        .word   tnone, 5211, 0, 77400, 7, 250, 100000, 0, 123456, 7, 0                  ; INC (R1)
        .word   tnone, 105721, 1, 77400, 7, 250, 100000, 1, 123456, 7, 0                ; TSTB (R1)+
        .word   tread, 11100, 40, 77402, 123, 34, 0, 0, 123, 123, 200
        .word   tronly, 5011, 0, 77402, 7, 250, 20000, 0, 123456, 7, 0                  ; CLR (R1)
        .word   tronly, 5221, 2, 77402, 7, 250, 20000, 2, 123456, 7, 0                  ; INC (R1)+
        .word   tronly, 10011, 17776, 77402, 7, 250, 20000, 0, 123456, 7, 0             ; MOV R0,(R1)
        .word   tronly, 110011, 1, 77402, 7, 250, 20000, 0, 123456, 7, 0                ; MOVB R0,(R1)
        .word   tronly, 60011, 100, 77402, 7, 250, 20000, 0, 123456, 7, 0               ; ADD R0,(R1)
        .word   tlong, 5711, 76, 6, 7, 34, 0, 0, 123456, 7, 200
        .word   tlong, 5711, 100, 6, 7, 250, 40000, 0, 123456, 7, 0
        .word   tlong, 10011, 176, 406, 7, 34, 0, 0, 123456, 123456, 300
        .word   tlong, 10021, 200, 406, 7, 250, 40000, 2, 123456, 7, 0
        .word   tlong, 11100, 200, 402, 7, 250, 40000, 0, 123456, 7, 0
        .word   tlong, 111100, 17777, 77006, 7, 250, 40000, 0, 123456, 7, 0
        .word   tdown, 5711, 17700, 77416, 7, 34, 0, 0, 123456, 7, 200
        .word   tdown, 5711, 17676, 77416, 7, 250, 40000, 0, 123456, 7, 0
        .word   tdown, 10011, 17600, 77016, 7, 34, 0, 0, 123456, 123456, 300
        .word   tdown, 10041, 17600, 77016, 7, 250, 40000, 177776, 123456, 7, 0
        .word   tdown, 5711, 0, 16, 7, 34, 0, 0, 123456, 7, 200
        .word   tboth, 5711, 200, 0, 7, 250, 140000, 0, 123456, 7, 0
        .word   tboth, 5011, 200, 402, 7, 250, 60000, 0, 123456, 7, 0
        .word   tboth, 5711, 0, 400, 7, 250, 100000, 0, 123456, 7, 0
rowend:
; Access fields of two bits.
rows2:  .word   tunuse, 5711, 0, 77404, 7, 250, 100000, 0, 123456, 7, 0
        .word   tunuse, 5011, 0, 77404, 7, 250, 100000, 0, 123456, 7, 0
row2end:
; ... of three bits; without the trap enable bit of MMR0 nothing traps.
rows3:  .word   tunuse, 5711, 0, 77403, 7, 250, 100000, 0, 123456, 7, 0
        .word   tunuse, 5711, 0, 77407, 7, 250, 100000, 0, 123456, 7, 0
row3end:

; --- each length, upwards and downwards, kernel and user mode --------------------------------------------------------

lengths: MOV    #mkern,R4
1$:     MOV     #4,page
        CLR     blocks
2$:     MOV     #tlens,R5
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        MOV     #6,grows
        JSR     PC,last
        MOV     #16,grows
        JSR     PC,last
        JSR     R5,repeat
        INC     blocks
        CMP     blocks,#200
        BLO     2$
        ADD     #10,R4
        CMP     R4,#msup
        BNE     1$
        RTS     PC

; The block that PDR bits 14-8 name is there, the one beyond it (in the direction of `grows`) is not.
last:   MOV     #tnow+2,R2      ; op
        MOV     #5711,(R2)+
        MOV     blocks,R1
        MOV     R1,R0
        SWAB    R0
        ASR     R0
        ASR     R0
        MOV     R0,(R2)+        ; off
        MOV     R1,R0
        SWAB    R0
        BIS     grows,R0
        MOV     R0,(R2)+
        MOV     #7,(R2)+
        MOV     #34,(R2)+
        CLR     (R2)+
        CLR     (R2)+
        MOV     #123456,(R2)+
        MOV     #7,(R2)+
        MOV     #200,(R2)+
        MOV     #tnow,row
        JSR     PC,onerow
        MOV     #tnow+4,R2
        CMP     grows,#6
        BNE     1$
        ADD     #100,(R2)       ; the block behind
        BR      2$
1$:     SUB     #2,(R2)         ; the word before
2$:     CMP     (R2),#20000
        BHIS    3$
        MOV     #250,tnow+12
        MOV     #40000,tnow+14
        CLR     tnow+24
        JSR     PC,onerow
3$:     RTS     PC
tnow:   .word   tlens, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0

; --- from and to the previous mode's space: the program runs in kernel mode ------------------------------------------

between: MOV    #mkern,R4
1$:     MOV     (R4),R1
        BEQ     9$
        JSR     PC,there
        BEQ     8$
        MOV     #2,page
2$:     CMP     page,#7
        BNE     3$
        CMP     R4,#mkern
        BEQ     8$
3$:     MOV     #tfrpre,R5      ; a word from there
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        MOV     #6511,op        ; MFPI (R1)
        JSR     PC,prev
        JSR     PC,pushed
        JSR     PC,prev
        MOV     #106511,op      ; MFPD (R1): the same without split spaces in use
        JSR     PC,pushed
        JSR     R5,repeat
        MOV     #ttopre,R5      ; a word to there
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,prev
        MOV     #6611,op+2      ; MTPI (R1)
        JSR     PC,popped
        JSR     PC,prev
        MOV     #106611,op+2    ; MTPD (R1)
        JSR     PC,popped
        JSR     R5,repeat
        MOV     #tnopre,R5      ; nothing there, and nothing to be written
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,prev
        MOV     #6511,op
        CLR     @thepdr
        JSR     PC,shot
        MOV     #100001,R3
        JSR     PC,denied
        JSR     PC,prev
        MOV     #10046,op       ; MOV R0,-(SP)
        MOV     #6611,op+2
        MOV     #77402,@thepdr
        JSR     PC,shot
        MOV     #20001,R3
        JSR     PC,denied
        JSR     R5,want
        .word   107, plain+20
        JSR     R5,repeat
        INC     page
        CMP     page,#10
        BLO     2$
8$:     ADD     #10,R4
        BR      1$
9$:     JSR     R5,next         ; the stack pointer of user mode
        .word   tusp
        JSR     PC,clear
        MOV     #30340,runps
        MOV     #6506,op        ; MFPI SP
        JSR     PC,shot
        JSR     R5,want
        .word   57776, outw1
        JSR     PC,clear
        MOV     #30340,runps
        MOV     #10046,op       ; MOV R0,-(SP); MTPI SP; MFPI SP
        MOV     #6606,op+2
        MOV     #6506,op+4
        JSR     PC,shot
        JSR     R5,want
        .word   123456, outw1
        JSR     R5,next         ; registers are the same in all modes
        .word   tregs
        JSR     PC,clear
        MOV     #30340,runps
        MOV     #6503,op        ; MFPI R3; MTPI R5
        MOV     #6605,op+2
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   33333, out5
        JSR     R5,next         ; codes: Z for 0, V clear, C stays
        .word   tmcod
        JSR     PC,clear
        MOV     #30343,runps
        MOV     #6500,op        ; MFPI R0
        CLR     in0
        JSR     PC,shot
        MOV     outps,R0
        BIC     #177760,R0
        MOV     R0,outmod
        JSR     R5,want
        .word   5, outmod
        RTS     PC

; Kernel mode runs, that at R4 is the previous one; its page is there, and R1 points at 20 in it, where 107 stands.
prev:   MOV     op,-(SP)
        MOV     op+2,-(SP)
        JSR     PC,clear
        MOV     (SP)+,op+2
        MOV     (SP)+,op
        JSR     PC,pdr
        MOV     R1,thepdr
        MOV     #whole,(R1)
        MOV     #400,40(R1)
        TST     split           ; the same page of data space
        BEQ     1$
        MOV     #whole,20(R1)
        MOV     #400,60(R1)
1$:     MOV     6(R4),R0
        ASR     R0
        ASR     R0
        BIC     #147777,R0
        BIS     #341,R0
        MOV     R0,runps
        JSR     PC,base
        ADD     #20,R0
        MOV     R0,in1
        MOV     #107,@#plain+20
        RTS     PC
; The word was pushed?
pushed: MOV     #240,op+2
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   107, outw1
        MOV     oursp,R2
        SUB     #6,R2
        MOV     R2,wanted
        MOV     outsp,found
        JSR     R5,judge
        MOV     outps,R0        ; N Z V 0, C as before
        BIC     #177760,R0
        MOV     R0,outmod
        JSR     R5,want
        .word   1, outmod
        RTS     PC
; R0 was popped to there?
popped: MOV     #10046,op       ; MOV R0,-(SP)
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   123456, plain+20
        MOV     oursp,R2
        SUB     #4,R2
        MOV     R2,wanted
        MOV     outsp,found
        JSR     R5,judge
        MOV     outps,R0
        BIC     #177760,R0
        MOV     R0,outmod
        JSR     R5,want
        .word   11, outmod
        RTS     PC
; Abort through 250 with R3 and mode and page in MMR0?
denied: JSR     R5,want
        .word   250, outvec
        MOV     page,R0
        ASL     R0
        BIS     R0,R3
        MOV     6(R4),R0
        SWAB    R0
        ASR     R0
        BIC     #177637,R0
        BIS     R0,R3
        MOV     R3,wanted
        MOV     out0m,found
        JSR     R5,judge
        RTS     PC

; --- what user and supervisor mode may not ----------------------------------------------------------------------------

modes:  MOV     #muser,R4
1$:     MOV     (R4),R1
        BEQ     9$
        JSR     PC,there
        BEQ     8$
        CLR     page
        MOV     #thalt,R5       ; HALT: trap through 4 or 10 (row D36)
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,apart
        CLR     op
        JSR     PC,shot
        CMP     outvec,#4
        BEQ     2$
        JSR     R5,want
        .word   10, outvec
2$:     JSR     PC,came
        JSR     R5,repeat
        MOV     #treset,R5      ; RESET: nothing; memory management stays on
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,apart
        MOV     #5,op
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        BIC     #176,out0m
        JSR     R5,want
        .word   1, out0m
        JSR     R5,repeat
        MOV     #tspl,R5        ; SPL: the priority stays
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,apart
        MOV     #232,op
        JSR     PC,shot
        TST     hasspl
        BEQ     3$
        JSR     R5,want
        .word   34, outvec
        BR      4$
3$:     JSR     R5,want
        .word   10, outvec
4$:     JSR     PC,prio
        JSR     R5,repeat
        MOV     #trti,R5        ; RTI with PS 0: mode and priority stay [list-user-mode-rti]
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,apart
        MOV     #137,op
        MOV     #lower,op+2
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     PC,came
        JSR     PC,prio
        JSR     R5,repeat
8$:     ADD     #10,R4
        BR      1$
9$:     JSR     R5,next         ; each mode pushes on a stack of its own
        .word   tstack
        JSR     PC,clear
        MOV     #muser,R4
        JSR     PC,apart
        MOV     #400,@#177644   ; page 2 of user mode
        MOV     #whole,@#177604
        MOV     #10046,op       ; MOV R0,-(SP)
        CLR     @#plain+17774
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   123456, plain+17774
        MOV     oursp,R2
        SUB     #4,R2
        MOV     R2,wanted
        MOV     outsp,found
        JSR     R5,judge
        MOV     #30340,@#ps     ; and user SP was stepped
        .word   6506            ; MFPI SP
        MOV     (SP)+,R2
        MOV     #340,@#ps
        MOV     R2,found
        MOV     #57774,wanted
        JSR     R5,judge
        TST     hasspl
        BEQ     10$
        JSR     R5,next         ; SPL in kernel mode
        .word   tsplk
        JSR     PC,clear
        MOV     #235,op
        JSR     PC,shot
        MOV     outps,R0
        BIC     #177437,R0
        MOV     R0,outmod
        JSR     R5,want
        .word   240, outmod
10$:    RTS     PC

; Ready to run in the mode at R4.
apart:  JSR     PC,clear
        MOV     6(R4),runps
        RTS     PC
; The mode in the saved PS.
came:   MOV     6(R4),R0
        BIC     #37777,R0
        MOV     R0,wanted
        MOV     outps,R0
        BIC     #37777,R0
        MOV     R0,found
        JSR     R5,judge
        RTS     PC
; The priority in it.
prio:   MOV     outps,R0
        BIC     #177437,R0
        MOV     R0,outmod
        JSR     R5,want
        .word   340, outmod
        RTS     PC
lower:  MOV     #lowstk,SP
        CLR     -(SP)
        MOV     #1$,-(SP)
        RTI
1$:     TRAP    0

; --- the second set of registers, where PS bit 11 can be set (row D21) ----------------------------------------------

regset: MOV     #4340,@#ps
        MOV     @#ps,R1         ; of whichever set
        MOV     R1,outmod
        MOV     #340,@#ps
        BIT     #4000,outmod
        BEQ     9$
        JSR     R5,next
        .word   tsets
        MOV     #1$,R0
        JSR     PC,(R0)         ; set 0
        MOV     #4340,@#ps
        MOV     #2$,R0
        JSR     PC,(R0)         ; set 1
        MOV     #340,@#ps
        MOV     R0,out0
        MOV     R1,out1
        MOV     R2,out2
        MOV     R3,out3
        MOV     R4,out4
        MOV     R5,out5
        MOV     #setone,R3
        JSR     PC,3$
        MOV     #4340,@#ps
        MOV     R0,out0
        MOV     R1,out1
        MOV     R2,out2
        MOV     R3,out3
        MOV     R4,out4
        MOV     R5,out5
        MOV     #340,@#ps
        MOV     #settwo,R3
        JSR     PC,3$
9$:     RTS     PC
1$:     MOV     #1010,R0
        MOV     #1011,R1
        MOV     #1012,R2
        MOV     #1013,R3
        MOV     #1014,R4
        MOV     #1015,R5
        RTS     PC
2$:     MOV     #66660,R0
        MOV     #66661,R1
        MOV     #66662,R2
        MOV     #66663,R3
        MOV     #66664,R4
        MOV     #66665,R5
        RTS     PC
3$:     MOV     #out0,R2
        MOV     #6,R4
4$:     MOV     (R3)+,wanted
        MOV     (R2)+,found
        JSR     R5,judge
        DEC     R4
        BNE     4$
        RTS     PC
setone: .word   1010, 1011, 1012, 1013, 1014, 1015
settwo: .word   66660, 66661, 66662, 66663, 66664, 66665

; --- instructions that are fetched through a page, or not there ------------------------------------------------------

fetchs: MOV     #mkern,R4
1$:     MOV     (R4),R1
        BEQ     9$
        JSR     PC,there
        BEQ     8$
        MOV     #4,page
        MOV     #tfetch,R5      ; a page that is not there: the instruction's own address in MMR2
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,apart
        MOV     #137,op         ; JMP @#100000
        MOV     #100000,op+2
        JSR     PC,shot
        MOV     #100001,R3
        JSR     PC,denied
        JSR     R5,want
        .word   100000, out2m
        JSR     R5,repeat
        MOV     #tends,R5       ; it ends between two words of an instruction
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,apart
        JSR     PC,pdr
        MOV     #2,(R1)         ; read only, one block
        MOV     #400,40(R1)
        MOV     #12700,@#plain+76       ; MOV #...,R0
        MOV     #5203,@#plain+74        ; INC R3
        MOV     #137,op
        MOV     #100074,op+2
        JSR     PC,shot
        MOV     #40001,R3
        JSR     PC,denied
        JSR     R5,want
        .word   100076, out2m
        JSR     R5,want
        .word   33334, out3
        JSR     R5,want
        .word   123456, out0
        JSR     R5,repeat
8$:     ADD     #10,R4
        BR      1$
9$:     JSR     R5,next         ; a trap in user mode pushes nothing on its stack, which is not there
        .word   tustk
        MOV     #muser,R4
        JSR     PC,apart
        MOV     #30340,@#ps
        MOV     #120000,-(SP)
        .word   6606            ; MTPI SP
        MOV     #340,@#ps
        MOV     #104000,op      ; EMT: its vector leads to the same place as that of TRAP
        MOV     #saw3,@#30
        MOV     #340,@#32
        JSR     PC,shot
        JSR     R5,rearm
        .word   30
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   op+2, outpc
        MOV     oursp,R2
        SUB     #4,R2
        MOV     R2,wanted
        MOV     outsp,found
        JSR     R5,judge
        MOV     outps,R0        ; user mode, and priority
        BIC     #37437,R0
        MOV     R0,outmod
        JSR     R5,want
        .word   140340, outmod
        RTS     PC

; --- MMR1 records two steps, the first in its low byte ----------------------------------------------------------------

twostp: TST     super
        BEQ     9$
        MOV     #twos,R3
1$:     JSR     R5,next
        .word   ttwo
        JSR     PC,clear
        MOV     (R3),op
        MOV     2(R3),in2
        MOV     #100002,in1     ; page 4, not there
        JSR     PC,shot
        JSR     R5,want
        .word   250, outvec
        MOV     4(R3),wanted
        MOV     out1m,found
        JSR     R5,judge
        MOV     6(R3),wanted
        MOV     out1,found
        JSR     R5,judge
        MOV     10(R3),wanted
        MOV     out2,found
        JSR     R5,judge
        JSR     R5,repeat
        ADD     #12,R3
        TST     (R3)
        BNE     1$
9$:     RTS     PC
;       op, R2, MMR1, R1 after, R2 after
twos:   .word   22221, theend, 10422, 100004, theend+2          ; CMP (R2)+,(R1)+
        .word   22241, theend, 170422, 100000, theend+2         ; CMP (R2)+,-(R1)
        .word   124221, theend+2, 4772, 100003, theend+1        ; CMPB -(R2),(R1)+
        .word   23241, tosame, 170422, 100000, tosame+2         ; CMP @(R2)+,-(R1)
        .word   0
tosame: .word   theend

; --- MMR0 and MMR2 stay as the first abort left them; marks of a page ------------------------------------------------

frozen: JSR     R5,next
        .word   tfroze
        JSR     PC,clear
        MOV     SP,oursp
        MOV     #77400,@#172306
        MOV     #406,@#172312
        MOV     #2$,@#250
        MOV     #1,@#mmr0
1$:     TST     @#60000
        BR      4$
2$:     MOV     @#mmr0,out0
        MOV     @#mmr2,out2
        MOV     #3$,@#250
        TST     @#120200
        BR      4$
3$:     MOV     @#mmr0,out1
        MOV     @#mmr2,out3
        MOV     #4$,@#250
        MOV     #1,@#mmr0       ; goes on recording
31$:    TST     @#120200
4$:     MOV     @#mmr0,out4
        MOV     @#mmr2,out5
        CLR     @#mmr0
        MOV     oursp,SP
        JSR     R5,rearm
        .word   250
        BIC     #200,out0
        BIC     #200,out1
        BIC     #200,out4
        JSR     R5,want
        .word   100007, out0
        JSR     R5,want
        .word   1$, out2
        JSR     R5,want
        .word   100007, out1
        JSR     R5,want
        .word   1$, out3
        JSR     R5,want
        .word   40013, out4
        JSR     R5,want
        .word   31$, out5
marked: MOV     #mkern,R4       ; a write to PAR or PDR takes the marks away
1$:     MOV     (R4),R1
        BEQ     9$
        JSR     PC,there
        BEQ     8$
        MOV     #5,page
        MOV     #twmark,R5
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,prev
        MOV     #6611,op+2
        JSR     PC,popped
        MOV     thepdr,R2
        JSR     PC,wmark
        MOV     #100,wanted
        JSR     R5,judge
        MOV     #400,40(R2)
        JSR     PC,wmark
        CLR     wanted
        JSR     R5,judge
        JSR     PC,prev
        MOV     #6611,op+2
        JSR     PC,popped
        MOV     thepdr,R2
        MOV     #whole,(R2)
        JSR     PC,wmark
        CLR     wanted
        JSR     R5,judge
        JSR     R5,repeat
8$:     ADD     #10,R4
        BR      1$
9$:     TST     three
        BEQ     10$
        JSR     PC,traps3
10$:    RTS     PC
wmark:  MOV     (R2),R0
        BIC     #177677,R0
        MOV     R0,found
        RTS     PC

; Access fields of three bits with the trap enable bit of MMR0 (rows D48, D50): the reference is made, then it traps.
traps3: MOV     #1000,@#mmr0
        MOV     @#mmr0,R0
        CLR     @#mmr0
        TST     R0
        BEQ     9$
        MOV     #trap3,R3
1$:     MOV     (R3),R0
        BEQ     9$
        MOV     #mkern,R4
        MOV     #3,page
        MOV     R0,R5
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,clear
        MOV     #1001,m0
        JSR     PC,pdr
        MOV     2(R3),(R1)
        MOV     #400,40(R1)
        MOV     4(R3),op
        MOV     #60000,in1
        CLR     @#plain
        JSR     PC,shot
        MOV     6(R3),wanted
        MOV     outvec,found
        JSR     R5,judge
        MOV     10(R3),wanted
        MOV     @#plain,found
        JSR     R5,judge
        MOV     out0m,R0
        BIC     #7777,R0        ; no abort, the trap bit only
        MOV     R0,found
        CLR     wanted
        CMP     6(R3),#250
        BNE     2$
        MOV     #10000,wanted
2$:     JSR     R5,judge
        JSR     R5,repeat
        ADD     #12,R3
        BR      1$
9$:     RTS     PC
;       text, PDR, op, vector, word after
trap3:  .word   tt1, 77401, 5711, 250, 0
        .word   tt4, 77404, 5711, 250, 0
        .word   tt4, 77404, 10011, 250, 123456
        .word   tt5, 77405, 5711, 34, 0
        .word   tt5, 77405, 10011, 250, 123456
        .word   tt6, 77406, 10011, 34, 123456
        .word   tt6, 77402, 5711, 34, 0
        .word   0

; --- instruction and data space --------------------------------------------------------------------------------------

spaces: TST     split
        BNE     1$
        RTS     PC
1$:     MOV     #mkern,R4
        MOV     #4,bitofm       ; MMR3: kernel 4, supervisor 2, user 1
2$:     MOV     (R4),R1
        BEQ     9$
        JSR     PC,there
        BEQ     8$
        JSR     PC,inmode
8$:     ADD     #10,R4
        MOV     #1,bitofm
        CMP     R4,#msup
        BNE     2$
        MOV     #2,bitofm
        BR      2$
9$:     JSR     R5,next         ; bits of MMR3
        .word   tmmr3
        MOV     #7,@#mmr3
        MOV     @#mmr3,R0
        BIC     #177770,R0
        CLR     @#mmr3
        MOV     R0,outmod
        JSR     R5,want
        .word   7, outmod
        RTS     PC

inmode: MOV     #4,page
        MOV     #tdata,R5
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,twofold
        MOV     #11100,op       ; MOV (R1),R0
        JSR     PC,shot
        MOV     #222,R3
        JSR     PC,gave
        JSR     PC,twofold
        MOV     #7,R0           ; its own bit off: one space for all
        BIC     bitofm,R0
        MOV     R0,m3
        JSR     PC,shot
        MOV     #111,R3
        JSR     PC,gave
        JSR     R5,repeat
        MOV     #tabsd,R5
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,twofold
        CLR     20(R1)          ; PDR of data space
        MOV     #11100,op
        JSR     PC,shot
        MOV     #100021,R3
        JSR     PC,denied
        JSR     R5,repeat
        MOV     #timmed,R5      ; the instruction and what belongs to it
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,twofold
        MOV     #137,op         ; JMP @#100004: MOV #4321,R2; MOV @#100000,R3; TRAP
        MOV     #100004,op+2
        MOV     #12702,@#plain+4
        MOV     #4321,@#plain+6
        MOV     #13703,@#plain+10
        MOV     #100000,@#plain+12
        MOV     #104400,@#plain+14
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   4321, out2
        JSR     R5,want
        .word   222, out3
        JSR     R5,repeat
        MOV     #tmfpid,R5
        JSR     PC,saypag
        JSR     R5,next
        .word   buffer
        JSR     PC,twofold
        MOV     6(R4),R0        ; kernel mode runs, this is the previous one
        ASR     R0
        ASR     R0
        BIC     #147777,R0
        BIS     #340,R0
        MOV     R0,runps
        MOV     #6511,op        ; MFPI (R1); MFPD (R1)
        MOV     #106511,op+2
        JSR     PC,shot
        JSR     R5,want
        .word   34, outvec
        JSR     R5,want
        .word   111, outw1
        JSR     R5,want
        .word   222, outw2
        JSR     R5,repeat
        RTS     PC
; Page 4 of the mode at R4: instructions at `plain` (111), data 100 further (222).  R1 = its PDR.
twofold: JSR    PC,clear
        MOV     6(R4),runps
        JSR     PC,pdr
        MOV     R1,thepdr
        MOV     #whole,(R1)
        MOV     #400,40(R1)
        MOV     #whole,20(R1)
        MOV     #401,60(R1)
        MOV     #111,@#plain
        MOV     #222,@#plain+100
        MOV     #100000,in1
        MOV     bitofm,m3
        RTS     PC
gave:   JSR     R5,want
        .word   34, outvec
        MOV     R3,wanted
        MOV     out0,found
        JSR     R5,judge
        RTS     PC

; --- RESET -----------------------------------------------------------------------------------------------------------

quiet:  JSR     R5,next
        .word   tquiet
        JSR     PC,clear
        TST     speaks          ; the console has printed all?
        BEQ     3$
        CLR     R1
1$:     TSTB    @#177564
        BMI     2$
        DEC     R1
        BNE     1$
2$:     CLR     R1
21$:    DEC     R1
        BNE     21$
3$:     TST     has3
        BEQ     4$
        MOV     #27,@#mmr3
4$:     MOV     #1,@#mmr0
        RESET
        MOV     @#mmr0,R0
        BIC     #177776,R0
        MOV     R0,out0
        CLR     out1
        TST     has3
        BEQ     5$
        MOV     @#mmr3,out1
5$:     CLR     @#mmr0
        JSR     R5,want
        .word   0, out0
        JSR     R5,want
        .word   0, out1
        RTS     PC

; --- words and texts -------------------------------------------------------------------------------------------------

parmax: .word   0
three:  .word   0
super:  .word   0
split:  .word   0
has3:   .word   0
wide:   .word   0
hasspl: .word   0
settxt: .word   0
lastof: .word   0
page:   .word   0
row:    .word   0
rowlim: .word   0
thepdr: .word   0
pdrnow: .word   0
pdris:  .word   0
cell:   .word   0
given:  .word   0
bufend: .word   0
blocks: .word   0
grows:  .word   0
bitofm: .word   0
oursp:  .word   0
runps:  .word   0
m0:     .word   0
m3:     .word   0
in0:    .word   0
in1:    .word   0
in2:    .word   0
in3:    .word   0
in4:    .word   0
in5:    .word   0
out0:   .word   0
out1:   .word   0
out2:   .word   0
out3:   .word   0
out4:   .word   0
out5:   .word   0
outw1:  .word   0               ; what the instructions pushed
outw2:  .word   0
outsp:  .word   0
outpc:  .word   0
outps:  .word   0
outnow: .word   0               ; PS of the trap
outvec: .word   0
out0m:  .word   0
out1m:  .word   0
out2m:  .word   0
outmod: .word   0
runsp:  .word   0
mark1:  .word   0               ; in page 1
        . = . + 40
lowstk:
tkern:  .asciz  /kernel page /
tuser:  .asciz  /user page /
tsup:   .asciz  /supervisor page /
tkerni: .asciz  /kernel/
tuseri: .asciz  /user/
tsupi:  .asciz  /supervisor/
tkernd: .asciz  /kernel data/
tuserd: .asciz  /user data/
tsupd:  .asciz  /supervisor data/
tpdr:   .asciz  /PDR hold what is written: /
tpar:   .asciz  /PAR hold what is written: /
tuniq:  .asciz  /all PAR and PDR hold words of their own/
twidth: .asciz  /PAR have 12 or 16 bits/
tsplit: .asciz  /data space only where supervisor mode is/
tonly:  .asciz  /PDR of data space answer, those of supervisor mode do not/
tlive:  .asciz  "this program and the I/O page are reached with memory management on"
tlost:  .asciz  /they are not; nothing further is tested/
tplace: .asciz  /each word is found through the page/
tseven: .asciz  /kernel page 7: each word is found through the page/
tio:    .asciz  \I/O page through kernel page 2\
tio22:  .asciz  \I/O page through kernel page 2 with 22 bits\
tio18:  .asciz  /PAR bits 15 to 12 do not count without 22 bits/
tread:  .asciz  /read/
treadb: .asciz  /read a byte/
twrite: .asciz  /write/
twritb: .asciz  /write a byte/
tchang: .asciz  /read and write/
tnone:  .asciz  /page not there/
tronly: .asciz  /write on a page for reading only/
tlong:  .asciz  /length upwards/
tdown:  .asciz  /length downwards/
tboth:  .asciz  /two reasons to abort/
tunuse: .asciz  /access code that is not used/
tlens:  .asciz  /each length, upwards and downwards/
tfrpre: .asciz  /MFPI and MFPD from there/
ttopre: .asciz  /MTPI and MTPD to there/
tnopre: .asciz  /MFPI and MTPI are refused there/
tusp:   .asciz  /MFPI and MTPI of user SP/
tregs:  .asciz  /MFPI and MTPI of registers/
tmcod:  .asciz  /MFPI of 0: codes/
thalt:  .asciz  /HALT traps/
treset: .asciz  /RESET does nothing/
tspl:   .asciz  /SPL does not change the priority/
tsplk:  .asciz  /SPL 5 in kernel mode/
trti:   .asciz  /RTI can not change mode and priority/
tstack: .asciz  /user mode pushes on its own stack/
tfroze: .asciz  /MMR0 and MMR2 keep the first abort/
twmark: .asciz  /the mark of a written page, and what takes it away/
tt1:    .asciz  /access 1: a read traps/
tt4:    .asciz  /access 4: reads and writes trap/
tt5:    .asciz  /access 5: a write traps/
tt6:    .asciz  /access 6 and 2 do not trap/
tdata:  .asciz  /data space of its own/
tabsd:  .asciz  /abort in data space/
timmed: .asciz  /instruction space: immediate and absolute/
tmfpid: .asciz  /MFPI from instruction space, MFPD from data space/
tsets:  .asciz  /PS bit 11 chooses between two sets of registers/
tfetch: .asciz  /an instruction where no page is/
tends:  .asciz  /a page ends within an instruction/
tustk:  .asciz  /EMT in user mode leaves its stack alone/
ttwo:   .asciz  /MMR1 records two steps/
tmmr3:  .asciz  /MMR3 bits 2 to 0/
tquiet: .asciz  /RESET clears MMR0 bit 0 and MMR3/
tvec:   .asciz  /vector (34: none)/
tmm0:   .asciz  /MMR0/
tmm1:   .asciz  /MMR1/
tmm2:   .asciz  /MMR2/
treg0:  .asciz  /R0/
treg1:  .asciz  /R1/
treg2:  .asciz  /R2/
treg3:  .asciz  /R3/
tword:  .asciz  /the word in memory/
tpdris: .asciz  /PDR/
tmode:  .asciz  /mode in the saved PS/
tprev:  .asciz  /previous mode in the new PS/
buffer: . = . + 200
        .even
theend:
