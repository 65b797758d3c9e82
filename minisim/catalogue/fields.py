"""Reading one catalogue file field by field: every problem is noted with its place, none stops the reading.

A field that is missing or wrong gives a harmless stand-in; `finish` then refuses the file as a whole.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import TypeVar

from minisim.catalogue.words import ENDS, EVIDENCE, IO_PAGE, NONE, UNKNOWN
from minisim.findings import Mark
from minisim.known import Evidence, Figure, Known, NotApplicable, Unknown
from minisim.problems import InputError, Problem, nearest
from minisim.yamltext import Mapping as MappingNode
from minisim.yamltext import Node, Scalar, Sequence

T = TypeVar("T")
Convert = Callable[[Node], T]
Extra = tuple[str, ...] | None

_RECORD = frozenset({"value", "evidence", "sources", "note"})
_OCTAL = re.compile(r"[0-7]{1,6}\Z", re.ASCII)
_DECIMAL = re.compile(r"-?[0-9]{1,12}(\.[0-9]{1,6})?\Z", re.ASCII)
_IO_PAGE_START = 0o760000
_LAST_VECTOR = 0o774
_LABELS = {"ac": "AC loads", "dc": "DC loads", "dma": "DMA", "dma-bits": "DMA width", "kb": "size"}


class BadValueError(Exception):
    """A value that its field can't hold; the message says what was expected."""


def text(node: Node) -> str:
    """Any text but none at all."""
    if not isinstance(node, Scalar):
        raise BadValueError(f"a {node.kind} stands where text is expected")
    if node.empty:
        raise BadValueError(f"nothing stands here; write {UNKNOWN} or {NONE}")
    return node.text


def decimal(node: Node) -> Decimal:
    """A decimal number."""
    word = text(node)
    if not _DECIMAL.match(word):
        raise BadValueError(f'"{word}" is no decimal number')
    return Decimal(word)


def whole(node: Node) -> int:
    """A whole decimal number from 0."""
    word = text(node)
    if not (word.isascii() and word.isdigit() and len(word) <= 12):
        raise BadValueError(f'"{word}" is no whole decimal number')
    return int(word)


def octal_word(node: Node) -> int:
    """A word of 16 bits in octal."""
    word = text(node)
    if not _OCTAL.match(word) or int(word, 8) > 0o177777:
        raise BadValueError(f'"{word}" is no octal word (0 to 177777)')
    return int(word, 8)


def io_offset(node: Node) -> int:
    """A register address in its 18-bit form, as an offset in the I/O page."""
    word = text(node)
    address = int(word, 8) if _OCTAL.match(word) else -1
    if address < _IO_PAGE_START or address % 2:
        raise BadValueError(f'"{word}" is no even octal address in the I/O page (760000 to 777776)')
    return address & IO_PAGE


def vector(node: Node) -> int:
    """A vector: octal, a multiple of 4, at most 774."""
    word = text(node)
    if not _OCTAL.match(word) or int(word, 8) > _LAST_VECTOR or int(word, 8) % 4:
        raise BadValueError(f'"{word}" is no vector (octal multiple of 4, 0 to 774)')
    return int(word, 8)


def one_of(words: tuple[str, ...]) -> Convert[str]:
    """One of some words."""

    def convert(node: Node) -> str:
        word = text(node)
        if word not in words:
            raise BadValueError(f'"{word}" is none of {", ".join(words)}{nearest(word, words)}')
        return word

    return convert


def listed(convert: Convert[T]) -> Convert[tuple[T, ...]]:
    """A list; a single value counts as a list of one."""

    def many(node: Node) -> tuple[T, ...]:
        if isinstance(node, Sequence):
            return tuple(convert(item) for item in node.items)
        return (convert(node),)

    return many


def texts(node: Node) -> Mapping[str, str]:
    """A mapping of texts; a list in it is joined with commas."""
    if not isinstance(node, MappingNode):
        raise BadValueError(f"a {node.kind} stands where a mapping is expected")
    return {key.text: ", ".join(listed(text)(value)) for key, value in node}


