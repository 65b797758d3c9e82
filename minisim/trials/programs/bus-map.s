; needs: map
; memory: 32
; with: cases

; The bus map: 31 registers of 22 bits (bit 0 is always 0) that lead the addresses of the bus, 18 bits, to memory.  From
; 17000000 to 17757777 a program reaches the bus, and through the map memory: so every register is tried without any
; device.  [processor-handbooks-1972-81], [wiki-mmu]; firm.  What a device gets is not tested.
;
; Page 6 of kernel mode leads to the bus; 40000 to 57776 is the memory behind it, each word its own address.

device  = 0
vector  = 0
mmr0    = 177572
mmr3    = 172516
map     = 170200
par6    = 172354
window  = 140000
plain   = 40000
name:   .asciz  /bus-map/
about:  .asciz  /the registers of the bus map, and the memory they lead to/
        .even

run:    CLR     @#mmr0
        JSR     PC,holds
        JSR     PC,unique
        JSR     PC,mapon
        JSR     PC,leads
        JSR     PC,adds
        JSR     PC,writes
        JSR     PC,off
        JSR     PC,far
        JSR     PC,toio
        CLR     @#mmr0
        CLR     @#mmr3
        RTS     PC

; Each register by itself.
holds:  MOV     #map,R4
        CLR     number
1$:     JSR     R5,next
        .word   tholds
        MOV     #pats,R3
2$:     MOV     (R3)+,R1
        CMP     R1,#-1
        BEQ     3$
        MOV     R1,(R4)
        MOV     R1,wanted
        MOV     (R4),found
        JSR     PC,judge1
        MOV     R1,R2           ; six bits above
        SWAB    R2
        BIC     #177700,R2
        MOV     R2,2(R4)
        MOV     R2,wanted
        MOV     2(R4),found
        JSR     PC,judge1
        MOV     R1,wanted       ; the lower part has stayed
        MOV     (R4),found
        JSR     PC,judge1
        BR      2$
3$:     MOV     #177777,(R4)
        MOV     #177776,wanted
        MOV     (R4),found
        JSR     PC,judge1
        MOV     #177777,2(R4)
        MOV     #77,wanted
        MOV     2(R4),found
        BIC     #177700,found
        JSR     PC,judge1
        CLR     (R4)
        CLR     2(R4)
        JSR     R5,repeat
        ADD     #4,R4
        CMP     R4,#map+174
        BLO     1$
        RTS     PC
judge1: INC     placed          ; with the address of the register
        MOV     #77,placeh
        MOV     R4,placel
        JSR     R5,judge
        CLR     placed
        RTS     PC
pats:   .word   0, 125252, 52524, 2, 4, 10, 20, 40, 100, 200, 400, 1000, 2000, 4000, 10000, 20000, 40000, 100000, -1

; All hold words of their own.
unique: JSR     R5,next
        .word   tuniq
        MOV     #map,R4
        MOV     #402,R1
1$:     MOV     R1,(R4)+
        MOV     R1,R2
        SWAB    R2
        BIC     #177700,R2
        MOV     R2,(R4)+
        ADD     #402,R1
        CMP     R4,#map+174
        BLO     1$
        MOV     #map,R4
        MOV     #402,R1
2$:     MOV     R1,wanted
        MOV     (R4),found
        JSR     PC,judge1
        TST     (R4)+
        MOV     R1,R2
        SWAB    R2
        BIC     #177700,R2
        MOV     R2,wanted
        MOV     (R4),found
        JSR     PC,judge1
        TST     (R4)+
        ADD     #402,R1
        CMP     R4,#map+174
        BLO     2$
        RTS     PC

; Pages as without memory management, 22 bits, map on; memory filled.
mapon:  CLR     R0
        MOV     #172340,R1
1$:     MOV     R0,(R1)
        MOV     #77406,-40(R1)
        TST     (R1)+
        ADD     #200,R0
        CMP     R1,#172360
        BLO     1$
        MOV     #177600,@#172356
        MOV     #60,@#mmr3
        MOV     #1,@#mmr0
fill:   MOV     #plain,R1
2$:     MOV     R1,(R1)
        ADD     #2,R1
        CMP     R1,#plain+20000
        BLO     2$
        RTS     PC

; All registers lead away, to 400 blocks of words of their own; then number R3 leads to `plain`.
away:   MOV     #map,R1
1$:     CLR     (R1)+
        MOV     #60,(R1)+       ; nothing there
        CMP     R1,#map+174
        BLO     1$
        RTS     PC

; Each register.
leads:  CLR     number
1$:     JSR     R5,next
        .word   tleads
        JSR     PC,ours
        MOV     #window,R1
        MOV     #plain,R2
