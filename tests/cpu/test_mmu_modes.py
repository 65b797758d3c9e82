"""Memory management: modes, spaces, traps, wide addresses, odd corners; oracle and both cores must agree.

Unless a source stands beside them, the expected values are from section 6 of the facts on the processor (from memory,
firm) or derived from them by hand; those marked `unconfirmed` rest on a reading that no document confirms.
"""

from __future__ import annotations

import pytest
from mmu_bench import (
    CORES,
    EVERY,
    KERNEL,
    MOV_TO_R0,
    PREVIOUS_USER,
    SUPERVISOR,
    USER,
    done,
    mapped,
    pushed,
    run_core,
    services,
    trapped,
    word,
)
from mmu_cases import Bench
from mmu_facts import MANAGED, facts_of

THREE_MODES = [name for name in MANAGED if facts_of(name).modes == 3]


# --- between modes (readings 10 and 11) -----------------------------------------------------------------------------


@CORES
@EVERY
def test_mfpi_reads_in_the_previous_mode_and_pushes_in_the_current_one(profile: str, fast: bool) -> None:
    case = mapped((0o006511,), r={1: 0o40000}, ps=PREVIOUS_USER | 1, par={48 + 2: 0o30}, pdr={2: 0})
    bench = done(profile, case, fast, {0o3000: 0o123456})
    assert word(bench, 0o776) == 0o123456
    assert bench.oracle.stacks[0] == 0o776
    assert bench.oracle.ps & 0o17 == 0o11
    if facts_of(profile).modes == 3:
        assert bench.oracle.mmr[1] == 0o36 << 3 | 6


@CORES
@EVERY
def test_mtpi_pops_in_the_current_mode_and_writes_in_the_previous_one(profile: str, fast: bool) -> None:
    case = mapped((0o006611,), r={1: 0o40000}, ps=PREVIOUS_USER, par={48 + 2: 0o30}, pdr={2: 0})
    bench = done(profile, case, fast, {0o1000: 0o006611})  # the stack begins at 1000, with the instruction itself
    assert word(bench, 0o3000) == 0o006611
    assert bench.oracle.stacks[0] == 0o1002
    assert bench.oracle.pdr[48 + 2] & 0o100


@CORES
@EVERY
def test_register_6_of_mfpi_and_mtpi_is_that_of_the_previous_mode(profile: str, fast: bool) -> None:
    case = mapped((0o006506,), ps=PREVIOUS_USER, stacks=(0o1000, 0o1111, 0o2222, 0o3334))
    assert word(done(profile, case, fast), 0o776) == 0o3334
    case.words = (0o006606,)
    bench = done(profile, case, fast)
    assert bench.oracle.stacks[3] == 0o006606
    assert bench.oracle.stacks[0] == 0o1002


@CORES
@pytest.mark.parametrize("profile", THREE_MODES)
def test_from_user_mode_to_user_mode_mfpi_acts_as_mfpd(profile: str, fast: bool) -> None:  # unconfirmed
    case = mapped((0o006511,), r={1: 0o40000}, mmr=(1, 0, 0, 1), par={48 + 2: 0o30, 56 + 2: 0o40})
    case.ps = USER | PREVIOUS_USER
    case.stacks = [0o1000] * 4
    bench = done(profile, case, fast, {0o3000: 0o111, 0o4000: 0o222})
    assert word(bench, 0o776) == 0o222
    case.ps = KERNEL | PREVIOUS_USER
    assert word(done(profile, case, fast, {0o3000: 0o111, 0o4000: 0o222}), 0o776) == 0o111


@CORES
@EVERY
def test_a_push_that_nobody_answers_undoes_no_step_of_the_operand(profile: str, fast: bool) -> None:
    """MFPI (SP)+ from kernel to user mode: the word is read, the push to the same virtual address times out (D32)."""
    case = mapped((0o006526,), ps=USER, par={48 + 2: 0o7000}, stacks=[0o1000, 0, 0, 0o40000])
    bench = done(profile, case, fast)
    assert trapped(bench) == 4
    assert bench.oracle.stacks[3] == 0o40000


CALLS = [name for name in MANAGED if facts_of(name).call]


@CORES
@pytest.mark.parametrize("profile", CALLS)
def test_csm_pushes_on_the_supervisor_stack_at_the_place_of_the_old_one(profile: str, fast: bool) -> None:
    case = mapped((0o007001,), r={1: 0o1234}, ps=USER | PREVIOUS_USER | 0o17, mmr=(1, 0, 0, 0o10))
    case.stacks = [0o700, 0o1111, 0o2222, 0o3334]
    bench = done(profile, case, fast, {0o10: 0o5432})
    assert [word(bench, at) for at in (0o3326, 0o3330, 0o3332)] == [0o1234, 0o1002, USER | PREVIOUS_USER]
    assert bench.oracle.pc == 0o5432
    assert bench.oracle.stacks[1] == 0o3326
    assert bench.oracle.ps & ~0o17 == SUPERVISOR | PREVIOUS_USER


