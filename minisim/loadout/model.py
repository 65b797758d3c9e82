"""The loadout as the owner wrote it, with the place of every word (design: one file, one machine).

Everything here is frozen and already converted by the type of its field: register addresses are I/O-page offsets
(0 to 0o17777), memory addresses and words are ints, amperes are Decimals.  Nothing here knows what is connected to
what: that is `minisim.wiring`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

from minisim.findings import Mark
from minisim.problems import InputError

SettingValue = int | str | bool


@dataclass(frozen=True, slots=True)
class Setting:
    """One switch or jumper: `text` as written, `value` converted (yes/no/on/off/in/out stay words)."""

    name: str
    text: str
    value: SettingValue
    mark: Mark


@dataclass(frozen=True, slots=True)
class Described:
    """A board nobody knows, described in place.  Results that rest on it say "assumed"."""

    height: str | None  # single dual quad hex
    interrupts: bool | None
    dma: bool | None
    passes_grant: bool | None
    amps: Mapping[str, Decimal]
    ac: Decimal | None
    dc: Decimal | None
    registers: int | None  # I/O-page offset of the first register
    words: int
    vector: int | None
    vectors: int
    level: int | None
    mark: Mark


@dataclass(frozen=True, slots=True)
class RomFitted:
    """A ROM in a socket or window: catalogue id and, where it is at hand, the file of its words."""

    at: int  # I/O-page offset of the socket or window
    rom: str  # catalogue id
    image: Path | None  # resolved; None: contents not at hand
    sha256: str | None
    mark: Mark
    image_text: str = ""  # as written
    words: int | None = None  # the image must have so many
    checksum: int | None = None  # as printed on the ROM: sum of its bytes or of its words, modulo 2^16


@dataclass(frozen=True, slots=True)
class Placed:
    """A board (or set) in a place: `slots` (1,) or (1, 2) for a set.

    `rows` has every letter (CDEF for 3CF); it is empty for the board's own rows.
    """

    place: str  # as written: "2AB", "1-2", "4"
    slots: tuple[int, ...]
    rows: str
    board: str | Described  # catalogue id, or described in place
    item: str
    options: tuple[str, ...]
    settings: Mapping[str, Setting]
    roms: tuple[RomFitted, ...]
    mark: Mark  # of the place key: findings about the board point here
    order: tuple[str, ...] = ()  # of a set: the numbers on its handles from its first slot on; (): not stated


@dataclass(frozen=True, slots=True)
class Joint:
    """How a unit hangs on the one before it."""

    cable: str
    length_m: Decimal | None
    connected: bool
    mark: Mark


@dataclass(frozen=True, slots=True)
class Unit:
    """One backplane. `wires["dma-grant"]` maps slot numbers to True (wire in) or False (out)."""

    id: str
    backplane: str
    wires: Mapping[str, Mapping[int, bool]]
    joined_by: Joint | None
    placed: tuple[Placed, ...]
    mark: Mark
    backplane_mark: Mark
    wires_marks: Mapping[int, Mark] = field(default_factory=dict)
    regulators: Mapping[int, str] = field(default_factory=dict)  # slot -> name of the +5 regulator that feeds it
    regulators_marks: Mapping[int, Mark] = field(default_factory=dict)
    memory_volts: str = ""  # on the memory pins of its slots, as measured; "": not stated


@dataclass(frozen=True, slots=True)
class SupplyDescribed:
    """An owner's own supply: ratings stand in the loadout."""

    rails: Mapping[str, Decimal]
    minimum: Mapping[str, Decimal]
    watts: Decimal | None


@dataclass(frozen=True, slots=True)
class Box:
    """One chassis with its supply and one or more backplanes, in bus order."""

    id: str
    supply: str | None  # catalogue id; None: not stated
    described: SupplyDescribed | None
    units: tuple[Unit, ...]
    mark: Mark
    supply_mark: Mark


@dataclass(frozen=True, slots=True)
class CableEnd:
    """What hangs on a board: `to` is a drive id or the word terminal; `media` is what is put in."""

    board: str  # box/unit/place as findings print it: main/a/3CF
    line: int | None
    unit: int | None
    to: str
    cable: str | None
    baud: int | None
    media: Path | None
    media_text: str
    write_protect: bool
    mark: Mark
    media_mark: Mark
    bits: str = ""  # of a character, as what hangs on it is set; "": not stated, as with the next ones
    parity: str = ""
    stop_bits: str = ""
    wiring: str = ""  # current-loop | eia
    loop: str = ""  # active | passive: who feeds a current loop
    through: tuple[str, ...] = ()  # further cables of the chain, from the board on


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A finding the owner takes on with a written reason.

    `rule` is an id or a slug, `at` a place as findings print it.
    """

    rule: str
    at: str
    because: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Switches:
    """Panel switches: the switch register word and the halt switch."""

    register: int | None
    halt: bool
    mark: Mark


@dataclass(frozen=True, slots=True)
class Loadout:
    """One machine as planned or found. `sha256` is that of the file's bytes; `folder` bounds its media."""

    name: str
    state: str  # planned | as-found
    boxes: tuple[Box, ...]
    cables: tuple[CableEnd, ...]
    switches: Switches
    accept: tuple[Acceptance, ...]
    modifications: tuple[str, ...]
    notes: str
    file: str
    path: Path
    sha256: str
    mark: Mark

    def svg(self) -> str:
        """The drawing of every backplane with its boards and the way of the grants, as one `svg` element.

        Resolved against the catalogue and the owner's entries beside the file.  1000 units wide.
        """
        from minisim.sheet.drawing.picture import machine_svg
        from minisim.wiring.resolve import resolve

        return machine_svg(resolve(self))

    def _repr_svg_(self) -> str:
        """What a notebook shows."""
        return self.svg()


class LoadoutError(InputError):
    """The loadout can't be used: every problem of the file, with its place."""
