; with: instructions

; The base set against known results, and chains of instructions over numbers of several words.  The rows are those
; of minisim/trials/cases/base-*-operand-*.yaml, from [course-processor] and [handbook-1969]; some there are firm.

device  = 0
vector  = 0
name:   .asciz  /base-known/
about:  .asciz  /the base set against known results, and in numbers of several words/
        .even

run:    TST     pass
        BNE     1$
        MOV     #52525,seed0    ; later passes go on with other numbers
1$:     JSR     PC,known
        JSR     PC,chains
        RTS     PC
extra:  RTS     PC

; --- known results --------------------------------------------------------------------------------------------------

known:  MOV     #trow1,row      ; one operand: R1
1$:     MOV     row,R1
        TST     2(R1)
        BEQ     4$
        JSR     PC,group
2$:     JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     row,R1
        MOV     (R1)+,in1
        MOV     in1,whole
        MOV     (R1)+,out1
        MOV     (R1)+,R3
        MOV     code,op
        BIS     #1,op
        JSR     PC,told
        DEC     count
        BEQ     3$
        ADD     #6,row
        BR      2$
3$:     ADD     #6,row
        BR      1$
4$:     MOV     #trow2,row      ; two operands: R1 and R2
        MOV     #src,telled
        MOV     #whole,telled+2
5$:     MOV     row,R1
        TST     2(R1)
        BEQ     8$
        JSR     PC,group
6$:     JSR     R5,next
        .word   buffer
        JSR     PC,fresh
        MOV     row,R1
        MOV     (R1)+,in1
        MOV     in1,src
        MOV     in1,out1
        MOV     (R1)+,in2
        MOV     in2,whole
        MOV     (R1)+,out2
        MOV     (R1)+,R3
        MOV     code,op
        BIS     #102,op
        JSR     PC,told
        DEC     count
        BEQ     7$
        ADD     #10,row
        BR      6$
7$:     ADD     #10,row
        BR      5$
8$:     RTS     PC

; The head of a group of rows: what instruction, and how many.
group:  MOV     row,R1
        MOV     (R1)+,code
        MOV     (R1)+,label
        MOV     (R1)+,count
        MOV     R1,row
        RTS     PC

; The codes of a row, R3: not looked at, expected, before; two octal digits each.
told:   MOV     R3,R0
        BIC     #177760,R0
        MOV     R0,ccin
        JSR     PC,digits
        MOV     R0,ccout
        JSR     PC,digits
        MOV     R0,ccopen
        MOV     label,head
        JSR     PC,shot
        JSR     PC,verify
        JMP     finish
digits: MOV     #6,R0
1$:     CLC
        ROR     R3
        DEC     R0
        BNE     1$
        MOV     R3,R0
        BIC     #177760,R0
        RTS     PC

; --- numbers of four words ------------------------------------------------------------------------------------------

