"""A board of a lower request level stands nearer to the processor than one of a higher level.

What is checked
    On the multiplexed bus, where all boards share one acknowledge chain: whether the levels fall from the processor
    outward.

Why it matters
    With a processor of one level the nearest board wins, whatever its level.  With four levels a board that does not
    watch the higher request lines takes an acknowledge meant for a board behind it.  The faster device waits.

Example
    machine.yaml:11:7: note GRANT-008 request-levels-inverted [main/a/2AB]: a board of level 5 stands behind M0000
    (main/a/2CD) of level 4; levels should fall from the processor outward (micro-processor-handbook).

Putting it right
    Put the board of the higher level nearer to the processor.

Known limits
    Which boards watch the higher lines is not known; with a four-level processor the rule then says what is missing,
    as it does of a level nobody knows with a one-level processor.
    The separate-line bus has a chain for each level, and the question does not arise.

Sources
    micro-processor-handbook: one line on the first processors, four later (from memory, firm).
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known, Unknown
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, known, names, short
from minisim.rules._grants import number_of
from minisim.wiring.model import GrantKind, Wired, WiredBoard

ONE_LEVEL = "one-request-level"


@rule(
    id="GRANT-008",
    slug="request-levels-inverted",
    severity=Severity.NOTE,
    needs=("SLOT-008", "SLOT-009", "GRANT-001"),
    sources=("micro-processor-handbook",),
)
def request_levels_inverted(wired: Wired) -> Iterator[Result]:
    """Compare the level of each board with the lowest one nearer to the processor."""
    nearer: list[tuple[WiredBoard, int]] = []
    for board, level in _in_order(wired):
        lower = [one for one, other in nearer if other < level]
        if not lower:
            yield passed(board_subject(board))
        elif _has_one_level(wired):
            yield _finding(wired, board, level, lower)
        else:
            yield not_checked(board_subject(board), f"whether {short(lower[0])} watches the higher request lines")
        nearer.append((board, level))
    told = {board.index for board, _ in nearer}
    for board in wired.boards:
        if board.index in told:
            continue
        unsure = _has_one_level(wired) and _level_unknown(wired, board) and _behind_one(wired, board, nearer)
        yield (
            not_checked(board_subject(board), f"request level of {short(board)}")
            if unsure
            else (does_not_apply(board_subject(board)))
        )


def _level_unknown(wired: Wired, board: WiredBoard) -> bool:
    mine = (one for one in wired.registers if one.board == board.index)
    return any(isinstance(vector.level, Unknown) for one in mine for vector in one.vectors)


def _behind_one(wired: Wired, board: WiredBoard, levelled: list[tuple[WiredBoard, int]]) -> bool:
    """Does a board of a known level stand nearer to the processor?"""
    chain = wired.chain(GrantKind.INTERRUPT)
    return any(0 < number_of(chain, one) < number_of(chain, board) for one, _ in levelled)


def _has_one_level(wired: Wired) -> bool:
    blocks = [wired.boards[one.board].entry.processor for one in wired.processors[:1]]
    return any(block is not None and block.extra.get(ONE_LEVEL) == "yes" for block in blocks)


def _in_order(wired: Wired) -> list[tuple[WiredBoard, int]]:
    """Boards that interrupt over the bus with their highest known level, as the grant passes them."""
    if wired.bus != "mux":
        return []
    chain = wired.chain(GrantKind.INTERRUPT)
    placed = [(number_of(chain, board), board, _level(wired, board)) for board in wired.boards]
    return [(board, level) for number, board, level in sorted(placed, key=lambda one: one[0]) if number and level]


def _level(wired: Wired, board: WiredBoard) -> int:
    """The highest level of a board's vectors; 0 where it has none, none is known, or the processor serves it itself."""
    if board.entry.processor is not None:
        return 0
    vectors = (one for registers in wired.registers if registers.board == board.index for one in registers.vectors)
    return max((one.level.peek for one in vectors if isinstance(one.level, Known)), default=0)


def _finding(wired: Wired, board: WiredBoard, level: int, lower: list[WiredBoard]) -> Result:
    for one in (board, *lower):
        for registers in wired.registers:
            if registers.board == one.index and registers.vectors:
                known(registers.vectors[0].level, f"level of {short(one)}")
    return failed(
        board_subject(board),
        found=f"a board of level {level} stands behind {short(lower[0])} of level {_level(wired, lower[0])}",
        limit="levels should fall from the processor outward",
        cause="the device of the higher level waits for the other one",
        fix=f"put {short(board)} nearer to the processor than {short(lower[0])}",
        next_measurement=probe(
            "let both devices run and count late data of the faster one",
            "more of it than with the other device idle",
            "the order does no harm here: accept the finding",
        ),
        also=names(lower),
    )
