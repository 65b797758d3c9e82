"""A board that adds a processor option stands in a machine without a processor it is made for.

What is checked
    Every board that adds a processor option: whether a processor of a profile it is made for is in the machine, whether
    that processor's own board can take the option, and whether the option is not there twice.

Why it matters
    The board is joined to the inside of one kind of processor.  Beside another one it does nothing, or drives signals
    that this processor uses otherwise.

Example
    machine.yaml:10:7: fault OPT-002 option-board-without-its-processor [main/a/3]: the board adds fpp to a processor of
    profile late-ttl-commercial, and M8265/M8266 (main/a/1-2) is of profile two-board-ttl-mmu; an option board works
    with the processor it was made for only (common-practice).

Putting it right
    Take the board out, or fit the board made for this processor.

Known limits
    Whether a first version of a processor takes a board made for a later one is often not known: nothing is decided
    then.

Sources
    common-practice: option boards are made for one processor.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, known, short
from minisim.rules._options import adds, in_unit_of, listed, processors_of
from minisim.wiring.model import Wired, WiredBoard, WiredProcessor


@rule(
    id="OPT-002",
    slug="option-board-without-its-processor",
    severity=Severity.FAULT,
    sources=("common-practice",),
)
def option_board_without_its_processor(wired: Wired) -> Iterator[Result]:
    """Hold every option board against the processors of the machine."""
    for board in wired.boards:
        yield _result(wired, board) if board.entry.option_adds else does_not_apply(board_subject(board))


def _result(wired: Wired, board: WiredBoard) -> Result:
    subject, owners = board_subject(board), processors_of(wired, board)
    if not wired.processors:
        return not_checked(subject, "processor of the machine")
    if not owners:
        return _stranger(wired, board)
    owner = next((one for one in owners if in_unit_of(wired, one, board)), owners[0])
    words = _words_of(wired, owner, board)
    if "never" in words:
        return _refused(wired, board, owner)
    if "unknown" in words:
        return not_checked(subject, f"whether {short(wired.boards[owner.board])} takes {short(board)}")
    first = _earlier(wired, owner, board)
    return _twice(board, first) if first else passed(subject)


def _words_of(wired: Wired, owner: WiredProcessor, board: WiredBoard) -> set[str]:
    """How the processor's own board takes what the option board adds; `unknown` for what it does not speak of."""
    processor = wired.boards[owner.board]
    block = processor.entry.processor
    assert block is not None
    known(block.figure, f"where the options of {short(processor)} fit")
    return {block.options.get(name, "board") for name in board.entry.option_adds}


def _earlier(wired: Wired, owner: WiredProcessor, board: WiredBoard) -> WiredBoard | None:
    """Another board before this one that adds the same."""
    indexes = [index for one in owner.choices if one.name in board.entry.option_adds for index in one.boards]
    before = [index for index in indexes if index < board.index and in_unit_of(wired, owner, board)]
    return wired.boards[before[0]] if before else None


def _stranger(wired: Wired, board: WiredBoard) -> Result:
    there = listed(f"{short(wired.boards[one.board])} is of profile {one.profile}" for one in wired.processors)
    return _wrong(
        board,
        f"the board adds {adds(board)} to a processor of profile {' or '.join(board.entry.option_to)}, and {there}",
        "take the board out, or fit the processor it was made for",
    )


def _refused(wired: Wired, board: WiredBoard, owner: WiredProcessor) -> Result:
    return _wrong(
        board,
        f"the board adds {adds(board)}, and {short(wired.boards[owner.board])} never has it",
        "take the board out, or fit the version of the processor it was made for",
    )


def _wrong(board: WiredBoard, found: str, fix: str) -> Result:
    return failed(
        board_subject(board),
        found=found,
        limit="an option board works with the processor it was made for only",
        cause="the option is not there, and the board may drive signals this processor uses otherwise",
        fix=fix,
        next_measurement=probe(
            "with power off, read the numbers on the handles of the board and of the processor",
            "the numbers printed here",
            "correct the loadout",
        ),
    )


def _twice(board: WiredBoard, first: WiredBoard) -> Result:
    return failed(
        board_subject(board),
        found=f"{short(first)} adds {adds(board)} already",
        limit="a processor takes each option once",
        cause="two boards answer the processor for one option",
        fix="take one of the two boards out",
        next_measurement=probe(
            "with power off, read the numbers on the handles beside the processor",
            "one board for the option",
            "correct the loadout",
        ),
        also=(f"{short(first)} at line {first.mark.line}",),
    )
