"""What the oracle of memory management needs to know of a processor, as plain values; from the published table.

No value comes from the profiles of the project where the facts have one: the oracle must not share a mistake with them.
"""

from __future__ import annotations

from typing import NamedTuple

from specification.profiles import profile as published

from minisim.catalogue.reader import Catalogue

# Which processors carry a bus map: facts, 6.5.  One more may have it as an option: it is left open there.
WITH_BUS_MAP = ("fast-ttl-cache", "late-ttl-commercial", "late-single-chip-sep")
BUS_MAP_OPTION = ("chipset-four-level-sep",)
# Bit 15 of a PDR, cache bypass: facts, 6.3.
BYPASS = ("late-ttl-commercial", "late-single-chip-22bit", "late-single-chip-quad", "late-single-chip-sep")
ADDRESS_BITS = {  # of the memory bus: facts, 6.2, and the profiles' own figures
    "cached-mid-writable-store": 18,
    "chipset-four-level": 18,
    "chipset-four-level-quad": 22,
    "chipset-four-level-sep": 22,
    "fast-ttl-cache": 22,
    "fast-ttl-three-mode": 18,
    "late-single-chip-22bit": 22,
    "late-single-chip-quad": 22,
    "late-single-chip-sep": 22,
    "late-ttl-commercial": 22,
    "microcoded-mid": 18,
    "two-board-ttl-mmu": 18,
}
MANAGED = tuple(name for name in Catalogue().ids("profiles") if name in ADDRESS_BITS)


class Facts(NamedTuple):
    """One processor.  Row numbers are those of the table of differences."""

    modes: int = 3
    sets: int = 2
    address_bits: int = 22
    par_bits: int = 16  # D49
    maintenance: bool = False  # D43
    undefined_mode: str = "abort"  # D45: unsafe, abort, abort_r6_user
    access_bits: bool = False  # D48
    trap_bits: bool = False  # D50
    data_space: bool = True  # D51, the next two as well
    wide: bool = True
    call: bool = True
    vectors_in_mmr2: bool = False  # D52
    mode_10_user: bool = False  # D53
    bus_map: str = "none"  # none, fitted, open
    bypass: bool = False
    late: bool = True  # D01
    late_deferred: bool = True  # D02
    late_pc: bool = True  # D03: plus4
    jump_trap: int = 0o10  # D05
    bad_stack: str = "halt"  # D19
    odd_traps: bool = True  # D25
    fetch_steps: bool = True  # D31
    timeout_steps: bool = True  # D32
    odd_steps: bool = True  # D33
    user_limit: bool = False  # 7.3: the fixed limit 400 holds in user mode too
    commercial: bool = False  # 5.5: PS bit 8 exists


def facts_of(name: str) -> Facts:
    """The published rows of a profile."""
    rows = published(name)
    return Facts(
        modes=rows.modes,
        commercial=rows.options["cis"] != "never",
        sets=rows.register_sets,
        address_bits=ADDRESS_BITS[name],
        par_bits=int(rows["D49"] or 0),
        maintenance=rows["D43"] == "yes",
        undefined_mode=rows["D45"] or "",
        access_bits=rows["D48"] == "yes",
        trap_bits=rows["D50"] == "yes",
        data_space=rows["D51.d_space"] == "yes",
        wide=rows["D51.map_and_22bit"] == "yes",
        call=rows["D51.csm"] == "yes",
        vectors_in_mmr2=rows["D52"] == "yes",
        mode_10_user=rows["D53"] == "user_sp",
        bus_map="fitted" if name in WITH_BUS_MAP else "open" if name in BUS_MAP_OPTION else "none",
        bypass=name in BYPASS,
        late=rows["D01"] == "after",
        late_deferred=rows["D02"] == "after",
        late_pc=rows["D03"] == "plus4",
        jump_trap=int(rows["D05"] or "", 8),
        bad_stack=rows["D19"] or "",
        odd_traps=rows["D25"] == "yes",
        fetch_steps=rows["D31"] == "incremented",
        timeout_steps=rows["D32"] == "incremented",
        odd_steps=rows["D33"] == "incremented",
        user_limit=name == "fast-ttl-three-mode",
    )
