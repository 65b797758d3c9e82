"""Asynchronous serial line unit: a line with receiver and transmitter, as on consoles and single- or four-line boards.

Four registers: receive status, receive data, transmit status, transmit data.  The receiver is double-buffered: a
character that arrives while the last one was not read replaces it.  The transmitter has a holding buffer before its
shift register, so READY comes back after about one bit time when nothing is being sent.  Writing the reader-enable
bit moves the paper tape in the reader of the terminal by one frame, which arrives as a character.

The keys of the sources stand beside each field.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from decimal import Decimal, InvalidOperation

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
    arm,
    arm_idle,
    bit,
    bits,
    block,
    call_model,
    clear_bits,
    copy_bits,
    fell,
    halt_processor,
    has,
    has_controller,
    is_clear,
    is_set,
    is_value,
    put,
    rose,
    set_bits,
    take,
    written,
)

NOT_MODELLED = (
    "Parity errors and characters of 5, 6 or 7 bits: every character has 8 data bits.",
    "Receive and transmit speeds that differ, and speeds set by the program: the speed bits are taken and do nothing.",
    "Modem lines: ring, carrier, clear to send and the bits that control them are not there and read as 0.",
    "The switch of the line-and-clock board that turns the error bits off: they are on.",
    "Break sent by the program: the host is told that it began; characters sent meanwhile arrive as they are.",
    "Noise on the line, and a wrong choice of current loop or voltage levels.",
    "A break that restarts the machine through its boot ROM; a break that halts the processor is modelled.",
    "What bus initialise does to a character on its way: here it is finished.",
)

DONE, ENABLE, READY = bit(7), bit(6), bit(7)
BUSY, READER = bit(11), bit(0)
ERROR, OVERRUN, FRAMING = bit(15), bit(14), bit(13)
MAINTENANCE, BREAK = bit(2), bit(0)

# Bits of the hidden state register.
COMING, FRAME, WANTED, STEADY, MOVING, SENDING, HOLDING, GO, BROKEN = (bit(n) for n in range(9))

# What a controller at the far end is called for.
FAR_HEARD, FAR_BREAK_BEGINS, FAR_BREAK_ENDS, FAR_BREAK_LASTS, FAR_BYTE, FAR_MOVED, FAR_POWER = range(1, 8)

OPERATOR_WAITS = 1 * SECOND  # somebody types only when the tape reader of the terminal has stood still so long
DEFAULT_BAUD = Decimal(9600)


@dataclass(frozen=True, slots=True)
class Variant:
    """What differs between boards (`variant:` in the catalogue); the maintenance bit of the `mux` ones is disputed."""

    error_bits: bool = True
    maintenance: bool = True
    sends_break: bool = True
    program_speed: bool = False
    clears_at_start: bool = False  # the oldest unit: a start bit or reader enable empties the buffer
    far_end: str = ""  # id of what hangs there, where it has a controller of its own


def variant_of(placement: Placement) -> Variant:
    """What the catalogue says of the board's line, and what hangs on it."""
    features = placement.features(field.name for field in fields(Variant) if field.type == "bool")
    far_end = next((one for one in placement.attached if has_controller(one)), "")
    return Variant(**features, far_end=far_end)


def baud_of(text: str) -> Decimal:
    """The speed of a line, 9600 where none is given.  Raises ValueError for a text that is no speed."""
    if not text:
        return DEFAULT_BAUD
    try:
        baud = Decimal(text)
    except InvalidOperation:
        raise ValueError(f'"{text}" is no line speed') from None
    if not 1 <= baud <= 1_000_000:
        raise ValueError(f"{text} baud is no line speed")
    return baud


def unit_ns(baud: Decimal) -> int:
    """Nanoseconds of one bit."""
    return int(SECOND / baud)


def character_ns(baud: Decimal) -> int:
    """Nanoseconds of one character: 11 units at 110 baud (seen, [components-1969]), else start, 8 data, stop."""
    return int(SECOND * (11 if baud <= 110 else 10) / baud)


