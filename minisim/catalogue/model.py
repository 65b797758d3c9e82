"""Catalogue entries as typed, frozen records: what the YAML files under catalogue/ say, nothing derived.

Figures are `Known | Unknown | NotApplicable`; addresses are I/O-page offsets; vectors are ints.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from minisim.catalogue.times import InstructionTimes
from minisim.known import Figure, Known, NotApplicable, Unknown

_NOTHING = NotApplicable()


@dataclass(frozen=True, slots=True)
class At:
    """Where registers or vectors sit: one of fixed, choices, rank; `first` is the fixed first unit of a rank."""

    fixed: int | None = None
    choices: tuple[int, ...] = ()
    rank: int | None = None
    first: int | None = None
    unknown: bool = False  # the file says unknown
    none: bool = False  # the file says none


@dataclass(frozen=True, slots=True)
class RegistersEntry:
    """One `registers:` item of a board."""

    device: str
    words: Figure[int]
    at: At
    at_evidence: Figure[str]  # Known("at", ...) carrying evidence and sources of the usual place
    vector_count: int
    vector_at: At
    vector_evidence: Figure[str]
    vector_by_software: bool
    level: Figure[int]
    lines: int
    levels: tuple[int, ...] = ()  # where the vectors ask at different levels: one for each, in their order
    lines_choices: tuple[int, ...] = ()  # where the board was made with one or another number of lines
    variant: Mapping[str, str] = field(default_factory=dict)  # how it differs from the plain device: yes or no


@dataclass(frozen=True, slots=True)
class MemoryEntry:
    """The `memory:` block of a board."""

    kb: Figure[tuple[int, ...]]
    start_step_kb: Figure[int]
    parity: Figure[str]
    refreshes_itself: Figure[str]


@dataclass(frozen=True, slots=True)
class RomBlock:
    """The `rom:` block of a board: windows (offsets), words in each, sockets as (offset, words)."""

    windows: tuple[int, ...]
    words_each: Figure[int]
    choose_one: bool
    sockets: tuple[tuple[int, int], ...]
    windows_known: bool = True  # False: the file says unknown
    figure: Figure[str] = _NOTHING  # Known("rom", ...) carrying evidence and sources of the block


@dataclass(frozen=True, slots=True)
class ProcessorBlock:
    """The `processor:` block of a board."""

    profile: str
    options: Mapping[str, str]  # eis fis fpp cis mmu map stack-limit -> standard socket board never unknown
    console_line: str
    line_clock: str
    boot_rom: str
    extra: Mapping[
        str, str
    ]  # grant-timeout, needs-turnaround-terminator, memory-link, one-request-level: yes, no, unknown
    boot_ps: int | None  # PS with which power-up mode 2 starts, where it is not 340
    figure: Figure[str]  # the profile with its evidence
    one_chip: tuple[str, ...] = ()  # options that come together, in one chip


@dataclass(frozen=True, slots=True)
class SwitchesEntry:
    """The switches of a pack that make one setting: either one switch with two values, or one for each bit of a word.

    `open` and `closed` are what a switch in that position stands for: a value of the setting, or 0 and 1 for bits.
    """

    pack: str  # what the pack is called on the board
    numbers: Figure[tuple[int, ...]]
    bits: tuple[int, ...]  # of the word, in the order of `numbers`; () where a switch chooses between two values
    open: str  # "": not known
    closed: str


@dataclass(frozen=True, slots=True)
class SettingEntry:
    """One switch or jumper a board has.  `values`: words of a list, two ends of a range, else empty (see `kind`)."""

    name: str
    what: str
    values: tuple[str, ...]
    kind: str  # list | range | choices | floating | unknown
    doubtful: Mapping[str, str] = field(default_factory=dict)  # value -> why it may not work
    switches: SwitchesEntry | None = None  # where they sit, as far as a document says


@dataclass(frozen=True, slots=True)
class BoardEntry:
    """One board kind or set."""

    id: str
    kind: str
    bus: str
    height: Figure[str]
    boards: Figure[int]
    markings: Figure[tuple[str, ...]]
    rows: str | None  # None: unknown
    slots: tuple[str, ...]
    slots_evidence: Figure[str]
    forbidden: Mapping[str, tuple[str, str, tuple[str, ...]]]  # slot kind -> (severity, why, sources)
    amps: Mapping[str, Figure[Decimal]]
    amps_known: bool  # False: the whole block is unknown
    either: tuple[tuple[str, ...], ...]
    ac: Figure[Decimal]
    dc: Figure[Decimal]
    address_bits: Figure[int]
    dma: Figure[str]
    dma_bits: Figure[int]
    interrupts: Figure[str]
    passes_grant: Figure[str]
    passes_dma_grant: Figure[str]
    grant_jumpers: str
    registers: tuple[RegistersEntry, ...]
    memory: MemoryEntry | None
    rom: RomBlock | None
    processor: ProcessorBlock | None
    option_adds: tuple[str, ...]
    option_to: tuple[str, ...]
    refreshes_others: Figure[str]
    uses_spare_lines: Figure[str]
    turnaround: Figure[str]  # yes: turns a grant that nobody took into an acknowledge
    terminates: Figure[str]
    terminates_end: str
    settings: Mapping[str, SettingEntry]
    notes: str
    option_needs: tuple[str, ...] = ()  # options without which the one it adds does not work
    option_figure: Figure[str] = _NOTHING  # that it adds what it adds, with its evidence
    answers_unclaimed: Figure[str] = _NOTHING  # yes: acknowledges a grant that nobody took, after a while
    dma_buffered: Figure[str] = _NOTHING  # no: its transfers can't wait for the bus
    order: Figure[tuple[str, ...]] = _NOTHING  # of a set: its markings from its first slot on, where the order matters
    panel: Figure[tuple[str, ...]] = _NOTHING  # cables to the panel without which it has no plug for what hangs on it

    @property
    def title(self) -> str:
        """Marking on the handle first, then what it is ("M0000, one serial line"); only that where none is known."""
        if isinstance(self.markings, Known) and self.markings.peek:
            return f"{'/'.join(self.markings.peek)}, {self.kind}"
        return self.kind


@dataclass(frozen=True, slots=True)
class BackplaneEntry:
    """One backplane kind. `slots[n]` maps rows to slot kind; empty where the file says unknown."""

    id: str
    kind: str
    bus: str
    markings: Figure[tuple[str, ...]]
    rows: str
    slots: Mapping[int, Mapping[str, str]]
    slots_evidence: Figure[str]
    grant_order: tuple[str, ...]
    grant_order_evidence: Figure[str]
    address_bits: Figure[int]
    termination: Figure[str]
    termination_end: str
    ac: Figure[Decimal]
    dc: Figure[Decimal]  # loads.dc, NotApplicable where none is stated
    limits: Mapping[str, Figure[Decimal]]
    spaces: Figure[int]
    takes: tuple[str, ...]
    profiles: tuple[str, ...]
    memory_rail: Figure[str]
    dma_grant_wires: str  # in | none
    notes: str
    dma_grant_wires_evidence: Figure[str] = _NOTHING
    widen_to_22: Figure[str] = _NOTHING  # how an 18-bit one is widened


@dataclass(frozen=True, slots=True)
class SupplyEntry:
    """One supply kind."""

    id: str
    kind: str
    bus: str
    markings: Figure[tuple[str, ...]]
    rails: Mapping[str, Figure[Decimal]]
    minimum: Mapping[str, Figure[Decimal]]
    watts: Figure[Decimal]
    line_clock: Figure[str]
    alternatives: Mapping[str, str]
    notes: str
    serves: tuple[str, ...] = ()  # chassis ids, or any
    units: Figure[tuple[str, ...]] = _NOTHING  # backplanes it comes with
    regulators: Figure[int] = _NOTHING  # plug-in regulators it holds; NotApplicable: it has none


@dataclass(frozen=True, slots=True)
class RomEntry:
    """One ROM content."""

    id: str
    kind: str
    first_word: Figure[int]
    letters: Figure[str]
    boots: Figure[tuple[str, ...]]
    boards: tuple[str, ...]
    also_fits: Figure[tuple[str, ...]]
    at: Figure[tuple[str, ...]]
    words: Figure[str]
    expects_csr: Figure[int]
    notes: str


@dataclass(frozen=True, slots=True)
class DriveEntry:
    """One drive or terminal: which device it hangs on, which media it takes."""

    id: str
    kind: str
    controller: str
    media: tuple[str, ...]
    cables: tuple[str, ...]
    line: Mapping[str, str]
    notes: str
    capacity: Figure[str] = _NOTHING  # bytes of one unit, or words
    units: Figure[int] = _NOTHING  # most units on one controller
    boards: Figure[tuple[str, ...]] = _NOTHING  # where the device word alone does not decide
    rails: Mapping[str, Figure[Decimal]] = field(default_factory=dict)  # taken from the box it sits in
    watts: Figure[Decimal] = _NOTHING
    kg: Figure[Decimal] = _NOTHING
    people: Figure[str] = _NOTHING  # least number to lift it, or movers
    line_device: str = ""  # the device it hangs on, where its controller is in the drive itself
    chain: tuple[tuple[str, ...], ...] = ()  # where one cable is not enough: the cables of each step, any one of them
    together: int = 1  # drives in its box, numbered one after the other


@dataclass(frozen=True, slots=True)
class ChassisEntry:
    """One chassis kind."""

    id: str
    kind: str
    bus: str
    holds: Figure[tuple[str, ...]]  # backplane ids
    supplies: tuple[str, ...]
    spaces: Figure[int]  # mounting spaces, separate-line bus
    rack_units: Figure[Decimal]
    width_mm: Figure[Decimal]
    depth_mm: Figure[Decimal]
    height_mm: Figure[Decimal]
    kg: Figure[Decimal]
    drive_bays: Figure[int]
    slides: Figure[str]
    people: Figure[str]
    notes: str


@dataclass(frozen=True, slots=True)
class CableEntry:
    """One cable kind. `ends` carries the evidence that such a cable joins these two ends."""

    id: str
    kind: str
    starts: str
    ends: str
    lengths_m: Figure[tuple[str, ...]]
    pins: Mapping[str, str]  # pin -> wire; {"": text} where the file has one sentence; empty: unknown
    interlock: Figure[str]
    rules: Mapping[str, Figure[str]]
    figure: Figure[str]
    notes: str
    address_bits: Figure[int] = _NOTHING  # of a bus cable: address lines it carries; NotApplicable: not asked of it
    loop: Figure[str] = _NOTHING  # what its wires choose, in the words of a terminal's line: 20 mA or EIA


@dataclass(frozen=True, slots=True)
class MediumEntry:
    """One kind of medium, and the file that stands for it."""

    id: str
    kind: str
    geometry: Figure[Mapping[str, str]]  # decimal counts by their names in the file
    bytes: Figure[str]  # exact size of the image file, or words
    ending: str  # of the image file, with its dot; empty: unknown
    order: str
    removable: str
    also_bytes: Figure[tuple[int, ...]]
    logical_bytes: Figure[int]
    notes: str


@dataclass(frozen=True, slots=True)
class ProfileRow:
    """One row of the table of differences: the flag, what it decides, its legal values and what each means."""

    id: str
    flag: str
    what: str
    values: Mapping[str, str]
    note: str


@dataclass(frozen=True, slots=True)
class FlagValue:
    """One flag of one profile.

    `value` is what is documented, `model` what the emulator does.  A row that holds several yes/no facts (the later
    base instructions, the fields of one register) has maps in both places, with the same keys.
    """

    row: str
    name: str
    value: Figure[str] | Mapping[str, Figure[str]]
    model: str | Mapping[str, str]
    likely: str | Mapping[str, str] = ""  # recalled but doubtful: may stand behind `model`, never behind a finding
    because: str = ""  # why the model takes this value, where nothing is even recalled

    @property
    def documented(self) -> bool:
        """True where no value is unknown; comparison counts only these."""
        values = self.value.values() if isinstance(self.value, Mapping) else (self.value,)
        return not any(isinstance(value, Unknown) for value in values)


@dataclass(frozen=True, slots=True)
class CycleTable:
    """Instruction time = base + cycle x memory cycles beyond the fetch of the first word."""

    base_ns: int
    cycle_ns: int


@dataclass(frozen=True, slots=True)
class Profile:
    """The documented behaviour of one group of processors."""

    id: str
    description: str
    technology: str
    boards: Figure[int]
    buses: Figure[tuple[str, ...]]
    options: Mapping[str, Figure[str]]  # eis fis fpp cis mmu map -> never option standard
    address_bits: Figure[int]
    modes: Figure[int]
    register_sets: Figure[int]
    console: Figure[str]
    debugger_address_bits: Figure[int]
    debugger: Figure[str]  # which keys it has: first-chip-set, later, console-processor
    average: Figure[int]  # ns of an average instruction
    cycles: Figure[CycleTable]
    reset: Figure[int]  # ns that RESET holds bus initialise; NotApplicable: not stated
    processor_type: Figure[int]  # what MFPT gives; NotApplicable: no such instruction
    red_zone: Figure[str]  # of a fixed stack limit: yes or no
    user_stack_limit: Figure[str]  # a fixed limit in user mode beside the settable one of kernel mode: yes or no
    fpp_unit: Figure[str]  # kind of floating point processor: parallel, serial, microcode, none
    mov_reads_first: Figure[str]  # where D30 says read_write: both forms of MOV, or byte alone
    flags: Mapping[str, FlagValue]  # by flag name
    notes: tuple[str, ...]
    times: InstructionTimes | None = None  # printed times of instructions, where there are some

    @property
    def average_ns(self) -> int | None:
        """The average instruction in ns, None where not known; leaves no trace in a ledger."""
        return self.average.peek if isinstance(self.average, Known) else None

    @property
    def cycle_table(self) -> CycleTable | None:
        """The cycle table, None where none is printed; leaves no trace in a ledger."""
        return self.cycles.peek if isinstance(self.cycles, Known) else None

    def model(self, flag: str) -> str | Mapping[str, str]:
        """What the emulator does for a flag."""
        return self.flags[flag].model
