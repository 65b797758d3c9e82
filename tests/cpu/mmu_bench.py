"""What the directed tests of memory management share: an identity mapping, one instruction on oracle and core."""

from __future__ import annotations

from array import array
from collections.abc import Mapping
from typing import Any

import pytest
from mmu_cases import Bench, Case
from mmu_facts import MANAGED

from minisim.cpu._core import lib

NOP, MOV_TO_R0, MOV_FROM_R0 = 0o240, 0o011100, 0o010011  # MOV (R1),R0 and MOV R0,(R1)
ONE, LATE = "two-board-ttl-mmu", "late-single-chip-sep"
KERNEL, SUPERVISOR, USER = 0, 0o40000, 0o140000  # current mode in the PS
PREVIOUS_USER = 0o30000
CORES = pytest.mark.parametrize("fast", [True, False], ids=["fast", "reference"])
EVERY = pytest.mark.parametrize("profile", MANAGED)


def mapped(
    words: tuple[int, ...],
    *,
    r: Mapping[int, int] | None = None,
    par: Mapping[int, int] | None = None,
    pdr: Mapping[int, int] | None = None,
    mmr: tuple[int, int, int, int] = (1, 0, 0, 0),
    **further: Any,
) -> Case:
    """Identity mapping of all pages in all modes and spaces, page 7 to the I/O page; then what the test wants else."""
    case = Case(words=words, mmr=mmr, **further)
    case.par = array("H", [page << 7 if page < 7 else 0o7600 for page in range(8)] * 8)
    case.sets = [[(r or {}).get(number, 0) for number in range(6)]] * 2
    for bank, changes in ((case.par, par or {}), (case.pdr, pdr or {})):
        for index, value in changes.items():
            bank[index] = value
    return case


def services(bench: Bench) -> None:
    """Vector v leads to 2000 + v, kernel mode, priority 7."""
    for vector in range(0, 0o400, 4):
        bench.put(vector, 0o2000 + vector)
        bench.put(vector + 2, 0o340)


def done(profile: str, case: Case, fast: bool = False, memory: Mapping[int, int] | None = None) -> Bench:
    """Both execute the instruction and agree; the oracle leaves nothing open."""
    bench = Bench(profile)
    services(bench)
    for address, word in (memory or {}).items():
        bench.put(address, word)
    assert bench.check(case, fast, whole=True) is None
    return bench


def word(bench: Bench, address: int) -> int:
    """A word of memory."""
    return bench.words[address >> 1]


def trapped(bench: Bench) -> int | None:
    """The vector whose service the processor has reached."""
    at = bench.oracle.pc - 0o2000
    return at if 0 <= at < 0o400 else None


def pushed(bench: Bench) -> tuple[int, int]:
    """PC and PS on the kernel stack, which is mapped to itself."""
    return word(bench, bench.oracle.stacks[0]), word(bench, bench.oracle.stacks[0] + 2)


def run_core(bench: Bench, case: Case) -> None:
    """The core alone, where the oracle says nothing."""
    bench.load(case)
    lib.ms_run(bench.raw, 1)
