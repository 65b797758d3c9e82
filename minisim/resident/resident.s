; The resident program: lists, prints, keeps and verifies files on the medium it was booted from.
;
; A driver stands behind it (what a driver is: driver-cartridge-disk-2mb.s).  It needs the base set, 16 KB of memory and
; a console at 777560; it uses no interrupts.  Commands are whole words; a name has 1 to 8 letters, digits and hyphens.
;
; The medium, in blocks of 512 bytes (docs/reference/resident.md):
;   0         the boot block
;   1-15      this program
;   16        the catalogue: 32 entries of 16 bytes; the first one is of the medium itself
;   17-       files, one behind the other; nothing is ever written over
; An entry: name (8 bytes, 0 behind it), first block, length in bytes, sum of the bytes, 0.
; The entry of the medium: its name, first free block, blocks in all, 52525, 0.

receive  = 177560
transmit = 177564
table    = 16.                  ; block of the catalogue
entries  = 32.
mark     = 52525
most     = 4096.                ; longest file that can be kept
catalog  = 10000                ; a copy of the catalogue
work     = 11000                ; a file: 4096 bytes and a block to spare

        . = 1000
start:  MOV  #start,SP
        JSR  PC,ready           ; the unit is in R0
        JSR  PC,load
        BCS  lost
        MOV  #opened,R1
        JSR  PC,text
        MOV  #catalog,R1
        JSR  PC,name
        JSR  PC,crlf

prompt: MOV  #start,SP
        MOV  #tide,R1
        JSR  PC,text
        JSR  PC,line
        MOV  #typed,R1
        MOV  #words,R2
1$:     MOV  (R2)+,R3           ; a word and what it does
        BEQ  3$
        MOV  #typed,R1
        JSR  PC,same
        BEQ  2$
        TST  (R2)+
        BR   1$
2$:     JSR  PC,@(R2)+
        BR   prompt
3$:     TSTB typed
        BEQ  prompt
        MOV  #known,R1
        JSR  PC,text
        BR   prompt

lost:   MOV  #unread,R1
        JSR  PC,text
        HALT
        BR   start

words:  .word list, tolist, print, toprint, keep, tokeep, verify, toverify, 0
list:   .asciz /list/
print:  .asciz /print/
keep:   .asciz /keep/
verify: .asciz /verify/
        .even

; --- list: every file with its length ---

tolist: MOV  #catalog+20,R4
        MOV  #entries-1,R5
1$:     TSTB (R4)
        BEQ  2$
        MOV  R4,R1
        JSR  PC,name
        MOV  12(R4),R0
        JSR  PC,number
        MOV  #bytes$,R1
        JSR  PC,text
2$:     ADD  #20,R4
        DEC  R5
        BNE  1$
        RTS  PC

; --- print NAME ---

toprint:
        JSR  PC,find
        BNE  absent
        JSR  PC,bring
        BCS  unable
        MOV  #work,R1
        MOV  12(R4),R2
        BEQ  2$
1$:     MOVB (R1)+,R0
        JSR  PC,put
        DEC  R2
        BNE  1$
2$:     RTS  PC

absent: MOV  #nofile,R1
        JMP  text
unable: MOV  #unread,R1
        JMP  text

; --- verify: every file against its sum ---

toverify:
        MOV  #catalog+20,R4
        MOV  #entries-1,-(SP)
1$:     TSTB (R4)
        BEQ  4$
        MOV  R4,R1
        JSR  PC,name
        MOV  #isbad,-(SP)
        JSR  PC,bring
        BCS  2$
        JSR  PC,sum
        CMP  R3,14(R4)
        BNE  2$
        MOV  #isgood,(SP)
2$:     MOV  (SP)+,R1
        JSR  PC,text
4$:     ADD  #20,R4
        DEC  (SP)
        BNE  1$
        TST  (SP)+
        RTS  PC

; --- keep NAME: lines up to an empty one become a file ---

tokeep: TSTB (R1)
        BEQ  absent
        JSR  PC,find
        BEQ  2$
        MOV  R1,-(SP)
        JSR  PC,free
        BNE  3$
        MOV  #work,R2
1$:     MOV  R2,-(SP)
        JSR  PC,line2
        MOV  (SP)+,R2
        TSTB entry
        BEQ  5$
        MOV  #entry,R1
