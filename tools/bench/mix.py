"""Writes the mix: a long straight program of random groups of instructions, the same for the same seed.

All addressing modes, words and bytes, branches on what the data are, loops, subroutines, the stack.  It never leaves
plain memory: R4 always points into the data and R5 into the table of addresses, at places known while it is written
(what a branch may pass over does not move them), and R3 is a masked, even offset or the counter of a loop.  R0 to R2
hold what they may.  Groups that the processor would trap on (odd addresses of words) are never written.
"""

from __future__ import annotations

import random

from bench import layout

SEED = 1976
GROUPS = 400
DATA, DATA_BYTES = 0o40000, 0o4000
TABLE, TABLE_WORDS = 0o44000, 0o100
OFFSETS = 0o1000  # what R3 stays below
MARGIN = 0o40  # how far R4 and R5 keep from the ends

WORDS_TWO = ("MOV", "MOV", "MOV", "MOV", "ADD", "ADD", "SUB", "CMP", "BIT", "BIC", "BIS", "XOR")
BYTES_TWO = ("MOVB", "MOVB", "CMPB", "BITB", "BICB", "BISB")
WORDS_ONE = ("INC", "DEC", "NEG", "COM", "ADC", "SBC", "TST", "ROR", "ROL", "ASR", "ASL", "SWAB", "SXT", "CLR")
BYTES_ONE = ("INCB", "DECB", "NEGB", "COMB", "ADCB", "SBCB", "TSTB", "RORB", "ROLB", "ASRB", "ASLB", "CLRB")
BRANCHES = (
    "BNE", "BEQ", "BPL", "BMI", "BVC", "BVS", "BCC", "BCS", "BGE", "BLT", "BGT", "BLE", "BHI", "BLOS",
)  # fmt: skip
STIRRER = 0o46000  # a word that is another one in each pass; it goes into the data, so that they never come to rest
STIR = f"""
again:  ADD     #54321, @#{STIRRER:o}
        MOV     #{DATA:o}, R4
        MOV     #{DATA_BYTES // 32:o}, R3
1$:     ADD     @#{STIRRER:o}, (R4)
        ADD     #40, R4
        SOB     R3, 1$
"""
READ_ONLY = ("CMP", "BIT", "TST", "CMPB", "BITB", "TSTB")


def text(seed: int = SEED, groups: int = GROUPS) -> str:
    """The program as text for our assembler; it starts at 1000 and has no end."""
    return Writer(random.Random(seed)).program(groups)


