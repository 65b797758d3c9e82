"""The bibliography: every source key with its document, and how well that document is known here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from minisim.problems import InputError, Problem
from minisim.yamltext import Mapping as MappingNode
from minisim.yamltext import Node, Scalar, compose

FILE = Path(__file__).parent / "sources.yaml"
"""The file of the bibliography."""

KNOWN_WORDS = ("read", "quoted", "not read", "no document")
"""How well a document is known, best first."""

_KEYS = ("title", "number", "year", "pages", "known", "part")
_REQUIRED = ("title", "known")


@dataclass(frozen=True, slots=True)
class Source:
    """One document; empty text where a thing is not known or does not apply."""

    key: str
    title: str
    known: str  # one of KNOWN_WORDS
    number: str = ""  # order number
    year: str = ""
    pages: str = ""  # pages or sections used, or where to look
    part: str = ""  # how much of it was read, or through which source it is known

    @property
    def line(self) -> str:
        """Title, number, year and pages as one line."""
        return ", ".join(part for part in (self.title, self.number, self.year, self.pages) if part)

    @property
    def how(self) -> str:
        """How well it is known: `read: summary`, `quoted: in ...`."""
        return f"{self.known}: {self.part}" if self.part else self.known


def read_sources(path: Path = FILE) -> Mapping[str, Source]:
    """All sources by key, in the order of the file; InputError with every problem."""
    root = compose(path)
    if not isinstance(root, MappingNode):
        raise InputError([Problem(root.mark, "a mapping of source keys is expected")])
    problems: list[Problem] = []
    sources = {key.text: _source(key.text, node, problems) for key, node in root}
    if problems:
        raise InputError(problems)
    return sources


def _source(key: str, node: Node, problems: list[Problem]) -> Source:
    """One source; what is wrong with it goes to `problems`."""
    found: dict[str, str] = {}
    for name, value in node if isinstance(node, MappingNode) else ():
        if name.text not in _KEYS:
            problems.append(Problem(name.mark, f'{key}: unknown key "{name.text}"'))
        elif not isinstance(value, Scalar) or value.empty:
            problems.append(Problem(value.mark, f"{key}: {name.text} is no text"))
        else:
            found[name.text] = value.text
    for name_wanted in _REQUIRED:
        if name_wanted not in found:
            problems.append(Problem(node.mark, f'{key}: key "{name_wanted}" is missing'))
    if found.get("known", "read") not in KNOWN_WORDS:
        problems.append(Problem(node.mark, f"{key}: known is none of {', '.join(KNOWN_WORDS)}"))
    return Source(key, found.pop("title", ""), found.pop("known", "read"), **found)
