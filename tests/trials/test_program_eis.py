"""The program that tests MUL, DIV, ASH and ASHC: it passes everywhere, and it fails where something is wrong."""

from __future__ import annotations

import pytest
from arithmetic_programs import LOOP, owners, ran, spoiled, spoiled_machine, started_over

from minisim.machine.records import Reason
from minisim.trials.own import Verdict
from minisim.trials.programs import program

TITLE = "eis: MUL, DIV, ASH and ASHC with all registers and modes, against known results and base instructions\r\n"
NOP = 0o240


def test_the_module_is_looked_for_on_the_right_profiles() -> None:
    # seen in [wiki-eis]: an option of the first chip set and the mid-range processor, standard on the later ones
    assert {"chipset-one-level", "microcoded-mid", "two-board-ttl-mmu"} <= set(owners("eis"))
    assert "first-hardwired" not in owners("eis")


@pytest.mark.parametrize("profile", owners("eis"))
def test_it_passes_on_every_processor_that_has_the_instructions(profile: str) -> None:
    run = ran("eis", profile)
    assert run.said == TITLE + "".join(f"eis: end of pass {n}, 2418 cases, 0 failures\r\n" for n in (1, 2))
    assert (run.verdict, run.passes, run.cases) == (Verdict.PASS, 2, 2418)


@pytest.mark.parametrize("profile", ["chipset-one-level", "late-single-chip-22bit"])
def test_it_passes_on_the_reference_core_alike(profile: str) -> None:
    assert ran("eis", profile, core="reference") == ran("eis", profile)


def test_it_needs_8_kb_and_no_other_option() -> None:
    assert ran("eis", "chipset-one-level", options=["eis"], kb=8).verdict is Verdict.PASS


def test_started_once_more_it_does_the_same() -> None:
    run, said = started_over("eis", "chipset-one-level")
    assert run.verdict is Verdict.PASS
    assert said == run.said


def test_a_failure_tells_the_operands_and_what_of_them_is_wrong() -> None:
    # the first row, 3 x 5, made to expect 16 (octal); behind its words and places stand 3, 52525, 5, codes, 0, 17
    run = spoiled("eis", "two-board-ttl-mmu", ("tmul", 0o32 + 5 * 2, 0o16))
    assert run.verdict is Verdict.FAIL
    assert run.said == (
        TITLE + "eis: failed, case 1: MUL even register of 000003 052525 000005, R1\r\n"
        " expected 000016, found 000017, xor 000001, bits 0\r\n"
        "eis: end of pass 1, 2418 cases, 1 failures\r\n"
    )


def test_a_wrong_code_is_told() -> None:
    # the same row, made to expect C
    run = spoiled("eis", "two-board-ttl-mmu", ("tmul", 0o32 + 3 * 2, 0o000117))
    assert run.failures == ("eis: failed, case 1: MUL even register of 000003 052525 000005, codes N Z V C",)


@pytest.mark.parametrize(
    ("label", "distance", "value", "told"),
    [
        ("tregs", 0o12, 0, "MUL even register of"),  # a product of the table of registers
        ("tinst", 0o10, 1, "modes of the source: code"),  # results of the table of modes
        ("tmode", 0o6, 0, "modes of the source: code"),  # where the pointer stands afterwards
        ("single", 0o22, NOP, "ASH of"),  # the single shift to the left left out
        ("double", 0o44, NOP, "ASHC of"),  # ... to the right, of the high half
        ("produc", 0o50, NOP, "MUL"),  # a carry into the high half lost
        ("minus", 0, NOP, "MUL"),  # the other sign of a product
        ("divide", 0o112, NOP, "DIV of"),  # a bit of the quotient lost
        ("turns", 0o106, NOP, "ASHC odd register of"),  # every bit turned in is 1
    ],
)
def test_every_part_of_it_can_fail(label: str, distance: int, value: int, told: str) -> None:
    run = spoiled("eis", "chipset-four-level", (label, distance, value))
    assert run.verdict is Verdict.FAIL
    assert any(f": {told}" in line for line in run.failures)


def test_without_the_option_the_first_instruction_traps() -> None:
    # reserved instructions trap through 10 [handbook-1969]
    run = ran("eis", "chipset-one-level", options=["fis"])
    assert run.verdict is Verdict.FAIL
    assert run.failures[0].startswith("eis: unexpected trap through 000010, PC ")


def test_a_case_that_failed_is_repeated_until_it_is_right() -> None:
    machine, run = spoiled_machine(
        "eis", "two-board-ttl-mmu", ("tmul", 0o32 + 5 * 2, 0o16), switches=LOOP, limit=200_000
    )
    assert run.stop is not None
    assert run.stop.reason is Reason.LIMIT
    assert set(run.failures) == {"eis: failed, case 1: MUL even register of 000003 052525 000005, R1"}
    assert len(run.failures) > 1
    machine.memory.put(program("eis").at("tmul") + 0o32 + 5 * 2, 0o17)
    assert machine.run(limit=20_000_000).reason is Reason.HALTED
    said = bytes(machine.console.take()).decode("ascii")
    assert "eis: end of pass 1, 2418 cases, " in said
    assert "case 2" not in said
