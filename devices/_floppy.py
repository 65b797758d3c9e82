"""What both 8-inch floppy controllers share: two drives, a buffer of one sector, the talk through one address.

The address after the status register has several meanings.  While "transfer request" stands it takes the next parameter
or byte, or gives the next one; at the end of every function it shows the error and status word [floppy-guide-1978].
A whole sector is read or written when it has passed under the head.

How the phases follow each other: a function asks for each parameter in turn (ASKING, then ASKED until it is there),
then works for a time (WORKING).  GIVING and GIVEN are the same for bytes that go to the program.
"""

from __future__ import annotations

from collections.abc import Mapping

from minisim.devices._controller import Controller, Drive, DriveFailedError, Options, Ports
from minisim.devices._device import (
    Device,
    Field,
    Placement,
    Register,
    TimedAction,
    bit,
    bits,
    call_model,
    copy_bits,
    is_set,
    touched,
    written,
)

NOT_MODELLED = (
    "The bytes of a sector one by one under the head: all of it moves when the sector has passed.",
    "Deleted-data marks in the image: a mark lives as long as the diskette stays in its drive in this machine.",
    "Headers, clock and marks on the medium: every sector is found, with a data check where the description of the"
    " medium calls it bad.",
    "A write-protect code from the manual: none is known; a drive whose switch stands at protected refuses to write"
    " with code 100 (unconfirmed).",
    "Parity errors between controller and drives, loss of mains power in the drives, and a head that misses a track.",
    "Time for the head to load and for a diskette to come up to speed.",
)

PLACE, VECTOR, LEVEL = 0o17170, 0o264, 5
ALL = bits(15, 0)
TRACKS, SECTORS = 77, 26
BOOT_TRACK = BOOT_SECTOR = 1  # what initialise reads

# status
ERROR, INITIALISE, IS_DOUBLE, DENSITY, REQUEST, ENABLE, DONE, UNIT, GO = map(bit, (15, 14, 11, 8, 7, 6, 5, 4, 0))
HIGH, FUNCTION = bits(13, 12), bits(3, 1)
# error and status word
DRIVE_READY, DELETED, DENSITY_ERROR, INIT_DONE, DATA_CHECK = map(bit, (7, 6, 4, 2, 0))

FILL, EMPTY, WRITE, READ, SET_DENSITY, READ_STATUS, WRITE_DELETED, READ_ERROR = range(8)
# error codes [floppy-guide-1978]
NO_CODE, NO_TRACK, NO_SECTOR, NO_CLOCK, BAD_DATA, WRONG_DENSITY = 0, 0o40, 0o70, 0o110, 0o200, 0o240
WRITE_PROTECTED = 0o100  # unconfirmed

TURN_NS = 166_666_667  # 360 turns a minute (unconfirmed)
SECTOR_NS = TURN_NS // SECTORS
SETTLE_NS = 25_000_000  # after the arm has moved (unconfirmed)
INITIALISE_NS = 1_000_000_000  # a choice: "up to about 2 s" (unconfirmed)
BYTE_NS = 20_000  # a parameter or byte between board and drives (a choice)
SHORT_NS = 50_000  # what moves nothing on a diskette (a choice)

IDLE, HOMING, ASKING, ASKED, GIVING, GIVEN, WORKING, STUCK = range(8)
CALL_INIT, CALL_GO, CALL_GIVEN, CALL_TAKEN, CALL_NEXT = range(1, 6)