4$:     CMP  R2,#work+most-2
        BHIS 6$
        MOVB (R1)+,(R2)+
        BNE  4$
        MOVB #15,-1(R2)         ; each line ends with carriage return and line feed
        MOVB #12,(R2)+
        BR   1$
6$:     MOV  #toolong,R1
        TST  (SP)+
        JMP  text
2$:     MOV  #isthere,R1
        JMP  text
3$:     TST  (SP)+
7$:     MOV  #isfull,R1
        JMP  text

5$:     SUB  #work,R2
        MOV  R2,12(R4)          ; length
        JSR  PC,sum
        MOV  R3,14(R4)
        MOV  catalog+10,10(R4)  ; where it begins: the first free block
        MOV  (SP)+,R1
        MOV  R4,R3
        MOV  #4,R2
8$:     MOV  (R1)+,(R3)+        ; its name
        DEC  R2
        BNE  8$
        JSR  PC,size            ; blocks to R2
        MOV  10(R4),R0
        ADD  R0,R2
        CMP  R2,catalog+12
        BHI  9$
        JSR  PC,out             ; the data first, then the catalogue: cut off in between, the medium is as it was
        BCS  10$
        MOV  10(R4),R0
        JSR  PC,size
        ADD  R0,R2
        MOV  R2,catalog+10
        MOV  #table,R0
        MOV  #catalog,R1
        JSR  PC,write
        BCS  10$
        MOV  #kept,R1
        JMP  text
9$:     JSR  PC,load            ; forget the entry
        BR   7$
10$:    JSR  PC,load
        MOV  #unsaid,R1
        JMP  text

; --- the catalogue ---

; Read it; C is set where that can't be done, or where it is none.
load:   MOV  #table,R0
        MOV  #catalog,R1
        JSR  PC,read
        BCS  1$
        CMP  catalog+14,#mark
        BNE  2$
        CLC
1$:     RTS  PC
2$:     SEC
        RTS  PC

; The entry with the name at R1 to R4; Z is set where it is found.
find:   MOV  #catalog+20,R4
        MOV  #entries-1,R5
1$:     MOV  R1,R2
        MOV  R4,R3
        CMP  (R2)+,(R3)+
        BNE  2$
        CMP  (R2)+,(R3)+
        BNE  2$
        CMP  (R2)+,(R3)+
        BNE  2$
        CMP  (R2)+,(R3)+
        BNE  2$
        TSTB (R4)               ; an empty name is none
        BEQ  2$
        SEZ
        RTS  PC
2$:     ADD  #20,R4
        DEC  R5
        BNE  1$
        CLZ
        RTS  PC

; A free entry to R4; Z is set where there is one.
free:   MOV  #catalog+20,R4
        MOV  #entries-1,R5
1$:     TSTB (R4)
        BEQ  2$
        ADD  #20,R4
        DEC  R5
        BNE  1$
        CLZ
2$:     RTS  PC

; Blocks of the file of the entry at R4 to R2.
size:   MOV  12(R4),R2
        ADD  #777,R2
        CLRB R2
        SWAB R2
        ASR  R2
        RTS  PC

; The file of the entry at R4 to work; C is set where it can't be read.
bring:  MOV  10(R4),R0
        JSR  PC,size
        MOV  R2,-(SP)
        MOV  #work,R1
1$:     DEC  (SP)
        BMI  2$
        MOV  R4,-(SP)
        JSR  PC,read
        MOV  (SP)+,R4
        BCS  3$
        ADD  #1000,R1
        INC  R0
        BR   1$
2$:     TST  (SP)+
        CLC
        RTS  PC
3$:     TST  (SP)+
        SEC
        RTS  PC

; The same way out.
out:    MOV  10(R4),R0
        JSR  PC,size
        MOV  R2,-(SP)
        MOV  #work,R1
1$:     DEC  (SP)
        BMI  2$
        MOV  R4,-(SP)
        JSR  PC,write
        MOV  (SP)+,R4
        BCS  3$
        ADD  #1000,R1
        INC  R0
        BR   1$
2$:     TST  (SP)+
        CLC
        RTS  PC
3$:     TST  (SP)+
        SEC
        RTS  PC

; The sum of the bytes of the file in work, of the entry at R4, to R3.
sum:    CLR  R3
        MOV  #work,R1
        MOV  12(R4),R2
        BEQ  2$
1$:     MOVB (R1)+,R0
        BIC  #177400,R0
        ADD  R0,R3
        DEC  R2
        BNE  1$
