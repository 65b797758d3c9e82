"""Every byte of a machine's state, to compare two machines."""

from __future__ import annotations

import minisim
from minisim.cpu._core import ffi

# Set up again on thawing: where they point differs between two machines, what stands there is compared by freezing.
POINTERS = (
    "decoded", "present", "rom", "windows", "registers", "effects", "timers", "lines", "rings", "devices",
    "agenda", "call", "handle",
)  # fmt: skip


def raw_state(machine: minisim.Machine) -> bytes:
    """Every byte of the C struct but its pointers; what a freeze forgets shows here."""
    fields = dict(ffi.typeof("ms_machine").fields)
    state = bytearray(ffi.buffer(machine._raw)[: fields["core"].offset])  # behind it nothing outlives a run
    own = slice(ffi.sizeof("uint16_t[8]"), fields["set"].offset)  # what the fast core keeps for itself
    state[own] = bytes(own.stop - own.start)
    for name in POINTERS:
        at = fields[name].offset
        state[at : at + ffi.sizeof("void *")] = bytes(ffi.sizeof("void *"))
    return bytes(state)
