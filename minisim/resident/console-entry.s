; Console entry: a ROM that lets a person at the console line look at memory, change it and start a program, on a
; processor that has neither a console in microcode nor a panel.  It uses registers only, so it works without memory.
; `begin` says where it starts; 765000 is the usual window.  Addresses are those of the program, 16 bits.
;
;   1000,      the address is 1000 from now on
;   .          shows the word there, and goes on to the next one
;   12700 CR   puts 12700 there, and goes on to the next one
;   1000!      starts at 1000
;
; It says `ready` when it is entered and ? for any other key.  What it can't find traps through 4.

        . = begin
start:  MOV     #text,R3
1$:     MOVB    (R3)+,R0
        BEQ     fresh
        MOV     #1$,R4
        BR      put

fresh:  CLR     R1              ; the number that is being typed
        MOV     #15,R0
        MOV     #1$,R4
        BR      put
1$:     MOV     #12,R0
        MOV     #key,R4
        BR      put

key:    TSTB    @#177560
        BPL     key
        MOVB    @#177562,R0
        BIC     #177600,R0
        CMP     R0,#15
        BEQ     3$              ; fresh prints it
        MOV     #3$,R4
        BR      put
3$:     MOV     R0,R3
        SUB     #'0,R3
        CMP     R3,#7
        BHI     4$
        ASL     R1
        ASL     R1
        ASL     R1
        BIS     R3,R1
        BR      key
4$:     CMP     R0,#',
        BEQ     set
        CMP     R0,#15
        BEQ     change
        CMP     R0,#'.
        BEQ     show
        CMP     R0,#'!
        BEQ     leave
        MOV     #'?,R0
        MOV     #fresh,R4

put:    TSTB    @#177564
        BPL     put
        MOVB    R0,@#177566
        JMP     (R4)

set:    MOV     R1,R2
        BR      fresh
change: MOV     R1,(R2)+
        BR      fresh
leave:  JMP     (R1)

show:   MOV     (R2)+,R3        ; six digits, the first of one bit
        MOV     #6,R5
        CLR     R0
        BR      2$
1$:     CLR     R0
        ASL     R3
        ROL     R0
        ASL     R3
        ROL     R0
2$:     ASL     R3
        ROL     R0
        ADD     #'0,R0
        MOV     #3$,R4
        BR      put
3$:     DEC     R5
        BNE     1$
        BR      fresh
text:   .asciz  /ready/
        .even
