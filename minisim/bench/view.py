"""What a screen shows of the bench, as values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from minisim.bench.look import (
    device_state,
    drive_medium,
    drive_state,
    granted,
    held,
    interrupt_state,
    next_parts,
    ps_words,
)
from minisim.bench.numbers import counted
from minisim.cpu.operands import NAMES
from minisim.machine.panel import PS
from minisim.machine.records import Reason
from minisim.machine.seen import devices, interrupts, who_answers_program

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from minisim.bench.bench import Bench
    from minisim.machine.steps import Step

CYCLES = 32
_STOPPED = {
    Reason.HALTED: "halted",
    Reason.WAITING: "waits, and nothing will interrupt it",
    Reason.STUCK: "jumps to itself for ever",
}
_UNITS = ((1e6, "million "), (1e3, "thousand "))


@dataclass(frozen=True, slots=True)
class Cycle:
    """One access of an instruction, and who answered at its address."""

    kind: str  # fetch, read, write
    address: int
    data: int
    byte: bool
    who: str


@dataclass(frozen=True, slots=True)
class InterruptRow:
    """One request line that has something to say."""

    place: str
    device: str
    level: int
    vector: int
    state: str
    taken: int


@dataclass(frozen=True, slots=True)
class DeviceRow:
    """One device or drive."""

    place: str
    what: str
    state: str
    medium: str


@dataclass(frozen=True, slots=True)
class View:
    """The bench at one moment.

    `changed` has the numbers of what the last instruction changed: 0 to 7 of the registers, 8 for the PS.  `last` and
    `next` are address, instruction as text, and a sentence; `last` is None before anything ran.
    """

    name: str
    state: str
    time: str
    speed: str
    registers: tuple[int, ...]
    ps: int
    ps_words: tuple[str, ...]
    changed: frozenset[int]
    last: tuple[str, str, str] | None
    next: tuple[str, str, str]
    steps: tuple[tuple[str, str, str], ...]
    cycles: tuple[Cycle, ...]
    interrupts: tuple[InterruptRow, ...]
    devices: tuple[DeviceRow, ...]
    told: tuple[str, ...]
    instructions: int
    in_the_past: bool


def view(bench: Bench) -> View:
    """As it stands now; nothing of the machine is disturbed."""
    machine, steps = bench.machine, bench.steps
    return View(
        name=machine.name,
        state=state_words(bench),
        time=f"{machine.time_ns / 1e9:.3f} s",
        speed=speed_words(bench),
        registers=tuple(machine.cpu.r),
        ps=machine.cpu.ps,
        ps_words=ps_words(machine),
        changed=changed_by(steps[-1]) if steps else frozenset(),
        last=_told(steps[-1]) if steps else None,
        next=next_parts(machine),
        steps=tuple(map(_told, steps)),
        cycles=cycles(bench),
        interrupts=tuple(_interrupts(bench)),
        devices=tuple(_devices(bench)),
        told=machine.told,
        instructions=machine.instructions,
        in_the_past=bench.past.in_the_past,
    )


def state_words(bench: Bench) -> str:
    """Runs, stands, halted ..., in the past."""
    machine = bench.machine
    if bench.running:
        state = "runs"
    elif machine.at_octal_console:
        state = "halted, at its octal console"
    else:
        state = _STOPPED.get(bench.stop.reason, "stands") if bench.stop else "stands"
    return ", ".join(
        part
        for part in (
            state,
            "halt switch on" if machine._raw.halt_switch else "",
            "in the past" if bench.past.in_the_past else "",
        )
        if part
    )


def ending_words(bench: Bench) -> str:
    """How the last run ended, in a sentence."""
    stop = bench.stop
    if stop is None or not bench.over or stop.reason is not Reason.REQUEST:
        return "" if stop is None else str(stop)
    place = f"{stop.place}: " if stop.place else ""
    return f"{place}the time is over after {counted(stop.instructions, 'instruction')}; next would be {stop.pc:06o}"


def speed_words(bench: Bench) -> str:
    """Instructions in a second of real time, while it runs."""
    if not bench.running:
        return ""
    for unit, name in _UNITS:
        if bench.speed >= unit:
            return f"{bench.speed / unit:.1f} {name}instructions a second"
    return f"{bench.speed:.0f} instructions a second"


def changed_by(step: Step) -> frozenset[int]:
    """What an instruction changed, but for the PC, which always moves."""
    pairs = enumerate(zip(step.before.r, step.after.r, strict=True))
    found = {number for number, (old, new) in pairs if old != new and number != len(NAMES) - 1}
    return frozenset(found | ({PS} if step.before.ps != step.after.ps else set()))


def cycles(bench: Bench) -> tuple[Cycle, ...]:
    """The last accesses, the newest last."""
    accesses = [access for step in bench.steps for access in step.accesses][-CYCLES:]
    who = {access.address: who_answers_program(bench.machine, access.address) for access in accesses}
    return tuple(Cycle(each.kind, each.address, each.data, each.byte, who[each.address]) for each in accesses)


def _told(step: Step) -> tuple[str, str, str]:
    return f"{step.pc:06o}", step.text, step.sentence


def _interrupts(bench: Bench) -> Iterator[InterruptRow]:
    ago = granted(bench.steps)
    for one in interrupts(bench.machine):
        if one.waiting or one.enabled or one.taken or one.refused:
            yield InterruptRow(one.place, one.words, one.level, one.vector, interrupt_state(one, ago), one.taken)


def _devices(bench: Bench) -> Iterator[DeviceRow]:
    for device in devices(bench.machine):
        yield DeviceRow(device.place, device.device, device_state(device), _joined(held(device)))
        for drive in device.drives:
            yield DeviceRow(drive.place, drive.kind, drive_state(drive).removeprefix(", "), drive_medium(drive))


def _joined(parts: Sequence[str]) -> str:
    return "; ".join(parts)
