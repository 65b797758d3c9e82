"""What running a case compares, what it leaves alone, and why it may not run."""

from __future__ import annotations

import pytest

from minisim.catalogue.reader import Catalogue
from minisim.trials.model import Result, Status
from minisim.trials.reader import read_text
from minisim.trials.runner import Bench

HEAD = """\
trials: 1
title: t
needs: [base]
source: null
evidence: derived
tables:
  - id: t
    about: a
    rows:
"""
CATALOGUE = Catalogue()
LATE, FIRST = "late-ttl-commercial", "first-hardwired"


def run(row: str, profile: str = LATE, options: tuple[str, ...] | None = None, core: str = "fast") -> Result:
    (case,) = read_text(f"{HEAD}      - {{id: a, {row}}}\n".encode(), "x.yaml", "x").cases
    return Bench(CATALOGUE.profile(profile), options, core=core).result(case)


def found(result: Result) -> list[tuple[str, str, str]]:
    return [(each.what, each.documented, each.found) for each in result.differences]


def test_a_case_that_agrees_agrees_on_both_cores() -> None:
    row = "program: 'ADD R0,R1', given: {r0: '1', r1: '077777', nzvc: '0101'}, then: {r1: '100000', nzvc: '1010'}"
    for core in ("fast", "reference"):
        assert run(row, core=core).status is Status.AGREES


def test_a_difference_tells_both_values_their_xor_and_the_bits() -> None:
    result = run("program: INC R1, given: {r1: '000005'}, then: {r1: '000003'}")
    (one,) = result.differences
    assert result.status is Status.DIFFERS
    assert (one.documented, one.found, one.xor, one.bits) == ("000003", "000006", "000005", (0, 2))
    assert one.words == "R1 differs in bits 2, 0"


def test_condition_codes_are_told_one_by_one() -> None:
    result = run("program: CLR R1, then: {r1: '0', nzvc: 100x}")
    assert [(one.what, one.found, one.words) for one in result.differences] == [("nzvc", "0100", "N is 0, Z is 1")]


def test_a_code_that_must_stay_is_held_against_what_was_given() -> None:
    assert run("program: INC R1, given: {nzvc: '0001'}, then: {r1: '1', nzvc: 000-}").status is Status.AGREES
    assert run("program: TST R1, given: {nzvc: '0001'}, then: {nzvc: 010-}").status is Status.DIFFERS


def test_registers_that_are_not_listed_keep_their_values() -> None:
    row = "program: 'MOV R1,R2', given: {r1: '5'}, then: {r1: '5'}"
    assert found(run(row)) == [("r2", "000000", "000005")]
    assert run(f"{row}, mask: [r2]").status is Status.AGREES
    assert run(f"{row}, mask: [all-registers]").status is Status.AGREES


def test_memory_that_is_named_in_given_keeps_its_value_unless_it_is_masked() -> None:
    row = "program: 'CLR @#2000', given: {word 002000: '7'}, then: {}"
    assert found(run(row)) == [("word 002000", "000007", "000000")]
    assert run(f"{row}, mask: [memory]").status is Status.AGREES
    assert run(f"{row}, mask: [word 002000]").status is Status.AGREES
    assert run(row.replace("then: {}", "then: {byte 002000: '0'}")).status is Status.AGREES


def test_pc_stands_behind_the_instructions_that_ran() -> None:
    assert run("program: 'MOV #1,R0; NOP; NOP', steps: 2, then: {r0: '1'}").status is Status.AGREES
    assert found(run("program: 'BR 1010', then: {}")) == [("pc", "001002", "001010")]
    assert run("program: 'BR 1010', then: {pc: '001010'}").status is Status.AGREES


def test_a_trap_that_nobody_expects_is_a_difference() -> None:
    result = run("words: ['000020'], given: {word 000010: '2000'}, then: {}", FIRST)
    assert ("trap", "none", "010") in found(result)
    assert [one.words for one in result.differences if one.what == "trap"] == [
        "a trap through 10; documented is no trap"
    ]


def test_a_trap_that_is_expected_may_push() -> None:
    row = "words: ['000020'], given: {sp: '000600', word 000010: '2000', word 000576: '7'}, then: {trap: '10'}"
    assert run(row).status is Status.AGREES
    assert found(run(row.replace("'10'}", "'4'}"))) == [("trap", "004", "010")]
    more = row.replace("{trap: '10'}", "{trap: '10', sp: '000574', pc: '002000', word 000574: '001002'}")
    assert run(more).status is Status.AGREES


