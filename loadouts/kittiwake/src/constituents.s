; The tide at Kittiwake Point: what tides.s works out a day's table from.  Change it and assemble both again.
; Numbers are decimal (they end with a point) and not below 0.  Mean level and amplitudes together stay below 30000.

station: .asciz /Kittiwake Point Tide Station/
date:   .asciz /12 May 1976/
        .even

mean:   .word 2450.     ; mean level above chart datum, in mm

; A line for each constituent, and 0. behind the last one:
;             amplitude  speed                       lag
;             mm         thousandths of a degree     tenths of a degree, 0. to 3600.: how far behind
;                        an hour, below 65.536 deg   its own high water the constituent is at 00:00

parts:  .word 1342.,     28984.,                     1010.   ; M2  the moon, twice a day
        .word  467.,     30000.,                     1424.   ; S2  the sun, twice a day
        .word  268.,     28440.,                      756.   ; N2  the moon's changing distance
        .word  112.,     15041.,                     2817.   ; K1  sun and moon north and south of the equator
        .word   98.,     13943.,                      342.   ; O1  the moon north and south of the equator
        .word    0.
