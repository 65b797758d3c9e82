; Prints the ledger of the harbour dues.  Needs the commercial set and memory management with addresses of 22 bits.
; Assemble with dues.s behind this file.
;
; Two programs are on the tape.  The small one at 1000 is the kernel: it turns memory management on, lays the ledger and
; the dues into memory above the first 64 KB, clears a page for the ledger to work in, and serves two calls:
;
;   EMT 1   prints R0 bytes from R1 of the caller; R0 to R2 are lost
;   EMT 2   the job is done: the processor halts
;
; The ledger runs in user mode.  It sees its program and the dues, which it can't write, and its work page:
;
;   020000  page 1   program      memory 00200000   read only
;   040000  page 2   dues         memory 00220000   read only
;   060000  page 3   work, stack  memory 00240000
;
; How an entry is reckoned, all in cents:
;
;   amount     moored: rate of the class times days; shared: amount by boats, what is left over dropped;
;              receipts and deposits count as minus
;   discount   10 percent of a mooring of 30 days or more, or of a boat of the club; half a cent counts as one
;   tax        7.5 percent of amount less discount, for moorings, charges and shares; half a cent counts as one
;   balance    goes on by amount less discount plus tax

transmit = 177564               ; transmit status of the console; its data register is the next word
here    = 1000
program = 20000
work    = 60000
full    = 20000                 ; bytes of a page

; ==================== kernel

        . = 4
        .word trouble, 340      ; no answer, odd address
        .word trouble, 340      ; no such instruction
        . = 30
        .word service, 340      ; EMT
        . = 250
        .word trouble, 340      ; memory management

        . = here
start:  MOV  #here,SP
        MOV  #172300,R1         ; no page of the kernel or of the user is there
        MOV  #177600,R2
        MOV  #16.,R0
1$:     CLR  (R1)+
        CLR  (R2)+
        SOB  R0,1$
        MOV  #pages,R1
2$:     MOV  (R1)+,R0
        BEQ  3$
        MOV  (R1)+,(R0)
        BR   2$
3$:     MOV  #full,R0           ; the ledger
        MOV  #program,R1
        MOV  #full,R2
        MOV  #120000,R3
        CLR  R4
        MOVC
        MOV  #full,R0           ; the dues
        MOV  #dues,R1
        MOV  #full,R2
        MOV  #140000,R3
        MOVC
        CLR  R0                 ; a work page of zeros: nothing moved, all of it filled
        MOV  #full,R2
        MOV  #100000,R3
        MOVC
        MOV  #170000,-(SP)      ; user mode
        MOV  #ledger,-(SP)
        RTI

service: MOV (SP),R2
        MFPI -(R2)              ; the EMT itself, from the caller's pages
        CMPB (SP)+,#1
        BNE  finish
1$:     TST  R0
        BEQ  3$
        MOV  R1,R2
        BIC  #1,R2
        MFPI (R2)               ; the word that holds the byte
        MOV  (SP)+,R2
        BIT  #1,R1
        BEQ  2$
        SWAB R2
2$:     JSR  PC,put
        INC  R1
        DEC  R0
        BR   1$
3$:     RTI

finish: CLR  R2                 ; two fill characters: behind them all that counts has left the line
        JSR  PC,put
        JSR  PC,put
        HALT

trouble: MOV #alarm,R1
1$:     MOVB (R1)+,R2
        BEQ  finish
        JSR  PC,put
        BR   1$

put:    TSTB @#transmit
        BPL  put
        MOVB R2,@#transmit+2
        RTS  PC

; A register and what goes there.  Page addresses count 100 bytes; 077406 is a whole page, 077402 one to be read only.

