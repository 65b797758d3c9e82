"""The table of instruction codes (facts on the processor, section 1), and the decoder made from it.

One row is one line of the printed table: the code in octal with its field letters, the names, the module it needs.

  *       bit 15: clear for the word form, set for the byte form
  S D     a digit of a source or destination field (two digits: mode, register)
  R N     a register digit, a digit of a count
  +XX     a signed byte, counted in words
  A-B     every code from A to B

The table is kept whole, with the modules that are no part of the base set, because the count of owned and reserved
words for each profile is a check value.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import cache

WORDS = 1 << 16


@dataclass(frozen=True)
class Row:
    """One line of the table.  `names` has one name, or two: word form and byte form."""

    pattern: str
    names: tuple[str, ...]
    module: str
    form: str

    def name(self, word: int) -> str:
        """The name of the form that the word selects."""
        return self.names[1] if self.pattern[0] == "*" and word & 0o100000 else self.names[0]


def _rows(module: str, form: str, lines: str) -> list[Row]:
    """Rows of one module and operand form; a line is: pattern, then one name, or two with a stroke between."""
    rows = []
    for line in lines.strip().splitlines():
        pattern, names = line.split()
        rows.append(Row(pattern, tuple(names.split("/")), module, form))
    return rows


# Operand forms: none, count (of SPL, MARK), codes (which condition codes), branch, register,
# register-destination (JSR, XOR), loop (SOB), one, one-byte, two, jump, arithmetic (EIS: a register, then a source),
# other (not executed by this specification).
TABLE: list[Row] = [
    *_rows(
        "base",
        "none",
        """
        000000 HALT
        000001 WAIT
        000002 RTI
        000003 BPT
        000004 IOT
        000005 RESET
        104000-104377 EMT
        104400-104777 TRAP
    """,
    ),
    *_rows("rtt", "none", "000006 RTT"),
    *_rows("mfpt", "none", "000007 MFPT"),
    *_rows("base", "jump", "0001DD JMP"),
    *_rows("base", "register", "00020R RTS"),
    *_rows("spl", "count", "00023N SPL"),
    *_rows(
        "base",
        "codes",
        """
        000240-000257 CLEAR-CODES
        000260-000277 SET-CODES
    """,
    ),
    *_rows(
        "base",
        "branch",
        """
        000400+XX BR
        001000+XX BNE
        001400+XX BEQ
        002000+XX BGE
        002400+XX BLT
        003000+XX BGT
        003400+XX BLE
        100000+XX BPL
        100400+XX BMI
        101000+XX BHI
        101400+XX BLOS
        102000+XX BVC
        102400+XX BVS
        103000+XX BCC
        103400+XX BCS
    """,
    ),
    *_rows("base", "register-destination", "004RDD JSR"),
    *_rows(
        "base",
        "one",
        """
        0003DD SWAB
        *050DD CLR/CLRB
        *051DD COM/COMB
        *052DD INC/INCB
        *053DD DEC/DECB
        *054DD NEG/NEGB
        *055DD ADC/ADCB
        *056DD SBC/SBCB
        *057DD TST/TSTB
        *060DD ROR/RORB
        *061DD ROL/ROLB
        *062DD ASR/ASRB
        *063DD ASL/ASLB
    """,
    ),
    *_rows("mark", "count", "0064NN MARK"),
    *_rows("sxt", "one", "0067DD SXT"),
    *_rows(
        "base",
        "two",
        """
        *1SSDD MOV/MOVB
        *2SSDD CMP/CMPB
        *3SSDD BIT/BITB
        *4SSDD BIC/BICB
        *5SSDD BIS/BISB
        06SSDD ADD
        16SSDD SUB
    """,
    ),
    *_rows("xor", "register-destination", "074RDD XOR"),
    *_rows("sob", "loop", "077RNN SOB"),
    *_rows(
        "ps",
        "one-byte",
        """
        1064SS MTPS
        1067DD MFPS
    """,
    ),
    *_rows(
        "multiprocessor",
        "one",
        """
        0072DD TSTSET
        0073DD WRTLCK
    """,
    ),
    *_rows(
        "mmu",
        "other",
        """
        0065SS MFPI
        0066DD MTPI
        1065SS MFPD
        1066DD MTPD
    """,
    ),
    *_rows("csm", "other", "0070DD CSM"),
    *_rows(
        "eis",
        "arithmetic",
        """
        070RSS MUL
        071RSS DIV
        072RSS ASH
        073RSS ASHC
    """,
    ),
    *_rows(
        "fis",
        "other",
        """
        07500R FADD
        07501R FSUB
        07502R FMUL
        07503R FDIV
    """,
    ),
    *_rows("fpp", "other", "170000-177777 FLOATING"),
    *_rows(
        "cis",
        "other",
        """
        07602R L2DR
        07606R L3DR
        076030-076032 STRING-MOVES
        076130-076132 STRING-MOVES-INLINE
        076040-076045 STRING-SEARCHES
        076140-076145 STRING-SEARCHES-INLINE
        076050-076057 NUMERIC
        076150-076157 NUMERIC-INLINE
        076070-076077 PACKED
        076170-076177 PACKED-INLINE
    """,
    ),
]

FIELD_LETTERS = "SDRN"


def words_of(pattern: str) -> list[int]:
    """All first words that a pattern covers."""
    if "-" in pattern:
        first, last = (int(end, 8) for end in pattern.split("-"))
        return list(range(first, last + 1))
    if pattern.endswith("+XX"):
        base = int(pattern[:-3], 8)
        return list(range(base, base + 0o400))
    digits: list[tuple[int, ...]] = []
    for place, digit in enumerate(pattern):
        if digit in FIELD_LETTERS:
            digits.append(tuple(range(8)))
        elif digit == "*":
            digits.append((0, 1))
        else:
            digits.append((int(digit, 8),))
        if place == 0:
            assert max(digits[0]) < 2, f"{pattern}: the first digit is one bit"
    return [int("".join(map(str, choice)), 8) for choice in itertools.product(*digits)]


@cache
def whole_table() -> tuple[Row | None, ...]:
    """For every first word the row that covers it, whatever the profile; two rows for one word are a mistake here."""
    owners: list[Row | None] = [None] * WORDS
    for row in TABLE:
        for word in words_of(row.pattern):
            assert owners[word] is None, f"{word:06o}: {owners[word]} and {row}"
            owners[word] = row
    return tuple(owners)


@cache
def decoder(modules: frozenset[str]) -> tuple[Row | None, ...]:
    """For every first word the row that owns it on a machine with these modules, or None: reserved."""
    return tuple(row if row is not None and row.module in modules else None for row in whole_table())