# --- the receiver -------------------------------------------------------------------------------------------------


def deliver(variant: Variant, from_shift: bool = False) -> tuple[Effect, ...]:
    """A whole character is in `incoming` (or, looped back, in `outgoing`): into the buffer, DONE, errors."""
    effects: list[Effect] = []
    if variant.error_bits:
        effects += [clear_bits("receive data", ERROR | OVERRUN | FRAMING)]
        effects += [set_bits("receive data", ERROR | OVERRUN).when(is_set("receive status", DONE))]
        effects += [set_bits("receive data", ERROR | FRAMING).when(is_set("state", BROKEN))]
    effects += [copy_bits("receive data", "outgoing" if from_shift else "incoming", 0o377)]
    return (*effects, set_bits("receive status", DONE), clear_bits("receive status", BUSY), clear_bits("state", BROKEN))


def starts(variant: Variant, ring: str, *further: Effect) -> tuple[Effect, ...]:
    """The start bit of the next character of a ring, if the GO bit says so."""
    go = (is_set("state", GO),)
    effects = [take("incoming", ring), *further, set_bits("state", COMING), arm("half bit"), arm("receive")]
    if variant.clears_at_start:
        effects.append(clear_bits("receive data", 0o377))
    return (*block(*effects, when=go), clear_bits("state", GO))


def next_character(variant: Variant) -> tuple[Effect, ...]:
    """What comes next on an idle line: a frame the program asked for, else a typed character.

    Somebody at the keyboard waits until the program took the last character and the tape stands still, unless the host
    feeds steadily (STEADY), as a machine at the far end would.
    """
    tape = set_bits("state", GO).when(is_value("state", WANTED | COMING, WANTED), has("reader"))
    steady = set_bits("state", GO).when(is_value("state", COMING | STEADY, STEADY), has("keyboard"))
    quiet = is_value("state", COMING | STEADY | MOVING, 0)
    patient = set_bits("state", GO).when(quiet, has("keyboard"), is_clear("receive status", DONE))
    moves = (set_bits("state", FRAME | MOVING), clear_bits("state", WANTED), arm("still"))
    return (
        tape,
        *starts(variant, "reader", *moves),
        steady,
        patient,
        *starts(variant, "keyboard", clear_bits("state", FRAME | WANTED)),
    )


def reader_enable(variant: Variant) -> tuple[Effect, ...]:
    """Writing 1 to bit 0 clears DONE and asks for one frame (seen, [handbook-1969] p. 54)."""
    asked: list[Effect] = [clear_bits("receive status", DONE), set_bits("state", WANTED)]
    if variant.clears_at_start:
        asked.append(set_bits("receive status", BUSY))
    return (*block(*asked, when=(written(READER, READER),)), *next_character(variant))


# --- the transmitter ----------------------------------------------------------------------------------------------


def to_shifter() -> tuple[Effect, ...]:
    """The holding buffer goes into the shift register; READY comes back."""
    return (
        copy_bits("outgoing", "transmit data", 0o377),
        set_bits("state", SENDING),
        clear_bits("state", HOLDING),
        set_bits("transmit status", READY),
        arm("send"),
    )


def load() -> tuple[Effect, ...]:
    """The program loads the buffer: READY falls; after one bit time the shifter takes it if it is empty.

    A further load in that time replaces the character and does not put it off.
    """
    idle = arm_idle("load").when(is_value("state", SENDING | HOLDING, HOLDING))
    return (clear_bits("transmit status", READY), set_bits("state", HOLDING), idle)


def sent(variant: Variant) -> tuple[Effect, ...]:
    """A character has left the shift register; the next one follows at once where one waits."""
    looped: tuple[Effect, ...] = ()
    if variant.maintenance:
        looped = block(*deliver(variant, from_shift=True), when=(is_set("transmit status", MAINTENANCE),))
    follow = block(*to_shifter(), when=(is_set("state", GO),))
    waits = set_bits("state", GO).when(is_set("state", HOLDING))
    printed = call_model(FAR_HEARD) if variant.far_end else put("printer", "outgoing")
    return (printed, *looped, clear_bits("state", SENDING), waits, *follow, clear_bits("state", GO))