; Chains of instructions through C, against `adder`, which works place by place.
chains: MOV     #16.,turns
1$:     MOV     #100000,top
        JSR     R5,next
        .word   h4add
        JSR     PC,number
        ADD     numb,numc
        ADC     numc+2
        ADC     numc+4
        ADC     numc+6
        ADD     numb+2,numc+2
        ADC     numc+4
        ADC     numc+6
        ADD     numb+4,numc+4
        ADC     numc+6
        ADD     numb+6,numc+6
        CLR     R4
        MOV     #numb,R1
        JSR     PC,total
        JSR     R5,next
        .word   h4sub
        JSR     PC,number
        SUB     numb,numc
        SBC     numc+2
        SBC     numc+4
        SBC     numc+6
        SUB     numb+2,numc+2
        SBC     numc+4
        SBC     numc+6
        SUB     numb+4,numc+4
        SBC     numc+6
        SUB     numb+6,numc+6
        JSR     PC,contra
        MOV     #1,R4
        MOV     #numb,R1
        JSR     PC,total
        JSR     R5,next
        .word   h4neg
        JSR     PC,number
        MOV     numa,numb
        MOV     numa+2,numb+2
        MOV     numa+4,numb+4
        MOV     numa+6,numb+6
        NEG     numc+6
        NEG     numc+4
        SBC     numc+6
        NEG     numc+2
        SBC     numc+4
        SBC     numc+6
        NEG     numc
        SBC     numc+2
        SBC     numc+4
        SBC     numc+6
        JSR     PC,contra
        CLR     numa
        CLR     numa+2
        CLR     numa+4
        CLR     numa+6
        MOV     #1,R4
        MOV     #numb,R1
        JSR     PC,total
        JSR     R5,next
        .word   h4rol
        JSR     PC,number
        ASL     numc
        ROL     numc+2
        ROL     numc+4
        ROL     numc+6
        CLR     R4
        MOV     #numa,R1
        JSR     PC,total
        JSR     R5,next
        .word   h4rolb
        JSR     PC,number
        MOV     #numc,R0
        CLC
        ROLB    (R0)+
        ROLB    (R0)+
        ROLB    (R0)+
        ROLB    (R0)+
        ROLB    (R0)+
        ROLB    (R0)+
        ROLB    (R0)+
        ROLB    (R0)+
        CLR     R4
        MOV     #numa,R1
        JSR     PC,total
        JSR     R5,next
        .word   h4ror
        JSR     PC,number
        ASR     numc+6
        ROR     numc+4
        ROR     numc+2
        ROR     numc
        JSR     PC,halved
        JSR     R5,next
        .word   h4rorb
        JSR     PC,number
        MOV     #numc+10,R0
        CLC
        RORB    -(R0)
        RORB    -(R0)
        RORB    -(R0)
        RORB    -(R0)
        RORB    -(R0)
        RORB    -(R0)
        RORB    -(R0)
        RORB    -(R0)
        JSR     PC,halved
        JSR     R5,next
        .word   h4adcb
        JSR     PC,number
        MOV     #numc,R0
        SEC
        ADCB    (R0)+
        ADCB    (R0)+
        ADCB    (R0)+
        ADCB    (R0)+
        ADCB    (R0)+
        ADCB    (R0)+
        ADCB    (R0)+
        ADCB    (R0)+
        MOV     #zeros,R1
        MOV     #1,R4
        JSR     PC,total
        JSR     R5,next
        .word   h4sbcb
        JSR     PC,number
        COM     numa            ; the ones at its end become zeros: 1 less runs through them
        COM     numa+2
        COM     numa+4
        COM     numa+6
        JSR     PC,copied
        MOV     #numc,R0
        SEC
        SBCB    (R0)+
        SBCB    (R0)+
        SBCB    (R0)+
        SBCB    (R0)+
        SBCB    (R0)+
        SBCB    (R0)+
        SBCB    (R0)+
        SBCB    (R0)+
        MOV     #ones,R1
        CLR     R4
        JSR     PC,total
        DEC     turns
        BEQ     2$
        JMP     1$
2$:     RTS     PC

; Numbers in numa and numb; the first one also in numc.  Bits 2-0 of `turns` say how many bytes of numa are 377.
number: MOV     #numa,R1
1$:     JSR     PC,dice
        MOV     R0,(R1)+
        CMP     R1,#numc
        BLO     1$
        MOV     turns,R0
        BIC     #177770,R0
        BEQ     copied
        MOV     #numa,R1
2$:     MOVB    #377,(R1)+
        DEC     R0
        BNE     2$
copied: MOV     numa,numc
        MOV     numa+2,numc+2
        MOV     numa+4,numc+4
        MOV     numa+6,numc+6
        RTS     PC

; numb with all bits turned, by another way than COM.
contra: MOV     #numb,R1
1$:     MOV     #177777,R0
        SUB     (R1),R0
        MOV     R0,(R1)+
        CMP     R1,#numb+10
        BLO     1$
        RTS     PC

; numc must be numa, plus the number at (R1), plus R4.
total:  MOV     #numa,R0
        JSR     PC,added
        JSR     R5,wantat
        .word   numd, numc
        JSR     R5,wantat
        .word   numd+2, numc+2
        JSR     R5,wantat
        .word   numd+4, numc+4
        JSR     R5,wantat
        .word   numd+6, numc+6
        RTS     PC

; Twice numc and the bit that was lost must be numa.
halved: MOV     #numc,R0
        MOV     R0,R1
        MOV     numa,R4
        BIC     #177776,R4
        JSR     PC,added
        JSR     R5,wantat
        .word   numa, numd
        JSR     R5,wantat
        .word   numa+2, numd+2
        JSR     R5,wantat
        .word   numa+4, numd+4
        JSR     R5,wantat
        .word   numa+6, numd+6
        RTS     PC

; numd = the numbers at (R0) and (R1) and R4.
added:  MOV     R0,smode
        MOV     R1,sreg
        CLR     code