@CORES
@EVERY
def test_csm_is_reserved_in_kernel_mode_and_where_it_is_not_allowed(profile: str, fast: bool) -> None:
    for ps, mmr3 in ((KERNEL, 0o10), (USER, 0)):
        facts = facts_of(profile)
        bench = done(profile, mapped((0o007001,), ps=ps, mmr=(1, 0, 0, mmr3 if facts.call else 0)), fast)
        assert trapped(bench) == 0o10


@CORES
@pytest.mark.parametrize("profile", MANAGED)
def test_a_trap_pushes_in_the_new_mode_and_keeps_the_old_one_as_previous(profile: str, fast: bool) -> None:
    case = mapped((0o000100,), ps=USER | 5, par={0: 0, 48: 0o100})
    bench = Bench(profile)
    services(bench)
    assert bench.check(case, fast, whole=True) is None
    assert bench.oracle.ps == PREVIOUS_USER | 0o340
    assert pushed(bench) == (0o1002, USER | 5)


# --- spaces (6.4, readings 9) ---------------------------------------------------------------------------------------


@CORES
@pytest.mark.parametrize("profile", THREE_MODES)
@pytest.mark.parametrize(
    ("words", "value"),
    [
        ((0o012700, 0o2000), 0o2000),  # MOV #2000,R0: instruction space
        ((0o013700, 0o2000), 0o222),  # MOV @#2000,R0: the address from instruction space, the word from data space
        ((0o016700, 0o774), 0o222),  # MOV 2000,R0
        ((0o011700,), 0o333),  # MOV (PC),R0 (unconfirmed: data space)
        ((0o014700,), 0o444),  # MOV -(PC),R0 (unconfirmed: data space)
    ],
)
def test_instructions_and_what_follows_them_are_instruction_space(
    profile: str, words: tuple[int, ...], value: int, fast: bool
) -> None:
    case = mapped(words, mmr=(1, 0, 0, 4), par={8: 0o100})  # data space of page 0 begins at 10000
    memory = {0o2000: 0o111, 0o12000: 0o222, 0o11002: 0o333, 0o11000: 0o444}
    bench = done(profile, case, fast, memory)
    assert bench.oracle.sets[0][0] == value


@CORES
@pytest.mark.parametrize("profile", THREE_MODES)
def test_vectors_and_pushes_are_data_space(profile: str, fast: bool) -> None:
    case = mapped((0o000100,), mmr=(1, 0, 0, 4), par={8: 0o100})
    bench = done(profile, case, fast, {0o10010: 0o5432, 0o10012: 0o340})
    assert bench.oracle.pc == 0o5432
    assert word(bench, 0o10774) == 0o1002


# --- traps that are no aborts (D48, D50, readings 7) ----------------------------------------------------------------

TRAPPERS = [name for name in MANAGED if facts_of(name).trap_bits]


@CORES
@pytest.mark.parametrize("profile", TRAPPERS)
def test_a_management_trap_comes_after_the_instruction_and_once(profile: str, fast: bool) -> None:
    case = mapped((MOV_TO_R0,), r={1: 0o40000}, pdr={2: 0o77404}, mmr=(0o1001, 0, 0, 0))
    bench = done(profile, case, fast, {0o40000: 0o4321})
    assert trapped(bench) == 0o250
    assert bench.oracle.sets[0][0] == 0o4321
    assert pushed(bench)[0] == 0o1002
    assert bench.oracle.mmr[0] == 0o11201
    case.mmr = (0o11001, 0, 0, 0)
    assert trapped(done(profile, case, fast)) is None
    case.mmr = (1, 0, 0, 0)
    assert trapped(done(profile, case, fast)) is None


@CORES
@pytest.mark.parametrize("profile", TRAPPERS)
def test_a_management_trap_while_an_abort_is_recorded_leaves_bits_7_to_1(profile: str, fast: bool) -> None:
    case = mapped((MOV_TO_R0,), r={1: 0o40000}, pdr={2: 0o77404}, mmr=(0o40147, 0, 0, 0))
    assert done(profile, case, fast).oracle.mmr[0] == 0o50147


MAINTAINED = [name for name in MANAGED if facts_of(name).maintenance]


@CORES
@pytest.mark.parametrize("profile", MAINTAINED)
def test_maintenance_relocates_the_destination_alone(profile: str, fast: bool) -> None:
    case = mapped((0o013737, 0o40000, 0o40000), mmr=(0o400, 0, 0, 0), par={2: 0o200, 0: 0o77})  # MOV @#40000,@#40000
    bench = done(profile, case, fast, {0o40000: 0o1111})
    assert word(bench, 0o20000) == 0o1111
    case.words = (0o005237, 0o40000)  # INC @#40000: both its read and its write
    bench = done(profile, case, fast, {0o20000: 0o77})
    assert word(bench, 0o20000) == 0o100


