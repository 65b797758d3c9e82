"""Cartridge disk of the 5 and 10 MB class: up to four drives, forty sectors of 128 words on each track, DMA.

The program seeks by a difference of cylinders; the controller neither seeks by itself nor passes from track to track.
It starts a function by writing "controller ready" as 0.  The end of a function interrupts; the arrival of an arm does
not, it only shows as "drive ready".  When heads have loaded, the drive reports a volume check with every function until
a get status with reset.

Layout of the registers and geometry: seen, [cartridge-disk-wiki]; codes of functions and of the drive's state: derived,
[cartridge-disk-driver-header]; what they do: from memory, firm, unless a comment says unconfirmed.
"""

from __future__ import annotations

from minisim.devices._controller import Controller, Drive, DriveFailedError, between, bytes_of, words_of
from minisim.devices._device import (
    Device,
    Effect,
    Field,
    Placement,
    Register,
    TimedAction,
    bit,
    bits,
    call_model,
    clear_bits,
    copy_bits,
    named,
    set_bits,
    store,
    written,
)

NOT_MODELLED = (
    "Spin-up, brushes and spin-down: a drive with a cartridge is up, one without is down.",
    "Words of a sector one by one: all of it moves when the sector has passed under the head.",
    "The maintenance test of function 0: it ends at once and does nothing.",
    "Errors of the electronics: spin, seek time-out, head current, write data; data checks come where the description "
    "of the medium calls a sector bad.",
    "The polynomial of the header check word, which no document at hand names: the usual one of 16 bits is taken.",
)

PLACE, VECTOR, LEVEL = 0o14400, 0o160, 5
UNITS, WIDE = 4, 22
HEADS, SECTORS, WORDS = 2, 40, 128
TURN_NS = 25_000_000  # 2400 revolutions a minute
SECTOR_NS = TURN_NS // SECTORS
HEAD_NS = 8_000_000  # at most
SHORT_NS = 10_000  # functions that move nothing (a choice)
TIME_OUT_NS = 200_000_000
TIMES = (15_000_000, 55_000_000, 100_000_000)  # next track, a third of the way, all of it

ALL = bits(15, 0)
# control and status
ANY, DRIVE_ERROR, NO_MEMORY, LATE, CHECK, INCOMPLETE = map(bit, (15, 14, 13, 12, 11, 10))
UNIT, READY, ENABLE, HIGH, FUNCTION, DRIVE_READY = bits(9, 8), bit(7), bit(6), bits(5, 4), bits(3, 1), bit(0)
ERRORS = bits(15, 10)
TIMED_OUT, NOT_FOUND = INCOMPLETE, LATE | INCOMPLETE
# drive status
SEEKING, ON_TRACK = 4, 5
BRUSHES_HOME, HEADS_OUT, HEAD, LARGE = map(bit, (3, 4, 6, 7))
VOLUME_CHECK, WRITE_GATE, LOCKED = bit(9), bit(10), bit(13)
DRIVE_ERRORS = VOLUME_CHECK | WRITE_GATE

NOTHING, WRITE_CHECK, GET_STATUS, SEEK, READ_HEADER, WRITE, READ, READ_BLIND = range(8)
CALL_GO, CALL_INIT, CALL_SELECT, CALL_STEP = range(1, 5)
CALL_ARRIVED = 8  # and the number of the drive
MANY_CYLINDERS = 256  # of the smaller drive
COUNT = bits(12, 0)  # of the word count


