"""Line printer on its parallel interface: a status register, and a data register that takes one character at a time.

A printer is there where the loadout leads a cable to it; without one the interface shows its error bit.  Characters
below 040 other than carriage return, line feed and form feed are taken and not printed, as by a drum printer.  What is
printed is plain text.
"""

from __future__ import annotations

from minisim.devices._device import (
    Device,
    Effect,
    Field,
    Guard,
    Placement,
    Register,
    RequestLine,
    Ring,
    TimedAction,
    arm_idle,
    bit,
    bits,
    clear_bits,
    is_clear,
    is_set,
    is_value,
    put,
    set_bits,
    some_set,
    touched,
)

NOT_MODELLED = (
    "The speed of the printer: ready comes back 1 ms after each character, a choice of the emulator from no document.",
    "The buffer of the printer: a character is on the paper as soon as it is taken, not when its line is complete.",
    "Paper that runs out and a gate that stands open: the host can only put the printer off line and on line.",
    "The width of the paper: a line may have any length.",
)

PLACE, VECTOR, LEVEL = 0o17514, 0o200, 4
ERROR, READY, ENABLE = bit(15), bit(7), bit(6)
CHARACTER, COLUMNS = bits(6, 0), bits(6, 5)  # no bit of COLUMNS: below 040
MOVES = (0o15, 0o12, 0o14)  # carriage return, line feed, form feed
TAKES_NS = 1_000_000  # a choice, see NOT_MODELLED
PRINTER = "line-printer"


def registers(here: bool) -> tuple[Register, ...]:
    """Status and data.  Error follows the printer, not initialise; an off-line one is not ready."""
    status = (
        Field("error", ERROR, "R", "off line, or no printer", "printer-handbook-1983", 0 if here else ERROR, kept=True),
        Field("ready", READY, "R", "takes the next character", "printer-handbook-1983", READY),
        Field("interrupt enable", ENABLE, "RW", "ERROR or READY interrupts", "printer-handbook-1983"),
    )
    data = (Field("character", CHARACTER, "W", "the character to print", "printer-handbook-1983"),)
    return (
        Register("printer status", 0, status, source="printer-handbook-1983"),
        Register("printer data", 2, data, on_write=load(), source="printer-handbook-1983"),
    )


def load() -> tuple[Effect, ...]:
    """A ready printer takes the character: READY falls for a while; else the character is lost (unconfirmed)."""
    when = (touched(CHARACTER), is_set("printer status", READY))
    printed = put("printed", "printer data", CHARACTER)
    kinds: tuple[Guard, ...] = (some_set("printer data", COLUMNS),)
    kinds += tuple(is_value("printer data", CHARACTER, move) for move in MOVES)
    return (
        *(printed.when(*when, kind) for kind in kinds),
        arm_idle("taken").when(*when),
        clear_bits("printer status", READY).when(*when),
    )


def ready() -> tuple[Effect, ...]:
    """Ready, if the printer is on line."""
    return (set_bits("printer status", READY).when(is_clear("printer status", ERROR)),)


def on_line() -> tuple[Effect, ...]:
    """The cause of the error is gone, and the printer is ready."""
    return (clear_bits("printer status", ERROR), *ready())


def requests(placement: Placement) -> tuple[RequestLine, ...]:
    """ERROR and READY each interrupt as they rise, through the same vector (seen, [printer-handbook-1983])."""
    return tuple(
        placement.request(name, ("printer status", flag), ("printer status", ENABLE), (VECTOR, LEVEL), step=number)
        for number, (name, flag) in enumerate((("error", ERROR), ("ready", READY)))
    )


def build(placement: Placement) -> tuple[Device, ...]:
    """The interface, with a printer where a cable leads to one."""
    return (
        Device(
            id="line-printer",
            place=placement.place,
            base=placement.at(PLACE),
            registers=registers(PRINTER in placement.attached),
            timers=(TimedAction("taken", TAKES_NS, ready()),),
            lines=requests(placement),
            rings=(Ring("printed", True),),
            on_init=(clear_bits("printer status", READY).when(is_set("printer status", ERROR)),),
            acts={
                "off line": (set_bits("printer status", ERROR), clear_bits("printer status", READY)),
                "on line": on_line(),
            },
            notes=NOT_MODELLED,
        ),
    )
