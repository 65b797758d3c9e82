"""Cartridge disk of the 2.5 MB class: up to eight drives, twelve sectors of 256 words on each track, DMA.

Reading and writing seek by themselves and go on from sector to surface to cylinder.  A hard error stops at once, and
every function but control reset is refused until the error is cleared.  A seek frees the controller at once; when the
arm arrives there is a second interrupt, with "search complete" and the number of the drive.

Names of bits and all times: seen, [small-cartridge-pages].  What they do: from memory, firm [small-cartridge-manual].
"""

from __future__ import annotations

from collections.abc import Mapping

from minisim.devices._controller import (
    Controller,
    Drive,
    DriveFailedError,
    Options,
    Ports,
    between,
    bytes_of,
    words_of,
)
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
    copy_bits,
    is_clear,
    is_set,
    named,
    written,
)

NOT_MODELLED = (
    "Spin-up and power of the drives: a drive with a cartridge is ready, one without is not.",
    "Words of a sector one by one: all of it moves when the sector has passed under the head.",
    "Maintenance, read all and write all of the older controller, and the data buffer at 777416, which reads as 0.",
    "Timing errors and seeks that miss; checksum errors come where the description of the medium calls a sector bad.",
    "Headers on the medium: writing in format mode writes the data, reading in format mode makes the header word up.",
)

PLACE, VECTOR, LEVEL = 0o17400, 0o220, 5
UNITS = 8
CYLINDERS, SURFACES, SECTORS, WORDS = 203, 2, 12, 256
TURN_NS = 40_000_000  # 1500 revolutions a minute
SECTOR_NS = TURN_NS // SECTORS
SHORT_NS = 10_000  # functions that move nothing (a choice: READY "almost at once")
SEEKS = ((1, 10_000_000), (68, 50_000_000), (202, 85_000_000))  # next track, a third of the way, all of it

ALL = bits(15, 0)
# control
ANY, HARD, FOUND, HOLD_ADDRESS, FORMAT, STOP_ON_SOFT, READY, ENABLE, HIGH, FUNCTION, GO = (
    *map(bit, (15, 14, 13, 11, 10, 8, 7, 6)),
    *(bits(5, 4), bits(3, 1), bit(0)),
)
# errors
DRIVE_ERROR, PAST_END, LOCKED_OUT, BAD_FUNCTION, NO_MEMORY, LATE = map(bit, (15, 14, 13, 11, 10, 9))
NO_DRIVE, NO_CYLINDER, NO_SECTOR, CHECKSUM, DIFFERS = map(bit, (7, 6, 5, 1, 0))
HARD_ERRORS = bits(15, 5)
# drive status
IS_FULL_SIZE, COUNT_VALID, DRIVE_READY, ARM_STILL, PROTECTED, AT_SECTOR = map(bit, (11, 8, 7, 6, 5, 4))

RESET, WRITE, READ, WRITE_CHECK, SEEK, READ_CHECK, DRIVE_RESET, WRITE_LOCK = range(8)
TRANSFERS = (WRITE, READ, WRITE_CHECK, READ_CHECK)
CALL_GO, CALL_INIT, CALL_LOOK, CALL_SECTOR, CALL_END = range(1, 6)
CALL_ARRIVED = 8  # and the number of the drive


def seek_ns(distance: int) -> int:
    """How long the arm takes over so many cylinders: straight lines between the three published times (derived)."""
    return between(SEEKS, distance) if distance else 0


