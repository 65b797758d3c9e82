; Boot ROM for the fast paper tape reader, in a socket of 64 words at 773000 (assemble with loader.s).
;
; The board reads its start switches in place of the words 773024 and 773026, so nothing may stand there: the
; subroutine comes before them and the rest behind them.  Start: 773030.

reader = 177550
frames = 173000
begin  = 173030
