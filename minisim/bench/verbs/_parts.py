"""What several words of the bench share."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from minisim.bench.answer import Refused, Words, listed

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested
    from minisim.machine.machine import Machine


def wrong(use: Iterable[str], why: str = "") -> Refused:
    """A line that has not the form of its word: what is allowed."""
    return Refused(*([why] if why else []), "Write it so:", *(f"  {form}" for form in use))


def no_more(words: Words, use: Iterable[str]) -> None:
    """Refused: there are words behind a verb that stands alone."""
    if words:
        raise wrong(use, f'"{words[0]}" can\'t stand there.')


def nothing(words: Words) -> Suggested:
    """No word stands behind."""
    return ()


def halt_note(bench: Bench) -> tuple[str, ...]:
    """With the halt switch on, a run is one instruction long."""
    if not bench.machine._raw.halt_switch:
        return ()
    return ("The halt switch is on: it halts after each instruction; `enable` puts it off.",)


def still(bench: Bench) -> None:
    """A machine that runs is paused before something is done to it that needs it to stand."""
    bench.pause()


# --- places -----------------------------------------------------------------------------------------------------------

TAPE = "tape"


@dataclass(frozen=True, slots=True)
class Reader:
    """A reader of paper tape and its place."""

    place: str
    what: str
    put_in: Callable[[bytes], None]
    take_out: Callable[[], bytes]


def places(bench: Bench) -> dict[str, str]:
    """Every place with something in it, and what."""
    found: dict[str, list[str]] = {}
    for device in bench.machine.layout.devices:
        if device.id not in found.setdefault(device.place, []):
            found[device.place].append(device.id)
    drives = {place: drive.kind for place, drive in bench.machine.drives.items()}
    return {place: listed(ids) for place, ids in found.items()} | drives


def readers(bench: Bench) -> list[Reader]:
    """Readers of the paper-tape units, then those of terminals, the console first."""
    machine = bench.machine
    found = [
        Reader(one.place, "the paper tape reader", _put(machine.put_in_tape, one.place), _take(machine, one.place))
        for one in machine.layout.devices
        if "tape" in one.rings
    ]
    lines = [one for one in machine.layout.devices if "reader" in one.rings]
    console = machine.layout.console
    lines.sort(key=lambda one: console is None or one is not machine.layout.devices[console])
    for one in lines:
        same = [each for each in machine.layout.devices if each.place == one.place and each.id == one.id]
        line = machine.line(one.place, same.index(one))
        found.append(Reader(one.place, "the reader of the terminal", line.put_in_tape, line.take_out_tape))
    return found


def _put(put_in_tape: Callable[[bytes, str], None], place: str) -> Callable[[bytes], None]:
    return lambda data: put_in_tape(data, place)


def _take(machine: Machine, place: str) -> Callable[[], bytes]:
    return lambda: machine.take_out_tape(place)


def reader_at(bench: Bench, place: str) -> Reader:
    """The reader of a place, or the first one.  Refused: there is none."""
    found = [one for one in readers(bench) if place in (TAPE, one.place)]
    if not found:
        raise Refused(f"there is no reader for paper tape{'' if place == TAPE else f' at {place}'}")
    return found[0]


def drives_and_readers(bench: Bench) -> Suggested:
    """Where something can be put in."""
    yield from ((place, f"{drive.kind}") for place, drive in bench.machine.drives.items())
    found = readers(bench)
    if found:
        yield TAPE, f"{found[0].what} at {found[0].place}"
    yield from ((one.place, one.what) for one in found)


def named_place(bench: Bench, typed: str) -> str:
    """A drive or reader by its place, in whatever letters.  Refused: there is none."""
    known = dict(drives_and_readers(bench))
    found = next((place for place in known if place.lower() == typed.lower()), None)
    if found is None:
        there = f"; there are {listed(known)}" if known else "; this machine has none"
        raise Refused(f'"{typed}" is no drive and no reader{there}')
    return found
