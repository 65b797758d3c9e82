"""A board that adds a processor option does not stand beside its processor.

What is checked
    Every board that adds an option to a processor of the machine: whether it stands in the same unit as the processor,
    and there in a slot wired for a board of the processor.

Why it matters
    Such a board is joined to the processor by wires of the processor's own unit, or over the top edge of its
    neighbours, not by the bus.  Anywhere else the processor does not know that it is there.

Example
    machine.yaml:19:7: fault OPT-003 option-board-away-from-its-processor [main/b/2]: the board adds fpp to M8265/M8266
    (main/a/1-2), which stands in another unit; it belongs into a place wired for it beside the processor
    (common-practice).

Putting it right
    Move the board into the unit of the processor, to a place wired for it.

Known limits
    Which of the processor places takes which board is not in the catalogue: the print set of the unit tells.  Where the
    slots of the unit are not known, only the unit is looked at.

Sources
    common-practice: the boards of a processor stand together.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, kinds_are_known, known, short
from minisim.rules._options import (
    adds,
    free_places,
    in_unit_of,
    is_processor_place,
    places_in_words,
    processors_of,
)
from minisim.wiring.model import Wired, WiredBoard, WiredProcessor


@rule(
    id="OPT-003",
    slug="option-board-away-from-its-processor",
    severity=Severity.FAULT,
    needs=("SLOT-008", "SLOT-009", "SLOT-010", "OPT-002"),
    sources=("common-practice",),
)
def option_board_away_from_its_processor(wired: Wired) -> Iterator[Result]:
    """Look at the unit, then at the slot, of every option board that has its processor."""
    for board in wired.boards:
        owners = processors_of(wired, board)
        beside = next((one for one in owners if in_unit_of(wired, one, board)), None)
        if not owners:
            yield does_not_apply(board_subject(board))
        elif beside is None:
            yield _other_unit(wired, board, owners[0])
        else:
            yield _same_unit(wired, board, beside)


def _same_unit(wired: Wired, board: WiredBoard, processor: WiredProcessor) -> Result:
    unit = wired.units[board.unit]
    if not unit.entry.slots:
        return not_checked(board_subject(board), f"slot kinds of backplane {unit.box}/{unit.id}")
    kinds_are_known(wired, board)
    if all(is_processor_place(wired, board.unit, slot) for slot in board.place.slots):
        return passed(board_subject(board))
    return _finding(
        wired,
        board,
        processor,
        f"the board adds {adds(board)} to {short(wired.boards[processor.board])}, and its slot is not wired for "
        "a board of the processor",
        Severity.DOUBT,
    )


def _other_unit(wired: Wired, board: WiredBoard, processor: WiredProcessor) -> Result:
    known(board.entry.slots_evidence, f"slots in which {short(board)} may stand")
    owner = short(wired.boards[processor.board])
    found = f"the board adds {adds(board)} to {owner}, which stands in another unit"
    return _finding(wired, board, processor, found, Severity.FAULT)


def _finding(wired: Wired, board: WiredBoard, processor: WiredProcessor, found: str, severity: Severity) -> Result:
    places = places_in_words(free_places(wired, processor))
    return failed(
        board_subject(board),
        found=found,
        limit="it belongs into a place wired for it beside the processor",
        cause="the board is not joined to the processor: its option is not there",
        fix=f"move the board to a place of the processor's unit that is wired for it ({places})",
        next_measurement=probe(
            "with power off, read in the print set of the processor unit which slot is wired for this board",
            "a slot beside the processor",
            "correct the loadout",
        ),
        severity=severity,
    )
