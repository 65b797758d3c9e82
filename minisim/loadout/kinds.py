"""Files of another kind, recognised by their first keys, so that the owner is told what to do with them."""

from __future__ import annotations

from minisim.problems import Problem
from minisim.yamltext import Mapping, Node, Sequence

_BY_KEY = {
    "stock": "this is a stock list, not a loadout; minisim stock reads it",
    "wishes": "this is a file of wishes, not a loadout; minisim plan reads it",
    "trial": "this is a trial, not a loadout; minisim trial reads it",
    "cases": "this is a table of trial cases, not a loadout; minisim trial reads it",
    "rom": "this describes a ROM image, not a machine; a loadout names the image under roms, minisim boot reads both",
}
_CATALOGUE = "this is an entry of the catalogue, not a loadout; minisim catalogue reads it"
_FORM = "a loadout is a mapping that begins with loadout: 1"


def another_kind(node: Node) -> Problem | None:
    """What the file is, where it is plainly no loadout; None where it can be read as one."""
    if isinstance(node, Sequence):
        entries = [item for item in node if isinstance(item, Mapping)]
        message = next((said for item in entries if (said := _what(item))), f"a list; {_FORM}")
        return Problem(node.mark, message)
    if not isinstance(node, Mapping):
        return Problem(node.mark, f"no loadout: the file holds plain text; {_FORM}")
    if "loadout" in node:
        return None
    message = _what(node)
    if message:
        return Problem(node.mark, message)
    return None if {"boxes", "name"} & set(node.names()) else Problem(node.mark, f"no loadout; {_FORM}")


def _what(node: Mapping) -> str:
    names = node.names()
    first = next((_BY_KEY[name] for name in names if name in _BY_KEY), "")
    return _CATALOGUE if {"id", "kind"} <= set(names) else first
