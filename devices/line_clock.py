"""Line clock: one register at 777546 and an interrupt through 100 for each pulse of the mains, 50 or 60 a second.

Three things differ between boards: whether bit 7 monitors the pulses, whether the interrupt acknowledge clears it,
and whether the register can be read.  An interrupt comes for each pulse while the enable is 1, whether or not the
program cleared bit 7 (unconfirmed); the enable alone makes no request, so there is one interrupt for each pulse
(A13).
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from minisim.devices._device import (
    SECOND,
    Device,
    Effect,
    Field,
    Placement,
    Register,
    TimedAction,
    bit,
    clear_bits,
    request,
    set_bits,
    touched,
    written,
)

NOT_MODELLED = (
    "Drift and jitter of the mains: pulses come exactly 50, 60 or 800 times a second of guest time.",
    "The choice of the pulses by the board control register of the newest processors: the loadout decides.",
    "The count of pulses lost while a request waits: a pulse during a waiting request makes no second one.",
)

MONITOR, ENABLE = bit(7), bit(6)
PLACE, VECTOR, LEVEL = 0o17546, 0o100, 6


@dataclass(frozen=True, slots=True)
class Variant:
    """The three switches (`variant:` in the catalogue)."""

    monitor: bool = True
    acknowledge_clears: bool = False
    readable: bool = True


RATES = {"50-hz": 50, "60-hz": 60, "800-hz": 800}


def period_ns(settings: object) -> int:
    """Time between pulses by the board's setting: 60 a second unless it says otherwise."""
    return (SECOND + RATES.get(str(settings), 60) // 2) // RATES.get(str(settings), 60)


def status(variant: Variant) -> Register:
    """The register: writing 0 clears the monitor bit, writing 1 does nothing to it."""
    fields = [Field("interrupt enable", ENABLE, "RW", "each pulse interrupts", "line-clock-manual")]
    cleared: tuple[Effect, ...] = ()
    if variant.monitor:
        fields.insert(0, Field("monitor", MONITOR, "R", "a pulse came", "line-clock-manual", reset=MONITOR))
        cleared = (clear_bits("clock status", MONITOR).when(touched(MONITOR), written(MONITOR, 0)),)
    answers = "RW" if variant.readable else "W"
    return Register("clock status", 0, tuple(fields), on_write=cleared, answers=answers, source="line-clock-manual")


def pulse(variant: Variant) -> tuple[Effect, ...]:
    """What each pulse does."""
    monitor = (set_bits("clock status", MONITOR),) if variant.monitor else ()
    return (*monitor, request("clock"))


def build(placement: Placement) -> tuple[Device, ...]:
    """The clock; without pulses (no line-frequency signal) its register answers and nothing ticks."""
    variant = Variant(**placement.features(field.name for field in fields(Variant)))
    after = (clear_bits("clock status", MONITOR),) if variant.acknowledge_clears else ()
    flag, enable = ("clock status", MONITOR), ("clock status", ENABLE)
    line = placement.request("clock", flag, enable, (VECTOR, LEVEL), by_request=True, on_acknowledge=after)
    period = period_ns(placement.settings.get("clock", ""))
    ticks = placement.pulses and placement.settings.get("clock") != "off"
    timers = (
        (TimedAction("pulse", period, pulse(variant), period, survives_init=True, at_power_up=True),) if ticks else ()
    )
    return (
        Device(
            id="line-clock",
            place=placement.place,
            base=placement.at(PLACE),
            registers=(status(variant),),
            timers=timers,
            lines=(line,),
            notes=NOT_MODELLED,
        ),
    )
