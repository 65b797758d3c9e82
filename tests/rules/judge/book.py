"""The catalogue as plain trees: values without their evidence, `None` for what nobody knows."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

FOLDER = Path(__file__).parents[3] / "minisim" / "catalogue"
Tree = Any


def plain(record: Tree) -> Tree:
    """The value of a record; None where it is unknown."""
    value = record["value"] if isinstance(record, dict) and "value" in record else record
    return None if value == "unknown" else value


@cache
def entry(shelf: str, name: str) -> dict[str, Tree]:
    """One thing of the catalogue."""
    tree = yaml.load((FOLDER / shelf / f"{name}.yaml").read_text("utf-8"), yaml.CSafeLoader)
    assert isinstance(tree, dict)
    return tree


@cache
def names(shelf: str) -> tuple[str, ...]:
    """Every id of one kind of thing."""
    return tuple(sorted(path.stem for path in (FOLDER / shelf).glob("*.yaml")))


def slots_of(backplane: dict[str, Tree]) -> dict[int, dict[str, str]]:
    """Kinds by slot number and rows; rows without a connector are left out."""
    slots: dict[int, dict[str, str]] = {}
    written = plain(backplane["slots"])
    for numbers, kinds in written.items() if isinstance(written, dict) else ():
        first, _, last = str(numbers).partition("-")
        for number in range(int(first), int(last or first) + 1):
            slots[number] = {rows: kind for rows, kind in kinds.items() if kind != "none"}
    return slots


def order_of(backplane: dict[str, Tree]) -> list[tuple[int, str]]:
    """The way of the grants: slot and rows."""
    order = plain(backplane["grant-order"])
    if not isinstance(order, list):
        return []
    return [(int(text.rstrip("ABCDEF")), text.lstrip("0123456789")) for text in order]