class Floppies(Controller):
    """The electronics of the drive box; `taken` are the parameters of the function that is going on."""

    KEPT = ("phase", "function", "unit", "asks_double", "high", "taken", "buffer", "code", "at", "target")

    STEP_NS = 10_000_000  # a track
    BUFFER = 128  # bytes

    def __init__(self, ports: Ports, drives: Mapping[int, Drive], options: Options) -> None:
        super().__init__(ports, drives, options)
        self.phase, self.function, self.unit = IDLE, FILL, 0
        self.asks_double, self.high = 0, 0  # density and address bits 17-16 that came with GO
        self.taken: list[int] = []
        self.buffer = bytes(self.BUFFER)
        self.code = NO_CODE  # of the last error
        self.target = [0, 0]  # sector and track asked for last
        self.at = 0  # how far a function of many steps has come

    # --- what the two differ in

    def wants(self) -> int:
        """How many parameters or bytes the function takes through the data register."""
        raise NotImplementedError

    def work(self) -> None:
        """All parameters are there and the time is over: do the function."""
        raise NotImplementedError

    def about(self, drive: Drive) -> int:
        """Bits of the error and status word that tell of the drive and its medium."""
        raise NotImplementedError

    def unreadable(self, drive: Drive) -> tuple[int, int]:
        """Error and status bits and code where the density of the medium is not that of the function, or (0, 0)."""
        raise NotImplementedError

    # --- calls

    def called(self, code: int, data: int) -> None:
        """Initialise, GO, a word for the drives, a word that was read, a time is over."""
        if code == CALL_GIVEN:
            self.given(data)
        else:
            {CALL_INIT: self.initialise, CALL_GO: self.go, CALL_TAKEN: self.read, CALL_NEXT: self.next}[code]()

    def initialise(self) -> None:
        """Whatever is going on stops; heads go home.  Without a drive box nothing ever answers (derived)."""
        self.ports.clear("status", DONE | ERROR | REQUEST)
        self.show(0)
        self.phase, self.unit, self.code = HOMING, 0, NO_CODE
        if self.drives:
            self.ports.arm("next", INITIALISE_NS)

    def go(self) -> None:
        """A function; nothing happens while another one is going on."""
        status = self.ports["status"]
        if not status & DONE:
            return
        self.ports.clear("status", DONE | ERROR | REQUEST)
        self.function, self.unit = (status & FUNCTION) >> 1, int(bool(status & UNIT))
        self.asks_double, self.high = int(bool(status & DENSITY)), (status & HIGH) << 4
        self.taken, self.at = [], 0
        if self.function != READ_ERROR:
            self.code = NO_CODE
        self.ask()

    def given(self, word: int) -> None:
        """The program wrote to the data register; that counts while it was asked to."""
        if self.phase != ASKED:
            return
        self.ports.clear("status", REQUEST)
        self.show(word)
        self.taken.append(word)
        self.ask()

    def read(self) -> None:
        """The program read the data register while a request stood."""
        if self.phase != GIVEN:
            return
        self.ports.clear("status", REQUEST)
        self.at += 1
        self.give()

    def next(self) -> None:
        """A time is over."""
        if self.phase == HOMING:
            self.come_home()
        elif self.phase == WORKING:
            self.work()
        elif self.phase in (ASKING, GIVING):
            self.request()

    # --- the conversation

    def ask(self) -> None:
        """The next parameter, or begin to work."""
        if len(self.taken) < self.wants():
            self.later(ASKING, BYTE_NS)
        else:
            self.begin()

    def give(self) -> None:
        """The next byte of the buffer, or the end."""
        if self.at < self.BUFFER:
            self.later(GIVING, BYTE_NS)
        else:
            self.later(WORKING, SHORT_NS)

    def request(self) -> None:
        """Transfer request: the program's turn."""
        if self.phase == GIVING:
            self.show(self.buffer[self.at])
        self.phase = ASKED if self.phase == ASKING else GIVEN
        self.ports.set("status", REQUEST)

    def later(self, phase: int, after_ns: int) -> None:
        """Go on after a time."""
        self.phase = phase
        self.ports.arm("next", after_ns)

    def show(self, word: int) -> None:
        """What the data register reads as; a write that nobody asked for does not change it."""
        self.ports["data"] = self.ports["shown"] = word

    def finish(self, flags: int = 0, code: int = NO_CODE, *, is_wrong: bool = False) -> None:
        """DONE, with the error and status word in the data register."""
        self.phase, self.code = IDLE, code or self.code
        self.show(flags)
        self.ports.set("status", DONE | (ERROR if code or is_wrong else 0))

    # --- drives

    def begin(self) -> None:
        """How long the work takes."""
        if self.function in (READ, WRITE, WRITE_DELETED):
            self.target = [word & 0o377 for word in self.taken]
            self.later(WORKING, self.reach_ns())
        else:
            self.later(WORKING, TURN_NS if self.function == READ_STATUS else SHORT_NS)

    @property
    def drive(self) -> Drive:
        """The drive of the function; one that is not there is like one without a diskette."""
        return self.drives.get(self.unit) or Drive(self.unit, "", "")

    @property
    def sector(self) -> int:
        """The first parameter of reading and writing."""
        return self.target[0]

    @property
    def track(self) -> int:
        """The second one."""
        return self.target[1]

    def reach_ns(self) -> int:
        """The arm moves; time until the sector has passed, or until the search for it is given up."""
        drive = self.drive
        if self.track >= TRACKS:
            return SHORT_NS
        moves = abs(self.track - drive.state.get("track", 0))
        wait = moves * self.STEP_NS + (SETTLE_NS if moves else 0)
        drive.state["track"] = self.track
        if not drive.is_loaded:
            return wait + SHORT_NS
        if not 1 <= self.sector <= SECTORS:
            return wait + 2 * TURN_NS  # two turns: floppy-guide-1978
        until_sector = ((self.sector - 1) * SECTOR_NS - self.ports.now_ns - wait) % TURN_NS
        return wait + until_sector + SECTOR_NS

    def move_sector(self) -> None:
        """Read or write the sector that has passed."""
        drive = self.drive
        flags, code = self.refused(drive)
        if not code:
            flags, code = self.tried(drive, self.track, self.sector)
        self.finish(flags | self.about(drive), code)

    def refused(self, drive: Drive) -> tuple[int, int]:
        """Why the sector can't be reached: error and status bits, and a code."""
        if self.track >= TRACKS:
            return 0, NO_TRACK
        if not drive.is_loaded:
            return 0, NO_CLOCK  # unconfirmed: nothing comes from the head
        if not 1 <= self.sector <= SECTORS:
            return 0, NO_SECTOR
        if self.function != READ and drive.protected:
            return 0, WRITE_PROTECTED
        return self.unreadable(drive)

    def tried(self, drive: Drive, track: int, sector: int) -> tuple[int, int]:
        """One sector to or from the buffer; gives bits and code."""
        assert drive.medium is not None
        number = drive.medium.geometry.number(track, 0, sector)
        try:
            if self.function in (WRITE, WRITE_DELETED):
                drive.write(number, self.buffer[: drive.medium.geometry.bytes_each])
                return self.mark(drive, number), NO_CODE
            self.buffer = drive.read(number).ljust(self.BUFFER, b"\0")
        except DriveFailedError as error:
            return self.lost(error)
        flags = DELETED if drive.state.get(mark_name(number)) else 0
        return (flags | DATA_CHECK, BAD_DATA) if drive.is_bad(number) else (flags, NO_CODE)

    def mark(self, drive: Drive, number: int) -> int:
        """A sector was written with or without the deleted-data mark; gives no bits."""
        if self.function == WRITE_DELETED:
            drive.state[mark_name(number)] = 1
        else:
            drive.state.pop(mark_name(number), None)
        return 0

    def lost(self, error: DriveFailedError) -> tuple[int, int]:
        """The host failed: for the program the diskette is gone."""
        self.ports.tell(f"unit {self.unit} went off line: {error}")
        return 0, NO_CLOCK

    def tell_status(self) -> None:
        """Read status: is the drive ready?"""
        self.finish(self.about(self.drive) | self.readiness)

    @property
    def readiness(self) -> int:
        """The drive ready bit; only read status and initialise show it [floppy-guide-1978]."""
        return DRIVE_READY if self.drive.is_loaded else 0

    def come_home(self) -> None:
        """The end of initialise: sector 1 of track 1 of drive 0 is in the buffer (from memory, firm)."""
        for unit, drive in self.drives.items():
            drive.state["track"] = BOOT_TRACK if unit == 0 else 0
        flags, code, self.function = 0, NO_CODE, READ
        if self.drive.is_loaded:
            flags, code = self.tried(self.drive, BOOT_TRACK, BOOT_SECTOR)
        self.finish(flags | INIT_DONE | self.about(self.drive) | self.readiness, code)

    def changed(self, unit: int) -> None:
        """Marks go with the diskette."""
        drive = self.drives[unit]
        if drive.medium is None:
            drive.state = {name: value for name, value in drive.state.items() if not name.startswith(mark_name())}


