"""The machine of a test: a `minisim.Machine` whose words show themselves in octal, whose console keeps what it printed
and whose media are copies in memory.
"""

from __future__ import annotations

import weakref
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, overload

from minisim.cpu._core import ffi
from minisim.cpu.operands import NAMES
from minisim.machine.drives import Drives
from minisim.machine.machine import Machine
from minisim.machine.views import Accumulators, Cpu, Line, Memory, NoConsole, RegisterFile
from minisim.testing.values import (
    ACCUMULATOR,
    BYTE,
    Codes,
    ConsoleText,
    MemoryBytes,
    Word,
    Words,
    place_in_memory,
)

if TYPE_CHECKING:
    from minisim.machine.inputs import Inputs
    from minisim.machine.layout import DeviceLayout


class RegistersUnderTest(RegisterFile):
    """R0 to R7 as they stand: words, slices of them, and comparisons with lists and with `{"R0": 0o14}`."""

    def snapshot(self) -> Words:
        """The eight words at this moment."""
        return Words([int(word) for word in self._raw.r], NAMES)

    @overload
    def __getitem__(self, number: int) -> Word: ...
    @overload
    def __getitem__(self, number: slice) -> Words: ...
    def __getitem__(self, number: int | slice) -> Word | Words:
        if isinstance(number, slice):
            return self.snapshot()[number]
        return Word(super().__getitem__(number), NAMES[number])

    def __iter__(self) -> Iterator[Word]:
        return iter(self.snapshot())

    def __eq__(self, other: object) -> bool:
        return self.snapshot() == (other.snapshot() if isinstance(other, RegistersUnderTest) else other)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return repr(self.snapshot())


class AccumulatorsUnderTest(Accumulators):
    """AC0 to AC5, which show themselves as four words and as the number they stand for."""

    @overload
    def __getitem__(self, number: int) -> Word: ...
    @overload
    def __getitem__(self, number: slice) -> list[int]: ...
    def __getitem__(self, number: int | slice) -> Word | list[int]:
        return self.snapshot()[number] if isinstance(number, int) else list(self.snapshot()[number])

    def snapshot(self) -> Words:
        """The six numbers at this moment."""
        return Words(list(map(int, self._raw.ac)), [f"AC{number}" for number in range(6)], ACCUMULATOR)


class CpuUnderTest(Cpu):
    """The processor's registers as words; `codes` are the condition codes."""

    r: RegistersUnderTest

    def __init__(self, inputs: Inputs) -> None:
        super().__init__(inputs)
        self.r = RegistersUnderTest(inputs)

    def __getattribute__(self, name: str) -> Any:
        value = super().__getattribute__(name)
        return Word(value, name.upper()) if name in ("sp", "pc", "ps", "fps", "fec", "fea") else value

    @property
    def ac(self) -> AccumulatorsUnderTest:
        """AC0 to AC5 of a floating point processor.  NotFittedError: there is none."""
        self._with_floating()
        return AccumulatorsUnderTest(self._inputs)

    @ac.setter
    def ac(self, values: Sequence[int]) -> None:
        Cpu.ac.fset(self, values)  # type: ignore[attr-defined]

    @property
    def codes(self) -> Codes:
        """N Z V C as they stand now; compare with a text such as "nZvc" or "Z"."""
        return Codes(self.ps)

    def register(self, register_set: int, number: int) -> Word:
        """R0 to R5 of one register set (0 or 1), wherever it is kept now."""
        return Word(super().register(register_set, number), f"R{number} of set {register_set}")

    def stack_pointer(self, mode: int) -> Word:
        """The stack pointer of a mode: 0 kernel, 1 supervisor, 3 user."""
        return Word(super().stack_pointer(mode), f"SP of mode {mode}")


class MemoryUnderTest(Memory):
    """Physical memory: bytes that know their address, and words."""

    @overload
    def __getitem__(self, where: int) -> Word: ...
    @overload
    def __getitem__(self, where: slice) -> MemoryBytes: ...
    def __getitem__(self, where: int | slice) -> Word | MemoryBytes:
        if isinstance(where, int):
            return Word(super().__getitem__(where), f"the byte at {place_in_memory(where)}", BYTE)
        return MemoryBytes(super().__getitem__(where), where.start or 0)

    def word(self, address: int) -> Word:
        """The word at an even physical address."""
        return Word(super().word(address), f"the word at {place_in_memory(address)}")

    def words(self, address: int, count: int) -> Words:
        """`count` words from an even physical address on."""
        places = range(address, address + 2 * count, 2)
        return Words([super(MemoryUnderTest, self).word(at) for at in places], [place_in_memory(at) for at in places])


