"""Reads a trace back, line by line, with the place of what is wrong."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from minisim.findings import Mark
from minisim.machine.records import Reason
from minisim.machine.steps import KINDS
from minisim.problems import InputError, Problem
from minisim.trace.lines import FLAGS, FORM, on_bus

LONGEST_LINE = 100_000  # characters; 128 accesses take some 10,000
_KINDS = frozenset(KINDS.values())
_OCTAL = re.compile(r"[0-7]+\Z")
_WIDTHS = {16: 6, 18: 6, 22: 8}


@dataclass(frozen=True, slots=True)
class TraceHead:
    """Which machine was traced, and where in its life the trace begins."""

    name: str
    sha256: str
    profile: str
    address_bits: int
    instructions: int
    time_ns: int


@dataclass(frozen=True, slots=True)
class TracedAccess:
    """One access: `kind` is fetch, read or write, `at` the program's address, `bus` that of the bus."""

    kind: str
    at: int
    data: int
    byte: bool
    bus: int


@dataclass(frozen=True, slots=True)
class TracedInstruction:
    """One instruction; without `words`: interrupts alone, or a fetch that failed.

    `taken`: the vectors of traps and interrupts.
    """

    at: int
    words: tuple[int, ...]
    text: str
    accesses: tuple[TracedAccess, ...]
    flags: tuple[str, ...]
    taken: tuple[int, ...]
    count: int
    time_ns: int
    cut: bool


@dataclass(frozen=True, slots=True)
class TraceEnd:
    """How the run ended."""

    reason: str
    outcome: str
    instructions: int
    lines: int


class TraceReader:
    """A trace: `head` at once, then its instructions one by one.

    `end` is there when all are read, None where the trace was cut off; half a line at its end is no mistake.
    InputError: the file can't be read, or a line is none of a trace.
    """

    def __init__(self, path: str | Path) -> None:
        self.path = str(path)
        self.end: TraceEnd | None = None
        rows = self._rows()
        first = next(rows, None)
        if first is None or first[1].get("trace") != FORM:
            raise self._problem(1, f"this is no trace of form {FORM} (minisim boot --trace)")
        self._rest = rows
        self.head = self._read(1, lambda: _head(first[1]))

    def __iter__(self) -> Iterator[TracedInstruction]:
        bits, before = self.head.address_bits, self.head.instructions
        for number, row in self._rest:
            if self.end is not None:
                raise self._problem(number, "there is something behind the end")
            if "end" in row:
                self.end = self._read(number, lambda row=row: _end(row["end"]))
                continue
            one = self._read(number, lambda row=row: _instruction(row, bits))
            if one.count < before:
                raise self._problem(number, f"the instructions go backwards: {one.count} behind {before}")
            before = one.count
            yield one

    def _rows(self) -> Iterator[tuple[int, dict[str, Any]]]:
        number = 0
        try:
            with Path(self.path).open(encoding="ascii") as stream:
                for number, line in enumerate(_lines(stream), 1):
                    row = json.loads(line)
                    if not isinstance(row, dict):
                        raise ValueError("no object")
                    yield number, row
        except OSError as error:
            raise self._problem(1, f"can't read the file: {(error.strerror or str(error)).lower()}") from None
        except UnicodeDecodeError:
            raise self._problem(number + 1, "a trace is written in ASCII") from None
        except (ValueError, RecursionError) as error:
            raise self._problem(max(number, 1), f"this line is no JSON object ({_short(error)})") from None

    def _read(self, number: int, make: Any) -> Any:
        try:
            return make()
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            what = f"it has no {error}" if isinstance(error, KeyError) else _short(error)
            raise self._problem(number, f"this line is none of a trace: {what}") from None

    def _problem(self, line: int, message: str) -> InputError:
        return InputError([Problem(Mark(self.path, line, 1), message)])


def _lines(stream: IO[str]) -> Iterator[str]:
    """Whole lines; what a kill has cut off is left out."""
    while line := stream.readline(LONGEST_LINE):
        if line.endswith("\n"):
            yield line
        elif len(line) == LONGEST_LINE:
            raise ValueError(f"a line has {LONGEST_LINE} characters at most")


def _short(error: BaseException) -> str:
    return str(error).splitlines()[0][:100] if str(error) else type(error).__name__


# --- records ----------------------------------------------------------------------------------------------------------


def _head(row: dict[str, Any]) -> TraceHead:
    bits = row["address_bits"]
    if bits not in _WIDTHS:
        raise ValueError(f"address_bits is 16, 18 or 22, not {bits!r}")
    texts = (_text(row["name"]), _text(row["sha256"]), _text(row["profile"]))
    return TraceHead(*texts, bits, _count(row["instructions"]), _count(row["time_ns"]))


def _instruction(row: dict[str, Any], bits: int) -> TracedInstruction:
    return TracedInstruction(
        at=_word(row["at"]),
        words=tuple(map(_word, _list(row["words"]))),
        text=_text(row["text"]),
        accesses=tuple(_access(each, bits) for each in _list(row["accesses"])),
        flags=tuple(map(_flag, _list(row["flags"]))),
        taken=tuple(_word(each["vector"]) for each in _list(row.get("taken", []))),
        count=_count(row["count"]),
        time_ns=_count(row["time_ns"]),
        cut=row.get("cut") is True,
    )


def _access(row: dict[str, Any], bits: int) -> TracedAccess:
    kind, at, byte = row["kind"], _word(row["at"]), row.get("byte", False) is True
    if kind not in _KINDS:
        raise ValueError(f"an access is fetch, read or write, not {kind!r}")
    data = _octal(row["data"], 3, 8) if byte else _word(row["data"])
    bus = row.get("bus")
    return TracedAccess(kind, at, data, byte, on_bus(at, bits) if bus is None else _octal(bus, _WIDTHS[bits], bits))


def _end(row: dict[str, Any]) -> TraceEnd:
    reason = Reason(row["reason"])
    return TraceEnd(reason.value, _text(row["outcome"]), _count(row["instructions"]), _count(row["lines"]))


# --- values -----------------------------------------------------------------------------------------------------------


def _word(value: object) -> int:
    return _octal(value, 6, 16)


def _octal(value: object, digits: int, bits: int) -> int:
    if isinstance(value, str) and len(value) == digits and _OCTAL.match(value):
        number = int(value, 8)
        if number < 1 << bits:
            return number
    raise ValueError(f"{digits} octal digits of at most {bits} bits are expected, not {value!r}")


def _count(value: object) -> int:
    if type(value) is not int or value < 0:
        raise ValueError(f"a count is expected, not {value!r}")
    return value


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError(f"a text is expected, not {value!r}")
    return value


def _list(value: object) -> list[Any]:
    if not isinstance(value, list):
        raise TypeError(f"a list is expected, not {value!r}")
    return value


def _flag(value: object) -> str:
    if value not in FLAGS:
        raise ValueError(f"flags are {', '.join(FLAGS)}, not {value!r}")
    return str(value)
