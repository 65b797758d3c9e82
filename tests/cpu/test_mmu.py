"""Memory management: addresses, what is recorded, and the registers; oracle and both cores must agree.

Unless a source stands beside them, the expected values are from section 6 of the facts on the processor (from memory,
firm) or derived from them by hand; those marked `unconfirmed` rest on a reading that no document confirms.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from mmu_bench import (
    CORES,
    EVERY,
    LATE,
    MOV_FROM_R0,
    MOV_TO_R0,
    NOP,
    ONE,
    USER,
    done,
    mapped,
    pushed,
    run_core,
    services,
    trapped,
)
from mmu_cases import REST, Bench
from mmu_facts import MANAGED, facts_of
from mmu_oracle import GivenUp

from minisim.cpu._core import lib
from minisim.cpu.handle import Core
from minisim.cpu.profile import available, named

THREE_MODES = [name for name in MANAGED if facts_of(name).modes == 3]
TWO_MODES = [name for name in MANAGED if facts_of(name).modes == 2]
EXAMPLES = Path(__file__).parents[1] / "data" / "worked-examples.yaml"


# --- address formation (6.2) ----------------------------------------------------------------------------------------


def examples() -> list[Any]:
    """The worked examples of translation (derived)."""
    text = yaml.load(EXAMPLES.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
    return [pytest.param(each, id=each["id"]) for each in text["examples"] if each["kind"] == "translation"]


@pytest.mark.parametrize("example", examples())
def test_worked_examples_of_translation(example: dict[str, Any]) -> None:
    setup, expect = example["setup"], example["expect"]
    virtual = int(setup["virtual"], 8)
    wide = setup.get("address_bits") == "22"
    page = virtual >> 13
    case = mapped((MOV_TO_R0,), r={1: virtual}, mmr=(1, 0, 0, 0o20 if wide else 0))
    case.par[page] = int(setup.get(f"par{page}", "0"), 8)
    case.pdr[page] = int(setup[f"pdr{page}"], 8)
    bench = Bench("late-single-chip-quad" if wide else ONE)
    services(bench)
    bench.check(case, False, whole=True)
    if "physical" in expect:
        bench.load(case)
        assert bench.oracle.translate(virtual, 0, 0, False) == int(expect["physical"], 8)
    else:
        assert trapped(bench) == int(expect["trap"], 8)
        assert bench.oracle.mmr[0] == int(expect["mmr0"], 8)


@CORES
@EVERY
def test_par_plus_block_times_100_plus_byte(profile: str, fast: bool) -> None:
    case = mapped((MOV_TO_R0,), r={1: 0o52344}, par={2: 0o123}, pdr={2: REST})
    bench = done(profile, case, fast, {0o24644: 0o4321})
    # page 2, block 123, byte 44: (123 + 123) x 100 + 44 = 24644
    assert bench.oracle.sets[bench.oracle.ps >> 11 & 1][0] == 0o4321


@CORES
@pytest.mark.parametrize(("block", "aborts"), [(0, 0), (0o24, 0), (0o25, 1), (0o177, 1)])
def test_a_page_that_grows_upwards_ends_with_the_block_of_its_length(block: int, aborts: int, fast: bool) -> None:
    bench = done(ONE, mapped((MOV_TO_R0,), r={1: 0o40000 | block << 6}, pdr={2: 0o12006}), fast)
    assert (trapped(bench) == 0o250) == bool(aborts)
    assert bench.oracle.mmr[0] == (0o40005 if aborts else 1)


@CORES
@pytest.mark.parametrize(("block", "aborts"), [(0, 1), (0o23, 1), (0o24, 0), (0o177, 0)])
def test_a_page_that_grows_downwards_begins_with_the_block_of_its_length(block: int, aborts: int, fast: bool) -> None:
    bench = done(ONE, mapped((MOV_TO_R0,), r={1: 0o40000 | block << 6}, pdr={2: 0o12016}), fast)
    assert (trapped(bench) == 0o250) == bool(aborts)


# Access fields (6.3, unconfirmed): for a read and for a write, what MMR0 shows beside bit 0 and page 2.
TWO_BITS = {0: (0o100004, 0o100004), 2: (0, 0o20004), 4: (0o100004, 0o100004), 6: (0, 0)}
THREE_BITS = {
    0: (0o100004, 0o100004),
    1: (0o10200, 0o20004),
    2: (0, 0o20004),
    3: (0o100004, 0o100004),
    4: (0o10200, 0o10200),
    5: (0, 0o10200),
    6: (0, 0),
    7: (0o100004, 0o100004),
}


@CORES
@EVERY
@pytest.mark.parametrize("writes", [False, True], ids=["read", "write"])
def test_the_access_field_says_what_aborts_and_what_traps(profile: str, writes: bool, fast: bool) -> None:
    facts = facts_of(profile)
    for access, shown in (THREE_BITS if facts.access_bits else TWO_BITS).items():
        code = MOV_FROM_R0 if writes else MOV_TO_R0
        bench = done(profile, mapped((code,), r={1: 0o40000}, pdr={2: 0o77400 | access}), fast)
        assert bench.oracle.mmr[0] == shown[writes] | 1, access
        aborts = bool(shown[writes] & 0o160000)
        assert (trapped(bench) == 0o250) == aborts
        succeeded = 0 if aborts else (0o100 if writes else 0) | (0o200 if facts.access_bits else 0)
        assert bench.oracle.pdr[2] == 0o77400 | access | succeeded


@CORES
def test_non_resident_and_length_come_together_and_read_only_comes_with_length(fast: bool) -> None:
    bench = done(ONE, mapped((MOV_TO_R0,), r={1: 0o40200}, pdr={2: 0o400}), fast)
    assert bench.oracle.mmr[0] == 0o140005
    bench = done(ONE, mapped((MOV_FROM_R0,), r={1: 0o40200}, pdr={2: 0o402}), fast)
    assert bench.oracle.mmr[0] == 0o60005


@CORES
@EVERY
def test_with_management_off_the_last_page_is_the_io_page_and_all_else_is_as_it_is(profile: str, fast: bool) -> None:
    case = mapped((0o013700, 0o177776), mmr=(0, 0, 0, 0), ps=0o340, par={0: 0o1111, 7: 0o1111}, pdr={0: 0, 7: 0})
    bench = done(profile, case, fast)
    assert bench.oracle.sets[0][0] == 0o340


# --- what is recorded (6.4) -----------------------------------------------------------------------------------------


@CORES
@EVERY
def test_an_abort_tells_mode_space_page_and_the_address_of_its_instruction(profile: str, fast: bool) -> None:
    case = mapped((0o240, 0, 0), ps=USER, pc=0o60000, pdr={48 + 3: 0})
    bench = done(profile, case, fast)
    # bit 15, mode 3, page 3, on (unconfirmed: PC is not past a word that was not fetched)
    assert bench.oracle.mmr[0] == 0o100147
    assert bench.oracle.mmr[2] == 0o60000
    assert trapped(bench) == 0o250
    assert pushed(bench)[1] == USER
    assert bench.oracle.ps == 0o30340


@CORES
@pytest.mark.parametrize("profile", THREE_MODES)
def test_mmr1_tells_of_the_steps_of_the_instruction_that_was_given_up(profile: str, fast: bool) -> None:
    case = mapped((0o012142,), r={1: 0o1400, 2: 0o40002}, pdr={2: 0})  # MOV (R1)+,-(R2)
    bench = done(profile, case, fast)
    assert bench.oracle.mmr[1] == 0o362 << 8 | 0o21  # -2 of R2, then in the low byte +2 of R1
    assert bench.oracle.sets[0][1:3] == [0o1402, 0o40000]
    assert bench.oracle.mmr[0] == 0o100005


@CORES
@pytest.mark.parametrize("profile", TWO_MODES)
def test_where_there_is_no_mmr1_it_reads_as_0(profile: str, fast: bool) -> None:
    bench = done(profile, mapped((0o012122,), r={1: 0o1400, 2: 0o40000}, pdr={2: 0}), fast)
    assert bench.oracle.mmr[1] == 0
    bench = done(profile, mapped((0o013700, 0o177574), r={0: 0o1234}), fast)
    assert bench.oracle.sets[0][0] == 0


@CORES
@EVERY
def test_while_an_abort_is_recorded_nothing_else_is(profile: str, fast: bool) -> None:
    frozen = (0o40147, 0o1234 if facts_of(profile).modes == 3 else 0, 0o4242, 0)
    bench = done(profile, mapped((0o012100,), r={1: 0o40000}, pdr={2: 0}, mmr=frozen), fast)
    assert tuple(bench.oracle.mmr) == frozen
    assert trapped(bench) == 0o250


@CORES
@EVERY
def test_zeros_written_to_bits_15_to_13_of_mmr0_thaw(profile: str, fast: bool) -> None:
    case = mapped((0o005037, 0o177572), mmr=(0o100147, 0, 0o4242, 0))
    case.words = (0o012737, 1, 0o177572)  # MOV #1,@#177572
    bench = done(profile, case, fast)
    assert bench.oracle.mmr[0] == 0o147  # bits 7 to 1 are read only
    assert bench.oracle.mmr[2] == 0o4242


@CORES
@pytest.mark.parametrize("profile", ["fast-ttl-cache", "fast-ttl-three-mode"])
def test_mmr2_catches_vectors(profile: str, fast: bool) -> None:
    bench = done(profile, mapped((0o000100,)), fast)  # JMP R0
    assert trapped(bench) == 0o10
    assert bench.oracle.mmr[2] == 0o10
    other = done(LATE, mapped((0o000100,)), fast)
    assert other.oracle.mmr[2] == 0o1000


# --- registers (6.1) ------------------------------------------------------------------------------------------------

PAGES = range(0, 0o20, 2)
GROUPS = {  # PDRs, then PARs 40 further on
    "kernel": (0o172300, 0, False),
    "kernel data": (0o172320, 8, True),
    "supervisor": (0o172200, 16, False),
    "supervisor data": (0o172220, 24, True),
    "user": (0o177600, 48, False),
    "user data": (0o177620, 56, True),
}


def exists(profile: str, name: str) -> bool:
    """Supervisor mode in three modes only, data space where the processor has it."""
    facts = facts_of(profile)
    return (facts.modes == 3 or "supervisor" not in name) and (facts.data_space or not GROUPS[name][2])


@EVERY
@pytest.mark.parametrize("name", GROUPS)
def test_pars_and_pdrs_answer_at_their_addresses_with_the_bits_they_have(profile: str, name: str) -> None:
    first, index, _ = GROUPS[name]
    facts = facts_of(profile)
    pdr_bits = 0o77416 | (1 if facts.access_bits else 0) | (0o100000 if facts.bypass else 0)
    for page, offset in enumerate(PAGES):
        for at, bits in ((first + offset, pdr_bits), (first + 0o40 + offset, (1 << facts.par_bits) - 1)):
            bench = done(profile, mapped((0o012737, 0o177777, at), mmr=(0, 0, 0, 0)))
            if not exists(profile, name):
                assert trapped(bench) == 4
                continue
            assert trapped(bench) is None
            bank = bench.oracle.pdr if bits == pdr_bits and at < first + 0o40 else bench.oracle.par
            assert bank[index + page] == bits
            assert bench.check(mapped((0o013700, at), mmr=(0, 0, 0, 0), par={index + page: bits}), True) is None


@EVERY
def test_a_byte_written_to_a_par_or_pdr_leaves_the_other_and_clears_what_was_noticed(profile: str) -> None:
    for at in (0o172304, 0o172305, 0o172344, 0o172345):
        case = mapped((0o112737, 0o123, at), mmr=(0, 0, 0, 0), pdr={2: 0o77506}, par={2: 0o4321})
        bench = done(profile, case)
        assert not bench.oracle.pdr[2] & 0o300
        if at == 0o172344:
            assert bench.oracle.par[2] == 0o4123
        if at == 0o172305:
            assert bench.oracle.pdr[2] == 0o51406


@EVERY
@pytest.mark.parametrize("at", [0o177572, 0o177574, 0o177576, 0o172516])
def test_status_registers_keep_the_bits_they_have(profile: str, at: int) -> None:
    facts = facts_of(profile)
    mmr0 = 0o160001 | (0o11000 if facts.trap_bits else 0) | (0o400 if facts.maintenance else 0)
    mmr3 = (7 if facts.data_space else 0) | (0o60 if facts.wide else 0) | (0o10 if facts.call else 0)
    if at == 0o172516 and not mmr3:
        pytest.skip("no field of MMR3 exists, and nobody says whether the word answers")
    bench = done(profile, mapped((0o012737, 0o177777, at), mmr=(0, 0, 0, 0)))
    assert trapped(bench) is None
    if at == 0o177572:
        assert bench.oracle.mmr[0] == mmr0
    if at == 0o172516:
        assert bench.oracle.mmr[3] == mmr3
    if at in (0o177574, 0o177576):  # unconfirmed: they only tell
        assert bench.oracle.mmr[1:3] == [0, 0o1000]


@EVERY
def test_reset_clears_mmr0_and_mmr3_and_leaves_the_mapping(profile: str) -> None:
    bench = Bench(profile)
    mmr3 = bench.oracle.mmr3_bits & 0o57
    case = mapped((0o000005,), mmr=(0o20001, 0, 0, mmr3), pdr={9: 0o31506}, par={9: 0o3210})
    run_core(bench, case)
    assert [bench.raw.mmr[0], bench.raw.mmr[3]] == [0, 0]
    assert (bench.raw.par[0][1][1], bench.raw.pdr[0][1][1]) == (0o3210, 0o31506)
    assert bench.raw.r[7] == 0o1002


@EVERY
def test_power_up_leaves_nothing_mapped(profile: str) -> None:
    bench = Bench(profile)
    bench.load(mapped((NOP,)))
    lib.ms_power_up(bench.raw, 0o1000, 0)
    for name in ("mmr", "par", "pdr"):
        assert not any(bench.views[name][:]), name


@pytest.mark.parametrize("profile", [name for name in MANAGED if available(named(name))["mmu"] == "option"])
def test_without_the_option_nobody_answers(profile: str) -> None:
    core = Core(profile, (), memory=0o20000, address_bits=facts_of(profile).address_bits)
    for at in (0o177572, 0o177574, 0o177576, 0o172300, 0o172340, 0o177600, 0o177640):
        core.put(4, 0o2000, 0o340)
        core.put(0o1000, 0o005737, at)
        core.ps = 0
        core.pc, core.sp = 0o1000, 0o1000
        core.run(1)
        assert core.pc == 0o2000, f"{at:o}"


# --- the comparison itself --------------------------------------------------------------------------------------------


def test_the_oracle_gives_up_as_it_says() -> None:
    bench = Bench(ONE)
    bench.load(mapped((NOP,), pdr={3: 0}))
    with pytest.raises(GivenUp, match="trap 250"):
        bench.oracle.translate(0o60000, 0, 0, False)
    assert bench.oracle.mmr[0] == 0o100007


def test_a_difference_is_found_and_told() -> None:
    bench = Bench(ONE)
    services(bench)
    case = mapped((MOV_FROM_R0,), r={0: 0o123, 1: 0o40000})
    bench.load(case)
    bench.execute(False)
    bench.oracle.step()
    assert bench.difference(True) == ""
    for name in ("r", "mmr", "par", "pdr", "stack"):
        at = 4 if name != "stack" else 2
        view: Any = bench.views[name]
        view[at] = bytes([view[at][0] ^ 1])
        assert bench.difference(False) != "", name
        view[at] = bytes([view[at][0] ^ 1])
    bench.words[0o40000 >> 1] ^= 2
    assert "memory 040000: expected 000123, found 000121" in bench.difference(False)
