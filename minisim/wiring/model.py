"""Wired: a loadout resolved against the catalogue.  The one place that knows what is connected to what.

Rules, address map, sheet, machine, planner and probe read these records and never walk a chain themselves.
Register addresses are I/O-page offsets (0 to 0o17777); add 0o760000 or 0o17760000 for the 18- and 22-bit forms.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from minisim.catalogue.model import BackplaneEntry, BoardEntry, CableEntry, DriveEntry, RomEntry, SupplyEntry
from minisim.findings import Mark
from minisim.known import Figure, NotApplicable, Total
from minisim.loadout.model import CableEnd, Loadout, Placed, RomFitted
from minisim.wiring.processor_registers import ProcessorRegisters

_NOTHING = NotApplicable()


class Passes(StrEnum):
    """Whether a position hands the grant on."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class GrantKind(StrEnum):
    """The multiplexed bus passes both together; the separate-line bus has them on different pins."""

    INTERRUPT = "interrupt"
    DMA = "dma"


@dataclass(frozen=True, slots=True)
class Place:
    """box/unit/slot with rows; `str` gives `main/a/2AB`, `3CF` for rows C to F, `1-2` for a set, `4` for a whole slot.

    `rows` holds every letter ("CDEF"); it is empty where the whole slot is meant.
    """

    box: str
    unit: str
    slots: tuple[int, ...]
    rows: str

    def __str__(self) -> str:
        first, last = self.slots[0], self.slots[-1]
        rows = self.rows if len(self.rows) <= 2 else self.rows[0] + self.rows[-1]
        return f"{self.box}/{self.unit}/{first if first == last else f'{first}-{last}'}{rows}"


@dataclass(frozen=True, slots=True)
class SlotPart:
    """One part of one slot of a backplane: its kind for given rows, and the boards that claim it.

    Parts never overlap and are cut so fine that every board claims whole parts: an empty slot is AB and CDEF, one with
    a card in D is AB, C, D and EF.  So two boards in one part do collide.  `place.rows` always holds the letters.
    """

    place: Place
    kinds: Mapping[str, str]  # the backplane's entries over this part, rows -> kind: {"CDEF": "small-peripheral"}
    boards: tuple[int, ...]  # indexes into Wired.boards; more than one: place taken twice


@dataclass(frozen=True, slots=True)
class WiredBoard:
    """A board in its place, with what the catalogue (or the owner's description) says of it."""

    index: int
    place: Place
    placed: Placed
    entry: BoardEntry
    unit: int  # index into Wired.units
    # The slot kinds it may be judged by: it stands rightly if ONE of them is among entry.slots.  A hex board of the
    # separate-line bus is judged by AB (or by ABCDEF where the slot has such an entry; both where it may be used either
    # way).  Empty where the slot kinds are unknown.
    kinds: tuple[str, ...]
    assumed: bool  # described in place
    rows: str = ""  # every row letter it covers: as written in the place, else the board's own

    @property
    def mark(self) -> Mark:
        """Where the owner put it."""
        return self.placed.mark

    @property
    def name(self) -> str:
        """What to call it in a message: marking on the handle first, then what it is."""
        return self.entry.title


@dataclass(frozen=True, slots=True)
class Hop:
    """One position of a grant chain, in the order the grant travels."""

    number: int  # from 1 at the processor
    place: Place
    board: int | None  # index into Wired.boards, None: empty
    passes: Passes
    why: str  # "empty", "wire CA1-CB1 in", "the board hands the grants on" ...
    reached: Passes  # does a grant from the processor arrive here?  Positions before the processor: yes
    broken_at: int | None  # number of the hop that stops it, if not reached (of the first doubtful one, if unknown)
    joint: bool = False  # no position but the joint to the next unit, listed only where it is open
    wire: bool | None = None  # separate-line bus: is the wire CA1-CB1 of this slot in?  None: there is none


@dataclass(frozen=True, slots=True)
class GrantChain:
    """The way of one kind of grant through all units, processor first."""

    kind: GrantKind
    hops: tuple[Hop, ...]
    order_evidence: Figure[str]  # evidence of the backplane's grant order

    def hop_of(self, board: int) -> Hop | None:
        """The first hop at which `board` takes a grant, or None if it stands outside the chain."""
        return next((hop for hop in self.hops if hop.board == board), None)


