"""The pages about commands and languages say what is so."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from minisim.cli import command_names, main, parser_of
from minisim.commands_page import PAGE, pages
from minisim.loadout import page as loadout_page
from minisim.loadout.declarations import LOADOUT

DOCS = Path(__file__).resolve().parent.parent.parent / "docs"


def test_the_page_of_commands_has_every_command_and_option() -> None:
    text = pages()[PAGE]
    for name in command_names():
        assert f"\n## minisim {name}\n" in text
        options = [word for action in parser_of(name)._actions for word in action.option_strings if word[1] == "-"]
        section = text.split(f"\n## minisim {name}\n")[1].split("\n## ")[0]
        assert all(option in section for option in options if option != "--help"), name


def test_the_page_of_the_loadout_links_only_to_its_own_parts() -> None:
    text = loadout_page.pages()[loadout_page.PAGE]
    heads = {head.lower().replace(" ", "-").replace("'", "") for head in re.findall(r"^## (.*)$", text, re.M)}
    assert set(re.findall(r"\]\(#(.*?)\)", text)) <= heads
    assert all(f"| `{key.name}`" in text for key in LOADOUT)


def test_the_example_of_the_assembler_page_gives_the_listing_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (DOCS / "reference" / "assembler.md").read_text("utf-8")
    source, listing = re.findall(r"```(?:asm|text)\n(.*?)```", text, re.S)[:2]
    monkeypatch.chdir(tmp_path)
    Path("sum.s").write_text(source)
    assert main(["asm", "sum.s", "--listing"]) == 0
    assert capsys.readouterr().out == listing


def test_the_directives_of_the_assembler_page_are_those_there_are() -> None:
    from minisim.cpu.statements import DIRECTIVES

    text = (DOCS / "reference" / "assembler.md").read_text("utf-8")
    assert set(re.findall(r"^\| `(\.[a-z]+)", text, re.M)) == {*DIRECTIVES, ".papertape", ".words", ".rom"}
