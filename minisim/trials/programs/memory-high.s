; needs: mmu
; with: cases patterns

; Memory above 28K words, through page 6 of kernel mode: up to 18 address bits, or 22 where MMR3 bit 4 switches them
; on and the bus has the lines (found out: where it has not, an address with bit 18 leads to the program's own
; memory). With a bus map the window of the bus, from 17000000 on, is left alone (facts of the map:
; [processor-handbooks-1972-81]). Sizes are found by time-outs; expected words are arithmetic (parts/patterns.s, and
; the number of the block of 64 bytes in each of its words).  What was in this memory is lost.

device  = 0
vector  = 0
mmr0    = 177572
mmr3    = 172516
window  = 140000                ; page 6
par6    = 172354
name:   .asciz  /memory-high/
about:  .asciz  /every word of memory above 28K words, through a page/
        .even

run:    JSR     PC,mapon
        JSR     PC,width
        CLR     banks
        TST     pass
        BNE     4$
        MOV     #report,job     ; which there is
        JSR     PC,allbnk
        JSR     PC,ends
4$:     MOV     #alone,job      ; each 4K words by themselves
        JSR     PC,allbnk
        TST     banks
        BEQ     1$
        MOV     #mark,job       ; all words their block's number, then all are looked at
        JSR     PC,allbnk
        MOV     #marked,job
        JSR     PC,allbnk
        BR      2$
1$:     TST     pass
        BNE     2$
        MOV     #tempty,R0
        JSR     PC,print
        JSR     PC,line
2$:     CLR     @#mmr0
        TST     high
        BEQ     3$
        CLR     @#mmr3
3$:     RTS     PC

; Pages 0 to 6 of kernel mode as without memory management, page 7 the I/O page.
mapon:  CLR     @#mmr0
        CLR     R0
        MOV     #172340,R1
1$:     MOV     R0,(R1)
        MOV     #77406,-40(R1)
        TST     (R1)+
        ADD     #200,R0
        CMP     R1,#172360
        BLO     1$
        MOV     #177600,@#172356
        CLR     high
        MOV     #2$,@#4         ; MMR3?
        TST     @#mmr3
        MOV     #20,@#mmr3
        BIT     #20,@#mmr3
        BEQ     3$
        INC     high
        BR      3$
2$:     ADD     #4,SP
3$:     JSR     R5,rearm
        .word   4
        MOV     #1,@#mmr0
        RTS     PC

; The PAR behind the last one to try.
width:  MOV     #7600,limit
        TST     high
        BEQ     9$
        MOV     #1$,@#4
        MOV     #52525,scratch
        MOV     #10000,@#par6   ; address bit 18
        MOV     #125252,@#window+scratch
        BR      2$
1$:     CMP     (SP)+,(SP)+
2$:     JSR     R5,rearm
        .word   4
        CMP     scratch,#52525
        BEQ     3$
        CLR     high            ; it has no line
        CLR     @#mmr3
        BR      9$
3$:     MOV     #177600,limit
        MOV     #4$,@#4
        TST     @#170200        ; a bus map
        MOV     #170000,limit
        BR      5$
4$:     CMP     (SP)+,(SP)+
5$:     JSR     R5,rearm
        .word   4
9$:     RTS     PC

; Calls `job` for all 4K words of which something answers: R1 = first address in the window, R2 = the one behind.
allbnk: MOV     #1600,par
1$:     MOV     par,@#par6
        MOV     #window,R1
        MOV     #window+20000,R2
        JSR     PC,finds
        CMP     R1,R2
        BHIS    2$
        MOV     R1,first
        MOV     R2,behind
        JSR     PC,@job
2$:     ADD     #200,par
        CMP     par,limit
        BLO     1$
        RTS     PC

; 4K words by themselves.
alone:  INC     banks
        MOV     #tover,R5
        JSR     PC,naming
        JSR     R5,next
        .word   buffer
        CLR     over
        MOV     #scratch+window,R3
        CMP     R3,first
        BLO     1$
        CMP     R3,behind
        BHIS    1$
        MOV     #52525,scratch
        MOV     #125252,(R3)
        CMP     scratch,#52525
        BEQ     1$
        INC     over
        JSR     R5,bad
        .word   tisover
        RTS     PC
1$:     CLR     kind
singlek: MOV    kind,R5
        MOV     kinds(R5),R5
        CMP     kind,#6         ; all sixteen bits in four passes: there may be much memory
        BNE     3$
        MOV     #tkwal4,R5
3$:
        JSR     PC,naming
        JSR     R5,next
        .word   buffer
        MOV     kind,R0
        CMP     R0,#6
        BNE     4$
        MOV     #12,R0
        MOV     pass,R4
4$:     MOV     first,R1
        MOV     behind,R2
        MOV     SP,oldsp
        MOV     #silent,@#4
        JSR     PC,test
        BEQ     nextk
        JSR     PC,placeit
        JSR     PC,amiss