2$:     MOV     (R1),R0
        CMP     R0,R2
        BNE     3$
        ADD     #2,R1
        ADD     #2,R2
        CMP     R2,#plain+20000
        BLO     2$
        BR      4$
3$:     MOV     R2,wanted
        MOV     R0,found
        JSR     R5,judge
4$:     JSR     R5,repeat
        INC     number
        CMP     number,#37
        BLO     1$
        RTS     PC
; Register `number` leads to `plain`, page 6 to its 8 KB of the bus.
ours:   JSR     PC,away
        MOV     number,R3
        MOV     R3,R2
        ASL     R2
        ASL     R2
        MOV     #plain,map(R2)
        CLR     map+2(R2)
        MOV     R3,R2           ; 200 blocks each
        SWAB    R2
        ASR     R2
        ADD     #170000,R2
        MOV     R2,@#par6
        RTS     PC

; Base and address are added: every bit of the base within the memory at hand.
adds:   MOV     #2,R4
        MOV     #5,number
1$:     JSR     R5,next
        .word   tadds
        JSR     PC,ours
        MOV     number,R2
        ASL     R2
        ASL     R2
        ADD     R4,map(R2)
        MOV     #window,R1
        MOV     #plain,R2
        ADD     R4,R2
2$:     MOV     (R1),R0
        CMP     R0,R2
        BNE     3$
        ADD     #2,R1
        ADD     #2,R2
        CMP     R2,#plain+20000
        BLO     2$
        BR      4$
3$:     MOV     R2,wanted
        MOV     R0,found
        JSR     R5,judge
4$:     JSR     R5,repeat
        ASL     R4
        CMP     R4,#20000
        BLO     1$
        RTS     PC

writes: JSR     R5,next
        .word   twrite
        MOV     #12,number
        JSR     PC,ours
        MOV     #123456,@#window
        MOV     #123457,@#window+17776
        MOVB    #252,@#window+101
        JSR     R5,want
        .word   123456, plain
        JSR     R5,want
        .word   123457, plain+17776
        JSR     R5,want
        .word   125100, plain+100
        JMP     fill

; Off: the 18 bits of the bus with zeros before them.
off:    JSR     R5,next
        .word   toff
        MOV     #2,number       ; bus address 40000
        JSR     PC,ours
        MOV     #plain+100,@#map+10
        MOV     #20,@#mmr3
        MOV     @#window+40,R1
        MOV     #60,@#mmr3
        MOV     @#window+40,R2
        MOV     R1,found
        MOV     #plain+40,wanted
        JSR     R5,judge
        MOV     R2,found
        MOV     #plain+140,wanted
        JSR     R5,judge
        RTS     PC

; Each upper bit of a register: what is there through the map is what is there without it, be it nothing.
far:    MOV     #1,R4
        MOV     #7,number
1$:     JSR     R5,next
        .word   tfar
        JSR     PC,ours
        MOV     R4,@#map+36
        MOV     R4,R0           ; the same address for page 5
        SWAB    R0
        ASL     R0
        ASL     R0
        ADD     #400,R0
        MOV     R0,@#172352
        MOV     #4$,@#4
        CLR     gone
        MOV     R4,@#120000
        MOV     gone,was
        CLR     gone
        MOV     @#window,R1
        JSR     R5,rearm
        .word   4
        MOV     #1200,@#172352  ; page 5 as it was
        JSR     R5,wantat
        .word   was, gone
        TST     gone
        BNE     2$
        MOV     R1,found
        MOV     R4,wanted
        JSR     R5,judge
2$:     JSR     R5,repeat
        ASL     R4
        CMP     R4,#100
        BLO     1$
        RTS     PC
4$:     INC     gone
        RTI

; The last 8 KB of the bus are the I/O page: no register leads there.
toio:   JSR     R5,next
        .word   ttoio
        JSR     PC,away
        MOV     #177600,@#par6
        MOV     #1234,@#172344
        MOV     @#window+12344,R1
        MOV     #400,@#172344   ; as it was
        MOV     R1,found
        MOV     #1234,wanted
        JSR     R5,judge
        RTS     PC

number: .word   0
gone:   .word   0               ; nobody answered
was:    .word   0
tholds: .asciz  /each register holds what is written/
tuniq:  .asciz  /all registers hold words of their own/
tleads: .asciz  /each register leads to memory, every word of 8 KB/
tadds:  .asciz  /base and address are added/
twrite: .asciz  /words and bytes are written through the map/
tfar:   .asciz  /each upper bit leads where page 5 leads with it/
toff:   .asciz  /the map off and on/
ttoio:  .asciz  "the last 8 KB are the I/O page"
        .even
