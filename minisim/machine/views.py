"""Ways to look at and into a machine: registers, memory, lines.  Each is a thin view on the core's struct."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, overload

from minisim.cpu._core import ffi, lib
from minisim.cpu.table import modules
from minisim.machine.errors import NotFittedError
from minisim.machine.inputs import Inputs
from minisim.machine.layout import DeviceLayout
from minisim.machine.rings import drain

WORD = 0o177777
FPS_BITS = 0o147777
MODES = {0: "kernel", 1: "supervisor", 3: "user"}


def word_of(value: int, what: str) -> int:
    """The value if it is a word; ValueError names what it was for."""
    if not isinstance(value, int) or not 0 <= value <= WORD:
        raise ValueError(f"{what} takes a word, 0 to 177777 octal, not {value!r}")
    return int(value)


class RegisterFile:
    """R0 to R7 of the current set and mode, as a sequence of eight words."""

    def __init__(self, inputs: Inputs) -> None:
        self._inputs, self._raw = inputs, inputs.raw

    def __len__(self) -> int:
        return 8

    def __getitem__(self, number: int) -> int:
        return int(self._raw.r[_register_number(number)])

    def __setitem__(self, number: int, value: int) -> None:
        which, word = _register_number(number), word_of(value, f"register {number}")
        self._inputs.of_processor(f"register {which}", word)
        self._raw.r[which] = word

    def __iter__(self) -> Any:
        return iter([int(word) for word in self._raw.r])

    def __repr__(self) -> str:
        return "[" + " ".join(f"{word:06o}" for word in self) + "]"


def _register_number(number: int) -> int:
    if not isinstance(number, int) or not 0 <= number <= 7:
        raise IndexError(f"registers are 0 to 7, not {number!r}")
    return number


class Accumulators(Sequence[int]):
    """AC0 to AC5 of a floating point processor, as a sequence of six numbers of 64 bits."""

    def __init__(self, inputs: Inputs) -> None:
        self._inputs, self._raw = inputs, inputs.raw

    def __len__(self) -> int:
        return 6

    @overload
    def __getitem__(self, number: int) -> int: ...
    @overload
    def __getitem__(self, number: slice) -> list[int]: ...
    def __getitem__(self, number: int | slice) -> int | list[int]:
        return [int(value) for value in self._raw.ac][number]

    def __setitem__(self, number: int, value: int) -> None:
        if not isinstance(value, int) or not 0 <= value < 1 << 64:
            raise ValueError(f"an accumulator takes a number of 64 bits, not {value!r}")
        if not isinstance(number, int) or not 0 <= number <= 5:
            raise IndexError(f"accumulators are 0 to 5, not {number!r}")
        self._inputs.of_processor(f"accumulator {number}", value)
        self._raw.ac[number] = value

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return repr(list(self))


class Cpu:
    """The processor's registers.  All words are plain ints of 16 bits."""

    def __init__(self, inputs: Inputs) -> None:
        self._inputs, self._raw = inputs, inputs.raw
        self.r = RegisterFile(inputs)

    @property
    def sp(self) -> int:
        """Stack pointer of the current mode (R6)."""
        return self.r[6]

    @sp.setter
    def sp(self, value: int) -> None:
        self.r[6] = value

    @property
    def pc(self) -> int:
        """Program counter (R7)."""
        return self.r[7]

    @pc.setter
    def pc(self, value: int) -> None:
        self.r[7] = value

    @property
    def ps(self) -> int:
        """Processor status word; setting it changes mode and register set with it."""
        return int(lib.ms_get_ps(self._raw))

    @ps.setter
    def ps(self, value: int) -> None:
        word = word_of(value, "the PS")
        self._inputs.of_processor("status", word)
        lib.ms_set_ps(self._raw, word)

    @property
    def fps(self) -> int:
        """Floating point status.  NotFittedError: no floating point processor is fitted."""
        return int(self._with_floating().fps)

    @fps.setter
    def fps(self, value: int) -> None:
        raw, word = self._with_floating(), word_of(value, "the FPS") & FPS_BITS
        self._inputs.of_processor("floating status", word)
        raw.fps = word

    @property
    def fec(self) -> int:
        """Code of the last floating exception."""
        return int(self._with_floating().fec)

    @property
    def fea(self) -> int:
        """Address of the instruction that made it."""
        return int(self._with_floating().fea)

    @property
    def ac(self) -> Accumulators:
        """Floating point accumulators AC0 to AC5: six numbers of 64 bits, sign and exponent at the top."""
        self._with_floating()
        return Accumulators(self._inputs)

    @ac.setter
    def ac(self, values: Sequence[int]) -> None:
        accumulators = self.ac
        if len(values) != len(accumulators):
            raise ValueError(f"there are six accumulators, not {len(values)}")
        for number, value in enumerate(values):
            accumulators[number] = value

    def _with_floating(self) -> Any:
        if not self._raw.modules & 1 << modules().index("fpp"):
            raise NotFittedError("no floating point processor is fitted")
        return self._raw

    def register(self, register_set: int, number: int) -> int:
        """R0 to R5 of one register set (0 or 1), wherever it is kept now."""
        sets = int(self._raw.register_sets)
        if not 0 <= register_set < sets:
            raise NotFittedError(f"there is no register set {register_set}; this processor has {sets}")
        if not 0 <= number <= 5:
            raise IndexError("a register set holds R0 to R5; see stack_pointer(mode) and pc")
        current = (self.ps >> 11 & 1) if sets == 2 else 0
        return int(self._raw.r[number] if register_set == current else self._raw.set[register_set][number])

    def stack_pointer(self, mode: int) -> int:
        """The stack pointer of a mode: 0 kernel, 1 supervisor, 3 user."""
        if mode not in MODES:
            raise ValueError("modes are 0 kernel, 1 supervisor, 3 user")
        modes = int(self._raw.modes)
        if (mode == 3 and modes < 2) or (mode == 1 and modes < 3):
            raise NotFittedError(f"this processor has no {MODES[mode]} mode")
        current = self.ps >> 14 if modes > 1 else 0
        return int(self._raw.r[6] if mode == current else self._raw.stack[mode])


