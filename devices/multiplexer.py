"""Asynchronous multiplexer of eight or four lines with programmed output: one set of registers for all lines.

What is received on any line goes through one FIFO of 64 characters; each word of it tells the line.  When it is full a
character waits in its line, and the next one of that line replaces it, with the overrun bit.  For output a scanner
offers one line after the other: it looks for a line whose transmit enable is 1 and whose buffer is free, shows its
number and sets "transmit ready", and the program loads the character of that line.

Writing to the address of the FIFO sets the parameters of a line: 12 receiver on, 11-8 speed, 7 odd, 6 parity on, 5 two
stop bits, 4-3 length 5 to 8, 2-0 line.  Speeds by code, 0 to 17 octal: 50, 75, 110, 134.5, 150, 300, 600, 1200, 1800,
2000, 2400, 3600, 4800, 7200, 9600, 19200 baud.  Each read of the FIFO takes one word out: never use byte access or an
instruction that reads and writes there.

Names and bits of the registers: derived, [mux-driver-header]; the size of the FIFO: seen, [mux-wiki]; what they do:
from memory, firm.  Where the manual leaves a choice, a comment says so (unconfirmed).
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from minisim.devices._device import (
    Device,
    Effect,
    Field,
    Placement,
    Register,
    RequestLine,
    Ring,
    TimedAction,
    add,
    arm,
    arm_idle,
    bit,
    bits,
    block,
    clear_bits,
    copy_bits,
    disarm,
    fell,
    has,
    is_clear,
    is_set,
    is_value,
    put,
    rose,
    set_bits,
    some_set,
    take,
    touched,
    written,
)
from minisim.devices.serial_line import character_ns

NOT_MODELLED = (
    "Parity: it is neither sent nor checked, and the parity bit of the FIFO is 0.",
    "The time of parity, of a second stop bit and of short characters: each takes ten bits, or eleven up to 110 baud.",
    "Different speeds at the two ends of a line: the host is always as fast as the program has set the line.",
    "Modem lines: ring and carrier read as 0, and terminal ready leads nowhere.",
    "The holding time of a transmit buffer: an idle line takes a character at once and is free again.",
    "Characters sent while the program holds a line in break: they are lost; the host is told that the break began.",
    "What a looped line still sends outward is not documented: here the host gets it as well.",
)

PLACE, VECTOR, LEVEL = 0o100, 0o310, 5  # 760100; a floating vector, so this one is only a guess for a machine without
SPEEDS = tuple(map(Decimal, (50, 75, 110, 134.5, 150, 300, 600, 1200, 1800, 2000, 2400, 3600, 4800, 7200, 9600, 19200)))
FIFO, ALARM_AT = bit(6), bits(6, 4)  # of the count: 64, and 16 or more
MANY, FEW = bits(6, 5), 31  # 32 or more: somebody at a keyboard waits (a choice: patient typing is never lost)
CLEAR_NS = 15_000
STEP_NS = 100  # from one timed action to the one that follows it at once
FALL_NS = 100  # from the entry of the FIFO to its exit (a choice)
FIND_NS = 1_000  # the scanner's way to a line (a choice)

ALL, LOW = bits(15, 0), bits(7, 0)
# control
READY, READY_ENABLE, ALARM, ALARM_ENABLE = map(bit, (15, 14, 13, 12))
LINE, DONE, DONE_ENABLE, SCAN, CLEAR, LOOP = bits(11, 8), *map(bit, (7, 6, 5, 4, 3))
# FIFO word; its high byte is the tag that goes with a character
VALID, OVERRUN, FRAMING = map(bit, (15, 14, 13))
# parameters
RECEIVER_ON, SPEED, LENGTH, OF_LINE = bit(12), bits(11, 8), bits(4, 3), bits(2, 0)
# bits of the hidden state register
GO, CLEARING = bit(0), bit(1)

GOES = is_set("state", GO)
STOP = clear_bits("state", GO)
HEADER, WIKI = "mux-driver-header", "mux-wiki"


def store(register: str) -> Effect:
    """What is being written, into a register of its own: a read of this address shows something else."""
    return Effect("STORE", register, "", ALL)


# --- received characters ------------------------------------------------------------------------------------------


def cut(register: str, line: int) -> tuple[Effect, ...]:
    """A character has as many bits as the parameters of its line say."""
    shorter = enumerate((bits(7, 5), bits(7, 6), bit(7)))
    return tuple(clear_bits(register, mask).when(is_value(f"parameters {line}", LENGTH, n << 3)) for n, mask in shorter)


def start(line: int, way: str) -> tuple[Effect, ...]:
    """The character on its way takes as long as the speed of the line says."""
    speed = f"parameters {line}"
    return tuple(
        arm(f"{way} {line} at {code}").when(is_value(speed, SPEED, code << 8)) for code, _ in enumerate(SPEEDS)
    )


def next_typed(line: int) -> tuple[Effect, ...]:
    """The next character from the host, on an idle line whose receiver is on.

    Somebody at a keyboard waits while the last character is still in the line or many are in the FIFO, unless the host
    feeds steadily, as a machine would.
    """
    one, patient = bit(line), is_clear("steady", bit(line))
    can = (has(f"keyboard {line}"), is_clear("receiving", one), is_set(f"parameters {line}", RECEIVER_ON))
    takes = (take(f"incoming {line}", f"keyboard {line}"), set_bits("receiving", one), arm(f"start {line}"))
    return (
        STOP,
        set_bits("state", GO).when(*can),
        STOP.when(is_set("control", LOOP)),
        STOP.when(patient, is_set("held", one)),
        STOP.when(patient, some_set("waiting", MANY)),
        *block(*takes, when=(GOES,)),
        STOP,
    )


def arrive(line: int, source: str) -> tuple[Effect, ...]:
    """If the GO bit says so, a whole character is in the line; one that was still there is lost."""
    one, held = bit(line), f"held {line}"
    effects = (
        set_bits("overruns", one).when(is_set("held", one)),
        clear_bits("framings", one),
        copy_bits(held, source, LOW),
        *cut(held, line),
        set_bits("held", one),
    )
    return (*block(*effects, when=(GOES,)), *enter(line))


def enter(line: int) -> tuple[Effect, ...]:
    """From the line into the FIFO, while the lines are scanned and there is room."""
    one = bit(line)
    effects = (
        clear_bits("tag", LOW),
        set_bits("tag", VALID >> 8 | line),
        set_bits("tag", OVERRUN >> 8).when(is_set("overruns", one)),
        set_bits("tag", FRAMING >> 8).when(is_set("framings", one)),
        put("characters", f"held {line}"),
        put("tags", "tag"),
        add("waiting", 1),
        *(clear_bits(name, one) for name in ("held", "overruns", "framings")),
        set_bits("control", ALARM).when(is_set("control", ALARM_ENABLE), some_set("waiting", ALARM_AT)),
        arm_idle("fall"),
    )
    can = (is_set("held", one), is_set("control", SCAN), is_clear("waiting", FIFO))
    return (STOP, set_bits("state", GO).when(*can), *block(*effects, when=(GOES,)), STOP, *ask())


def ask() -> tuple[Effect, ...]:
    """What asks for the receive interrupt: each character, or with the alarm enabled sixteen of them."""
    each = set_bits("asking", DONE).when(is_set("control", DONE), is_clear("control", ALARM_ENABLE))
    return (clear_bits("asking", DONE), each, set_bits("asking", DONE).when(is_set("control", ALARM)))


def fall() -> tuple[Effect, ...]:
    """The next word of the FIFO comes to its exit, which shows as "receive done"."""
    tag = (VALID, OVERRUN, FRAMING, bit(10), bit(9), bit(8))
    effects = (
        take("receive", "characters"),
        take("tag", "tags"),
        *(set_bits("receive", mask).when(is_set("tag", mask >> 8)) for mask in tag),
        set_bits("control", DONE),
    )
    can = (is_clear("receive", VALID), has("characters"), is_clear("control", CLEAR))
    return (STOP, set_bits("state", GO).when(*can), *block(*effects, when=(GOES,)), STOP, *ask())


def taken() -> tuple[Effect, ...]:
    """The program has read the word at the exit: room for one more, the alarm is off."""
    return (
        add("waiting", -1).when(is_set("receive", VALID)),
        clear_bits("receive", ALL),
        clear_bits("control", DONE | ALARM),
        *ask(),
        arm("fall").when(has("characters")),
        arm_idle("look at the lines").when(some_set("held", LOW)),
        arm_idle("type on").when(is_value("waiting", ALL, FEW)),
    )


def received(line: int) -> tuple[Effect, ...]:
    """The time of a character from the host is over; the receiver may have been turned off or looped meanwhile."""
    heard = (is_set(f"parameters {line}", RECEIVER_ON), is_clear("control", LOOP))
    arrives = arrive(line, f"incoming {line}")
    return (STOP, set_bits("state", GO).when(*heard), *arrives, clear_bits("receiving", bit(line)), *next_typed(line))


def broken(line: int) -> tuple[Effect, ...]:
    """A break is heard: no stop bit, and data 0."""
    one = bit(line)
    on = set_bits("state", GO).when(is_set(f"parameters {line}", RECEIVER_ON))
    kept = set_bits("overruns", one).when(GOES, is_set("held", one))
    marked = (clear_bits(f"held {line}", LOW), set_bits("framings", one), set_bits("held", one))
    return (STOP, on, kept, *block(*marked, when=(GOES,)), *enter(line))


# --- characters to send -------------------------------------------------------------------------------------------


def find(lines: int) -> tuple[Effect, ...]:
    """The scanner goes on from the line it offered last, to the next one that is enabled and free."""
    return (
        clear_bits("candidates", LOW),
        *(is_candidate(line) for line in range(lines)),
        *(effect for line in range(lines) for effect in offer(line)),
        set_bits("turn", LOW).when(is_clear("control", READY)),
        *(effect for line in range(lines) for effect in offer(line)),
    )


def is_candidate(line: int) -> Effect:
    """A line whose enable is 1 and whose buffer is free, while the lines are scanned."""
    one = bit(line)
    return set_bits("candidates", one).when(
        is_set("control", SCAN), is_set("line control", one), is_clear("loaded", one)
    )


def offer(line: int) -> tuple[Effect, ...]:
    """This line, if none is offered yet and its turn has come; the next turn is that of the lines behind it."""
    one = bit(line)
    can = (is_clear("control", READY), is_set("candidates", one), is_set("turn", one))
    effects = (
        clear_bits("control", LINE),
        set_bits("control", READY | line << 8),
        clear_bits("turn", bits(line, 0)),
    )
    return (set_bits("state", GO).when(*can), *block(*effects, when=(GOES,)), STOP)


def load(lines: int) -> tuple[Effect, ...]:
    """The low byte of +6 is the character of the line that is offered; without one it is lost (unconfirmed)."""
    return (
        *(effect for line in range(lines) for effect in load_line(line)),
        clear_bits("control", READY).when(touched(LOW)),
        arm_idle("find").when(touched(LOW)),
    )


def load_line(line: int) -> tuple[Effect, ...]:
    """Into the buffer of the line."""
    offered = (touched(LOW), is_value("control", READY | LINE, READY | line << 8))
    effects = (copy_bits(f"buffer {line}", "transmit", LOW), set_bits("loaded", bit(line)), arm(f"shift {line}"))
    return block(*effects, when=offered)


def withdraw(lines: int) -> tuple[Effect, ...]:
    """Dropping the enable of the line that is offered takes the offer back."""
    offers = ((is_value("control", LINE, line << 8), is_clear("line control", bit(line))) for line in range(lines))
    return (*(clear_bits("control", READY).when(*offer) for offer in offers), arm_idle("find"))


def shift(line: int) -> tuple[Effect, ...]:
    """An idle line takes the character from its buffer."""
    one = bit(line)
    can = (is_set("loaded", one), is_clear("sending", one))
    effects = (
        copy_bits(f"outgoing {line}", f"buffer {line}", LOW),
        *cut(f"outgoing {line}", line),
        clear_bits("loaded", one),
        set_bits("sending", one),
        *start(line, "send"),
        arm_idle("find"),
    )
    return (STOP, set_bits("state", GO).when(*can), *block(*effects, when=(GOES,)), STOP)


def sent(line: int) -> tuple[Effect, ...]:
    """A character has left the line, unless that is held in break; looped, the line hears it."""
    free, loop = is_clear("transmit", bit(8 + line)), is_set("control", LOOP)
    looped = set_bits("state", GO).when(free, loop, is_set(f"parameters {line}", RECEIVER_ON))
    out = put(f"printer {line}", f"outgoing {line}").when(free)
    idle = (clear_bits("sending", bit(line)), arm(f"shift {line}"))
    return (out, STOP, looped, *arrive(line, f"outgoing {line}"), *idle)


def break_lines(lines: int) -> tuple[Effect, ...]:
    """The program begins a break: the host is told, and a looped line hears it."""
    effects: list[Effect] = []
    for line in range(lines):
        begins = rose(bit(8 + line))
        effects += [put(f"breaks {line}", "zero").when(begins)]
        effects += [arm(f"break {line}").when(begins, is_set("control", LOOP))]
    return tuple(effects)


# --- clearing -----------------------------------------------------------------------------------------------------


def wipe(lines: int) -> tuple[Effect, ...]:
    """Control, FIFO and lines are cleared; terminal ready and the characters still with the host are not."""
    words = ("control", "receive", "transmit", "waiting", "parameters", "state", "asking", "turn")
    marks = ("receiving", "held", "overruns", "framings", "loaded", "sending")
    return (
        *(clear_bits(name, ALL) for name in (*words, *marks)),
        *(clear_bits(f"parameters {line}", ALL) for line in range(lines)),
        clear_bits("line control", LOW),
        *(take("tag", ring) for ring in ("characters", "tags") for _ in range(FIFO)),
        *(disarm(name) for name, _, _ in character_times(lines)),
        *(disarm(f"{name} {line}") for name in ("start", "break", "shift") for line in range(lines)),
        *(disarm(name) for name in ("fall", "find", "look at the lines", "type on")),
    )


def write_control() -> tuple[Effect, ...]:
    """Bit 4 clears and drops by itself; until then what is written is lost, so the program must wait.

    While the alarm is not enabled it is held at 0; enabled later, the next character that arrives looks (unconfirmed).
    """
    clearing = is_set("state", CLEARING)
    held = (set_bits("control", CLEAR), clear_bits("control", ALL - CLEAR), clear_bits("receive", ALL))
    return (
        set_bits("state", CLEARING).when(written(CLEAR, CLEAR)),
        *block(*held, arm_idle("clear ends"), when=(clearing,)),
        clear_bits("control", ALARM).when(is_clear("control", ALARM_ENABLE)),
        *ask(),
        arm_idle("look at the lines").when(rose(SCAN)),
        arm_idle("type on").when(fell(LOOP)),
        arm_idle("find").when(is_value("control", READY | SCAN, SCAN)),
    )


def set_parameters(lines: int) -> tuple[Effect, ...]:
    """To the line that is named; what the host types may begin to arrive."""
    to = (
        copy_bits(f"parameters {line}", "parameters", ALL).when(is_value("parameters", OF_LINE, line))
        for line in range(lines)
    )
    return (store("parameters"), *to, arm_idle("type on"))


# --- putting it together ------------------------------------------------------------------------------------------


def registers(lines: int) -> tuple[Register, ...]:
    """Those a program sees."""
    lowest, high = bits(lines - 1, 0), bits(7 + lines, 8)
    fifo = (
        Field("valid", VALID, "R", "there was a character", HEADER),
        Field("overrun", OVERRUN, "R", "the one before it on this line was lost", HEADER),
        Field("framing", FRAMING, "R", "no stop bit; a break", HEADER),
        Field("parity", bit(12), "R", "wrong parity", HEADER),
        Field("line", bits(10, 8), "R", "where it came from", HEADER),
        Field("character", LOW, "R", "the character", HEADER),
    )
    line_control = (
        Field("terminal ready", high, "RW", "a bit for each line; kept by bit 4 of control", HEADER),
        Field("transmit enable", lowest, "RW", "a bit for each line", HEADER),
    )
    transmit = (
        Field("break", high, "W", "a bit for each line; carrier of the lines when read: 0", HEADER),
        Field("character", LOW, "W", "to the line that is offered; ring of the lines when read: 0", HEADER),
    )
    return (
        Register("control", 0, control_fields(), on_write=write_control(), source=HEADER),
        Register("receive", 2, fifo, on_read=taken(), on_write=set_parameters(lines), source=WIKI),
        Register("line control", 4, line_control, on_write=withdraw(lines), source=HEADER),
        Register("transmit", 6, transmit, on_write=(*load(lines), *break_lines(lines)), source=HEADER),
    )


def control_fields() -> tuple[Field, ...]:
    """Of the control and status register."""
    return (
        Field("transmit ready", READY, "R", "a line is offered; load its character", HEADER),
        Field("transmit interrupt enable", READY_ENABLE, "RW", "transmit ready interrupts", HEADER),
        Field("alarm", ALARM, "R", "sixteen characters wait", HEADER),
        Field("alarm enable", ALARM_ENABLE, "RW", "an interrupt only for sixteen characters", HEADER),
        Field("transmit line", LINE, "R", "the line that is offered", HEADER),
        Field("receive done", DONE, "R", "a character is at the exit of the FIFO", HEADER),
        Field("receive interrupt enable", DONE_ENABLE, "RW", "receive done or the alarm interrupts", HEADER),
        Field("scan enable", SCAN, "RW", "the lines are looked at", HEADER),
        Field("clear", CLEAR, "RW", "clears all but terminal ready, takes 15 us", HEADER),
        Field("maintenance loop", LOOP, "RW", "each line hears what it sends", HEADER),
    )


def hidden(lines: int) -> tuple[Register, ...]:
    """What no program sees: a bit for each line, the characters in the lines, the count of the FIFO."""
    names = ["state", "zero", "tag", "waiting", "asking", "parameters", "candidates", "turn", "steady"]
    names += ["receiving", "held", "overruns", "framings", "loaded", "sending"]
    of_a_line = ("parameters", "incoming", "held", "buffer", "outgoing")
    names += [f"{name} {line}" for line in range(lines) for name in of_a_line]
    return tuple(Register(name, None) for name in names)


def character_times(lines: int) -> Iterator[tuple[str, int, str]]:
    """Both ways of each line at each speed: the name of the action, its time, what follows.

    From one character to the next two short steps lie between, which belong to the character.
    """
    for line in range(lines):
        for code, speed in enumerate(SPEEDS):
            yield f"receive {line} at {code}", character_ns(speed) - 2 * STEP_NS, f"received {line}"
            yield f"send {line} at {code}", character_ns(speed) - 2 * STEP_NS, f"sent {line}"


def timed(lines: int) -> tuple[TimedAction, ...]:
    """Characters on their way, then what happens at their end, then what the board does by itself."""
    on_the_way = (TimedAction(name, ns, (arm(then),)) for name, ns, then in character_times(lines))
    every = range(lines)
    look = tuple(effect for line in every for effect in (*enter(line), *next_typed(line)))
    return (
        *on_the_way,
        *(TimedAction(f"received {line}", STEP_NS, received(line)) for line in every),
        *(TimedAction(f"sent {line}", STEP_NS, sent(line)) for line in every),
        *(TimedAction(f"start {line}", STEP_NS, start(line, "receive")) for line in every),
        *(TimedAction(f"shift {line}", STEP_NS, shift(line)) for line in every),
        *(TimedAction(f"break {line}", STEP_NS, broken(line)) for line in every),
        TimedAction("fall", FALL_NS, fall()),
        TimedAction("find", FIND_NS, find(lines)),
        TimedAction("look at the lines", STEP_NS, look),
        TimedAction("type on", STEP_NS, tuple(effect for line in every for effect in next_typed(line))),
        TimedAction("clear ends", CLEAR_NS, wipe(lines)),
    )


def rings(lines: int) -> Iterator[Ring]:
    """Both ways and the breaks of each line, and the two bytes of each word in the FIFO."""
    for line in range(lines):
        yield Ring(f"keyboard {line}", False, on_fill=next_typed(line))
        yield Ring(f"printer {line}", True)
        yield Ring(f"breaks {line}", True)
    yield Ring("characters", False)
    yield Ring("tags", False)


def acts(lines: int) -> Iterator[tuple[str, tuple[Effect, ...]]]:
    """What the host may do to each line."""
    for line in range(lines):
        yield f"break {line}", (arm(f"break {line}").when(is_clear("control", LOOP)),)
        yield f"feed steadily {line}", (set_bits("steady", bit(line)), *next_typed(line))
        yield f"feed patiently {line}", (clear_bits("steady", bit(line)),)


def requests(placement: Placement) -> tuple[RequestLine, ...]:
    """Receive, and transmit behind it: the two vectors (from memory, firm)."""
    vector, level = placement.vector(0, VECTOR), placement.level(0, LEVEL)
    asks = (("receiver", ("asking", DONE), DONE_ENABLE), ("transmitter", ("control", READY), READY_ENABLE))
    return tuple(
        placement.request(name, flag, ("control", enable), (vector + 4 * half, level), number=half)
        for half, (name, flag, enable) in enumerate(asks)
    )


def lines_of(placement: Placement) -> int:
    """Four lines, or eight."""
    return placement.lines if placement.lines in (4, 8) else 8


def build(placement: Placement) -> tuple[Device, ...]:
    """The board with all its lines."""
    lines = lines_of(placement)
    sends = (name for name, _, _ in character_times(lines) if name.startswith("send"))
    return (
        Device(
            id="multiplexer",
            place=placement.place,
            base=placement.at(PLACE),
            registers=(*registers(lines), *hidden(lines)),
            timers=timed(lines),
            lines=requests(placement),
            rings=tuple(rings(lines)),
            on_init=wipe(lines),
            acts=dict(acts(lines)),
            finishes=(*sends, *(f"{name} {line}" for name in ("sent", "shift") for line in range(lines))),
            notes=NOT_MODELLED,
        ),
    )
