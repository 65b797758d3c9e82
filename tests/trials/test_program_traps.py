"""The programs traps, rtt, ps and spl: they pass everywhere, and fail where something is wrong."""

from __future__ import annotations

import pytest
from arithmetic_programs import ran, spoiled
from program_rig import placement, rig

from minisim.catalogue.reader import Catalogue
from minisim.cpu.profile import named
from minisim.trials.own import Verdict, run_program
from minisim.trials.programs import program
from minisim.trials.runner import fitted_modules

PROFILES = Catalogue().ids("profiles")
TITLE = "traps: traps and interrupts: vectors, what is saved, priorities, WAIT, RESET, trace, missing addresses\r\n"
EVENT_LINE = placement("event-line", 0o17546, (0o100, 6))
NOP = 0o240
UNMARKED = "\0\0"  # two letters that print nothing are sent while WAIT waits

# Cases on every processor with a console line, counted by hand.
ALWAYS = sum(
    (
        10 * 16,  # EMT, TRAP, BPT, IOT with all codes
        8,  # priorities from a vector
        0o50 + 0o400,  # reserved codes
        2,  # JMP and JSR to a register
        8 + 2,  # where nobody answers
        3,  # odd addresses
        16,  # RTI
        1,  # T
        1 + 4 + 1,  # stack limit
        2,  # RESET
        8 + 1,  # the transmitter, WAIT
    )
)
REQUESTS, WORD, STEPS = 7, 16 + 8 + 1, 1


def cases(profile: str) -> int:
    """ALWAYS, and what the rows D22 and D15 and the program request register bring."""
    flags = named(profile)
    requests = profile.startswith(("fast-ttl", "late-"))  # 777772: processor.md of those, from memory
    addressed = flags.model("ps_access") != "instructions"
    late = flags.model("rti_sets_t") == "after_next"
    return ALWAYS + requests * REQUESTS + addressed * WORD + late * STEPS


def _owners(module: str) -> list[str]:
    return [profile for profile in PROFILES if module in fitted_modules(int(rig(profile)._raw.modules))]


def _at(name: str, label: str, word: int, nth: int = 0) -> int:
    """How far behind a label a word stands for the nth time."""
    test = program(name)
    data = {
        block.address + at: block.data[at : at + 2] for block in test.program.blocks for at in range(len(block.data))
    }
    start = test.at(label)
    found = [at - start for at in sorted(data) if at >= start and not at & 1 and data[at] == word.to_bytes(2, "little")]
    return found[nth]


@pytest.mark.parametrize("profile", PROFILES)
def test_traps_pass_on_every_processor(profile: str) -> None:
    run = ran("traps", profile, kb=8, options=[])
    count = cases(profile)
    said = TITLE + "".join(f"{UNMARKED}traps: end of pass {n}, {count} cases, 0 failures\r\n" for n in (1, 2))
    # where HALT starts again (D38) the run ends just before it, with the last letters on their way
    assert run.said == (said.rstrip() if profile == "small-single-chip" else said)
    assert (run.verdict, run.passes, run.cases) == (Verdict.PASS, 2, count)


@pytest.mark.parametrize("profile", ["first-hardwired", "chipset-one-level", "late-single-chip-22bit"])
def test_traps_pass_on_the_reference_core_alike(profile: str) -> None:
    assert ran("traps", profile, core="reference") == ran("traps", profile)


@pytest.mark.parametrize("name", ["traps", "ps", "spl"])
@pytest.mark.parametrize("profile", ["chipset-one-level", "late-single-chip-22bit"])
def test_an_event_line_that_ticks_all_the_time_does_no_harm(name: str, profile: str) -> None:
    machine = rig(profile, None, EVENT_LINE)
    if not set(program(name).needs) <= set(fitted_modules(int(machine._raw.modules))):
        pytest.skip("the processor has no such instruction")
    assert run_program(machine, program(name), passes=4, switches=0).verdict is Verdict.PASS


def test_a_failure_is_told_in_full() -> None:
    # NOP among the reserved codes, where 007400 should follow
    run = spoiled("traps", "two-board-ttl-mmu", ("reserv", _at("traps", "reserv", 0o7400), NOP))
    assert run.verdict is Verdict.FAIL
    first = run.said.removeprefix(TITLE).split("\r\n")[:2]
    case = 10 * 16 + 8 + 0o50 + 1
    assert first == [
        f"traps: failed, case {case}: a reserved instruction traps through 10",
        " expected 000001, found 000000, xor 000001, bits 0",
    ]


