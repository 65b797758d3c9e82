"""Random memory management for both machines of a pair: near-identity mappings with holes, all modes, data space."""

from __future__ import annotations

from array import array
from random import Random
from typing import Any

from minisim.cpu._core import ffi, lib

from .pairs import Pair
from .programs import Writer
from .trials import Maker, mixed

MEMORY = 0o60000  # three pages: enough for pages that lead to each other's places, little enough to be compared
CHUNK, CHUNKS = 10, 15  # trials with one mapping, mappings with one memory
OPEN_PAGE = 0o77406  # every block, reads and writes
HOLES = (0, 0o77402, 0o77400, 0o37406, 0o37416, 0o177406, 0o77401, 0o77404, 0o77405, 0o1006, 0o57416)
IO_BASES = (0o7600, 0o177600)
MODES = (0o140000, 0o170000, 0o30000, 0o40000, 0o50000, 0o10000, 0o144000, 0o4000, 0o100000, 0o20000)
PDR_BITS, ACCESS_BITS = 0o177517, 0o200  # whatever a machine lacks is masked by the machine itself
THAW = (0o012737, 1, 0o177572, 0o000240)  # MOV #1,@#177572


def is_managed(pair: Pair) -> bool:
    """Is memory management fitted?"""
    number = 0
    while (name := lib.ms_module_name(number)) != ffi.NULL:
        if ffi.string(name) == b"MMU":
            return bool(pair.raw[0].modules >> number & 1)
        number += 1
    return False


class Mapper:
    """Gives both machines the same PARs, PDRs and MMRs: a new state each time it is asked."""

    def __init__(self, pair: Pair, rng: Random) -> None:
        self.pair, self.rng = pair, rng
        self.profile = pair.raw[0].profile
        self.wide = pair.raw[0].address_bits == 22

    def change(self) -> None:
        """Another mapping; one in six is none."""
        rng = self.rng
        par = array("H", [self.base(index & 7) for index in range(64)])
        pdr = array("H", [self.page() for _ in range(64)])
        for space in (0, 8):  # vectors and services are kernel page 0
            if rng.random() < 0.9:
                par[space], pdr[space] = 0, OPEN_PAGE
        mmr = array("H", [self.mmr0(), 0, 0, self.mmr3()])
        pairs = array("H", [rng.choice((0, rng.randrange(0, MEMORY, 2))) if n % 2 == 0 else 0 for n in range(64)])
        for raw in self.pair.raw:
            for name, words in (("par", par), ("pdr", pdr), ("mmr", mmr), ("bus_map", pairs)):
                ffi.buffer(getattr(raw, name))[:] = words.tobytes()
            lib.ms_mapping_changed(raw)

    def base(self, page: int) -> int:
        """A PAR: identity, or any place in memory and near its end; page 7 is the I/O page."""
        if self.rng.random() < 0.75:
            return page << 7 if page < 7 else IO_BASES[self.wide and self.rng.random() < 0.5]
        return self.rng.randrange(0, MEMORY >> 6) if self.rng.random() < 0.9 else self.rng.getrandbits(12)

    def page(self) -> int:
        """A PDR: mostly open."""
        return OPEN_PAGE if self.rng.random() < 0.85 else self.rng.choice(HOLES)

    def mmr0(self) -> int:
        """On, seldom off or frozen; with trap and maintenance bits for those that have them."""
        rng = self.rng
        word = rng.choice((1, 1, 1, 1, 1, 0)) | rng.choice((0, 0, 0, 0, 0, 0, 0o100002))
        return self.kept_by_machine(0o177572, word | rng.choice((0, 0, 0o1000, 0o400 if not word else 0)))

    def mmr3(self) -> int:
        """Data space for some modes, 22 bits, the map."""
        return self.kept_by_machine(0o172516, self.rng.getrandbits(6))

    def kept_by_machine(self, address: int, word: int) -> int:
        """What the register has of it: written and read by the host; 0 where nobody answers."""
        raw, data = self.pair.raw[0], ffi.new("uint16_t *", word)
        physical = lib.ms_io_base(raw) + (address & 0o17777)
        if lib.ms_bus_cycle(raw, physical, lib.MS_CYCLE_WRITE, data):
            return 0
        return 0 if lib.ms_bus_cycle(raw, physical, lib.MS_CYCLE_READ, data) else int(data[0])


class MappedWriter(Writer):
    """Programs in all modes, with services that thaw the status registers."""

    def mender(self) -> array[int]:
        """As a plain one; two registers less, so that there is room to thaw."""
        words = super().mender()
        return array("H", THAW) + words[4:]


def mapped_writer(pair: Pair, rng: Random, *, gentle: bool, phrases: int) -> MappedWriter:
    """One whose trials begin in every mode."""
    maker = Maker(rng, 8 if gentle else 32, pair.raw[0].plain_top)
    codes = range(0o400)
    maker.states = mixed(rng, (0, range(16)), (140, [mode | low & ~0o20 for mode in MODES for low in codes]))
    return MappedWriter(maker, pair.raw[0].modules, gentle=gentle, phrases=phrases)


def run_mapped_programs(pair: Pair, rng: Random, instructions: int, phrases: int = 20_000) -> None:
    """Random programs in lock-step under random mappings, until so many instructions have been compared."""
    mapper = Mapper(pair, rng)
    writers = [mapped_writer(pair, rng, gentle=gentle, phrases=phrases) for gentle in (True, False)]
    while pair.report.instructions < instructions:
        writer: Any = rng.choices(writers, weights=(2, 1))[0]
        pair.put(0, writer.image())
        for _ in range(CHUNKS):
            mapper.change()
            pair.trials(writer.trials(CHUNK), rng.choice((10, 40, 150)))
