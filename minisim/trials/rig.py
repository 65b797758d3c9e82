"""One machine that runs case after case: sets up, runs, looks."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any

from minisim.cpu._core import ffi, lib
from minisim.cpu.profile import Configuration
from minisim.machine.assemble import put_together
from minisim.trials.card import PLACE, request_word, trial_card
from minisim.trials.differences import difference_of
from minisim.trials.goals import Watcher
from minisim.trials.keys import FLOAT_CODES, WORD, Key, Value
from minisim.trials.model import Difference
from minisim.trials.plan import LOW_BYTES, STACKS, Plan, four_words
from minisim.trials.static import STATIC_LOOK

_FILL_FROM = 0o2000  # of memory that shows where a virtual address leads
_NONE = bytes(lib.MS_VECTORS * 8)
_STATUS = ("fps", "fec", "fea")  # names of keys and of fields of the machine


@lru_cache(maxsize=8)
def _filling(size: int) -> bytes:
    """Words that say where they lie, as far as 16 bits can, for memory of this size from _FILL_FROM on."""
    once = b"".join(word.to_bytes(2, "little") for word in range(WORD + 1))
    return (once * (size // len(once) + 1))[_FILL_FROM:size]


class NotFitted(Exception):  # noqa: N818  # no error: an answer
    """This machine can't run the case; the message says what it lacks."""