1$:     MOV     code,R2
        MOV     smode,R0
        ADD     R2,R0
        MOV     (R0),R0
        MOV     sreg,R1
        ADD     R2,R1
        MOV     (R1),R1
        JSR     PC,adder
        MOV     code,R2
        MOV     R3,numd(R2)
        ADD     #2,code
        CMP     code,#10
        BLO     1$
        RTS     PC

; --- tables ---------------------------------------------------------------------------------------------------------

; Known results: instruction and number of rows; operand, what must be found, codes; of two operands the source first.
trow1:
        .word   5000, hclr, 7.
        .word   000000, 000000, 000413
        .word   000001, 000000, 000413
        .word   077777, 000000, 000413
        .word   100000, 000000, 000413
        .word   177777, 000000, 000413
        .word   000200, 000000, 000413
        .word   000377, 000000, 000413
        .word   5100, hcom, 6.
        .word   000000, 177777, 001106
        .word   000001, 177776, 001106
        .word   077777, 100000, 001106
        .word   100000, 077777, 000116
        .word   177777, 000000, 000512
        .word   000377, 177400, 001106
        .word   5200, hinc, 6.
        .word   000000, 000001, 000016
        .word   077777, 100000, 001305
        .word   100000, 100001, 001006
        .word   177777, 000000, 000513
        .word   000377, 000400, 000016
        .word   000200, 000201, 000117
        .word   5300, hdec, 6.
        .word   000000, 177777, 001006
        .word   000001, 000000, 000513
        .word   077777, 077776, 000016
        .word   100000, 077777, 000315
        .word   177777, 177776, 001006
        .word   000400, 000377, 000117
        .word   5400, hneg, 7.
        .word   000000, 000000, 000413
        .word   000001, 177777, 001106
        .word   077777, 100001, 001106
        .word   100000, 100000, 001304
        .word   177777, 000001, 000116
        .word   000200, 177600, 001106
        .word   000377, 177401, 001106
        .word   5700, htst, 7.
        .word   000000, 000000, 000413
        .word   000001, 000001, 000017
        .word   077777, 077777, 000017
        .word   100000, 100000, 001007
        .word   177777, 177777, 001007
        .word   000200, 000200, 000017
        .word   000377, 000377, 000017
        .word   5500, hadc, 10.
        .word   000000, 000000, 000412
        .word   000000, 000001, 000017
        .word   077777, 077777, 000016
        .word   077777, 100000, 001205
        .word   100000, 100000, 001006
        .word   100000, 100001, 001007
        .word   177777, 177777, 001006
        .word   177777, 000000, 000513
        .word   000377, 000377, 000016
        .word   000377, 000400, 000017
        .word   5600, hsbc, 12.
        .word   000000, 000000, 020410
        .word   000000, 177777, 001107
        .word   000001, 000001, 020014
        .word   000001, 000000, 000413
        .word   100000, 100000, 021004
        .word   100000, 077777, 000215
        .word   077777, 077777, 020014
        .word   077777, 077776, 000017
        .word   177777, 177777, 021004
        .word   177777, 177776, 001007
        .word   000400, 000400, 020014
        .word   000400, 000377, 000017
        .word   6000, hror, 12.
        .word   000000, 000000, 000412
        .word   000000, 100000, 001205
        .word   000001, 000000, 000710
        .word   000001, 100000, 001107
        .word   000002, 000001, 000016
        .word   000002, 100001, 001205
        .word   177777, 077777, 000314
        .word   177777, 177777, 001107
        .word   100000, 040000, 000016
        .word   100000, 140000, 001205
        .word   000377, 000177, 000314
        .word   000377, 100177, 001107
        .word   6100, hrol, 12.
        .word   000000, 000000, 000412
        .word   000000, 000001, 000017
        .word   000001, 000002, 000016
        .word   000001, 000003, 000017
        .word   077777, 177776, 001204
        .word   077777, 177777, 001205
        .word   100000, 000000, 000710
        .word   100000, 000001, 000315
        .word   177777, 177776, 001106
        .word   177777, 177777, 001107
        .word   040000, 100000, 001204
        .word   040000, 100001, 001205
        .word   6200, hasr, 6.
        .word   000000, 000000, 000413
        .word   000001, 000000, 000710
        .word   000002, 000001, 000017
        .word   077777, 037777, 000314
        .word   100000, 140000, 001205
        .word   177777, 177777, 001106
        .word   6300, hasl, 7.
        .word   000000, 000000, 000413
        .word   000001, 000002, 000017
        .word   040000, 100000, 001205
        .word   077777, 177776, 001205
        .word   100000, 000000, 000710
        .word   177777, 177776, 001106
        .word   140000, 100000, 001106
        .word   300, hswab, 10.
        .word   000000, 000000, 020411
        .word   000001, 000400, 020413
        .word   000400, 000001, 020015
        .word   000200, 100000, 020413
        .word   100000, 000200, 021005
        .word   000377, 177400, 020413
        .word   177400, 000377, 021005
        .word   177777, 177777, 021007
        .word   077777, 177577, 020015
        .word   123456, 027247, 021007
        .word   105000, hclrb, 5.
        .word   052400, 052400, 000413
        .word   052401, 052400, 000413
        .word   052577, 052400, 000413
        .word   052600, 052400, 000413
        .word   052777, 052400, 000413
        .word   105100, hcomb, 5.
        .word   052400, 052777, 001106
        .word   052401, 052776, 001106
        .word   052577, 052600, 001106
        .word   052600, 052577, 000116
        .word   052777, 052400, 000512
        .word   105200, hincb, 4.
        .word   052400, 052401, 000016
        .word   052577, 052600, 001305
        .word   052600, 052601, 001006
        .word   052777, 052400, 000513
        .word   105300, hdecb, 5.
        .word   052400, 052777, 001006
        .word   052401, 052400, 000513
        .word   052577, 052576, 000016
        .word   052600, 052577, 000315
        .word   052777, 052776, 001006
        .word   105400, hnegb, 5.
        .word   052400, 052400, 000413
        .word   052401, 052777, 001106
        .word   052577, 052601, 001106
        .word   052600, 052600, 001304
        .word   052777, 052401, 000116
        .word   105700, htstb, 5.
        .word   052400, 052400, 000413
        .word   052401, 052401, 000017
        .word   052577, 052577, 000017
        .word   052600, 052600, 001007
        .word   052777, 052777, 001007
        .word   105500, hadcb, 8.
        .word   052400, 052400, 000412
        .word   052400, 052401, 000017
        .word   052577, 052577, 000016
        .word   052577, 052600, 001205
        .word   052600, 052600, 001006
        .word   052600, 052601, 001007
        .word   052777, 052777, 001006
        .word   052777, 052400, 000513
        .word   105600, hsbcb, 8.
        .word   052400, 052400, 020410
        .word   052400, 052777, 001107
        .word   052401, 052401, 020014
        .word   052401, 052400, 000413
        .word   052577, 052577, 020014
        .word   052577, 052576, 000017
        .word   052600, 052600, 021004
        .word   052600, 052577, 000215
        .word   106000, hrorb, 10.
        .word   052400, 052400, 000412
        .word   052400, 052600, 001205
        .word   052401, 052400, 000710
        .word   052401, 052600, 001107
        .word   052402, 052401, 000016
        .word   052402, 052601, 001205
        .word   052777, 052577, 000314
        .word   052777, 052777, 001107
        .word   052600, 052500, 000016
        .word   052600, 052700, 001205
        .word   106100, hrolb, 10.
        .word   052400, 052400, 000412
        .word   052400, 052401, 000017
        .word   052401, 052402, 000016
        .word   052401, 052403, 000017
        .word   052500, 052600, 001204
        .word   052500, 052601, 001205
        .word   052600, 052400, 000710
        .word   052600, 052401, 000315
        .word   052777, 052776, 001106
        .word   052777, 052777, 001107
        .word   106200, hasrb, 6.
        .word   052400, 052400, 000413
        .word   052401, 052400, 000710
        .word   052402, 052401, 000017
        .word   052577, 052477, 000314
        .word   052600, 052700, 001205
        .word   052777, 052777, 001106
        .word   106300, haslb, 6.
        .word   052400, 052400, 000413
        .word   052401, 052402, 000017
        .word   052500, 052600, 001205
        .word   052600, 052400, 000710
        .word   052700, 052600, 001106
        .word   052777, 052776, 001106
        .word   0, 0