2$:     RTS  PC

; --- the console ---

; A line to typed: the word, and behind it the name, filled up with 0.
line:   JSR  PC,line2
        MOV  #typed,R2
        MOV  #typed+20,R3
1$:     CLR  (R2)+
        CMP  R2,R3
        BLO  1$
        MOV  #entry,R1
        MOV  #typed,R2
        JSR  PC,part
        MOV  #typed+10,R2
        JSR  PC,part
        RTS  PC

; Up to seven or eight characters of entry at R1 to R2, up to a space.
part:   MOV  #8.,R3
1$:     MOVB (R1)+,R0
        BEQ  3$
        CMPB R0,#40
        BEQ  2$
        DEC  R3
        BMI  1$
        MOVB R0,(R2)+
        BR   1$
2$:     CMPB (R1)+,#40
        BEQ  2$
3$:     DEC  R1
        RTS  PC

; Characters to entry up to carriage return; the last one can be taken back.
line2:  MOV  #entry,R2
1$:     TSTB @#receive
        BPL  1$
        MOVB @#receive+2,R0
        BIC  #177600,R0
        CMPB R0,#15
        BEQ  4$
        CMPB R0,#177
        BEQ  3$
        CMPB R0,#10
        BEQ  3$
        CMPB R0,#40
        BLO  1$
        CMP  R2,#entry+72.
        BHIS 1$
        MOVB R0,(R2)+
        JSR  PC,put
        BR   1$
3$:     CMP  R2,#entry
        BLOS 1$
        DEC  R2
        MOV  #rubout,R1
        JSR  PC,text
        BR   1$
4$:     CLRB (R2)

crlf:   MOV  #newline,R1

; The text at R1 up to 0.
text:   MOVB (R1)+,R0
        BEQ  1$
        JSR  PC,put
        BR   text
1$:     RTS  PC

; One character of R0.
put:    TSTB @#transmit
        BPL  put
        MOVB R0,@#transmit+2
        RTS  PC

; The eight characters at R1; a space for each 0, and one behind.
name:   MOV  #8.,R2
1$:     MOVB (R1)+,R0
        BNE  2$
        MOV  #40,R0
2$:     JSR  PC,put
        DEC  R2
        BNE  1$
        MOV  #40,R0
        BR   put

; R0 as a decimal number.
number: MOV  #tens,R1
        CLR  -(SP)              ; has a digit been printed?
1$:     MOV  #60,R2
2$:     SUB  (R1),R0
        BLO  3$
        INC  R2
        BR   2$
3$:     ADD  (R1)+,R0
        CMP  R2,#60
        BNE  4$
        TST  (SP)
        BNE  4$
        TST  (R1)
        BNE  5$                 ; no zeros in front, but the last digit
4$:     INC  (SP)
        MOV  R0,-(SP)
        MOV  R2,R0
        JSR  PC,put
        MOV  (SP)+,R0
5$:     TST  (R1)
        BNE  1$
        TST  (SP)+
        RTS  PC
tens:   .word 10000., 1000., 100., 10., 1, 0

; Is the word at R1 the text at R3?  Z says so; R1 then stands at the name.
same:   MOV  R1,-(SP)
1$:     CMPB (R1)+,(R3)
        BNE  2$
        TSTB (R3)+
        BNE  1$
        MOV  (SP)+,R1
        ADD  #10,R1
        SEZ
        RTS  PC
2$:     MOV  (SP)+,R1
        CLZ
        RTS  PC

opened: .asciz <15><12>/resident program, medium /
tide:   .asciz /tide: /
known:  .asciz /words: list, print NAME, keep NAME, verify/<15><12>
bytes$: .asciz / bytes/<15><12>
nofile: .asciz /no such file/<15><12>
isthere: .asciz /that name is there already/<15><12>
isfull: .asciz /no room/<15><12>
toolong: .asciz /too long: nothing was kept/<15><12>
kept:   .asciz /kept/<15><12>
unsaid: .asciz /the medium can't be written/<15><12>
unread: .asciz /the medium can't be read/<15><12>
isgood: .asciz /good/<15><12>
isbad:  .asciz /bad/<15><12>
newline: .asciz <15><12>
rubout: .asciz <10>/ /<10>
        .even
typed:  .word 0, 0, 0, 0, 0, 0, 0, 0
entry:  .word 0
        . = entry+74.
