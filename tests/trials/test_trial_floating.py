"""Trial cases of the floating point processor: what is set up, kept, masked, and how a difference is told."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.cpu._core import ffi, lib
from minisim.trials.model import Result, Status
from minisim.trials.reader import read_set, read_text
from minisim.trials.runner import Bench

HEAD = (
    "trials: 1\ntitle: t\nneeds: [fpp]\nsource: null\nevidence: derived\ntables:\n  - id: t\n    about: a\n    rows:\n"
)
ONE, TWO = "040200 000000 000000 000000", "040400 000000 000000 000000"
PROFILE = "late-ttl-commercial"


def results(*rows: str) -> list[Result]:
    """The results of rows on one profile, one after the other on one machine."""
    text = HEAD + "".join(f"      - {row}\n" for row in rows)
    bench = Bench(Catalogue().profile(PROFILE))
    return [bench.result(case) for case in read_text(text.encode(), "t.yaml", "t").cases]


def test_a_difference_of_an_accumulator_tells_both_numbers() -> None:
    # ADDF AC1,AC0: 1 + 1 is 2
    (result,) = results(f'{{id: a, words: ["172001"], given: {{ac0: "{ONE}", ac1: "{ONE}"}}, then: {{ac0: "{ONE}"}}}}')
    assert result.status is Status.DIFFERS
    assert [each.words for each in result.differences] == [f"AC0 holds 2 ({TWO}); documented is 1 ({ONE})"]


def test_an_accumulator_that_is_not_listed_must_keep_its_value() -> None:
    (result,) = results(f'{{id: a, words: ["172401"], given: {{ac0: "{ONE}", ac1: "{TWO}"}}, then: {{fps: "000000"}}}}')
    assert [each.what for each in result.differences] == ["ac0"]


def test_nothing_is_left_over_from_the_case_before() -> None:
    # DIVF by zero leaves FER, FEC and FEA; then STST, CFCC and STF find zeros
    first = (
        f'{{id: a, words: ["174401"], given: {{fps: "040000", ac0: "{ONE}"}}, then: {{fec: "000004", fea: "001000"}}}}'
    )
    second = '{id: b, words: ["170300"], given: {r0: "000001"}, then: {r0: "000000", fec: "000000", fea: "000000"}}'
    assert [result.status for result in results(first, second)] == [Status.AGREES, Status.AGREES]


def test_single_codes_of_the_floating_status_can_be_masked() -> None:
    row = '{{id: a, words: ["170400"], given: {{fps: "000000"}}, then: {{fps: "000010"}}, mask: [{0}]}}'
    assert results(row.format("fps.fn, fps.fz"))[0].status is Status.AGREES
    assert results(row.format("fps.fn"))[0].status is Status.DIFFERS


def test_every_floating_instruction_has_cases() -> None:
    records, table = lib.ms_records(), lib.ms_decode_table((1 << 32) - 1)
    cases = [case for case in read_set().cases if "fpp" in case.lines[0].needs]
    words = {line.code.words[0] for case in cases for line in case.lines if line.code}
    ran = {table[word].record for word in words}
    wanted = {table[word].record for word in range(0o170000, 0o200000)} - {0}
    assert {ffi.string(records[number].name).decode("ascii") for number in wanted - ran} == set()
    assert len(cases) >= 200
