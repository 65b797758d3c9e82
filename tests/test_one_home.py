"""Each fact has one home: no id of a board, profile or rule and no mnemonic stands in code outside it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import minisim.cpu
from minisim.catalogue.reader import Catalogue
from minisim.rules import all_rules

ROOT = Path(__file__).resolve().parent.parent
KINDS = ("backplanes", "boards", "cables", "chassis", "drives", "media", "profiles", "roms", "supplies")
# Words with a second meaning, or that the interface itself names.
ALLOWED = {
    "late-ttl-commercial": "the default of minisim.bare, part of the public interface",
    "paper-tape": "also the id of a device",
    "terminal": "the word a loadout uses for whatever hangs on a line",
}


def sources() -> Iterator[Path]:
    for folder in ("minisim", "cpu", "devices"):
        yield from (ROOT / folder).rglob("*.py")


@cache
def words_of(path: Path) -> list[tuple[int, str]]:
    """Whole text constants of a file, docstrings left out, with their lines."""
    tree = ast.parse(path.read_text("utf-8"))
    return [
        (node.lineno, node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and "\n" not in node.value
    ]


def strays(words: set[str], homes: tuple[str, ...] = ()) -> list[str]:
    """Places where one of the words stands outside its homes."""
    return [
        f"{path.relative_to(ROOT)}:{line}: {word}"
        for path in sources()
        if not str(path.relative_to(ROOT)).startswith(homes or ("-",))
        for line, word in words_of(path)
        if word in words
    ]


def test_no_id_of_the_catalogue_stands_in_code() -> None:
    catalogue = Catalogue()
    ids = {name for kind in KINDS for name in catalogue.ids(kind)}
    assert strays(ids - set(ALLOWED)) == []


def test_no_id_of_a_rule_stands_outside_its_file() -> None:
    ids = {rule.id for rule in all_rules()}
    areas = tuple(f"minisim/rules/{area.name}/" for area in (ROOT / "minisim" / "rules").iterdir() if area.is_dir())
    assert len(ids) > 30
    assert strays(ids, areas) == []


def test_no_mnemonic_stands_in_python() -> None:
    names = {record.mnemonic for record in minisim.cpu.records()} | {alias.mnemonic for alias in minisim.cpu.aliases()}
    names = {name for name in names if re.fullmatch(r"[A-Z]{3,}", name)}
    assert "MOV" in names
    assert [place for place in strays(names) if not place.endswith(": HALT")] == []  # also the name of an effect