# --- registers ----------------------------------------------------------------------------------------------------


def receive_registers(variant: Variant) -> tuple[Register, ...]:
    """Receive status and data."""
    status = (
        Field("busy", BUSY, "R", "a character is arriving", "serial-board-page"),
        Field("done", DONE, "R", "a whole character is in the buffer", "handbook-1969"),
        Field("interrupt enable", ENABLE, "RW", "DONE interrupts", "handbook-1969"),
        Field("reader enable", READER, "W", "moves the tape of the terminal one frame", "handbook-1969"),
    )
    errors = (
        Field("error", ERROR, "R", "overrun, framing or parity"),
        Field("overrun", OVERRUN, "R", "the last character was not read in time"),
        Field("framing", FRAMING, "R", "no stop bit; a break"),
    )
    data = (
        *(errors if variant.error_bits else ()),
        Field("character", bits(7, 0), "R", "the character", "handbook-1969"),
    )
    on_read = (clear_bits("receive status", DONE), *next_character(variant))
    return (
        Register("receive status", 0, status, on_write=reader_enable(variant), source="handbook-1969"),
        Register("receive data", 2, data, on_read=on_read, source="handbook-1969"),
    )


def breaks(variant: Variant) -> tuple[Effect, ...]:
    """What the far end notices of a break that the program sends."""
    if not variant.sends_break:
        return ()
    if variant.far_end:
        return (call_model(FAR_BREAK_BEGINS).when(rose(BREAK)), call_model(FAR_BREAK_ENDS).when(fell(BREAK)))
    return (put("breaks", "zero").when(rose(BREAK)),)


def transmit_registers(variant: Variant) -> tuple[Register, ...]:
    """Transmit status and data."""
    status = [
        Field("ready", READY, "R", "the buffer is free", "handbook-1969", reset=READY),
        Field("interrupt enable", ENABLE, "RW", "READY interrupts", "handbook-1969"),
    ]
    if variant.maintenance:
        status.append(Field("maintenance", MAINTENANCE, "RW", "output looped to input", "handbook-1969"))
    if variant.sends_break:
        status.append(Field("break", BREAK, "RW", "the line is held in break"))
    if variant.program_speed:
        status.append(Field("speed", bits(15, 11), "W", "speed code and its enable"))
    data = (Field("character", bits(7, 0), "W", "the character to send", "handbook-1969"),)
    return (
        Register("transmit status", 4, tuple(status), on_write=breaks(variant), source="handbook-1969"),
        Register("transmit data", 6, data, on_write=load(), source="handbook-1969"),
    )


def hidden_registers() -> tuple[Register, ...]:
    """What the program can't see: the line's state, the characters in the shift registers."""
    return (Register("state", None), Register("incoming", None), Register("outgoing", None), Register("zero", None))


# --- putting a line together --------------------------------------------------------------------------------------


