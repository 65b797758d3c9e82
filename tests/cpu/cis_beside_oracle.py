"""One core beside the oracle of the commercial instructions: a case runs on both, and all they leave is compared.

Memory management lays 64 KB of memory where a program looks, so that strings run over the last address to the first.
"""

from __future__ import annotations

from functools import cache
from random import Random
from typing import Any

import cis_oracle as oracle
from cis_cases import SIZE, Case
from core_bench import AT, STACK, Bell

from minisim.cpu._core import ffi, lib
from minisim.cpu.handle import Core
from minisim.cpu.instructions import table

PROFILE = "late-ttl-commercial"
SERVICE, VECTOR = 0o3000, 0o300
RTI = 2


@cache
def _code(name: str) -> int:
    return table()[name].value


def words_at(memory: bytearray, at: int, *values: int) -> None:
    """Store words."""
    oracle.lay(memory, at, b"".join(value.to_bytes(2, "little") for value in values))


class CommercialBench:
    """One core that runs case after case beside the oracle."""

    def __init__(self, fast: bool = False, profile: str = PROFILE) -> None:
        core = self.core = Core(profile, memory=0o760000, address_bits=22)
        raw: Any = core.raw
        self.raw = raw
        raw.core = lib.MS_CORE_FAST if fast else lib.MS_CORE_REFERENCE
        self.bell = Bell(core, (VECTOR, 4))
        for page in range(8):
            raw.par[0][0][page], raw.pdr[0][0][page] = 0o200 * page, 0o77406
        raw.mmr[0] = 1
        lib.ms_mapping_changed(raw)
        noise = bytearray(Random(profile).randbytes(SIZE))
        words_at(noise, VECTOR, SERVICE, 0o340)
        words_at(noise, SERVICE, RTI)
        self.noise, self.seen = bytes(noise), ffi.buffer(raw.memory, SIZE)
        self.interrupts = 0

    def laid(self, case: Case) -> bytearray:
        """The memory of a case."""
        memory = bytearray(self.noise)
        for at, data in case.data:
            oracle.lay(memory, at, data)
        words_at(memory, AT, _code(case.name + "I" * case.follows) | case.register, *case.words, 0)
        return memory

    def check(self, case: Case) -> None:
        """Run it and compare; an assertion names what is not alike."""
        memory, core, raw = self.laid(case), self.core, self.raw
        lib.ms_put_memory(raw, 0, bytes(memory), SIZE)
        lib.ms_set_ps(raw, case.codes)
        raw.r = [*case.registers, STACK, AT]
        after, pointer = AT + 2 + 2 * len(case.words), STACK
        if case.name in oracle.LOADS:
            result, pointer = self._loaded(case, memory)
        else:
            result = oracle.execute(case.name, case.follows, list(case.registers), list(case.words), memory)
        self._run(case.dues, after)
        assert (raw.r[7], raw.r[6]) == (after, pointer), f"PC and SP are {raw.r[7]:06o} {raw.r[6]:06o}: {case}"
        for number in {*range(6)} - result.open_registers:
            found, expected = raw.r[number], result.registers[number]
            assert found == expected, f"R{number} is {found:06o}, not {expected:06o}: {case}"
        codes = lib.ms_get_ps(raw)
        assert (codes ^ result.codes) & ~result.open_codes == 0, f"PS is {codes:o}, not {result.codes:o}: {case}"
        self._compare(case, memory, result.open_bytes)
        assert core.raw.mmr[0] == 1, case

    def _loaded(self, case: Case, memory: bytearray) -> tuple[oracle.Outcome, int]:
        """L2DR and L3DR: what they leave, and SP."""
        before = [*case.registers, STACK, AT + 2]
        changed = oracle.load(case.name, case.register, before[case.register], memory)
        after = [changed.get(number, value) for number, value in enumerate(before)]
        contradicts = case.register < 2 * oracle.LOADS[case.name]
        return oracle.Outcome(
            after[:6], case.codes, open_registers=frozenset({case.register} if contradicts else ())
        ), after[6]

    def _run(self, dues: tuple[int, ...], after: int) -> None:
        """To the end of the instruction, with interrupts on the way."""
        waiting, raw = list(dues), self.raw
        for _ in range(100):
            if waiting and raw.r[7] == AT:
                self.bell.arm(0, raw.time_ns + waiting.pop(0))
            before = raw.r[7]
            self.core.run(1)
            self.interrupts += before == AT and raw.r[7] == SERVICE
            if raw.r[7] == after:
                break
        if dues:
            lib.ms_arm_at(raw, 0, lib.MS_NEVER)
            self.bell.ring(0)

    def _compare(self, case: Case, memory: bytearray, open_bytes: tuple[int, ...]) -> None:
        found = bytearray(self.seen)
        for at in open_bytes:
            found[at] = memory[at]
        if case.dues:
            found[0o400:STACK] = memory[0o400:STACK]
        if found != memory:
            wrong = [at for at in range(SIZE) if found[at] != memory[at]]
            told = " ".join(f"{at:06o}:{found[at]:03o}/{memory[at]:03o}" for at in wrong[:8])
            raise AssertionError(f"found/expected {told}: {case}")
