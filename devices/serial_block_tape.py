"""Serial block tape: two drives for block-addressed cartridges with a controller of their own, at the end of a line.

Everything goes through the line in packets: a command, data in packets of at most 128 bytes, an end.  After power-up
and after anything it does not understand the drive sends INIT again and again, until a break and two INITs bring it
back.  There are 512 blocks of 512 bytes; a record of 128 bytes is what the tape moves by.

Codes: derived, [block-tape-driver-header]; capacity and access time: seen, [block-tape-guide]; the conversation: from
memory, firm, unless a comment says unconfirmed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from minisim.devices._controller import Controller, Drive, DriveFailedError, Options, Ports
from minisim.devices._device import SECOND, Device, Placement
from minisim.devices.serial_line import (
    FAR_BREAK_BEGINS,
    FAR_BREAK_ENDS,
    FAR_BREAK_LASTS,
    FAR_BYTE,
    FAR_HEARD,
    FAR_MOVED,
    FAR_POWER,
    baud_of,
    character_ns,
    one_line,
)

NOT_MODELLED = (
    "Retries, reduced sensitivity and tape wear: what can be read is read at once; a sector that the description of "
    "the medium calls bad never is.",
    "Start and stop of the tape within a track: a command that goes on where the last one ended begins at once.",
    "The self-test: it takes a tenth of a second and finds nothing.",
    "Framing errors towards the program at a wrong speed: characters arrive as they would be sampled, without the bit.",
)

# flag bytes
DATA, CONTROL, INIT, BOOTSTRAP, CONTINUE, XOFF = 0o1, 0o2, 0o4, 0o10, 0o20, 0o23
# opcodes
NOTHING, INITIALISE, READ, WRITE, POSITION, SELF_TEST, GET_STATUS, SET_STATUS = 0, 1, 2, 3, 5, 7, 0o10, 0o11
END = 0o100
# success codes
GOOD, END_OF_MEDIUM, NO_DRIVE, NO_CARTRIDGE = 0, -2, -8, -9
PROTECTED, DATA_CHECK, BAD_OPCODE, BAD_BLOCK = -11, -17, -48, -55
SPECIAL, TRANSFER, LOGIC = 0o100000, 0o40000, 0o10000  # summary word
BY_RECORDS, VERIFIES = 0o200, 1  # modifiers
HANDSHAKE = 0o10  # switches (unconfirmed)

COMMAND_COUNT, RECORD, BLOCK, RECORDS = 10, 128, 512, 2048
TRACK_RECORDS = RECORDS // 2
RECORD_NS = RECORD * 8 * SECOND // 24_000  # 24 kbit a second (Disputed 2)
SEARCH_NS = RECORD_NS // 2  # 60 inches a second against 30
ACCESS_NS = 9_300_000_000  # average access [block-tape-guide]
SETTLE_NS = ACCESS_NS - TRACK_RECORDS // 3 * SEARCH_NS  # derived: what is left beside a third of a track
SELF_TEST_NS = SECOND // 10  # a choice
REPEAT_NS = SECOND // 20  # between two INITs of a drive that is lost (a choice)

LOST, BROKEN, IDLE, COMMAND, TAKES_DATA, GIVES, BOOTS, BOOTING = (
    *("lost", "broken", "idle", "command"),
    *("takes data", "gives", "boots", "booting"),
)


def check_word(data: bytes) -> int:
    """Sum of the pairs of bytes, low byte first, with the carry added in again; an odd last byte has a 0 above it."""
    total = sum(int.from_bytes(data[at : at + 2], "little") for at in range(0, len(data), 2))
    while total > 0o177777:
        total = (total & 0o177777) + (total >> 16)
    return total


def packet(body: bytes) -> bytes:
    """Flag, count and what follows, with the check word."""
    return body + check_word(body).to_bytes(2, "little")


def sampled(byte: int, sent: Decimal, heard: Decimal) -> tuple[int, bool]:
    """What a receiver at one speed takes a character of another speed for, and whether there is a stop bit.

    Start bit, eight bits from the lowest, then the line rests; each bit is looked at in its middle.
    """
    levels = [0, *(byte >> n & 1 for n in range(8))]

    def level(bit: int) -> int:
        place = int((Decimal(bit) + Decimal("0.5")) * sent / heard)
        return levels[place] if place < len(levels) else 1

    return sum(level(n + 1) << n for n in range(8)), level(9) == 1 and level(0) == 0


class BlockTape(Controller):
    """The controller in the box of the drives."""

    KEPT = ("mode", "got", "out", "inits", "paused", "waits", "shakes", "broken", "command", "taken", "place", "given")

    mode = LOST
    got = b""  # of the packet that is arriving
    out = b""  # still to be sent
    inits = 0  # INITs in a row
    paused = 0  # XOFF came
    waits = 0  # for CONTINUE after each byte
    shakes = 0  # the command asks for that
    broken = 0  # the line is held in break
    command = b""  # opcode to block number of the command that runs
    taken = b""  # data of a write
    place = 0  # next byte on the tape
    given = 0  # bytes given or written so far

    def __init__(self, ports: Ports, drives: Mapping[int, Drive], options: Options) -> None:
        super().__init__(ports, drives, options)
        self.ours, self.theirs = baud_of(str(options["drive-baud"])), baud_of(str(options["board-baud"]))
        self.repeat = max(REPEAT_NS, character_ns(self.ours), character_ns(self.theirs))  # never faster than the line

    # --- the line

    def called(self, code: int, data: int) -> None:
        """Something happens on the line, or in the box."""
        if code == FAR_HEARD and not self.broken:
            self.hear(self.ports["outgoing"] & 0o377)
        elif code == FAR_BREAK_BEGINS:
            self.broken = 1
            self.ports.arm("far break", character_ns(self.ours))
        elif code == FAR_BREAK_ENDS:
            self.break_ends()
        elif code == FAR_BREAK_LASTS and self.broken:
            self.reset(BROKEN)
        elif code == FAR_BYTE:
            self.send_next()
        elif code == FAR_MOVED:
            self.moved()
        elif code == FAR_POWER:
            self.broken = 0
            self.reset(LOST)

    def break_ends(self) -> None:
        """One that was shorter than a character is a character without a stop bit."""
        if self.broken and self.mode != BROKEN:
            self.reset(LOST)
        self.broken = 0

    def reset(self, mode: str) -> None:
        """Forget everything; a drive that is lost says so again and again."""
        self.mode, self.got, self.out, self.command, self.taken = mode, b"", b"", b"", b""
        self.inits = self.paused = self.waits = self.shakes = 0
        self.ports.disarm("far byte")
        self.ports.disarm("far tape")
        if mode == LOST:
            self.ports.arm("far tape", self.repeat)

    def send(self, data: bytes) -> None:
        """Bytes at the speed of the drive."""
        idle = not self.out
        self.out += data
        if idle and not self.paused and not self.waits:
            self.ports.arm("far byte", character_ns(self.ours))

    def send_next(self) -> None:
        """One byte has left; at the handshake the next one waits for CONTINUE."""
        if not self.out:
            return
        byte, self.out = self.out[0], self.out[1:]
        self.ports.put("keyboard", bytes([sampled(byte, self.ours, self.theirs)[0]]))
        self.waits = self.shakes
        if self.out and not self.paused and not self.waits:
            self.ports.arm("far byte", character_ns(self.ours))
        elif not self.out:
            self.all_sent()

    def hear(self, byte: int) -> None:
        """A character from the program, as it arrives here."""
        byte, is_whole = sampled(byte, self.theirs, self.ours)
        if not is_whole:
            self.reset(LOST)
        elif self.mode in (COMMAND, TAKES_DATA) and (self.mode == COMMAND or self.got or byte == DATA):
            self.take(byte)
        elif self.mode == BOOTS:
            self.bootstrap(byte)
        elif self.mode != LOST:  # from there only a break leads out
            self.flag(byte)

    def flag(self, byte: int) -> None:
        """A byte that stands alone."""
        self.inits = self.inits + 1 if byte == INIT else 0
        if self.inits == 2:
            self.reset(IDLE)
            self.send(bytes([CONTINUE]))
        elif byte in (CONTINUE, XOFF) and self.mode != BROKEN:
            self.flow(byte)
        elif byte == CONTROL and self.mode == IDLE:
            self.mode, self.got = COMMAND, bytes([byte])
        elif byte == BOOTSTRAP and self.mode == IDLE:
            self.mode = BOOTS
        elif byte != INIT and self.mode != BROKEN:  # after a break, what is left of it does not matter (unconfirmed)
            self.reset(LOST)

    def flow(self, byte: int) -> None:
        """The program stops the output, or lets it go on."""
        stood = self.paused or self.waits
        self.paused = int(byte == XOFF)
        if self.paused:
            self.ports.disarm("far byte")
            return
        self.waits = 0
        if self.out and stood:  # a byte that is on its way is not put off
            self.ports.arm("far byte", character_ns(self.ours))

    # --- packets from the program

    def take(self, byte: int) -> None:
        """One more byte of a packet."""
        self.got += bytes([byte])
        if len(self.got) < 2:
            return
        count = self.got[1]
        right = count == COMMAND_COUNT if self.mode == COMMAND else 1 <= count <= RECORD
        if not right:
            self.reset(LOST)
        elif len(self.got) == count + 4:
            self.whole()

    def whole(self) -> None:
        """A packet is there: it is used if its check word is right."""
        body, check = self.got[:-2], self.got[-2:]
        self.got = b""
        if check_word(body).to_bytes(2, "little") != check:
            self.reset(LOST)
        elif self.mode == COMMAND:
            self.command = body[2:]
            self.begin()
        else:
            self.taken += body[2:]
            self.more_data()

    # --- commands

    @property
    def opcode(self) -> int:
        """What is asked for."""
        return self.command[0]

    @property
    def count(self) -> int:
        """Bytes asked for."""
        return int.from_bytes(self.command[6:8], "little")

    @property
    def drive(self) -> Drive | None:
        """The drive asked for."""
        return self.drives.get(self.command[2])

    def begin(self) -> None:
        """A command: refused, or begun."""
        self.mode, self.given, self.taken = GIVES, 0, b""
        self.shakes = int(self.command[3] & HANDSHAKE != 0)
        if self.opcode in (NOTHING, INITIALISE, GET_STATUS, SET_STATUS):
            return self.end(GOOD)
        if self.opcode == SELF_TEST:
            return self.ports.arm("far tape", SELF_TEST_NS)
        if self.opcode not in (READ, WRITE, POSITION):
            return self.end(BAD_OPCODE)
        wrong = self.refused()
        if wrong:
            return self.end(wrong)
        unit = RECORD if self.command[1] & BY_RECORDS else BLOCK
        self.place = int.from_bytes(self.command[8:10], "little") * unit
        if self.opcode == WRITE and self.count:
            self.mode = TAKES_DATA
            return self.send(bytes([CONTINUE]))
        return self.ports.arm("far tape", self.search())

    def refused(self) -> int:
        """Why a command that moves tape can't be done; 0: it can."""
        drive, unit = self.drive, RECORD if self.command[1] & BY_RECORDS else BLOCK
        if drive is None:
            return NO_DRIVE
        if not drive.is_loaded:
            return NO_CARTRIDGE
        if self.opcode == WRITE and drive.protected:
            return PROTECTED
        return BAD_BLOCK if int.from_bytes(self.command[8:10], "little") * unit >= RECORDS * RECORD else GOOD

    def search(self) -> int:
        """Nanoseconds until the place of the tape is under the head; the two tracks lie beside each other."""
        drive = self.drive
        assert drive is not None
        there, here = self.place // RECORD, drive.state.get("record", 0)
        drive.state["record"] = there
        if there == here:
            return 1_000_000
        return SETTLE_NS + abs(there % TRACK_RECORDS - here % TRACK_RECORDS) * SEARCH_NS

    def more_data(self) -> None:
        """A data packet of a write came: the next one, or to the tape."""
        if len(self.taken) < self.count:
            return self.send(bytes([CONTINUE]))
        self.taken, self.mode = self.taken[: self.count], GIVES
        records = -(-len(self.taken) // RECORD) * (3 if self.command[1] & VERIFIES else 1)  # back, and once more
        return self.ports.arm("far tape", self.search() + records * RECORD_NS)

    def moved(self) -> None:
        """The tape stands where it should, a record has passed, or a drive that is lost says so again."""
        if self.mode == LOST:
            if not self.out:
                self.send(bytes([INIT]))
            self.ports.arm("far tape", self.repeat)
        elif self.mode == BOOTING:
            self.give_block()
        elif self.mode == GIVES and self.command:
            self.go_on()

    def go_on(self) -> None:
        """What a command does when the tape has moved."""
        try:
            if self.opcode == READ:
                self.give_record()
            elif self.opcode == WRITE:
                self.end(self.put_down())
            else:
                self.end(GOOD)
        except DriveFailedError as error:
            self.ports.tell(f"unit {self.command[2]} went off line: {error}")
            self.end(DATA_CHECK)

    def give_record(self) -> None:
        """The next data packet of a read, or its end."""
        drive = self.drive
        if drive is None or not drive.is_loaded:
            return self.end(NO_CARTRIDGE)
        if self.given >= self.count:
            return self.end(GOOD)
        if self.place >= RECORDS * RECORD:
            return self.end(END_OF_MEDIUM)
        if drive.is_bad(self.place // BLOCK):
            return self.end(DATA_CHECK)
        size = min(RECORD, self.count - self.given)
        data = drive.read(self.place // BLOCK)[self.place % BLOCK :][:size]
        drive.state["record"] = self.place // RECORD + 1
        self.place, self.given = self.place + RECORD, self.given + len(data)
        return self.send(packet(bytes([DATA, len(data)]) + data))

    def all_sent(self) -> None:
        """A packet has left: the next record of a read comes; after the end packet the drive is idle."""
        if self.mode == GIVES and self.command:
            self.ports.arm("far tape", RECORD_NS)
        elif self.mode in (GIVES, BOOTING) and not self.command:
            self.mode = IDLE

    def put_down(self) -> int:
        """The data of a write on the tape, filled up with 0; gives the success code."""
        drive, wrong = self.drive, self.refused()  # the cartridge or the switch may have been touched since
        if drive is None or wrong or not self.taken:
            return wrong
        unit = RECORD if self.command[1] & BY_RECORDS else BLOCK
        room = RECORDS * RECORD - self.place
        data = self.taken + bytes(-len(self.taken) % unit)
        first, data = self.place // BLOCK, data[:room]
        before = self.place % BLOCK
        after = -(before + len(data)) % BLOCK
        blocks = (before + len(data) + after) // BLOCK
        whole = drive.read(first, blocks)
        drive.write(first, whole[:before] + data + whole[before + len(data) :])
        drive.state["record"] = (self.place + len(data)) // RECORD
        self.given = min(len(self.taken), room)
        if self.command[1] & VERIFIES and any(drive.is_bad(number) for number in range(first, first + blocks)):
            return DATA_CHECK
        return GOOD if len(self.taken) <= room else END_OF_MEDIUM

    def end(self, code: int) -> None:
        """The end packet."""
        summary = 0 if code == GOOD else SPECIAL | (TRANSFER if code in (DATA_CHECK, END_OF_MEDIUM) else LOGIC)
        body = bytes([CONTROL, COMMAND_COUNT, END, code & 0o377, self.command[2], 0])
        body += self.command[4:6] + self.given.to_bytes(2, "little") + summary.to_bytes(2, "little")
        self.command, self.mode = b"", GIVES
        self.send(packet(body))

    # --- bootstrap

    def bootstrap(self, unit: int) -> None:
        """Block 0 of a drive without packets; a drive without a cartridge is lost (unconfirmed)."""
        drive = self.drives.get(unit)
        if drive is None or not drive.is_loaded:
            return self.reset(LOST)
        self.command, self.place, self.mode = bytes([READ, 0, unit, 0, 0, 0, 0, 2, 0, 0]), 0, BOOTING
        return self.ports.arm("far tape", self.search() + BLOCK // RECORD * RECORD_NS)

    def give_block(self) -> None:
        """The 512 plain bytes."""
        drive = self.drive
        self.command = b""
        if drive is None or not drive.is_loaded or drive.is_bad(0):
            return self.reset(LOST)
        try:
            data = drive.read(0)
        except DriveFailedError as error:
            self.ports.tell(f"unit {drive.unit} went off line: {error}")
            return self.reset(LOST)
        drive.state["record"] = BLOCK // RECORD
        return self.send(data)


CONTROLLER = BlockTape


def build(placement: Placement) -> tuple[Device, ...]:
    """The first line behind the console, with the drives at its far end."""
    base = 0o16500 if placement.base is None else placement.base
    vectors = placement.vectors or ((0o300, 4), (0o304, 4))
    at = replace(placement, base=base, vectors=vectors, attached=("serial-block-tape",))
    return (one_line(at, 0),)