pages:  .word 172340, 0,      172300, 77406     ; kernel: its own page
        .word 172342, 200,    172302, 77402     ; the ledger and the dues as the tape brought them
        .word 172344, 400,    172304, 77402
        .word 172350, 2400,   172310, 77406     ; work page
        .word 172352, 2000,   172312, 77406     ; places of the ledger and of the dues
        .word 172354, 2200,   172314, 77406
        .word 172356, 177600, 172316, 77406     ; I/O page
        .word 177642, 2000,   177602, 77402     ; user
        .word 177644, 2200,   177604, 77402
        .word 177646, 2400,   177606, 77406
        .word 172516, 20                        ; addresses of 22 bits
        .word 177572, 1                         ; on
        .word 0

alarm:  .asciz <15><12>/the kernel stops: a trap that nobody expected/<15><12>
        .even

; ==================== ledger

; --- its work page

place   = work                  ; what is left of the dues: address and bytes
left    = work+2
text    = work+4                ; the field read last
length  = work+6
boat    = work+10               ; address and length of fields of the entry
boat_   = work+12
what    = work+14
what_   = work+16
form    = work+20
count   = work+22               ; entries
page    = work+24               ; pages
rows    = work+26               ; rows still free on the page
small   = work+30               ; packed numbers
days    = work+34
amount  = work+40
off     = work+46
tax     = work+54
net     = work+62
balance = work+70
amounts = work+76
offs    = work+104
taxes   = work+112
sheet   = work+120
moored  = work+126
wide    = work+134              ; 13 digits
digits  = work+150              ; nine digits and their sign
line    = work+200
marks   = work+400              ; tables of 256 bytes
capital = work+1000
stack   = 100000                ; the top of the page

; --- a line: where its columns are

boats   = line+4.
whats   = line+18.
col_amount = line+35.
col_off = line+46.
col_tax = line+57.
col_balance = line+68.
ends    = line+79.
size    = 81.

        . = program
ledger: MOV  #stack,SP
        JSR  PC,tables
        MOV  #dues,place
        MOV  #dues_end-dues,left
        JSR  PC,field           ; is it the right tape?
        MOV  length,R0
        MOV  text,R1
        MOV  #4,R2
        MOV  #title,R3
        CLR  R4
        CMPC
        BEQ  1$
        MOV  #wrong,R1
        MOV  #wrong_-wrong,R0
        EMT  1
        EMT  2
1$:     JSR  PC,field
        MOV  text,boat          ; the week, until the first entry comes
        MOV  length,boat_
        JSR  PC,zeros
        MOV  #opening,R1
        MOV  #opening_-opening,R0
        EMT  1
        MOV  boat,R1
        MOV  boat_,R0
        EMT  1
        JSR  PC,heading
2$:     TST  left
        BEQ  4$
        TST  rows
        BNE  3$
        JSR  PC,footing
        JSR  PC,heading
3$:     JSR  PC,entry
        BR   2$
4$:     JSR  PC,footing
        JSR  PC,totals
        EMT  2

; --- tables: bytes that end a field; small letters become capitals, all other characters stay

tables: MOV  #capital,R1
        CLR  R0
1$:     MOVB R0,(R1)+
        INC  R0
        CMP  R0,#256.
        BLO  1$
        MOV  #26.,R0
        MOV  #capital+'a,R1
2$:     MOVB (R1),R2
        SUB  #40,R2
        MOVB R2,(R1)+
        SOB  R0,2$
        MOVB #1,marks+';
        MOVB #1,marks+12
        RTS  PC

; --- all sums become a packed 0

zeros:  ADDPI nothing,nothing,d_balance
        ADDPI nothing,nothing,d_amounts
        ADDPI nothing,nothing,d_offs
        ADDPI nothing,nothing,d_taxes
        ADDPI nothing,nothing,d_moored
        RTS  PC

; --- the next field: its address and length; its end is passed

field:  MOV  left,R0
        MOV  place,R1
        MOV  R1,text
        MOV  #1,R4
        MOV  #marks,R5
        SCANC
        MOV  R1,length
        SUB  text,length
        TST  R0
        BEQ  1$
        INC  R1
        DEC  R0
1$:     MOV  R1,place
        MOV  R0,left
        RTS  PC

; --- one entry

