"""YAML as text with places: the one door through which every YAML file comes in.

Scalars stay the text the owner wrote (no guess at numbers, dates or truth values) and every node knows its line and
column.  What YAML offers for tricks is refused: anchors, aliases, tags, merge keys, duplicate keys, several documents.
All problems of a file are collected; only a syntax error ends the reading, because nothing behind it can be trusted.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from minisim.files import read_at_most
from minisim.findings import Mark
from minisim.problems import InputError, Problem

MAX_BYTES = 10_000_000
MAX_DEPTH = 50
MAX_NODES = 500_000
_TOO_LARGE = f"the file is larger than {MAX_BYTES // 1_000_000} MB, too large for a YAML file"

# libyaml where it is there (ten times faster); the same events in plain Python elsewhere.
_EVENTS: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_NOT_PRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_BYTE_ORDER_MARK = "\ufeff"
_PLAIN = (None, "")
_NULL_WORDS = frozenset({"", "~", "null", "Null", "NULL"})


class _Placed:
    """What all nodes share: where they begin, counted from 1."""

    __slots__ = ("column", "file", "line")

    def __init__(self, file: str, line: int, column: int) -> None:
        self.file = file
        self.line = line
        self.column = column

    @property
    def mark(self) -> Mark:
        """The place as findings and problems print it."""
        return Mark(self.file, self.line, self.column)


class Scalar(_Placed):
    """A piece of text.  `quoted` is true for every style but the plain one."""

    __slots__ = ("quoted", "text")
    kind = "text"

    def __init__(self, text: str, quoted: bool, file: str, line: int, column: int) -> None:
        self.file = file
        self.line = line
        self.column = column
        self.text = text
        self.quoted = quoted

    @property
    def empty(self) -> bool:
        """True where nothing was written, or one of YAML's words for nothing, without quotes."""
        return not self.quoted and self.text in _NULL_WORDS

    def __repr__(self) -> str:
        return f"Scalar({self.text!r})"


class Sequence(_Placed):
    """A list of nodes."""

    __slots__ = ("items",)
    kind = "list"

    def __init__(self, items: list[Node], file: str, line: int, column: int) -> None:
        super().__init__(file, line, column)
        self.items = items

    def __iter__(self) -> Iterator[Node]:
        return iter(self.items)

    def __len__(self) -> int:
        return len(self.items)

    def __repr__(self) -> str:
        return f"Sequence({self.items!r})"


class Mapping(_Placed):
    """Keys (always text) and their values, in the order of the file."""

    __slots__ = ("_by_name",)
    kind = "mapping"

    def __init__(self, by_name: dict[str, tuple[Scalar, Node]], file: str, line: int, column: int) -> None:
        super().__init__(file, line, column)
        self._by_name = by_name

    @property
    def entries(self) -> list[tuple[Scalar, Node]]:
        """Keys and values, in the order of the file."""
        return list(self._by_name.values())

    def get(self, name: str) -> Node | None:
        """The value of `name`, or None."""
        found = self._by_name.get(name)
        return found[1] if found else None

    def key(self, name: str) -> Scalar | None:
        """The key node of `name` (for its place), or None."""
        found = self._by_name.get(name)
        return found[0] if found else None

    def names(self) -> list[str]:
        """The keys as text, in the order of the file."""
        return list(self._by_name)

    def __contains__(self, name: object) -> bool:
        return name in self._by_name

    def __iter__(self) -> Iterator[tuple[Scalar, Node]]:
        return iter(self._by_name.values())

    def __len__(self) -> int:
        return len(self._by_name)

    def __repr__(self) -> str:
        return f"Mapping({self.entries!r})"


Node = Scalar | Sequence | Mapping


def compose(path: str | Path) -> Node:
    """The tree of a file; InputError with every problem.  Marks show `path` as it was given."""
    return compose_bytes(read_bytes(path), str(path))


