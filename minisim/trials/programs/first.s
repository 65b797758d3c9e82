; frame: no

; The first program for a machine about which nothing is known yet: short enough to be toggled in.  It needs a
; processor, memory from 001000 and, from `pushes` on, a stack below it; no console line, no other device.
; Start at 001000.  It halts.  After a HALT lamps and console show the address behind it, so 2 more than in the listing.
;       at `done`:          all is well; continue starts over.
;       anywhere else:      the remark beside that HALT says what is wrong; continue tries the rest.
; What is expected: the codes of each instruction [course-processor] [handbook-1969], and plain arithmetic.

        . = 1000
start:  BR      1$
        HALT                    ; BR did not branch
1$:     .word   257             ; clears N, Z, V and C
        BCS     2$
        BCC     3$
2$:     HALT                    ; C is clear: BCS branched or BCC did not
3$:     BVS     4$
        BVC     5$
4$:     HALT                    ; V is clear: BVS branched or BVC did not
5$:     BEQ     6$
        BNE     7$
6$:     HALT                    ; Z is clear: BEQ branched or BNE did not
7$:     BMI     8$
        BPL     9$
8$:     HALT                    ; N is clear: BMI branched or BPL did not
9$:     .word   277             ; sets all four
        BCC     10$
        BCS     11$
10$:    HALT                    ; C is set: BCC branched or BCS did not
11$:    BVC     12$
        BVS     13$
12$:    HALT                    ; V is set: BVC branched or BVS did not
13$:    BNE     14$
        BEQ     15$
14$:    HALT                    ; Z is set: BNE branched or BEQ did not
15$:    BPL     16$
        BMI     moves
16$:    HALT                    ; N is set: BPL branched or BMI did not

moves:  MOV     #177777,R0
        BMI     1$
        HALT                    ; MOV of 177777: N must be set
1$:     INC     R0
        BEQ     2$
        HALT                    ; INC of 177777 must be 0
2$:     DEC     R0
        BMI     3$
        HALT                    ; DEC of 0 must be below 0
3$:     MOV     #52525,R0       ; a pattern through all registers
        MOV     R0,R1
        MOV     R1,R2
        MOV     R2,R3
        MOV     R3,R4
        MOV     R4,R5
        MOV     R5,SP
        CMP     #52525,SP
        BEQ     4$
        HALT                    ; 052525 was not kept by every register; look which one has another number
4$:     COM     SP              ; the other bits all the way back
        MOV     SP,R5
        MOV     R5,R4
        MOV     R4,R3
        MOV     R3,R2
        MOV     R2,R1
        MOV     R1,R0
        CMP     #125252,R0
        BEQ     5$
        HALT                    ; 125252 was not kept by every register; look which one
5$:     CMP     R0,#125253
        BLO     6$
        HALT                    ; CMP of a smaller number with a greater one must set C
6$:     TST     R0
        BCC     memory
        HALT                    ; TST must clear C

memory: MOV     #cell,R1
        CLR     (R1)
        TST     (R1)
        BEQ     1$
        HALT                    ; CLR of a word in memory, or TST of it
1$:     MOV     R0,(R1)+
        CMP     -(R1),R0
        BEQ     2$
        HALT                    ; the word that (R1)+ stored is not the one that -(R1) reads
2$:     CMP     #cell,R1
        BEQ     3$
        HALT                    ; (R1)+ and -(R1) together must leave R1 as it was
3$:     COM     cell            ; relative to PC
        CMP     #52525,@#cell   ; absolute
        BEQ     4$
        HALT                    ; relative and absolute addresses must be the same word
4$:     JMP     pushes
        HALT                    ; JMP did not jump

pushes: MOV     #1000,SP
        JSR     PC,leap
back:   BR      1$
        HALT                    ; RTS came back to a wrong place
1$:     CMP     #1000,SP
        BEQ     done
        HALT                    ; JSR and RTS must leave SP as it was
done:   HALT                    ; all is well; continue starts over
        JMP     start

leap:   CMP     #back,(SP)
        BEQ     1$
        HALT                    ; JSR must push the address behind it; or the memory below 001000 does not keep it
1$:     RTS     PC
cell:   .word   0
