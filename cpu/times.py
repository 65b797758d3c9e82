"""The printed instruction times of a profile, turned into what the core reads (core/times.h).

Lines name instructions; the core wants the numbers of their records, and the modes by the place of the operand.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from minisim.catalogue.times import InstructionTimes, Time, TimeLine
from minisim.cpu._core import ffi, lib

ANY_MODE = -1
ALWAYS_TAKEN = "BR"


class TimesError(ValueError):
    """Times that name what the core does not have; the message says what."""


def table(times: InstructionTimes, rest_ns: int, rest_cycle_ns: int) -> Any:
    """ms_times *: `rest_ns` and `rest_cycle_ns` are the time of instructions without a line."""
    raw = ffi.new("ms_times *")
    lines = sorted((entry for line in times.lines for entry in _entries(line)), key=lambda entry: entry[0])
    if len(lines) > lib.MS_TIME_LINES:
        raise TimesError(f"more than {lib.MS_TIME_LINES} lines of instruction times")
    raw.line_count = len(lines)
    for place, (record, source, destination, ns) in zip(raw.lines, lines, strict=False):
        place.record, place.source_mode, place.destination_mode, place.ns = record, source, destination, ns
    for mode in range(8):
        raw.source_ns[mode], raw.destination_ns[mode] = _of(times.source, mode), _of(times.destination, mode)
    raw.read_less_ns, raw.odd_byte_ns = _ns(times.read_less), _ns(times.odd_byte)
    raw.rest_ns, raw.rest_cycle_ns = rest_ns, rest_cycle_ns
    raw.trap_ns = times.trap.ns if times.trap else rest_ns + 4 * rest_cycle_ns
    raw.untaken_ns = _difference(times)
    return raw


def _difference(times: InstructionTimes) -> int:
    """What a branch takes less if it is not taken.  It is one for all, so each must have it, or none."""
    lines = {name: line for line in times.lines if line.not_taken_ns is not None for name in line.instructions}
    branches = {name for name, (_, _, is_branch) in _records().items() if is_branch}
    if not lines:
        return 0
    wrong = sorted(set(lines) - branches) or sorted(branches - set(lines) - {ALWAYS_TAKEN})
    if wrong:
        raise TimesError(f"not-taken-us: every conditional branch needs it, and nothing else (see {wrong[0]})")
    return max(line.time.ns - (line.not_taken_ns or 0) for line in lines.values())


def _entries(line: TimeLine) -> Iterator[tuple[int, int, int, int]]:
    """A line for each of its records: number, mode of the source, mode of the destination, ns."""
    for name in line.instructions:
        number, fields, _ = _record(name)
        if line.modes is None:
            yield number, ANY_MODE, ANY_MODE, line.time.ns
        elif len(line.modes) != len(fields):
            raise TimesError(f"{name} has {len(fields)} operands with a mode, not {len(line.modes)}")
        else:
            modes = dict(zip(fields, line.modes, strict=True))
            yield number, modes.get("high", ANY_MODE), modes.get("low", ANY_MODE), line.time.ns


def _record(name: str) -> tuple[int, tuple[str, ...], bool]:
    """Number of an instruction, where its operands with a mode stand in the word (as written), whether it branches."""
    found = _records().get(name)
    if found is None:
        raise TimesError(f"no instruction {name}")
    return found


@cache
def _records() -> Mapping[str, tuple[int, tuple[str, ...], bool]]:
    found: dict[str, tuple[int, tuple[str, ...], bool]] = {}
    for number in range(1, lib.ms_record_count()):
        record = lib.ms_records()[number]
        form = lib.ms_form_at(record.form)
        places = (("high",) if form.source else ()) + (("low",) if form.destination else ())
        is_branch = ffi.string(form.name) == b"BRANCH"
        found[ffi.string(record.mnemonic).decode("ascii")] = number, places, is_branch
    return found


def _of(times: Mapping[int, Time], mode: int) -> int:
    return times[mode].ns if mode in times else 0


def _ns(time: Time | None) -> int:
    return time.ns if time else 0