def timed(variant: Variant, baud: Decimal) -> tuple[TimedAction, ...]:
    """Bits and characters; the line goes on through bus initialise."""
    heard = deliver(variant)
    if variant.maintenance:  # looped back, the receiver hears only the transmitter
        heard = block(*heard, when=(is_clear("transmit status", MAINTENANCE),))
    received = (*heard, clear_bits("state", COMING | FRAME), *next_character(variant))
    unit, character = unit_ns(baud), character_ns(baud)
    shift = block(*to_shifter(), when=(is_set("state", GO),))
    waits = set_bits("state", GO).when(is_value("state", SENDING | HOLDING, HOLDING))
    return (
        TimedAction("receive", character, received, survives_init=True),
        TimedAction("half bit", unit // 2, (set_bits("receive status", BUSY).when(is_set("state", COMING)),)),
        TimedAction("load", unit, (waits, *shift, clear_bits("state", GO)), survives_init=True),
        TimedAction("send", character, sent(variant), survives_init=True),
        TimedAction(
            "still", OPERATOR_WAITS, (clear_bits("state", MOVING), *next_character(variant)), survives_init=True
        ),
    )


def far_end_timers() -> tuple[TimedAction, ...]:
    """When a byte of the far end has left, a break has lasted for a character, tape has moved."""
    calls = {"far byte": FAR_BYTE, "far break": FAR_BREAK_LASTS, "far tape": FAR_MOVED}
    return tuple(TimedAction(name, SECOND, (call_model(code),), survives_init=True) for name, code in calls.items())


def acts(variant: Variant, strap: str) -> dict[str, tuple[Effect, ...]]:
    """What the host may do: a break on the line, the way it feeds."""
    broken = (clear_bits("incoming", 0o377), set_bits("state", BROKEN), *deliver(variant))
    return {
        "break": (*broken, halt_processor()) if strap == "halt" else broken,
        "feed steadily": (set_bits("state", STEADY), *next_character(variant)),
        "feed patiently": (clear_bits("state", STEADY),),
    }


def requests(placement: Placement, line: int) -> tuple[RequestLine, ...]:
    """Receive goes before transmit on the same board (seen, [handbook-1969] p. 55)."""
    first = 2 * line
    return tuple(
        placement.request(name, (register, bit(7)), (register, ENABLE), (0o60 + 4 * half, 4), number=first + half)
        for half, (name, register) in enumerate((("receiver", "receive status"), ("transmitter", "transmit status")))
    )


def item(values: tuple[str, ...] | tuple[bytes | None, ...], index: int) -> str | bytes | None:
    """The value of one line, None where there is none."""
    return values[index] if index < len(values) else None


def one_line(placement: Placement, line: int) -> Device:
    """One line of a board."""
    variant = variant_of(placement)
    baud = baud_of(str(item(placement.bauds, line) or ""))
    tape = item(placement.tapes, line)
    started = next_character(variant)
    at_power: tuple[Effect, ...] = (*block(set_bits("state", MOVING), arm("still"), when=(has("reader"),)), *started)
    rings = (
        Ring("keyboard", False, on_fill=started),
        Ring("reader", False, on_fill=started, contents=tape if isinstance(tape, bytes) else b""),
        Ring("printer", True),
        Ring("breaks", True),
    )
    if variant.far_end:
        at_power = (set_bits("state", STEADY), call_model(FAR_POWER))
    board = str(item(placement.bauds, line) or DEFAULT_BAUD)
    return Device(
        id="serial-line",
        place=placement.place,
        base=placement.at(0o17560) + 0o10 * line,
        registers=(*receive_registers(variant), *transmit_registers(variant), *hidden_registers()),
        timers=(*timed(variant, baud), *(far_end_timers() if variant.far_end else ())),
        lines=requests(placement, line),
        rings=rings,
        on_init=(*init_effects(), *((call_model(FAR_BREAK_ENDS),) if variant.far_end else ())),
        on_power=at_power,
        acts=acts(variant, placement.settings.get("break", "")),
        finishes=("load", "send"),
        notes=NOT_MODELLED,
        controller=variant.far_end,
        options={"board-baud": board, "drive-baud": placement.far_baud or board} if variant.far_end else {},
        drives=placement.drives if variant.far_end else (),
    )


def init_effects() -> tuple[Effect, ...]:
    """Bus initialise drops reader enable and what waits in the holding buffer; a character on its way goes on.

    It may clear a DONE that nobody has read: a patient typist goes on after a while.  It drops the break bit too.
    """
    return (clear_bits("state", WANTED | HOLDING), arm("still").when(has("keyboard")))


def build(placement: Placement) -> tuple[Device, ...]:
    """All lines of one placement, each 10 (octal) further in address and vector."""
    return tuple(one_line(placement, line) for line in range(placement.lines))
