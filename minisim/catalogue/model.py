"""Catalogue entries as typed, frozen records: what the YAML files under catalogue/ say, nothing derived.

Figures are `Known | Unknown | NotApplicable`; addresses are I/O-page offsets; vectors are ints.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from minisim.known import Figure


@dataclass(frozen=True, slots=True)
class At:
    """Where registers or vectors sit: exactly one of fixed, choices, rank; `first` is the fixed first unit of a rank."""

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


@dataclass(frozen=True, slots=True)
class ProcessorBlock:
    """The `processor:` block of a board."""

    profile: str
    options: Mapping[str, str]  # eis fis fpp cis mmu -> standard socket board never unknown
    console_line: str
    line_clock: str
    boot_rom: str
    extra: Mapping[str, str]  # grant-timeout, needs-turnaround-terminator ...
    figure: Figure[str]  # the profile with its evidence


@dataclass(frozen=True, slots=True)
class SettingEntry:
    """One switch or jumper a board has. `values`: words, "choices", "unknown", "floating", or ("110", "9600") with is_range."""

    name: str
    what: str
    values: tuple[str, ...]
    kind: str  # list | range | choices | floating | unknown


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
    terminates: Figure[str]
    terminates_end: str
    settings: Mapping[str, SettingEntry]
    notes: str

    @property
    def title(self) -> str:
        """Marking on the handle first, then what it is: "M0000, one serial line"; only the kind where no marking is known."""
        from minisim.known import Known

        return f"{'/'.join(self.markings.peek)}, {self.kind}" if isinstance(self.markings, Known) and self.markings.peek else self.kind


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
