"""A drive or terminal hangs on a board that is not its controller.

What is checked
    Whether the board a cable leaves has the device that the drive, printer or terminal at the other end needs, and
    where the catalogue names boards for it, whether it is one of these.

Why it matters
    Plugs of one shape carry different signals.  The drive does not answer, and signals or supplies may meet.

Example
    machine.yaml:13:5: fault CABLE-001 drive-on-wrong-controller [main/a/2CD]: cartridge-disk-10mb-drive hangs on M0000
    (main/a/2CD); it needs a board with cartridge disk 10mb (common-practice).

Putting it right
    Correct the place of the cable, or fit the controller of the drive.

Known limits
    Boards described in the loadout are not checked.  Panels and plugs between board and drive are not part of a
    loadout.

Sources
    common-practice: each drive has its kind of controller; the catalogue entries name theirs.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, Subject, does_not_apply, failed, passed, probe, rule
from minisim.rules._facts import known, machine_subject, names, short, words
from minisim.wiring.model import Wired, WiredCable

LINES = ("serial-line", "serial-line-modem", "multiplexer", "multiplexer-dma", "multiplexer-16-dma")


@rule(
    id="CABLE-001",
    slug="drive-on-wrong-controller",
    severity=Severity.FAULT,
    needs=("SLOT-008",),
    sources=("common-practice",),
)
def drive_on_wrong_controller(wired: Wired) -> Iterator[Result]:
    """Compare the devices of each board with what hangs on it."""
    if not wired.cables:
        yield does_not_apply(machine_subject(wired))
    for one in wired.cables:
        board = wired.boards[one.board] if one.board is not None else None
        subject = Subject(str(board.place) if board else one.end.board, board.name if board else "", one.end.mark)
        if board is None or board.assumed:
            yield does_not_apply(subject)
            continue
        wanted = one.drive.line_device or one.drive.controller
        able = LINES if wanted == LINES[0] else (wanted,)
        there = {entry.device for entry in board.entry.registers}
        boards = known(one.drive.boards, f"boards for {one.drive.id}") if isinstance(one.drive.boards, Known) else None
        if not there & set(able):
            yield _finding(wired, subject, one, f"a board with {words(wanted)}", able)
        elif boards is not None and board.entry.id not in boards:
            yield _finding(wired, subject, one, f"one of the boards {', '.join(boards)}", able)
        else:
            yield passed(subject)


def _finding(wired: Wired, subject: Subject, one: WiredCable, wanted: str, able: tuple[str, ...]) -> Result:
    assert one.board is not None  # a cable from no board has no finding
    return failed(
        subject,
        found=f"{one.drive.id} hangs on {short(wired.boards[one.board])}",
        limit=f"it needs {wanted}",
        cause="the drive does not answer, and signals may meet supplies",
        fix=_act(wired, one, wanted, able),
        next_measurement=probe(
            "with power off, follow the cable from the drive to its board and read the number on the handle",
            "the board named here",
            "correct the cable in the loadout",
        ),
        also=names((wired.boards[one.board],)),
    )


def _act(wired: Wired, one: WiredCable, wanted: str, able: tuple[str, ...]) -> str:
    """A controller that is there, else that one has to be fitted."""
    named = one.drive.boards.peek if isinstance(one.drive.boards, Known) else None
    right = (
        board
        for board in wired.boards
        if {entry.device for entry in board.entry.registers} & set(able) and (named is None or board.entry.id in named)
    )
    found = next(right, None)
    return (
        f"hang it on its controller ({short(found)})" if found else f"fit its controller ({wanted}) and hang it there"
    )