class Writer:
    """Holds what is known of the registers at this point of the program."""

    def __init__(self, source: random.Random) -> None:
        self._random = source
        self._lines: list[str] = []
        self._labels = 0
        self._data = self._table = 0  # offsets of R4 and R5
        self._in_loop = False

    def program(self, groups: int) -> str:
        """Everything."""
        kinds = (self.plain, self.branch, self.counted, self.call, self.stack, self.offset, self.point)
        self._lines = [f"        . = {layout.CODE:o}", *STIR.splitlines()]
        self.point()
        self.offset()
        for kind in self._random.choices(kinds, weights=(4, 3, 1, 1, 1, 1, 1), k=groups):
            kind()
        self.line("JMP     @#again")
        self.subroutines()
        self.contents()
        return "\n".join(self._lines) + "\n"

    # --- groups -------------------------------------------------------------------------------------------------------

    def plain(self) -> None:
        """One to four instructions."""
        for _ in range(self._random.randint(1, 4)):
            if not self.inside():
                self.point()
            self.instruction(moves=True)

    def branch(self) -> None:
        """A comparison, and a branch over up to three instructions, sometimes to an else."""
        tested = self.operand(False, False, writes=True)
        if self._random.random() < 0.6:
            tested = f"R{self._random.randrange(3)}"
            self.line(f"ADD     @#{STIRRER:o}, {tested}")
        self.line(self._random.choice((f"CMP     {tested}, {self.operand(False, False)}", f"TST     {tested}")))
        past, end = self.label(), self.label()
        self.line(f"{self._random.choice(BRANCHES):8}{past}")
        self.several(3)
        has_else = self._random.random() < 0.3
        if has_else:
            self.line(f"BR      {end}")
        self._lines.append(f"{past}:")
        if has_else:
            self.several(2)
            self._lines.append(f"{end}:")

    def counted(self) -> None:
        """A loop of two to six turns with SOB that walks through the data."""
        turns = self._random.randint(2, 6)
        self.point()
        self.line(f"MOV     #{turns:o}, R3")
        top = self.label()
        self._lines.append(f"{top}:")
        self._in_loop = True
        verb = self._random.choice(("ADD", "XOR", "BIC", "BIS", "SUB", "MOV"))
        self.line(f"{verb:8}R{self._random.randrange(3)}, (R4)+")
        self._data += 2 * turns
        self.several(2)
        self._in_loop = False
        self.line(f"SOB     R3, {top}")

    def call(self) -> None:
        """A subroutine call, by PC or by a linkage register."""
        number = self._random.randrange(8)
        where = self._random.choice((f"sub{number}", f"@#sub{number}"))
        self.line(f"JSR     {'R3' if number & 1 else 'PC'}, {where}")

    def stack(self) -> None:
        """Words pushed, something done, the same number pulled."""
        depth = self._random.randint(1, 3)
        for _ in range(depth):
            self.line(f"MOV     {self.operand(False, False)}, -(SP)")
        self.line(f"{self._random.choice(('ADD', 'XOR', 'BIS')):8}R{self._random.randrange(3)}, @SP")
        for _ in range(depth):
            self.line(f"MOV     (SP)+, {self.operand(False, False, writes=True)}")

    def offset(self) -> None:
        """R3 becomes an even offset that depends on the data."""
        self.line(f"MOV     @#{self.address():o}, R3")
        self.line(f"BIC     #{0o177777 & ~(OFFSETS - 2):o}, R3")

    def point(self) -> None:
        """R4 and R5 to new places."""
        self._data = self._random.randrange(MARGIN, DATA_BYTES - MARGIN, 2)
        self._table = self._random.randrange(MARGIN, 2 * TABLE_WORDS - MARGIN, 2)
        self.line(f"MOV     #{DATA + self._data:o}, R4")
        self.line(f"MOV     #{TABLE + self._table:o}, R5")

    # --- instructions -------------------------------------------------------------------------------------------------

    def several(self, most: int) -> None:
        """Instructions that leave R3, R4 and R5 alone, so that a branch may pass over them."""
        for _ in range(self._random.randint(1, most)):
            self.instruction(moves=False)

    def instruction(self, moves: bool) -> None:
        """One with one or two operands; `moves`: its operands may step R4 and R5."""
        kind = self._random.random()
        if kind < 0.05:
            self.line(self._random.choice(("CLC", "SEC", "CLV", "CLC!CLV", "SEZ", "SEN!SEC")))
        elif kind < 0.30:
            byte = self._random.random() < 0.35
            verb = self._random.choice(BYTES_ONE if byte else WORDS_ONE)
            self.line(f"{verb:8}{self.operand(byte, moves, writes=verb not in READ_ONLY)}")
        else:
            self.two(self._random.random() < 0.3, moves)

    def two(self, byte: bool, moves: bool) -> None:
        """One with two operands.  The source is settled before the destination, so R4 is followed in that order."""
        verb = self._random.choice(BYTES_TWO if byte else WORDS_TWO)
        first = f"R{self._random.randrange(3)}" if verb == "XOR" else self.operand(byte, moves)
        self.line(f"{verb:8}{first}, {self.operand(byte, moves, writes=verb not in READ_ONLY)}")

    def operand(self, byte: bool, moves: bool, writes: bool = False) -> str:
        """An operand in any mode that is legal here; one that only reads may be immediate."""
        even = self._data % 2 == 0
        choices = [self.register, self.register, self.absolute, self.relative, self.relative_deferred]
        choices += [self.indexed, self.table_indexed]
        choices += [] if writes else [self.immediate]
        choices += [self.by_offset] if not self._in_loop else []
        choices += [lambda byte: "(R4)", lambda byte: "(R4)"] if byte or even else []
        choices += [self.table_up, self.table_down] if moves else []
        choices += [self.up, self.up, self.down] if moves and (byte or even) else []
        return self._random.choice(choices)(byte)

    def inside(self) -> bool:
        """Are R4 and R5 far enough from the ends of what they walk through for one more instruction?"""
        return 8 <= self._data < DATA_BYTES - 8 and 8 <= self._table < 2 * TABLE_WORDS - 8

    def register(self, byte: bool) -> str:
        """Mode 0."""
        return f"R{self._random.randrange(3)}"

    def up(self, byte: bool) -> str:
        """Mode 2."""
        self._data += 1 if byte else 2
        return "(R4)+"

    def down(self, byte: bool) -> str:
        """Mode 4."""
        self._data -= 1 if byte else 2
        return "-(R4)"

    def table_up(self, byte: bool) -> str:
        """Mode 3."""
        self._table += 2
        return "@(R5)+"

    def table_down(self, byte: bool) -> str:
        """Mode 5."""
        self._table -= 2
        return "@-(R5)"

    def indexed(self, byte: bool) -> str:
        """Mode 6 from R4."""
        return signed(self.address(byte) - DATA - self._data) + "(R4)"

    def by_offset(self, byte: bool) -> str:
        """Mode 6 from R3, whose value depends on the data."""
        return f"{DATA + self._random.randrange(0, DATA_BYTES - OFFSETS, 1 if byte else 2):o}(R3)"

    def table_indexed(self, byte: bool) -> str:
        """Mode 7."""
        return f"@{signed(self._random.randrange(0, 2 * TABLE_WORDS, 2) - self._table)}(R5)"

    def immediate(self, byte: bool) -> str:
        """Mode 2 of PC."""
        return f"#{self._random.randrange(0o400 if byte else 0o200000):o}"

    def absolute(self, byte: bool) -> str:
        """Mode 3 of PC."""
        return f"@#{self.address(byte):o}"

    def relative(self, byte: bool) -> str:
        """Mode 6 of PC."""
        return f"{self.address(byte):o}"

    def relative_deferred(self, byte: bool) -> str:
        """Mode 7 of PC."""
        return f"@{TABLE + self._random.randrange(0, 2 * TABLE_WORDS, 2):o}"

    def address(self, byte: bool = False) -> int:
        """An address in the data."""
        return DATA + self._random.randrange(0, DATA_BYTES, 1 if byte else 2)

    # --- the rest -----------------------------------------------------------------------------------------------------

    def subroutines(self) -> None:
        """Eight short ones; the odd ones return by R3, which then is what it was."""
        for number in range(8):
            self._lines.append(f"sub{number}:")
            for _ in range(self._random.randint(1, 3)):
                verb = self._random.choice(("ADD", "SUB", "BIC", "BIS", "MOV", "CMP"))
                self.line(f"{verb:8}@#{self.address():o}, R{self._random.randrange(3)}")
            self.line(f"RTS     {'R3' if number & 1 else 'PC'}")

    def contents(self) -> None:
        """Random data, and the table of even addresses in them."""
        self._lines.append(f"        . = {DATA:o}")
        for _ in range(DATA_BYTES // 16):
            self.line(".word   " + ", ".join(f"{self._random.randrange(0o200000):o}" for _ in range(8)))
        self._lines.append(f"        . = {TABLE:o}")
        for _ in range(TABLE_WORDS // 8):
            self.line(".word   " + ", ".join(f"{self.address():o}" for _ in range(8)))
        self._lines.append(f"        . = {STIRRER:o}")
        self.line(".word   1")

    def line(self, text: str) -> None:
        """One statement."""
        self._lines.append(f"        {text}")

    def label(self) -> str:
        """A new label."""
        self._labels += 1
        return f"at{self._labels}"


def signed(value: int) -> str:
    """A signed octal number."""
    return f"-{-value:o}" if value < 0 else f"{value:o}"
