"""Paper tape reader and punch: 300 frames a second in, 50 out, one frame for each request of the program.

Reader status and data, punch status and data.  Hole 1 is bit 0. A tape image is plain bytes, one a frame.
"""

from __future__ import annotations

from minisim.devices._device import (
    SECOND,
    Device,
    Effect,
    Field,
    Placement,
    Register,
    RequestLine,
    Ring,
    TimedAction,
    arm_idle,
    bit,
    bits,
    block,
    clear_bits,
    empty,
    has,
    is_clear,
    put,
    set_bits,
    take,
    written,
)

NOT_MODELLED = (
    "Tape that tears, sticks or is read wrongly, and tape moved by hand.",
    "The reader off line or without power: its ERROR only tells that there is no tape.",
    "The punch running out of tape, or without power: it always punches.",
)

PLACE = 0o17550
ERROR, BUSY, DONE, ENABLE, START = bit(15), bit(11), bit(7), bit(6), bit(0)
READY = bit(7)
READER_NS, PUNCH_NS = SECOND // 300, SECOND // 50  # seen, [handbook-1969], [paper-tape-profile]


def start_frame() -> tuple[Effect, ...]:
    """Enable (bit 0) moves one frame, only while ERROR is 0; it clears the data and DONE, and sets BUSY."""
    when = (written(START, START), is_clear("reader status", ERROR))
    return block(
        clear_bits("reader status", DONE),
        clear_bits("reader data", 0o377),
        set_bits("reader status", BUSY),
        arm_idle("frame"),
        when=when,
    )


def frame() -> tuple[Effect, ...]:
    """A frame stands under the lamp: DONE; or the tape has run out: ERROR, and no DONE (unconfirmed)."""
    return (
        clear_bits("reader status", BUSY),
        set_bits("reader status", ERROR).when(empty("tape")),
        set_bits("reader status", DONE).when(is_clear("reader status", ERROR)),
        take("reader data", "tape").when(is_clear("reader status", ERROR)),
    )


def reader() -> tuple[Register, ...]:
    """Reader status and data.  After initialise all is 0 but ERROR, which follows the sensors."""
    status = (
        Field("error", ERROR, "R", "out of tape or off line", "handbook-1969", kept=True, reset=ERROR),
        Field("busy", BUSY, "R", "a frame is on its way", "handbook-1969"),
        Field("done", DONE, "R", "a frame is in the data register", "handbook-1969"),
        Field("interrupt enable", ENABLE, "RW", "ERROR or DONE interrupts", "handbook-1969"),
        Field("enable", START, "W", "starts the next frame", "handbook-1969"),
    )
    data = (Field("frame", bits(7, 0), "R", "the eight holes", "handbook-1969"),)
    return (
        Register("reader status", 0, status, on_write=start_frame(), source="handbook-1969"),
        Register("reader data", 2, data, on_read=(clear_bits("reader status", DONE),), source="handbook-1969"),
    )


def punch() -> tuple[Register, ...]:
    """Punch status and data; the data register does not answer a read (seen, [paper-tape-wiki])."""
    status = (
        Field("error", ERROR, "R", "no tape, or the punch has no power", "paper-tape-wiki"),
        Field("ready", READY, "R", "the frame is punched", "handbook-1969", reset=READY),
        Field("interrupt enable", ENABLE, "RW", "READY or ERROR interrupts", "unconfirmed"),
    )
    data = (Field("frame", bits(7, 0), "W", "the eight holes", "paper-tape-wiki"),)
    load = (clear_bits("punch status", READY), arm_idle("punched"))  # a load on the way does not put the frame off
    return (
        Register("punch status", 4, status, source="handbook-1969"),
        Register("punch data", 6, data, on_write=load, answers="W", source="paper-tape-wiki"),
    )


def requests(placement: Placement) -> tuple[RequestLine, ...]:
    """Reader through 70 (seen, [handbook-1969] p. 56), punch through 74 (from memory, firm); level 4."""
    halves = (("reader", "reader status", ERROR | DONE, 0o70), ("punch", "punch status", ERROR | READY, 0o74))
    return tuple(
        placement.request(name, (register, flag), (register, ENABLE), (vector, 4), number=number)
        for number, (name, register, flag, vector) in enumerate(halves)
    )


def build(placement: Placement) -> tuple[Device, ...]:
    """The reader and punch, with the tape that the loadout puts into the reader."""
    tape = placement.tapes[0] if placement.tapes else None
    sensor = clear_bits("reader status", ERROR)
    return (
        Device(
            id="paper-tape",
            place=placement.place,
            base=placement.at(PLACE),
            registers=(*reader(), *punch()),
            timers=(
                TimedAction("frame", READER_NS, frame()),
                TimedAction("punched", PUNCH_NS, (put("punched", "punch data"), set_bits("punch status", READY))),
            ),
            lines=requests(placement),
            rings=(Ring("tape", False, on_fill=(sensor,), contents=tape or b""), Ring("punched", True)),
            on_power=(sensor.when(has("tape")),),
            acts={"tape out": (set_bits("reader status", ERROR),)},
            finishes=("punched",),
            notes=NOT_MODELLED,
        ),
    )
