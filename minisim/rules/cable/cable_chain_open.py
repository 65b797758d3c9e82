"""The chain of cables from a board to what hangs on it has a piece missing.

What is checked
    For boards that have no plug of their own but a panel of plugs (multiplexers, disk-protocol ports, one processor
    board), and for drives that take several cables: whether every piece of the chain is named in the loadout, by cable
    and through.

Why it matters
    Such a board ends in a header that fits no drive and no terminal.  A machine that is whole but for one flat cable or
    its panel answers at its registers and reaches nothing; the missing piece is found on the day of the first start.

Example
    machine.yaml:14:5: doubt CABLE-004 cable-chain-open [main/a/4]: the chain to fixed-disk-30mb lacks
    fixed-disk-data-cable; it takes disk-port-panel-cable, fixed-disk-control-cable and fixed-disk-data-cable
    (common-practice).

Putting it right
    Find the piece and name it under through, from the board on.

Known limits
    The panel itself counts as part of its cable.  Where a loadout names no cable of a chain, or nothing that hangs on
    such a board while other cables are listed, the rule asks and finds nothing.  Resistor packs and terminators on the
    last drive are lines on the build sheet.

Sources
    common-practice: the pieces stand in the entries of board and drive, with their own evidence.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, known, machine_subject, short
from minisim.rules._options import listed
from minisim.wiring.model import Wired, WiredBoard, WiredCable


@rule(
    id="CABLE-004",
    slug="cable-chain-open",
    severity=Severity.DOUBT,
    needs=("SLOT-008", "CABLE-001", "CABLE-002"),
    sources=("common-practice",),
)
def cable_chain_open(wired: Wired) -> Iterator[Result]:
    """Hold the cables named against the pieces the chain takes, then look for boards from which nothing leaves."""
    if not wired.cables:
        yield does_not_apply(machine_subject(wired))
        return
    for one in wired.cables:
        yield _chain(wired, one)
    idle = [board for board in wired.boards if _is_idle(wired, board)]
    for board in idle:
        yield not_checked(board_subject(board), f"what hangs on {listed(short(one) for one in idle)}")


def _is_idle(wired: Wired, board: WiredBoard) -> bool:
    return isinstance(board.entry.panel, Known) and all(one.board != board.index for one in wired.cables)


def _chain(wired: Wired, one: WiredCable) -> Result:
    board = wired.boards[one.board] if one.board is not None else None
    subject = Subject(str(board.place) if board else one.end.board, board.name if board else "", one.end.mark)
    steps = _steps(board, one) if board is not None else ()
    if board is None or not steps:
        return does_not_apply(subject)
    named = {cable.id for cable in (one.cable, *one.through) if cable is not None}
    if not named:
        return not_checked(subject, f"cables from {short(board)} to what hangs on it")
    missing = [step for step in steps if not named & set(step)]
    if missing:
        return _finding(subject, one, steps, missing)
    return passed(subject)


def _steps(board: WiredBoard, one: WiredCable) -> tuple[tuple[str, ...], ...]:
    """What the chain takes, step by step: the cable to the board's panel, then those of the drive."""
    panel = known(board.entry.panel, f"panel of {short(board)}") or ()
    own = one.drive.chain or ((one.drive.cables,) if panel and one.drive.cables else ())
    return (*((one_of,) for one_of in panel), *own)


def _finding(
    subject: Subject, one: WiredCable, steps: tuple[tuple[str, ...], ...], missing: list[tuple[str, ...]]
) -> Result:
    lacks = listed(" or ".join(step) for step in missing)
    return failed(
        subject,
        found=f"the chain to {one.drive.id} lacks {lacks}",
        limit=f"it takes {listed(' or '.join(step) for step in steps)}",
        cause="the registers answer and nothing behind them does",
        fix=f"find {lacks} and name it under through",
        next_measurement=probe(
            "with power off, follow the wires from the header of the board to the plug of what hangs on it",
            f"no {' and no '.join(step[0] for step in missing)} on the way",
            "write the pieces that are there into the loadout",
        ),
    )
