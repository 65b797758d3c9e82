"""What the owner says about a list: which column is which, own words for conditions, sheet, encoding.

It stands in a small YAML file: beside the list as `NAME.columns.yaml`, or named with --header.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from minisim.findings import Mark
from minisim.problems import InputError, Problem, nearest
from minisim.stock.model import Condition
from minisim.stock.sheets import Wanted
from minisim.stock.words import FIELDS, plain
from minisim.yamltext import Mapping as YamlMapping
from minisim.yamltext import Node, Scalar, compose

ENDING = ".columns.yaml"
KEYS = {
    "columns": "our name of a column: its name in the list, or its letter",
    "conditions": "a word of the list: works, untested, unknown, incomplete or faulty",
    "sheet": "the sheet of a spreadsheet to read",
    "encoding": "the encoding of a CSV file, such as cp437",
    "separator": "what separates the cells of a CSV file",
    "names-in-row": "the row with the names of the columns, or none",
}


@dataclass(frozen=True, slots=True)
class Header:
    """What the owner says; empty where nothing was said."""

    columns: Mapping[str, str] = field(default_factory=dict)
    conditions: Mapping[str, Condition] = field(default_factory=dict)
    wanted: Wanted = field(default_factory=Wanted)
    names_in_row: int | None = None  # 0: there are none

    def over(self, other: Header) -> Header:
        """This one, and the other where this one says nothing."""
        wanted = Wanted(
            self.wanted.sheet or other.wanted.sheet,
            self.wanted.encoding or other.wanted.encoding,
            self.wanted.separator or other.wanted.separator,
        )
        row = self.names_in_row if self.names_in_row is not None else other.names_in_row
        return Header(
            {**other.columns, **self.columns}, {**other.conditions, **self.conditions}, wanted, row
        )  # fmt: skip


def beside(path: str | Path) -> Path | None:
    """The file of the owner that stands beside a list, if there is one."""
    there = Path(path).with_suffix(ENDING) if Path(path).name else None
    return there if there is not None and there.is_file() else None


def read_header(path: str | Path) -> Header:
    """A header file; InputError with everything wrong in it."""
    problems: list[Problem] = []
    root = compose(path)
    if not isinstance(root, YamlMapping):
        raise InputError([Problem(root.mark, f"a header of a list has keys: {', '.join(KEYS)}")])
    header = Header()
    for key, node in root:
        header = _taken(header, key, node, problems)
    if problems:
        raise InputError(problems)
    return header


def _taken(header: Header, key: Scalar, node: Node, problems: list[Problem]) -> Header:
    """The header with one more key."""
    name = key.text
    if name not in KEYS:
        problems.append(Problem(key.mark, f'no key "{name}"; keys are {", ".join(KEYS)}{nearest(name, KEYS)}'))
    elif name in ("columns", "conditions"):
        pairs = _pairs(node, problems)
        if name == "columns":
            return replace(header, columns=checked_columns(pairs, problems))
        return replace(header, conditions=_conditions(pairs, problems))
    elif not isinstance(node, Scalar):
        problems.append(Problem(node.mark, f"{name} is one word: {KEYS[name]}"))
    elif name == "names-in-row":
        return replace(header, names_in_row=_row(node, problems))
    elif name == "separator" and len(node.text) != 1:
        problems.append(Problem(node.mark, "a separator is one character"))
    else:
        return replace(header, wanted=replace(header.wanted, **{name: node.text}))
    return header


def _pairs(node: Node, problems: list[Problem]) -> list[tuple[Mark, str, str]]:
    if not isinstance(node, YamlMapping):
        problems.append(Problem(node.mark, "expected pairs: one name a line, a colon, the other name"))
        return []
    pairs = []
    for key, value in node:
        if isinstance(value, Scalar):
            pairs.append((value.mark, key.text, value.text))
        else:
            problems.append(Problem(value.mark, "expected one text"))
    return pairs


def checked_columns(pairs: list[tuple[Mark, str, str]], problems: list[Problem]) -> dict[str, str]:
    """Our name -> the owner's; names that are not ours are problems."""
    found: dict[str, str] = {}
    for mark, ours, theirs in pairs:
        if ours not in FIELDS:
            problems.append(
                Problem(mark, f'no column "{ours}"; columns are {", ".join(FIELDS)}{nearest(ours, FIELDS)}')
            )
        else:
            found[ours] = theirs
    return found


def _conditions(pairs: list[tuple[Mark, str, str]], problems: list[Problem]) -> dict[str, Condition]:
    found: dict[str, Condition] = {}
    words = [each.value for each in Condition]
    for mark, theirs, ours in pairs:
        if ours in words:
            found[plain(theirs)] = Condition(ours)
        else:
            problems.append(Problem(mark, f'no condition "{ours}"; they are {", ".join(words)}{nearest(ours, words)}'))
    return found


def _row(node: Scalar, problems: list[Problem]) -> int | None:
    if node.text == "none":
        return 0
    if node.text.isascii() and node.text.isdigit() and 0 < int(node.text[:8]) < 10_000_000:
        return int(node.text[:8])
    problems.append(Problem(node.mark, f'"{node.text}" is no row: a number from 1, or none'))
    return None