entry:  INC  count
        JSR  PC,field           ; its kind
        MOV  #kinds_-kinds,R0
        MOV  #kinds,R1
        MOVB @text,R4
        LOCC
        BEQ  strange
        SUB  #kinds,R1
        ASL  R1
        ASL  R1
        ASL  R1
        ADD  #forms,R1
        MOV  R1,form
        ADDPI nothing,nothing,d_off
        ADDPI nothing,nothing,d_tax
        JSR  PC,blank
        JSR  PC,field
        MOV  text,boat
        MOV  length,boat_
        JSR  PC,field
        MOV  text,what
        MOV  length,what_
        JSR  PC,field
        MOV  form,R5
        CMP  R5,#forms
        BNE  1$
        JSR  PC,mooring
        BR   2$
1$:     JSR  PC,charge
2$:     BCS  strange
        JSR  PC,reckon
        JSR  PC,row
        RTS  PC

; --- an entry of an unknown kind or class: say so, go to the next line

strange: MOV left,R0
        MOV  place,R1
        DEC  R1                 ; back over the end of the field, which may be the end of the line
        INC  R0
        MOV  #12,R4
        LOCC
        INC  R1
        DEC  R0
        MOV  R1,place
        MOV  R0,left
        JSR  PC,blank
        JSR  PC,number
        MOV  #unknown_-unknown,R0
        MOV  #unknown,R1
        MOV  #30.,R2
        MOV  #boats,R3
        MOV  #40,R4
        MOVC
        JSR  PC,show
        RTS  PC

; --- moored: rate of the class times days, discount; C set for an unknown class

mooring: JSR PC,decimal
        MOV  #d_days,R5
        MOV  (R5)+,R2
        MOV  (R5)+,R3
        CVTNP
        MOV  #classes_end-classes,R0
        MOV  #classes,R1
        MOVB @what,R4
        LOCC
        BEQ  5$
        SUB  #classes,R1
        MOV  R1,R0
        ASL  R1
        ADD  R0,R1              ; three bytes a class
        ADD  #rates,R1
        MOV  #60005,R0
        MOV  #60005,R2
        MOV  #days,R3
        MOV  #60011,R4
        MOV  #amount,R5
        MULP
        ADDPI d_days,d_moored,d_moored
        MOV  #berth_-berth,R0   ; "berth B, 034 days"
        MOV  #berth,R1
        MOV  #17.,R2
        MOV  #whats,R3
        MOV  #40,R4
        MOVC
        MOVB @what,whats+6
        CVTPNI d_days,d_shown
        CMPPI d_days,thirty
        BGE  1$
        MOV  boat_,R0
        MOV  boat,R1
        MOV  #club_-club,R2
        MOV  #club,R3
        MATC
        BEQ  2$
1$:     MULPI ten,d_amount,d_wide
        ASHPI d_wide,d_off,2776 ; two digits dropped, 5 added to the first of them
2$:     CLC
        RTS  PC
5$:     SEC
        RTS  PC

; --- R0, R1: the field as a decimal string of the kind that the form says

decimal: MOV form,R5
        MOV  length,R0
        SUB  2(R5),R0
        BIS  (R5),R0
        MOV  text,R1
        ADD  4(R5),R1
        RTS  PC

; --- all other kinds; C set for one shared by no boat

charge: JSR  PC,decimal
        MOV  #60011,R2
        MOV  #amount,R3
        CVTNP
        MOV  what_,R0
        MOV  what,R1
        MOV  #17.,R2
        MOV  #whats,R3
        MOV  #40,R4
        MOVC
        MOV  form,R5
        BIT  #4,6(R5)
        BEQ  1$
        JSR  PC,field           ; how many boats share it
        MOV  #10000,R0
        BIS  length,R0
        MOV  text,R1
        MOV  #60005,R2
        MOV  #days,R3
        CVTNP
        DIVPI d_days,d_amount,d_amount
        BCS  2$                 ; by nobody
1$:     MOV  form,R5
        BIT  #2,6(R5)
        BEQ  3$
        SUBPI d_amount,nothing,d_amount
3$:     CLC
2$:     RTS  PC

