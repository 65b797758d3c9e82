"""Files of another kind, recognised by their first keys, so that the owner is told what to do with them."""

from __future__ import annotations

from minisim.problems import Problem
from minisim.yamltext import Mapping, Node, Sequence

_BY_KEY = {  # first key -> what the file is, and the command that reads it
    "stock": ("a stock list", "stock"),
    "wishes": ("a file of wishes", "plan"),
    "trial": ("a trial", "trial"),
    "cases": ("a table of trial cases", "trial"),
}
_ROM = "this describes a ROM image, not a machine; a loadout names the image under roms, minisim boot reads both"
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
    if {"id", "kind"} <= set(names):
        return _read_by("an entry of the catalogue", "catalogue")
    first = next((name for name in names if name in _BY_KEY or name == "rom"), "")
    if first == "rom":
        return _ROM
    return _read_by(*_BY_KEY[first]) if first else ""


def _read_by(what: str, command: str) -> str:
    """What the file is and which command reads it, if this version has that command."""
    from minisim.cli import command_names

    reader = f"minisim {command} reads it"
    if command not in command_names():
        reader = f"a later version will have minisim {command} for it, this one has no command that reads it"
    return f"this is {what}, not a loadout; {reader}"