trow2:
        .word   10000, hmov, 7.
        .word   000000, 123456, 000000, 000412
        .word   000001, 000000, 000001, 000117
        .word   077777, 000000, 077777, 000016
        .word   100000, 000000, 100000, 001107
        .word   177777, 000000, 177777, 001006
        .word   000200, 000000, 000200, 000117
        .word   000377, 177777, 000377, 000016
        .word   20000, hcmp, 18.
        .word   000000, 000000, 000000, 000413
        .word   000001, 077777, 077777, 001106
        .word   077777, 000001, 000001, 000017
        .word   077777, 077777, 077777, 000413
        .word   100000, 000001, 000001, 000215
        .word   000001, 100000, 100000, 001304
        .word   100000, 100000, 100000, 000413
        .word   177777, 000001, 000001, 001007
        .word   000001, 177777, 177777, 000116
        .word   177777, 177777, 177777, 000413
        .word   000000, 177777, 177777, 000116
        .word   177777, 000000, 000000, 001007
        .word   077777, 100000, 100000, 001304
        .word   100000, 077777, 077777, 000215
        .word   000377, 000200, 000200, 000017
        .word   000200, 000377, 000377, 001106
        .word   000002, 000001, 000001, 000017
        .word   000001, 000002, 000002, 001106
        .word   60000, hadd, 18.
        .word   000000, 000000, 000000, 000413
        .word   000001, 077777, 100000, 001205
        .word   077777, 000001, 100000, 001205
        .word   077777, 077777, 177776, 001205
        .word   100000, 000001, 100001, 001007
        .word   000001, 100000, 100001, 001007
        .word   100000, 100000, 000000, 000710
        .word   177777, 000001, 000000, 000512
        .word   000001, 177777, 000000, 000512
        .word   177777, 177777, 177776, 001106
        .word   000000, 177777, 177777, 001007
        .word   177777, 000000, 177777, 001007
        .word   077777, 100000, 177777, 001007
        .word   100000, 077777, 177777, 001007
        .word   000377, 000200, 000577, 000017
        .word   000200, 000377, 000577, 000017
        .word   000002, 000001, 000003, 000017
        .word   000001, 000002, 000003, 000017
        .word   160000, hsub, 18.
        .word   000000, 000000, 000000, 000413
        .word   000001, 077777, 077776, 000017
        .word   077777, 000001, 100002, 001106
        .word   077777, 077777, 000000, 000413
        .word   100000, 000001, 100001, 001304
        .word   000001, 100000, 077777, 000215
        .word   100000, 100000, 000000, 000413
        .word   177777, 000001, 000002, 000116
        .word   000001, 177777, 177776, 001007
        .word   177777, 177777, 000000, 000413
        .word   000000, 177777, 177777, 001007
        .word   177777, 000000, 000001, 000116
        .word   077777, 100000, 000001, 000215
        .word   100000, 077777, 177777, 001304
        .word   000377, 000200, 177601, 001106
        .word   000200, 000377, 000177, 000017
        .word   000002, 000001, 177777, 001106
        .word   000001, 000002, 000001, 000017
        .word   30000, hbit, 10.
        .word   000000, 000000, 000000, 000412
        .word   177777, 177777, 177777, 001107
        .word   100000, 177777, 177777, 001006
        .word   077777, 177777, 177777, 000117
        .word   100000, 077777, 077777, 000412
        .word   000377, 177400, 177400, 000513
        .word   000200, 000377, 000377, 000016
        .word   125252, 052525, 052525, 000513
        .word   000000, 100000, 100000, 000412
        .word   177777, 000000, 000000, 000513
        .word   40000, hbic, 10.
        .word   000000, 000000, 000000, 000412
        .word   177777, 177777, 000000, 000513
        .word   100000, 177777, 077777, 000016
        .word   077777, 177777, 100000, 001107
        .word   100000, 077777, 077777, 000016
        .word   000377, 177400, 177400, 001107
        .word   000200, 000377, 000177, 000016
        .word   125252, 052525, 052525, 000117
        .word   000000, 100000, 100000, 001006
        .word   177777, 000000, 000000, 000513
        .word   50000, hbis, 10.
        .word   000000, 000000, 000000, 000412
        .word   177777, 177777, 177777, 001107
        .word   100000, 177777, 177777, 001006
        .word   077777, 177777, 177777, 001107
        .word   100000, 077777, 177777, 001006
        .word   000377, 177400, 177777, 001107
        .word   000200, 000377, 000377, 000016
        .word   125252, 052525, 177777, 001107
        .word   000000, 100000, 100000, 001006
        .word   177777, 000000, 177777, 001107
        .word   110000, hmovb, 6.
        .word   031000, 123456, 000000, 000412
        .word   031001, 177777, 000001, 000117
        .word   031177, 177400, 000177, 000016
        .word   031200, 000000, 177600, 001107
        .word   031377, 000000, 177777, 001006
        .word   031252, 052525, 177652, 001107
        .word   120000, hcmpb, 13.
        .word   121000, 052400, 052400, 000413
        .word   121001, 052577, 052577, 001106
        .word   121177, 052401, 052401, 000017
        .word   121200, 052401, 052401, 000215
        .word   121001, 052600, 052600, 001304
        .word   121200, 052600, 052600, 000413
        .word   121377, 052401, 052401, 001007
        .word   121001, 052777, 052777, 000116
        .word   121377, 052777, 052777, 000413
        .word   121177, 052600, 052600, 001304
        .word   121200, 052577, 052577, 000215
        .word   121000, 052777, 052777, 000116
        .word   121377, 052400, 052400, 001007
        .word   130000, hbitb, 8.
        .word   121000, 052400, 052400, 000412
        .word   121377, 052777, 052777, 001107
        .word   121200, 052777, 052777, 001006
        .word   121177, 052777, 052777, 000117
        .word   121200, 052577, 052577, 000412
        .word   121252, 052525, 052525, 000513
        .word   121000, 052600, 052600, 000412
        .word   121377, 052400, 052400, 000513
        .word   140000, hbicb, 8.
        .word   121000, 052400, 052400, 000412
        .word   121377, 052777, 052400, 000513
        .word   121200, 052777, 052577, 000016
        .word   121177, 052777, 052600, 001107
        .word   121200, 052577, 052577, 000016
        .word   121252, 052525, 052525, 000117
        .word   121000, 052600, 052600, 001006
        .word   121377, 052400, 052400, 000513
        .word   150000, hbisb, 8.
        .word   121000, 052400, 052400, 000412
        .word   121377, 052777, 052777, 001107
        .word   121200, 052777, 052777, 001006
        .word   121177, 052777, 052777, 001107
        .word   121200, 052577, 052777, 001006
        .word   121252, 052525, 052777, 001107
        .word   121000, 052600, 052600, 001006
        .word   121377, 052400, 052777, 001107
        .word   0, 0