class Rig:
    """One machine with the trial card, used for one case after the other."""

    def __init__(
        self, chosen: Configuration, address_bits: int, size: int, core: str, watcher: Watcher | None = None
    ) -> None:
        self.watcher = watcher
        self.profile = chosen.profile
        self.machine = put_together(chosen, [(0, size)], [trial_card()], address_bits=address_bits)
        self.machine.core = core
        self.raw: Any = self.machine._raw
        self.size = size
        self.zeros = bytes(size)
        self.used = size  # bytes that the last case may have written
        self.memory = ffi.buffer(self.raw.memory, size)
        self.io_base = int(lib.ms_io_base(self.raw))
        self.traps = ffi.buffer(self.raw.traps_by_vector)
        self.taken = ffi.buffer(self.raw.taken_by_vector)
        self.word = ffi.new("uint16_t *")
        self.stop = self.first = self.began = 0

    def run(self, plan: Plan) -> tuple[Difference, ...]:
        """Set up, run, compare."""
        self._set_up(plan)
        raw, steps = self.raw, plan.line.steps
        self.first, self.began = raw.instructions, raw.time_ns
        raw.access_count = 0
        if self.watcher is not None:
            self._run_watched(steps)
        elif plan.wants_cycles and steps:
            self.stop = lib.ms_run_freely(raw, steps - 1) if steps > 1 else 0
            self.stop = lib.ms_step(raw)
        else:
            self.stop = lib.ms_run_freely(raw, steps)
        return self._compare(plan)

    def _run_watched(self, steps: int) -> None:
        """One instruction after the other, as far as the program goes."""
        assert self.watcher is not None
        self.stop = lib.MS_STOP_LIMIT
        for _ in range(steps):
            if self.stop == lib.MS_STOP_LIMIT:
                self.stop = self.watcher.step(self.raw)

    # --- setting up -----------------------------------------------------------------------------------------------

    def _set_up(self, plan: Plan) -> None:
        raw = self.raw
        lib.ms_power_up(raw, plan.at, 0)
        raw.halt_traps, raw.halt_switch = plan.halt_traps, 0
        lib.ms_put_memory(raw, 0, self.zeros, self.used)
        self.used = self.size if plan.reaches_far else min(self.size, LOW_BYTES)
        self.traps[:] = self.taken[:] = _NONE
        if plan.value("virtual") is not None:
            self._fill()
        for address, data in (*plan.memory, *plan.blocks):
            if lib.ms_put_memory(raw, address, data, len(data)):
                raise NotFitted(f"there is no memory at {address:06o}")
        for key, value in plan.page:
            self._write(key, value)
        lib.ms_set_ps(raw, plan.ps)
        self._set_registers(plan)
        if plan.floats:
            self._set_floating(plan)
        requests = plan.value("request")
        if isinstance(requests, tuple):
            self._cycle(self.io_base + PLACE, request_word(requests))

    def _fill(self) -> None:
        """Every word says where it lies."""
        words = _filling(self.size)
        lib.ms_put_memory(self.raw, _FILL_FROM, words, len(words))

    def _write(self, key: Key, value: int) -> None:
        if self._cycle(self.io_base + key.number, value):
            raise NotFitted(f"nothing answers a write to {key.text}")

    def _cycle(self, physical: int, value: int | None = None) -> int:
        """A bus cycle: 0, or not 0 where nobody answers; a read leaves its word in `word`."""
        self.word[0] = value or 0
        kind = lib.MS_CYCLE_READ if value is None else lib.MS_CYCLE_WRITE
        return int(lib.ms_bus_cycle(self.raw, physical, kind, self.word))

    def _set_registers(self, plan: Plan) -> None:
        raw = self.raw
        mode = self._mode()
        for number, pointer in STACKS.items():
            raw.stack[number] = pointer
        raw.r[6] = STACKS.get(mode, 0)
        for kind, number, value in plan.others:
            self._set_other(kind, number, value)
        for number, value in plan.registers:
            raw.r[number] = value
        sp = plan.value("sp")
        if isinstance(sp, int):
            raw.r[6] = sp

    def _set_floating(self, plan: Plan) -> None:
        """Accumulators and status of the floating point processor: all of them, so that nothing is left over."""
        raw = self.raw
        raw.ac = plan.accumulators
        for name in _STATUS:
            value = plan.value(name)
            setattr(raw, name, value if isinstance(value, int) else 0)

    def _mode(self) -> int:
        return int(lib.ms_get_ps(self.raw)) >> 14 if self.raw.modes > 1 else 0

    def _set(self) -> int:
        return int(lib.ms_get_ps(self.raw)) >> 11 & 1 if self.raw.register_sets == 2 else 0

    def _set_other(self, kind: str, number: int, value: int) -> None:
        raw = self.raw
        self._has(kind, number)
        if kind == "stack":
            raw.stack[number] = value
            if self._mode() == number:
                raw.r[6] = value
        else:
            which = int(kind[-1])
            raw.set[which][number] = value
            if self._set() == which:
                raw.r[number] = value

    def _has(self, kind: str, number: int) -> None:
        """NotFitted where the processor has no such mode or register set."""
        if kind == "stack" and number and self.raw.modes < (3 if number == 1 else 2):
            raise NotFitted(f"there is no {'supervisor' if number == 1 else 'user'} mode")
        if kind == "set1" and self.raw.register_sets < 2:
            raise NotFitted("there is no second register set")

    # --- looking --------------------------------------------------------------------------------------------------

    def _compare(self, plan: Plan) -> tuple[Difference, ...]:
        found: list[Difference] = []
        for key, want in plan.expected:
            seen = _LOOK[key.kind.name](self, key, plan, want)
            if seen != want and not _alike(key, want, seen, plan):
                found.append(difference_of(key, want, seen, plan.decimal))
        return tuple(found)

    def register(self, key: Key, plan: Plan, want: Value) -> Value:
        """A general register."""
        return int(self.raw.r[key.number])

    def sp(self, key: Key, plan: Plan, want: Value) -> Value:
        """The stack pointer of the current mode."""
        return int(self.raw.r[6])

    def pc(self, key: Key, plan: Plan, want: Value) -> Value:
        """PC."""
        return int(self.raw.r[7])

    def ps(self, key: Key, plan: Plan, want: Value) -> Value:
        """PS."""
        return int(lib.ms_get_ps(self.raw))

    def codes(self, key: Key, plan: Plan, want: Value) -> Value:
        """N Z V C as four characters."""
        raw = self.raw
        return f"{raw.n}{raw.z}{raw.v}{raw.c}"

    def stack(self, key: Key, plan: Plan, want: Value) -> Value:
        """The stack pointer of a mode."""
        self._has("stack", key.number)
        return int(self.raw.r[6] if self._mode() == key.number else self.raw.stack[key.number])

    def set_register(self, key: Key, plan: Plan, want: Value) -> Value:
        """A register of one of the sets."""
        self._has(key.kind.name, key.number)
        which = int(key.kind.name[-1])
        return int(self.raw.r[key.number] if self._set() == which else self.raw.set[which][key.number])

    def memory_word(self, key: Key, plan: Plan, want: Value) -> Value:
        """A word of memory."""
        return self._words_at(key.number, 1)[0]

    def memory_words(self, key: Key, plan: Plan, want: Value) -> Value:
        """As many words of memory as are expected."""
        return self._words_at(key.number, len(want) if isinstance(want, tuple) else 1)

    def _words_at(self, at: int, count: int) -> tuple[int, ...]:
        data = self.memory[at : at + 2 * count]
        if len(data) < 2 * count:
            raise NotFitted(f"there is no memory at {at:06o}")
        return tuple(int.from_bytes(data[i : i + 2], "little") for i in range(0, 2 * count, 2))

    def memory_byte(self, key: Key, plan: Plan, want: Value) -> Value:
        """A byte of memory."""
        if key.number >= self.size:
            raise NotFitted(f"there is no memory at {key.number:06o}")
        return ord(self.memory[key.number])

    def memory_bytes(self, key: Key, plan: Plan, want: Value) -> Value:
        """As many bytes of memory as are expected."""
        count = len(want) if isinstance(want, tuple) else 1
        if key.number + count > self.size:
            raise NotFitted(f"there is no memory at {key.number:06o}")
        return tuple(bytes(self.memory[key.number : key.number + count]))

    def page_word(self, key: Key, plan: Plan, want: Value) -> Value:
        """A word of the I/O page, by a bus cycle."""
        return None if self._cycle(self.io_base + key.number) else int(self.word[0])

    def vectors(self, key: Key, plan: Plan, want: Value) -> Value:
        """The vectors of the traps and interrupts taken."""
        if self.traps[:] == _NONE and self.taken[:] == _NONE:
            return ()
        raw = self.raw
        counts = [raw.traps_by_vector[number] + raw.taken_by_vector[number] for number in range(lib.MS_VECTORS)]
        return tuple(4 * number for number, count in enumerate(counts) for _ in range(count))

    def halted(self, key: Key, plan: Plan, want: Value) -> Value:
        """Whether the processor has halted."""
        return "yes" if self.stop == lib.MS_STOP_HALTED or self.raw.halted else "no"

    def cycles(self, key: Key, plan: Plan, want: Value) -> Value:
        """The bus cycles of the last step, without fetches."""
        raw, words = self.raw, {lib.MS_ACCESS_READ: "read", lib.MS_ACCESS_WRITE: "write"}
        found = (raw.access[number] for number in range(raw.access_count))
        return ", ".join(f"{words[one.kind]} {one.address:06o}" for one in found if one.kind in words) or "none"

    def static(self, key: Key, plan: Plan, want: Value) -> Value:
        """What needs no machine."""
        return STATIC_LOOK[key.kind.name](plan)

    def physical(self, key: Key, plan: Plan, want: Value) -> Value:
        """Where the read of the virtual address went: the word that came into R0 says so."""
        came = int(self.raw.r[0])
        if self.vectors(key, plan, want):
            return None
        if isinstance(want, int) and not self._cycle(want & ~1) and self.word[0] == came:
            return want
        return 2 * came

    def instructions(self, key: Key, plan: Plan, want: Value) -> Value:
        """How many ran."""
        return int(self.raw.instructions - self.first)

    def time_ns(self, key: Key, plan: Plan, want: Value) -> Value:
        """How long they took."""
        return int(self.raw.time_ns - self.began)

    def status(self, key: Key, plan: Plan, want: Value) -> Value:
        """FPS, FEC or FEA."""
        return int(getattr(self.raw, key.kind.name))

    def accumulator(self, key: Key, plan: Plan, want: Value) -> Value:
        """A floating accumulator, its highest word first."""
        return four_words(int(self.raw.ac[key.number]))


