"""change"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Refused, Words, said
from minisim.bench.look import physical
from minisim.bench.numbers import REGISTERS, counted, even, is_octal, word
from minisim.bench.undo import Change
from minisim.bench.verbs._parts import places, wrong
from minisim.cpu.operands import NAMES
from minisim.machine.panel import PS, put_register, put_word
from minisim.machine.seen import MEMORY, NOBODY, peek, who_answers

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested
    from minisim.machine.machine import Machine

HELP = "change a register, memory, a switch; or take the last change back"
USE = (
    "change r2 000012",
    "change 001000 012700 000005",
    "change ps 000340",
    "change switches 173000",
    "change PLACE write-protect on",
    "change PLACE off line",
    "change back",
)
MOST = 64
PROGRAM = 0o200000  # bytes that a program can address
Move = Callable[["Machine", str], None]
_SWITCHES: dict[str, Move] = {
    "write-protect on": lambda machine, place: machine.drives.protect(place, True),
    "write-protect off": lambda machine, place: machine.drives.protect(place, False),
    "on line": lambda machine, place: machine.put_printer_on_line(True, place),
    "off line": lambda machine, place: machine.put_printer_on_line(False, place),
    "loop-back on": lambda machine, place: machine.put_on_loop_back(True, place),
    "loop-back off": lambda machine, place: machine.put_on_loop_back(False, place),
}


def do(bench: Bench, words: Words) -> Answer:
    """All that is said, or nothing."""
    if not words:
        raise wrong(USE)
    first, rest = words[0], words[1:]
    if words == ("back",):
        return _undo(bench)
    if first in REGISTERS or first == "ps":
        return _register(bench, first, _one(rest))
    if first == "switches":
        return _switches(bench, _one(rest))
    if is_octal(first):
        return _memory(bench, first, rest)
    return _switch_of(bench, first, " ".join(rest))


def _one(rest: tuple[str, ...]) -> int:
    if len(rest) != 1:
        raise wrong(USE)
    return word(rest[0])


def _undo(bench: Bench) -> Answer:
    last = bench.undo.last()
    if last is None:
        raise Refused("nothing was changed from the bench, or it was all taken back")
    if last.back is None:
        bench.undo.take()
        raise Refused(f"{last.what} can't be taken back: {last.why_not}; say it again for the change before")
    bench.undo.take()
    last.back()
    bench.touched()
    return said(f"Taken back: {last.undone or last.what}.")


def _done(bench: Bench, change: Change) -> None:
    bench.undo.put(change)
    bench.touched()


def _register(bench: Bench, name: str, new: int) -> Answer:
    machine = bench.machine
    number = PS if name == "ps" else REGISTERS[name]
    shown = "PS" if number == PS else NAMES[number]
    old = machine.cpu.ps if number == PS else machine.cpu.r[number]
    put_register(machine, number, new)
    now = machine.cpu.ps if number == PS else machine.cpu.r[number]
    what, undone = f"{shown}: {old:06o} becomes {now:06o}", f"{shown} is {old:06o} again"
    _done(bench, Change(what, lambda: put_register(bench.machine, number, old), undone=undone))
    return said(what, *([f"This processor has not all bits of {new:06o}."] if now != new else []))


def _switches(bench: Bench, new: int) -> Answer:
    machine = bench.machine
    register, _ = machine.device("switch-register").registers["switches"]
    old = int(machine._raw.registers[register].value)
    machine.set_switches(new)
    what, undone = f"switches: {old:06o} becomes {new:06o}", f"the switches are {old:06o} again"
    _done(bench, Change(what, lambda: bench.machine.set_switches(old), undone=undone))
    return said(what)


def _memory(bench: Bench, first: str, rest: tuple[str, ...]) -> Answer:
    machine = bench.machine
    top = (1 << machine.address_bits) - 1
    address = even(first, top)
    if not 1 <= len(rest) <= MOST:
        raise wrong(USE, f"1 to {MOST} words stand behind the address.")
    new = [word(each) for each in rest]
    if address + 2 * len(new) > (PROGRAM if address < PROGRAM else top + 1):
        raise Refused(f"{counted(len(new), 'word')} from {address:06o} on go beyond the last address")
    places = [_where(machine, address + 2 * at) for at in range(len(new))]
    before = [(at, peek(machine, at), who_answers(machine, at)) for at in places]
    for at, value in zip(places, new, strict=True):
        put_word(machine, at, value)
    what = f"{counted(len(new), 'word')} from {address:06o} on" if len(new) > 1 else f"{address:06o}"
    lines = list(_told(address, before, new))
    _done(bench, _change(bench, what, before))
    return said(*lines)


def _where(machine: Machine, address: int) -> int:
    """The physical address, if something can be written there."""
    at = physical(machine, address)
    if at is None:
        raise Refused(f"memory management gives the program no access at {address:06o}; nothing was changed")
    who = who_answers(machine, at)
    if who == NOBODY:
        raise Refused(f"nobody answers at {address:06o}; nothing was changed")
    if who.startswith("ROM"):
        raise Refused(f"{address:06o} is {who}, which can't be written; nothing was changed")
    return at


def _told(address: int, before: list[tuple[int, int | None, str]], new: list[int]) -> Iterator[str]:
    for number, ((_, old, who), value) in enumerate(zip(before, new, strict=True)):
        at = f"{address + 2 * number:06o}"
        if who == MEMORY:
            yield f"{at}: {old or 0:06o} becomes {value:06o}"
        else:
            yield f"{at}: {value:06o} written by a bus cycle to {who}, with all that this sets off"


def _change(bench: Bench, what: str, before: list[tuple[int, int | None, str]]) -> Change:
    """Memory can be put back; what a cycle set off in a device can't."""
    who = next((who for _, old, who in before if who != MEMORY or old is None), "")
    if who:
        return Change(what, None, f"a bus cycle to {who} had its effects")

    def back() -> None:
        for at, old, _ in before:
            put_word(bench.machine, at, old or 0)

    many = len(before) > 1
    undone = f"{what} are as before" if many else f"{what} is {before[0][1] or 0:06o} again"
    return Change(what, back, undone=undone)


def _switch_of(bench: Bench, place: str, switch: str) -> Answer:
    """A switch of a drive or a device."""
    known = places(bench)
    named = next((name for name in known if name.lower() == place), None)
    if named is None or switch not in _SWITCHES:
        raise wrong(USE, f'"{place}" can\'t be changed so.' if named is None else f'"{switch}" is no switch there.')
    machine = bench.machine
    _SWITCHES[switch](machine, named)
    back = _SWITCHES[_opposite(switch)]
    undone = f"{named} {_opposite(switch)}"
    _done(bench, Change(f"{named} {switch}", lambda: back(bench.machine, named), undone=undone))
    return said(f"{named}: {switch}")


def _opposite(switch: str) -> str:
    if switch.endswith(" line"):
        return "off line" if switch == "on line" else "on line"
    return switch[:-3] + "on" if switch.endswith("off") else switch[:-2] + "off"


def suggest(bench: Bench, words: Words) -> Suggested:
    """What can be changed; the switches of a place."""
    if not words:
        yield from ((name.lower(), "this register takes the word behind it") for name in NAMES)
        yield "ps", "the processor status takes the word behind it"
        yield "switches", "the console switches take the word behind it"
        yield "back", "take the last change back"
        yield from places(bench).items()
    elif len(words) == 1 and any(words[0] == name.lower() for name in places(bench)):
        yield from ((switch, "move this switch") for switch in _SWITCHES)
