"""Completion: whole words, from where they begin."""

from __future__ import annotations

from benches import COUNT, bare, planned, with_console

from minisim.bench.bench import Bench
from minisim.bench.verbs import verbs


def texts(bench: Bench, line: str) -> list[str]:
    return [each.text for each in bench.complete(line)]


def test_an_empty_line_may_become_any_word_with_its_help() -> None:
    found = bare().complete("")
    assert {(each.text, each.what) for each in found} == {(name, verb.HELP) for name, verb in verbs().items()}


def test_a_beginning_is_completed_from_where_it_stands() -> None:
    bench = bare(*COUNT)
    assert [(each.text, each.start) for each in bench.complete("  lo")] == [("look", 2)]
    assert texts(bench, "put") == ["put in"] and texts(bench, "TAKE o") == ["take out"]
    assert [(each.text, each.start) for each in bench.complete("look sta")] == [("stack", 5)]
    assert texts(bench, "look stack ") == []
    assert "pc" in texts(bench, "until ") and texts(bench, "until pc 1000 ") == ["and", "or"]
    assert "printed" in texts(bench, "until pc 1000 or ")
    assert texts(bench, "help ta") == ["take out"]


def test_places_of_the_machine_are_completed() -> None:
    bench = planned("gauge")
    assert "main/a/5CF" in texts(bench, "look main")
    assert texts(bench, "take out main/a/6CF") == ["main/a/6CF:0:0", "main/a/6CF:0:1", "main/a/6CF"]
    assert "tape" in texts(bench, "put in ")
    assert "write-protect on" in texts(bench, "change main/a/6CF:0:0 ")
    assert "load address" in texts(bench, "panel ")
    bench.machine.close()


def test_every_suggestion_has_a_line_of_help_and_fits_the_line() -> None:
    bench = with_console(*COUNT)
    for line in (
        "",
        "l",
        "look ",
        "change ",
        "until ",
        "type ",
        "help ",
        "put in ",
        "take out ",
        "one ",
        "back ",
        "panel ",
    ):
        for each in bench.complete(line):
            assert each.what and "\n" not in each.what
            assert each.text.lower().startswith(line[each.start :].lower())
