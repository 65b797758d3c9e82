; The harbour dues of one week: data only.  Change an entry, make the tape again, boot; the sums follow.
;
; The first line says what the tape holds.  Each entry is one line of fields with ; between them, as the cards gave them:
;
;   M;boat;class;days           moored: class A to D, days as digits (zoned without sign)
;   C;boat;for;amount           charge, trailing overpunch: the last digit carries the sign ({ABCDEFGHI plus 0 to 9,
;                               }JKLMNOPQR minus)
;   S;boat;for;amount;boats     a charge shared by several boats, one share of it, trailing separate sign
;   R;boat;for;amount           receipt, leading separate sign
;   D;boat;for;amount           deposit kept by the station, leading overpunch: the first digit carries the sign
;   A;boat;for;amount           adjustment, signed zoned: pqrstuvwxy is a last digit 0 to 9 with minus
;
; Amounts are in cents, up to nine digits.  A boat of a member has (club) in its name.

        . = 40000
dues:   .ascii "DUES;week 19 of 1976"<12>
        .ascii "M;Grey Heron;B;034"<12>
        .ascii "C;Grey Heron;water, 3 tonnes;0067E"<12>
        .ascii "R;Grey Heron;cash;+0010000"<12>
        .ascii "M;Patience;A;007"<12>
        .ascii "S;Patience;slipway;010000+;3"<12>
        .ascii "M;Tern (club);C;012"<12>
        .ascii "C;Tern (club);key returned;0050}"<12>
        .ascii "D;Tern (club);winter berth;B5000"<12>
        .ascii "M;Old Margit;D;030"<12>
        .ascii "A;Old Margit;crane error;00133u"<12>
        .ascii "S;Old Margit;night watch;004999+;7"<12>
        .ascii "R;Old Margit;cheque;+0125000"<12>
        .ascii "M;Whimbrel;B;029"<12>
        .ascii "C;Whimbrel;shore power;0014H"<12>
        .ascii "R;Whimbrel;refund;-0000730"<12>
        .ascii "M;Skua (club);A;365"<12>
        .ascii "A;Skua (club);meter misread;002405"<12>
        .ascii "C;Skua (club);mast crane;0375{"<12>
        .ascii "D;Skua (club);returned;J0000"<12>
        .ascii "M;Merganser;C;001"<12>
        .ascii "S;Merganser;diver;012345-;4"<12>
        .ascii "C;Merganser;tide tables;0000I"<12>
        .ascii "R;Merganser;cash;+0001475"<12>
dues_end:
        .even

; A day at the berth by class, in cents: five digits packed, two to a byte, the last half byte is the sign (14 octal is +), 10 and 11 octal are 8 and 9.

classes: .ascii /ABCD/
classes_end:
        .even
rates:  .byte 0*20+0, 3*20+2, 5*20+14           ; A  3.25
        .byte 0*20+0, 4*20+10, 0*20+14          ; B  4.80
        .byte 0*20+0, 7*20+1, 5*20+14           ; C  7.15
        .byte 0*20+1, 2*20+3, 7*20+14           ; D 12.37
        .even
