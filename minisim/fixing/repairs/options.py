"""Options of the processor, the boards that bring them, and the regulators that feed a set."""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Finding
from minisim.fixing.edits import SetOption, SetRegulator
from minisim.fixing.repairs._framework import Changes, repair
from minisim.fixing.repairs._places import elsewhere
from minisim.fixing.situation import Situation, name_of

BEYOND = {
    "option-without-its-board": "the machine needs the board of the option",
    "option-board-away-from-its-processor": "the unit of the processor needs a free place that is wired for the board",
}


@repair("option-without-its-board", "option-without-the-option-it-needs")
def no_such_option(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The option's board to where it works, if it is in the machine; else the option no longer asked for."""
    for processor in situation.wired.processors:
        board = situation.wired.boards[processor.board]
        for choice in processor.choices:
            adding = [one for one in situation.wired.boards if choice.name in one.entry.option_adds]
            for one in adding if choice.missing else ():
                yield from elsewhere(situation, one)
            if choice.asked and choice.name in finding.found and choice.name in board.placed.options:
                yield (SetOption(name_of(board), str(board.place), choice.name, False),)


@repair("option-board-away-from-its-processor")
def beside_the_processor(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The board to a free place of the processor's unit, those the finding names first."""
    board = situation.board(finding.place)
    if board is not None:
        units = {situation.wired.boards[one.board].unit for one in situation.wired.processors}
        yield from elsewhere(situation, board, units=units)


@repair("chip-that-brings-more-than-named")
def name_the_whole_chip(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The options that come in the same chip named too."""
    board = situation.board(finding.place)
    if board is None or board.entry.processor is None:
        return
    missing = [one for one in board.entry.processor.one_chip if one not in board.placed.options]
    yield tuple(SetOption(name_of(board), finding.place, one, True) for one in missing)


@repair("device-split-over-regulators")
def one_regulator(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The slots of the set fed from one of the regulators that feed it now; or the set to other slots."""
    board = situation.board(finding.place)
    if board is None:
        return
    unit = situation.wired.units[board.unit]
    feeds = {slot: unit.regulators[slot] for slot in board.place.slots if slot in unit.regulators}
    for name in dict.fromkeys(feeds.values()):
        place = f"{unit.box}/{unit.id}"
        yield tuple(SetRegulator(place, slot, name) for slot, old in feeds.items() if old != name)
    yield from elsewhere(situation, board)