@pytest.mark.parametrize(
    ("label", "word", "value", "told"),
    [
        ("tfour", 0o104000, 0o104400, "unexpected trap through 000034"),  # another vector
        ("catch", 0o011667, 0o016667, "traps"),  # PC taken from another place
        ("snap", 2, 4, "EMT traps through 30"),  # another PS
        ("traced", 0o340, 0o140, "T set by RTI traps once through 14"),
        ("limits", 0o402, 0o376, "a word pushed at 400 is within any stack"),
        ("masks", 0o100, 0o000, "the transmitter interrupts below priority 4"),
        ("reset", 0o5, NOP, "RESET leaves registers alone and clears the enable of the transmitter"),
        ("maskl", 0o200, 0o240, "the transmitter interrupts below priority 4"),
        ("asks", 0o1000, 0o2000, "a program request interrupts below its level"),
        ("psword", 0o340, 0o300, "PS can be read at 177776"),
        ("nobody", 0o137, NOP, "a jump to where nobody answers traps through 4"),
    ],
)
def test_every_part_can_fail(label: str, word: int, value: int, told: str) -> None:
    run = spoiled("traps", "late-ttl-commercial", (label, _at("traps", label, word), value), limit=5_000_000)
    assert run.verdict is Verdict.FAIL
    assert any(told in line for line in run.failures), run.failures[:3]


def test_a_vector_of_which_only_the_pc_is_taken_is_told() -> None:
    # CLR (R0) and NOP for MOV newps,(R0): the service runs with a PS of 0
    at = _at("traps", "shoot", 0o016710)
    run = spoiled("traps", "microcoded-mid", ("shoot", at, 0o5010), ("shoot", at + 2, NOP))
    assert any("the vector gives codes and priority" in line for line in run.failures)


def test_wait_that_does_not_wait_is_told() -> None:
    run = spoiled("traps", "fast-ttl-cache", ("wait1", 0, NOP))
    assert len(run.failures) == 1
    assert run.failures[0].endswith(": WAIT ends with an interrupt")


def test_a_transmitter_that_is_never_ready_is_told_and_not_waited_for_without_end() -> None:
    # BMI behind the look at its status left out
    run = spoiled("traps", "two-board-ttl-mmu", ("ready", 8, NOP), limit=60_000_000)
    assert run.verdict is Verdict.FAIL
    assert " the transmitter is not ready\r\n" in run.said


# --- rtt, ps, spl -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "module", "count"),
    [("rtt", "rtt", 16 + 7 + 1), ("ps", "ps", 2 * 59 + 16 + 8), ("spl", "spl", 8 * 16)],
)
def test_the_others_pass_on_every_processor_that_has_the_instructions(name: str, module: str, count: int) -> None:
    assert program(name).needs == (module,)
    for profile in _owners(module):
        run = ran(name, profile, kb=8, options=[])
        assert (run.verdict, run.passes, run.cases) == (Verdict.PASS, 2, count), profile
    assert ran(name, _owners(module)[-1], core="reference").verdict is Verdict.PASS


def test_the_rows_say_who_has_them() -> None:
    # rows D14, D22, D12 (unconfirmed)
    assert set(PROFILES) - set(_owners("rtt")) == {"first-hardwired", "two-board-ttl-basic"}
    assert set(_owners("ps")) == {name for name in PROFILES if named(name).model("ps_access") != "address"}
    assert set(_owners("spl")) == {name for name in PROFILES if named(name).model("spl") == "yes"}


@pytest.mark.parametrize(
    ("name", "label", "word", "value", "told"),
    [
        ("rtt", "tpcs", program("rtt").at("step2"), 0, "T traps after each instruction, so many times"),
        ("rtt", "backto", 0o6, NOP, "RTT brings back PC and PS"),  # RTT left out
        ("ps", "emtps", 0o106400, 0o105700, "MTPS"),  # TSTB in its place
        ("ps", "emfps", 0o106700, 0o105000, "MFPS"),  # CLRB in its place
        ("ps", "levels", 0o106701, NOP, "MTPS and MFPS of a priority"),
        ("spl", "run", 0o230, 0o231, "SPL"),
    ],
)
def test_the_others_can_fail(name: str, label: str, word: int, value: int, told: str) -> None:
    run = spoiled(name, "late-single-chip-22bit", (label, _at(name, label, word), value), limit=5_000_000)
    assert run.verdict is Verdict.FAIL
    assert any(told in line for line in run.failures)


def test_reserved_where_they_are_not() -> None:
    # reserved instructions trap through 10 [handbook-1969]
    for name in ("rtt", "ps", "spl"):
        assert ran(name, "first-hardwired").failures[0].startswith(f"{name}: unexpected trap through 000010, PC ")
