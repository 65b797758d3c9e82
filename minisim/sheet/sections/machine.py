"""What the machine is, in one page: verdict, processor, memory, console, start; places for photos."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from minisim.findings import Report, Severity
from minisim.known import Known
from minisim.sheet.blocks import Block, Fields, Page, Photos, Role, Words
from minisim.sheet.messages import say
from minisim.sheet.numbers import handle, kilo

if TYPE_CHECKING:
    from minisim.wiring.model import Wired


def machine_page(wired: Wired, report: Report) -> Page:
    """The page that says what this is."""
    blocks: list[Block] = [Words(verdict(report), Role.STRONG)]
    if report.modifications:
        blocks.append(Words(say("machine-modified", what="; ".join(report.modifications)), Role.CAUTION))
    blocks.append(Fields(tuple(_fields(wired))))
    if wired.loadout.notes:
        blocks.append(Words(wired.loadout.notes))
    blocks.append(Photos(tuple(_photos(wired))))
    return Page("machine", say("machine-title"), tuple(blocks), starts_sheet=False)


def verdict(report: Report) -> str:
    """One line: consistent on paper, or how many findings are open; how much is not known."""
    open_ones = [one for one in report.findings if not one.accepted]
    counts = ", ".join(
        f"{say(f'severity-{severity}')}: {sum(one.severity is severity for one in open_ones)}"
        for severity in Severity
        if any(one.severity is severity for one in open_ones)
    )
    words = say("machine-findings", counts=counts) if counts else say("machine-consistent")
    missing = len(report.not_known)
    return f"{words} {say('machine-not-known', count=str(missing))}" if missing else words


def _fields(wired: Wired) -> Iterator[tuple[str, str]]:
    from minisim.wiring.options import options_line

    loadout = wired.loadout
    yield say("machine-name"), loadout.name
    yield say("machine-state"), say(f"machine-state-{loadout.state}")
    yield say("machine-bus"), say(f"bus-{wired.bus}")
    for one in wired.processors:
        board = wired.boards[one.board]
        options = options_line(one, wired.boards)
        yield say("machine-processor"), f"{handle(board.entry)} ({board.place}); {one.profile}: {options}"
    yield say("machine-memory"), _memory(wired)
    yield say("machine-start"), wired.boot.how
    yield say("machine-switches"), _switches(wired)
    yield say("machine-boxes"), ", ".join(box.id for box in wired.boxes)
    yield say("machine-boards"), str(len(wired.boards))


def _memory(wired: Wired) -> str:
    sizes = [one.size for one in wired.memories]
    known = sum(size.peek for size in sizes if isinstance(size, Known))
    unknown = sum(not isinstance(size, Known) for size in sizes)
    text = kilo(known)
    return say("machine-memory-and-unknown", known=text, boards=str(unknown)) if unknown else text


def _switches(wired: Wired) -> str:
    switches = wired.loadout.switches
    register = f"{switches.register:06o}" if switches.register is not None else say("machine-not-stated")
    halt = say("word-on") if switches.halt else say("word-off")
    return say("machine-switch-line", halt=halt, register=register)


def _photos(wired: Wired) -> Iterator[str]:
    for box in wired.boxes:
        yield say("photo-front", box=box.id)
    for unit in wired.units:
        yield say("photo-backplane", unit=f"{unit.box}/{unit.id}")
        yield say("photo-pins", unit=f"{unit.box}/{unit.id}")
