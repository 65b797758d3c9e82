"""The reader of lessons: everything wrong with a file is told at once, at its place."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.lessons.checks import Printed
from minisim.lessons.model import At
from minisim.lessons.prose import as_plain, plain_lines
from minisim.lessons.reader import read_lesson_bytes
from minisim.problems import InputError

from .samples import of_text, sample, with_step


def problems_of(text: str) -> list[str]:
    with pytest.raises(InputError) as error:
        of_text(text)
    return [str(problem) for problem in error.value.problems]


def test_a_sound_lesson_is_read_whole() -> None:
    lesson = sample("sound")
    assert (lesson.name, lesson.title, lesson.time) == ("sound", "A lesson for tests", "3 minutes")
    assert [step.title for step in lesson.steps] == ["A register", "A program"]
    first, second = lesson.steps
    assert first.at is At.BENCH
    assert first.wrong == (("change r0 000010",), ("change r1 000012", "look registers"))
    assert second.program is not None
    assert [block.address for block in second.program.blocks] == [0o34, 0o1000]


def test_prose_keeps_its_paragraphs_and_items() -> None:
    assert list(plain_lines(sample("sound").opening, 40)) == [
        "A machine with registers. Each has a",
        "name, such as R0.",
        "",
        "- one thing",
        "- another thing",
    ]


def test_what_is_typed_stands_between_quotes_in_plain_text() -> None:
    said = as_plain("Type `change r0 000012`, then look at `001000`.")
    assert said == 'Type "change r0 000012", then look at 001000.'


def test_unknown_keys_are_told_with_the_nearest_one_and_all_problems_come_at_once() -> None:
    text = with_step("solutoin: |\n  one\nat: bensh\ncheck: r9 000012\n", head="minuts: 4\n")
    said = problems_of(text)
    assert [one.split(": ")[0] for one in said] == ["own.md:6:1", "own.md:13:1", "own.md:15:5", "own.md:16:8"]
    assert 'unknown key "minuts"; did you mean "minutes"?' in said[0]
    assert 'did you mean "solution"?' in said[1]
    assert '"bensh" is none of bench, console, panel, plan; did you mean "bench"?' in said[2]
    assert '"r9" begins no condition' in said[3]


def test_a_missing_key_is_told_at_its_step() -> None:
    text = with_step("").replace("hints:\n  - Ten.\n", "")
    assert problems_of(text) == ['own.md:12:1: key "hints" is missing']


def test_a_mistake_in_the_program_is_told_in_its_own_line() -> None:
    text = with_step("program: |\n          . = 1000\n          MOV #5,R0\n          MUV #5,R0\n")
    assert problems_of(text)[0].startswith("own.md:15:")


def test_labels_may_stand_left_of_the_first_line_of_a_program() -> None:
    lesson = of_text(with_step("program: |\n          . = 1000\n  begin:  BR begin\n"))
    program = lesson.steps[0].program
    assert program is not None
    assert program.symbols == {"begin": 0o1000}


def test_what_is_not_in_the_small_markdown_is_refused_at_its_line() -> None:
    text = with_step("").replace("Do it.", "Do **it**.\n\n> quoted\n\n<b>bold</b>\n\n```c\nint\n```\n")
    said = problems_of(text)
    assert [one.split(":")[1] for one in said] == ["9", "11", "13", "15"]
    assert all("can't stand in a lesson" in one for one in said)


def test_a_machine_that_is_not_there_is_told_with_those_that_are() -> None:
    (said,) = problems_of(with_step("", machine="dest"))
    assert 'did you mean "desk"?' in said
    assert said.startswith("own.md:5:10")


def test_options_are_for_a_bare_machine_only_and_must_be_ones_it_can_have() -> None:
    assert "only a bare machine" in problems_of(with_step("", machine="desk", head="options: eis\n"))[0]
    assert "own.md:6:10" in problems_of(with_step("", head="options: abacus\n"))[0]
    assert of_text(with_step("", head="options: fpp\n")).options == ("fpp",)


def test_every_heading_has_one_step() -> None:
    text = with_step("") + "\n## Another\n\nNo block.\n"
    assert problems_of(text) == ['own.md:22:1: "Another": no step block; every heading has one']


def test_a_sentence_that_yaml_would_cut_at_a_number_sign_is_refused() -> None:
    (said,) = problems_of(with_step("done: The word behind # is the number.\n"))
    assert said.startswith("own.md:12:7: what stands behind # is cut off")
    assert of_text(with_step('done: "The word behind # is the number."\n')).steps[0].done.endswith("number.")


def test_an_empty_line_is_a_way_to_go_wrong() -> None:
    assert of_text(with_step('wrong:\n  - ""\n')).steps[0].wrong == (("",),)


@pytest.mark.parametrize("minutes", ["0", "16", "-3", "three", "1e400", "nan"])
def test_minutes_out_of_range_are_refused(minutes: str) -> None:
    assert "minutes" in problems_of(with_step("").replace("minutes: 3", f"minutes: {minutes}"))[0]


@settings(max_examples=150)
@given(st.data())
def test_a_spoiled_file_never_brings_anything_but_located_problems(data: st.DataObject) -> None:
    text = with_step("program: |\n  HALT\n")
    at = data.draw(st.integers(0, len(text)))
    length = data.draw(st.integers(0, 30))
    put = data.draw(st.text(alphabet="-`#:|\n \t\"'[]{}*&!ab0\x00\u2028", max_size=12))
    try:
        read_lesson_bytes((text[:at] + put + text[at + length :]).encode(), "own.md")
    except InputError as error:
        assert error.problems
        assert all(problem.mark.file == "own.md" for problem in error.problems)


def test_bytes_that_are_no_text_are_refused() -> None:
    with pytest.raises(InputError, match="UTF-8"):
        read_lesson_bytes(b"---\n\xff\n---\n", "own.md")


def test_blanks_in_what_a_console_prints_count() -> None:
    lesson = of_text(with_step('check: printed "HIGH  03:37   4.43 m" and n off\n', machine="desk"))
    (way,) = lesson.steps[0].check.ways
    assert way[0] == Printed("HIGH  03:37   4.43 m")
