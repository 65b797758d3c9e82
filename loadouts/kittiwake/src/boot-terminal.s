; Boot ROM for the tape reader of the console terminal, in a window at 773000 (assemble with loader.s).
;
; A processor that is strapped to start in its boot ROM begins at the first word.  Start: 773000.

reader = 177560
begin  = 173000
frames = 173160
