"""EIS against exact integers: extremes in every pair, random cases, odd registers, all modes, both cores."""

from __future__ import annotations

import random

import eis_oracle as oracle
import pytest
from core_bench import AT, PROFILES, Stop, prepared, run_to_halt, trapped
from eis_oracle import Outcome
from tallies import counted

from minisim.cpu._core import ffi, lib
from minisim.cpu.handle import Core
from minisim.cpu.profile import named

MUL, DIV, ASH, ASHC = 0o070000, 0o071000, 0o072000, 0o073000
NAMES = {MUL: "MUL", DIV: "DIV", ASH: "ASH", ASHC: "ASHC"}
PROFILE = "two-board-ttl-mmu"
EXTREMES = (0, 1, 2, 3, 7, 0o77, 0o377, 0o400, 0o77776, 0o77777, 0o100000, 0o100001, 0o177776, 0o177777, 0o125252)
OPERAND = 0o2000


def expected(code: int, number: int, high: int, low: int, operand: int) -> Outcome:
    """By the oracle; a DIV with an odd register is undefined and never asked for."""
    odd = bool(number & 1)
    if code == DIV:
        return oracle.divide(high, low, operand)
    return {MUL: oracle.multiply, ASH: oracle.shift_word, ASHC: oracle.shift_long}[code](high, low, operand, odd)


class Bench:
    """One processor that executes one instruction after the other on one core."""

    def __init__(self, core: int) -> None:
        self.core = prepared(PROFILE, options=["eis"])
        self.raw, self.fast = self.core.raw, core == lib.MS_CORE_FAST
        self.by_handlers = 0

    def execute(self, word: int, registers: dict[int, int], operand: int, ps: int) -> None:
        """`word` at 1000 with the operand in memory at 2000 and in the word behind the instruction."""
        self.core.put(AT, word, operand)
        self.core.put(OPERAND, operand)
        self.core.ps = ps
        for number, value in registers.items():
            self.raw.r[number] = value
        self.raw.r[6], self.raw.r[7] = 0o700, AT
        if self.fast and lib.ms_one_ahead(self.raw):
            self.by_handlers += 1
        else:
            lib.ms_run(self.raw, 1)


def check(bench: Bench, code: int, number: int, high: int, low: int, operand: int, ps: int) -> None:
    """One case through an immediate operand."""
    registers = {number: high, number | 1: low} if not number & 1 else {number: high}
    bench.execute(code | number << 6 | 0o27, registers, operand, ps)
    ours = expected(code, number, high, low if not number & 1 else high, operand)
    what = f"{NAMES[code]} R{number}: {high:06o} {low:06o} by {operand:06o}, PS {ps:o}"
    assert bench.raw.r[number] == ours.high, what
    if not number & 1:
        assert bench.raw.r[number | 1] == (ours.low if code in (MUL, DIV, ASHC) else low), what
    old = (ps >> 3 & 1, ps >> 2 & 1)
    n, z = (old[0] if ours.n is None else ours.n, old[1] if ours.z is None else ours.z)
    assert (bench.raw.n, bench.raw.z, bench.raw.v, bench.raw.c) == (n, z, ours.v, ours.c), what


CORES = pytest.mark.parametrize("core", [lib.MS_CORE_FAST, lib.MS_CORE_REFERENCE], ids=["fast", "reference"])


@CORES
@pytest.mark.parametrize("code", NAMES, ids=NAMES.values())
def test_extremes_with_extremes(code: int, core: int) -> None:
    bench = Bench(core)
    for high in EXTREMES:
        for operand in EXTREMES:
            for low in (0, 1, 0o77777, 0o100000, 0o177777):
                check(bench, code, 2, high, low, operand, 0o17 if low & 1 else 0)
            if code != DIV:
                check(bench, code, 3, high, high, operand, 0)
    assert bench.by_handlers == (bench.fast and bench.raw.instructions)


@CORES
def test_every_count_of_both_shifts(core: int) -> None:
    bench = Bench(core)
    for count in range(0o100):
        for value in EXTREMES:
            for code in (ASH, ASHC):
                check(bench, code, 4, value, 0o123456, count | 0o177700, 0o17)
                check(bench, code, 5, value, value, count, 0)


def random_cases(bench: Bench, code: int, count: int, seed: int) -> None:
    """Words of all sizes; for DIV dividends whose quotient is near the edge as well."""
    source = random.Random(seed)
    with counted("eis") as run:
        for _ in range(count):
            one_random_case(bench, code, source)
            run.cases += 1


def one_random_case(bench: Bench, code: int, source: random.Random) -> None:
    """Registers, operand and codes at random."""
    number = source.randrange(0, 6, 2) if code == DIV or source.random() < 0.7 else source.randrange(1, 6, 2)
    high, low, operand = (source.getrandbits(16) >> source.randrange(16) for _ in range(3))
    if source.random() < 0.5:
        high ^= 0o177777
    if source.random() < 0.3:
        operand ^= 0o177777
    if code == DIV and operand and source.random() < 0.4:
        near = oracle.signed(operand, oracle.SIGN) * source.choice((0o77777, -0o100000, -0o77777, 0o100000))
        near = (near + source.randrange(-3, 4)) & oracle.LONG
        high, low = near >> 16, near & oracle.WORD
    check(bench, code, number, high, low, operand, source.randrange(16))


