"""Boards in places that don't suit them: another place, the place of a grant card, or out."""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Finding, Severity
from minisim.fixing.edits import MoveBoards, RemoveBoard, SetOrder
from minisim.fixing.repairs._framework import Changes, repair
from minisim.fixing.repairs._places import (
    before_the_end,
    boards_of,
    elsewhere,
    move,
    moved,
    number_at,
    pairs_of,
    pushed,
    swapped,
)
from minisim.fixing.situation import Situation, is_card, name_of, others_named
from minisim.known import Known
from minisim.rules._places import shared_rows
from minisim.wiring.model import GrantKind, Place, WiredBoard

BEYOND = {
    "private-link-board-in-twin-bus-slot": "the board needs a free private-link slot, or the machine other memory",
    "terminator-in-modified-slot": "the terminator needs a free bus-end slot",
    "hex-board-over-bus-end": "the board needs a free slot of its kind",
    "memory-slot-kind-mismatch": "the memory needs a free slot of its kind",
    "spare-lines-driven-by-early-board": "the machine needs a board with the factory change, or another board",
    "two-board-set-split": "the set needs neighbouring slots of its kind that are free",
    "board-of-wrong-height": "the board needs a free place of its height",
    "board-in-unsuitable-slot-kind": "the board needs a free slot of its kind",
    "processor-not-first": "the machine needs a processor at the start of the bus",
    "far-end-open": "the bus needs a terminator board at its open end",
    "terminator-not-at-end": "the resistors of the board must come out, or it must stand at the end of the bus",
    "ac-load-over": "the bus needs a terminator, or fewer boards",
    "dc-load-over": "the bus needs fewer boards, or a repeater",
    "bus-too-long": "the bus needs other cables, or a repeater",
    "memory-rail-conflict": "the backplane needs a supply strapped for the volts of this memory",
    "rail-overload": "the box needs a stronger supply or fewer boards; which to leave out is for you to choose",
    "total-power-exceeded": "the box needs a stronger supply or fewer boards; which to leave out is for you to choose",
    "minimum-load-missed": "the supply needs a load board",
    "board-reversed": "only a hand at the machine can look",
    "rule-crashed": "a fault of the checker, not of the loadout",
}