def seek_ns(distance: int, cylinders: int) -> int:
    """How long the arm takes: straight lines between the three published times (derived)."""
    places = (1, cylinders // 3, cylinders - 1)
    return between(tuple(zip(places, TIMES, strict=True)), distance) if distance else 0


def check_word(word: int) -> int:
    """A check word of 16 bits over a header (x^16 + x^15 + x^2 + 1, low bit first; unconfirmed)."""
    rest = word
    for _ in range(16):
        rest = rest >> 1 ^ 0o120001 if rest & 1 else rest >> 1
    return rest


class Cartridges(Controller):
    """What the registers can't say: which function runs, and which sector comes next."""

    KEPT = ("function", "unit", "wrong", "end_next")

    function, unit = NOTHING, 0
    wrong = 0  # error bits that the end of the function shows
    end_next = 0  # the next timed step is the end

    # --- calls

    def called(self, code: int, data: int) -> None:
        """A start, initialise, another drive chosen, the next step of a function, an arm has arrived."""
        if code >= CALL_ARRIVED:
            self.show_drive_ready()
        elif code == CALL_GO:
            self.go()
        elif code == CALL_INIT:
            self.initialise()
        elif code == CALL_SELECT:
            self.show_drive_ready()
        else:
            self.step()

    def initialise(self) -> None:
        """Ready, everything else 0; arms that move go on.  Volume check stands where heads have just loaded."""
        self.ports.disarm("step")
        for name in ("bus address", "disk address", "word count", "multi-purpose", "next 1", "next 2", "high address"):
            self.ports[name] = 0
        for drive in self.drives.values():
            if "check" not in drive.state:
                self.load_heads(drive)
        self.ports["control"] = READY
        self.show_drive_ready()

    def changed(self, unit: int) -> None:
        """A cartridge came or went: the heads load, and the drive says so."""
        drive = self.drives[unit]
        if bool(drive.medium) != bool(drive.state.get("loaded")):
            self.load_heads(drive)
        self.show_drive_ready()

    def load_heads(self, drive: Drive) -> None:
        """Heads over cylinder 0, if there is a cartridge."""
        loaded = int(drive.medium is not None)
        check = VOLUME_CHECK if loaded else 0
        drive.state |= {"loaded": loaded, "check": check, "cylinder": 0, "head": 0, "arrives": 0}

    def go(self) -> None:
        """Start a function, unless one is running."""
        control = self.ports["control"]
        if not control & READY:
            return
        self.ports["control"] = control & ~(READY | ERRORS)
        self.function, self.unit = (control & FUNCTION) >> 1, (control & UNIT) >> 8
        self.wrong = 0
        self.begin()
        self.show_drive_ready()

    def begin(self) -> None:
        """What a function does first, or how long until it fails."""
        drive = self.drives.get(self.unit)
        if self.function == NOTHING:
            return self.end_after(SHORT_NS)
        if drive is None:
            return self.end_after(TIME_OUT_NS, TIMED_OUT)
        if self.function == GET_STATUS:
            return self.get_status(drive)
        if drive.state["check"] & DRIVE_ERRORS:
            return self.end_after(SHORT_NS, DRIVE_ERROR)
        if not drive.is_loaded:
            return self.end_after(TIME_OUT_NS, TIMED_OUT)
        if self.function == SEEK:
            return self.seek(drive)
        if self.function == READ_HEADER:
            return self.to_next_sector(drive)
        return self.transfer(drive)

    # --- get status, seek, read header

    def get_status(self, drive: Drive) -> None:
        """The drive answers to one form of the word only; bit 3 clears its errors."""
        word = self.ports["disk address"]
        if word & 0o7 != 3:
            return self.end_after(TIME_OUT_NS, TIMED_OUT)  # unconfirmed
        if word & bit(3):
            drive.state["check"] = 0
        self.answer(self.status_of(drive))
        return self.end_after(SHORT_NS)

    def status_of(self, drive: Drive) -> int:
        """The drive status word."""
        word = BRUSHES_HOME | drive.state["check"] | (LOCKED if drive.protected else 0)
        word |= LARGE if self.cylinders_of(drive) > MANY_CYLINDERS else 0
        if not drive.is_loaded:
            return word
        return word | HEADS_OUT | (HEAD if drive.state["head"] else 0) | (SEEKING if self.wait_of(drive) else ON_TRACK)

    def cylinders_of(self, drive: Drive) -> int:
        """Of the cartridge that is in, else of those the drive is made for."""
        if drive.medium is not None:
            return drive.medium.geometry.cylinders
        return drive.cylinders or MANY_CYLINDERS

    def seek(self, drive: Drive) -> None:
        """So many cylinders up or down, and one of the heads."""
        word = self.ports["disk address"]
        if word & 0o13 != 1:
            return self.end_after(TIME_OUT_NS, TIMED_OUT)  # the drive takes it for another word (unconfirmed)
        cylinders, head = self.cylinders_of(drive), word >> 4 & 1
        difference = word >> 7 & (bits(7, 0) if cylinders <= MANY_CYLINDERS else bits(8, 0))
        distance = difference if word & bit(2) else -difference
        there = min(max(drive.state["cylinder"] + distance, 0), cylinders - 1)  # unconfirmed: it stops at the last one
        moves = seek_ns(abs(there - drive.state["cylinder"]), cylinders)
        wait = self.wait_of(drive) + max(moves, HEAD_NS if head != drive.state["head"] else 0)
        drive.state |= {"cylinder": there, "head": head, "arrives": self.ports.now_ns + SHORT_NS + wait}
        self.ports.arm(f"arm {drive.unit}", SHORT_NS + max(wait, SHORT_NS))
        return self.end_after(SHORT_NS)

    def to_next_sector(self, drive: Drive) -> None:
        """The next header that comes round, once the arm stands."""
        wait = self.wait_of(drive)
        self.ports.arm("step", wait + SECTOR_NS - (self.ports.now_ns + wait) % SECTOR_NS)

    def read_header(self, drive: Drive) -> None:
        """Three words: the header, 0, its check word."""
        sector = (self.ports.now_ns // SECTOR_NS - 1) % SECTORS
        header = drive.state["cylinder"] << 7 | drive.state["head"] << 6 | sector
        self.answer(header, 0, check_word(header))
        self.end()

    def answer(self, *words: int) -> None:
        """What the next reads of the multi-purpose register give."""
        for name, word in zip(("multi-purpose", "next 1", "next 2"), (*words, 0, 0), strict=False):
            self.ports[name] = word

    # --- transfers

    def transfer(self, drive: Drive) -> None:
        """Wait for the arm and the sector, if its header is on this track."""
        wait = self.wait_of(drive)
        if self.function == READ_BLIND:  # without headers: the next sector that comes
            return self.to_next_sector(drive)
        word = self.ports["disk address"]
        if not self.is_under_head(drive, word):
            return self.end_after(wait + TIME_OUT_NS, NOT_FOUND)
        if self.function == WRITE and drive.protected:
            drive.state["check"] |= WRITE_GATE
            return self.end_after(SHORT_NS, DRIVE_ERROR)
        sector = word & bits(5, 0)
        turn = (sector * SECTOR_NS - self.ports.now_ns - wait) % TURN_NS
        return self.ports.arm("step", wait + turn + SECTOR_NS)

    def is_under_head(self, drive: Drive, word: int) -> bool:
        """Cylinder, head and sector of a disk address against where the arm stands."""
        here = drive.state["cylinder"] << 1 | drive.state["head"]
        return word >> 6 == here and word & bits(5, 0) < SECTORS

    def step(self) -> None:
        """A sector or a header has passed, or the end is due."""
        drive = self.drives.get(self.unit)
        if self.end_next or drive is None or not drive.is_loaded or drive.state["check"]:  # another cartridge is in
            self.wrong |= 0 if self.end_next else TIMED_OUT
            return self.end()
        if self.function == READ_HEADER:
            return self.read_header(drive)
        try:
            self.wrong |= self.move(drive)
        except DriveFailedError as error:
            self.ports.tell(f"unit {self.unit} went off line: {error}")
            self.wrong |= TIMED_OUT
        if self.wrong or not self.ports["word count"] & COUNT:
            return self.end()
        return self.on_track(drive)

    def on_track(self, drive: Drive) -> None:
        """The next sector of this track; behind the last one there is none."""
        if self.ports["disk address"] & bits(5, 0) >= SECTORS and self.function != READ_BLIND:
            return self.end_after(TIME_OUT_NS, NOT_FOUND)
        return self.ports.arm("step", SECTOR_NS)

    def move(self, drive: Drive) -> int:
        """The words of this sector; gives error bits."""
        sector = self.ports["disk address"] & bits(5, 0)
        if self.function == READ_BLIND:
            sector = (self.ports.now_ns // SECTOR_NS - 1) % SECTORS
        number = (drive.state["cylinder"] * HEADS + drive.state["head"]) * SECTORS + sector
        wrong = self.write(drive, number) if self.function == WRITE else self.read(drive, number)
        self.ports["disk address"] = self.ports["disk address"] & ~bits(5, 0) | (sector + 1) & bits(5, 0)
        return wrong

    def write(self, drive: Drive, number: int) -> int:
        """A sector, filled up with 0."""
        words = self.ports.from_memory(self.address, count := min(self.left, WORDS))
        self.go_on(len(words))
        if len(words) < count:
            return self.missing
        drive.write(number, bytes_of(words).ljust(2 * WORDS, b"\0"))
        return 0

    def read(self, drive: Drive, number: int) -> int:
        """A sector to memory, or compared with it."""
        words = words_of(drive.read(number))[: self.left]
        wrong = CHECK if drive.is_bad(number) else 0
        if self.function == WRITE_CHECK:
            there = self.ports.from_memory(self.address, len(words))
            done, wrong = len(there), wrong | (CHECK if there != words[: len(there)] else 0)
        else:
            done = self.ports.to_memory(self.address, words)
        self.go_on(done)
        return wrong | (0 if done == len(words) else self.missing)

    @property
    def missing(self) -> int:
        """No memory there; or the bus never came, and the data went by."""
        return NO_MEMORY if self.ports.is_granted else LATE

    # --- registers

    @property
    def left(self) -> int:
        """Words until the count comes to 0: 13 bits of it, whose others must be 1; 0 stands for 8192."""
        return COUNT + 1 - (self.ports["word count"] & COUNT)

    @property
    def address(self) -> int:
        """18 bits, or 22 with the register for the upper ones."""
        return self.ports["high address"] << 16 | self.ports["bus address"]

    def go_on(self, words: int) -> None:
        """Address and count go on."""
        address = self.address + 2 * words
        self.ports["word count"] = (self.ports["word count"] + words) & ALL
        self.ports["bus address"] = address & ALL
        self.ports["high address"] = address >> 16 & bits(5, 0)
        self.ports["control"] = self.ports["control"] & ~HIGH | address >> 12 & HIGH

    def show_drive_ready(self) -> None:
        """Bit 0 tells of the drive that is chosen."""
        drive = self.drives.get((self.ports["control"] & UNIT) >> 8)
        if drive is not None and drive.is_loaded and not self.wait_of(drive):
            self.ports.set("control", DRIVE_READY)
        else:
            self.ports.clear("control", DRIVE_READY)

    def wait_of(self, drive: Drive) -> int:
        """Nanoseconds until its arm stands."""
        return max(drive.state.get("arrives", 0) - self.ports.now_ns, 0)

    # --- ends

    def end_after(self, wait: int, wrong: int = 0) -> None:
        """The end, with these error bits."""
        self.wrong |= wrong
        self.end_next = 1
        self.ports.arm("step", wait)

    def end(self) -> None:
        """Ready, with the errors; a drive that reports an error of its own shows it."""
        self.end_next = 0
        drive = self.drives.get(self.unit)
        if drive is not None and drive.state["check"] & DRIVE_ERRORS:
            self.wrong |= DRIVE_ERROR
        self.ports.set("control", READY | self.wrong | (ANY if self.wrong else 0))
        self.show_drive_ready()


CONTROLLER = Cartridges


# --- registers ----------------------------------------------------------------------------------------------------

WIKI, HEADER = "cartridge-disk-wiki", "cartridge-disk-driver-header"


def control_register() -> Register:
    """774400; writing bit 7 as 0 starts the function."""
    fields = (
        *named("R", WIKI, any_error=ANY, drive_error=DRIVE_ERROR, no_memory=NO_MEMORY, data_late_or_no_header=LATE),
        *named("R", WIKI, check=CHECK, incomplete=INCOMPLETE),
        Field("drive", UNIT, "RW", "number of the drive", WIKI),
        Field("controller ready", READY, "R", "0 starts the function when it is written", WIKI, READY),
        *named("RW", WIKI, interrupt_enable=ENABLE),
        Field("address 17-16", HIGH, "RW", "of the bus address", WIKI),
        Field("function", FUNCTION, "RW", "what is started", WIKI),
        Field("drive ready", DRIVE_READY, "R", "the arm of the drive stands", WIKI),
    )
    high = tuple(
        effect
        for number, mask in enumerate((bit(4), bit(5)))
        for effect in (
            clear_bits("high address", bit(number)).when(written(mask, 0)),
            set_bits("high address", bit(number)).when(written(mask, mask)),
        )
    )
    start = call_model(CALL_GO).when(written(READY, 0))
    return Register("control", 0, fields, on_write=(*high, call_model(CALL_SELECT), start), source=WIKI)


def other_registers(is_wide: bool) -> tuple[Register, ...]:
    """Addresses, the register of many uses, and the upper address of the widest board."""
    bus = (Field("address", bits(15, 1), "RW", "of the next word", WIKI),)
    disk = (Field("disk address", ALL, "RW", "cylinder 15-7, head 6, sector 5-0; or get status; or seek", WIKI),)
    many = (Field("status or header", ALL, "R", "read: what the function brought; written: the word count"),)
    shifts = (copy_bits("multi-purpose", "next 1", ALL), copy_bits("next 1", "next 2", ALL))
    found = (
        Register("bus address", 2, bus, source=WIKI),
        Register("disk address", 4, disk, source=WIKI),
        Register("multi-purpose", 6, many, on_read=shifts, on_write=(store("word count"),)),
        Register("word count", None),
        Register("next 1", None),
        Register("next 2", None),
    )
    if not is_wide:
        return (*found, Register("high address", None))
    extended = (Field("address 21-16", bits(5, 0), "RW", "of the bus address"),)
    return (*found, Register("high address", 0o10, extended, on_write=lower_two(), source=HEADER))


def lower_two() -> tuple[Effect, ...]:
    """Two of the upper bits stand in the control register as well (unconfirmed)."""
    return tuple(
        effect
        for number, mask in enumerate((bit(4), bit(5)))
        for effect in (
            clear_bits("control", mask).when(written(bit(number), 0)),
            set_bits("control", mask).when(written(bit(number), bit(number))),
        )
    )


def build(placement: Placement) -> tuple[Device, ...]:
    """The controller with its drives; the fifth register is only on the board with 22 address lines."""
    request = placement.request("ready", ("control", READY), ("control", ENABLE), (VECTOR, LEVEL))
    calls = ((f"arm {n}", (call_model(CALL_ARRIVED + n),)) for n in range(UNITS))
    arms = (TimedAction(name, SHORT_NS, effects, survives_init=True) for name, effects in calls)
    made = Device(
            id="cartridge-disk-10mb",
            place=placement.place,
            base=placement.at(PLACE),
            registers=(control_register(), *other_registers(placement.dma_bits == WIDE)),
            timers=(TimedAction("step", SECTOR_NS, (call_model(CALL_STEP),)), *arms),
            lines=(request,),
            on_init=(call_model(CALL_INIT),),
            notes=NOT_MODELLED,
        )
    return (placement.with_drives(made),)
