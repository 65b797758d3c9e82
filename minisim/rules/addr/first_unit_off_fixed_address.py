"""The first unit of a kind with a fixed first address stands elsewhere.

What is checked
    For kinds whose first unit has a fixed address and only further ones float: whether one unit stands at the fixed
    address.

Why it matters
    Boot ROM and system software look for the first unit at its fixed address alone.  The device is there and is not
    found.

Example
    machine.yaml:12:62: fault ADDR-003 first-unit-off-fixed-address [main/a/2AB]: the first tape port is set to 760404;
    the first one belongs at 774500 (float-address-wiki).

Putting it right
    Set the board back to the fixed address.

Known limits
    Which of several units counts as the first is taken from the fixed address itself, then from the place on the bus.

Sources
    float-address-wiki: which kinds float only from the second unit on.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import device_name, known, octal18, registers_subject, short
from minisim.rules._floating import first_place
from minisim.wiring.floating import address_rank
from minisim.wiring.model import Wired, WiredRegisters


@rule(
    id="ADDR-003",
    slug="first-unit-off-fixed-address",
    severity=Severity.FAULT,
    needs=("SLOT-008", "ADDR-004", "ADDR-005"),
    sources=("float-address-wiki",),
)
def first_unit_off_fixed_address(wired: Wired) -> Iterator[Result]:
    """Look at the units that belong at the fixed address of their kind."""
    for registers in wired.registers:
        subject, name = registers_subject(wired, registers), short(wired.boards[registers.board])
        first, wanted = first_place(wired, registers), registers.computed
        if first is None or not (isinstance(wanted, Known) and wanted.peek == first):
            yield does_not_apply(subject)
            continue
        base = known(registers.base, f"address of {name}")
        if base is None:
            yield not_checked(subject, f"address of the {device_name(registers)} of {name}")
        elif base == first:
            yield passed(subject)
        else:
            yield _finding(wired, registers, base, first)


def _finding(wired: Wired, registers: WiredRegisters, base: int, first: int) -> Result:
    row = address_rank(registers.rank) if registers.rank is not None else None
    return failed(
        registers_subject(wired, registers),
        found=f"the first {device_name(registers)} is set to {octal18(base)}",
        limit=f"the first one belongs at {octal18(first)}",
        cause="the boot ROM and system software do not find it",
        fix=f"set {short(wired.boards[registers.board])} to {octal18(first)}",
        next_measurement=probe(
            f"at the console, read the word at {octal18(first)}",
            "no answer",
            "the board is set rightly: write its real address into the loadout",
        ),
        disputed=(row.dispute,) if row and row.dispute else (),
    )
