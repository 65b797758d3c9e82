"""The engine of the devices: edges, levels, order along the chain, timers, and tables that can't crash it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.cpu._core import ffi, lib
from minisim.cpu.profile import configuration
from minisim.devices import _device as d
from minisim.machine.assemble import put_together
from minisim.machine.errors import MachineError
from minisim.machine.machine import Machine
from minisim.machine.tables import Tables, load

FLAG, ENABLE = d.bit(7), d.bit(6)


def asking(level: int = 4, order: int = 0, vector: int = 0o300, **line: object) -> d.Device:
    """A device whose flag and enable a program can write as it likes."""
    status = d.Register("status", 0, (d.Field("all", 0o177777, "RW", "everything"),))
    asks = d.RequestLine("asks", ("status", FLAG), ("status", ENABLE), vector, level, order, granted=True)
    return d.Device("asking", "main/a/1", 0o10000 + vector, (status,), lines=(replace(asks, **line),))  # type: ignore[arg-type]


def machine(*devices: d.Device, profile: str = "two-board-ttl-mmu") -> Machine:
    """Devices on a bus."""
    return put_together(configuration(profile), [(0, 0o10000)], devices, address_bits=16)


def granted(m: Machine) -> list[int]:
    """Vectors of all requests, as they are granted."""
    found = []
    while m._raw.request_line >= 0:
        found.append(int(lib.ms_acknowledge(m._raw, m._raw.request_line)))
    return found


def ask(m: Machine, vector: int, value: int = FLAG | ENABLE) -> None:
    """Write the status register of a device."""
    m.write(0o170000 + vector, value)


def test_a_request_is_the_rising_edge_of_flag_and_enable() -> None:
    m = machine(asking())
    for value, expected in (
        (FLAG, []), (ENABLE, []), (FLAG | ENABLE, [0o300]), (FLAG | ENABLE, []), (FLAG, []), (FLAG | ENABLE, [0o300]),
    ):  # fmt: skip
        ask(m, 0o300, value)
        assert granted(m) == expected  # from memory, firm


def test_a_flag_or_enable_that_falls_takes_the_request_back() -> None:
    m = machine(asking())
    for value in (FLAG, ENABLE, 0):
        ask(m, 0o300)
        ask(m, 0o300, value)
        assert granted(m) == []


def test_the_highest_level_goes_first_then_the_nearest() -> None:
    m = machine(
        asking(4, 1, 0o300), asking(6, 9, 0o310), asking(4, 0, 0o320), asking(6, 8, 0o330), asking(7, 99, 0o340)
    )
    for vector in (0o300, 0o310, 0o320, 0o330, 0o340):
        ask(m, vector)
    assert granted(m) == [0o340, 0o330, 0o310, 0o320, 0o300]  # handbook-1969


def test_equal_places_are_taken_in_the_order_of_the_lines() -> None:
    m = machine(asking(4, 5, 0o320), asking(4, 5, 0o300))
    for vector in (0o300, 0o320):
        ask(m, vector)
    assert granted(m) == [0o320, 0o300]


def test_with_one_level_the_place_alone_decides() -> None:
    m = machine(asking(7, 2, 0o300), asking(4, 1, 0o310), profile="chipset-one-level")
    for vector in (0o300, 0o310):
        ask(m, vector)
    assert m._raw.request_level == 4
    assert granted(m) == [0o310, 0o300]  # D23, from memory, firm


def test_a_line_that_no_grant_reaches_is_only_counted() -> None:
    m = machine(asking(granted=False), asking(vector=0o310))
    for _ in range(3):
        ask(m, 0o300)
        ask(m, 0o300, 0)
    ask(m, 0o300)
    assert granted(m) == []
    ask(m, 0o310)
    assert granted(m) == [0o310]
    assert m.counters().refused == {"main/a/1": 4}


def test_bus_initialise_takes_requests_back() -> None:
    m = machine(asking())
    ask(m, 0o300)
    lib.ms_bus_initialise(m._raw)
    assert granted(m) == []
    assert m.read(0o170300) == 0


def test_bus_initialise_looks_ahead_anew() -> None:
    m = ticking(d.TimedAction("one", 1_000_000, (d.put("out", "1"),)))
    assert m._raw.next_due == 1_000_000
    lib.ms_bus_initialise(m._raw)
    assert m._raw.next_due == lib.MS_NEVER


def test_a_condition_that_stands_through_bus_initialise_makes_no_new_request() -> None:
    """Bus initialise clears the request; a request is an edge, and there is none."""
    device = asking()
    kept = replace(device.registers[0], fields=(d.Field("all", 0o177777, "RW", "everything", kept=True),))
    m = machine(replace(device, registers=(kept,)))
    ask(m, 0o300)
    lib.ms_bus_initialise(m._raw)
    assert m.read(0o170300) == FLAG | ENABLE
    assert granted(m) == []
    m.power_up()
    ask(m, 0o300)
    assert granted(m) == [0o300]


def test_a_write_to_the_other_byte_does_not_write_what_a_guard_waits_for() -> None:
    """`written` wants the write to cover its bits, also where it waits for zeros."""
    counted = d.put("out", "status").when(d.written(FLAG, 0))
    status = d.Register("status", 0, (d.Field("all", 0o177777, "RW", "everything"),), on_write=(counted,))
    m = machine(d.Device("counting", "", 0o10000, (status,), rings=(d.Ring("out", True),)))
    ring = m.layout.devices[0].rings["out"]
    for address, byte, puts in ((0o170001, 0, 0), (0o170000, 0, 1), (0o170000, FLAG, 1), (0o170001, 0o377, 1)):
        m.write_byte(address, byte)
        assert m._raw.rings[ring].count == puts


def test_nothing_is_taken_from_an_empty_ring() -> None:
    taken = d.take("data", "in")
    data = d.Register("data", 0, (d.Field("all", 0o377, "RW", "everything"),), on_write=(taken,))
    m = machine(d.Device("taking", "", 0o10000, (data,), rings=(d.Ring("in", False),)))
    for typed, expected in ((b"", 0), (b"a", ord("a")), (b"", 0)):
        lib.ms_ring_feed(m._raw, 0, typed, len(typed))
        m.write(0o170000, 0o252)
        assert (m.read(0o170000), m._raw.rings[0].count) == (expected, 0)


@pytest.mark.parametrize(
    ("word", "amount", "expected"), [(7, 1, 0o10), (0o177777, 1, 0), (0, -1, 0o177777), (0o177400, 0o400, 0)]
)
def test_a_register_counts_modulo_2_to_the_16(word: int, amount: int, expected: int) -> None:
    fields = (d.Field("all", 0o177777, "RW", "everything"),)
    m = machine(d.Device("counting", "", 0o10000, (d.Register("word", 0, fields, on_write=(d.add("word", amount),)),)))
    m.write(0o170000, word)
    assert m.read(0o170000) == expected  # arithmetic


def ticking(*actions: d.TimedAction) -> Machine:
    """A device with timed actions that put digits into a ring."""
    registers = [d.Register(name, None, power=ord(name)) for name in "123"]
    return machine(
        d.Device(
            "ticking", "", 0, tuple(registers), tuple(actions), rings=(d.Ring("out", True),), on_power=start(actions)
        )
    )


def start(actions: tuple[d.TimedAction, ...]) -> tuple[d.Effect, ...]:
    """Arm all of them at power-up."""
    return tuple(d.arm(action.name) for action in actions if not action.period)


def output(m: Machine, ns: int) -> bytes:
    """What the ring holds after some time."""
    m._raw.time_ns += ns
    lib.ms_run_due(m._raw)
    room = ffi.new("uint8_t[]", 100)
    return bytes(ffi.buffer(room, lib.ms_ring_drain(m._raw, 0, room, 100)))


def test_timed_actions_come_in_the_order_of_their_times_however_late_they_are_served() -> None:
    actions = (
        d.TimedAction("a", 3000, (d.put("out", "3"),)),
        d.TimedAction("b", 1000, (d.put("out", "1"),)),
        d.TimedAction("c", 2000, (d.put("out", "2"), d.arm("b"))),
    )
    assert output(ticking(*actions), 10_000) == b"1231"  # b again 1000 after c; a came first at 3000 by its index
    assert output(ticking(*actions), 2999) == b"12"


def test_a_periodic_action_keeps_its_rate() -> None:
    m = ticking(d.TimedAction("a", 500, (d.put("out", "1"),), period=1000, at_power_up=True))
    assert [len(output(m, ns)) for ns in (999, 1, 5500, 500)] == [0, 1, 5, 1]


def test_a_model_can_call_its_python_side() -> None:
    seen: list[tuple[int, int]] = []

    @ffi.callback("void(void *, int, int, int, int)")  # type: ignore[untyped-decorator]
    def called(_handle: object, device: int, code: int, _register: int, data: int) -> None:
        seen.append((device * 1000 + code, data))

    command = d.Register("command", 0, (d.Field("all", 0o177777, "RW", ""),), on_write=(d.call_model(7),))
    m = machine(asking(), d.Device("calling", "", 0o11000, (command,)))
    m.write(0o171000, 3)
    assert seen == []  # nobody is there to be called
    m._raw.call = called
    m.write(0o171000, 0o123456)
    assert seen == [(1007, 0o123456)]


BAD: dict[str, Callable[[Tables], None]] = {
    "register of an effect": lambda t: t.effects[0].update(index=99),
    "operation": lambda t: t.effects[0].update(op=99),
    "ring of an effect": lambda t: t.effects[0].update(op=lib.MS_DO_PUT, index=9),
    "register that counts": lambda t: t.effects[0].update(op=lib.MS_DO_COUNT, index=99),
    "operation behind the last": lambda t: t.effects[0].update(op=lib.MS_DO_COUNT + 1),
    "action of an effect": lambda t: t.effects[0].update(op=lib.MS_DO_ARM, index=9),
    "line of an effect": lambda t: t.effects[0].update(op=lib.MS_DO_REQUEST, index=9),
    "source of an effect": lambda t: t.effects[0].update(op=lib.MS_DO_COPY, **{"from": 9}),
    "number of guards": lambda t: t.effects[0].update(guards=4),
    "kind of a guard": lambda t: t.effects[0].update(guards=1, guard=[{"kind": 99}]),
    "ring of a guard": lambda t: t.effects[0].update(guards=1, guard=[{"kind": lib.MS_IF_RING_HAS, "index": 9}]),
    "effects of a register": lambda t: t.registers[0].update(on_write=0, on_write_count=99),
    "device of a register": lambda t: t.registers[0].update(device=9),
    "speed of an action": lambda t: t.timers[0].update(delay=99),
    "period of an action": lambda t: t.timers[0].update(period=1),
    "odd vector": lambda t: t.lines[0].update(vector=0o302),
    "vector outside": lambda t: t.lines[0].update(vector=0o1000),
    "level": lambda t: t.lines[0].update(level=3),
    "flag": lambda t: t.lines[0].update(flag_register=9),
    "effects of a ring": lambda t: t.rings[0].update(on_fill=-5, on_fill_count=1),
    "effects at power-up": lambda t: t.devices[0].update(on_power=99, on_power_count=1),
    "window": lambda t: t.windows[0].update(first=4095, words=2),
    "words of a window": lambda t: t.windows[0].update(rom_words=99),
    "page register": lambda t: t.windows[0].update(page_register=99),
    "pages": lambda t: t.windows[0].update(page_register=0, page_words=0),
}


def whole() -> Tables:
    """Tables with one of everything."""
    device = replace(
        asking(),
        registers=(replace(asking().registers[0], on_write=(d.set_bits("status", 1),)),),
        timers=(d.TimedAction("t", 1000, ()),),
        rings=(d.Ring("r", True),),
        windows=(d.Window(0o13000, (1, 2, 3), 3),),
        on_power=(d.clear_bits("status", 1),),
    )
    tables = Tables()
    tables.add(device)
    return tables


@pytest.mark.parametrize("what", BAD)
def test_tables_that_lead_outside_are_refused(what: str) -> None:
    tables, raw = whole(), ffi.gc(lib.ms_new(0o1000, 16), lib.ms_free)
    BAD[what](tables)
    with pytest.raises(MachineError, match="tables of the devices are wrong"):
        load(raw, tables)
    load(raw, whole())


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_whatever_tables_are_accepted_run_without_harm(data: st.DataObject) -> None:
    tables, raw = whole(), ffi.gc(lib.ms_new(0o1000, 16), lib.ms_free)
    small = st.integers(0, 3) | st.integers(0, 255)
    for _ in range(data.draw(st.integers(1, 8))):
        row = data.draw(
            st.sampled_from([*tables.effects, *tables.timers, *tables.lines, *tables.windows, *tables.registers])
        )
        name = data.draw(st.sampled_from([n for n, v in row.items() if isinstance(v, int)]))
        row[name] = data.draw(small)
    try:
        load(raw, tables)
    except (MachineError, OverflowError):
        return
    lib.ms_power_up_devices(raw)
    word = ffi.new("uint16_t *")
    for address in (0o170300, 0o173000, 0o173004):
        for cycle in (lib.MS_CYCLE_WRITE, lib.MS_CYCLE_READ, lib.MS_CYCLE_WRITE_BYTE):
            lib.ms_bus_cycle(raw, address, cycle, word)
            raw.time_ns += 5000
            lib.ms_run_due(raw)
    while raw.request_line >= 0:
        lib.ms_acknowledge(raw, raw.request_line)


def test_a_ring_grows_and_keeps_its_order() -> None:
    m = machine(replace(asking(), rings=(d.Ring("in", False),)))
    pieces = [bytes([n % 256]) * n for n in range(1, 120)]
    room = ffi.new("uint8_t[]", 10_000)
    taken = b""
    for piece in pieces:
        lib.ms_ring_feed(m._raw, 0, piece, len(piece))
        taken += bytes(ffi.buffer(room, lib.ms_ring_drain(m._raw, 0, room, len(piece) // 2)))
    taken += bytes(ffi.buffer(room, lib.ms_ring_drain(m._raw, 0, room, 10_000)))
    assert taken == b"".join(pieces)
