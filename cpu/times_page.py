"""The generated page of printed instruction times."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from minisim.catalogue.model import Profile
from minisim.catalogue.reader import Catalogue
from minisim.catalogue.times import InstructionTimes, Time, TimeLine
from minisim.cpu.profile import Timing, named, timing
from minisim.known import Known

HEAD = """# Instruction times

This page is written from the profiles (`make docs`). Times are guest time in microseconds (decimal).

How the time of an instruction is known: by an *instruction table*, printed line by line, as below; by a *cycle
table*, a time for the instruction and one for each memory cycle; by the *average* of one published mix; or it is
*assumed*. What a table does not name takes the time of the rest.

Evidence: seen, derived (from figures that were seen), unconfirmed (recalled), or *model*: nothing is printed, and
the last column says what the emulator took it from. Of a range the middle counts, of an upper bound the bound.
"""

FOOT = """
A line with operands is the whole time of exactly these words, the first line that fits a word counts, and on a line
without operands comes what the operands add. No operand adds anything where a table says nothing of operands.
"""


def pages() -> dict[Path, str]:
    """Path under docs/ -> text."""
    return {Path("reference/instruction-times.md"): "\n".join(_page()) + "\n"}


def _page() -> Iterator[str]:
    profiles = [named(name) for name in Catalogue().ids("profiles")]
    yield HEAD
    yield "| Profile | Known by | The rest | Strength of the table |"
    yield "|---|---|---|---|"
    for profile in profiles:
        time = timing(profile)
        strength = time.table.strength().items() if time.table else ()
        counts = ", ".join(f"{count} {word}" for word, count in strength)
        yield f"| {profile.id} | {time.basis} | {_rest(time)} | {counts} |"
    yield FOOT
    for profile in profiles:
        if profile.times:
            yield from _table(profile, profile.times)


def _rest(time: Timing) -> str:
    """What instructions without a line take."""
    cycles = f" + {_us(time.cycle_ns)} a cycle" if time.cycle_ns else ""
    return f"{_us(time.base_ns)}{cycles} ({time.rest})"


def _table(profile: Profile, times: InstructionTimes) -> Iterator[str]:
    yield f"\n## {profile.id}\n"
    yield "| What | Operands | Time | Evidence | Remark |"
    yield "|---|---|---|---|---|"
    for line in times.lines:
        yield _row(", ".join(line.instructions), _operands(line), line.time, _untaken(line))
    for what, by_mode in (("a source adds", times.source), ("a destination adds", times.destination)):
        for time, modes in _grouped(by_mode).values():
            yield _row(what, "mode " + ", ".join(map(str, modes)), time)
    single = {
        "a destination that is only read: less": times.read_less,
        "a byte at an odd address adds": times.odd_byte,
        "a trap or interrupt": times.trap,
        "every other instruction": times.rest,
        "and each of its memory cycles": times.rest_cycle,
    }
    for what, single_time in single.items():
        if single_time:
            yield _row(what, "", single_time)


def _grouped(by_mode: Mapping[int, Time]) -> dict[int, tuple[Time, list[int]]]:
    """The modes that one line of the file names together."""
    found: dict[int, tuple[Time, list[int]]] = {}
    for mode, time in by_mode.items():
        found.setdefault(id(time), (time, []))[1].append(mode)
    return found


def _row(what: str, operands: str, time: Time, more: str = "") -> str:
    return f"| {what} | {operands} | {_printed(time)}{more} | {_evidence(time)} | {_remark(time)} |"


def _operands(line: TimeLine) -> str:
    return "" if line.modes is None else "mode " + " and ".join(map(str, line.modes))


def _untaken(line: TimeLine) -> str:
    return "" if line.not_taken_ns is None else f", not taken {_us(line.not_taken_ns)}"


def _printed(time: Time) -> str:
    if isinstance(time.printed, Known) and time.reading:
        low, high = time.printed.peek
        return (
            f"{_us(low)} to {_us(high)}, counts {_us(time.ns)}" if time.reading == "middle" else f"{_us(high)} at most"
        )
    return _us(time.ns)


def _evidence(time: Time) -> str:
    sources = time.printed.sources if isinstance(time.printed, Known) else ()
    return ", ".join((time.evidence, *(f"[{source}]" for source in sources)))


def _remark(time: Time) -> str:
    return time.because or (time.printed.note if isinstance(time.printed, Known) else "")


def _us(ns: int) -> str:
    return f"{ns / 1000:.3f}".rstrip("0").rstrip(".")
