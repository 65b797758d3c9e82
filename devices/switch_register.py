"""Switch register and display at 777570: a read gives the 16 console switches, a write goes to the lamps.

That one address serves both is from memory, firm.  Fitted where the processor has a console of switches.
"""

from __future__ import annotations

from minisim.devices._device import Device, Effect, Field, Placement, Register

NOT_MODELLED = ("Lamps beside the display.",)

PLACE = 0o17570


def build(placement: Placement) -> tuple[Device, ...]:
    """The switches as the loadout sets them until somebody moves them; the display keeps what was written last."""
    display = Effect("STORE", "display", "", 0o177777)
    switches = (
        Field("switches", 0o177777, "R", "the console switches", "unconfirmed", reset=placement.register, kept=True),
    )
    return (
        Device(
            id="switch-register",
            place=placement.place,
            base=PLACE,
            registers=(Register("switches", 0, switches, on_write=(display,)), Register("display", None)),
            notes=NOT_MODELLED,
        ),
    )