def _alike(key: Key, want: Value, seen: Value, plan: Plan) -> bool:
    """Are two values the same where they are compared?"""
    mask = plan.line.mask
    if key.kind.name == "nzvc" and isinstance(want, str) and isinstance(seen, str):
        given = f"{plan.ps & 0o17:04b}"
        pairs = zip("nzvc", want, seen, given, strict=True)
        return all(code in mask or wanted == "x" or got == (was if wanted == "-" else wanted)
                   for code, wanted, got, was in pairs)  # fmt: skip
    if key.kind.name == "fps" and isinstance(want, int) and isinstance(seen, int):
        return not (want ^ seen) & ~sum(1 << bit for name, bit in FLOAT_CODES.items() if name in mask)
    if key.kind.name == "ps" and isinstance(want, int) and isinstance(seen, int):
        kept = 0o17 * ("nzvc" in mask) | sum(8 >> i for i, code in enumerate("nzvc") if code in mask)
        return not (want ^ seen) & ~kept
    return False


_LOOK: Mapping[str, Callable[[Rig, Key, Plan, Value], Value]] = {
    "register": Rig.register,
    "sp": Rig.sp,
    "pc": Rig.pc,
    "ps": Rig.ps,
    "nzvc": Rig.codes,
    "stack": Rig.stack,
    "set0": Rig.set_register,
    "set1": Rig.set_register,
    "word": Rig.memory_word,
    "words": Rig.memory_words,
    "byte": Rig.memory_byte,
    "memory-bytes": Rig.memory_bytes,
    "io": Rig.page_word,
    "fps": Rig.status,
    "fec": Rig.status,
    "fea": Rig.status,
    "ac": Rig.accumulator,
    "trap": Rig.vectors,
    "halted": Rig.halted,
    "cycles": Rig.cycles,
    "encoding": Rig.static,
    "text": Rig.static,
    "physical": Rig.physical,
    "instructions": Rig.instructions,
    "time-ns": Rig.time_ns,
}
