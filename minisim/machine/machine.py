"""A running machine: processor, memory, devices, and the console."""

from __future__ import annotations

import weakref
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from minisim.cpu._core import ffi, lib
from minisim.cpu.profile import NOT_MODELLED, named
from minisim.devices._device import model_of
from minisim.known import Known
from minisim.machine.conditions import listed
from minisim.machine.controllers import Controllers
from minisim.machine.drives import Drives
from minisim.machine.errors import BusTimeout, NotFittedError
from minisim.machine.hold import Hold
from minisim.machine.inputs import Inputs
from minisim.machine.layout import DeviceLayout, Layout
from minisim.machine.records import Condition, Counters, Reason, Stop, Timing
from minisim.machine.rings import drain
from minisim.machine.session import SLICE, Session, finished, reason_of
from minisim.machine.steps import Registers, Step, StepAccess, accesses_of, floats_of, operands_of, text_of
from minisim.machine.views import Cpu, Line, Memory, NoConsole, word_of

CORES = ("fast", "reference")  # in the order of ms_core


class Machine:
    """One machine.  Made by `minisim.build`, `minisim.bare` or `minisim.thaw`; several live beside each other in a
    process.

    `cpu`, `memory` and `console` are views; `timing` says how long an instruction takes and where that is from; `notes`
    says what the loadout has and the model has not.
    """

    def __init__(self, raw: Any, layout: Layout, timing: Timing, controllers: Controllers) -> None:
        self._raw = raw
        self._controllers = controllers
        self._hold = Hold(controllers.raise_pending)
        self._run_by: Callable[[Any, int], int] = lib.ms_run  # a trace puts itself between
        self._inputs = Inputs(raw, layout.devices, self._hold)
        weakref.finalize(self, controllers.close)  # a machine that is dropped lets its media go
        self.layout = layout
        self.timing = timing
        self.cpu = Cpu(self._inputs)
        self.memory = Memory(self._inputs)
        self.drives = Drives(controllers, self._inputs)
        self.console: Line = NoConsole()
        if layout.console is not None:
            self.console = Line(self._inputs, layout.devices[layout.console])

    # --- what it is --------------------------------------------------------------------------------------------------

    @property
    def name(self) -> str:
        """The loadout's name."""
        return self.layout.name

    @property
    def profile(self) -> str:
        """The processor profile."""
        return self.layout.profile

    @property
    def notes(self) -> tuple[str, ...]:
        """What the loadout has and the model has not, as sentences; `not_modelled` tells of the devices it has."""
        return self.layout.notes

    @property
    def not_modelled(self) -> dict[str, tuple[str, ...]]:
        """What the models leave out, as sentences: of the processor, and of each kind of device fitted."""
        found = {device.id: model_of(device.id) for device in self.layout.devices}
        devices = {name: tuple(model.NOT_MODELLED) for name, model in sorted(found.items()) if model is not None}
        return {"processor": NOT_MODELLED} | devices

    @property
    def address_bits(self) -> int:
        """Address lines of its bus: 16, 18 or 22."""
        return int(self._raw.address_bits)

    @property
    def time_ns(self) -> int:
        """Guest time since power-up, in nanoseconds."""
        return int(self._raw.time_ns)

    @property
    def instructions(self) -> int:
        """Instructions since the machine was made."""
        return int(self._raw.instructions)

    @property
    def told(self) -> tuple[str, ...]:
        """What happened that the person at the machine should know: a drive that the host took off line."""
        return tuple(self._controllers.told)

    @property
    def console_kind(self) -> str:
        """How a person gets at the halted processor: "octal console" (on the console line), "console processor",
        "panel", or "" where the profile has none of these.
        """
        if self._raw.octal.kind:
            return "octal console"
        profile = named(self.profile)
        if isinstance(profile.debugger, Known):
            return "console processor"
        has_switches = isinstance(profile.console, Known) and profile.console.peek in ("switches", "both")
        return "panel" if has_switches else ""

    @property
    def octal_console(self) -> bool:
        """Does a processor that halts go on at its octal console?  Off at first: a halt ends a run.

        Where it is on, a run ends with HALTED when nothing more is typed and nothing can arrive; what is typed then is
        for the console, until its P or G lets the processor run.  NotFittedError: this processor has none, or no line
        for it.
        """
        return bool(self._raw.octal.on)

    @octal_console.setter
    def octal_console(self, on: bool) -> None:
        if on and (not self._raw.octal.kind or self.layout.console is None):
            raise NotFittedError("this machine has no octal console, or no console line for it")
        with self._hold:
            self._inputs.of_processor("octal console", int(on))
            self._raw.octal.on = bool(on)

    def enter_octal_console(self) -> None:
        """Let a processor that stands still go to its octal console: the next run begins there."""
        self.octal_console = True
        with self._hold:
            self._inputs.of_processor("enter octal console", 1)
            self._raw.octal.due = 1

    @property
    def at_octal_console(self) -> bool:
        """The processor stands halted at its octal console."""
        return bool(self._raw.octal.at_work or self._raw.octal.due)

    def press_halt(self, on: bool = True) -> None:
        """Put the halt switch on, which halts the processor after the instruction it is at, or off again."""
        with self._hold:
            self._inputs.of_processor("halt switch", int(on))
            self._raw.halt_switch = bool(on)

    def set_switches(self, word: int) -> None:
        """Set the console switches, which a program reads at 777570.  NotFittedError: there are none."""
        number, _ = self.device("switch-register").registers["switches"]
        value = word_of(word, "the switches")
        with self._hold:
            self._inputs.of_processor("switches", value)
            self._raw.registers[number].value = value

    def close(self) -> None:
        """Let all media go: other machines may use them then.  The machine runs on with empty drives."""
        with self._hold:
            self._controllers.close()

    def __enter__(self) -> Machine:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def device(self, device: str, place: str | None = None, number: int = 0) -> DeviceLayout:
        """The layout of a device by its id, and where several are fitted by place and number among them."""
        found = [d for d in self.layout.devices if d.id == device and place in (None, d.place)]
        if number >= len(found):
            raise NotFittedError(
                f'no device "{device}"{f" at {place}" if place else ""} number {number} in this machine'
            )
        return found[number]

    def line(self, place: str | None = None, number: int = 0) -> Line:
        """The far end of a serial line: the first, or where several are fitted by place and number among them.

        The lines of a multiplexer count as they are numbered on the board.
        """
        devices = (device for device in self.layout.devices if place in (None, device.place))
        lines = [line for device in devices for line in self._lines(device)]
        if number >= len(lines):
            raise NotFittedError(f"no serial line{f' at {place}' if place else ''} number {number} in this machine")
        return lines[number]

    def _lines(self, device: DeviceLayout) -> list[Line]:
        if device.id == "serial-line":
            return [Line(self._inputs, device)]
        numbers = (ring.removeprefix("keyboard ") for ring in device.rings if ring.startswith("keyboard "))
        return [Line(self._inputs, device, int(number)) for number in numbers]

    def put_in_tape(self, data: bytes, place: str | None = None) -> None:
        """Lay a paper tape into the reader (a terminal's own reader: `line().put_in_tape`), behind what is left there.

        MachineError: it is too long.
        """
        self._inputs.feed(self.device("paper-tape", place), "tape", data)

    def take_out_tape(self, place: str | None = None) -> bytes:
        """Take the paper tape out of the reader; gives the frames that were not read."""
        reader = self.device("paper-tape", place)
        rest = self._inputs.take_back(reader, "tape")
        self._inputs.act(reader, "tape out")
        return rest

    def take_punched(self, place: str | None = None) -> bytes:
        """The frames punched since the last call."""
        with self._hold:
            return drain(self._raw, self.device("paper-tape", place).rings["punched"])

    def take_printed(self, place: str | None = None) -> bytes:
        """What the line printer printed since the last call."""
        with self._hold:
            return drain(self._raw, self.device("line-printer", place).rings["printed"])

    def put_printer_on_line(self, on: bool = True, place: str | None = None) -> None:
        """Press the switch of the line printer: on line, or off line, which shows as its error bit."""
        self._act("line-printer", "on line" if on else "off line", place)

    def put_on_loop_back(self, on: bool = True, place: str | None = None) -> None:
        """Put the loop-back cable on the plugs of a parallel interface, or take it off."""
        self._act("parallel", "loop-back on" if on else "loop-back off", place)

    def count_event(self, place: str | None = None) -> None:
        """One pulse at the outside input of the programmable clock."""
        self._act("programmable-clock", "event", place)

    def _act(self, device: str, name: str, place: str | None) -> None:
        self._inputs.act(self.device(device, place), name)

    # --- the bus -----------------------------------------------------------------------------------------------------

    def read(self, address: int, *, space: str = "program") -> int:
        """One read cycle with its side effects: the word at an even address.  BusTimeout: nobody answers.

        `space` says whose address it is: "program" the 16 bits of the running program, through memory management where
        it is on; "bus" 18 or 22 bits; "dma" the 18 bits of a device, through the bus map where there is one.
        """
        where = self._physical(address, space)
        self._inputs.of_processor("read", where << 16)
        return self._cycle(where, lib.MS_CYCLE_READ, 0, f"a read of {address:06o}")

    def write(self, address: int, word: int, *, space: str = "program") -> None:
        """One write cycle with its side effects.  BusTimeout: nobody answers."""
        where, data = self._physical(address, space), word_of(word, "a write")
        self._inputs.of_processor("write", where << 16 | data)
        self._cycle(where, lib.MS_CYCLE_WRITE, data, f"a write to {address:06o}")

    def write_byte(self, address: int, byte: int, *, space: str = "program") -> None:
        """One byte write cycle; the address may be odd."""
        if not 0 <= byte <= 0o377:
            raise ValueError(f"a byte is 0 to 377 octal, not {byte:o}")
        where = self._physical(address & ~1, space) | (address & 1)
        self._inputs.of_processor("write byte", where << 16 | byte)
        self._cycle(where, lib.MS_CYCLE_WRITE_BYTE, byte, f"a write to {address:06o}")

    def _cycle(self, physical: int, cycle: int, word: int, what: str) -> int:
        data = ffi.new("uint16_t *", word)
        with self._hold:
            if lib.ms_bus_cycle(self._raw, physical, cycle, data):
                raise BusTimeout(f"nobody answers {what}")
        return int(data[0])

    def _physical(self, address: int, space: str) -> int:
        on_bus = self.address_bits
        bits = {"program": 16, "bus": on_bus, "dma": min(on_bus, 18)}.get(space)
        if bits is None:
            raise ValueError('space is "program", "bus" or "dma"')
        if not isinstance(address, int) or not 0 <= address < 1 << bits or address & 1:
            raise ValueError(f"a word address is even and has {bits} bits, not {address!r}")
        if space == "program":
            return self._seen_at(address)
        return int(lib.ms_from_bus(self._raw, address)) if space == "dma" else address

    def _seen_at(self, address: int) -> int:
        """Where an address of the running program leads.  BusTimeout: memory management lets it lead nowhere."""
        physical = self._leads_to(address, is_instruction=False)
        if physical is None:
            raise BusTimeout(f"memory management gives the running program no access at {address:06o}")
        return physical

    def _leads_to(self, address: int, *, is_instruction: bool) -> int | None:
        """The physical address, without a side effect; None where memory management gives no access."""
        physical = ffi.new("uint32_t *")
        refused = lib.ms_seen_at(self._raw, address, is_instruction, physical)
        return None if refused else int(physical[0])

    # --- running -----------------------------------------------------------------------------------------------------

    @property
    def core(self) -> str:
        """Which core runs: "fast", or "reference" to compare with.  Both give the same machine, bit for bit."""
        return CORES[self._raw.core]

    @core.setter
    def core(self, name: str) -> None:
        if name not in CORES:
            raise ValueError(f'a core is "fast" or "reference", not {name!r}')
        self._raw.core = CORES.index(name)

    def power_up(self, pc: int | None = None, ps: int | None = None) -> None:
        """Switch on: devices as after power-up, PC and PS as the loadout's boot path says unless they are given."""
        start = self.layout.start or (0, 0)
        first, status = start[0] if pc is None else pc, start[1] if ps is None else ps
        with self._hold:
            self._inputs.of_processor("power up", first << 16 | status)
            lib.ms_power_up(self._raw, first, status)

    def run(self, limit: int = 1_000_000, until: Condition | Sequence[Condition] | None = None) -> Stop:
        """Run at most `limit` instructions (decimal), or until a condition comes true; says why it stopped.

        What falls due in a WAIT without ending it counts towards the limit as an instruction does, so that no guest
        waits for ever and `run(limit=a)`, `run(limit=b)` is `run(limit=a + b)`, bit for bit.
        """
        with self._hold:
            plain = until is None and self._run_by is lib.ms_run
            if plain and limit.__class__ is int and 0 <= limit <= SLICE:
                return self._run_short(limit)
            session = Session(self, limit, listed(until))
            while session.advance():
                pass
        return session.stop()

    def _run_short(self, limit: int) -> Stop:
        """A run without conditions and of one slice, as a Session would do it, with little around it."""
        self._note_first_pc()
        raw = self._raw
        first, began = raw.instructions, raw.time_ns
        reason = reason_of(lib.ms_run_freely(raw, limit))
        if reason is not Reason.LIMIT:
            reason = finished(self, reason)
        count, time_ns, place = raw.instructions - first, raw.time_ns - began, self.layout.place
        return Stop(reason, raw.r[7], count, time_ns, at=raw.instruction_pc, place=place)

    def _note_first_pc(self) -> None:
        if self.layout.first_pc is None:
            self.layout = replace(self.layout, first_pc=self.cpu.pc)

    def session(self, limit: int, until: Condition | Sequence[Condition] | None = None) -> Session:
        """The same run, to be taken slice by slice."""
        return Session(self, limit, listed(until))

    def stop(self) -> None:
        """Ask a run in another thread to stop; it ends with REQUEST."""
        lib.ms_request_stop(self._raw)

    def step(self) -> Step:
        """Run one instruction and tell what it did.  An interrupt that was waiting goes first, among the accesses."""
        with self._hold:
            self._note_first_pc()
            raw = self._raw
            before, counted = self._registers(), raw.instructions
            reason = reason_of(lib.ms_step(raw))
        return self._step_taken(before, counted, reason)

    def _step_taken(self, before: Registers, counted: int, reason: Reason) -> Step:
        """The traced instruction that the core has just run; `counted`: how many it had run before."""
        raw = self._raw
        accesses = accesses_of(raw)
        pc = raw.instruction_pc if raw.instructions > counted else before.r[7]
        words = _own_words(pc, accesses)
        if not raw.note_count and not raw.floats_noted:
            return Step(pc, words, accesses, before, self._registers(), reason)
        operands, floats = operands_of(raw, accesses), floats_of(raw)
        return Step(pc, words, accesses, before, self._registers(), reason, operands, floats)

    def next_text(self) -> str:
        """The instruction at PC as text; empty where it can't be read without a side effect on a device."""
        from minisim.machine.seen import instruction_words

        words = instruction_words(self, self.cpu.pc)
        return text_of(words, self.cpu.pc) if words else ""

    def _peek_instruction(self, address: int, data: Any) -> bool:
        """One word of the running program, without a side effect."""
        physical = self._leads_to(address, is_instruction=True)
        return physical is not None and not lib.ms_peek(self._raw, physical, data)

    def _registers(self) -> Registers:
        return Registers(tuple(self._raw.r), lib.ms_get_ps(self._raw))

    # --- afterwards --------------------------------------------------------------------------------------------------

    def counters(self) -> Counters:
        """What happened so far: accesses of each register, interrupts and traps by vector, requests never granted."""
        raw = self._raw
        reads: dict[int, int] = {}
        writes: dict[int, int] = {}
        refused: dict[str, int] = {}
        for device in self.layout.devices:
            for number, offset in device.registers.values():
                if offset >= 0:
                    reads[0o760000 + offset] = int(raw.registers[number].reads)
                    writes[0o760000 + offset] = int(raw.registers[number].writes)
            lost = sum(int(raw.lines[number].refused) for number in device.lines.values())
            if lost:
                refused[device.place] = refused.get(device.place, 0) + lost
        return Counters(
            instructions=self.instructions,
            time_ns=self.time_ns,
            reads={address: count for address, count in sorted(reads.items()) if count},
            writes={address: count for address, count in sorted(writes.items()) if count},
            interrupts=_by_vector(raw.taken_by_vector),
            traps=_by_vector(raw.traps_by_vector),
            refused=refused,
            first_pc=self.layout.first_pc,
        )

    def state_hash(self) -> str:
        """SHA-256 of registers, memory, devices and media: machines with the same one go on alike, on either core."""
        from minisim.machine.state import state_hash

        with self._hold:
            return state_hash(self)

    def freeze(self) -> bytes:
        """The whole state as one CBOR map; `minisim.thaw` makes the same machine of it, which goes on bit for bit
        alike.
        """
        from minisim.machine.frozen import freeze

        with self._hold:
            return freeze(self)


def _by_vector(counts: Any) -> dict[int, int]:
    return {4 * number: int(count) for number, count in enumerate(counts) if count}


def _own_words(pc: int, accesses: Sequence[StepAccess]) -> tuple[int, ...]:
    """The words of the instruction: what was fetched from pc on without a gap."""
    words: list[int] = []
    for access in accesses:
        if access.kind == "fetch" and access.address == (pc + 2 * len(words)) & 0o177777:
            words.append(access.data)
    return tuple(words)