def test_nothing_of_one_case_is_left_for_the_next() -> None:
    texts = [
        "{id: a, program: 'MOV #123,@#2000; SEC; MOV #7,@#164014', steps: 3, then: {word 002000: '123', nzvc: xxx1}}",
        "{id: b, program: 'ADC R0', then: {nzvc: '0100', word 002000: '0', register 764014: '0', trap: none}}",
    ]
    file = read_text((HEAD + "".join(f"      - {text}\n" for text in texts)).encode(), "x.yaml", "x")
    bench = Bench(CATALOGUE.profile(LATE))
    assert [bench.result(case).status for case in (*file.cases, *file.cases)] == [Status.AGREES] * 4


def test_the_trial_card_interrupts_at_its_level_and_vector() -> None:
    vector = "word 000300: '2000', word 000302: '340'"
    row = f"program: NOP, given: {{request: '5 300', {vector}, word 002000: '000240', ps: '%s'}}"
    taken, masked = row % "000200", row % "000240"
    assert run(f"{taken}, then: {{trap: '300', pc: '002002', ps: '000340', sp: '000674'}}").status is Status.AGREES
    assert run(f"{masked}, then: {{trap: none}}").status is Status.AGREES


def test_a_program_can_raise_a_request_of_the_trial_card() -> None:
    row = "program: 'MOV #20,@#164000; NOP', steps: 2, given: {word 000300: '2000', word 002000: '000240'}"
    assert run(f"{row}, then: {{trap: '300', pc: '002002'}}").status is Status.AGREES


def test_one_word_of_the_trial_card_answers_writes_only_and_one_reads_only() -> None:
    given = "given: {word 000004: '2000'}"
    write = f"program: 'MOV #5,@#164010', {given}"
    assert run(f"{write}, then: {{trap: none, register 764014: '5'}}").status is Status.AGREES
    assert run(f"program: 'TST @#164010', {given}, then: {{trap: '4'}}").status is Status.AGREES
    assert run(f"program: 'MOV @#164012,R0', {given}, then: {{r0: '052525'}}").status is Status.AGREES
    assert run(f"program: 'MOV R0,@#164012', {given}, then: {{trap: '4'}}").status is Status.AGREES


def test_cycles_are_those_of_the_last_step_beyond_fetches() -> None:
    row = "program: 'NOP; INC @#2000', steps: 2, then: {word 002000: '1', cycles: '%s'}"
    assert run(row % "read 002000,  write 002000").status is Status.AGREES
    assert found(run(row % "none")) == [("cycles", "none", "read 002000, write 002000")]


def test_time_and_instructions_are_those_of_the_run() -> None:
    # what an instruction takes is tested elsewhere
    result = run("program: 'NOP; NOP', steps: 2, then: {instructions: '3', time-ns: '1'}")
    assert found(result)[0] == ("instructions", "3", "2")
    assert result.differences[1].what == "time-ns"


def test_a_halt_is_seen() -> None:
    assert run("program: HALT, then: {halted: yes}").status is Status.AGREES
    assert [one.words for one in run("program: NOP, then: {halted: yes}").differences] == [
        "the processor has not halted"
    ]


def test_a_case_says_which_options_are_fitted() -> None:
    row = "words: ['070001'], given: {options: '%s', word 000010: '2000'}, then: {trap: '10'}"
    assert run(row % "", "chipset-one-level").status is Status.AGREES
    assert run(row % "eis", "chipset-one-level").status is Status.DIFFERS
    assert run(row % "eis", FIRST).reason == "first-hardwired can't have eis"


def test_a_case_that_must_do_without_an_option_gets_a_machine_without_it() -> None:
    row = "words: ['070001'], without: [eis], given: {word 000010: '2000'}, then: {trap: '10'}"
    assert run(row, "chipset-one-level").status is Status.AGREES
    assert run(row, "chipset-one-level", ("eis",)).reason == "eis is fitted"
    assert run(row, LATE).reason == "eis is fitted"  # standard there


def test_a_case_is_not_fitted_where_its_module_is_not() -> None:
    row = "needs: [eis], program: 'MUL R1,R0', then: {nzvc: '0100'}"
    assert run(row, "chipset-one-level").status is Status.AGREES
    assert run(row, "chipset-one-level", ()).reason == "eis is not fitted"
    assert run(row, FIRST).reason == "eis is not fitted"


