"""Which numbers are published on what: an index over the catalogue that reads only the `markings` of each file.

Reading every entry whole takes a fifth of a second; this takes a tenth of that, so a single question stays quick.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from weakref import WeakKeyDictionary

from minisim.catalogue import Catalogue
from minisim.catalogue.words import NONE, OWN_EVIDENCE, UNKNOWN
from minisim.yamltext import Mapping, Node, Scalar, Sequence, parse

KINDS = ("boards", "backplanes", "supplies", "chassis", "drives", "cables", "media", "roms")
"""Folders whose things a person can hold in the hand."""

_BLOCKS = re.compile(rb"^(?:markings|first-word):.*\n?(?:[ \t]+.*\n?|\n)*", re.MULTILINE)
_CLASSES = {"O": "0", "Q": "0", "D": "0", "I": "1", "L": "1", "B": "8", "S": "5", "Z": "2", "G": "6"}
_SKELETON = str.maketrans(_CLASSES)
CONFUSABLE = "".join(_CLASSES)
"""Letters that are read or typed where a digit stands."""

_PARTS = re.compile(r"([A-Z]{1,2})([0-9]{3,5})([A-Z]{1,2}[0-9]?)?\Z", re.ASCII)


@dataclass(frozen=True, slots=True)
class Published:
    """One number as it is etched, and what bears it."""

    marking: str
    kind: str
    entry: str
    evidence: str
    sources: tuple[str, ...]

    @property
    def thing(self) -> tuple[str, str]:
        """Folder and id."""
        return self.kind, self.entry


Found = tuple[Published, ...]


def bare(text: str) -> str:
    """Letters and digits alone, in capitals."""
    return "".join(filter(str.isalnum, text.upper()))


def skeleton(text: str) -> str:
    """What remains where letters and digits of one shape are taken for the same: all of them become digits."""
    return text.translate(_SKELETON)


@dataclass(slots=True)
class Index:
    """The ways to a published number.  Keys are `bare` texts, or skeletons of them."""

    exact: dict[str, Found] = field(default_factory=dict)
    shapes: dict[str, Found] = field(default_factory=dict)  # skeleton of the whole number
    heads: dict[str, Found] = field(default_factory=dict)  # skeleton without the ending, of numbers that have one
    digits: dict[str, Found] = field(default_factory=dict)  # skeleton without the letters in front
    holes: dict[str, Found] = field(default_factory=dict)  # letter and digits, one digit replaced by ?
    shorter: dict[str, Found] = field(default_factory=dict)  # letter and digits, one digit left out
    words: dict[int, Found] = field(default_factory=dict)  # first word of a ROM content
    ids: dict[str, Published] = field(default_factory=dict)

    def add(self, one: Published) -> None:
        """Enter a number under everything it may be looked for by."""
        key = bare(one.marking)
        _enter(self.exact, key, one)
        _enter(self.shapes, skeleton(key), one)
        parts = _PARTS.match(key)
        if not parts:
            if one.marking.count("-") == 2:  # a long number: the last two digits are its ending
                _enter(self.heads, skeleton(key[:-2]), one)
            return
        letters, digits, ending = parts[1], parts[2], parts[3] or ""
        _enter(self.digits, skeleton(digits + ending), one)
        if ending:
            _enter(self.heads, skeleton(letters + digits), one)
        for place in range(len(digits)):
            _enter(self.holes, f"{letters}{digits[:place]}?{digits[place + 1 :]}", one)
            _enter(self.shorter, f"{letters}{digits[:place]}{digits[place + 1 :]}", one)


def _enter(table: dict[str, Found], key: str, one: Published) -> None:
    there = table.get(key, ())
    if one not in there:
        table[key] = (*there, one)


_INDICES: WeakKeyDictionary[Catalogue, Index] = WeakKeyDictionary()


def index_of(catalogue: Catalogue) -> Index:
    """The index of a catalogue, made once.  A file that can't be read is left out: whoever uses it will say so."""
    if catalogue not in _INDICES:
        index = Index()
        for kind in KINDS:
            for name in catalogue.ids(kind):
                index.ids[name] = Published(name, kind, name, "", ())
                for key, record in _records(catalogue.path(kind, name)):
                    _take(index, kind, name, key, record)
        _INDICES[catalogue] = index
    return _INDICES[catalogue]


def _records(path: Path) -> Iterator[tuple[str, Mapping]]:
    try:
        data = path.read_bytes()
    except OSError:
        return
    for block in _BLOCKS.findall(data):
        node, problems = parse(block, str(path))
        if isinstance(node, Mapping) and not problems:
            for key, record in node:
                if isinstance(record, Mapping):
                    yield key.text, record


def _take(index: Index, kind: str, name: str, key: str, record: Mapping) -> None:
    evidence, sources = _texts(record.get("evidence")), _texts(record.get("sources"))
    sure = evidence[0] if evidence and evidence[0] in OWN_EVIDENCE else ""
    for value in _texts(record.get("value")):
        if value in (NONE, UNKNOWN):
            continue
        one = Published(value, kind, name, sure, sources)
        if key == "markings":
            index.add(one)
        elif re.fullmatch(r"[0-7]{1,6}", value, re.ASCII):
            index.words[int(value, 8)] = (*index.words.get(int(value, 8), ()), one)


def _texts(node: Node | None) -> tuple[str, ...]:
    items = node.items if isinstance(node, Sequence) else [node]
    return tuple(item.text for item in items if isinstance(item, Scalar) and not item.empty)
