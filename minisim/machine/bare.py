"""A processor with memory and nothing else, for trials."""

from __future__ import annotations

from collections.abc import Iterable

from minisim.cpu.handle import MEMORY_LIMIT
from minisim.cpu.profile import configuration, named
from minisim.known import Known
from minisim.machine.assemble import Source, put_together
from minisim.machine.machine import Machine

DEFAULT_PROFILE = "late-ttl-commercial"
DEFAULT_MEMORY = 0o160000


def bare(profile: str = DEFAULT_PROFILE, options: Iterable[str] | None = None, memory: int = DEFAULT_MEMORY) -> Machine:
    """A machine of one profile with `memory` bytes from 0; see `minisim.bare`."""
    chosen = configuration(profile, options)
    bits = named(profile).address_bits
    address_bits = bits.peek if isinstance(bits, Known) else 16
    if not isinstance(memory, int) or memory & 1 or not 0 <= memory <= MEMORY_LIMIT[address_bits]:
        raise ValueError(
            f"memory is an even number of bytes up to {MEMORY_LIMIT[address_bits]:o} octal, not {memory!r}"
        )
    source = Source(name=f"bare {profile}")
    return put_together(chosen, [(0, memory)], address_bits=address_bits, source=source)
