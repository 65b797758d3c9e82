"""Whatever a file of trial cases holds: it is read and run, or every mistake is told; nothing else comes out."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.catalogue.reader import Catalogue
from minisim.compare.report import Comparison
from minisim.compare.text import text
from minisim.problems import InputError
from minisim.trials.page import EXAMPLE
from minisim.trials.reader import FOLDER, read_text
from minisim.trials.runner import Bench

SEEDS = (EXAMPLE, (FOLDER / "worked-examples.yaml").read_text("utf-8"))
PIECES = ("{", "}", "[", "]", ": ", "- ", '"', "x", "-", "8", "177777", "null", "\n", "  ", "~", "rows", "0", ",")
PROFILE = Catalogue().profile("late-ttl-commercial")


@settings(max_examples=150)
@given(st.sampled_from(SEEDS), st.integers(0, 3000), st.integers(0, 12), st.lists(st.sampled_from(PIECES), max_size=4))
def test_a_damaged_file_is_refused_with_places_or_read(seed: str, at: int, cut: int, put: list[str]) -> None:
    seed = seed[:4000]
    damaged = seed[: at % len(seed)] + "".join(put) + seed[at % len(seed) + cut :]
    try:
        file = read_text(damaged.encode(), "x.yaml", "x")
    except InputError as error:
        assert error.problems
        assert all(problem.mark.file == "x.yaml" and problem.message for problem in error.problems)
        return
    bench = Bench(PROFILE)
    results = {case.id: (bench.result(case),) for case in file.cases}
    assert text(Comparison(file.cases, (PROFILE.id,), None, results)).count("\n") > 10


@settings(max_examples=150)
@given(st.lists(st.integers(0, 0o177777), min_size=1, max_size=4), st.integers(0, 0o177777), st.integers(1, 40))
def test_a_random_program_ends_and_is_told(words: list[int], ps: int, steps: int) -> None:
    listed = ", ".join(f"'{word:06o}'" for word in words)
    row = f"{{id: a, words: [{listed}], steps: {steps}, given: {{ps: '{ps:06o}', r1: '177570'}}, then: {{r1: '1'}}}}"
    head = "trials: 1\ntitle: t\nneeds: [base]\nsource: null\nevidence: firm\ntables:\n- id: t\n  about: a\n  rows:\n"
    (case,) = read_text(f"{head}  - {row}\n".encode(), "x.yaml", "x").cases
    result = BENCH.result(case)
    assert all(one.words and one.documented != one.found for one in result.differences)


BENCH = Bench(PROFILE)