@dataclass(frozen=True, slots=True)
class WiredVector:
    """A vector that a board can put on the bus."""

    vector: int
    level: Figure[int]
    software_set: bool


@dataclass(frozen=True, slots=True)
class WiredRegisters:
    """Registers one device of one board answers with: one record a serial line, one for every other device.

    base NotApplicable: only a vector (event line).  vectors is empty where there are none or the first is not known;
    `vector` tells the two apart.  Known bases carry the evidence OWNER where a setting gives them.
    """

    board: int
    device: str  # id of the device model, e.g. serial-line
    base: Figure[int]
    words: Figure[int]
    vectors: tuple[WiredVector, ...]
    lines: int
    unit: int  # ordinal among the registers of the same device on this board; the line number of a cable
    mark: Mark  # of the setting that fixed it, else of the board
    vector: Figure[int] = _NOTHING  # the first vector
    vector_mark: Mark | None = None  # of the setting that fixed the vector, else None
    rank: int | None = None  # floating address rank of the kind (float-address-wiki)
    vector_rank: int | None = None  # floating vector rank of the kind (float-vector-wiki)
    computed: Figure[int] = _NOTHING  # where the rank order wants it: fixed first unit or floating; by kind
    computed_vector: Figure[int] = _NOTHING  # the same for its first vector


@dataclass(frozen=True, slots=True)
class WiredMemory:
    """Memory one board answers with: byte addresses, end exclusive. start/size Unknown if not set and not derivable."""

    board: int
    start: Figure[int]
    size: Figure[int]  # bytes
    parity: Figure[str]
    mark: Mark


@dataclass(frozen=True, slots=True)
class WiredRom:
    """A stretch of ROM words in the I/O page: a window, or the part of it where one ROM stands.

    All `words` answer; an image may hold fewer.
    """

    board: int
    base: int
    words: int
    fitted: RomFitted | None
    entry: RomEntry | None  # None: contents not stated
    boots: Figure[tuple[str, ...]]  # device ids it can boot; sidecar of our own image included
    expects: Figure[int]  # I/O-page offset of the register it goes to
    start: Figure[int] = _NOTHING  # 16-bit address where the program in it begins, if its sidecar says
    words_known: bool = True  # False: the size is a guess, the catalogue does not say


@dataclass(frozen=True, slots=True)
class WiredRail:
    """One rail of one box: rating (NotApplicable: the supply has no such rail), minimum, and the load as an interval.

    A part of the load is named "place marking", such as "main/a/3CF M0000".
    """

    box: str
    rail: str
    rating: Figure[Decimal]
    minimum: Figure[Decimal]
    load: Total


@dataclass(frozen=True, slots=True)
class WiredBox:
    """One box: its supply entry and rails."""

    id: str
    supply: SupplyEntry | None
    rails: tuple[WiredRail, ...]
    watts_rating: Figure[Decimal]
    watts: Total
    mark: Mark


@dataclass(frozen=True, slots=True)
class WiredUnit:
    """One backplane in bus order over all boxes."""

    index: int
    box: str
    id: str
    entry: BackplaneEntry
    joined: bool  # to the unit before it, by a connected cable (True for the first)
    ac: Total  # boards only, without the backplane's own (buses: D15)
    mark: Mark
    cable_m: Figure[Decimal] = _NOTHING  # length of the cable to the unit before it; NotApplicable where none is named
    cable: str = ""  # its kind, an id of the catalogue
    regulators: Mapping[int, str] = field(default_factory=dict)  # slot -> the +5 regulator that feeds it, where stated
    regulators_marks: Mapping[int, Mark] = field(default_factory=dict)
    cable_bits: Figure[int] = _NOTHING  # address lines of that cable; NotApplicable: of no cable that leaves some out
    memory_volts: Figure[str] = _NOTHING  # on the memory pins of its slots: as the owner measured, else by its entry


@dataclass(frozen=True, slots=True)
class WiredTerminator:
    """What ends the bus somewhere: strength none | weak | full | unknown, end near | far | either | unknown."""

    board: int | None  # None: built into the backplane
    unit: int
    strength: Figure[str]
    end: str
    at_end: str  # near | far | inside: where it really stands


