"""A thin, typed hold on one machine of the C core: registers, memory, running.  No decision is made here.

`minisim.machine` builds the public machine on the same core; whoever needs more of the C struct uses `Core.raw` with
`ffi` and `lib`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from minisim.catalogue.model import Profile
from minisim.cpu._core import ffi, lib
from minisim.cpu.profile import Configuration, configuration

FETCH, READ, WRITE = 1, 2, 4
MEMORY_LIMIT = {16: 0o160000, 18: 0o760000, 22: 0o17760000}


class Stop(StrEnum):
    """Why a run ended."""

    HALTED = "halted"
    LIMIT = "limit"
    WAITING = "waiting"  # WAIT, and nothing the machine does itself can end it
    REACHED = "reached"
    REQUEST = "request"
    STUCK = "stuck"  # a jump to itself that no interrupt can leave


_STOPS = (None, Stop.HALTED, Stop.LIMIT, Stop.WAITING, Stop.REACHED, Stop.REQUEST, Stop.STUCK)


@dataclass(frozen=True, slots=True)
class Access:
    """One recorded access of a step: virtual address, word or byte, FETCH, READ or WRITE."""

    address: int
    data: int
    kind: int
    is_byte: bool


class Core:
    """A processor with memory and no devices.

    `memory` bytes from address 0; `address_bits` 16, 18 or 22 is the width of the memory bus.  Numbers are plain ints;
    registers and words have 16 bits.
    """

    def __init__(
        self,
        profile: Profile | str = "late-ttl-commercial",
        options: Iterable[str] | None = None,
        *,
        memory: int = 0o160000,
        address_bits: int = 16,
    ) -> None:
        self.configuration: Configuration = configuration(profile, options)
        self.raw: Any = new_machine(memory, address_bits)
        configure(self.raw, self.configuration)

    def __getitem__(self, register: int) -> int:
        """General register 0 to 7 of the current set and mode."""
        return int(self.raw.r[register])

    def __setitem__(self, register: int, value: int) -> None:
        self.raw.r[register] = value

    @property
    def sp(self) -> int:
        """Stack pointer of the current mode."""
        return int(self.raw.r[6])

    @sp.setter
    def sp(self, value: int) -> None:
        self.raw.r[6] = value

    @property
    def pc(self) -> int:
        """Program counter."""
        return int(self.raw.r[7])

    @pc.setter
    def pc(self, value: int) -> None:
        self.raw.r[7] = value

    @property
    def ps(self) -> int:
        """Processor status word."""
        return int(lib.ms_get_ps(self.raw))

    @ps.setter
    def ps(self, value: int) -> None:
        lib.ms_set_ps(self.raw, value)

    def word(self, address: int) -> int:
        """A word of memory, by its physical address, without a bus cycle."""
        return int.from_bytes(ffi.buffer(self.raw.memory + address, 2), "little")

    def put(self, address: int, *words: int) -> None:
        """Store words into memory, without bus cycles."""
        data = b"".join(word.to_bytes(2, "little") for word in words)
        if address < 0 or address + len(data) > self.raw.memory_bytes:
            raise ValueError(f"no memory at {address:o}")
        lib.ms_put_memory(self.raw, address, data, len(data))

    def run(self, limit: int = 1_000_000) -> Stop:
        """Run until a stop; at most `limit` instructions (decimal)."""
        return _stop(lib.ms_run(self.raw, limit))

    def step(self) -> Stop:
        """One instruction; its accesses are kept for `accesses`."""
        return _stop(lib.ms_step(self.raw))

    @property
    def accesses(self) -> tuple[Access, ...]:
        """Accesses of the last step, in order."""
        found = (self.raw.access[index] for index in range(self.raw.access_count))
        return tuple(Access(each.address, each.data, each.kind, bool(each.is_byte)) for each in found)


def new_machine(memory: int, address_bits: int) -> Any:
    """An unconfigured machine with memory from 0, freed when nobody holds it any more."""
    if address_bits not in MEMORY_LIMIT or not 0 <= memory <= MEMORY_LIMIT[address_bits] or memory & 1:
        raise ValueError(f"no memory of {memory} bytes behind {address_bits} address bits")
    raw = lib.ms_new(memory, address_bits)
    if raw == ffi.NULL:
        raise MemoryError("the core found no memory for a machine")
    raw = ffi.gc(raw, lib.ms_free)
    if memory and lib.ms_fit_memory(raw, 0, memory):
        raise ValueError(f"no memory of {memory} bytes behind {address_bits} address bits")
    return raw


def configure(raw: Any, chosen: Configuration) -> None:
    """Make the machine the processor of a configuration: flags, modules, time table."""
    wrong = lib.ms_configure(raw, chosen.raw, chosen.option_bits, chosen.raw_times)
    if wrong != ffi.NULL:
        raise RuntimeError(ffi.string(wrong).decode("ascii"))
    if chosen.timing.table is None:
        raw.base_ns, raw.cycle_ns = chosen.timing.base_ns, chosen.timing.cycle_ns
    raw.reset_ns = chosen.timing.reset_ns


def _stop(code: int) -> Stop:
    stop = _STOPS[code]
    if stop is None:
        raise RuntimeError("the machine is running already, or has no processor")
    return stop
