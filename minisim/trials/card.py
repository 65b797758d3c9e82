"""The trial card: a board that no machine ever had, for cases that need an interrupt or a bus cycle to be seen.

A program of 16 bits reaches it from 164000 on.

    764000  requests: writing a 1 raises a request, the grant clears the bit.  Bits 0 to 3 ask at level 4 with the
            vectors 300 310 320 330, bits 4 to 7 at level 5, bits 10 to 13 (octal) at level 6, bits 14 to 17 at level 7.
            Vector 300 sits nearest the processor, 330 farthest, whatever the level.
    764010  answers writes only: a read times out; what was written stands in 764014
    764012  answers reads only (052525): a write times out
    764014  answers both and keeps its word; bus initialise clears it
"""

from __future__ import annotations

from collections.abc import Sequence

from minisim.devices._device import Device, Effect, Field, Register, RequestLine, bit, clear_bits

PLACE = 0o4000
"""Offset of the card in the I/O page: 764000."""

LEVELS = (4, 5, 6, 7)
VECTORS = (0o300, 0o310, 0o320, 0o330)
SOURCE = "our own"
ALL = 0o177777
READ_ONLY_WORD = 0o052525


def request_bit(level: int, vector: int) -> int:
    """The bit of the register of requests that asks at a level through a vector."""
    return bit(len(VECTORS) * LEVELS.index(level) + VECTORS.index(vector))


def request_word(numbers: Sequence[int]) -> int:
    """The word that raises requests given as level, vector, level, vector, ..."""
    return sum(request_bit(level, vector) for level, vector in zip(numbers[::2], numbers[1::2], strict=True))


def trial_card() -> Device:
    """The card, ready to be put into a machine."""
    keep = Effect("STORE", "kept", "", ALL)
    return Device(
        id="trial-card",
        place="trial card",
        base=PLACE,
        registers=(
            Register("requests", 0, (Field("requests", ALL, "RW", "requests raised", SOURCE),), source=SOURCE),
            Register("write only", 0o10, (Field("word", ALL, "W", "the word", SOURCE),), on_write=(keep,),
                     answers="W", source=SOURCE),
            Register("read only", 0o12, (Field("word", ALL, "R", "a word", SOURCE, reset=READ_ONLY_WORD),),
                     answers="R", source=SOURCE),
            Register("kept", 0o14, (Field("word", ALL, "RW", "the word", SOURCE),), source=SOURCE),
        ),
        lines=tuple(_line(level, vector) for level in LEVELS for vector in VECTORS),
    )  # fmt: skip


def _line(level: int, vector: int) -> RequestLine:
    mask = request_bit(level, vector)
    return RequestLine(
        name=f"level {level} vector {vector:o}",
        flag=("requests", mask),
        enable=None,
        vector=vector,
        level=level,
        order=1 + VECTORS.index(vector),
        granted=True,
        on_acknowledge=(clear_bits("requests", mask),),
    )
