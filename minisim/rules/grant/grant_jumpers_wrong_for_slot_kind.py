"""The grant jumpers on rows C-D of a quad board do not fit the kind of its slot.

What is checked
    On the multiplexed bus: for quad boards that have, or may have, grant jumpers for rows C-D, whether they are in for
    a twin-bus slot and out for a private-link slot, as the loadout states them (setting grant-jumpers).

Why it matters
    Out in a twin-bus slot they leave a hole in the chain on rows C-D: every later board gets no interrupt and no DMA.
    In in a private-link slot they short two lines of the link to the neighbour.

Example
    machine.yaml:10:70: fault GRANT-004 grant-jumpers-wrong-for-slot-kind [main/a/4]: the grant jumpers of rows C-D are
    in in a private-link slot; there they must be out (slot-order-posts-1999).

Putting it right
    Set the jumpers for the slot, or move the board.

Known limits
    Which boards have such jumpers is mostly not known.  Where they are not stated, the rule asks for them only if it
    matters: before a board that wants grants, or beside one that uses the private link.

Sources
    slot-order-posts-1999: in for twin-bus slots, out for private-link slots.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import reading
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import at_mark, board_subject, kinds_are_known, names, need, short
from minisim.rules._grants import users_behind
from minisim.wiring.model import GrantKind, Wired, WiredBoard

JUMPERS = "grant-jumpers"
TWIN, LINK = "twin-bus", "private-link"


@rule(
    id="GRANT-004",
    slug="grant-jumpers-wrong-for-slot-kind",
    severity=Severity.FAULT,
    needs=("SLOT-008", "SLOT-009", "SLOT-010"),
    sources=("slot-order-posts-1999",),
)
def grant_jumpers_wrong_for_slot_kind(wired: Wired) -> Iterator[Result]:
    """Compare the jumpers of each quad board with its slot."""
    unsure = need("state of the grant jumpers, if there are any,", (short(one) for one in _unstated(wired)))
    for board in wired.boards:
        subject = board_subject(board)
        if not _may_have_jumpers(wired, board):
            yield does_not_apply(subject)
            continue
        kinds_are_known(wired, board)
        harmed = _harmed(wired, board)
        setting = board.placed.settings.get(JUMPERS)
        wanted = "in" if _kind(board) == TWIN else "out"
        if setting is None:
            yield not_checked(subject, unsure) if harmed else passed(subject)
        elif setting.value == wanted:
            yield passed(subject)
        elif not harmed and wanted == "in":
            yield passed(subject)  # nobody behind it waits for a grant
        else:
            yield _finding(board, wanted, harmed)


def _may_have_jumpers(wired: Wired, board: WiredBoard) -> bool:
    jumpers = not board.assumed and board.entry.grant_jumpers != "none"
    return wired.bus == "mux" and jumpers and _kind(board) is not None


def _unstated(wired: Wired) -> list[WiredBoard]:
    """All boards whose jumpers matter and are not stated: one thing to ask for, however many there are."""
    with reading():  # each result reads again what it rests on
        able = [one for one in wired.boards if _may_have_jumpers(wired, one)]
        return [one for one in able if JUMPERS not in one.placed.settings and _harmed(wired, one)]


def _kind(board: WiredBoard) -> str | None:
    """The kind of slot under rows C-D of a quad board; None where it covers none or several."""
    kinds = [kind for kind in board.kinds if kind in (TWIN, LINK)]
    return kinds[0] if len(kinds) == 1 and "C" in board.rows else None


def _harmed(wired: Wired, board: WiredBoard) -> tuple[WiredBoard, ...]:
    """Who suffers from wrong jumpers: users of grants behind, or neighbours on the private link."""
    if _kind(board) == TWIN:
        chain = wired.chain(GrantKind.INTERRUPT)
        hops = [hop for hop in chain.hops if hop.board == board.index]
        return users_behind(wired, chain, hops[-1]) if hops else ()
    beside = {board.place.slots[0] - 1, board.place.slots[-1] + 1}
    near = (one for one in wired.boards if one.unit == board.unit and beside & set(one.place.slots))
    return tuple(one for one in near if one.entry.slots == (LINK,) or one.entry.processor)


def _finding(board: WiredBoard, wanted: str, harmed: tuple[WiredBoard, ...]) -> Result:
    kind, stands = _kind(board), "out" if wanted == "in" else "in"
    hole = "there is a hole in the grant chain: every later board gets no interrupt and no DMA"
    setting = board.placed.settings[JUMPERS]
    return failed(
        at_mark(board, setting.mark),
        found=f"the grant jumpers of rows C-D are {stands} in a {kind} slot",
        limit=f"there they must be {wanted}",
        cause=hole if wanted == "in" else "two lines of the private link are tied together",
        fix=f"put the grant jumpers of {short(board)} {wanted}",
        next_measurement=probe(
            "with power off and the board out, measure on rows C-D from CM2 to CN2 and from CR2 to CS2",
            "a short" if stands == "in" else "an open line",
            f"the jumpers are {wanted}: correct the loadout",
        ),
        also=names(harmed),
    )