@repair(
    "private-link-board-in-twin-bus-slot",
    "terminator-in-modified-slot",
    "hex-board-over-bus-end",
    "memory-slot-kind-mismatch",
    "two-board-set-split",
    "board-of-wrong-height",
    "board-in-unsuitable-slot-kind",
    "far-end-open",
    "terminator-not-at-end",
)
def another_place(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The board to the nearest place that suits it; or changing places with a board of its height."""
    board = situation.board(finding.place)
    if board is not None:
        yield from elsewhere(situation, board)
        yield from before_the_end(situation.wired, board)
        yield from (swapped(board, other) for other in pairs_of(situation.wired, board))
        if finding.severity is Severity.DAMAGE or is_card(board):
            yield (_out(board),)


@repair("terminator-not-at-end")
def needless_terminator(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """A terminator inside the bus that does nothing else, out."""
    board = situation.board(finding.place)
    if board is not None and not (board.entry.registers or board.entry.rom):
        yield (_out(board),)


@repair("far-end-open", "terminator-not-at-end", "ac-load-over")
def terminator_to_the_end(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """A terminator that stands inside the bus to its end; or what stands behind it, to a place before."""
    wired = situation.wired
    chain = wired.chain(GrantKind.INTERRUPT)
    for one in wired.terminators:
        if one.board is None:
            continue
        yield from elsewhere(situation, wired.boards[one.board])
        last = number_at(wired, str(wired.boards[one.board].place))
        behind = {hop.board for hop in chain.hops if hop.board is not None and hop.number > last > 0}
        for index in sorted(behind - {one.board})[:_FEW]:
            places = elsewhere(situation, wired.boards[index])
            yield from (changes for changes in places if _before(situation, changes, last))


_FEW = 3  # boards behind a terminator that are tried before it


def _before(situation: Situation, changes: Changes, number: int) -> bool:
    """Does the first board that is moved come to stand before this position?"""
    ends = [one.end for edit in changes if isinstance(edit, MoveBoards) for one in edit.boards]
    return bool(ends) and 0 < number_at(situation.wired, ends[0]) < number


@repair("two-board-set-split")
def set_in_order(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The boards of a set in the order that the catalogue tells."""
    board = situation.board(finding.place)
    if board is not None and isinstance(board.entry.order, Known) and board.placed.order:
        yield (SetOrder(finding.place, board.entry.order.peek, board.place.slots[0]),)


@repair("two-board-set-split")
def set_together(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """A set written over several places: once, over neighbouring slots."""
    board = situation.board(finding.place)
    if board is None:
        return
    parts = [one for one in situation.wired.boards if one.entry.id == board.entry.id and one.index != board.index]
    others = [one for one in parts if str(one.place) in finding.found][: boards_of(board) - 1]
    if not others:
        return
    for first in board.place.slots[0], *(one.place.slots[0] for one in others):
        slots = tuple(range(first, first + boards_of(board)))
        end = Place(board.place.box, board.place.unit, slots, board.place.rows)
        gone = tuple(RemoveBoard(name_of(one), str(one.place), set_of=str(end)) for one in others)
        yield (MoveBoards((move(board, end),)), *gone)
    for one in elsewhere(situation, board):
        for edit in one:
            if isinstance(edit, MoveBoards) and len(edit.boards) == 1:
                yield (edit, *(RemoveBoard(name_of(o), str(o.place), set_of=edit.boards[0].end) for o in others))


@repair(
    "board-of-wrong-bus",
    "option-board-without-its-processor",
    "option-without-the-option-it-needs",
    "narrow-memory-answers-twice",
    "memory-rail-conflict",
)
def take_it_out(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The board has no business in this machine."""
    board = situation.board(finding.place)
    if board is not None:
        yield (_out(board),)


@repair("place-taken-twice")
def one_of_two_elsewhere(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """Either of the two boards to another place, or out: a grant card first of all."""
    later = [one for one in situation.wired.boards if str(one.place) == finding.place]
    board = later[-1] if later else None
    if board is None:
        return
    others = [one for one in situation.wired.boards if one.index != board.index and shared_rows(one, board)]
    for one in (board, *others):
        if [str(other.place) for other in situation.wired.boards].count(str(one.place)) == 1:
            yield (_out(one),)
            yield from elsewhere(situation, one)


def _out(board: WiredBoard) -> RemoveBoard:
    return RemoveBoard(name_of(board), str(board.place), is_card(board))


@repair("processor-not-first")
def processor_first(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The processor to the first position; whatever stood there, to where it came from, or one place further."""
    wired = situation.wired
    board = situation.board(finding.place)
    hops = [hop for hop in wired.chain(GrantKind.INTERRUPT).hops if not hop.joint]
    if board is None or not hops or board.entry.processor is None:
        return
    for other in others_named(situation, finding):
        if other.entry.processor is not None:
            yield (_out(board),)
            yield (_out(other),)
    first = hops[0]
    place = Place(first.place.box, first.place.unit, first.place.slots, board.place.rows and first.place.rows)
    holder = wired.boards[first.board] if first.board is not None else None
    if holder is None:
        yield moved(board, place)
    elif len(holder.place.slots) == len(board.place.slots):
        yield swapped(board, holder)
        yield from pushed(wired, board, place.slots[0])


@repair("fast-memory-behind-processor")
def memory_before_processor(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The fast memory to the slot of the processor, the processor and what is between one slot further."""
    memory = situation.board(finding.place)
    for processor in situation.wired.processors:
        board = situation.wired.boards[processor.board]
        if memory is not None and memory.unit == board.unit and len(board.place.slots) == 1:
            yield from pushed(situation.wired, memory, board.place.slots[0])
            yield swapped(memory, board)


@repair("rail-overload", "total-power-exceeded", "ac-load-over")
def to_another_box(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """One board of the box to a free place in another one: those farthest from the processor first, memory last."""
    box = finding.place.split(" ")[0].split("/")[0]
    wired = situation.wired
    for board in sorted(wired.boards, key=lambda one: (one.entry.memory is not None, -one.index)):
        away = [unit.index for unit in wired.units if unit.box != box or f"{unit.box}/{unit.id}" != finding.place]
        far = [index for index in away if wired.units[index].box != box or finding.slug == "ac-load-over"]
        if board.place.box == box and far and board.entry.processor is None and not is_card(board):
            yield from list(elsewhere(situation, board, units=far))[:4]