@dataclass(frozen=True, slots=True)
class WiredCable:
    """One cable with what hangs on it; `cable` is None where no kind is named."""

    end: CableEnd
    board: int | None  # index into Wired.boards; None: it leaves no board of the machine
    registers: int | None  # index into Wired.registers of the line it leaves, where that is a serial line
    drive: DriveEntry
    cable: CableEntry | None
    through: tuple[CableEntry, ...] = ()  # further cables of the chain, from the board on


@dataclass(frozen=True, slots=True)
class WiredOption:
    """One option of one processor: where its board takes it, whether it is asked for, and what brings it."""

    name: str
    where: str  # standard | socket | board | unknown | never, as the processor's board says
    asked: bool  # named by the owner
    fitted: bool  # it works in this machine
    boards: tuple[int, ...] = ()  # option boards in the unit of the processor that add it: indexes into Wired.boards
    lacks: tuple[str, ...] = ()  # options that its boards need and that are not fitted
    made: tuple[BoardEntry, ...] = ()  # boards of the catalogue that would add it; only where it is missing

    @property
    def missing(self) -> bool:
        """Asked for, and nothing brings it."""
        return self.asked and not self.fitted and not self.boards


@dataclass(frozen=True, slots=True)
class WiredProcessor:
    """The processor: board index (of the set), profile, and options really fitted."""

    board: int
    profile: str
    options: tuple[str, ...]
    power_up: Figure[int]
    boot_ps: int  # PS with which power-up mode 2 starts
    memory_link: bool  # memory that stands before it hangs on a private link
    choices: tuple[WiredOption, ...] = ()  # every option the board may have, or was asked to have

    @property
    def address_limit(self) -> int:
        """Address bits that the options leave: 18 where the bus map could be there and is not, else 22."""
        bus_map = self.choice("map")
        return 22 if bus_map is None or bus_map.fitted else 18

    def choice(self, option: str) -> WiredOption | None:
        """What is known of one option; None for a word no processor board knows."""
        return next((one for one in self.choices if one.name == option), None)


@dataclass(frozen=True, slots=True)
class BootPath:
    """What happens at power-up: how PC gets its first value, through which ROM, from which device and medium."""

    start: Figure[int]  # 16-bit address of the first instruction
    start_ps: Figure[int]
    how: str  # one sentence
    rom: int | None  # index into Wired.roms
    device: int | None  # index into Wired.registers
    cable: CableEnd | None  # with the medium


@dataclass(frozen=True, slots=True)
class Wired:
    """Everything about one machine that any reader may ask."""

    loadout: Loadout
    bus: str  # mux | sep
    units: tuple[WiredUnit, ...]
    slots: tuple[SlotPart, ...]
    boards: tuple[WiredBoard, ...]
    chains: tuple[GrantChain, ...]
    registers: tuple[WiredRegisters, ...]
    memories: tuple[WiredMemory, ...]
    roms: tuple[WiredRom, ...]
    boxes: tuple[WiredBox, ...]
    dc: Total  # all segments of the bus
    terminators: tuple[WiredTerminator, ...]
    cables: tuple[WiredCable, ...]
    processors: tuple[WiredProcessor, ...]
    boot: BootPath
    processor_registers: tuple[ProcessorRegisters, ...]  # what the first processor answers by itself, with its options
    event_line: Figure[str]  # where the line-frequency signal comes from, in words; NotApplicable: nothing makes one

    def chain(self, kind: GrantKind) -> GrantChain:
        """The chain of one kind (mux: both kinds give equal hops)."""
        return next(chain for chain in self.chains if chain.kind is kind)

    def on_bus(self, board: int) -> bool:
        """Is the board on the processor's piece of the bus, with every cable between them connected?"""
        if not self.processors:
            return True
        ends = sorted((self.boards[self.processors[0].board].unit, self.boards[board].unit))
        return all(self.units[number].joined for number in range(ends[0] + 1, ends[1] + 1))

    def reached(self, board: int, kind: GrantKind) -> Passes:
        """Does a grant of this kind arrive at the board?  Processor boards: yes."""
        hop = self.chain(kind).hop_of(board)
        return hop.reached if hop else Passes.NO
