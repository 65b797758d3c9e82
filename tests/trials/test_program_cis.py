"""The program that tests the commercial instructions: it passes where they are, and fails where something is wrong."""

from __future__ import annotations

import pytest
from arithmetic_programs import LOOP, owners, ran, spoiled, spoiled_machine, started_over
from program_rig import rig

from minisim.machine.records import Reason
from minisim.trials.own import HALT_ON_FAILURE, Verdict, run_program
from minisim.trials.programs import program

TITLE = (
    "cis: the commercial instructions for strings and decimals (most of what it expects is unconfirmed)\r\n"
)  # fmt: skip
CASES = 2861
NOP = 0o240
PROCESSOR = "late-ttl-commercial"
FIRST_ROW = 6
"""Text, end and what is known of the instruction stand before the rows of a table."""


def test_the_option_is_looked_for_on_the_right_profiles() -> None:
    # seen, [wiki-cis]: the second chip set and the late TTL processor
    assert set(owners("cis")) == {
        PROCESSOR, "chipset-four-level", "chipset-four-level-quad", "chipset-four-level-sep",
    }  # fmt: skip


@pytest.mark.parametrize("profile", owners("cis"))
def test_it_passes_on_every_processor_that_can_have_the_option(profile: str) -> None:
    run = ran("cis", profile)
    assert run.said == TITLE + "".join(f"cis: end of pass {n}, {CASES} cases, 0 failures\r\n" for n in (1, 2))
    assert (run.verdict, run.passes, run.cases) == (Verdict.PASS, 2, CASES)


def test_it_passes_on_the_reference_core_alike() -> None:
    assert ran("cis", PROCESSOR, core="reference") == ran("cis", PROCESSOR)


def test_it_needs_no_more_memory_than_it_says_and_no_other_option() -> None:
    assert ran("cis", PROCESSOR, options=["cis"], kb=program("cis").memory_kb).verdict is Verdict.PASS


def test_started_once_more_it_does_the_same() -> None:
    run, said = started_over("cis", PROCESSOR)
    assert run.verdict is Verdict.PASS
    assert said == run.said


def test_a_failure_tells_the_operands_and_the_place_in_memory() -> None:
    # MOVC of five characters to three places: its row has codes, registers, five that are given, four that are
    # found, then the bytes of the source: C becomes B.
    test = program("cis")
    place = FIRST_ROW + 11 * 2 + 4
    at = test.at("tmovc") + place
    block = next(each for each in test.program.blocks if each.address <= at < each.address + len(each.data))
    assert block.data[at - block.address :][:2] == b"CD"
    run = spoiled("cis", PROCESSOR, ("tmovc", place, 0o42102))
    assert run.verdict is Verdict.FAIL
    sa, sd = test.at("sa"), test.at("sd")
    told = f"MOVC 076030 000005 {sa:06o} 000003 {sd:06o} 000052 065656, strings in memory"
    assert run.said.startswith(
        TITLE + f"cis: failed, case 1: {told}\r\n"
        f" expected 125103, found 125102, xor 000001, bits 0, at {sd + 2:08o}\r\n"
        f"cis: failed, case 2: {told.replace('076030', '076130')}\r\n"
    )
    assert run.said.endswith(f"cis: end of pass 1, {CASES} cases, 2 failures\r\n")


@pytest.mark.parametrize(
    ("label", "distance", "value", "told"),
    [
        ("tmovc", FIRST_ROW, 0o000117, "codes N Z V C"),
        ("tmovc", FIRST_ROW + 2 * 7, 1, ", R0"),
        ("tlocc", FIRST_ROW, 0o000417, "LOCC "),
        ("caddp", 0, 0o76071, "ADDP "),  # another instruction
        ("ccvtnl", 4, 0, "number in memory"),  # no number is waited for behind the instruction
        ("tload", 0o24, 0, "R4"),
        ("finds", 0o14, NOP, "LOCC "),  # a letter is never found
        ("mover", 0o12, NOP, "MOVRC "),  # from the wrong end
        ("tnone", 0, NOP, "traps through 10"),
        ("punch", 0, 0o40473, "strings in memory"),
        ("punch", 0o12, 0o45174, "strings in memory"),
        ("tens", 0o42, 0o1751, "strings in memory"),
        ("minus", 0, 0o5767, "MULP "),  # TST for COM
    ],
)
def test_every_part_of_it_can_fail(label: str, distance: int, value: int, told: str) -> None:
    run = spoiled("cis", PROCESSOR, (label, distance, value), limit=40_000_000)
    assert run.verdict is Verdict.FAIL
    assert any(told in line for line in run.failures)


def test_without_the_option_the_first_case_tells_the_trap() -> None:
    # the whole range traps to 10 without the option (from memory, firm); the program catches that itself
    machine = rig(PROCESSOR, ["fpp"])
    run = run_program(machine, program("cis"), switches=HALT_ON_FAILURE)
    assert run.verdict is Verdict.FAIL
    assert run.failures[0].startswith("cis: failed, case 1: MOVC 076030 ")


def test_a_case_that_failed_is_repeated_until_it_is_right() -> None:
    machine, run = spoiled_machine("cis", PROCESSOR, ("tmovc", FIRST_ROW, 0o000117), switches=LOOP, limit=400_000)
    assert run.stop is not None
    assert run.stop.reason is Reason.LIMIT
    assert {line.split(":")[1] for line in run.failures} == {" failed, case 1"}
    assert len(run.failures) > 1
    machine.memory.put(program("cis").at("tmovc") + FIRST_ROW, 0o000017)
    assert machine.run(limit=40_000_000).reason is Reason.HALTED
    said = bytes(machine.console.take()).decode("ascii")
    assert f"cis: end of pass 1, {CASES} cases, " in said
    assert "case 2" not in said