def mark_name(number: int | str = "") -> str:
    """Under what a drive keeps the deleted-data mark of a sector."""
    return f"deleted {number}"


# --- registers ----------------------------------------------------------------------------------------------------

WIKI, GUIDE = "floppy-wiki", "floppy-guide-1978"


def status_register(*others: Field, unit: str) -> Register:
    """777170; `others` are bits 13 to 8, `unit` is the access of the unit bit."""
    fields = (
        Field("error", ERROR, "R", "the last function failed", WIKI),
        Field("initialise", INITIALISE, "W", "heads home, first sector into the buffer", WIKI),
        *others,
        Field("transfer request", REQUEST, "R", "the data register wants or has a word", WIKI),
        Field("interrupt enable", ENABLE, "RW", "done interrupts", WIKI),
        Field("done", DONE, "R", "takes a function", WIKI),
        Field("unit", UNIT, unit, "drive 0 or 1; that it can be read: unconfirmed", WIKI),
        Field("function", FUNCTION, "W", "what GO starts", GUIDE),
        Field("go", GO, "W", "starts the function", GUIDE),
    )
    start = (
        call_model(CALL_INIT).when(written(INITIALISE, INITIALISE)),
        call_model(CALL_GO).when(written(GO, GO)),
    )
    return Register("status", 0, fields, on_write=start, source=WIKI)


def data_registers() -> tuple[Register, ...]:
    """777172: parameters, bytes, and at the end the error and status word; and what it is to show."""
    return (
        Register(
            "data",
            2,
            (Field("data", ALL, "RW", "parameter, byte, or error and status word", GUIDE),),
            on_read=(call_model(CALL_TAKEN).when(is_set("status", REQUEST)),),
            on_write=(call_model(CALL_GIVEN).when(touched(0o377)), copy_bits("data", "shown", ALL)),
            source=GUIDE,
        ),
        Register("shown", None),
    )


def controller(device: str, placement: Placement, status: Register, notes: tuple[str, ...]) -> Device:
    """The controller with its drives."""
    ready = placement.request("done", ("status", DONE), ("status", ENABLE), (VECTOR, LEVEL))
    made = Device(
        id=device,
        place=placement.place,
        base=placement.at(PLACE),
        registers=(status, *data_registers()),
        timers=(TimedAction("next", SHORT_NS, (call_model(CALL_NEXT),)),),
        lines=(ready,),
        on_init=(call_model(CALL_INIT),),
        notes=notes,
    )
    return placement.with_drives(made)
