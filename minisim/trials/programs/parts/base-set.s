; The instructions of the base set with one and two operands: their table for parts/instructions.s, and what they do.

; --- what instructions do -------------------------------------------------------------------------------------------
; The rules of the codes: [course-processor], [handbook-1969] pp. 18-19, 33-34.

ccarry: MOV     ccin,R4
        BIC     #177776,R4
        RTS     PC

rclr:   CLR     R3
        JMP     nz
rtst:   MOV     dst,R3
        JMP     nz
rcom:   MOV     #177777,R3
        SUB     dst,R3
        JSR     PC,nz
        BR      setc
rinc:   MOV     dst,R0
        CLR     R1
        MOV     #1,R4
        BR      step1
rdec:   MOV     dst,R0
        MOV     #177777,R1
        CLR     R4
step1:  JSR     PC,adder
        JMP     keepc
rneg:   MOV     #177777,R0
        SUB     dst,R0
        CLR     R1
        MOV     #1,R4
        JSR     PC,adder
        MOV     res,R4
        BR      putc
radc:   MOV     dst,R0
        CLR     R1
        BR      withc
rrol:   MOV     dst,R0
        MOV     R0,R1
withc:  JSR     PC,ccarry
        BR      adds
rasl:   MOV     dst,R0
        MOV     R0,R1
        CLR     R4
        BR      adds
radd:   MOV     dst,R0
        MOV     src,R1
        CLR     R4
adds:   JSR     PC,adder
putc:   TST     R4
        BEQ     noc
setc:   BIS     #1,ccout
noc:    RTS     PC
rsbc:   MOV     dst,R0
        MOV     #177777,R1
        JSR     PC,ccarry
        BNE     1$
        MOV     #2,ccopen       ; V without C: disputed
1$:     DEC     R4
        BEQ     subs
        MOV     #1,R4
        BR      subs
rsub:   MOV     dst,R0
        MOV     src,R5
        BR      less
rcmp:   MOV     src,R0
        MOV     dst,R5
less:   MOV     #177777,R1
        SUB     R5,R1
        MOV     #1,R4
subs:   JSR     PC,adder
        TST     R4
        BEQ     setc
        RTS     PC
rror:   CLR     R3
        BIT     #1,ccin
        BEQ     right
        BR      topone
rasr:   CLR     R3
        BIT     top,dst
        BEQ     right
topone: MOV     top,R3
right:  MOV     #1,R0
        MOV     #2,R1
1$:     BIT     R1,dst
        BEQ     2$
        BIS     R0,R3
2$:     ASL     R0
        ASL     R1
        CMP     R0,top
        BNE     1$
        JSR     PC,nz
        BIT     #1,dst
        BEQ     3$
        BIS     #1,ccout
3$:     MOV     ccout,R0        ; V: N and C differ
        BIC     #177766,R0
        CMP     R0,#1
        BEQ     4$
        CMP     R0,#10
        BNE     5$
4$:     BIS     #2,ccout
5$:     RTS     PC
rswab:  MOVB    dst+1,res
        MOVB    dst,res+1
        CLR     ccout
        TSTB    res
        BNE     1$
        BIS     #4,ccout
1$:     TSTB    res
        BPL     2$
        BIS     #10,ccout
2$:     BIT     #2,ccin
        BEQ     3$
        MOV     #2,ccopen       ; V differs (D06)
3$:     RTS     PC
rmov:   MOV     src,R3
logic:  JSR     PC,nz
        JMP     keepc
rbit:   JSR     PC,common
        BR      logic
rbic:   JSR     PC,common
        MOV     dst,R0
        SUB     R3,R0
        MOV     R0,R3
        BR      logic
rbis:   JSR     PC,common
        MOV     dst,R0
        SUB     R3,R0
        ADD     src,R0
        MOV     R0,R3
        BR      logic
common: CLR     R3              ; ones that `src` and `dst` have in common
        MOV     #1,R0
1$:     BIT     R0,src
        BEQ     2$
        BIT     R0,dst
        BEQ     2$
        BIS     R0,R3
2$:     ASL     R0
        BNE     1$
        RTS     PC

; --- table of them ------------------------------------------------------------------------------------------------

ops1:
eclr:   .word   5000, rclr, hclr, 0
ecom:   .word   5100, rcom, hcom, 0
einc:   .word   5200, rinc, hinc, 0
edec:   .word   5300, rdec, hdec, 0
eneg:   .word   5400, rneg, hneg, 0
eadc:   .word   5500, radc, hadc, 0
esbc:   .word   5600, rsbc, hsbc, 0
etst:   .word   5700, rtst, htst, 2
eror:   .word   6000, rror, hror, 0
erol:   .word   6100, rrol, hrol, 0
easr:   .word   6200, rasr, hasr, 0
easl:   .word   6300, rasl, hasl, 0
eswab:  .word   300, rswab, hswab, 0
eclrb:  .word   105000, rclr, hclr, 1
ecomb:  .word   105100, rcom, hcom, 1
eincb:  .word   105200, rinc, hinc, 1
edecb:  .word   105300, rdec, hdec, 1
enegb:  .word   105400, rneg, hneg, 1
eadcb:  .word   105500, radc, hadc, 1
esbcb:  .word   105600, rsbc, hsbc, 1
etstb:  .word   105700, rtst, htst, 3
erorb:  .word   106000, rror, hror, 1
erolb:  .word   106100, rrol, hrol, 1
easrb:  .word   106200, rasr, hasr, 1
easlb:  .word   106300, rasl, hasl, 1
ops2:
emov:   .word   10000, rmov, hmov, 0
ecmp:   .word   20000, rcmp, hcmp, 2
ebit:   .word   30000, rbit, hbit, 2
ebic:   .word   40000, rbic, hbic, 0
ebis:   .word   50000, rbis, hbis, 0
eadd:   .word   60000, radd, hadd, 0
esub:   .word   160000, rsub, hsub, 0
emovb:  .word   110000, rmov, hmov, 5
ecmpb:  .word   120000, rcmp, hcmp, 3
ebitb:  .word   130000, rbit, hbit, 3
ebicb:  .word   140000, rbic, hbic, 1
ebisb:  .word   150000, rbis, hbis, 1
eops2:

hclr:   .asciz  /CLR/
hcom:   .asciz  /COM/
hinc:   .asciz  /INC/
hdec:   .asciz  /DEC/
hneg:   .asciz  /NEG/
hadc:   .asciz  /ADC/
hsbc:   .asciz  /SBC/
htst:   .asciz  /TST/
hror:   .asciz  /ROR/
hrol:   .asciz  /ROL/
hasr:   .asciz  /ASR/
hasl:   .asciz  /ASL/
hswab:  .asciz  /SWAB/
hmov:   .asciz  /MOV/
hcmp:   .asciz  /CMP/
hbit:   .asciz  /BIT/
hbic:   .asciz  /BIC/
hbis:   .asciz  /BIS/
hadd:   .asciz  /ADD/
hsub:   .asciz  /SUB/
        .even