row:    .word   0
count:  .word   0
turns:  .word   0
code:   .word   0
label:  .word   0
numa:   .word   0, 0, 0, 0
numb:   .word   0, 0, 0, 0
numc:   .word   0, 0, 0, 0
numd:   .word   0, 0, 0, 0
zeros:  .word   0, 0, 0, 0
ones:   .word   177777, 177777, 177777, 177777
h4add:  .asciz  /ADD and ADC over four words/
h4sub:  .asciz  /SUB and SBC over four words/
h4neg:  .asciz  /NEG and SBC over four words/
h4rol:  .asciz  /ASL and ROL over four words/
h4rolb: .asciz  /ROLB over eight bytes/
h4ror:  .asciz  /ASR and ROR over four words/
h4rorb: .asciz  /RORB over eight bytes/
h4adcb: .asciz  /ADCB over eight bytes/
h4sbcb: .asciz  /SBCB over eight bytes/
hadc:   .asciz  /ADC/
hadcb:  .asciz  /ADCB/
hadd:   .asciz  /ADD/
hasl:   .asciz  /ASL/
haslb:  .asciz  /ASLB/
hasr:   .asciz  /ASR/
hasrb:  .asciz  /ASRB/
hbic:   .asciz  /BIC/
hbicb:  .asciz  /BICB/
hbis:   .asciz  /BIS/
hbisb:  .asciz  /BISB/
hbit:   .asciz  /BIT/
hbitb:  .asciz  /BITB/
hclr:   .asciz  /CLR/
hclrb:  .asciz  /CLRB/
hcmp:   .asciz  /CMP/
hcmpb:  .asciz  /CMPB/
hcom:   .asciz  /COM/
hcomb:  .asciz  /COMB/
hdec:   .asciz  /DEC/
hdecb:  .asciz  /DECB/
hinc:   .asciz  /INC/
hincb:  .asciz  /INCB/
hmov:   .asciz  /MOV/
hmovb:  .asciz  /MOVB/
hneg:   .asciz  /NEG/
hnegb:  .asciz  /NEGB/
hrol:   .asciz  /ROL/
hrolb:  .asciz  /ROLB/
hror:   .asciz  /ROR/
hrorb:  .asciz  /RORB/
hsbc:   .asciz  /SBC/
hsbcb:  .asciz  /SBCB/
hsub:   .asciz  /SUB/
hswab:  .asciz  /SWAB/
htst:   .asciz  /TST/
htstb:  .asciz  /TSTB/
        .even