nextk:  JSR     R5,rearm
        .word   4
        JSR     R5,repeat
        ADD     #2,kind
        CMP     kind,#10
        BLO     singlek
        RTS     PC

; Nobody answered at an address where a neighbour did.
silent: MOV     oldsp,SP
        JSR     PC,placeit
        JSR     R5,bad
        .word   tsilen
        CLR     placed
        BR      nextk

; The number of its block into each word.
mark:   TST     over
        BNE     9$
        MOV     first,R1
1$:     JSR     PC,block
        MOV     R0,(R1)+
        CMP     R1,behind
        BLO     1$
9$:     RTS     PC
; It still stands there?
marked: TST     over
        BNE     9$
        MOV     #tmarks,R5
        JSR     PC,naming
        JSR     R5,next
        .word   buffer
        MOV     first,R1
1$:     JSR     PC,block
        MOV     (R1),R4
        CMP     R0,R4
        BEQ     2$
        MOV     R1,R3
        JSR     PC,placeit
        JSR     PC,amiss
        BR      3$
2$:     ADD     #2,R1
        CMP     R1,behind
        BLO     1$
3$:     JSR     R5,repeat
9$:     RTS     PC
; R0 = the block of address R1 in the window.
block:  MOV     R1,R0
        BIC     #160077,R0
        ASL     R0
        ASL     R0
        SWAB    R0
        ADD     par,R0
        RTS     PC

; The physical address of R3 in the window: bits 21-16 to placeh, 15-0 to placel.
placeit: INC    placed
        MOV     R0,-(SP)
        MOV     R1,-(SP)
        MOV     R3,R0
        BIC     #160000,R0
        MOV     par,R1
        SWAB    R1              ; PAR bits 15-10 are bits 21-16
        BIC     #177400,R1
        ASR     R1
        ASR     R1
        MOV     R1,placeh
        MOV     par,R1
        BIC     #176177,R1
        ASL     R1
        ASL     R1
        ASL     R1
        ASL     R1
        ASL     R1
        ASL     R1
        BIS     R0,R1
        MOV     R1,placel
        MOV     (SP)+,R1
        MOV     (SP)+,R0
        RTS     PC

; Tells which memory there is, stretches that meet as one.
report: MOV     first,R3
        CMP     R3,#window
        BNE     1$
        CMP     par,nextp
        BEQ     2$
1$:     JSR     PC,ends
        JSR     PC,placeit
        MOV     #tthere,R0
        JSR     PC,print
        JSR     PC,where
        INC     open
2$:     MOV     behind,R3
        SUB     #2,R3
        JSR     PC,placeit
        CLR     placed
        MOV     placeh,lasth
        MOV     placel,lastl
        CLR     nextp
        CMP     behind,#window+20000
        BNE     9$
        MOV     par,nextp
        ADD     #200,nextp
9$:     RTS     PC
; The end of a stretch.
ends:   TST     open
        BEQ     9$
        CLR     open
        MOV     #tto,R0
        JSR     PC,print
        MOV     lasth,placeh
        MOV     lastl,placel
        JSR     PC,where
        JSR     PC,line
9$:     CLR     nextp
        RTS     PC

; The text of a case: where these 4K words begin, and the text at R5.
naming: MOV     #buffer,R2
        MOV     #tfrom,R0
        JSR     PC,puts
        MOV     first,R3
        JSR     PC,placeit
        CLR     placed
        MOV     placeh,R1
        SWAB    R1
        MOVB    placel+1,R0
        BIC     #177400,R0
        BIS     R0,R1           ; bits 23-8
        MOVB    placel,R4
        SWAB    R4
        CLRB    R4
        MOV     #8.,R3
1$:     CLR     R0
        JSR     PC,8$
        JSR     PC,8$
        JSR     PC,8$
        ADD     #'0,R0
        MOVB    R0,(R2)+
        DEC     R3
        BNE     1$
        MOV     #colon,R0
        JSR     PC,puts
        MOV     R5,R0
        JMP     puts
8$:     ASL     R4
        ROL     R1
        ROL     R0
        RTS     PC
puts:   MOVB    (R0)+,(R2)+
        BNE     puts
        DEC     R2
        RTS     PC

high:   .word   0               ; 22 bits are on
limit:  .word   0
par:    .word   0
job:    .word   0
banks:  .word   0
first:  .word   0
behind: .word   0
kind:   .word   0
over:   .word   0
oldsp:  .word   0
open:   .word   0
nextp:  .word   0
lasth:  .word   0
lastl:  .word   0
scratch: .word  0
tthere: .asciz  /  memory from /
tto:    .asciz  / to /
tfrom:  .asciz  /from /
tempty: .asciz  /  nothing answers above 28K words/
tover:  .asciz  /it is not the memory of this program/
tisover: .asciz /it lies over the memory of this program, and is not tested further/
tkwal4: .asciz  /a single 1 through every fourth bit, other bits in other passes/
tmarks: .asciz  /each word holds the number of its block, all written before/
tsilen: .asciz  /nobody answers/
buffer: . = . + 140
        .even
