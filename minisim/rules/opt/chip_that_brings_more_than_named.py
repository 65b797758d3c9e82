"""An option is named that comes in one chip with another, and the other is not named.

What is checked
    Processors whose catalogue entry says that options come together in one chip: whether all of them are named, or
    none.

Why it matters
    The chip in the socket brings both.  A machine described with one alone is another than the one that stands there:
    the words of the other option trap here and work there.

Example
    machine.yaml:8:7: note OPT-005 chip-that-brings-more-than-named [main/a/1]: option eis is named and fis is not; the
    chip in the socket brings eis and fis together (common-practice).

Putting it right
    Name all the options of the chip.

Known limits
    That they come together is recalled, not seen in a document: the finding says unconfirmed.

Sources
    common-practice: the catalogue entry of the board tells what comes in one chip.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule
from minisim.rules._facts import board_subject, known, short
from minisim.rules._options import listed
from minisim.wiring.model import Wired, WiredBoard


@rule(
    id="OPT-005",
    slug="chip-that-brings-more-than-named",
    severity=Severity.NOTE,
    sources=("common-practice",),
)
def chip_that_brings_more_than_named(wired: Wired) -> Iterator[Result]:
    """Compare the options named with those of the chip."""
    for processor in wired.processors:
        board = wired.boards[processor.board]
        block = board.entry.processor
        chip = block.one_chip if block else ()
        there = [name for name in chip if name in processor.options]
        if block is None or not there:
            yield does_not_apply(board_subject(board))
            continue
        known(block.figure, f"options of {short(board)} that come in one chip")
        absent = [name for name in chip if name not in there]
        yield _finding(board, chip, there, absent) if absent else passed(board_subject(board))


def _finding(board: WiredBoard, chip: tuple[str, ...], there: list[str], absent: list[str]) -> Result:
    return failed(
        board_subject(board),
        found=f"option {listed(there)} is named and {listed(absent)} is not",
        limit=f"the chip in the socket brings {listed(chip)} together",
        cause=f"the words of {listed(absent)} trap in this machine and work in the one that stands there",
        fix=f"name {listed(chip)}",
        next_measurement=probe(
            "with power off, look whether the socket for the chip holds one",
            "one chip",
            "take the options out of the list",
        ),
    )
