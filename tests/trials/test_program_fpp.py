"""The program that tests the floating point processor: it passes with every unit, and can fail."""

from __future__ import annotations

import pytest
from arithmetic_programs import LOOP, owners, ran, spoiled, spoiled_machine, started_over

from minisim.machine.records import Reason
from minisim.trials.own import Verdict
from minisim.trials.programs import program

TITLE = "fpp: the floating point processor: all instructions, accumulators, modes, roundings and exceptions\r\n"
CASES = 1830
NOP = 0o240
UNIT = "chipset-four-level"


def test_all_kinds_of_unit_are_among_the_profiles_it_runs_on() -> None:
    # parallel units belong to the two fast processors [wiki-fpp-parallel], microcode to the second chip set
    assert {"fast-ttl-cache", "fast-ttl-three-mode", UNIT, "late-ttl-commercial"} <= set(owners("fpp"))
    assert "microcoded-mid" not in owners("fpp")


@pytest.mark.parametrize("profile", owners("fpp"))
def test_it_passes_on_every_processor_that_has_the_unit(profile: str) -> None:
    run = ran("fpp", profile)
    assert run.said == TITLE + "".join(f"fpp: end of pass {n}, {CASES} cases, 0 failures\r\n" for n in (1, 2))
    assert (run.verdict, run.passes, run.cases) == (Verdict.PASS, 2, CASES)


@pytest.mark.parametrize("profile", ["fast-ttl-cache", "late-single-chip-22bit"])
def test_it_passes_on_the_reference_core_alike(profile: str) -> None:
    assert ran("fpp", profile, core="reference") == ran("fpp", profile)


def test_it_needs_no_more_memory_than_it_says_and_no_other_option() -> None:
    assert ran("fpp", "two-board-ttl-mmu", options=["fpp"], kb=program("fpp").memory_kb).verdict is Verdict.PASS


def test_started_once_more_it_does_the_same() -> None:
    run, said = started_over("fpp", UNIT)
    assert run.verdict is Verdict.PASS
    assert said == run.said


def test_a_failure_tells_the_operands_and_what_of_them_is_wrong() -> None:
    # the first row of LDFPS: 0 is loaded, and 1 is made to be expected; LDFPS R0 has R0 and FPS before, FPS afterwards
    words = ("tf01", 0o20 + 3 * 2 + 2 * 2 + 2 * 2, 1)
    run = spoiled("fpp", UNIT, words)
    assert run.verdict is Verdict.FAIL
    assert run.said == (
        TITLE + "fpp: failed, case 1: LDFPS R0 000000 147757, floating status\r\n"
        " expected 000001, found 000000, xor 000001, bits 0\r\n"
        f"fpp: end of pass 1, {CASES} cases, 1 failures\r\n"
    )


@pytest.mark.parametrize(
    ("label", "distance", "value", "told"),
    [
        ("tkind", 0o16, 0, "modes: code and status 172414 000000, AC0 word 1"),
        ("tkind", 0o26, 0, "modes: code and status 172414 000000, memory word 1"),
        ("tmode", 0o16, 0, "modes: code and status 172424 000000, R4"),
        ("prime", 0, NOP, "error code (FEC)"),
        ("terror", 0o42, 0o12, "error code (FEC)"),
        ("terror", 0o44, 0, "floating status"),
        ("terror", 0o32, 0, "AC0 word 1"),
        ("ftrap", 4, NOP, "SP"),  # the trap's PS is left on the stack
        ("tnone", 0, 0o172405, "traps through 244"),  # accumulator 5 is legal
        ("tbehin", 0, 0o240, "PC saved by the trap"),
        ("extend", 0o6, NOP, "integers there and back"),
        ("tnarro", 0, 0o172003, "single against double precision"),
        ("wide64", 0o60, 0o5667, "every bit of double precision"),
    ],
)
def test_every_part_of_it_can_fail(label: str, distance: int, value: int, told: str) -> None:
    run = spoiled("fpp", UNIT, (label, distance, value))
    assert run.verdict is Verdict.FAIL
    assert any(told in line for line in run.failures)


def test_without_the_unit_the_first_instruction_traps() -> None:
    # codes 17xxxx trap through 10 without the option (row D42, from memory, firm)
    run = ran("fpp", UNIT, options=[])
    assert run.verdict is Verdict.FAIL
    assert run.failures[0].startswith("fpp: unexpected trap through 000010, PC ")


def test_a_case_that_failed_is_repeated_until_it_is_right() -> None:
    place = 0o20 + 3 * 2 + 2 * 2 + 2 * 2
    machine, run = spoiled_machine("fpp", UNIT, ("tf01", place, 1), switches=LOOP, limit=200_000)
    assert run.stop is not None
    assert run.stop.reason is Reason.LIMIT
    assert set(run.failures) == {"fpp: failed, case 1: LDFPS R0 000000 147757, floating status"}
    assert len(run.failures) > 1
    machine.memory.put(program("fpp").at("tf01") + place, 0)
    assert machine.run(limit=20_000_000).reason is Reason.HALTED
    said = bytes(machine.console.take()).decode("ascii")
    assert f"fpp: end of pass 1, {CASES} cases, " in said
    assert "case 2" not in said
