"""The programs that test memory management and the bus map: they pass everywhere, and fail where something is wrong."""

from __future__ import annotations

import pytest
from arithmetic_programs import owners, ran, spoiled
from few import few
from program_rig import rig

from minisim.machine.machine import Machine
from minisim.machine.records import Address, Reason
from minisim.trials.own import Verdict, carry_on, make_ready
from minisim.trials.programs import program

TITLE = "mmu: memory management: pages of all modes, lengths, access, aborts, modes and spaces\r\n"
MAP_TITLE = "bus-map: the registers of the bus map, and the memory they lead to\r\n"
THREE_MODES = {
    "fast-ttl-three-mode", "fast-ttl-cache", "late-ttl-commercial", "late-single-chip-22bit", "late-single-chip-quad",
    "late-single-chip-sep",
}  # fmt: skip
ROW = 0o26  # bytes of a row of references
EXPECTED_VECTOR, EXPECTED_ABORT, EXPECTED_STEP = 0o12, 0o14, 0o16
EXPECTED_R0, EXPECTED_WORD, EXPECTED_MARKS = 0o20, 0o22, 0o24


def ends(name: str, cases: int, failures: int = 0, passes: int = 2) -> str:
    return "".join(
        f"{name}: end of pass {number}, {cases} cases, {failures} failures\r\n" for number in range(1, passes + 1)
    )


@pytest.mark.parametrize("profile", few(owners("mmu"), 2))
def test_it_passes_on_every_processor_with_memory_management(profile: str) -> None:
    run = ran("mmu", profile)
    assert run.said == TITLE + ends("mmu", run.cases)
    assert (run.verdict, run.passes) == (Verdict.PASS, 2)
    # supervisor mode, its pages and split spaces are found: [wiki-mmu] and row D51
    assert (run.cases > 1000) is (profile in THREE_MODES)
    assert run.cases > 800


@pytest.mark.parametrize("profile", ["microcoded-mid", "fast-ttl-cache"])
def test_it_passes_on_the_reference_core_alike(profile: str) -> None:
    assert ran("mmu", profile, core="reference") == ran("mmu", profile)


def test_it_needs_no_more_memory_than_its_head_says() -> None:
    test = program("mmu")
    assert test.memory_kb == 32
    assert test.at("theend") <= test.at("plain")
    assert ran("mmu", "two-board-ttl-mmu", kb=test.memory_kb).verdict is Verdict.PASS


def test_without_memory_management_its_registers_do_not_answer() -> None:
    # bus errors trap through 4 [handbook-1969]
    run = ran("mmu", "two-board-ttl-basic")
    assert run.verdict is Verdict.FAIL
    assert run.failures[0].startswith("mmu: unexpected trap through 000004, PC ")


def test_a_failure_tells_mode_page_and_what_is_wrong() -> None:
    # the first row is a read of 000007 that must leave it in R0; made to expect 000107
    run = spoiled("mmu", "two-board-ttl-mmu", ("rows", EXPECTED_R0, 0o107))
    assert run.verdict is Verdict.FAIL
    wrong = [f"kernel page {page}" for page in range(2, 7)] + [f"user page {page}" for page in range(2, 8)]
    first = int(run.failures[0].split("case ")[1].split(":")[0])
    assert run.said == (
        TITLE
        + "".join(
            f"mmu: failed, case {first + number}: {page}: read, R0\r\n"
            " expected 000107, found 000007, xor 000100, bits 6\r\n"
            for number, page in enumerate(wrong)
        )
        + ends("mmu", run.cases, len(wrong), 1)
    )


@pytest.mark.parametrize(
    ("label", "distance", "value", "told"),
    [
        ("rows", EXPECTED_VECTOR, 0o250, "kernel page 2: read, vector (34: none)"),
        ("rows", EXPECTED_STEP, 2, "kernel page 2: read, R1"),
        ("rows", EXPECTED_WORD, 0, "kernel page 2: read, the word in memory"),
        ("rows", EXPECTED_MARKS, 0o100, "kernel page 2: read, PDR"),
        ("rows", 10 * ROW + EXPECTED_ABORT, 0o40000, "kernel page 2: page not there, MMR0"),
        ("rows", 16 * ROW + EXPECTED_ABORT, 0, "kernel page 2: write on a page for reading only, MMR0"),
        ("rows2", EXPECTED_VECTOR, 0o34, "kernel page 2: access code that is not used, vector (34: none)"),
        ("reads", 6, 4, "kernel page 2: each word is found through the page"),  # every other address is expected
        ("prio", 0o20, 0o300, "user page 0: SPL does not change the priority"),
    ],
)
def test_every_part_of_it_can_fail(label: str, distance: int, value: int, told: str) -> None:
    run = spoiled("mmu", "two-board-ttl-mmu", (label, distance, value), limit=8_000_000)
    assert run.verdict is Verdict.FAIL
    assert run.failures[0].endswith(f": {told}"), run.failures[0]


