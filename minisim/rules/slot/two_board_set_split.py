"""The boards of a set do not stand side by side in slots of their kind.

What is checked
    Whether a set of two or more boards is written over several places, and on the multiplexed bus whether every slot
    of a set that needs the private link is a private-link slot; where its catalogue entry tells the order of the
    boards, whether the loadout (order) has it so.

Why it matters
    The boards of a set talk over links between neighbouring slots, or by a short cable.  Apart, or half in another
    kind of slot, the controller is dead.

Example
    machine.yaml:11:7: fault SLOT-006 two-board-set-split [main/a/4-5]: slot 5 of the set is no private-link slot; all
    boards of the set need private-link slots side by side (cartridge-disk-wiki).

Putting it right
    Move the boards together, in their order, and write them as one place: 2-3.

Known limits
    Which board of a set belongs first is mostly not known here: the rule asks where the order is known to matter.

Sources
    cartridge-disk-wiki: the pair that needs two private-link slots side by side in the right order.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import NotApplicable
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule, same_as
from minisim.rules._facts import board_subject, known, names, short
from minisim.wiring.model import Wired, WiredBoard

LINK = "private-link"


@rule(
    id="SLOT-006",
    slug="two-board-set-split",
    severity=Severity.FAULT,
    needs=("SLOT-008",),
    sources=("cartridge-disk-wiki",),
)
def two_board_set_split(wired: Wired) -> Iterator[Result]:
    """Look at the places of every set."""
    for board in wired.boards:
        subject, count = board_subject(board), known(board.entry.boards, f"boards in the set of {short(board)}")
        if count is None or count < 2:
            yield does_not_apply(subject)
            continue
        parts = _parts(wired, board, count)
        if len(parts) > 1 and parts[0] is board:
            yield _split(board, parts)
        elif len(parts) > 1:
            yield same_as(subject, board_subject(parts[0]))
        elif wrong := _off_the_link(wired, board):
            yield _mixed(board, wrong)
        else:
            yield _ordered(board)


def _parts(wired: Wired, board: WiredBoard, count: int) -> list[WiredBoard]:
    """Places that hold a part of this kind of set each; empty where the board is whole."""
    if board.assumed or len(board.place.slots) >= count:
        return []
    same = [one for one in wired.boards if one.placed.board == board.placed.board]
    return [one for one in same if len(one.place.slots) < count]


def _off_the_link(wired: Wired, board: WiredBoard) -> list[int]:
    """Slots of a set on the private link that are of another kind, where others are right."""
    if board.entry.slots != (LINK,) or LINK not in board.kinds:
        return []
    slots = wired.units[board.unit].entry.slots
    return [slot for slot in board.place.slots if LINK not in slots.get(slot, {}).values()]


def _ordered(board: WiredBoard) -> Result:
    """The order matters only where the catalogue entry speaks of one."""
    subject, order, stands = board_subject(board), board.entry.order, board.placed.order
    if isinstance(order, NotApplicable) or len(board.place.slots) < 2:
        return passed(subject)
    wanted = known(order, f"order of the set {short(board)}")
    if wanted is None:
        return not_checked(subject, f"in which order the boards of {short(board)} belong")
    if not stands:
        return not_checked(subject, f"in which order the boards of {short(board)} stand")
    return passed(subject) if stands == wanted else _swapped(board, wanted)


def _swapped(board: WiredBoard, wanted: tuple[str, ...]) -> Result:
    first = board.place.slots[0]
    right = ", ".join(f"{marking} in slot {first + number}" for number, marking in enumerate(wanted))
    return failed(
        board_subject(board),
        found=f"the set stands as {', '.join(board.placed.order)} from slot {first} on",
        limit=f"it belongs as {', '.join(wanted)}",
        cause="the links between the boards meet the wrong sides: the controller is dead",
        fix=f"put {right}",
        next_measurement=_probe(),
    )


def _split(board: WiredBoard, parts: list[WiredBoard]) -> Result:
    places = ", ".join(str(one.place) for one in parts)
    return failed(
        board_subject(board),
        found=f"one set is written over {len(parts)} places: {places}",
        limit="its boards must stand side by side, written as one place",
        cause="the boards find no link to each other: the controller is dead",
        fix=f"move the boards into neighbouring slots from {board.place.slots[0]} on and write them as one place",
        next_measurement=_probe(),
        also=names(parts[1:]),
        sources=("cartridge-disk-wiki",) if board.entry.slots == (LINK,) else (),
    )


def _mixed(board: WiredBoard, wrong: list[int]) -> Result:
    return failed(
        board_subject(board),
        found=f"slot {wrong[0]} of the set is no private-link slot",
        limit="all boards of the set need private-link slots side by side",
        cause="the boards find no link to each other: the controller is dead",
        fix="move the set to private-link slots",
        next_measurement=_probe(),
    )


def _probe() -> str:
    return probe(
        "with power off, read the numbers on the handles of the set, slot by slot",
        "the boards of the set in neighbouring slots, in the order of its manual",
        "write the places as they are into the loadout",
    )