@CORES
@pytest.mark.parametrize("code", NAMES, ids=NAMES.values())
def test_random_cases(code: int, core: int) -> None:
    random_cases(Bench(core), code, 3_000, seed=code)


@pytest.mark.slow
@pytest.mark.parametrize("code", NAMES, ids=NAMES.values())
def test_half_a_million_random_cases(code: int) -> None:
    random_cases(Bench(lib.MS_CORE_FAST), code, 500_000, seed=code + 1)


# Seen, [course-processor]: MUL and DIV; the rest derived from the rules of ASH and ASHC (from memory, firm).
@pytest.mark.parametrize(
    ("word", "before", "after", "codes"),
    [
        (MUL | 0 << 6 | 2, {0: 0o77777, 2: 2}, {0: 0, 1: 0o177776, 2: 2}, 0o1),
        (MUL | 1 << 6 | 2, {0: 5, 1: 3, 2: 0o177777}, {0: 5, 1: 0o177775}, 0o10),
        (DIV | 0 << 6 | 2, {0: 0, 1: 0o20001, 2: 2}, {0: 0o10000, 1: 1}, 0),
        (DIV | 0 << 6 | 2, {0: 0o177777, 1: 0o177775, 2: 2}, {0: 0o177777, 1: 0o177777}, 0o10),
        (DIV | 0 << 6 | 2, {0: 0o177777, 1: 0o100000, 2: 1}, {0: 0o100000, 1: 0}, 0o10),
        (DIV | 0 << 6 | 2, {0: 0, 1: 0o100000, 2: 1}, {0: 0, 1: 0o100000}, 0o2),
    ],
)
def test_worked_examples(word: int, before: dict[int, int], after: dict[int, int], codes: int) -> None:
    core = prepared(PROFILE, word, 0, options=["eis"], registers=before)
    assert run_to_halt(core) is None
    assert {number: core[number] for number in after} == after
    assert core.ps & 0o17 == codes


@CORES
@pytest.mark.parametrize("code", NAMES, ids=NAMES.values())
def test_the_operand_is_found_in_every_mode(code: int, core: int) -> None:
    """Also where its register is the one that is written: its step comes first."""
    for mode in (1, 2, 3, 4, 5, 6, 7):
        for number, through in ((0, 2), (2, 2), (2, 3), (0, 1), (4, 4)):
            bench = Bench(core)
            at = OPERAND + (2 if mode in (4, 5) else 0)
            bench.core.put(OPERAND + 0o100, 3)
            bench.core.put(AT + 2, 0)
            bench.core.put(OPERAND, OPERAND + 0o100 if mode in (3, 5, 7) else 3)
            bench.core.put(AT, code | number << 6 | mode << 3 | through)
            registers = {number: 1, number | 1: 0o40, through: at} if number & 1 == 0 else {number: 1, through: at}
            for register, value in registers.items():
                bench.raw.r[register] = value
            bench.core.pc, bench.core.sp = AT, 0o700
            stepped = (at + {2: 2, 3: 2, 4: -2, 5: -2}.get(mode, 0)) & 0o177777
            values = dict(registers) | {through: stepped}
            ours = expected(code, number, values[number], values[number | 1], 3)
            if not (bench.fast and lib.ms_one_ahead(bench.raw)):
                lib.ms_run(bench.raw, 1)
            what = f"{NAMES[code]} R{number} through mode {mode} of R{through}"
            assert bench.raw.r[number] == ours.high, what
            if code != ASH:
                assert bench.raw.r[number | 1] == ours.low, what
            if through not in (number, number | 1):
                assert bench.raw.r[through] == stepped, what


@pytest.mark.parametrize("profile", PROFILES)
def test_without_the_option_the_words_are_reserved(profile: str) -> None:
    standard = named(profile).model("eis") == "standard"
    core = prepared(profile, MUL | 1, options=() if not standard else None)
    if standard:
        assert core.run(1) is Stop.LIMIT
        assert core.raw.traps_by_vector[0o10 // 4] == 0
    else:
        core.run(1)
        assert trapped(core) == 0o10


def test_an_odd_operand_address_gives_the_instruction_up_with_registers_and_codes_as_they_were() -> None:
    for core in (lib.MS_CORE_FAST, lib.MS_CORE_REFERENCE):
        made: Core = prepared(PROFILE, MUL | 0 << 6 | 0o12, options=["eis"], ps=0o17, registers={0: 3, 1: 4, 2: 0o2001})
        made.raw.core = core
        made.run(1)
        assert trapped(made) == 4
        assert (made[0], made[1]) == (3, 4)
        assert made.word(made.sp + 2) == 0o17


def test_the_table_knows_them_as_an_option() -> None:
    records = (lib.ms_records()[number] for number in range(1, lib.ms_record_count()))
    modules = {ffi.string(r.mnemonic): ffi.string(lib.ms_module_word(r.module)) for r in records}
    assert {modules[name.encode()] for name in NAMES.values()} == {b"eis"}
