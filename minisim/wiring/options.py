"""Processor options: which are asked for, what brings each one, and which boards would bring those that are missing.

An option board works for one processor: of its profile, in the same unit, because the boards of a processor are joined
there and nowhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from minisim.catalogue.model import BoardEntry, ProcessorBlock
from minisim.wiring.model import WiredBoard, WiredOption, WiredProcessor
from minisim.wiring.places import Layout
from minisim.wiring.source import Catalogue

STANDARD = "standard"
ON_A_BOARD = "board"
NEVER = "never"
_PLACES = {"socket": "in its socket", "unknown": "as stated"}


def wire_options(
    layout: Layout, board: WiredBoard, block: ProcessorBlock, catalogue: Catalogue
) -> tuple[WiredOption, ...]:
    """Every option the board of a processor can have, then those it was asked for beside them, by name."""
    words = {name: where for name, where in block.options.items() if where != NEVER}
    words |= dict.fromkeys(sorted(set(board.placed.options) - set(words)), NEVER)
    found = [_option(layout, board, block, name, where) for name, where in words.items()]
    return tuple(_with_makes(one, block, catalogue) for one in _without_what_lacks(layout, found))


def _option(layout: Layout, board: WiredBoard, block: ProcessorBlock, name: str, where: str) -> WiredOption:
    """An option on a board of its own is there if the board is; all others if they are standard or asked for.

    Where the processor can never have it, it stays as asked for: whoever builds the machine must refuse it.
    """
    adding = tuple(one.index for one in layout.in_unit(board.unit) if _adds(one.entry, block.profile, name))
    asked = name in board.placed.options
    fitted = where == STANDARD or (where != NEVER and bool(adding)) or (asked and where != ON_A_BOARD)
    return WiredOption(name, where, asked, fitted, adding if where != NEVER else ())


def _adds(entry: BoardEntry, profile: str, option: str) -> bool:
    return profile in entry.option_to and option in entry.option_adds


def _without_what_lacks(layout: Layout, found: Sequence[WiredOption]) -> list[WiredOption]:
    """Options whose boards need another one that is not fitted do not work."""
    fitted = {one.name for one in found if one.fitted}
    return [replace(one, fitted=False, lacks=lacks) if (lacks := _lacks(layout, one, fitted)) else one for one in found]


def _lacks(layout: Layout, option: WiredOption, fitted: set[str]) -> tuple[str, ...]:
    needs = [need for index in option.boards for need in layout.boards[index].entry.option_needs]
    return tuple(dict.fromkeys(need for need in needs if need not in fitted)) if option.where != STANDARD else ()


def _with_makes(option: WiredOption, block: ProcessorBlock, catalogue: Catalogue) -> WiredOption:
    """The boards that would add a missing option: the whole catalogue is looked through only then."""
    if not option.missing:
        return option
    entries = (catalogue.board(name) for name in catalogue.ids("boards"))
    return replace(option, made=tuple(entry for entry in entries if _adds(entry, block.profile, option.name)))


# ---- in words


def options_line(processor: WiredProcessor, boards: Sequence[WiredBoard]) -> str:
    """Where each option comes from, in one line: `eis standard, fpp by M0000 at main/a/3, cis missing`."""
    words = [text for one in processor.choices if (text := _in_words(one, boards))]
    return ", ".join(words) or "no options"


def _in_words(option: WiredOption, boards: Sequence[WiredBoard]) -> str:
    if option.lacks:
        return f"{option.name} without its {' and '.join(option.lacks)}"
    if not option.fitted:
        return f"{option.name} missing" if option.asked else ""
    if option.boards and option.where != STANDARD:
        return f"{option.name} by {_name(boards[option.boards[0]])} at {boards[option.boards[0]].place}"
    return f"{option.name} {_PLACES.get(option.where, option.where)}"


def _name(board: WiredBoard) -> str:
    marks = getattr(board.entry.markings, "peek", None)
    return "/".join(marks) if marks else board.entry.id
