"""An address is not one the board can be set to, but is with two digits swapped.

What is checked
    Whether an address that the loadout states is among those its board can be set to; if not, whether one of those
    differs from it by two neighbouring digits only.

Why it matters
    Octal addresses are read aloud, copied and set bit by bit.  One slip, and the registers answer elsewhere, or the
    loadout tells of a board that nobody has.

Example
    machine.yaml:12:60: doubt ADDR-005 address-misread-octal [main/a/2AB]: the address 775600 is none the board can be
    set to; 776500 is, with two digits swapped (common-practice).

Putting it right
    Look at the switches again and correct the one or the other.

Known limits
    Lists of settings are partly unconfirmed, so an address outside them that resembles none is not held against the
    board.  Addresses read as decimal are refused by the reader of the loadout, with the octal form beside them.

Sources
    common-practice: swapped digits are the usual slip.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.catalogue.model import RegistersEntry
from minisim.findings import Severity
from minisim.known import Evidence, Known
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule, same_as
from minisim.rules._facts import IO_PAGE, known, octal18, registers_subject, short
from minisim.wiring.floating import address_rank
from minisim.wiring.floating_ranks import FLOATING_FIRST, FLOATING_LAST
from minisim.wiring.model import Wired, WiredRegisters


@rule(
    id="ADDR-005",
    slug="address-misread-octal",
    severity=Severity.DOUBT,
    needs=("SLOT-008", "ADDR-004"),
    sources=("common-practice",),
)
def address_misread_octal(wired: Wired) -> Iterator[Result]:
    """Look at every address the owner states."""
    told: set[int] = set()  # one switch moves all lines of a board
    for registers in wired.registers:
        subject, base = registers_subject(wired, registers), registers.base
        stated = isinstance(base, Known) and base.evidence is Evidence.OWNER
        usual = _usual(wired, registers)
        if not stated or not isinstance(base, Known) or not usual:
            yield does_not_apply(subject)
            continue
        meant = next((one for one in usual if _swapped(base.peek, one)), None)
        if _settable(wired, registers, base.peek) or meant is None:
            yield passed(subject)
        elif registers.board in told:
            yield same_as(subject, subject)
        else:
            told.add(registers.board)
            known(base, f"address of {short(wired.boards[registers.board])}")
            yield _finding(wired, registers, base.peek, meant)


def _entry(wired: Wired, registers: WiredRegisters) -> RegistersEntry | None:
    entries = wired.boards[registers.board].entry.registers
    alike = [one for one in entries if one.device == registers.device]
    return alike[0] if len(alike) == 1 else None  # several groups share one switch: their lists say too little


def _usual(wired: Wired, registers: WiredRegisters) -> tuple[int, ...]:
    """Addresses the board is set to as a rule."""
    entry = _entry(wired, registers)
    if entry is None:
        return ()
    computed = (registers.computed.peek,) if isinstance(registers.computed, Known) else ()
    return entry.at.choices or computed


def _settable(wired: Wired, registers: WiredRegisters, base: int) -> bool:
    entry = _entry(wired, registers)
    if entry is None or base in entry.at.choices or base == entry.at.first:
        return True
    row = address_rank(entry.at.rank) if entry.at.rank is not None else None
    inside = FLOATING_FIRST <= base + IO_PAGE <= FLOATING_LAST
    return row is not None and inside and base % row.modulus == 0


def _swapped(one: int, other: int) -> bool:
    """Do two addresses differ by two neighbouring digits only?"""
    first, second = octal18(one), octal18(other)
    return any(
        first[:at] + first[at + 1] + first[at] + first[at + 2 :] == second
        for at in range(len(first) - 1)
        if first[at] != first[at + 1]
    )


def _finding(wired: Wired, registers: WiredRegisters, base: int, meant: int) -> Result:
    return failed(
        registers_subject(wired, registers),
        found=f"the address {octal18(base)} is none the board can be set to",
        limit=f"{octal18(meant)} is, with two digits swapped",
        cause="the registers answer elsewhere than the loadout says",
        fix=f"read the switches of {short(wired.boards[registers.board])} again; {octal18(meant)} is likely meant",
        next_measurement=probe(
            f"at the console, read the words at {octal18(meant)} and at {octal18(base)}",
            "an answer at the first only",
            "the board can be set so after all: accept the finding",
        ),
    )
