"""Two machines made alike, one for each core, run side by side; the first difference in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from tallies import share, tally

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.cpu._core import ffi, lib
from minisim.cpu.disassembler import disassemble
from minisim.cpu.profile import available, configuration, named
from minisim.devices import serial_line
from minisim.devices._device import (
    Device,
    Field,
    Placement,
    Register,
    RequestLine,
    Ring,
    TimedAction,
    arm,
    clear_bits,
    halt_processor,
    is_set,
    put,
    set_bits,
)
from minisim.known import Known
from minisim.machine.assemble import put_together

PROFILES = Catalogue().ids("profiles")
SIZE = 0o20000  # bytes of memory: little, since all of it is compared after every instruction
FULL = 0o160000  # as much as a program sees without memory management
WORDS = 1 << 16  # first words
BELLS = ((0o100, 6), (0o060, 4), (0o064, 5), (0o300, 7))  # vector and level of each bell
BELLS_AT = 0o160000
STOPS = ("none", "halted", "limit", "waiting", "reached", "request", "stuck")
ROWS = {
    lib.MS_IN_REGISTER: "registers",
    lib.MS_IN_TIMER: "timers",
    lib.MS_IN_LINE: "lines",
    lib.MS_IN_RING: "rings",
}


def bells() -> Device:
    """A device that asks for interrupts: bit n of its register is bell n, timed action n rings it, a grant stills it.

    What is written to the second word is printed, and rings bell 1 a little later; with bit 15 that halts, too.
    """
    everything = (Field("bells", 0o177777, "RW", "which of them ring"),)
    halts = (halt_processor().when(is_set("word", 1 << 15)), clear_bits("word", 1 << 15))
    return Device(
        id="bells",
        place="1",
        base=BELLS_AT,
        registers=(
            Register("bells", 0, everything),
            Register("word", 2, everything, on_write=(put("paper", "word"), arm("bell 1"))),
        ),
        timers=tuple(
            TimedAction(f"bell {n}", 5000, (set_bits("bells", 1 << n), *(halts if n == 1 else ())), survives_init=n < 2)
            for n in range(len(BELLS))
        ),
        lines=tuple(
            RequestLine(
                f"bell {n}",
                ("bells", 1 << n),
                None,
                vector,
                level,
                n,
                True,
                on_acknowledge=(clear_bits("bells", 1 << n),),
            )
            for n, (vector, level) in enumerate(BELLS)
        ),
        rings=(Ring("paper", True),),
    )


def choices(profile: str) -> list[tuple[str, ...]]:
    """The sets of options a profile is tried with: none, and all."""
    every = tuple(sorted(available(named(profile))))
    standard = tuple(sorted(name for name, word in available(named(profile)).items() if word == "standard"))
    return [standard] if standard == every else [standard, every]


def built(profile: str, options: Iterable[str] | None, size: int = SIZE) -> minisim.Machine:
    """A small machine with bells and a serial line."""
    line = serial_line.build(Placement("serial-line", vectors=((0o060, 4), (0o064, 4)), order=16))
    bits = named(profile).address_bits
    wide = bits.peek if isinstance(bits, Known) else 16
    return put_together(configuration(profile, options), [(0, size)], [bells(), *line], address_bits=wide, console=1)


@dataclass
class Tally:
    """All lock-step of this session, for the last lines of `make slow`."""

    instructions: int = 0
    by_fast: int = 0

    def add(self, name: str, instructions: int, by_fast: int, differences: int = 0) -> None:
        """What one call of the core has compared."""
        share(name, instructions, by_fast)
        self.instructions += instructions
        self.by_fast += by_fast
        tally("lock-step", instructions, differences, "instructions")


TALLY = Tally()


class Pair:
    """A machine on the reference core and its twin on the fast one.  `report` adds up over all calls."""

    def __init__(self, reference: minisim.Machine, fast: minisim.Machine) -> None:
        reference.core, fast.core = "reference", "fast"
        self.name = reference.name or reference.profile
        self.machines = (reference, fast)
        self.raw = (reference._raw, fast._raw)
        self.report: Any = ffi.new("ms_comparison *")
        self.by_word: Any = ffi.new("uint32_t[]", WORDS)
        self.report.by_word = self.by_word

    @classmethod
    def of(cls, profile: str, options: Iterable[str] | None = None, size: int = SIZE) -> Pair:
        """Two small machines of a profile."""
        return cls(built(profile, options, size), built(profile, options, size))

    def put(self, address: int, data: bytes) -> None:
        """The same bytes into both memories."""
        for raw in self.raw:
            lib.ms_put_memory(raw, address, data, len(data))

    def unmapped(self) -> None:
        """Memory management off in both: a random program may have switched it on, and little is plain then."""
        for raw in self.raw:
            raw.mmr[0] = raw.mmr[3] = 0
            lib.ms_mapping_changed(raw)

    def run(self, limit: int) -> None:
        """Run on by single instructions; AssertionError tells of the first difference."""
        before = self._counts()
        lib.ms_lockstep(*self.raw, limit, self.report)
        self._check(before)

    def trials(self, trials: Any, limit: int) -> None:
        """The same from each of many places to start from."""
        before = self._counts()
        lib.ms_lockstep_trials(*self.raw, trials, len(trials), limit, self.report)
        self._check(before)

    def _counts(self) -> tuple[int, int]:
        return int(self.report.instructions), int(self.report.by_fast)

    def _check(self, before: tuple[int, int]) -> None:
        instructions, by_fast = (now - then for now, then in zip(self._counts(), before, strict=True))
        TALLY.add(self.name, instructions, by_fast, int(self.report.differences))
        assert not self.report.differences, self.difference()

    @property
    def share(self) -> float:
        """Of the instructions compared, those that handlers of the fast core did."""
        return float(self.report.by_fast / max(self.report.instructions, 1))

    @cached_property
    def handlers(self) -> dict[int, list[int]]:
        """The handlers of the fast core, each with the first words it does."""
        found: dict[int, list[int]] = {}
        for word in range(WORDS):
            if handler := lib.ms_handler_of(self.raw[1], word):
                found.setdefault(handler, []).append(word)
        return found

    def difference(self) -> str:
        """Which instruction, which core did it, what differs, both values."""
        report = self.report
        text = f"{report.pc:06o}: {self._instruction()} with PS {report.ps:06o}"
        who = "a handler of the fast core" if report.last_by_fast else "the reference core in both machines"
        return f"after {report.instructions} instructions, {text}, done by {who}: {self._place()}"

    def _instruction(self) -> str:
        at = self.report.pc & 0o177776
        words = [self.report.word, *(self._word(at + 2), self._word(at + 4))]
        return disassemble(words, at)[0].text

    def _word(self, at: int) -> int:
        memory = self.raw[0]
        return int.from_bytes(ffi.buffer(memory.memory + at, 2), "little") if at + 1 < memory.memory_bytes else 0

    def _place(self) -> str:
        report = self.report
        if report.part == lib.MS_IN_STOP:
            return f"stop {STOPS[report.reference]}, fast {STOPS[report.fast]}"
        if report.part == lib.MS_IN_MACHINE:
            return field_of(*self.raw, report.offset)
        if report.part in ROWS:
            rows = ROWS[report.part]
            reference, fast = (getattr(raw, rows)[report.index] for raw in self.raw)
            return f"{rows}[{report.index}].{field_of(reference, fast, report.offset)}"
        where = f"memory {report.offset:06o}"
        if report.part == lib.MS_IN_CONTENT:
            where = f"rings[{report.index}] byte {report.offset} of its content"
        elif report.part == lib.MS_IN_WIRING:
            where = f"the machines are wired differently (kind {report.index}, byte {report.offset})"
        return f"{where}: {report.reference:03o}, fast {report.fast:03o}"


def name_at(struct: Any, offset: int) -> str:
    """The field of a C struct at this offset."""
    fields = dict(struct.fields)
    return str(max((name for name in fields if fields[name].offset <= offset), key=lambda name: fields[name].offset))


def field_of(reference: Any, fast: Any, offset: int) -> str:
    """The field of two C structs at this offset, with both values."""
    struct = ffi.typeof(reference)
    name = name_at(struct.item if struct.kind == "pointer" else struct, offset)
    values = (getattr(machine, name) for machine in (reference, fast))
    return f"{name}: {', fast '.join(_shown(value) for value in values)}"


def _shown(value: Any) -> str:
    """A number in octal, an array as a list of them."""
    if isinstance(value, int):
        return f"{value:o}"
    try:
        return "[" + " ".join(_shown(each) for each in value) + "]"
    except TypeError:
        return str(value)
