"""A processor is to have an option that fits as a board of its own, and that board is not in the machine.

What is checked
    Every option named for a processor that its board takes as a further board, neither as standard nor in a socket:
    whether a board that adds it stands in the unit of the processor.

Why it matters
    The option is not there.  Its instructions trap through 10, its registers answer nobody, and software that was
    made for it stops or runs slowly by other means.

Example
    machine.yaml:8:7: fault OPT-001 option-without-its-board [main/a/1-2]: option fpp is asked for, and no M8267
    (sep-two-board-fpp) stands beside the processor; this option needs the board next to it (common-practice).

Putting it right
    Put the board into a place wired for the processor, or take the option out of the list.

Known limits
    Options in sockets are taken to be fitted where they are named: nobody sees a chip from outside.  Where it is not
    known how an option fits, nothing is decided.

Sources
    common-practice: an option sold as a board works only with that board.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, known, short
from minisim.rules._options import free_places, handle, listed, option_boards, places_in_words
from minisim.wiring.model import Wired, WiredBoard, WiredOption, WiredProcessor


@rule(
    id="OPT-001",
    slug="option-without-its-board",
    severity=Severity.FAULT,
    needs=("OPT-003",),
    sources=("common-practice",),
)
def option_without_its_board(wired: Wired) -> Iterator[Result]:
    """Look for options asked for that nothing brings."""
    for processor in wired.processors:
        board = wired.boards[processor.board]
        asked = [one for one in processor.choices if one.asked]
        if not asked:
            yield does_not_apply(board_subject(board))
            continue
        _read(board)
        missing = tuple(one for one in asked if one.missing)
        unsure = [one.name for one in asked if one.where == "unknown" and not one.boards]
        if missing:
            yield replace(_finding(wired, processor, board, missing), leans_on=_elsewhere(wired, processor, missing))
        elif unsure:
            yield not_checked(board_subject(board), f"where option {listed(unsure)} of {short(board)} fits")
        else:
            yield passed(board_subject(board))


def _read(board: WiredBoard) -> None:
    """The evidence for where options fit is that of the whole processor block."""
    if board.entry.processor is not None:
        known(board.entry.processor.figure, f"where the options of {short(board)} fit")


def _finding(wired: Wired, processor: WiredProcessor, board: WiredBoard, missing: tuple[WiredOption, ...]) -> Result:
    boards = listed(dict.fromkeys(handle(entry) for one in missing for entry in one.made)) if _made(missing) else ""
    free, names = places_in_words(free_places(wired, processor)), listed(one.name for one in missing)
    one = len(missing) == 1
    return failed(
        board_subject(board),
        found=f"option{'' if one else 's'} {names} {'is' if one else 'are'} asked for, and "
        f"no {boards or 'board that adds it'} stands beside the processor",
        limit="this option needs the board next to it" if one else "these options need their boards next to it",
        cause="its instructions trap through 10 and its registers answer nobody",
        fix=f"put {boards or 'the board'} into a place wired for it beside the processor ({free}), "
        f"or take {names} out of the options",
        next_measurement=probe(
            "with power off, read the numbers on the handles beside the processor",
            boards or "a board that adds the option",
            "the option is not in the machine",
        ),
    )


def _elsewhere(wired: Wired, processor: WiredProcessor, missing: tuple[WiredOption, ...]) -> tuple[str, ...]:
    """Places of boards that would bring it, in other units: these are the one thing to put right then."""
    names = {one.name for one in missing}
    boards = (one for one in option_boards(wired) if processor.profile in one.entry.option_to)
    return tuple(str(one.place) for one in boards if names & set(one.entry.option_adds))


def _made(missing: tuple[WiredOption, ...]) -> bool:
    return any(one.made for one in missing)
