"""A board does not fit the height or the rows of its place.

What is checked
    Whether the rows a board is placed in are rows it can cover (by its height and the rows of its catalogue entry),
    whether the slot has those rows, and whether a set of several boards is given as many slots as it has boards.

Why it matters
    A board that is too high does not go in.  One that is too small for its place lies open on one half: it reaches
    other signals than the list says, and the rest of the place is a hole.

Example
    A quad board in a backplane with rows A-B only:
    machine.yaml:8:7: fault SLOT-007 board-of-wrong-height [main/a/2]: a quad board covers rows ABCD, this slot has AB;
    board and place must cover the same rows (common-practice).

Putting it right
    Choose a place with the rows of the board.

Known limits
    Boards that take one slot as three smaller pieces, and sets whose boards differ in height, are not measured: their
    height is not known as one word.

Sources
    common-practice: heights are counted in connector rows: single 1, dual 2, quad 4, hex 6.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, short
from minisim.rules._places import better_place, height_of, misfit
from minisim.wiring.model import Wired


@rule(
    id="SLOT-007",
    slug="board-of-wrong-height",
    severity=Severity.FAULT,
    needs=("SLOT-008", "SLOT-006"),
    sources=("common-practice",),
)
def board_of_wrong_height(wired: Wired) -> Iterator[Result]:
    """Compare the rows and slots a board needs with those of its place."""
    for board in wired.boards:
        subject = board_subject(board)
        height = height_of(board)
        if height is None and board.entry.rows is None:
            yield not_checked(subject, f"height of {short(board)}")
            continue
        wrong = misfit(wired, board, height)
        if not wrong:
            yield passed(subject)
            continue
        yield failed(
            subject,
            found=wrong,
            limit="board and place must cover the same rows, and a set one slot for each of its boards",
            cause="the board does not go in, or lies open on one half",
            fix=better_place(board, height),
            next_measurement=probe(
                "with power off, count the connector rows of the board and of the slot",
                "the numbers printed here",
                "correct the loadout",
            ),
        )