def test_a_module_that_is_not_built_yet_is_told_as_such(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("minisim.trials.runner.unbuilt", lambda chosen: tuple(chosen.options & {"cis"}))
    row = "needs: [cis], words: ['076030'], then: {}"
    assert run(row, LATE).reason == "cis is not built in this version"
    assert run(row, FIRST).reason == "cis is not fitted"


def test_a_register_that_is_not_there_keeps_a_case_from_running() -> None:
    result = run("program: NOP, given: {register 764776: '1'}, then: {}")
    assert (result.status, result.reason) == (Status.NOT_FITTED, "nothing answers a write to register 764776")


def test_memory_grows_with_what_a_case_names_and_ends_where_it_says() -> None:
    assert run("program: NOP, given: {word 04000000: '1'}, then: {}").status is Status.AGREES
    assert run("program: NOP, given: {word 04000000: '1'}, then: {}", FIRST).reason == "there is no memory at 4000000"
    row = "program: 'CLR @#20000', given: {memory-kb: '8', word 000004: '2000'}, then: {trap: '4'}"
    assert run(row, FIRST).status is Status.AGREES
    assert run(row.replace("'8'", "'64'"), FIRST).reason == "64 KB of memory can't be fitted"


def test_the_other_stack_and_register_set_can_be_set_and_looked_at() -> None:
    then = "then: {r2: '5', set0-r1: '0', pc: '001010'}"
    row = f"program: 'MOV #4000,@#177776; NOP', steps: 2, given: {{set1-r2: '5'}}, {then}"
    assert run(row, "fast-ttl-cache").status is Status.AGREES
    assert run(row, FIRST).reason == "there is no second register set"
    assert run("program: NOP, given: {sp-user: '1'}, then: {}", FIRST).reason == "there is no user mode"


def test_an_unconfirmed_value_gives_a_doubt_not_a_difference() -> None:
    row = "evidence: unconfirmed, program: INC R1, then: {r1: '%s'}"
    assert run(row % "1").status is Status.AGREES_UNCONFIRMED
    assert run(row % "2").status is Status.DIFFERS_UNCONFIRMED


def test_a_profile_that_no_row_names_has_nothing_documented() -> None:
    assert run(f"profile: {FIRST}, program: NOP, then: {{}}", LATE).status is Status.NOT_DOCUMENTED


def test_several_words_of_memory_are_compared_together() -> None:
    row = "program: NOP, given: {words 002000: 1 2 3}, then: {words 002002: 2 4}"
    assert found(run(row)) == [("words 002002", "000002 000004", "000002 000003")]


def test_several_bytes_of_memory_are_given_and_compared_together() -> None:
    row = "program: 'MOVB @#2001, @#2004', given: {bytes 002001: '1 2 377'}, then: {bytes 002003: '377 2'}"
    assert found(run(row)) == [("bytes 002003", "377 002", "377 001")]
    kept = "program: 'CLRB @#2002', given: {bytes 002001: '1 2 377'}, then: {}"
    assert found(run(kept)) == [("bytes 002001", "001 002 377", "001 000 377")]


def test_a_difference_of_decimal_bytes_tells_their_digits() -> None:
    # CVTLP of -12 (unconfirmed), held against a value that is wrong
    given = "given: {r0: '060003', r1: '002000', r2: '177777', r3: '177764', decimal-type: signed packed, digits: '3'}"
    row = f"program: CVTLP, {given}, then: {{r2: '0', r3: '0', bytes 002000: '001 054'}}"
    (difference,) = run(row).differences
    assert difference.words == (
        "the bytes 002000 are -012, signed packed; documented is +012, signed packed"
    )


@pytest.mark.parametrize(("what", "wrong"), [("encoding: 005201 000240", "005202"), ("text: INC R1", "CLR R1")])
def test_assembler_and_disassembler_need_no_machine(what: str, wrong: str) -> None:
    assert run(f"program: 'INC R1; NOP', then: {{{what}}}").status is Status.AGREES
    key = what.split(": ")[0]
    assert run(f"program: 'INC R1; NOP', then: {{{key}: {wrong}}}").status is Status.DIFFERS


def test_the_strap_of_the_board_is_set_for_a_case() -> None:
    # D37: these two boards can be strapped so that HALT traps through 4 (from memory, unconfirmed)
    row = "program: HALT, given: {halt-traps: '%s', word 000004: '2000'}, then: {trap: '%s', halted: '%s'}"
    for profile in ("late-single-chip-quad", "late-single-chip-22bit"):
        strapped, plain = run(row % ("yes", "4", "no"), profile), run(row % ("no", "none", "yes"), profile)
        assert (strapped.status, plain.status) == (Status.AGREES, Status.AGREES)
