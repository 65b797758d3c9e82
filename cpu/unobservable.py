"""Rows of the table of differences that no trial case can tell, with the reason, as the cases state them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import minisim.yamltext as yamltext
from minisim.problems import InputError, Problem

FILE = Path(yamltext.__file__).parent / "trials" / "cases" / "unobservable.yaml"
_SHAPE = "rows of {row: D13, why: text} are expected here"


def unobservable(file: Path = FILE) -> Mapping[str, str]:
    """Row -> why no case can tell it; empty where there is no such file.  InputError for one that can't be read."""
    if not file.is_file():
        return {}
    node = yamltext.compose(file)
    rows = node.get("rows") if isinstance(node, yamltext.Mapping) else None
    if not isinstance(rows, yamltext.Sequence):
        raise InputError([Problem(node.mark, _SHAPE)])
    return dict(map(_row, rows))


def _row(node: yamltext.Node) -> tuple[str, str]:
    row, why = (node.get(key) if isinstance(node, yamltext.Mapping) else None for key in ("row", "why"))
    if not isinstance(row, yamltext.Scalar) or not isinstance(why, yamltext.Scalar) or row.empty or why.empty:
        raise InputError([Problem(node.mark, _SHAPE)])
    return row.text, why.text