def compose_bytes(data: bytes, file: str) -> Node:
    """The tree of a file already read; InputError with every problem."""
    node, problems = parse(data, file)
    if problems or node is None:
        raise InputError(problems)
    return node


def read_bytes(path: str | Path) -> bytes:
    """The bytes of a file, at most MAX_BYTES; InputError where it can't be read."""
    return read_at_most(path, MAX_BYTES, "a YAML file")


def parse(data: bytes, file: str) -> tuple[Node | None, list[Problem]]:
    """Tree and problems, for a reader that adds its own: the tree is whole unless it is None."""
    text, problem = _decode(data, file)
    if problem is not None:
        return None, [problem]
    return _Builder(file).build(text)


def _decode(data: bytes, file: str) -> tuple[str, Problem | None]:
    """The text of the bytes, or what keeps them from being text."""
    if len(data) > MAX_BYTES:
        return "", Problem(Mark(file, 1, 1), _TOO_LARGE)
    try:
        text = data.decode("utf-8").removeprefix(_BYTE_ORDER_MARK)
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        return "", Problem(_end_of(before, file), "not UTF-8 text; save the file as UTF-8")
    found = _NOT_PRINTABLE.search(text)
    if found:
        message = f"a character that can't stand in YAML text (code {ord(found[0]):o} octal)"
        return "", Problem(_end_of(text[: found.start()], file), message)
    return text, None


def _end_of(text: str, file: str) -> Mark:
    """The place just behind `text`."""
    return Mark(file, text.count("\n") + 1, len(text) - text.rfind("\n"))


