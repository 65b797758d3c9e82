; device: parallel
; person: Put the loop-back cable on: output to input, control bit 0 to request A, control bit 1 to request B.
; with: cases

; The general parallel interface with its loop-back cable [parallel-wiki]; what the cable joins: from memory, firm.

device  = 167770
vector  = 300
status  = 0                     ; from R4
out     = 2
in      = 4
name:   .asciz  /parallel/
about:  .asciz  /the parallel interface with its loop-back cable: words, requests, interrupts/
        .even

run:    MOV     at,R4
        JSR     R5,next
        .word   tansw
        CLR     gone
        MOV     #1$,@#4
        TST     status(R4)
        TST     in(R4)
        BR      2$
1$:     ADD     #4,SP
        INC     gone
2$:     JSR     R5,rearm
        .word   4
        TST     gone
        BEQ     3$
        JSR     R5,bad
        .word   tnansw
        RTS     PC
3$:     JSR     PC,holds
        JSR     PC,words
        JSR     PC,bytes
        JSR     PC,reqs
        JSR     PC,rests
        MOV     #vectrs,R3      ; A through the vector, B through the next
5$:     MOV     (R3),R0
        BEQ     6$
        MOV     R0,4$
        JSR     R5,next
4$:     .word   0
        JSR     PC,intr
        JSR     R5,repeat
        ADD     #12,R3
        BR      5$
6$:     CLR     status(R4)
        CLR     out(R4)
        MOV     by,R0
        MOV     R0,7$
        JSR     R5,rearm
7$:     .word   0
        MOV     by,R0
        ADD     #4,R0
        MOV     R0,8$
        JSR     R5,rearm
8$:     .word   0
        RTS     PC

holds:  MOV     #held,R3
1$:     JSR     R5,next
        .word   tholds
        MOV     (R3),status(R4)
        MOV     (R3),wanted
        MOV     status(R4),R0
        BIC     #177634,R0
        MOV     R0,found
        CLR     status(R4)
        JSR     R5,judge
        JSR     R5,repeat
        TST     (R3)+
        BNE     1$
        RTS     PC
held:   .word   1, 2, 40, 100, 142, 41, 143, 0

; A single 1, a single 0, and 256 others; the first that is wrong is told.
words:  JSR     R5,next
        .word   twalk
        MOV     #1,R1
1$:     JSR     PC,passon
        BNE     2$
        COM     R1
        JSR     PC,passon
        BNE     2$
        COM     R1
        ASL     R1
        BCC     1$
2$:     JSR     R5,next
        .word   twords
        CLR     R1
3$:     JSR     PC,passon
        BNE     4$
        ADD     #401,R1         ; both bytes
        BCC     3$
4$:     RTS     PC
; Z = 0: the word R1 did not come back.
passon: MOV     R1,out(R4)
        MOV     R1,wanted
        MOV     in(R4),found
        JSR     R5,judge
        CMP     wanted,found
        RTS     PC

bytes:  JSR     R5,next
        .word   tbytes
        MOV     #125125,out(R4)
        MOVB    #063,out(R4)
        MOV     in(R4),found
        MOV     #125063,wanted
        JSR     R5,judge
        MOVB    #314,out+1(R4)
        MOV     in(R4),found
        MOV     #146063,wanted
        JSR     R5,judge
        RTS     PC

; Control bits come back as requests.
reqs:   MOV     #pairs,R3
1$:     JSR     R5,next
        .word   treqs
        MOV     (R3),status(R4)
        MOV     2(R3),wanted
        MOV     status(R4),R0
        BIC     #77574,R0
        MOV     R0,found
        CLR     status(R4)
        JSR     R5,judge
        JSR     R5,repeat
        CMP     (R3)+,(R3)+
        TST     (R3)
        BNE     1$
        RTS     PC
pairs:  .word   1, 201, 2, 100002, 3, 100203, 0

rests:  JSR     R5,next
        .word   trest
        MOV     #3,status(R4)
        MOV     #177777,out(R4)
        JSR     PC,hushed
        RESET
        MOV     status(R4),R0
        BIC     #77434,R0
        MOV     R0,found
        CLR     wanted
        JSR     R5,judge
        MOV     in(R4),found
        JSR     R5,judge
        RTS     PC

; Text, enable, control bit, interrupts of A, of B.
vectrs: .word   tinta, 100, 1, 1, 0
        .word   tintb, 40, 2, 0, 1
        .word   tintn, 0, 3, 0, 0
        .word   tintw, 40, 1, 0, 0
        .word   0
intr:   MOV     by,R1
        MOV     #gota,(R1)+
        MOV     #340,(R1)+
        MOV     #gotb,(R1)+
        MOV     #340,(R1)+
        CLR     na
        CLR     nb
        MOV     2(R3),status(R4)
        MOV     2(R3),R0
        BIS     4(R3),R0
        MOV     R0,status(R4)
        JSR     PC,wait
        MOV     na,found        ; not at priority 7
        ADD     nb,found
        CLR     wanted
        JSR     R5,judge
        JSR     PC,lowpri
        JSR     PC,wait
        JSR     PC,highpr
        CLR     status(R4)
        MOV     6(R3),wanted
        MOV     na,found
        JSR     R5,judge
        MOV     10(R3),wanted
        MOV     nb,found
        JSR     R5,judge
        RTS     PC
wait:   MOV     #1000,R0
1$:     DEC     R0
        BNE     1$
        RTS     PC
gota:   INC     na
        RTI
gotb:   INC     nb
        RTI

gone:   .word   0
na:     .word   0
nb:     .word   0
tansw:  .asciz  /its registers answer/
tnansw: .asciz  /nobody answers/
tholds: .asciz  /status bits hold what is written/
twalk:  .asciz  /a single 1 and a single 0 come back/
twords: .asciz  /256 words come back/
tbytes: .asciz  /a byte by itself/
treqs:  .asciz  /control bits come back as requests/
trest:  .asciz  /RESET clears control bits and the output/
tinta:  .asciz  /request A interrupts through its vector, once/
tintb:  .asciz  /request B interrupts through its vector + 4, once/
tintn:  .asciz  /not enabled: no interrupt/
tintw:  .asciz  /request A with B enabled: no interrupt/
        .even
