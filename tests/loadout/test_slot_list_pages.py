"""Every command of the page about slot lists is run, and what the page shows is what comes out."""

from __future__ import annotations

import re
from pathlib import Path

from slot_list_helpers import CATALOGUE, read_mail
from test_readme import ROOT, pattern_of, run, shown_in

PAGE = ROOT / "docs" / "how-to" / "from-a-slot-list.md"
REFERENCE = ROOT / "docs" / "reference" / "slot-list.md"


def test_the_commands_of_the_page_do_what_it_shows(tmp_path: Path) -> None:
    shown = shown_in(PAGE)
    assert len(shown) == 5
    for one in shown:
        done = run(one.command.replace("/tmp/", f"{tmp_path}/"))
        lines = [line.replace("/tmp/", f"{tmp_path}/") for line in one.output]
        assert pattern_of(lines).fullmatch(done.stdout), done.stdout


def test_what_the_reference_page_calls_understood_is_understood() -> None:
    text = REFERENCE.read_text("utf-8")
    places = text.split("## Places")[1].split("## Boards")[0]
    for row in re.findall(r"^\| (.+?) \|", places, re.M)[2:]:
        for words in re.findall(r"`([^`]+)`", row):
            if "left" in words or "under" in row:
                continue
            line = words if "M8044" in words else f"{words} M8044"
            line = f"2 {line}" if line.startswith("M8044 (") else line
            assert read_mail(f"{line}\n").list.units[0].entries[0].board == "mos-memory-dual", line


def test_the_files_of_the_page_name_boards_of_the_catalogue() -> None:
    for name in ("mail-from-the-pier.txt", "mail-answered.txt"):
        understood = read_mail((PAGE.parent / name).read_bytes())
        boards = [entry.board for unit in understood.list.units for entry in unit.entries if not entry.empty]
        assert boards and all(board and CATALOGUE.has("boards", board) for board in boards)