; --- tax, balance, sums

reckon: SUBPI d_off,d_amount,d_net
        MOV  form,R5
        BIT  #1,6(R5)
        BEQ  1$
        MULPI taxed,d_net,d_wide
        ASHPI d_wide,d_tax,2775 ; three digits dropped
        ADDPI d_tax,d_net,d_net
1$:     ADDPI d_net,d_balance,d_balance
        ADDPI d_net,d_sheet,d_sheet
        ADDPI d_amount,d_amounts,d_amounts
        ADDPI d_off,d_offs,d_offs
        ADDPI d_tax,d_taxes,d_taxes
        RTS  PC

; --- the row of an entry

row:    JSR  PC,number
        MOV  boat_,R0
        MOV  boat,R1
        MOV  #13.,R2
        MOV  #boats,R3
        MOV  #40,R4
        MOV  #capital,R5
        MOVTC
        MOV  #amount,R1
        MOV  #col_amount,R3
        JSR  PC,money
        MOV  #off,R1
        MOV  #col_off,R3
        JSR  PC,money
        MOV  #tax,R1
        MOV  #col_tax,R3
        JSR  PC,money
        MOV  #balance,R1
        MOV  #col_balance,R3
        JSR  PC,money
        JSR  PC,show
        RTS  PC

; --- the number of the entry, to the line

number: MOV  #60003,R0
        MOV  #small,R1
        CLR  R2
        MOV  count,R3
        CVTLP
        CVTPNI d_small,d_number
        RTS  PC

; --- the nine digits at R1 as money at R3: 11 columns, zeros before it as blanks, a minus behind it

money:  MOV  R3,-(SP)
        MOV  #60011,R0
        MOV  #40011,R2
        MOV  #digits,R3
        CVTPN
        MOV  #6,R0              ; the digit before the point always counts
        MOV  #digits,R1
        MOV  #'0,R4
        SKPC
        INC  R0
        MOV  #7,R2
        MOV  (SP),R3
        MOV  #40,R4
        MOVRC
        MOV  (SP)+,R3
        ADD  #7,R3
        MOVB #'.,(R3)+
        MOVB digits+7,(R3)+
        MOVB digits+10,(R3)+
        CMPB digits+11,#'-
        BNE  1$
        MOVB #'-,(R3)
1$:     RTS  PC

; --- the line becomes blank; the line goes out

blank:  CLR  R0
        MOV  #ends-line,R2
        MOV  #line,R3
        MOV  #40,R4
        MOVC
        MOVB #15,ends
        MOVB #12,ends+1
        RTS  PC

show:   MOV  #size,R0
        MOV  #line,R1
        EMT  1
        DEC  rows
        RTS  PC

; --- head and foot of a page

heading: MOV #10.,rows
        INC  page
        ADDPI nothing,nothing,d_sheet
        MOV  #60003,R0
        MOV  #small,R1
        CLR  R2
        MOV  page,R3
        CVTLP
        JSR  PC,blank
        MOV  #sheets_-sheets,R0
        MOV  #sheets,R1
        MOV  #ends-line,R2
        MOV  #line,R3
        MOV  #40,R4
        MOVC
        CVTPNI d_small,d_page
        MOV  #between,R1
        MOV  #2,R0
        EMT  1
        MOV  #between,R1
        MOV  #2,R0
        EMT  1
        JSR  PC,show
        INC  rows
        MOV  #columns,R1
        MOV  #columns_-columns,R0
        EMT  1
        RTS  PC

footing: JSR PC,blank
        MOV  #sum_-sum,R0
        MOV  #sum,R1
        MOV  #30.,R2
        MOV  #boats,R3
        MOV  #40,R4
        MOVC
        MOV  #sheet,R1
        MOV  #col_balance,R3
        JSR  PC,money
        JSR  PC,show
        RTS  PC

; --- the end: sums of the columns, days at the berths, mean of an entry, and what it comes to