class Memory:
    """Physical memory by byte address, low byte of a word first: slices read and write bytes."""

    def __init__(self, inputs: Inputs) -> None:
        self._inputs, self._raw = inputs, inputs.raw
        self._buffer = ffi.buffer(self._raw.memory, self._raw.memory_bytes)

    def __len__(self) -> int:
        return int(self._raw.memory_bytes)

    @overload
    def __getitem__(self, where: int) -> int: ...
    @overload
    def __getitem__(self, where: slice) -> bytes: ...
    def __getitem__(self, where: int | slice) -> int | bytes:
        first, last = self._range(where)
        data = bytes(self._buffer[first:last])
        return data if isinstance(where, slice) else data[0]

    def __setitem__(self, where: int | slice, data: bytes | bytearray | memoryview | int) -> None:
        first, last = self._range(where)
        content = bytes([data]) if isinstance(data, int) else bytes(data)
        if len(content) != last - first:
            raise ValueError(f"{last - first} bytes are needed from {first:o} to {last:o}, not {len(content)}")
        self._inputs.into_memory(first, content)
        lib.ms_put_memory(self._raw, first, content, last - first)

    def word(self, address: int) -> int:
        """The word at an even physical address."""
        return int.from_bytes(self[address : address + 2], "little")

    def put(self, address: int, *words: int) -> None:
        """Words from an even physical address on."""
        content = b"".join(word_of(word, "memory").to_bytes(2, "little") for word in words)
        self[address : address + len(content)] = content

    def view(self) -> memoryview:
        """All of it without a copy, read-only; it stays valid after the machine is dropped."""
        kept = ffi.gc(self._raw.memory, lambda _, machine=self._raw: None)
        return memoryview(ffi.buffer(kept, self._raw.memory_bytes)).toreadonly()

    def _range(self, where: int | slice) -> tuple[int, int]:
        if isinstance(where, int):
            where = slice(where, where + 1)
        if where.step not in (None, 1):
            raise ValueError("memory is read and written without steps")
        first = 0 if where.start is None else where.start
        last = len(self) if where.stop is None else where.stop
        if not 0 <= first <= last <= len(self):
            raise NotFittedError(f"no memory from {first:o} to {last:o}; it ends at {len(self):o}")
        self._fitted(first, last)
        return first, last

    def _fitted(self, first: int, last: int) -> None:
        if last <= self._raw.ram_top or first == last:
            return
        for bank in range(first // lib.MS_BANK_BYTES, (last - 1) // lib.MS_BANK_BYTES + 1):
            if not self._raw.present[bank]:
                raise NotFittedError(f"no memory at {max(first, bank * lib.MS_BANK_BYTES):o}")


class Line:
    """The far end of a serial line: what the host types and what the guest printed.

    Typed bytes arrive at line speed.  Patiently (the default) as somebody at a keyboard would: the next one comes when
    the program has taken the last one, and not while the tape reader of the terminal moves.  Steadily as a machine
    would: one after the other, and what the program does not take in time is lost, with the overrun bit set.
    """

    def __init__(self, inputs: Inputs, device: DeviceLayout, number: int | None = None) -> None:
        """`number`: which line, of a device with several."""
        self._inputs, self._raw, self._device = inputs, inputs.raw, device
        self._of = "" if number is None else f" {number}"

    @property
    def place(self) -> str:
        """The board's place."""
        return self._device.place

    def feed(self, data: bytes, *, steady: bool = False) -> None:
        """Type these bytes.  MachineError: not all of them found room."""
        if data:
            self._inputs.act(self._device, f"feed {'steadily' if steady else 'patiently'}{self._of}")
            self._inputs.feed(self._device, f"keyboard{self._of}", data)

    def put_in_tape(self, data: bytes) -> None:
        """Lay a paper tape into the reader of the terminal, behind what is left of the last one.

        NotFittedError: terminals on a multiplexer have none here.
        """
        if self._of:
            raise NotFittedError("the terminals of a multiplexer have no tape reader")
        self._inputs.feed(self._device, "reader", data)

    def take_out_tape(self) -> bytes:
        """Take the paper tape out of the terminal's reader; gives the frames that were not read."""
        if self._of:
            raise NotFittedError("the terminals of a multiplexer have no tape reader")
        return self._inputs.take_back(self._device, "reader")

    def take(self) -> bytes:
        """What the guest printed since the last call, eight bits a character as it came."""
        with self._inputs.hold:
            return drain(self._raw, self._device.rings[f"printer{self._of}"])

    def send_break(self) -> None:
        """Hold the line in break for longer than a character."""
        self._inputs.act(self._device, f"break{self._of}")

    def waiting(self) -> int:
        """How many typed bytes the guest has not taken yet."""
        return int(self._raw.rings[self._device.rings[f"keyboard{self._of}"]].count)


class NoConsole(Line):
    """Stands where a machine has no console line: whatever is asked of it, it says so."""

    def __init__(self) -> None:
        pass

    def __getattribute__(self, name: str) -> Any:
        if name.startswith("__"):
            return object.__getattribute__(self, name)
        raise NotFittedError("this machine has no console line")