@pytest.mark.parametrize(
    ("label", "distance", "value", "told"),
    [
        ("rows3", EXPECTED_VECTOR, 0o34, "kernel page 2: access code that is not used, vector (34: none)"),
        ("trap3", 6, 0o34, "kernel page 3: access 1: a read traps"),
        ("twos", 4, 0o11022, "MMR1 records two steps"),
    ],
)
def test_what_only_some_processors_have_can_fail_too(label: str, distance: int, value: int, told: str) -> None:
    run = spoiled("mmu", "fast-ttl-cache", (label, distance, value))
    assert run.failures[0].endswith(f": {told}"), run.failures[0]


def stopped_at(profile: str, name: str, label: str, times: int = 1) -> Machine:
    """A machine that has come to a label of the program so many times."""
    machine, test = rig(profile), program(name)
    make_ready(machine, test, passes=1, switches=0)
    for _ in range(times):
        assert machine.run(until=Address(test.at(label)), limit=20_000_000).reason is Reason.REACHED
        if times > 1:
            machine.step()
    return machine


def test_a_register_that_loses_a_word_is_told() -> None:
    # the second time round each register is looked at
    machine = stopped_at("two-board-ttl-mmu", "mmu", "every", times=2)
    machine.write(0o177646, machine.read(0o177646) ^ 0o400)
    run = carry_on(machine, program("mmu"))
    assert run.failures == ("mmu: failed, case 7: all PAR and PDR hold words of their own",)
    assert ", xor 000400, bits 8" in run.said


def test_what_can_not_run_at_all_ends_soon() -> None:
    # a page 7 that ends before MMR0: the program can't reach the register that turns it off, but RESET does
    machine = stopped_at("two-board-ttl-mmu", "mmu", "alive")
    machine.run(until=Address(program("mmu").at("hushed")), limit=100_000)
    machine.write(0o172316, 0o000006)
    run = carry_on(machine, program("mmu"))
    assert run.failures == ("mmu: failed, case 8: this program and the I/O page are reached with memory management on",)
    assert " they are not; nothing further is tested\r\nmmu: end of pass 1, 8 cases, 1 failures\r\n" in run.said


# --- the bus map ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("profile", owners("map"))
def test_the_bus_map_passes_on_every_processor_that_has_it(profile: str) -> None:
    run = ran("bus-map", profile)
    # 31 registers by themselves, together, 31 that lead, 12 sums, writes, 6 upper bits, off, the I/O page
    cases = 31 + 1 + 31 + 12 + 1 + 6 + 1 + 1
    assert run.said == MAP_TITLE + ends("bus-map", cases)
    assert run.verdict is Verdict.PASS


def test_the_bus_map_with_memory_behind_all_bits_but_one() -> None:
    assert ran("bus-map", "late-single-chip-sep", kb=2048).verdict is Verdict.PASS
    assert ran("bus-map", "fast-ttl-cache", core="reference") == ran("bus-map", "fast-ttl-cache")


def test_without_the_map_its_registers_do_not_answer() -> None:
    assert ran("bus-map", "late-single-chip-22bit").failures[0].startswith("bus-map: unexpected trap through 000004")


def test_a_map_register_that_loses_a_word_is_told() -> None:
    machine = stopped_at("fast-ttl-cache", "bus-map", "ours")
    machine.run(until=Address(program("bus-map").at("leads") + 0o22), limit=100_000)
    machine.memory.put(0o40100, 0)
    run = carry_on(machine, program("bus-map"))
    assert run.failures[0] == "bus-map: failed, case 33: each register leads to memory, every word of 8 KB"
    assert " expected 040100, found 000000, xor 040100, bits 6 14" in run.said


@pytest.mark.parametrize(
    ("label", "distance", "value", "told"),
    [
        ("pats", 2, 0o125253, "each register holds what is written"),  # bit 0 can't be set
        ("off", 0o36, 0o60, "the map off and on"),  # not switched off
    ],
)
def test_the_bus_map_can_fail(label: str, distance: int, value: int, told: str) -> None:
    run = spoiled("bus-map", "fast-ttl-cache", (label, distance, value))
    assert run.failures[0].endswith(f": {told}"), run.failures
