"""The program that tests floating arithmetic on four words: it passes on both units, and can fail."""

from __future__ import annotations

import pytest
from arithmetic_programs import LOOP, owners, ran, spoiled, spoiled_machine, started_over

from minisim.machine.records import Reason
from minisim.trials.own import Verdict
from minisim.trials.programs import program

TITLE = "fis: FADD, FSUB, FMUL and FDIV, through every register, against known results and whole numbers\r\n"
CASES = 489
NOP = 0o240
FIRST_ROW = 0o12
"""Text, end, instruction, trap and a zero stand before the rows of a table."""


def test_only_two_processors_can_have_the_option() -> None:
    # facts of the option, from memory, firm: the mid-range processor and the first chip set
    assert owners("fis") == ["chipset-one-level", "microcoded-mid"]


@pytest.mark.parametrize("core", ["fast", "reference"])
@pytest.mark.parametrize("profile", owners("fis"))
def test_it_passes_on_both_units(profile: str, core: str) -> None:
    run = ran("fis", profile, core=core)
    assert run.said == TITLE + "".join(f"fis: end of pass {n}, {CASES} cases, 0 failures\r\n" for n in (1, 2))
    assert (run.verdict, run.passes, run.cases) == (Verdict.PASS, 2, CASES)


def test_it_needs_8_kb_and_no_other_option() -> None:
    assert ran("fis", "chipset-one-level", options=["fis"], kb=8).verdict is Verdict.PASS


def test_started_once_more_it_does_the_same() -> None:
    run, said = started_over("fis", "chipset-one-level")
    assert run.verdict is Verdict.PASS
    assert said == run.said


def test_a_failure_tells_the_operands_and_what_of_them_is_wrong() -> None:
    # 1 + 2 made to expect 4 (040600) instead of 3 (040500); a row is B, A, codes, result
    run = spoiled("fis", "microcoded-mid", ("tfadd", FIRST_ROW + 5 * 2, 0o40600))
    assert run.verdict is Verdict.FAIL
    assert run.said == (
        TITLE + "fis: failed, case 1: FADD of 040400 000000 and 040200 000000, code 075000, word 1\r\n"
        " expected 040600, found 040500, xor 000300, bits 6 7\r\n"
        f"fis: end of pass 1, {CASES} cases, 1 failures\r\n"
    )


@pytest.mark.parametrize(
    ("label", "distance", "value", "told"),
    [
        ("tfdiv", FIRST_ROW + 4 * 2, 0o000117, "codes N Z V C"),
        ("toadd", 6, 0, "traps through 244"),  # the table is made to wait for no trap
        ("tuadd", 6, 0, "traps through 244"),
        ("tzdiv", FIRST_ROW + 4 * 2, 0o001204, "codes N Z V C"),  # C of a division by zero
        ("tregs", 0o2, 0, "every register,"),
        ("tregs", 0o12, 0, "on the stack,"),
        ("adds", 0o26, 0o5667, "FADD of"),  # the carry is taken off
        ("float", 0o32, 0o241, "FMUL of"),  # every exponent one more
        ("ftrap", 0o26, 0o177777, "codes N Z V C"),
        ("produc", 0o50, NOP, "FMUL of"),  # a carry lost
    ],
)
def test_every_part_of_it_can_fail(label: str, distance: int, value: int, told: str) -> None:
    run = spoiled("fis", "chipset-one-level", (label, distance, value))
    assert run.verdict is Verdict.FAIL
    assert any(told in line for line in run.failures)


def test_without_the_option_the_first_instruction_traps() -> None:
    # reserved instructions trap through 10 [handbook-1969]
    run = ran("fis", "microcoded-mid", options=["eis"])
    assert run.verdict is Verdict.FAIL
    assert run.failures[0].startswith("fis: unexpected trap through 000010, PC ")


def test_a_case_that_failed_is_repeated_until_it_is_right() -> None:
    place = FIRST_ROW + 5 * 2
    machine, run = spoiled_machine("fis", "microcoded-mid", ("tfadd", place, 0), switches=LOOP, limit=200_000)
    assert run.stop is not None
    assert run.stop.reason is Reason.LIMIT
    assert set(run.failures) == {"fis: failed, case 1: FADD of 040400 000000 and 040200 000000, code 075000, word 1"}
    assert len(run.failures) > 1
    machine.memory.put(program("fis").at("tfadd") + place, 0o40500)
    assert machine.run(limit=20_000_000).reason is Reason.HALTED
    said = bytes(machine.console.take()).decode("ascii")
    assert f"fis: end of pass 1, {CASES} cases, " in said
    assert "case 2" not in said
