"""Event line of the multiplexed bus: pulses of the mains that interrupt through 100, without a register of the
processor.

The boot and diagnostic board can put a register at 777546 before it: bit 6, write only, holds the line down while it
is 0, if the board's switch `clock` is on; with the switch off the clock always runs (unconfirmed; whether a read of
the register answers is not known: here it times out).
"""

from __future__ import annotations

from minisim.devices._device import (
    Device,
    Field,
    Placement,
    Register,
    TimedAction,
    bit,
    is_set,
    request,
)
from minisim.devices.line_clock import PLACE, VECTOR, period_ns

NOT_MODELLED = (
    "Drift and jitter of the mains.",
    "Whether bus initialise holds the line down at the boot board is not documented: here it does.",
    "With the board's switch off, whether its register still answers a write is not documented: here it does.",
)

RUN = bit(6)


def build(placement: Placement) -> tuple[Device, ...]:
    """The event line of the processor, gated or free."""
    gate = Register(
        "clock gate",
        0,
        (Field("run", RUN, "W", "0 holds the event line down", "unconfirmed"),),
        answers="W",
        source="unconfirmed",
    )
    free = Register("clock gate", None)
    asks = request("event")
    period = period_ns(placement.settings.get("clock", ""))
    pulse = TimedAction(
        "pulse",
        period,
        (asks.when(is_set("clock gate", RUN)) if placement.gate and placement.gated else asks,),
        period,
        survives_init=True,
        at_power_up=True,
    )
    line = placement.request("event", ("clock gate", RUN), None, (VECTOR, 6), by_request=True)
    return (
        Device(
            id="event-line",
            place=placement.place,
            base=PLACE,
            registers=(gate if placement.gate else free,),
            timers=(pulse,) if placement.pulses and placement.settings.get("event-line") != "off" else (),
            lines=(line,),
            notes=NOT_MODELLED,
        ),
    )
