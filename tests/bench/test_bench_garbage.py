"""Whatever is typed: the bench answers, and only words that say so change the guest."""

from __future__ import annotations

from benches import COUNT, with_console
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.bench.verbs import verbs

LOOKING = (
    "look",
    "help",
    "pause",
    "leave",
    "one tide",
    "until tide",
    "change tide",
    "recall",
    "put in x",
    "take out x",
)
NUMBERS = ("001000", "8", "10.", "177560", "177777", "-1", "0")
NAMES = (
    "r2",
    "ps",
    "bus",
    "pc",
    "trap",
    "printed",
    "now",
    "seconds",
    "tape",
    "test",
    "back",
    "switches",
    "on",
    "off line",
)
ODD = ("and", "or", '"', "é", "\x00", "\x1b[2J", "devices", "interrupts")
PIECES = st.sampled_from((*NUMBERS, *NAMES, *ODD))
WORDS = st.sampled_from(sorted({*verbs(), "tide", "lok"} - {"keep"}))  # keep would write files
LINES = st.builds(lambda word, rest: " ".join([word, *rest]), WORDS, st.lists(PIECES | st.text(max_size=5), max_size=4))


@settings(max_examples=60)
@given(st.lists(LINES, max_size=12))
def test_no_lines_raise_and_every_refusal_says_why(lines: list[str]) -> None:
    bench = with_console(*COUNT)
    for line in lines:
        before, naps = bench.machine.state_hash(), bench.machine.instructions
        answer = bench.do(line)
        bench.complete(line)
        bench.view()
        assert answer.done or answer.lines
        assert all("\x1b" not in each for each in answer.lines)
        if not answer.done:
            assert (bench.machine.state_hash(), bench.machine.instructions) == (before, naps), line
        bench.finish(200)


@settings(max_examples=60)
@given(
    st.lists(st.builds(lambda word, rest: f"{word} {rest}", st.sampled_from(LOOKING), st.text(max_size=8)), max_size=10)
)
def test_words_that_only_look_leave_the_guest_alone(lines: list[str]) -> None:
    bench = with_console(*COUNT)
    before = bench.machine.state_hash()
    for line in lines:
        bench.do(line)
        bench.complete(line)
    assert bench.machine.state_hash() == before


@given(st.text(max_size=30))
def test_completion_never_fails(line: str) -> None:
    bench = with_console(*COUNT)
    for each in bench.complete(line):
        assert 0 <= each.start <= len(line)
