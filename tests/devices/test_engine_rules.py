"""The engine against its rules: random tables, random acts, everything compared after each of them."""

from __future__ import annotations

import copy
import random
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.cpu._core import ffi, lib
from minisim.machine.tables import STRUCTS

from .engine_rules import Row, Rules
from .random_tables import Maker

STATE = {
    "registers": ("value", "reads", "writes"),
    "timers": ("due",),
    "lines": ("pending", "condition", "taken", "refused"),
    "rings": ("total", "lost"),
}


def called(rules: Rules, register: int, data: int) -> None:
    """What the host does when it is called: it changes a register and a line behind the engine's back."""
    rules.registers[register]["value"] ^= (data | 1) & 0o177777
    rules.lines[register % len(rules.lines)]["pending"] ^= 1


class Pair:
    """A machine of the core and its rules, made of the same tables."""

    def __init__(self, seed: int, large: bool) -> None:
        self.chance = random.Random(seed)
        rows = Maker(self.chance, large).tables()
        self.rules = Rules(copy.deepcopy(rows), self.chance.random() < 0.3, called)
        tables = {name: ffi.new(f"{struct}[]", rows[name]) for name, (struct, _) in STRUCTS.items() if name in rows}
        self.raw = self.machine({name: (table, len(table)) for name, table in tables.items()})

        @ffi.callback("void(void *, int, int, int, int)")  # type: ignore[untyped-decorator]
        def call(_handle: object, _device: int, _code: int, register: int, data: int) -> None:
            self.raw.registers[register].value ^= (data | 1) & 0o177777
            self.raw.lines[register % self.raw.line_count].pending ^= 1

        self.raw.call = self.call = call

    def machine(self, tables: dict[str, tuple[Any, int]]) -> Any:
        """A machine of the core with these tables, its registers from 760000 on."""
        raw, loaded = ffi.gc(lib.ms_new(0o1000, 16), lib.ms_free), ffi.new("ms_tables *")
        raw.one_level = self.rules.one_level
        for name, (table, count) in tables.items():
            setattr(loaded, name, table)
            setattr(loaded, STRUCTS[name][1], count)
        assert lib.ms_load(raw, loaded) == ffi.NULL
        for number in range(raw.register_count):
            assert lib.ms_place(raw, 2 * number, lib.MS_IO_REGISTER, number) == 0
        raw.next_due = self.rules.next_due()
        return raw

    # --- acts: each does the same to both ---

    def cycle(self, register: int, kind: int, data: int = 0, byte: int = 0) -> int | None:
        word = ffi.new("uint16_t *", data)
        where = lib.ms_io_base(self.raw) + 2 * register + byte
        return None if lib.ms_bus_cycle(self.raw, where, kind, word) else int(word[0])

    def write(self) -> None:
        register, data = self.register(), self.chance.choice((0, 0o377, 0o177777, self.chance.randrange(1 << 16)))
        wrote = self.cycle(register, lib.MS_CYCLE_WRITE, data) is not None
        assert wrote is self.rules.write(register, data, 0o177777)

    def write_byte(self) -> None:
        register, data, byte = self.register(), self.chance.randrange(1 << 8), self.chance.randint(0, 1)
        wrote = self.cycle(register, lib.MS_CYCLE_WRITE_BYTE, data, byte) is not None
        assert wrote is self.rules.write(register, data << 8 * byte, 0o377 << 8 * byte)

    def read(self) -> None:
        register = self.register()
        assert self.cycle(register, lib.MS_CYCLE_READ) == self.rules.read(register)

    def register(self) -> int:
        return self.chance.randrange(len(self.rules.registers))

    def pass_time(self) -> None:
        """Time as instructions take it: nothing is served yet."""
        ns = self.chance.choice((1, 99, 100, 250))
        self.raw.time_ns += ns
        self.rules.time += ns

    def serve(self) -> None:
        """Time as a WAIT takes it, or later than that."""
        due = self.rules.next_due()
        late = self.chance.choice((0, 0, 0, -1, 1, 100, 700, 3000))
        if due != lib.MS_NEVER:
            self.rules.time = self.raw.time_ns = max(self.rules.time, due + late)
        lib.ms_run_due(self.raw)
        self.rules.serve()

    def grant(self) -> None:
        line = self.rules.request_line
        if line >= 0:
            assert lib.ms_acknowledge(self.raw, self.raw.request_line) == self.rules.acknowledge(line)

    def grant_any(self) -> None:
        line = self.chance.randrange(len(self.rules.lines))
        assert lib.ms_acknowledge(self.raw, line) == self.rules.acknowledge(line)

    def initialise(self) -> None:
        lib.ms_bus_initialise(self.raw)
        self.rules.initialise()

    def power_up(self) -> None:
        lib.ms_power_up_devices(self.raw)
        self.rules.power_up()

    def do_effects(self) -> None:
        first, count = self.chance.randint(-1, len(self.rules.effects)), self.chance.randint(0, 3)
        lib.ms_do_effects(self.raw, first, count, 0)
        self.rules.do(first, count)

    def feed(self) -> None:
        ring, data = self.chance.randrange(len(self.rules.rings)), self.chance.randbytes(self.chance.randint(0, 3))
        lib.ms_ring_feed(self.raw, ring, data, len(data))
        self.rules.feed(ring, data)

    def arm(self) -> None:
        timer = self.chance.randrange(len(self.rules.timers))
        due = self.chance.choice((lib.MS_NEVER, self.rules.time, self.rules.time + 100 * self.chance.randint(0, 20)))
        lib.ms_arm_at(self.raw, timer, due)
        self.rules.timers[timer]["due"] = due

    def pause(self) -> None:
        at = self.chance.choice((lib.MS_NEVER, self.rules.time + self.chance.randint(0, 900)))
        lib.ms_pause_at(self.raw, at)
        self.rules.pause = at

    def thaw(self) -> None:
        """A new machine from the tables as they stand: what was derived from them is made anew."""
        old, rings = self.raw, range(self.raw.ring_count)
        names = [name for name in STRUCTS if name != "windows"]
        self.raw = self.machine({name: (getattr(old, name), getattr(old, STRUCTS[name][1])) for name in names})
        for name in ("time_ns", "pause_ns", "next_due", "request_line", "request_level", "halt_switch", "stop", "call"):
            setattr(self.raw, name, getattr(old, name))
        for ring in rings:
            assert lib.ms_ring_restore(self.raw, ring, contents(old, ring), old.rings[ring].count) == 0

    # --- comparing ---

    def compare(self) -> None:
        rules, raw = self.rules, self.raw
        for name, fields in STATE.items():
            rows: list[Row] = getattr(rules, name)
            assert seen(raw, name, fields) == [tuple(row[field] for field in fields) for row in rows], name
        assert (raw.request_line, raw.request_level) == (rules.request_line, rules.request_level)
        assert raw.next_due == rules.next_due()
        assert raw.event_ns == lib.MS_NEVER
        assert (raw.halt_switch, raw.stop == lib.MS_STOP_REQUEST) == (rules.halted, rules.paused)
        assert [contents(raw, ring) for ring in range(raw.ring_count)] == [bytes(each) for each in rules.contents]


