"""Canonical text: reading what was written gives the same machine."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim.catalogue.reader import Catalogue
from minisim.findings import Mark
from minisim.loadout.model import RomFitted
from minisim.loadout.reader import read_loadout
from minisim.loadout.writer import text, write_loadout
from minisim.yamltext import Mapping, Scalar, compose_bytes

ELSEWHERE = {
    "file",
    "path",
    "sha256",
    "wires_marks",
    "regulators_marks",
    "mark",
    "supply_mark",
    "backplane_mark",
    "media_mark",
}
"""Fields that say where something stood, or in which bytes."""


def without_places(thing: Any) -> Any:
    """The values of a record, without places in the file, file and hash (the sum of a ROM image stays)."""
    if dataclasses.is_dataclass(thing):
        names = [field.name for field in dataclasses.fields(thing) if field.name not in ELSEWHERE]
        sums = {"image sum": thing.sha256} if isinstance(thing, RomFitted) else {}
        return {name: without_places(getattr(thing, name)) for name in names} | sums
    if isinstance(thing, tuple):
        return [without_places(one) for one in thing]
    if isinstance(thing, dict):
        return {key: without_places(value) for key, value in thing.items()}
    assert not isinstance(thing, Mark)
    return thing


@pytest.mark.parametrize("name", ["gauge", "desk", "everything", "station-gauge", "station-desk"])
def test_what_is_written_reads_back_equal(name: str, folder: Path, catalogue: Catalogue) -> None:
    first = read_loadout(folder / f"{name}.yaml", catalogue=catalogue)
    written = write_loadout(first)
    (folder / "again.yaml").write_text(written, encoding="utf-8")
    again = read_loadout(folder / "again.yaml", catalogue=catalogue)
    assert without_places(again) == without_places(first)
    assert write_loadout(again) == written


def test_neighbouring_slots_of_one_state_are_written_as_ranges(folder: Path, catalogue: Catalogue) -> None:
    written = write_loadout(read_loadout(folder / "gauge.yaml", catalogue=catalogue))
    assert "    wires: {dma-grant: {3-7: in, 8: out, 9: in}}\n" in written


def test_regulators_by_slot_are_read_and_written_as_ranges(folder: Path, catalogue: Catalogue) -> None:
    text_ = (folder / "gauge.yaml").read_text("utf-8")
    wires = next(line for line in text_.splitlines() if "wires:" in line)
    indent = wires[: len(wires) - len(wires.lstrip())]
    more = f"{wires}\n{indent}regulators: {{1-9: first, 3: second}}"
    (folder / "fed.yaml").write_text(text_.replace(wires, more), "utf-8")
    unit = read_loadout(folder / "fed.yaml", catalogue=catalogue).boxes[0].units[0]
    assert unit.regulators == {**dict.fromkeys(range(1, 10), "first"), 3: "second"}
    assert unit.regulators_marks[3].line == text_.splitlines().index(wires) + 2
    written = write_loadout(read_loadout(folder / "fed.yaml", catalogue=catalogue))
    assert "    regulators: {1-2: first, 3: second, 4-9: first}\n" in written


@given(st.text(st.characters(exclude_categories=["Cs", "Cc", "Cn"]), min_size=1, max_size=30))
def test_any_text_survives_as_a_scalar(value: str) -> None:
    tree = compose_bytes(f"{{key: {text(value)}}}\n".encode(), "x.yaml")
    assert isinstance(tree, Mapping)
    node = tree.get("key")
    assert isinstance(node, Scalar)
    assert node.text == value
    assert not node.empty


def test_text_of_several_lines_survives() -> None:
    tree = compose_bytes(f"key: {text('one: two' + chr(10) + ' three ' + chr(0x85) + chr(0x2028))}".encode(), "x.yaml")
    assert isinstance(tree, Mapping)
    node = tree.get("key")
    assert isinstance(node, Scalar)
    assert node.text == "one: two\n three \x85\u2028"
