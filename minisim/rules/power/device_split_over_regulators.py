"""One device hangs on two +5 regulators.

What is checked
    On the separate-line bus: whether all slots of a set of boards are fed by one +5 regulator, as the loadout states
    it (regulators, a name for each slot).

Why it matters
    Two regulators never stand at quite the same voltage.  Over the boards of one device one of them feeds the other,
    and the currents are not shared rightly.

Example
    machine.yaml:7:28: doubt POWER-005 device-split-over-regulators [main/a/1-2]: one device hangs on the +5 regulators
    first (slot 1) and second (slot 2); one regulator must feed all of it (sync-mux-manual).

Putting it right
    Move the harness, or the boards, so that one regulator feeds all slots of the set.

Known limits
    Which regulator feeds which slot is asked only where the supply of the box holds plug-in regulators and a set
    covers several slots.

Sources
    sync-mux-manual: one regulator to a device.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import at_mark, board_subject
from minisim.wiring.model import Wired, WiredBoard, WiredUnit


@rule(
    id="POWER-005",
    slug="device-split-over-regulators",
    severity=Severity.DOUBT,
    needs=("SLOT-008", "SLOT-006"),
    sources=("sync-mux-manual",),
)
def device_split_over_regulators(wired: Wired) -> Iterator[Result]:
    """Look at the regulators behind the slots of every set."""
    for board in wired.boards:
        subject, unit = board_subject(board), wired.units[board.unit]
        slots = board.place.slots
        if wired.bus != "sep" or len(slots) < 2:
            yield does_not_apply(subject)
            continue
        feeds = {unit.regulators[slot] for slot in slots if slot in unit.regulators}
        if len(feeds) > 1:
            yield _finding(board, unit)
        elif all(slot in unit.regulators for slot in slots):
            yield passed(subject)
        elif _has_regulators(wired, unit):
            yield not_checked(subject, f"which +5 regulator feeds each slot of {board.place}")
        else:
            yield does_not_apply(subject)


def _has_regulators(wired: Wired, unit: WiredUnit) -> bool:
    box = next(one for one in wired.boxes if one.id == unit.box)
    return box.supply is not None and isinstance(box.supply.regulators, Known)


def _finding(board: WiredBoard, unit: WiredUnit) -> Result:
    first, *others = [slot for slot in board.place.slots if slot in unit.regulators]
    name = unit.regulators[first]
    odd = next(slot for slot in others if unit.regulators[slot] != name)
    return failed(
        at_mark(board, unit.regulators_marks[odd]),
        found=f"one device hangs on the +5 regulators {name} (slot {first}) and {unit.regulators[odd]} (slot {odd})",
        limit="one regulator must feed all of it",
        cause="the currents are not shared rightly: one regulator works against the other",
        fix=f"feed slots {board.place.slots[0]} to {board.place.slots[-1]} from one regulator",
        next_measurement=probe(
            f"with power on, measure +5 at slots {first} and {odd} against each other",
            "a difference of some 10 mV that changes with the load",
            "one regulator feeds both: correct the loadout",
        ),
    )