def seen(raw: Any, name: str, fields: tuple[str, ...]) -> list[tuple[int, ...]]:
    """These fields of every row in the core."""
    table, count = getattr(raw, name), getattr(raw, STRUCTS[name][1])
    return [tuple(int(getattr(table[index], field)) for field in fields) for index in range(count)]


def contents(raw: Any, ring: int) -> bytes:
    """What lies in a ring."""
    room = ffi.new("uint8_t[]", max(raw.rings[ring].count, 1))
    return bytes(ffi.buffer(room, lib.ms_ring_copy(raw, ring, room, raw.rings[ring].count)))


ACTS: dict[Callable[[Pair], None], int] = {
    Pair.write: 6, Pair.write_byte: 3, Pair.read: 3, Pair.pass_time: 3, Pair.serve: 8, Pair.grant: 4, Pair.grant_any: 1,
    Pair.initialise: 1, Pair.power_up: 1, Pair.do_effects: 2, Pair.feed: 1, Pair.arm: 2, Pair.pause: 1, Pair.thaw: 1,
}  # fmt: skip


def compared(seed: int, large: bool, steps: int) -> Pair:
    """Two machines from a seed after so many acts, compared after each."""
    pair = Pair(seed, large)
    acts = pair.chance.choices(list(ACTS), weights=list(ACTS.values()), k=steps)
    for act in acts:
        act(pair)
        pair.compare()
    return pair


@settings(max_examples=150, deadline=None)
@given(seed=st.integers(0, 1 << 32), steps=st.integers(1, 60))
def test_a_few_devices_do_exactly_what_the_rules_say(seed: int, steps: int) -> None:
    compared(seed, False, steps)


@settings(max_examples=100, deadline=None)
@given(seed=st.integers(0, 1 << 32), steps=st.integers(1, 60))
def test_dozens_of_devices_do_exactly_what_the_rules_say(seed: int, steps: int) -> None:
    compared(seed, True, steps)


def test_the_random_devices_do_everything_that_is_to_be_compared() -> None:
    """Chance must not leave out what the comparison is for."""
    pairs = [compared(seed, seed % 4 == 0, 60) for seed in range(40)]
    lines = [line for pair in pairs for line in pair.rules.lines]
    assert sum(line["taken"] for line in lines) > 100
    assert sum(line["refused"] for line in lines) > 40
    assert sum(pair.rules.time > 1000 for pair in pairs) > 30
    assert sum(pair.rules.halted for pair in pairs) > 4
    assert sum(pair.rules.paused for pair in pairs) > 5
    running = [sum(timer["due"] != lib.MS_NEVER for timer in pair.rules.timers) for pair in pairs]
    assert max(running) > 10


@pytest.mark.slow
@pytest.mark.parametrize("part", range(8))
def test_long_runs_of_random_devices_do_exactly_what_the_rules_say(part: int) -> None:
    for number in range(300):
        compared(1_000_000 * part + number, number % 5 == 0, 200)


@pytest.mark.parametrize("index", [1, 7, 1 << 31])
def test_an_action_that_is_not_there_can_not_be_started(index: int) -> None:
    raw = ffi.gc(lib.ms_new(0o1000, 16), lib.ms_free)
    lib.ms_arm_at(raw, index, 100)
    assert raw.next_due == lib.MS_NEVER
