"""Programmable clock: a counter of sixteen bits that is set by a program and interrupts when it comes to zero.

It counts up or down at 100 kHz, 10 kHz, with the pulses of the mains, or events from outside.  In single mode it stops
at zero, in repeat mode it starts again from the preset buffer.
"""

from __future__ import annotations

from minisim.devices._device import (
    SECOND,
    Device,
    Effect,
    Field,
    Placement,
    Register,
    TimedAction,
    add,
    arm_idle,
    bit,
    bits,
    block,
    clear_bits,
    copy_bits,
    disarm,
    is_clear,
    is_not_value,
    is_set,
    is_value,
    set_bits,
    written,
)

NOT_MODELLED = (
    "The phase of the two oscillators: the first count comes one whole period after the run bit is set.",
    "Drift and jitter of the oscillators and of the mains; the mains has 60 pulses a second.",
    "A maintenance bit that can be read: writing 1 counts one step whether or not the clock runs, and it reads as 0.",
    "Other ways to clear DONE and ERROR than reading the status and bus initialise, and a preset buffer that does not "
    "load the counter too: the manuals at hand leave both open.",
)

PLACE, VECTOR, LEVEL = 0o12540, 0o104, 6
ERROR, DONE, ENABLE, STEP, UP, REPEAT, RATE, RUN = (*map(bit, (15, 7, 6, 5, 4, 3)), bits(2, 1), bit(0))
ALL = bits(15, 0)
FAST, SLOW, MAINS, EVENTS = (code << 1 for code in range(4))  # the rate field
PERIODS = {"100 kHz": (FAST, SECOND // 100_000), "10 kHz": (SLOW, SECOND // 10_000)}
MAINS_NS = (SECOND + 30) // 60


def stop() -> tuple[Effect, ...]:
    """Neither oscillator counts."""
    return tuple(disarm(name) for name in PERIODS)


def count() -> tuple[Effect, ...]:
    """One step; at zero DONE (and ERROR if DONE still stood), then the end or the next turn."""
    zero = is_value("counter", ALL, 0)
    single = (zero, is_clear("clock status", REPEAT))
    return (
        add("counter", 1).when(is_set("clock status", UP)),
        add("counter", -1).when(is_clear("clock status", UP)),
        set_bits("clock status", ERROR).when(zero, is_set("clock status", DONE)),
        set_bits("clock status", DONE).when(zero),
        *block(clear_bits("clock status", RUN), *stop(), when=single),
        copy_bits("counter", "preset", ALL).when(zero, is_set("clock status", REPEAT)),
    )


def counting_at(rate: int) -> tuple[Effect, ...]:
    """The step of a source of pulses, while the clock runs on it.

    The conditions are looked at once, into a hidden bit, since a step may end the run.
    """
    go = is_set("pulse", 1)
    started = set_bits("pulse", 1).when(is_value("clock status", RATE | RUN, rate | RUN))
    return (started, *block(*count(), when=(go,)), clear_bits("pulse", 1))


def control() -> tuple[Effect, ...]:
    """After a write of the status: the chosen oscillator counts while RUN is set; writing 1 to bit 5 counts once."""
    effects: list[Effect] = list(block(*count(), when=(written(STEP, STEP),)))
    for name, (rate, _) in PERIODS.items():
        effects.append(arm_idle(name).when(is_value("clock status", RATE | RUN, rate | RUN)))
        effects.append(disarm(name).when(is_not_value("clock status", RATE | RUN, rate | RUN)))
    return tuple(effects)


def registers() -> tuple[Register, ...]:
    """Status, preset buffer, counter."""
    status = (
        Field("error", ERROR, "R", "zero again while DONE was set"),
        Field("done", DONE, "R", "the counter came to zero"),
        Field("interrupt enable", ENABLE, "RW", "DONE interrupts"),
        Field("step", STEP, "W", "counts once"),
        Field("up", UP, "RW", "1 counts up, 0 down"),
        Field("repeat", REPEAT, "RW", "goes on from the buffer"),
        Field("rate", RATE, "RW", "100 kHz, 10 kHz, mains, events", "programmable-clock-manual"),
        Field("run", RUN, "RW", "counts"),
    )
    preset = (Field("preset", ALL, "W", "what the counter starts from", "programmable-clock-manual", kept=True),)
    counter = (Field("counter", ALL, "R", "the count", "programmable-clock-manual", kept=True),)
    seen = (clear_bits("clock status", DONE | ERROR),)
    load = (copy_bits("counter", "preset", ALL),)
    manual = "programmable-clock-manual"
    return (
        Register("clock status", 0, status, on_read=seen, on_write=control(), source=manual),
        Register("preset", 2, preset, on_write=load, source=manual),
        Register("counter", 4, counter, source=manual),
        Register("pulse", None),
    )


def timers(pulses: bool) -> tuple[TimedAction, ...]:
    """Two oscillators that run as they are needed, and the mains where its pulses arrive."""
    made = [TimedAction(name, ns, counting_at(rate), ns) for name, (rate, ns) in PERIODS.items()]
    if pulses:
        made.append(TimedAction("mains", MAINS_NS, counting_at(MAINS), MAINS_NS, survives_init=True, at_power_up=True))
    return tuple(made)


def build(placement: Placement) -> tuple[Device, ...]:
    """The clock; an event from outside is an act of the host."""
    line = placement.request("clock", ("clock status", DONE), ("clock status", ENABLE), (VECTOR, LEVEL))
    return (
        Device(
            id="programmable-clock",
            place=placement.place,
            base=placement.at(PLACE),
            registers=registers(),
            timers=timers(placement.pulses),
            lines=(line,),
            acts={"event": counting_at(EVENTS)},
            notes=NOT_MODELLED,
        ),
    )
