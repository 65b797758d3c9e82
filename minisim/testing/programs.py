"""Laying programs into the machine of a test, and calling their routines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from minisim.cpu.assembler import Program, assemble
from minisim.findings import Mark
from minisim.machine.errors import MachineError
from minisim.machine.records import Address, Reason
from minisim.problems import InputError, Problem, nearest
from minisim.testing.machines import MachineUnderTest
from minisim.testing.values import Codes, Word, Words
from minisim.testing.waiting import SECONDS, failed, late, plainly, run

STACK = 0o1000  # a call's stack lies below, unless it says otherwise


class Loaded(Mapping[str, int]):
    """The symbols of a program that was laid in, upper and lower case alike: `program["list"]` is its address."""

    def __init__(self, program: Program) -> None:
        self.program = program
        self._symbols = {name.lower(): value & 0o177777 for name, value in program.symbols.items()}

    def __getitem__(self, name: str) -> int:
        if name.lower() not in self._symbols:
            raise KeyError(f"{name}{nearest(name.lower(), self._symbols)}")
        return self._symbols[name.lower()]

    def __iter__(self) -> Iterator[str]:
        return iter(self._symbols)

    def __len__(self) -> int:
        return len(self._symbols)


@dataclass(frozen=True, slots=True)
class Called:
    """What a routine left: registers, codes, and how long it took (`time_ns` in nanoseconds of guest time)."""

    r: Words
    ps: Word
    instructions: int
    time_ns: int

    @property
    def codes(self) -> Codes:
        """N Z V C as the routine left them."""
        return Codes(self.ps)

    def __getattr__(self, name: str) -> Word:
        """r0 to r5, sp."""
        place = name.upper()
        found = next((word for word in self.r if word.name == place), None)
        if found is None:
            raise AttributeError(f"no {name!r}; there are r, r0 to r5, sp, ps, codes, instructions, time_ns")
        return found


class Load:
    """What the fixture `load` gives."""

    def __init__(self, machine: MachineUnderTest, folder: Path) -> None:
        self._machine, self._folder = machine, folder

    @plainly
    def __call__(self, *sources: str | Path | Program) -> Loaded:
        """Lay a program into memory and give its symbols; PC goes to its label `start`, if it has one.

        `sources`: files beside the test's file, read as one; or one text (of several lines); or a `minisim.Program`.
        """
        loaded = Loaded(self._program(sources))
        self._lay(loaded.program)
        self._machine.symbols.update(loaded)
        return loaded

    def _program(self, sources: Sequence[str | Path | Program]) -> Program:
        if not sources:
            raise ValueError("load wants files, a text of several lines, or a Program")
        if len(sources) == 1 and isinstance(sources[0], Program):
            return sources[0]
        return assemble([self._text(source) for source in sources])

    def _text(self, source: str | Path | Program) -> tuple[str, str]:
        if isinstance(source, Program):
            raise ValueError("a Program is laid in alone")
        if isinstance(source, str) and "\n" in source:
            return "text", source
        try:
            return str(source), (self._folder / source).read_text("utf-8")
        except (OSError, UnicodeDecodeError) as error:
            why = getattr(error, "strerror", None) or "it is no text"
            raise InputError([Problem(Mark(str(source), 1, 1), f"can't be read: {why}")]) from None

    def _lay(self, program: Program) -> None:
        for block in program.blocks:
            last = block.address + len(block.data)
            self._machine.memory[block.address : last] = block.data
            self._machine.laid.append(range(block.address, last))
        names = {value: name for name, value in program.symbols.items()}
        self._machine.sources.update(
            (line.address, (line.data, _source(line.source, names.get(line.address, ""))))
            for line in program.listing
            if line.address is not None and line.data
        )
        if program.start is not None:
            self._machine.cpu.pc = program.start


class Call:
    """What the fixture `call` gives."""

    def __init__(self, machine: MachineUnderTest) -> None:
        self._machine = machine

    @plainly
    def __call__(
        self,
        routine: int | str,
        *,
        on_stack: Sequence[int] = (),
        stack: int = STACK,
        ps: int | None = None,
        limit: int | None = None,
        **registers: int,
    ) -> Called:
        """Run a subroutine until its RTS PC: what it left.  The test fails where it does not come back.

        `registers`: r0 to r5; numbers down to -100000 (octal) become words.  `on_stack`: words that lie above the
        return address, the first at 2(SP).  The call takes the memory below `stack`: one word for the return address to
        point at, then `on_stack`, then what the routine pushes.  PS stays as it is unless it is given.
        """
        __tracebackhide__ = True
        machine = self._machine
        address = machine.address_of(routine)
        self._set(registers)
        try:
            self._push(stack, on_stack)
        except MachineError as error:
            raise ValueError(f"a call's stack needs memory below {stack:06o} (stack=... moves it): {error}") from None
        if ps is not None:
            machine.cpu.ps = ps
        return self._run(address, routine, stack, len(on_stack), limit)

    def _set(self, registers: Mapping[str, int]) -> None:
        for name, value in registers.items():
            if name not in ("r0", "r1", "r2", "r3", "r4", "r5"):
                raise ValueError(f"a call takes r0 to r5, on_stack, stack, ps and limit, not {name!r}")
            self._machine.cpu.r[int(name[1])] = _word(value)

    def _push(self, stack: int, words: Sequence[int]) -> None:
        """The word to return to, what the routine finds on the stack, and the return address."""
        back = stack - 2
        if any(back - 2 * len(words) - 2 < one.stop and one.start < stack for one in self._machine.laid):
            raise ValueError(f"a call's stack below {stack:06o} would lie in the program; stack=... moves it")
        pushed = [back, *map(_word, words), 0]
        for place, word in enumerate(pushed):
            self._machine.write(back - 2 * (len(pushed) - 1 - place), word)
        self._machine.cpu.sp = back - 2 * (len(pushed) - 1)

    def _run(self, address: int, routine: int | str, stack: int, pushed: int, limit: int | None) -> Called:
        __tracebackhide__ = True
        machine = self._machine
        machine.cpu.pc = address
        stop, is_late = run(machine, (Address(stack - 2),), limit, SECONDS)
        left = stack - 2 - machine.cpu.sp
        name = routine if isinstance(routine, str) else f"{routine:06o}"
        if stop.reason is not Reason.REACHED:
            failed(machine, f"{name} did not come back: {late(stop, SECONDS) if is_late else stop}")
        if left not in (0, 2 * pushed):
            failed(machine, f"{name} came back with SP {machine.cpu.sp:06o} instead of {stack - 2 - 2 * pushed:06o}")
        return Called(machine.cpu.r.snapshot(), Word(machine.cpu.ps, "PS"), stop.instructions, stop.time_ns)


def _source(text: str, name: str) -> str:
    """A line of a source; with its label, where that stands on a line of its own."""
    text = text.expandtabs()
    return f"{name + ':':8}{text.lstrip()}" if name and text[:1] == " " else text


def _word(value: int) -> int:
    """A number as a word; ValueError: it has more than 16 bits."""
    if not -0o100000 <= value <= 0o177777:
        raise ValueError(f"a word is -100000 to 177777 octal, not {value:o}")
    return value & 0o177777
