"""A board adds a processor option that works only with another option, and that one is not fitted.

What is checked
    Every board that adds an option and whose catalogue entry names another option it needs: whether the processor has
    that one.

Why it matters
    The instructions of the one are carried out by parts of the other.  Without it the board is idle, and its
    instructions trap through 10.

Example
    machine.yaml:10:7: fault OPT-004 option-without-the-option-it-needs [main/a/7]: the board adds fis to
    M7231/M7232/M7233/M7234/M7235 (main/a/1-5), which has no eis; fis works only with eis (common-practice).

Putting it right
    Fit the other option too, or take the board out.

Known limits
    Only needs named in the catalogue are looked at.

Sources
    common-practice: the catalogue entry of the board names the option it needs.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule
from minisim.rules._facts import board_subject, short
from minisim.rules._options import adds, in_unit_of, listed, processors_of
from minisim.wiring.model import Wired, WiredBoard, WiredProcessor


@rule(
    id="OPT-004",
    slug="option-without-the-option-it-needs",
    severity=Severity.FAULT,
    needs=("OPT-002", "OPT-003"),
    sources=("common-practice",),
)
def option_without_the_option_it_needs(wired: Wired) -> Iterator[Result]:
    """Look at option boards that need a further option."""
    for board in wired.boards:
        owners = [one for one in processors_of(wired, board) if in_unit_of(wired, one, board)]
        if not board.entry.option_needs or not owners:
            yield does_not_apply(board_subject(board))
            continue
        name = adds(board)
        lacking = [need for need in board.entry.option_needs if need not in owners[0].options]
        yield _finding(wired, board, owners[0], name, lacking) if lacking else passed(board_subject(board))


def _finding(wired: Wired, board: WiredBoard, processor: WiredProcessor, name: str, lacking: list[str]) -> Result:
    needed = listed(lacking)
    return failed(
        board_subject(board),
        found=f"the board adds {name} to {short(wired.boards[processor.board])}, which has no {needed}",
        limit=f"{name} works only with {needed}",
        cause=f"the instructions of {name} trap through 10",
        fix=f"fit {needed} too, or take this board out",
        next_measurement=probe(
            "with power off, read the numbers on the handles beside the processor",
            f"a board that adds {needed}",
            f"{needed} is not in the machine",
        ),
    )