class _Builder:
    """Turns the events of one file into nodes, without recursion, so that no nesting can exhaust the stack."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.open: list[_Open] = []
        self.root: Node | None = None
        self.nodes = 0

    def build(self, text: str) -> tuple[Node | None, list[Problem]]:
        """Read everything; the root and the problems, in the order of the file."""
        loader = _EVENTS(text)
        try:
            whole = self._read(loader.get_event)
        except yaml.YAMLError as error:
            self._say_syntax(error, text)
            whole = False
        finally:
            loader.dispose()
        if whole and self.root is None and not self.problems:
            self._say(1, 1, "the file is empty")
        return (self.root if whole else None), sorted(self.problems, key=lambda problem: problem.mark)

    def _read(self, next_event: Any) -> bool:
        """Take events until the end; False where a limit or a second document ends it early."""
        documents = 0
        while True:
            event = next_event()
            name = event.__class__
            if name is yaml.ScalarEvent:
                self._scalar(event)
            elif name is yaml.MappingStartEvent or name is yaml.SequenceStartEvent:
                self._begin(event, name is yaml.MappingStartEvent)
            elif name is yaml.MappingEndEvent or name is yaml.SequenceEndEvent:
                self._add(self._close(self.open.pop()))
            elif name is yaml.AliasEvent:
                self._alias(event)
            elif name is yaml.DocumentStartEvent:
                documents += 1
                if documents > 1:
                    mark = event.start_mark
                    self._say(mark.line + 1, mark.column + 1, "a second document begins here; one file holds one")
                    return False
            elif name is yaml.StreamEndEvent:
                return True
            if len(self.open) > MAX_DEPTH or self.nodes > MAX_NODES:
                self._too_much(event.start_mark.line + 1, event.start_mark.column + 1)
                return False

    def _too_much(self, line: int, column: int) -> None:
        """Say that the file is nested too deeply or holds too many pieces."""
        deep = len(self.open) > MAX_DEPTH
        self._say(line, column, f"nested more than {MAX_DEPTH} deep" if deep else f"more than {MAX_NODES} pieces")

    def _begin(self, event: Any, mapping: bool) -> None:
        if event.anchor is not None or event.tag is not None:
            self._check(event)
        mark = event.start_mark
        self.open.append(_Open(mapping, mark.line + 1, mark.column + 1))

    def _scalar(self, event: Any) -> None:
        mark = event.start_mark
        if event.anchor is not None or event.tag is not None:
            self._check(event)
        self._add(Scalar(event.value, event.style not in _PLAIN, self.file, mark.line + 1, mark.column + 1))

    def _check(self, event: Any) -> None:
        """Anchors and tags are refused; the node behind them is kept."""
        line, column = event.start_mark.line + 1, event.start_mark.column + 1
        if event.anchor is not None:
            self._say(line, column, f"anchor &{event.anchor}: anchors are not allowed; write the text out")
        if event.tag is not None:
            self._say(line, column, f"tag {event.tag}: tags are not allowed; write plain text")

    def _alias(self, event: Any) -> None:
        line, column = event.start_mark.line + 1, event.start_mark.column + 1
        self._say(line, column, f"alias *{event.anchor}: aliases are not allowed; write the text out, or quote it")
        self._add(Scalar("", True, self.file, line, column))

    def _add(self, node: Node) -> None:
        """Hang a finished node on what is open."""
        self.nodes += 1
        if not self.open:
            self.root = node
            return
        top = self.open[-1]
        if not top.mapping:
            top.items.append(node)
        elif top.waiting is None:
            top.waiting = node
        else:
            self._entry(top, top.waiting, node)
            top.waiting = None

    def _entry(self, top: _Open, key: Node, value: Node) -> None:
        """Put one key with its value in a mapping, unless the key is refused."""
        if not isinstance(key, Scalar):
            self._say(key.line, key.column, f"a {key.kind} can't be a key; a key is one word")
        elif key.text == "<<" and not key.quoted:
            self._say(key.line, key.column, "merge key <<: not allowed; write the entries out")
        elif key.text in top.entries:
            first = top.entries[key.text][0]
            self._say(key.line, key.column, f'key "{key.text}" stands twice, first in line {first.line}')
        else:
            top.entries[key.text] = (key, value)

    def _close(self, top: _Open) -> Node:
        if top.mapping:
            return Mapping(top.entries, self.file, top.line, top.column)
        return Sequence(top.items, self.file, top.line, top.column)

    def _say(self, line: int, column: int, message: str) -> None:
        self.problems.append(Problem(Mark(self.file, line, column), message))

    def _say_syntax(self, error: yaml.YAMLError, text: str) -> None:
        """A syntax error in plain words, with a hint where the usual cause is known."""
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        seen = str(getattr(error, "problem", None) or getattr(error, "reason", None) or "can't be read")
        lines = text.split("\n", line)
        tab = mark and line <= len(lines) and lines[line - 1][column - 1 : column] == "\t"
        self._say(line, column, f"not valid YAML: {seen}{_TAB if tab else _hint(seen)}")


class _Open:
    """A list or mapping whose end has not come yet."""

    __slots__ = ("column", "entries", "items", "line", "mapping", "waiting")

    def __init__(self, mapping: bool, line: int, column: int) -> None:
        self.mapping = mapping
        self.line = line
        self.column = column
        self.items: list[Node] = []
        self.entries: dict[str, tuple[Scalar, Node]] = {}
        self.waiting: Node | None = None


_TAB = "; indent with spaces, not with tabs"
_HINTS = (
    ("mapping values are not allowed", 'a text with ": " in it needs quotes, or the indent is wrong'),
    ("could not find expected ':'", "a colon is missing, or the line above is not closed"),
    ("did not find expected key", "look at the indent of this line and the one above"),
    ("did not find expected ',' or", "a bracket or brace is not closed, or a comma is missing"),
    ("did not find expected '-'", "look at the indent of this list"),
    ("cannot start any token", "a text that begins with this character needs quotes"),
    ("unexpected end of stream", "a quote is not closed"),
    ("unknown escape character", "inside double quotes a backslash is written twice"),
)


def _hint(seen: str) -> str:
    """What usually causes this syntax error."""
    for part, hint in _HINTS:
        if part in seen:
            return f"; {hint}"
    return ""
