"""The parts of a machine as lines, for any full-screen view: bench, lessons, event mode.

Each takes the view, a width in columns and a number of rows, and gives at most so many lines.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from minisim.cpu.operands import NAMES
from minisim.machine.panel import PS
from minisim.screen.sections import Section
from minisim.screen.spans import BOLD, REVERSE, Line, Span, bold, clip, line, reverse, width_of, wrap

if TYPE_CHECKING:
    from minisim.bench.view import DeviceRow, View
    from minisim.panel import PanelDialog

_GAP = 2  # spaces between two columns
_ONE_ROW = 88  # columns that all registers take side by side
_SINGLE = 6  # rows from which on each bus cycle has its own
_UNWATCHED = ("not watched at this speed", "not watched on the way here; one shows the next")


def title(view: View) -> tuple[str, str]:
    """The name on the left; state, time and speed on the right."""
    return view.name, "   ".join(part for part in (view.state, view.time, view.speed) if part)


def sections(view: View) -> list[Section]:
    """All parts in their order, with the rows they want."""

    def section(name: str, lines: Callable[[View, int, int], Sequence[Line]], least: int, most: int) -> Section:
        return Section(name, lambda width, rows: lines(view, width, rows), least, most)

    return [
        section("registers", registers, 2, 3),
        section("last", last, 2, 12),
        section("next", following, 1, 2),
        section("bus", bus, 2, 16),
        section("interrupts", interrupts, 1, 8),
        section("devices", devices, 2, 16),
    ]


def in_rows(cells: Sequence[Line], width: int, rows: int, nothing: str, more: str = "") -> list[Line]:
    """Cells one under the other; where the rows are too few, side by side.  What is too much is counted at the end."""
    if not cells:
        return [line(nothing)]
    if len(cells) <= rows:
        return list(cells)
    for kept in range(len(cells), 0, -1):
        note = [line(f"{len(cells) - kept} more: {more}")] if kept < len(cells) else []
        found = _flowing([*cells[:kept], *note], width)
        if len(found) <= rows:
            return found
    return [cells[0]]


def _flowing(cells: Sequence[Line], width: int) -> list[Line]:
    """As many in a row as there is room for."""
    found: list[Line] = []
    for cell in cells:
        if found and width_of(found[-1]) + _GAP + width_of(cell) <= width:
            found[-1] = (*found[-1], Span(" " * _GAP), *cell)
        else:
            found.append(cell)
    return found


# --- the processor ----------------------------------------------------------------------------------------------------


def registers(view: View, width: int, rows: int) -> list[Line]:
    """R0 to R5, SP, PC, PS in octal, and what PS means; what the last instruction changed stands in reverse."""
    cells = [_register(name, view, number) for number, name in enumerate(NAMES)]
    status = _register("PS", view, PS)
    if width >= _ONE_ROW:
        return [_joined(cells), _joined([status, _status(view, width - 11)])]
    if rows >= 3:
        return [_joined(cells[:6]), _joined(cells[6:]), _joined([status, _status(view, width - 11)])]
    return [_joined(cells[:6]), _joined([*cells[6:], status, _status(view, width - 33)])]


def _status(view: View, width: int) -> Line:
    """What PS means; where there is little room, without what is as usual."""
    whole = line(", ".join(view.ps_words))
    if width_of(whole) <= width:
        return whole
    words = [word for word in view.ps_words[:-4] if not word.startswith("before it") and word != "trace off"]
    return line(", ".join([*words, _codes(view.ps)]))


def _register(name: str, view: View, number: int) -> Line:
    value = view.ps if number == PS else view.registers[number]
    return line(bold(name), " ", reverse(f"{value:06o}") if number in view.changed else f"{value:06o}")


def _codes(ps: int) -> str:
    """The condition codes that are set, where there is little room."""
    names = [name for name, bit in (("N", 8), ("Z", 4), ("V", 2), ("C", 1)) if ps & bit]
    return f"{' '.join(names)} set" if names else "no code set"


def _joined(cells: Sequence[Line]) -> Line:
    """Cells with a gap between them."""
    found: list[Span] = []
    for cell in cells:
        found += [Span(" " * _GAP), *cell] if found else cell
    return tuple(found)


def last(view: View, width: int, rows: int) -> list[Line]:
    """What the last instruction did, at the end; those before it over it, where there is room."""
    if view.last is None:
        return [line(_UNWATCHED[view.in_the_past] if view.instructions else "nothing has run yet")]
    found = _told(view.last, width, rows)
    for at, text, sentence in reversed(view.steps[:-1]):
        more = wrap(line(f"{at}  {text}  {sentence}"), width, 8)
        if len(found) + len(more) > rows:
            break
        found = more + found
    return found


def following(view: View, width: int, rows: int) -> list[Line]:
    """What the next instruction will do."""
    return _told(view.next, width, rows)


def _told(told: tuple[str, str, str], width: int, rows: int) -> list[Line]:
    """Address, instruction as the assembler writes it, and a sentence: on one row, or below, or flowing on."""
    at, text, sentence = told
    head = line(f"{at}  ", bold(text))
    whole = _joined([head, line(sentence)])
    if rows == 1 or width_of(whole) <= width:
        return [whole]
    below = [head, *wrap(sentence, width)]
    return below if len(below) <= rows else wrap(whole, width)[:rows]


# --- around it --------------------------------------------------------------------------------------------------------


def bus(view: View, width: int, rows: int) -> list[Line]:
    """The last cycles, the newest at the end, with who answered."""
    cells = [
        line(f"{each.kind:5} {each.address:06o} ", bold(f"{each.data:06o}"), f" {each.who}") for each in view.cycles
    ]
    for first in range(len(cells)):
        found = _flowing(cells[first:], width) if rows < _SINGLE else list(cells[first:])
        if len(found) <= rows:
            return found
    return [line("quiet")]


def _data(word: int, is_byte: bool) -> str:
    return f"{word:03o}   " if is_byte else f"{word:06o}"


def interrupts(view: View, width: int, rows: int) -> list[Line]:
    """Who asks, and whether the processor lets it."""
    cells = [
        line(f"{each.place} ", bold(each.state), f", level {each.level}, vector {each.vector:03o}, {each.device}")
        for each in view.interrupts
    ]
    return in_rows(cells, width, rows, "nobody asks, nobody was granted", "look interrupts")


def devices(view: View, width: int, rows: int) -> list[Line]:
    """What is fitted, its state, and the medium in it; those with a medium first.  Cut short where rows are few."""
    told = sorted(view.devices, key=lambda each: (not each.medium, not each.state))
    if len(told) <= rows:
        return [_device(each, each.what, _file(each.medium), each.state) for each in told]
    cells = [_device(each, _file(each.medium) or each.what, each.state) for each in told]
    return in_rows([_cut(cell, (width - _GAP) // 2) for cell in cells], width, rows, "none", "look devices")


def _device(row: DeviceRow, *parts: str) -> Line:
    """Its place, what it is in bold, and the rest."""
    first, *rest = (part for part in parts if part)
    return line(f"{row.place} ", bold(first), *(f"; {part}" for part in rest))


def _cut(cell: Line, width: int) -> Line:
    return cell if width_of(cell) <= width else (*clip(cell, width - 2), Span(".."))


def _file(medium: str) -> str:
    """A medium without the folder it lies in."""
    return medium.rsplit("/", 1)[-1]


def front_panel(dialog: PanelDialog, running: bool) -> list[Line]:
    """Lamps and switches in threes, an octal digit each; a lamp that is lit, or a switch that is on, in reverse."""
    lamps, bits = dialog.panel.lamps, dialog.machine.address_bits
    address = dialog.machine.cpu.pc if running else lamps.address
    digits = -(-bits // 3)
    return [
        (*line(bold("Address   ")), *_lamps(address, bits, digits), *line("   Run  "), _lamp(running)),
        (
            *line(bold("Data      ")),
            *_lamps(lamps.data, 16, digits),
            *line("   Halt "),
            _lamp(dialog.panel.halt_switch),
        ),
        (*line(bold("Switches  ")), *_lamps(dialog.switches, bits, digits)),
        line("Keys (panel KEY): load address, examine, deposit, start, continue"),
    ]


def _lamps(number: int, bits: int, digits: int) -> Line:
    """So many lamps, and their octal number behind."""
    places = range(3 * digits - 1, -1, -1)
    found: list[Span] = []
    for place in places:
        found.append(_lamp(bool(number >> place & 1)) if place < bits else Span(" "))
        if place % 3 == 0:
            found.append(Span(" "))
    return (*found, Span(f" {number:0{6 if bits <= 18 else 8}o}".ljust(10)))


def _lamp(on: bool) -> Span:
    return Span("o", f"{REVERSE} {BOLD}") if on else Span(".")
