"""What the tests of repairs share: fixtures with their catalogues, a loadout as plain data, proposals of a text."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, is_dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from minisim.catalogue import Catalogue
from minisim.findings import Mark, Severity
from minisim.fixing import Proposal, propose
from minisim.fixing.edits import Edit
from minisim.fixing.situation import Situation, Source, begin
from minisim.loadout.model import Loadout
from minisim.loadout.reader import read_loadout_bytes

ROOT = Path(__file__).resolve().parents[2]
RULES = ROOT / "tests" / "rules"
CASES = Path(__file__).parent / "cases"
KITTIWAKE = ROOT / "loadouts" / "kittiwake"
CATALOGUE = Catalogue()


def catalogue_for(path: Path) -> Catalogue:
    """The catalogue, with the entries that only the fixtures of one rule use."""
    own = path.parent / "catalogue"
    return Catalogue(extra=[own]) if own.is_dir() else CATALOGUE


@cache
def proposed(path: Path, least: Severity = Severity.NOTE) -> Proposal:
    """The proposal for a fixture, notes included."""
    return propose(path, catalogue=catalogue_for(path), least=least)


def situation_of(data: bytes, path: Path) -> Situation:
    """Some text as if it stood in the file `path`."""
    return begin(data, Source(str(path), catalogue_for(path)))


def acts(proposal: Proposal) -> list[str]:
    """Every change in words."""
    return [edit.words() for step in proposal.steps for edit in step.changes]


def edits_in(proposal: Proposal) -> list[Edit]:
    """Every change."""
    return [edit for step in proposal.steps for edit in step.changes]


def read(data: bytes, path: Path) -> Loadout:
    """A loadout from bytes."""
    return read_loadout_bytes(data, path, catalogue=catalogue_for(path))


def plain(value: Any) -> Any:
    """A loadout as plain data, without places in the file and without the hash; boards by their places."""
    if is_dataclass(value):
        return {
            one.name: plain(getattr(value, one.name))
            for one in fields(value)
            if one.name not in ("file", "path", "sha256", "place") and not one.name.endswith(("mark", "marks"))
        }
    if isinstance(value, dict):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, tuple | list):
        items = [plain(one) for one in value]
        boards = items and isinstance(items[0], dict) and "slots" in items[0]
        return sorted(items, key=lambda one: (one["slots"], one["rows"])) if boards else items
    return str(value) if isinstance(value, Mark | Decimal | Path) else value


def lines_changed(before: bytes, after: bytes) -> tuple[list[bytes], list[bytes]]:
    """Lines that only the one has, and lines that only the other has, with their ends."""
    from difflib import SequenceMatcher

    old, new = before.splitlines(keepends=True), after.splitlines(keepends=True)
    gone: list[bytes] = []
    come: list[bytes] = []
    for tag, first, last, start, end in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if tag != "equal":
            gone += old[first:last]
            come += new[start:end]
    return gone, come


def fixtures(*patterns: str) -> Iterable[Path]:
    """Fixtures of the rules."""
    return sorted(path for pattern in patterns for path in RULES.glob(pattern))