# --- 22 bits and the bus map (6.2, 6.5, readings 12) ----------------------------------------------------------------

WIDE = [name for name in MANAGED if facts_of(name).wide and facts_of(name).address_bits == 22]
MAPPED = [name for name in MANAGED if facts_of(name).bus_map == "fitted"]


@CORES
@pytest.mark.parametrize("profile", WIDE)
def test_bit_4_of_mmr3_gives_22_bits(profile: str, fast: bool) -> None:
    case = mapped((MOV_TO_R0,), r={1: 0o40000}, mmr=(1, 0, 0, 0), par={2: 0o10040})
    assert done(profile, case, fast, {0o4000: 0o777}).oracle.sets[0][0] == 0o777
    case.mmr = (1, 0, 0, 0o20)
    assert trapped(done(profile, case, fast)) == 4  # 1004000: no memory there
    case.par[2] = 0o177600
    case.sets = [[0, 0o57776, 0, 0, 0, 0]] * 2
    case.ps = 0o340
    assert done(profile, case, fast).oracle.sets[0][0] == 0o340


@CORES
@pytest.mark.parametrize("profile", MAPPED)
def test_the_bus_map_leads_back_into_memory(profile: str, fast: bool) -> None:
    case = mapped((MOV_TO_R0,), r={1: 0o40124}, mmr=(1, 0, 0, 0o60), par={2: 0o170500})
    bench = Bench(profile)
    services(bench)
    bench.put_map([(0, 0), (0, 0), (0o3000, 0)] + [(0, 0)] * 29)
    bench.put(0o13124, 0o1234)  # bus address 050124 is register 2, 10124 further on
    bench.put(0o50124, 0o4321)
    assert bench.check(case, fast) is None
    assert bench.oracle.sets[0][0] == 0o1234
    case.mmr = (1, 0, 0, 0o20)
    assert bench.check(case, fast) is None
    assert bench.oracle.sets[0][0] == 0o4321


@pytest.mark.parametrize("profile", MAPPED)
def test_the_registers_of_the_bus_map_are_pairs_of_words(profile: str) -> None:
    for number in range(31):
        for at, value in ((0o170200 + 4 * number, 0o177776), (0o170202 + 4 * number, 0o77)):
            bench = done(profile, mapped((0o012737, 0o177777, at), mmr=(0, 0, 0, 0)))
            assert bench.raw.bus_map[number][at >> 1 & 1] == value
            assert bench.oracle.bus_map[number][at >> 1 & 1] == value


# --- undefined modes (D45, D53) -------------------------------------------------------------------------------------


@CORES
@EVERY
def test_an_undefined_mode_aborts_or_uses_the_registers_of_user_mode(profile: str, fast: bool) -> None:
    case = mapped((0o005700, 0, 0), ps=0o100000, par={48: 0o10})  # TST R0 at 2000: executed, or never fetched
    bench = done(profile, case, fast)
    if facts_of(profile).undefined_mode == "unsafe":
        assert trapped(bench) is None
    else:
        assert trapped(bench) == 0o250
        assert bench.oracle.mmr[0] == 0o100101


@CORES
@EVERY
def test_mfpi_of_register_6_with_previous_mode_10(profile: str, fast: bool) -> None:
    case = mapped((0o006506,), ps=0o20000, stacks=(0o1000, 0o1111, 0o2222, 0o3334))
    bench = done(profile, case, fast)
    assert word(bench, 0o776) == (0o3334 if facts_of(profile).mode_10_user else 0o2222)


# --- a trap that can't be taken, and the stack limit (readings 14 and 15) -------------------------------------------


@EVERY
def test_an_abort_while_a_trap_pushes_is_a_bad_stack(profile: str) -> None:
    bench = Bench(profile)
    services(bench)
    bench.put(4, 0o3000)
    case = mapped((0o000100,), pdr={2: 0o77400}, stacks=[0o50000] * 4)
    run_core(bench, case)
    if facts_of(profile).bad_stack == "halt":
        assert bench.raw.halted
    else:
        assert (bench.raw.r[7], bench.raw.r[6]) == (0o3000, 0)
        assert (word(bench, 0), not bench.raw.halted) == (0o1002, True)
    assert bench.raw.mmr[0] == 0o100005


@EVERY
def test_the_stack_limit_compares_virtual_addresses(profile: str) -> None:
    for stack, traps in ((0o400, True), (0o20400, False)):
        bench = Bench(profile)
        services(bench)
        case = mapped((0o010046,), par={1: 0}, stacks=[stack] * 4, pc=0o60000)  # MOV R0,-(SP)
        run_core(bench, case)
        assert (bench.raw.r[7] == 0o2004) == traps