class ConsoleUnderTest(Line):
    """The console: types, keeps all that was printed, and runs the machine until a text came."""

    def __init__(self, machine: MachineUnderTest, inputs: Inputs, device: DeviceLayout) -> None:
        super().__init__(inputs, device)
        self._machine = weakref.ref(machine)  # the machine holds the console
        self._printed = bytearray()
        self._taken = self._waited = 0

    @property
    def text(self) -> ConsoleText:
        """All that was printed since the machine was switched on, without the eighth bit of each character."""
        self._collect()
        return ConsoleText(bytes(byte & 0o177 for byte in self._printed).decode("ascii"))

    @property
    def unread(self) -> ConsoleText:
        """What was printed behind the last text that `expect` found."""
        return ConsoleText(self.text[self._waited :])

    def type(self, text: str) -> None:
        r"""Type a text as somebody at the keyboard would; the return key is \r.  ValueError: not ASCII."""
        if not text.isascii():
            raise ValueError(f"a terminal types ASCII, which {text!r} is not")
        self.feed(text.encode("ascii"))

    def expect(self, text: str, *, limit: int | None = None, seconds: float | None = None) -> ConsoleText:
        """Run until a text comes that no `expect` has found yet; gives all that came before it, and the text.

        The test fails where the machine stops before, `limit` instructions (decimal) have run, or `seconds` of machine
        time have passed.
        """
        __tracebackhide__ = True
        from minisim.testing.waiting import SECONDS, RunUntil

        machine = self._machine()
        assert machine is not None
        RunUntil(machine)(text=text, limit=limit, seconds=SECONDS if seconds is None else seconds)
        return self._read_on(text)

    def take(self) -> bytes:
        """What the guest printed since the last call, eight bits a character as it came."""
        self._collect()
        new, self._taken = bytes(self._printed[self._taken :]), len(self._printed)
        return new

    def _collect(self) -> None:
        self._printed += super().take()

    def _read_on(self, text: str) -> ConsoleText:
        """Go behind the first such text that is unread; what it was with what stood before it."""
        unread = self.unread
        end = unread.index(text) + len(text)
        self._waited += end
        return ConsoleText(unread[:end])


class DrivesUnderTest(Drives):
    """Drives whose media are copies in memory: what is written is gone with the machine."""

    def put_in(self, place: str, path: str | Path, *, write_through: bool = False) -> None:
        """Put a copy of a medium in; one that was in is taken out.  LoadoutError: it can't be used in this drive."""
        from minisim.catalogue import Catalogue
        from minisim.machine.media import copied

        if write_through:
            raise ValueError("a test writes to a copy of the medium; write_through is for a machine of one's own")
        self.put(place, copied(Path(path), self[place].takes, Catalogue(), mark=None))


class MachineUnderTest(Machine):
    """The machine of a test.  `symbols` are those of the programs laid into it, in small letters."""

    cpu: CpuUnderTest
    memory: MemoryUnderTest
    limit: int  # instructions of a wait that names none

    def __init__(self, made: Machine, limit: int) -> None:
        super().__init__(made._raw, made.layout, made.timing, made._controllers)
        self._made = made  # when it goes, it closes the media
        self.limit = limit
        self.cpu = CpuUnderTest(self._inputs)
        self.memory = MemoryUnderTest(self._inputs)
        self.drives = DrivesUnderTest(made._controllers, self._inputs)
        self.symbols: dict[str, int] = {}
        self.laid: list[range] = []  # where they lie
        self.sources: dict[int, tuple[bytes, str]] = {}  # what each of their lines placed, and its text
        self.was_shown = False  # a failure told already where it stands
        if self.layout.console is not None:
            self.console = ConsoleUnderTest(self, self._inputs, self.layout.devices[self.layout.console])

    def __enter__(self) -> MachineUnderTest:
        return self

    def __repr__(self) -> str:
        return f"<the machine {self.name}, PC {self.cpu.pc:06o}>"

    def read(self, address: int, *, space: str = "program") -> Word:
        """One read cycle with its side effects: the word at an even address.  BusTimeout: nobody answers."""
        return Word(super().read(address, space=space), f"the word read at {place_in_memory(address)}")

    @property
    def has_console(self) -> bool:
        """Is there a console line?"""
        return not isinstance(self.console, NoConsole)

    def peek(self, address: int) -> int | None:
        """A word of the running program without a side effect; None where it can't be had."""
        data = ffi.new("uint16_t *")
        return int(data[0]) if self._peek_instruction(address, data) else None

    def address_of(self, where: int | str) -> int:
        """An address, or that of a symbol of a program laid in.  ValueError: there is no such symbol."""
        from minisim.problems import nearest

        if isinstance(where, int):
            return where
        if where.lower() not in self.symbols:
            known = "no program was laid in" if not self.symbols else f"there are {', '.join(self.symbols)}"
            raise ValueError(f'no symbol "{where}"{nearest(where.lower(), self.symbols)} ({known})')
        return self.symbols[where.lower()] & 0o177777
