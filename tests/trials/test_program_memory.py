"""The programs that test memory: they pass everywhere, find how much there is, and tell a word that changes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from arithmetic_programs import owners
from few import few
from program_rig import placement, rig

from minisim.catalogue.reader import Catalogue
from minisim.machine.machine import Machine
from minisim.machine.records import Address, Reason
from minisim.trials.own import Ran, Verdict, Where, carry_on, make_ready, run_program
from minisim.trials.programs import TestProgram, program

TITLE = "memory: every word of memory up to 28K words, that under this program too\r\n"
HIGH_TITLE = "memory-high: every word of memory above 28K words, through a page\r\n"
PARITY_TITLE = "parity: the parity register of the memory that holds this program\r\n"
KINDS = 4  # address in address, marching, bytes, walking 1
BANK = 0o20000  # 4K words
LOW_BANKS = 7  # 28K words
REPEAT = 2
FIRST_HIGH = 0o160000
BLOCKS = "each word holds the number of its block, all written before"
KIND_TEXTS = (
    "each word holds its own address, then the complement",
    "marching zeros and ones, up and down",
    "each byte by itself",
    "a single 1 through all bits",
)


def ends(name: str, passes: int, cases: int, failures: int = 0) -> str:
    return "".join(
        f"{name}: end of pass {number}, {cases} cases, {failures} failures\r\n" for number in range(1, passes + 1)
    )


def ran(name: str, profile: str, kb: int, *, core: str = "fast", passes: int = 2) -> Ran:
    machine = rig(profile, kb=kb)
    machine.core = core
    return run_program(machine, program(name), passes=passes, switches=0)


def spoiled_at(machine: Machine, test: TestProgram, pc: int, address: int, flips: int, *, switches: int = 0) -> Ran:
    """One pass, in which bits of a word flip when the program first comes to `pc`."""
    make_ready(machine, test, passes=1, switches=switches)
    assert machine.run(until=Address(pc), limit=50_000_000).reason is Reason.REACHED
    machine.memory.put(address, machine.memory.word(address) ^ flips)
    return carry_on(machine, test, passes=1, limit=100_000_000)


def above(test: TestProgram) -> int:
    """Where memory begins that is neither under the program nor in the blocks of 64 bytes it reaches into."""
    return test.at("theend") + 0o77 & ~0o77


# --- up to 28K words --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("profile", few(Catalogue().ids("profiles"), 3))
def test_all_28k_words_pass_on_every_processor(profile: str) -> None:
    run = ran("memory", profile, 56)
    there = "".join(
        f"  memory from {number * BANK:06o} to {number * BANK + BANK - 2:06o}\r\n" for number in range(LOW_BANKS)
    )
    cases = KINDS * (LOW_BANKS + 1)  # the first 4K words twice: above the program, and under it
    assert run.said.rstrip() == (TITLE + there + ends("memory", 2, cases)).rstrip()  # one processor stops as it prints
    assert (run.verdict, run.passes, run.cases) == (Verdict.PASS, 2, cases)


@pytest.mark.parametrize(
    ("kb", "stretches", "cases"),
    [
        (16, [(0, 0o17776), (0o20000, 0o37776)], 3 * KINDS),
        (20, [(0, 0o17776), (0o20000, 0o37776), (0o40000, 0o47776)], 4 * KINDS),
        (24, [(0, 0o17776), (0o20000, 0o37776), (0o40000, 0o57776)], 4 * KINDS),
    ],
)
def test_the_end_of_memory_is_found_by_a_time_out(kb: int, stretches: list[tuple[int, int]], cases: int) -> None:
    run = ran("memory", "one-board-ttl-basic", kb)
    there = "".join(f"  memory from {first:06o} to {last:06o}\r\n" for first, last in stretches)
    assert run.said == TITLE + there + ends("memory", 2, cases)


def test_with_8_kb_it_says_what_it_can_not_test() -> None:
    run = ran("memory", "first-hardwired", 8)
    assert run.verdict is Verdict.PASS
    assert run.said == (
        TITLE + "  memory from 000000 to 017776\r\n"
        "  what lies under this program is not tested: no other 4K words can take its copy\r\n"
        + ends("memory", 2, KINDS)
    )


def test_both_cores_do_the_same() -> None:
    assert ran("memory", "chipset-one-level", 24, core="reference") == ran("memory", "chipset-one-level", 24)


def test_all_words_were_written() -> None:
    # the walking 1 leaves a single 1 in each word, one bit further in each; only the program and what it uses is itself
    machine, test = rig("two-board-ttl-basic", kb=56), program("memory")
    assert run_program(machine, test, passes=1, switches=0).verdict is Verdict.PASS
    copy = 0o20000 + test.at("theend") + test.at("mytest") - test.at("moves") + test.at("tsend") - test.at("test")
    words = [machine.memory.word(address) for address in [*range(above(test), 0o20000, 2), *range(copy, 0o160000, 2)]]
    assert {bin(word).count("1") for word in words} == {1}
    assert set(words) == {1 << bit for bit in range(16)}


@pytest.mark.parametrize(
    ("label", "distance", "kind", "expected"),
    [
        # address in address: its first look, then at the complement; address 010000 itself
        ("tsaddr", 0o14, "each word holds its own address, then the complement", 0o010000),
        ("tsmarc", 0o6, "marching zeros and ones, up and down", 0),  # after the fill
        ("tsdown", 0, "marching zeros and ones, up and down", 0),
        ("tslane", 0, "each byte by itself", 0o377),
        ("tsturn", 0o16, "a single 1 through all bits", None),
    ],
)
def test_a_word_that_changes_is_told_with_its_address(
    label: str, distance: int, kind: str, expected: int | None
) -> None:
    test, machine, address, flips = program("memory"), rig("two-board-ttl-basic", kb=24), 0o010000, 0o020400
    if expected is None:  # a 1 moves on by one bit a word, from the first word on
        expected = 1 << (address - above(test)) // 2 % 16
    run = spoiled_at(machine, test, test.at(label) + distance, address, flips)
    assert run.verdict is Verdict.FAIL
    number = 1 + [*KIND_TEXTS].index(kind)
    assert run.said.splitlines()[2:4] == [
        f"memory: failed, case {number}: from {above(test):06o} to 017776: {kind}",
        f" expected {expected:06o}, found {expected ^ flips:06o}, xor 020400, bits 8 13, at 00010000",
    ]
    assert len(run.failures) == 1


@pytest.mark.parametrize("address", [0, 0o000004, 0o001000, 0o003000, 0o017776])
def test_a_word_under_the_program_is_told_too(address: int) -> None:
    test, machine = program("memory"), rig("two-board-ttl-basic", kb=24)
    moved = 0o20000 + test.at("theend") + test.at("mytest") - test.at("moves") - test.at("test")
    run = spoiled_at(machine, test, moved + test.at("tsdown"), address, 0o100000)
    assert run.verdict is Verdict.FAIL
    assert run.failures == ("memory: failed, case 14: from 000000 to 017776: marching zeros and ones, up and down",)
    assert f" expected 000000, found 100000, xor 100000, bits 15, at 00{address:06o}" in run.said
    assert "memory: end of pass 1, 16 cases, 1 failures" in run.said


@pytest.mark.parametrize(("kb", "kept"), [(16, False), (24, True)])
def test_the_copy_keeps_out_of_4k_words_with_a_fault(kb: int, kept: bool) -> None:
    test, machine = program("memory"), rig("two-board-ttl-basic", kb=kb)
    make_ready(machine, test, passes=1, switches=0)
    while machine.memory.word(test.at("bank")) != BANK:  # the first 4K words come first
        assert machine.run(until=Address(test.at("tsdown")), limit=50_000_000).reason is Reason.REACHED
        machine.step()
    machine.memory.put(0o30000, machine.memory.word(0o30000) ^ 1)
    run = carry_on(machine, test, passes=1)
    assert len(run.failures) == 1
    assert ("what lies under this program is not tested" not in run.said) is kept
    assert run.cases == KINDS * (kb // 8 + kept)


def test_nobody_answers_where_a_neighbour_did() -> None:
    # memory in steps of 512 bytes is looked for; 6 KB and 256 bytes more end within a step
    machine, test = rig("two-board-ttl-basic", kb=24), program("memory")
    make_ready(machine, test, passes=1, switches=0)
    machine.run(until=Address(test.at("onebnk")), limit=1_000_000)
    machine.memory.put(test.at("behind"), 0o60400)
    run = carry_on(machine, test, passes=1)
    assert f"memory: failed, case 1: from {above(test):06o} to 060376: {KIND_TEXTS[0]}\r\n" in run.said
    assert " nobody answers, at 00060000\r\n" in run.said


def test_a_case_that_failed_is_repeated_until_it_is_right() -> None:
    test, machine = program("memory"), rig("two-board-ttl-basic", kb=8)
    run = spoiled_at(machine, test, test.at("tsdown"), 0o10000, 1, switches=REPEAT)
    # the second time nothing changes it
    assert run.said.endswith(ends("memory", 1, KINDS, 1))
    assert run.said.count("failed, case 2") == 1


# --- above ------------------------------------------------------------------------------------------------------------


def high_cases(kb: int) -> int:
    """For each 4K words: whose it is, the kinds, and the look at all of it."""
    return -(-(kb * 1024 - FIRST_HIGH) // BANK) * (1 + KINDS + 1)


@pytest.mark.parametrize("profile", few(owners("mmu"), 2))
def test_memory_above_28k_words_passes_on_every_processor_with_pages(profile: str) -> None:
    run = ran("memory-high", profile, 92)
    assert run.said == (
        HIGH_TITLE + f"  memory from 00160000 to {92 * 1024 - 2:08o}\r\n" + ends("memory-high", 2, high_cases(92))
    )
    assert run.verdict is Verdict.PASS


@pytest.mark.parametrize("profile", ["two-board-ttl-mmu", "chipset-four-level"])
def test_all_of_18_bits(profile: str) -> None:
    # 248 KB: below the I/O page of 8 KB
    run = ran("memory-high", profile, 248, passes=1)
    assert "  memory from 00160000 to 00757776\r\n" in run.said
    assert (run.verdict, run.cases) == (Verdict.PASS, high_cases(248))


@pytest.mark.parametrize("profile", ["chipset-four-level-quad", "fast-ttl-cache", "late-single-chip-22bit"])
def test_more_than_18_bits(profile: str) -> None:
    run = ran("memory-high", profile, 300, passes=1)
    assert f"  memory from 00160000 to {300 * 1024 - 2:08o}\r\n" in run.said
    assert (run.verdict, run.cases) == (Verdict.PASS, high_cases(300))


@pytest.mark.slow
@pytest.mark.parametrize(("profile", "kb"), [("late-single-chip-22bit", 4088), ("late-single-chip-sep", 3840)])
def test_all_of_22_bits(profile: str, kb: int) -> None:
    # with a bus map the last 248 KB are a window to the bus [processor-handbooks-1972-81]
    machine = rig(profile, kb=kb)
    run = run_program(machine, program("memory-high"), passes=1, switches=0, limit=1_000_000_000)
    assert f"  memory from 00160000 to {kb * 1024 - 2:08o}\r\n" in run.said
    assert (run.verdict, run.cases) == (Verdict.PASS, high_cases(kb))


def test_nothing_above_28k_words_is_said() -> None:
    run = ran("memory-high", "microcoded-mid", 56)
    assert run.said == HIGH_TITLE + "  nothing answers above 28K words\r\n" + ends("memory-high", 2, 0)


@pytest.mark.parametrize("core", ["fast", "reference"])
def test_high_memory_on_both_cores(core: str) -> None:
    assert ran("memory-high", "late-single-chip-22bit", 72, core=core).cases == high_cases(72)


@pytest.mark.parametrize(
    ("profile", "physical", "label", "told"),
    [
        ("two-board-ttl-mmu", 0o00230000, "tsdown", f"from 00220000: {KIND_TEXTS[1]}"),
        pytest.param(
            *("late-single-chip-22bit", 0o01030002, "tsdown", f"from 01020000: {KIND_TEXTS[1]}"), marks=pytest.mark.slow
        ),
        ("two-board-ttl-mmu", 0o00230000, "marked", f"from 00220000: {BLOCKS}"),
    ],
)
def test_a_word_that_changes_is_told_with_its_physical_address(
    profile: str, physical: int, label: str, told: str
) -> None:
    test, machine = program("memory-high"), rig(profile, kb=300 if physical > 0o777777 else 92)
    make_ready(machine, test, passes=1, switches=0)
    page = physical >> 6 & ~0o177
    while True:
        assert machine.run(until=Address(test.at(label)), limit=100_000_000).reason is Reason.REACHED
        if machine.memory.word(test.at("par")) == page:
            break
        machine.step()
    machine.memory.put(physical, machine.memory.word(physical) ^ 0o2000)
    run = carry_on(machine, test, passes=1)
    assert len(run.failures) == 1
    assert run.failures[0].endswith(told)
    assert f"xor 002000, bits 10, at {physical:08o}\r\n" in run.said


def test_memory_over_that_of_the_program_is_told_and_left_alone() -> None:
    test, machine = program("memory-high"), rig("two-board-ttl-mmu", kb=72)
    make_ready(machine, test, passes=1, switches=0)
    machine.run(until=Address(test.at("alone")), limit=10_000_000)
    scratch = test.at("scratch")
    while machine.memory.word(FIRST_HIGH + scratch) != 0o125252:  # what the program writes there
        machine.step()
    machine.memory.put(scratch, 0o125252)
    run = carry_on(machine, test, passes=1)
    assert run.failures == ("memory-high: failed, case 1: from 00160000: it is not the memory of this program",)
    assert "it lies over the memory of this program, and is not tested further" in run.said
    assert "1 failures" in run.said


# --- parity -----------------------------------------------------------------------------------------------------------


def test_without_a_parity_register_the_program_says_so() -> None:
    # the model has none
    run = run_program(rig("two-board-ttl-mmu"), program("parity"), passes=2, switches=0)
    assert run.said == PARITY_TITLE + "  nobody answers at 172100: nothing is tested\r\n" + ends("parity", 2, 0)


def test_a_register_that_holds_no_bits_fails() -> None:
    # an interface whose word at +4 can't be written stands for a register that is stuck at 0
    machine = rig("two-board-ttl-mmu", None, placement("parallel", 0o07770, (0o300, 5), (0o304, 5)))
    run = run_program(machine, program("parity"), passes=1, switches=0, where=Where(0o167774, 0o114))
    assert run.failures == ("parity: failed, case 1: bit 0 holds what is written",)
    assert " expected 000001, found 000000, xor 000001, bits 0" in run.said
    assert "no bit to write wrong parity: errors are not tested" in run.said


def test_a_register_that_sees_no_error_fails() -> None:
    # a latch of sixteen bits stands for it
    machine = rig("two-board-ttl-mmu", None, placement("parallel", 0o07770, (0o300, 5), (0o304, 5)))
    run = run_program(machine, program("parity"), passes=1, switches=0, where=Where(0o167772, 0o114))
    assert run.failures == ("parity: failed, case 3: a word of wrong parity: error bit",)
    assert "it may be the register of a board that does not hold this program" in run.said


def test_the_programs_need_what_their_heads_say() -> None:
    assert program("memory").needs == ()
    assert program("memory-high").needs == ("mmu",)
    assert (program("parity").device, program("parity").needs) == ("memory-parity", ())
    assert replace(program("memory")).memory_kb == 8
