"""Memory gets 15 V where it needs 12 V, or the reverse.

What is checked
    On the separate-line bus: whether the volts that a memory board takes on the memory pins of modified and extended
    slots are those the backplane is wired for.

Why it matters
    MOS memory of one kind takes 12 V, memory of another kind 15 V, on the same pins.  The wrong volts destroy the
    memory chips at power-up.

Example
    machine.yaml:9:7: damage POWER-001 memory-rail-conflict [main/a/9]: the board takes 15 V on its memory pins, the
    backplane gives 12 V; both must be the same (slot-kinds-post).

Putting it right
    Use a backplane or a strapping of the supply with the volts of the board, measured before the board goes in.

Known limits
    For many backplanes the volts on these pins are not known: measure, and state them (memory-volts).  Boards that take
    either are no conflict.  The multiplexed bus has no such pins.

Sources
    slot-kinds-post: 12 and 15 V on the memory pins, and what a mix-up does.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, known, short
from minisim.wiring.model import Wired, WiredBoard

FED_SLOTS = frozenset({"modified", "extended"})
VOLTS = {"+12": "12", "-12": "12", "+15": "15", "-15": "15"}


@rule(
    id="POWER-001",
    slug="memory-rail-conflict",
    severity=Severity.DAMAGE,
    needs=("SLOT-008", "SLOT-004", "SLOT-010"),
    sources=("slot-kinds-post",),
)
def memory_rail_conflict(wired: Wired) -> Iterator[Result]:
    """Compare the volts each memory board takes with those of its slot."""
    for board in wired.boards:
        subject, wants = board_subject(board), volts_wanted(board)
        fed = bool(FED_SLOTS & set(board.kinds))
        if wired.bus != "sep" or board.entry.memory is None or not (fed or _may_be_fed(board)):
            yield does_not_apply(subject)
            continue
        if not board.kinds:
            yield not_checked(subject, f"slot kinds of backplane {board.place.box}/{board.place.unit}")
            continue
        if len(wants) != 1:
            yield (
                passed(subject)
                if wants or board.entry.amps_known
                else (not_checked(subject, f"rails of {short(board)}"))
            )
            continue
        yield _compared(wired, board, wants.copy().pop())


def _may_be_fed(board: WiredBoard) -> bool:
    return not board.kinds and bool(FED_SLOTS & set(board.entry.slots))


def volts_wanted(board: WiredBoard) -> set[str]:
    """The memory volts a board can take: 12, 15 or both."""
    return {VOLTS[rail] for rail in board.entry.amps if rail in VOLTS}


def _compared(wired: Wired, board: WiredBoard, wants: str) -> Result:
    subject, unit = board_subject(board), wired.units[board.unit]
    name = f"{unit.box}/{unit.id}"
    rail = unit.memory_volts
    if not isinstance(rail, Known):
        return not_checked(subject, f"volts on the memory pins of {name}")
    gives = str(known(rail, f"volts on the memory pins of {name}"))
    if gives == wants:
        return passed(subject)
    if gives not in VOLTS.values():
        return not_checked(subject, f"volts on the memory pins of {name}")
    return failed(
        subject,
        found=f"the board takes {wants} V on its memory pins and the backplane gives {gives} V",
        limit="both must be the same",
        unit="V",
        cause="the memory chips are destroyed at power-up",
        fix=f"take the board out before power comes on, and strap the supply of {name} for {wants} V",
        next_measurement=probe(
            "with the board out, power on, measure the memory pins of the slot",
            f"{gives} V",
            "the backplane is strapped otherwise: write memory-volts into the loadout",
        ),
    )
