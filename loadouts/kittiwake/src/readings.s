; A day of the tide gauge of Kittiwake Point: what chart.s fits a tide to.  Invented: a tide and some noise of the waves.
; Change it and assemble both again.  Numbers are decimal (they end with a point).

station: .asciz /Kittiwake Point Tide Station/
date:   .asciz /19 March 1977/
        .even

; A line for each constituent, at most four, and 0. behind the last one:
;             speed, thousandths of a degree an hour, below 65.536 degrees      its name

parts:  .word 28984.,                                                           twice
        .word 15041.,                                                           once
        .word 57968.,                                                           four
        .word    0.
twice:  .asciz /moon, twice a day/
once:   .asciz /sun and moon, once/
four:   .asciz /shallow water, four/
        .even

count:  .word 97.               ; how many readings, at most 145.
every:  .word 15.               ; minutes between two, at most 225.; the first is of 00:00

; The readings, in mm above chart datum, 8 a line; below it they are negative.

heights:
        .word 1618., 1831., 2010., 2216., 2442., 2638., 2801., 2968. ; 00:00
        .word 3161., 3301., 3435., 3555., 3666., 3757., 3812., 3870. ; 02:00
        .word 3900., 3895., 3850., 3823., 3759., 3703., 3524., 3449. ; 04:00
        .word 3292., 3122., 2941., 2748., 2508., 2297., 2109., 1897. ; 06:00
        .word 1662., 1516., 1334., 1130.,  994.,  848.,  770.,  722. ; 08:00
        .word  679.,  680.,  711.,  782.,  866.,  963., 1096., 1252. ; 10:00
        .word 1439., 1647., 1833., 2042., 2296., 2523., 2699., 2897. ; 12:00
        .word 3130., 3298., 3451., 3632., 3773., 3920., 3979., 4086. ; 14:00
        .word 4172., 4199., 4250., 4216., 4201., 4175., 4071., 3976. ; 16:00
        .word 3846., 3698., 3519., 3353., 3123., 2936., 2695., 2482. ; 18:00
        .word 2262., 2009., 1804., 1563., 1380., 1190., 1067.,  919. ; 20:00
        .word  789.,  699.,  705.,  672.,  671.,  720.,  802.,  937. ; 22:00
        .word 1042.                                                  ; 24:00
