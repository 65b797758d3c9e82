"""More units hang on a controller than it can tell apart.

What is checked
    Whether the number of units on one board, and each unit number, stay within what the catalogue says of a controller
    of that kind.

Why it matters
    Unit numbers come by few bits.  A unit beyond them never answers, or answers together with another.

Example
    machine.yaml:16:5: fault CABLE-003 too-many-units [main/a/2AB]: unit 2 hangs on the board; it takes 2, numbered 0
    to 1 (common-practice).

Putting it right
    Give the unit another number, or hang it on a second controller.

Known limits
    Where two kinds of drive hang on one board the smaller number is not enforced for both together.

Sources
    common-practice: the number of units stands in the entry of each drive, with its own sources.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known, Unknown
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import known, machine_subject
from minisim.wiring.model import Wired, WiredCable


@rule(
    id="CABLE-003",
    slug="too-many-units",
    severity=Severity.FAULT,
    needs=("SLOT-008", "CABLE-001"),
    sources=("common-practice",),
)
def too_many_units(wired: Wired) -> Iterator[Result]:
    """Count the units of each board by the kind of drive."""
    if not wired.cables:
        yield does_not_apply(machine_subject(wired))
    for index, one in enumerate(wired.cables):
        board = wired.boards[one.board] if one.board is not None else None
        subject = Subject(str(board.place) if board else one.end.board, board.name if board else "", one.end.mark)
        if board is None or one.drive.line:
            yield does_not_apply(subject)  # terminals: one to a line, which the reader sees to
            continue
        most = known(one.drive.units, f"units of {one.drive.id} on one controller")
        if most is None:
            unsure = isinstance(one.drive.units, Unknown)
            yield not_checked(subject, f"units of {one.drive.id} on one controller") if unsure else passed(subject)
            continue
        number = sum(1 for other in wired.cables[: index + 1] if _alike(one, other))
        if one.end.unit is not None and one.end.unit >= most:
            yield _finding(wired, subject, f"unit {one.end.unit} hangs on the board", most, one)
        elif number > most:
            yield _finding(wired, subject, f"this is unit number {number} on the board", most, one)
        else:
            yield passed(subject)


def _alike(one: WiredCable, other: WiredCable) -> bool:
    return one.board == other.board and one.drive.controller == other.drive.controller


def _finding(wired: Wired, subject: Subject, found: str, most: int, one: WiredCable) -> Result:
    units = one.drive.units
    taken = {other.end.unit for other in wired.cables if _alike(one, other)}
    free = next((number for number in range(most) if number not in taken), None)
    return failed(
        subject,
        found=found,
        limit=f"it takes {most}, numbered 0 to {most - 1}" if most > 1 else "it takes one, unit 0",
        cause="the unit never answers, or answers together with another",
        fix=f"give the unit number {free}" if free is not None else "hang it on a second controller",
        next_measurement=probe(
            "with the other units off, look at the number plug or switch of the drive and read its status",
            "no answer under any number beyond the last",
            "correct the unit numbers in the loadout",
        ),
        also=tuple(
            f"unit {other.end.unit} at line {other.end.mark.line}"
            for other in wired.cables
            if other is not one and _alike(one, other)
        ),
        sources=units.sources if isinstance(units, Known) and units.sources else None,
    )
