"""General parallel interface, sixteen bits in and sixteen out: status, output and input, and two requests.

The output is a latch, the input only shows what the user's device holds there.  The model knows one such device: the
loop-back cable, which leads the output to the input, control bit 0 to request A and control bit 1 to request B.  The
host puts it on and takes it off.
"""

from __future__ import annotations

from minisim.devices._device import (
    Device,
    Effect,
    Field,
    Placement,
    Register,
    RequestLine,
    bit,
    bits,
    clear_bits,
    copy_bits,
    is_set,
    set_bits,
)

NOT_MODELLED = (
    "Devices of the user: with nothing but the loop-back cable to put on, input and requests are 0 without it.",
    "The pulses that tell the user's device of a new output word and of a read of the input.",
    "The delay of the loop-back cable: the input and the requests follow at once.",
)

PLACE, VECTOR, LEVEL = 0o07770, 0o300, 5
REQUEST_B, REQUEST_A, ENABLE_A, ENABLE_B, CONTROL_1, CONTROL_0 = (bit(n) for n in (15, 7, 6, 5, 1, 0))
ALL = bits(15, 0)
CABLE = bit(0)  # of the hidden register


def follow() -> tuple[Effect, ...]:
    """Input and requests as the loop-back cable leads them, 0 without it."""
    on = is_set("cable", CABLE)
    return (
        clear_bits("input", ALL),
        copy_bits("input", "output", ALL).when(on),
        clear_bits("status", REQUEST_A | REQUEST_B),
        set_bits("status", REQUEST_A).when(on, is_set("status", CONTROL_0)),
        set_bits("status", REQUEST_B).when(on, is_set("status", CONTROL_1)),
    )


def registers() -> tuple[Register, ...]:
    """Status, output, input, and the hidden cable."""
    status = (
        Field("request B", REQUEST_B, "R", "a line of the user's device", "parallel-wiki"),
        Field("request A", REQUEST_A, "R", "a line of the user's device", "parallel-wiki"),
        Field("enable A", ENABLE_A, "RW", "request A interrupts", "parallel-wiki"),
        Field("enable B", ENABLE_B, "RW", "request B interrupts", "parallel-wiki"),
        Field("control 1", CONTROL_1, "RW", "a line to the user's device", "parallel-wiki"),
        Field("control 0", CONTROL_0, "RW", "a line to the user's device", "parallel-wiki"),
    )
    output = (Field("output", ALL, "RW", "the word in the latch; what a read gives is unconfirmed", "parallel-wiki"),)
    data = (Field("input", ALL, "R", "the word on the lines", "parallel-wiki"),)
    return (
        Register("status", 0, status, on_write=follow(), source="parallel-wiki"),
        Register("output", 2, output, on_write=follow(), source="parallel-wiki"),
        Register("input", 4, data, source="parallel-wiki"),
        Register("cable", None),
    )


def requests(placement: Placement) -> tuple[RequestLine, ...]:
    """Request A through the base vector, B through the next (from memory, firm); A goes first (unconfirmed)."""
    halves = (("request A", REQUEST_A, ENABLE_A), ("request B", REQUEST_B, ENABLE_B))
    return tuple(
        placement.request(name, ("status", flag), ("status", enable), (VECTOR + 4 * number, LEVEL), number=number)
        for number, (name, flag, enable) in enumerate(halves)
    )


def build(placement: Placement) -> tuple[Device, ...]:
    """The interface, nothing on its plugs."""
    return (
        Device(
            id="parallel",
            place=placement.place,
            base=placement.at(PLACE),
            registers=registers(),
            lines=requests(placement),
            on_init=follow(),
            acts={
                "loop-back on": (set_bits("cable", CABLE), *follow()),
                "loop-back off": (clear_bits("cable", CABLE), *follow()),
            },
            notes=NOT_MODELLED,
        ),
    )