class SmallCartridges(Controller):
    """What the registers can't say: where a transfer stands, and who waits to tell that its arm has arrived."""

    KEPT = ("function", "unit", "place", "arrived")

    function, unit, place = RESET, 0, 0  # of what is going on; place: sector of the drive, from 0

    def __init__(self, ports: Ports, drives: Mapping[int, Drive], options: Options) -> None:
        super().__init__(ports, drives, options)
        self.arrived: list[int] = []

    # --- calls

    def called(self, code: int, data: int) -> None:
        """GO, initialise, a look at the status, a sector has passed, the end of a function, an arm has arrived."""
        if code >= CALL_ARRIVED:
            self.arrive(code - CALL_ARRIVED)
        else:
            (self.go, self.initialise, self.look, self.sector, self.end)[code - 1]()

    def initialise(self) -> None:
        """As after function 0; arms that move go on."""
        self.arrived.clear()
        self.ports.disarm("sector")
        self.ports.disarm("end")
        for name in ("errors", "word count", "bus address", "disk address", "address kept", "drive status"):
            self.ports[name] = 0
        self.ports["control"] = READY

    def look(self) -> None:
        """Status of the drive in the disk address, as it is now."""
        drive, status = self.drives.get(self.chosen), self.ports["drive status"] & bits(15, 13)
        if drive is not None:
            status |= IS_FULL_SIZE | (PROTECTED if self.is_protected(drive) else 0)
        if drive is not None and drive.is_loaded:
            sector = self.ports.now_ns // SECTOR_NS % SECTORS
            status |= COUNT_VALID | DRIVE_READY | sector
            status |= AT_SECTOR if sector == self.ports["disk address"] & bits(3, 0) else 0
            status |= 0 if self.is_moving(drive) or self.is_busy(drive) else ARM_STILL
        self.ports["drive status"] = status

    def go(self) -> None:
        """A function, unless one is running or an error stands."""
        control = self.ports["control"]
        function = (control & FUNCTION) >> 1
        if function == RESET:
            self.initialise()
            self.function = RESET
            self.ports["control"] = 0
            return self.soon()
        if not control & READY or control & HARD:
            return None
        self.ports["control"] = control & ~(READY | FOUND | ANY)
        self.ports["errors"] = 0  # those left are soft ones
        self.function, self.unit = function, self.chosen
        wrong = self.refused(function)
        if wrong:
            self.show_hard(wrong)
            return self.soon()  # not in this call: READY must be seen to fall and rise, or nothing interrupts
        return self.begin(self.drives[self.unit])

    def begin(self, drive: Drive) -> None:
        """What a function does first."""
        if self.function in (SEEK, DRIVE_RESET):
            cylinder = 0 if self.function == DRIVE_RESET else self.cylinder
            self.send_arm(drive, cylinder)
            return self.soon()
        if self.function == WRITE_LOCK:
            drive.state["locked"] = 1
            return self.soon()
        sector = self.ports["disk address"] & bits(3, 0)
        self.place = (self.cylinder * SURFACES + self.surface) * SECTORS + sector
        wait = self.wait_of(drive) + seek_ns(abs(self.cylinder - drive.state.get("cylinder", 0)))
        drive.state["cylinder"] = self.cylinder
        then = self.ports.now_ns + wait
        until_sector = (sector * SECTOR_NS - then) % TURN_NS
        return self.ports.arm("sector", wait + until_sector + SECTOR_NS)

    def refused(self, function: int) -> int:
        """The error bits of a function that can't begin."""
        drive, address = self.drives.get(self.unit), self.ports["disk address"]
        if drive is None:
            return NO_DRIVE
        if not drive.is_loaded:
            return DRIVE_ERROR
        if self.ports["control"] & FORMAT and function not in (READ, WRITE):
            return BAD_FUNCTION
        if function == WRITE and self.is_protected(drive):
            return LOCKED_OUT
        wrong = NO_CYLINDER if self.cylinder >= CYLINDERS and function not in (DRIVE_RESET, WRITE_LOCK) else 0
        if function not in (SEEK, DRIVE_RESET, WRITE_LOCK) and address & bits(3, 0) >= SECTORS:
            wrong |= NO_SECTOR
        return wrong

    # --- a transfer, sector by sector

    def sector(self) -> None:
        """One sector has passed: move its words, then the next one or the end."""
        drive = self.drives[self.unit]
        try:
            wrong = self.move(drive)
        except DriveFailedError as error:
            self.ports.tell(f"unit {self.unit} went off line: {error}")
            wrong = DRIVE_ERROR
        self.place += 1
        self.show_place()
        if wrong & HARD_ERRORS:
            return self.fail(wrong)
        if wrong:
            self.ports.set("errors", wrong)
            self.ports.set("control", ANY)
        stop = wrong and self.ports["control"] & STOP_ON_SOFT
        if not self.ports["word count"] or stop:
            return self.end()
        if self.place == CYLINDERS * SURFACES * SECTORS:
            return self.fail(PAST_END)
        return self.to_next(drive)

    def to_next(self, drive: Drive) -> None:
        """The next sector follows at once, on the other surface too; the arm needs its time for the next cylinder."""
        cylinder, wait = self.place // (SURFACES * SECTORS), 0
        if cylinder != drive.state.get("cylinder", 0):
            drive.state["cylinder"] = cylinder
            wait = TURN_NS  # the arm takes 10 ms, and the sector comes round
        self.ports.arm("sector", wait + SECTOR_NS)

    def move(self, drive: Drive) -> int:
        """The words of this sector; gives error bits."""
        if self.function == WRITE:
            return self.write(drive)
        wrong = CHECKSUM if drive.is_bad(self.place) else 0
        if self.ports["control"] & FORMAT:
            return wrong | self.to_memory([self.place // (SURFACES * SECTORS) << 5])
        words = words_of(drive.read(self.place))[: self.left()]
        if self.function == READ_CHECK:
            self.count(len(words))
            return wrong
        if self.function == WRITE_CHECK:
            return wrong | self.compare(words)
        return wrong | self.to_memory(words)

    def write(self, drive: Drive) -> int:
        """A sector, filled up with 0."""
        words, wrong = self.from_memory(min(self.left(), WORDS))
        if not wrong:
            drive.write(self.place, bytes_of(words).ljust(2 * WORDS, b"\0"))
        return wrong

    def compare(self, words: list[int]) -> int:
        """Memory with the medium."""
        there, wrong = self.from_memory(len(words))
        return wrong or (DIFFERS if there != words else 0)

    def from_memory(self, count: int) -> tuple[list[int], int]:
        """Words by DMA, and error bits."""
        if self.ports["control"] & HOLD_ADDRESS:
            words = [word for _ in range(count) for word in self.ports.from_memory(self.address, 1)]
        else:
            words = self.ports.from_memory(self.address, count)
        self.count(len(words))
        self.step(len(words))
        return words, self.missing(count - len(words))

    def to_memory(self, words: list[int]) -> int:
        """Words by DMA; gives error bits."""
        if self.ports["control"] & HOLD_ADDRESS:
            done = sum(self.ports.to_memory(self.address, [word]) for word in words)
        else:
            done = self.ports.to_memory(self.address, words)
        self.count(done)
        self.step(done)
        return self.missing(len(words) - done)

    def missing(self, words: int) -> int:
        """No memory there; or the bus never came, and the data went by."""
        if not words:
            return 0
        return NO_MEMORY if self.ports.is_granted else LATE

    # --- registers

    @property
    def chosen(self) -> int:
        """The drive in the disk address."""
        return self.ports["disk address"] >> 13

    @property
    def cylinder(self) -> int:
        """The cylinder in the disk address."""
        return self.ports["disk address"] >> 5 & 0o377

    @property
    def surface(self) -> int:
        """The surface in the disk address."""
        return self.ports["disk address"] >> 4 & 1

    @property
    def address(self) -> int:
        """18 bits: two of them stand in the control register."""
        return (self.ports["control"] & HIGH) << 12 | self.ports["bus address"]

    def left(self) -> int:
        """Words still to move; a count of 0 stands for all 65,536."""
        return 0o200000 - self.ports["word count"]

    def count(self, words: int) -> None:
        """The count goes up to 0."""
        self.ports["word count"] = (self.ports["word count"] + words) & ALL

    def step(self, words: int) -> None:
        """The address goes on, with a carry into the control register, unless it is held."""
        if self.ports["control"] & HOLD_ADDRESS:
            return
        address = self.address + 2 * words
        self.ports["bus address"] = address & ALL
        self.ports["control"] = self.ports["control"] & ~HIGH | address >> 12 & HIGH

    def show_place(self) -> None:
        """The disk address shows the next sector."""
        track, sector = divmod(self.place, SECTORS)
        word = self.unit << 13 | track << 4 & bits(12, 4) | sector
        self.ports["disk address"] = self.ports["address kept"] = word

    # --- ends and arms

    def soon(self) -> None:
        """READY almost at once."""
        self.ports.arm("end", SHORT_NS)

    def fail(self, wrong: int) -> None:
        """A hard error: the end, now."""
        self.show_hard(wrong)
        self.end()

    def show_hard(self, wrong: int) -> None:
        """A hard error, in both registers."""
        self.ports.set("errors", wrong)
        self.ports.set("control", ANY | HARD)

    def end(self) -> None:
        """READY; an arm that arrived meanwhile may tell now."""
        self.ports.set("control", READY)
        self.tell_arrival()

    def send_arm(self, drive: Drive, cylinder: int) -> None:
        """The arm moves by itself."""
        wait = self.wait_of(drive) + seek_ns(abs(cylinder - drive.state.get("cylinder", 0)))
        drive.state["cylinder"] = cylinder
        drive.state["arrives"] = self.ports.now_ns + wait + 2 * SHORT_NS
        self.ports.arm(f"arm {drive.unit}", wait + 2 * SHORT_NS)

    def arrive(self, unit: int) -> None:
        """An arm stands where it was sent."""
        self.arrived.append(unit)
        self.tell_arrival()

    def tell_arrival(self) -> None:
        """Search complete, once the controller is free and the last one was seen to."""
        control = self.ports["control"]
        if self.arrived and control & READY and not control & FOUND:
            self.ports["drive status"] = self.ports["drive status"] & ~bits(15, 13) | self.arrived.pop(0) << 13
            self.ports.set("control", FOUND)

    def is_moving(self, drive: Drive) -> bool:
        """Is its arm on the way?"""
        return self.wait_of(drive) > 0

    def wait_of(self, drive: Drive) -> int:
        """Nanoseconds until the arm stands where the last seek sent it."""
        return max(drive.state.get("arrives", 0) - self.ports.now_ns, 0)

    def is_busy(self, drive: Drive) -> bool:
        """Is this drive being read or written?"""
        return not self.ports["control"] & READY and drive.unit == self.unit and self.function != WRITE_LOCK

    def is_protected(self, drive: Drive) -> bool:
        """By its switch, or by function 7."""
        return drive.protected or bool(drive.state.get("locked"))

    def switched(self, unit: int) -> None:
        """The switch at the front undoes a write lock; a change of cartridge does not (from memory, firm)."""
        if not self.drives[unit].protected:
            self.drives[unit].state.pop("locked", None)

    def changed(self, unit: int) -> None:
        """Without its cartridge nothing goes on."""
        drive = self.drives[unit]
        if drive.medium is None and self.is_busy(drive) and self.function in TRANSFERS:
            self.ports.disarm("sector")
            self.fail(DRIVE_ERROR)


CONTROLLER = SmallCartridges


# --- registers ----------------------------------------------------------------------------------------------------

PAGES = "small-cartridge-pages"


def status_register() -> Register:
    """777400; the drive in the disk address is the one it tells of."""
    fields = (
        Field("interrupting drive", bits(15, 13), "R", "number of the drive whose arm arrived", PAGES),
        *named("R", PAGES, drive_power_low=bit(12), full_size=IS_FULL_SIZE, unsafe=bit(10), seek_incomplete=bit(9)),
        *named("R", PAGES, count_valid=COUNT_VALID, drive_ready=DRIVE_READY, arm_still=ARM_STILL, protected=PROTECTED),
        *named("R", PAGES, at_sector=AT_SECTOR),
        Field("sector", bits(3, 0), "R", "sector under the head", PAGES),
    )
    return Register("drive status", 0, fields, on_look=(call_model(CALL_LOOK),), answers="RW", source=PAGES)


def error_register() -> Register:
    """777402."""
    fields = (
        *named("R", PAGES, drive_error=DRIVE_ERROR, past_the_end=PAST_END, write_locked_out=LOCKED_OUT),
        *named("R", PAGES, seek_error=bit(12)),
        *named("R", PAGES, wrong_function=BAD_FUNCTION, no_memory=NO_MEMORY, data_late=LATE, timing=bit(8)),
        *named("R", PAGES, no_such_drive=NO_DRIVE, no_such_cylinder=NO_CYLINDER, no_such_sector=NO_SECTOR),
        *named("R", PAGES, checksum=CHECKSUM, differs=DIFFERS),
    )
    return Register("errors", 2, fields, source=PAGES)


def control_register() -> Register:
    """777404; GO starts the function."""
    fields = (
        *named("R", PAGES, any_error=ANY, hard_error=HARD, search_complete=FOUND),
        *named("RW", PAGES, address_held=HOLD_ADDRESS, format=FORMAT, stop_on_soft_error=STOP_ON_SOFT),
        Field("ready", READY, "R", "takes a function", PAGES, READY),
        *named("RW", PAGES, interrupt_enable=ENABLE),
        Field("address 17-16", HIGH, "RW", "of the bus address", PAGES),
        Field("function", FUNCTION, "RW", "what GO starts", PAGES),
        Field("go", GO, "W", "starts the function", PAGES),
    )
    start = (call_model(CALL_GO).when(written(GO, GO)),)
    return Register("control", 4, fields, on_write=start, source=PAGES)


def address_registers() -> tuple[Register, ...]:
    """Word count, bus address, disk address (kept while a function runs), and what reads as 0."""
    ready, busy = is_set("control", READY), is_clear("control", READY)
    keep: tuple[Effect, ...] = (
        copy_bits("address kept", "disk address", ALL).when(ready),
        copy_bits("disk address", "address kept", ALL).when(busy),
    )
    disk = (
        Field("drive", bits(15, 13), "RW", "number of the drive", PAGES),
        Field("cylinder", bits(12, 5), "RW", "0 to 312 octal", PAGES),
        Field("surface", bit(4), "RW", "0 or 1", PAGES),
        Field("sector", bits(3, 0), "RW", "0 to 13 octal", PAGES),
    )
    return (
        Register("word count", 6, (Field("count", ALL, "RW", "two's complement", PAGES),), source=PAGES),
        Register("bus address", 0o10, (Field("address", bits(15, 1), "RW", "of the next word", PAGES),), source=PAGES),
        Register("disk address", 0o12, disk, on_write=keep, source=PAGES),
        Register("maintenance", 0o14, (Field("nothing", ALL, "R0", "of the older controller", PAGES),), source=PAGES),
        Register("data buffer", 0o16, (Field("data", ALL, "R0", "the word on its way", PAGES),), source=PAGES),
        Register("address kept", None),
    )


def build(placement: Placement) -> tuple[Device, ...]:
    """The controller with its drives."""
    requests = tuple(
        placement.request(name, ("control", flag), ("control", ENABLE), (VECTOR, LEVEL), step=number)
        for number, (name, flag) in enumerate((("ready", READY), ("arrived", FOUND)))
    )
    calls = ((f"arm {n}", (call_model(CALL_ARRIVED + n),)) for n in range(UNITS))
    arms = (TimedAction(name, SHORT_NS, effects, survives_init=True) for name, effects in calls)
    made = Device(
            id="cartridge-disk-2mb",
            place=placement.place,
            base=placement.at(PLACE),
            registers=(status_register(), error_register(), control_register(), *address_registers()),
            timers=(
                TimedAction("sector", SECTOR_NS, (call_model(CALL_SECTOR),)),
                TimedAction("end", SHORT_NS, (call_model(CALL_END),)),
                *arms,
            ),
            lines=requests,
            on_init=(call_model(CALL_INIT),),
            notes=NOT_MODELLED,
        )
    return (placement.with_drives(made),)
