"""The memory map of a machine as one picture, black and white: what `minisim map` lists, and the registers of devices.

Over it, where a trace is given, what the run touched: fetches, reads and writes of blocks of memory and of each word of
the I/O page.
"""

from __future__ import annotations

from collections.abc import Sequence

from minisim.catalogue import Catalogue
from minisim.sheet.drawing import svg
from minisim.trace.activity import Activity, Touched
from minisim.trace.memory_part import Grain, draw_memory, grain_of
from minisim.trace.page_part import draw_page, draw_placeless
from minisim.trace.paper import HEAD, LEFT, SMALL, TITLE, Paper, bar
from minisim.trace.register_names import register_names
from minisim.wiring.addresses import AddressRow, Kind, address_bits, address_map, page_start
from minisim.wiring.map_words import octal
from minisim.wiring.model import Wired
from minisim.wiring.options import options_line


def map_svg(wired: Wired, catalogue: Catalogue, activity: Activity | None = None) -> str:
    """One `svg` element, 1000 units wide."""
    bits = address_bits(wired)
    rows = address_map(wired, wired.processor_registers)
    page = page_start(bits)
    memory = [row for row in rows if row.first is not None and row.first < page]
    paged = [row for row in rows if row.first is not None and row.first >= page]
    paper = Paper()
    _head(paper, wired, bits, activity, grain_of(memory))
    _heading(paper, f"Memory, {octal(0, bits)} to {octal(page - 1, bits)}")
    draw_memory(paper, memory, bits, activity)
    _heading(paper, f"I/O page, {octal(page, bits)} to {octal((1 << bits) - 1, bits)}")
    draw_page(paper, paged, bits, register_names(wired, catalogue, bits), activity)
    placeless = [row for row in rows if row.first is None]
    if placeless:
        _heading(paper, "Without an address")
        draw_placeless(paper, placeless, bits)
    title = f"{wired.loadout.name}: memory map" + (", and what a run touched" if activity else "")
    return paper.text(title, _described(rows, bits, activity))


def _heading(paper: Paper, text: str) -> None:
    paper.gap(16)
    paper.say(text, HEAD, bold=True)
    paper.gap(6)


def _head(paper: Paper, wired: Wired, bits: int, activity: Activity | None, grain: Grain) -> None:
    paper.say(f"{wired.loadout.name}: addresses of {bits} bits, octal", TITLE, bold=True)
    for one in wired.processors:
        where = wired.boards[one.board].place
        paper.say(f"processor {where} {one.profile}: {options_line(one, wired.boards)}", SMALL)
    paper.say("handle: the number on it; grant: place in the grant order", SMALL)
    if activity is not None:
        _legend(paper, wired, activity, grain)


def _legend(paper: Paper, wired: Wired, activity: Activity, grain: Grain) -> None:
    paper.gap(10)
    other = "" if activity.head.sha256 == wired.loadout.sha256 else f"Traced with another {activity.head.name}. "
    ended = activity.end.outcome if activity.end else "the trace was cut off"
    paper.say(f"{other}{activity.instructions} instructions traced; {ended}", SMALL)
    paper.say("What devices move by themselves (DMA) is in no trace.", SMALL)
    paper.gap(6)
    x = LEFT
    for kind, what in (("fetches", "instructions fetched"), ("reads", "read"), ("writes", "written")):
        bar(paper.root, x, paper.y, 16, 24, kind)
        svg.words(paper.root, x + 24, paper.y + 17, what, SMALL)
        x += 40 + svg.width_of(what, SMALL) + 10
    scale = "a bar: 1/7 high is once, each 1/7 more is ten times as often"
    svg.words(paper.root, x, paper.y + 17, scale, SMALL)
    paper.gap(30)
    if grain.bytes:
        paper.say(f"One box of memory is {grain.words} words ({grain.bytes:o} bytes in octal).", SMALL)


def _described(rows: Sequence[AddressRow], bits: int, activity: Activity | None) -> str:
    """The picture in sentences."""
    shown = [row for row in rows if row.kind is not Kind.FREE]
    parts = [f"{len(shown)} things answer on a bus of {bits} address bits."]
    parts += [f"{row.what} at {row.place}: {_where(row, bits)}." for row in shown]
    if activity is not None:
        total = sum(activity.words.values(), Touched())
        parts.append(
            f"The run of {activity.instructions} instructions made {total.fetches} fetches, {total.reads} reads and "
            f"{total.writes} writes."
        )
    return " ".join(parts)


def _where(row: AddressRow, bits: int) -> str:
    if row.first is None or row.last is None:
        return "no address"
    return f"{octal(row.first, bits)} to {octal(row.last, bits)}"