totals: MOV  #between,R1
        MOV  #2,R0
        EMT  1
        JSR  PC,blank
        MOV  #all_-all,R0
        MOV  #all,R1
        JSR  PC,label
        MOV  #amounts,R1
        MOV  #col_amount,R3
        JSR  PC,money
        MOV  #offs,R1
        MOV  #col_off,R3
        JSR  PC,money
        MOV  #taxes,R1
        MOV  #col_tax,R3
        JSR  PC,money
        JSR  PC,show
        JSR  PC,blank
        MOV  #berths_-berths,R0
        MOV  #berths,R1
        JSR  PC,label
        CVTPNI d_moored,d_total
        JSR  PC,show
        JSR  PC,blank
        MOV  #mean_-mean,R0
        MOV  #mean,R1
        JSR  PC,label
        JSR  PC,number          ; makes the count a packed number; the column is wiped again
        MOVB #40,line
        MOVB #40,line+1
        MOVB #40,line+2
        DIVPI d_small,d_balance,d_net
        MOV  #net,R1
        MOV  #col_balance,R3
        JSR  PC,money
        JSR  PC,show
        JSR  PC,blank
        MOV  #due_-due,R0
        MOV  #due,R1
        JSR  PC,label
        MOV  #balance,R1
        MOV  #col_amount,R3
        JSR  PC,money
        MOV  #5,R0
        MOV  #grand,R1
        MOV  #5,R2
        MOV  #col_off+2,R3
        MOVC
        JSR  PC,show
        RTS  PC

label:  MOV  #30.,R2
        MOV  #boats,R3
        MOV  #40,R4
        MOVC
        RTS  PC

; --- kinds of entries: type of the decimal string, bytes that are no digits, bytes before the digits, and
;     1 taxed, 2 counts as minus, 4 is shared

kinds:  .ascii /MCSRDA/
kinds_:
        .even
forms:  .word 10000, 0, 0, 1
        .word 20000, 0, 0, 1
        .word 40000, 1, 0, 5
        .word 50000, 1, 1, 2
        .word 30000, 0, 0, 2
        .word 0,     0, 0, 0

; --- descriptors: type and digits, address

d_amount: .word 60011, amount
d_off:  .word 60011, off
d_tax:  .word 60011, tax
d_net:  .word 60011, net
d_balance: .word 60011, balance
d_amounts: .word 60011, amounts
d_offs: .word 60011, offs
d_taxes: .word 60011, taxes
d_sheet: .word 60011, sheet
d_moored: .word 60011, moored
d_wide: .word 60015, wide
d_days: .word 60005, days
d_small: .word 60003, small
d_number: .word 10003, line
d_shown: .word 10003, whats+9.
d_total: .word 10005, boats+16.
d_page: .word 10003, line+5
nothing: .word 60001, p_nothing
thirty: .word 60003, p_thirty
ten:    .word 60003, p_ten
taxed:  .word 60003, p_taxed

p_nothing: .byte 0*20+14
p_thirty: .byte 0*20+3, 0*20+14
p_ten:  .byte 0*20+1, 0*20+14
p_taxed: .byte 0*20+7, 5*20+14

; --- texts; a name with _ behind it is the end of one

title:  .ascii /DUES/
club:   .ascii /(club)/
club_:
wrong:  .ascii <15><12>/the tape holds no dues/<15><12>
wrong_:
opening: .ascii <15><12>/Kittiwake Point Tide Station/<15><12>/Harbour dues, /
opening_:
between: .ascii <15><12>
sheets: .ascii /Page/
sheets_:
columns: .ascii / No Boat          For                  Amount   Discount        Tax    Balance/<15><12>
columns_:
berth:  .ascii /berth  , 000 days/
berth_:
unknown: .ascii /entry not understood/
unknown_:
sum:    .ascii /sum of this page/
sum_:
all:    .ascii /sums of the columns/
all_:
berths: .ascii /days at berths/
berths_:
mean:   .ascii /mean of an entry/
mean_:
due:    .ascii /due to the station/
due_:
grand:  .ascii /TOTAL/
        .even
