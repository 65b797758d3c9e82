"""A cable is not of a kind that leads to its drive.

What is checked
    Whether each kind of cable named in the loadout, by cable and through, is one of those that the catalogue names for
    the drive, printer or terminal it leads to, or for the panel of its board.

Why it matters
    Cables with the same plugs have different wires: those of floppies and fixed disks, those of current loops and
    voltage levels.  The chain from board to drive is not closed.

Example
    machine.yaml:14:5: doubt CABLE-002 cable-does-not-fit [main/a/2AB]: fixed-disk-control-cable leads to
    floppy-8-inch-single-pair; that takes floppy-cable (common-practice).

Putting it right
    Take the cable made for both ends.

Known limits
    Where the loadout names no kind of cable, nothing is checked.  Cables made by their owner: accept the finding.

Sources
    common-practice: each drive has its kinds of cable; the catalogue entries name theirs.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import machine_subject
from minisim.wiring.model import Wired, WiredBoard, WiredCable


@rule(
    id="CABLE-002",
    slug="cable-does-not-fit",
    severity=Severity.DOUBT,
    needs=("SLOT-008", "CABLE-001"),
    sources=("common-practice",),
)
def cable_does_not_fit(wired: Wired) -> Iterator[Result]:
    """Compare the kind of each cable with those its drive takes."""
    if not wired.cables:
        yield does_not_apply(machine_subject(wired))
    for one in wired.cables:
        board = wired.boards[one.board] if one.board is not None else None
        subject = Subject(str(board.place) if board else one.end.board, board.name if board else "", one.end.mark)
        named = [cable.id for cable in (one.cable, *one.through) if cable is not None]
        wrong = [cable for cable in named if cable not in _fitting(board, one)]
        if not named:
            yield does_not_apply(subject)
        elif not one.drive.cables:
            yield not_checked(subject, f"kinds of cable that lead to {one.drive.id}")
        elif not wrong:
            yield passed(subject)
        else:
            yield failed(
                subject,
                found=f"{wrong[0]} leads to {one.drive.id}",
                limit=f"that takes {' or '.join(one.drive.cables)}",
                cause="wires of the cable go to other pins: the drive does not answer",
                fix=f"take {one.drive.cables[0]}",
                next_measurement=probe(
                    "with power off, count the wires and look at the plugs at both ends",
                    "the cable named in the loadout",
                    "correct the kind of cable in the loadout",
                ),
            )


def _fitting(board: WiredBoard | None, one: WiredCable) -> set[str]:
    """Cables that end at the drive, those before them in its chain, and those to the panel of the board."""
    panel = board.entry.panel if board is not None else None
    to_panel = panel.peek if isinstance(panel, Known) else ()
    return {*one.drive.cables, *(cable for step in one.drive.chain for cable in step), *to_panel}
