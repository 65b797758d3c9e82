"""Clocks and characters are the core's own work: from switching on to the table of tides, Python is never called."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import minisim
from minisim.cpu._core import ffi, lib
from minisim.devices._device import Placement, known_devices, model_of

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"
TIMED = ("event-line", "line-clock", "paper-tape", "serial-line")
CLOCK = 0o100  # vector of both clocks


class Counted:
    """A demo machine whose calls of Python are counted."""

    def __init__(self, name: str) -> None:
        self.machine = minisim.build(minisim.read_loadout(KITTIWAKE / f"{name}.yaml"))
        self.raw, self.calls = self.machine._raw, 0

        @ffi.callback("void(void *, int, int, int, int)")  # type: ignore[untyped-decorator]
        def call(*_arguments: object) -> None:
            self.calls += 1

        self.raw.call = self.call = call

    def boot(self, *, until_called: bool = False) -> minisim.Stop:
        """From the switch to the first line of the table, with something typed meanwhile; or to the first call."""
        self.machine.power_up()
        self.machine.console.feed(b"any key\r")
        if not until_called:
            return self.machine.run(limit=10_000_000, until=minisim.Text("HIGH"))
        for _ in range(1000):
            stop = self.machine.run(limit=10_000, until=minisim.Text("HIGH"))
            if self.calls or stop.reason is not minisim.Reason.LIMIT:
                break
        return stop

    def call_at_each_event_of(self, device: str) -> None:
        """The first act of each timed action of the device becomes a call."""
        number = next(n for n, each in enumerate(self.machine.layout.devices) if each.id == device)
        timers: list[Any] = [self.raw.timers[index] for index in range(self.raw.timer_count)]
        for timer in timers:
            if timer.device == number and timer.count:
                self.raw.effects[timer.first].op, self.raw.effects[timer.first].guards = lib.MS_DO_CALL, 0


@pytest.mark.parametrize(("name", "calls"), [("gauge", 2), ("desk", 0)])  # its block tape: power, initialise
def test_a_demo_machine_boots_without_a_call_of_python(name: str, calls: int) -> None:
    counted = Counted(name)
    assert str(counted.boot().reason) == "REACHED"
    assert counted.machine.counters().interrupts[CLOCK] > 100
    assert len(counted.machine.console.take()) > 60
    assert counted.calls == calls


@pytest.mark.parametrize(
    ("name", "device"),
    [("gauge", "line-clock"), ("desk", "event-line"), ("gauge", "serial-line"), ("gauge", "paper-tape")],
)
def test_a_call_from_a_clock_or_a_character_would_be_counted(name: str, device: str) -> None:
    """The test above has eyes: where an act is turned into a call, the calls are seen."""
    counted = Counted(name)
    counted.call_at_each_event_of(device)
    counted.boot(until_called=True)
    assert counted.calls > 0


@pytest.mark.parametrize("device", TIMED)
def test_no_act_of_a_clock_a_line_or_a_tape_is_a_call(device: str) -> None:
    """Whatever the board's variant and whatever the program does, not only what the demo does."""
    assert device in known_devices()
    model = model_of(device)
    assert model is not None
    for made in model.build(Placement(device, vectors=((0o60, 4), (0o64, 4)))):
        lists = [each for register in made.registers for each in (register.on_read, register.on_write)]
        lists += [timer.effects for timer in made.timers] + [line.on_acknowledge for line in made.lines]
        lists += [ring.on_fill for ring in made.rings] + [made.on_init, made.on_power, *made.acts.values()]
        assert not [effect for effects in lists for effect in effects if effect.op == "CALL"]
