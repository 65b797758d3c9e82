"""look"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from minisim.bench import look as told
from minisim.bench.answer import Answer, Refused, Words, listed, said
from minisim.bench.numbers import REGISTERS, count, even, is_octal
from minisim.bench.verbs._parts import places, wrong
from minisim.bench.view import cycles, state_words
from minisim.cpu.operands import NAMES
from minisim.machine.seen import devices, interrupts

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "look at something; nothing of the machine is disturbed"
USE = (
    "look",
    "look registers",
    "look r2",
    "look ps",
    "look 001000",
    "look 001000 16.",
    "look stack",
    "look next",
    "look bus",
    "look interrupts",
    "look devices",
    "look PLACE",
    "look floats",
    "look panel",
)
MOST = 512


def do(bench: Bench, words: Words) -> Answer:
    """A part by its name, a register, an address, or a place."""
    if not words:
        return said(*told.overview(bench.machine, state_words(bench)), *_last(bench))
    first = words[0]
    if is_octal(first):
        return _memory(bench, words)
    if len(words) > 1:
        raise wrong(USE, f'"{words[1]}" can\'t stand there.')
    if first in _PARTS:
        return said(*_PARTS[first][1](bench))
    if first in REGISTERS:
        number = REGISTERS[first]
        value = bench.machine.cpu.r[number]
        return said(f"{NAMES[number]} {value:06o}, in decimal {told.number_words(value)}")
    return said(*_place(bench, first))


def _last(bench: Bench) -> list[str]:
    return [f"last     {told.sentence(bench.steps[-1])}"] if bench.steps else []


def _memory(bench: Bench, words: Words) -> Answer:
    machine = bench.machine
    if len(words) > 2:
        raise wrong(USE, f'"{words[2]}" can\'t stand there.')
    address = even(words[0], (1 << machine.address_bits) - 1)
    if len(words) == 1:
        return said(told.one_word(machine, address))
    return said(*told.many_words(machine, address, count(words[1], MOST)))


def _registers(bench: Bench) -> Iterator[str]:
    yield from told.registers(bench.machine)


def _ps(bench: Bench) -> Iterator[str]:
    yield f"PS {bench.machine.cpu.ps:06o}: {', '.join(told.ps_words(bench.machine))}"


def _bus(bench: Bench) -> Iterator[str]:
    found = cycles(bench)
    if not found:
        yield "no cycles are kept of what ran last; `one` shows those of the next instruction"
    for each in found:
        data = f"{each.data:03o}   " if each.byte else f"{each.data:06o}"
        yield f"{each.kind:5}  {each.address:06o}  {data}  {each.who}"


def _devices(bench: Bench) -> Iterator[str]:
    for device in devices(bench.machine):
        yield told.device_line(device)
        yield from map(told.drive_line, device.drives)
    if not bench.machine.layout.devices:
        yield "this machine has no devices"


def _panel(bench: Bench) -> list[str]:
    from minisim.panel import shown

    return shown(bench.dialog.panel.lamps, bench.machine.address_bits).splitlines()


_PARTS: dict[str, tuple[str, Callable[[Bench], Iterable[str]]]] = {
    "registers": ("the registers, and the PS in words", _registers),
    "ps": ("the processor status in words", _ps),
    "stack": ("the words SP points to", lambda bench: told.stack(bench.machine)),
    "next": ("the next instructions", lambda bench: told.following(bench.machine)),
    "bus": ("the last bus cycles, and who answered", _bus),
    "interrupts": (
        "who asks for an interrupt, and what becomes of it",
        lambda b: told.interrupt_lines(b.machine, b.steps),
    ),
    "devices": ("all devices, with what is in their drives", _devices),
    "floats": ("the floating point accumulators", lambda bench: told.floats(bench.machine)),
    "panel": ("the lamps of the front panel", _panel),
}


def _place(bench: Bench, place: str) -> Iterator[str]:
    known = places(bench)
    named = next((name for name in known if name.lower() == place), None)
    if named is None:
        where = f", and the places {listed(known)}" if known else ""
        parts = ", ".join((*_PARTS, "r0 to r7", "an address"))
        raise Refused(f'"{place}" is nothing to look at; there are: {parts}{where}')
    for device in devices(bench.machine):
        drives = [drive for drive in device.drives if named in (drive.place, device.place)]
        if device.place == named:
            yield told.device_line(device)
            yield from map(told.register_line, device.registers)
        yield from map(told.drive_line, drives)
    asking = [one for one in interrupts(bench.machine) if one.place == named]
    yield from (told.interrupt_line(one, told.granted(bench.steps)) for one in asking)


def suggest(bench: Bench, words: Words) -> Suggested:
    """Parts, registers, places."""
    if words:
        return
    yield from ((name, what) for name, (what, _) in _PARTS.items())
    yield from ((name.lower(), "this register") for name in NAMES)
    yield from places(bench).items()