words_of = listed(text)


class Fields:
    """The keys of one mapping, each to be taken once."""

    __slots__ = ("_left", "evidence", "file", "node", "problems", "what")

    def __init__(
        self, node: Node, file: str, problems: list[Problem], what: str, evidence: tuple[str, ...] = EVIDENCE
    ) -> None:
        self.evidence = evidence  # the words this file may use
        self.file = file
        self.problems = problems
        self.what = what
        if not isinstance(node, MappingNode):
            problems.append(Problem(node.mark, f"{what}: a {node.kind} stands where a mapping is expected"))
            node = MappingNode({}, node.file, node.line, node.column)
        self.node = node
        self._left = set(node.names())

    def __contains__(self, name: str) -> bool:
        return name in self.node

    def say(self, place: Node, message: str) -> None:
        """Note a problem at a place."""
        self.problems.append(Problem(place.mark, f"{self.what}: {message}"))

    def take(self, name: str) -> Node | None:
        """The node of an optional key."""
        self._left.discard(name)
        return self.node.get(name)

    def need(self, name: str) -> Node | None:
        """The node of a key that must be there; missing is a problem."""
        node = self.take(name)
        if node is None:
            self.say(self.node, f'key "{name}" is missing')
        return node

    def read(self, name: str, convert: Convert[T], otherwise: T) -> T:
        """A required plain value."""
        node = self.need(name)
        return otherwise if node is None else self._convert(name, node, convert, otherwise)

    def maybe(self, name: str, convert: Convert[T], otherwise: T) -> T:
        """A plain value that may be absent."""
        node = self.take(name)
        return otherwise if node is None else self._convert(name, node, convert, otherwise)

    def _convert(self, name: str, node: Node, convert: Convert[T], otherwise: T) -> T:
        try:
            return convert(node)
        except BadValueError as bad:
            self.say(node, f"{name}: {bad}")
            return otherwise

    def word(self, name: str, words: tuple[str, ...]) -> str:
        """A required word of a vocabulary."""
        return self.read(name, one_of(words), words[0])

    def figure(self, name: str, convert: Convert[T], *, keep_none: bool = False, extra: Extra = ()) -> Figure[T]:
        """A required record.  `keep_none`: the word none is a value with evidence, not "does not exist"."""
        node = self.need(name)
        return self._unknown(name) if node is None else self.record(name, node, convert, keep_none, extra)

    def maybe_figure(self, name: str, convert: Convert[T], otherwise: Figure[T], extra: Extra = ()) -> Figure[T]:
        """A record that may be absent."""
        node = self.take(name)
        return otherwise if node is None else self.record(name, node, convert, False, extra)

    def _unknown(self, name: str, note: str = "") -> Unknown:
        return Unknown(f"{self._called(name)}{f' ({note})' if note else ''}")

    def _called(self, name: str) -> str:
        """What a figure is called: "AC loads of board ..."."""
        return f"{_LABELS.get(name, name.replace('-', ' '))} of {self.what}"

    def record(
        self, name: str, node: Node, convert: Convert[T], keep_none: bool = False, extra: Extra = ()
    ) -> Figure[T]:
        """A record `{value, evidence, sources, note}` as a figure; `extra` names further keys (None: any)."""
        if not isinstance(node, MappingNode):
            self.say(node, f"{name}: a record {{value, evidence, sources}} is expected")
            return self._unknown(name)
        if extra is not None:
            self._check_keys(name, node, {*_RECORD, *extra})
        value = node.get("value")
        if value is None:
            self.say(node, f'{name}: key "value" is missing')
            return self._unknown(name)
        word = value.text if isinstance(value, Scalar) else ""
        if word == UNKNOWN:
            return self._unknown(name, self.note_of(node))
        if word == NONE and not keep_none:
            return NotApplicable()
        try:
            return self.known(name, node, convert(value))
        except BadValueError as bad:
            self.say(value, f"{name}: {bad}")
            return self._unknown(name)

    def _check_keys(self, name: str, node: MappingNode, allowed: set[str]) -> None:
        for key, _ in node:
            if key.text not in allowed:
                self.say(key, f'{name}: unknown key "{key.text}"{nearest(key.text, allowed)}')

    def known(self, name: str, node: MappingNode, value: T) -> Figure[T]:
        """A value with the evidence, sources and note that stand beside it in `node`."""
        word = node.get("evidence")
        said = word.text if isinstance(word, Scalar) else ""
        if said not in self.evidence:
            seen = f'"{said}" is no evidence' if said else "evidence is missing"
            self.say(word or node, f"{name}: {seen}; evidence is one of {', '.join(self.evidence)}")
            return self._unknown(name)
        return Known(value, Evidence(said), self.sources_of(node), self.note_of(node), self._called(name))

    def sources_of(self, node: MappingNode) -> tuple[str, ...]:
        """The source keys of a record or block."""
        sources = node.get("sources")
        try:
            return words_of(sources) if isinstance(sources, Sequence) else () if sources is None else (text(sources),)
        except BadValueError as bad:
            self.say(sources or node, f"sources: {bad}")
            return ()

    def note_of(self, node: MappingNode) -> str:
        """The note of a record or block, or nothing."""
        note = node.get("note")
        return note.text if isinstance(note, Scalar) else ""

    def block(self, name: str) -> Fields | None:
        """A mapping of its own under an optional key, None where absent or one of the words none and unknown."""
        node = self.take(name)
        if node is None or (isinstance(node, Scalar) and node.text in (NONE, UNKNOWN)):
            return None
        return self.inside(name, node)

    def inside(self, name: str, node: Node) -> Fields:
        """The fields of a mapping inside this one."""
        return Fields(node, self.file, self.problems, f"{self.what}, {name}", self.evidence)

    def blocks(self, name: str) -> list[Fields]:
        """A required list of mappings."""
        node = self.need(name)
        if node is None:
            return []
        if not isinstance(node, Sequence):
            self.say(node, f"{name}: a list is expected")
            return []
        return [self.inside(name, item) for item in node.items]

    def figures(
        self, name: str, convert: Convert[T], words: tuple[str, ...] = (), label: str = ""
    ) -> dict[str, Figure[T]]:
        """A mapping of records, its keys from a vocabulary (or free); absent, none and unknown give an empty one."""
        block = self.block(name)
        if block is None:
            return {}
        for key, _ in block.node:
            if words and key.text not in words:
                block.say(key, f'"{key.text}" is none of {", ".join(words)}{nearest(key.text, words)}')
        return {key.text: self.record(f"{label}{key.text}", value, convert, extra=None) for key, value in block.node}

    def evidence_figure(self, name: str, value: T) -> Figure[T]:
        """A value known as well as this whole block is (keys evidence, sources and note of its own)."""
        for key in ("evidence", "sources", "note"):
            self._left.discard(key)
        return self.known(name, self.node, value)

    def is_unknown(self, name: str) -> bool:
        """True where the key holds the plain word unknown."""
        node = self.node.get(name)
        return isinstance(node, Scalar) and node.text == UNKNOWN

    def finish(self, *ignored: str) -> None:
        """Say which keys nobody took."""
        for name in sorted(self._left.difference(ignored)):
            key = self.node.key(name)
            self.say(key or self.node, f'unknown key "{name}"')


def end_of(fields: Fields, name: str) -> str:
    """Which end of the bus a terminating record names under `end`; empty where it ends nothing."""
    node = fields.node.get(name)
    end = node.get("end") if isinstance(node, MappingNode) else None
    if end is None:
        return ""
    try:
        return one_of((*ENDS, UNKNOWN))(end)
    except BadValueError as bad:
        fields.say(end, f"{name} end: {bad}")
        return ""


def refuse(problems: list[Problem]) -> None:
    """Raise what was found, if anything was."""
    if problems:
        raise InputError(problems)


def top(file: str) -> Mark:
    """The beginning of a file."""
    return Mark(file, 1, 1)
