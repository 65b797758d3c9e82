"""A floating register address differs from the one computed for it.

What is checked
    Whether every unit whose address floats stands where the published order of kinds puts it, counted over all units
    of this machine.  The finding gives the old and the new address.

Why it matters
    System software probes upward through the floating block.  A board at another place is taken for another kind, or
    for a unit that is not there; taking one board out moves those behind it.

Example
    machine.yaml:12:66: doubt ADDR-002 floating-address-out-of-order [main/a/2AB]: the multiplexer is set to 760110; by
    the order of kinds it belongs at 760100 (float-address-wiki, float-post-2016, address-selection-paper).

Putting it right
    Set the switches of the board to the computed address.

Known limits
    Software that is told its addresses doesn't care: accept the finding for it.  Kinds behind the published table have
    no computed place.  How far the gap behind a kind reaches is disputed (D1); the reading taken agrees with every
    published example.

Sources
    float-address-wiki: the order of kinds, the gaps.
    float-post-2016: what software makes of a misplaced board.
    address-selection-paper: why the order exists.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known, Unknown
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import device_name, known, octal18, registers_subject, short
from minisim.rules._floating import first_place
from minisim.wiring.floating import address_rank
from minisim.wiring.model import Wired, WiredRegisters


@rule(
    id="ADDR-002",
    slug="floating-address-out-of-order",
    severity=Severity.DOUBT,
    needs=("SLOT-008", "ADDR-004", "ADDR-005"),
    sources=("float-address-wiki", "float-post-2016", "address-selection-paper"),
)
def floating_address_out_of_order(wired: Wired) -> Iterator[Result]:
    """Compare each floating address with the computed one."""
    for registers in wired.registers:
        subject, name = registers_subject(wired, registers), short(wired.boards[registers.board])
        wanted, base = registers.computed, registers.base
        first = first_place(wired, registers)
        if registers.rank is None or (isinstance(wanted, Known) and wanted.peek == first):
            yield does_not_apply(subject)
        elif not isinstance(wanted, Known) or not isinstance(base, Known):
            what = wanted.why if isinstance(wanted, Unknown) else f"address of the {device_name(registers)}"
            yield not_checked(subject, f"{what} of {name}")
        elif base.value == wanted.value:
            yield passed(subject)
        else:
            known(wanted, f"computed address of {name}")
            yield _finding(wired, registers, base.peek, wanted.peek)


def _finding(wired: Wired, registers: WiredRegisters, base: int, wanted: int) -> Result:
    name = short(wired.boards[registers.board])
    row = address_rank(registers.rank) if registers.rank is not None else None
    return failed(
        registers_subject(wired, registers),
        found=f"the {device_name(registers)} is set to {octal18(base)}",
        limit=f"by the order of kinds it belongs at {octal18(wanted)}",
        cause="software takes the board for another kind, or for a unit that is not there",
        fix=f"set {name} to {octal18(wanted)}",
        next_measurement=probe(
            f"at the console, read the word at {octal18(wanted)}",
            "no answer",
            "a board answers there: read the switches of both and write them into the loadout",
        ),
        disputed=tuple(dict.fromkeys(("D1", *((row.dispute,) if row and row.dispute else ())))),
    )
