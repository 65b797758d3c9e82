"""The bibliography, its page and its command."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from minisim.catalogue.page import pages as catalogue_pages
from minisim.cli import main
from minisim.problems import InputError
from minisim.sources import KNOWN_WORDS, read_sources
from minisim.sources_page import pages as source_pages

DOCS = Path(__file__).parents[2] / "docs"


def test_every_source_says_what_it_is_and_how_well_it_is_known() -> None:
    sources = read_sources()
    assert len(sources) == 169
    for key, source in sources.items():
        assert re.fullmatch("[a-z0-9-]+", key)
        assert source.title and source.known in KNOWN_WORDS
        assert source.known != "quoted" or source.part, f"{key}: quoted where?"


def test_common_practice_is_a_source_of_its_own() -> None:
    assert read_sources()["common-practice"].known == "no document"


def test_what_is_quoted_is_quoted_in_a_source_that_was_read() -> None:
    sources = read_sources()
    for source in sources.values():
        if source.known == "quoted":
            through = [key for key in re.findall("[a-z0-9-]+", source.part) if key in sources]
            assert through and all(sources[key].known == "read" for key in through), source.key


def test_a_document_of_two_lists_is_one_entry() -> None:
    pages = read_sources()["handbook-1969"].pages
    assert "42-44" in pages and "paper tape" in pages and "figure 9.2" in pages


@pytest.mark.parametrize("path", [*source_pages(), *catalogue_pages()], ids=str)
def test_the_generated_page_is_current(path: Path) -> None:
    text = {**source_pages(), **catalogue_pages()}[path]
    assert (DOCS / path).read_text("utf-8") == text, "run make docs"


def test_the_page_holds_every_key_and_the_catalogue_page_every_id() -> None:
    (text,) = source_pages().values()
    assert all(f"| `{key}` |" in text for key in read_sources())
    (text,) = catalogue_pages().values()
    for name in ("grant-card", "mux-twin-4-18bit", "sep-large-box", "terminal", "rom-letters-dx", "small-single-chip"):
        assert f"| `{name}` |" in text


def test_the_command_prints_one_source(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sources", "[line-clock-manual]"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("line-clock-manual\n    ")
    assert "February 1974" in out and "(read: summary)" in " ".join(out.split())


def test_the_command_prints_all_sources(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sources"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line for line in lines if not line.startswith(" ")] == list(read_sources())


def test_the_command_gives_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sources", "--json", "engineering-note-28"]) == 0
    (record,) = json.loads(capsys.readouterr().out)
    assert record == {
        "key": "engineering-note-28",
        "title": read_sources()["engineering-note-28"].title,
        "known": "quoted",
        "part": "in mux-backplanes-wiki",
    }


def test_an_unknown_key_is_told_with_the_nearest_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sources", "handbok-1969", "handbook-1969"]) == 2
    seen = capsys.readouterr()
    assert 'no source "handbok-1969"; did you mean "handbook-1969"?' in seen.err
    assert seen.out.startswith("handbook-1969\n")


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("a-key:\n  known: read\n", 'key "title" is missing'),
        ("a-key:\n  title: x\n  known: perhaps\n", "known is none of"),
        ("a-key:\n  title: x\n  known: read\n  colour: red\n", 'unknown key "colour"'),
        ("a-key:\n  title: [x]\n  known: read\n", "title is no text"),
        ("- a\n", "a mapping of source keys is expected"),
        ("a-key: x\n", 'key "title" is missing'),
    ],
)
def test_a_wrong_bibliography_is_told(tmp_path: Path, text: str, problem: str) -> None:
    path = tmp_path / "sources.yaml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputError, match=re.escape(problem)):
        read_sources(path)
