"""The five loops, each as a program of our assembler, as x86-16 code and as the name of a function in native.c.

All three do the same work on the same bytes (layout.py), pass after pass, until the word at PASSES is 0.  The x86-16
code goes instruction for instruction as far as that architecture allows: it has no instruction with two operands in
memory, no step of a pointer in an operand, and a subtract and jump is faster there than its own loop instruction.
"""

from __future__ import annotations

from dataclasses import dataclass

from bench import layout
from bench.x86 import CODES


@dataclass(frozen=True, slots=True)
class Workload:
    """One loop; `source` without the places, which `text` puts before it."""

    name: str
    does: str
    source: str

    @property
    def text(self) -> str:
        """The whole program for our assembler."""
        return PLACES + self.source

    @property
    def other_code(self) -> bytes:
        """The x86-16 code."""
        return CODES[self.name]


PLACES = f"""
passes = {layout.PASSES:o}
count  = {layout.FIRST_RESULT:o}
sum    = {layout.FIRST_RESULT:o}
other  = {layout.SECOND_RESULT:o}
left   = {layout.LEFT:o}
right  = {layout.RIGHT:o}
data   = {layout.DATA:o}
second = {layout.SECOND_DATA:o}
        . = {layout.CODE:o}
"""

SIEVE = """
again:  MOV     #data, R1
        MOV     #8191., R2
1$:     MOVB    #1, (R1)+
        SOB     R2, 1$
        CLR     R0
        CLR     R4
2$:     TSTB    data(R0)
        BEQ     5$
        MOV     R0, R2
        ADD     R0, R2
        ADD     #3, R2
        MOV     R0, R3
        BR      4$
3$:     CLRB    data(R3)
4$:     ADD     R2, R3
        CMP     R3, #8191.
        BLO     3$
        INC     R4
5$:     INC     R0
        CMP     R0, #8191.
        BNE     2$
        ADD     R4, @#count
        DEC     @#passes
        BNE     again
        HALT
"""

COPY = """
again:  INC     @#data          ; so that each pass copies something new
        MOV     #data, R1
        MOV     #second, R2
        MOV     #4000., R3
1$:     MOV     (R1)+, (R2)+
        SOB     R3, 1$
        DEC     @#passes
        BNE     again
        HALT
"""

RMW = """
again:  MOV     #data, R1
        MOV     #2000., R3
        CLR     R4
1$:     INC     (R1)
        ADD     (R1)+, @#sum
        MOV     R1, R2
        ASL     R2
        CMP     #8096., R2      ; the middle of the data, twice its address
        BNE     2$
        INC     R4
2$:     SOB     R3, 1$
        ADD     R4, @#other
        DEC     @#passes
        BNE     again
        HALT
"""

MUL = """
again:  MOV     #data, R1
        MOV     #second, R5
        MOV     #200., R4
1$:     MOV     (R1)+, @#left
        MOV     (R1)+, @#right
        JSR     PC, times
        MOV     @#other, (R5)+
        ADD     @#other, @#sum
        SOB     R4, 1$
        DEC     @#passes
        BNE     again
        HALT
times:  MOV     @#left, R2
        MOV     @#right, R3
        CLR     R0
1$:     BIT     #1, R3
        BEQ     2$
        ADD     R2, R0
2$:     ASL     R2
        CLC
        ROR     R3
        BNE     1$
        MOV     R0, @#other
        RTS     PC
"""

REG = """
again:  MOV     @#sum, R2
        MOV     @#other, R3
        MOV     #10000., R0
1$:     MOV     R0, R1
        ASL     R1
        ADD     R1, R2
        INC     R2
        BIS     R2, R3
        COM     R3
        SOB     R0, 1$
        MOV     R2, @#sum
        MOV     R3, @#other
        DEC     @#passes
        BNE     again
        HALT
"""

LOOPS = (
    Workload("sieve", "prime sieve over 8,191 byte flags", SIEVE),
    Workload("copy", "4,000 words, MOV (R1)+,(R2)+ and SOB", COPY),
    Workload("rmw", "INC (R1), ADD (R1)+,@#a, MOV, ASL, CMP #, BNE over 2,000 words", RMW),
    Workload("mul", "200 multiplications by shift and add in a subroutine, operands in memory", MUL),
    Workload("reg", "six instructions on registers and SOB", REG),
)
LOOP = {workload.name: workload for workload in LOOPS}
