"""From YAML nodes to values by the declarations: the same walk finds unknown keys, missing keys and wrong types.

Every problem is written down and the walk goes on; a piece that can't be used is left out of the result.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, TypeVar

from minisim.findings import Mark
from minisim.loadout.fields import LOOSE_TEXT, Field, FieldError, listed
from minisim.loadout.shape import IdOf, Key, ListOf, MapOf, Record, Shape, TextOr
from minisim.problems import Problem, nearest
from minisim.yamltext import Mapping, Node, Scalar, Sequence

T = TypeVar("T")
MOST_PROBLEMS = 500
"""More problems than anybody reads at once; the reader stops there."""

_LONGEST = 60  # characters of the owner's text in a message
_FEW = 10  # so many ids are listed in a message, more are not


@dataclass(frozen=True, slots=True)
class Value:
    """One scalar: the text as written, the value its field made of it, and its place."""

    text: str
    value: Any
    mark: Mark


@dataclass(frozen=True, slots=True)
class Got:
    """A record: its keys that could be used, and the place of every key that stands in the file."""

    mark: Mark
    parts: dict[str, Part]
    marks: dict[str, Mark]

    def __contains__(self, name: str) -> bool:
        return name in self.parts

    def wrote(self, name: str) -> bool:
        """True where the key stands in the file, usable or not."""
        return name in self.marks

    def at(self, name: str) -> Mark:
        """Where the value of `name` stands (its key where the value is no scalar), else where the record begins."""
        part = self.parts.get(name)
        return part.mark if isinstance(part, Value) else self.marks.get(name, self.mark)

    def value(self, name: str, kind: type[T]) -> T | None:
        """The value of a scalar key of the wanted type, or None."""
        part = self.parts.get(name)
        return part.value if isinstance(part, Value) and isinstance(part.value, kind) else None

    def text(self, name: str) -> str:
        """The text of a scalar key, or nothing."""
        return self.value(name, str) or ""

    def record(self, name: str) -> Got | None:
        """The record under a key, or None."""
        part = self.parts.get(name)
        return part if isinstance(part, Got) else None

    def records(self, name: str) -> Iterator[Got]:
        """The records of a list under a key."""
        part = self.parts.get(name)
        return (item for item in part if isinstance(item, Got)) if isinstance(part, list) else iter(())

    def values(self, name: str) -> Iterator[Value]:
        """The scalars of a list under a key."""
        part = self.parts.get(name)
        return (item for item in part if isinstance(item, Value)) if isinstance(part, list) else iter(())

    def texts(self, name: str) -> tuple[str, ...]:
        """The texts of a list under a key."""
        return tuple(item.text for item in self.values(name))

    def pairs(self, name: str) -> list[Pair]:
        """The entries of a map under a key."""
        part = self.parts.get(name)
        return [item for item in part if isinstance(item, Pair)] if isinstance(part, list) else []


@dataclass(frozen=True, slots=True)
class Pair:
    """One entry of a map; `value` None: it stands there, but can't be used."""

    key: Value
    value: Part | None


Part = Value | Got | list[Any]


class TooManyProblemsError(Exception):
    """A file with so many problems is not worth reading on."""


def note(problems: list[Problem], mark: Mark, message: str) -> None:
    """Write a problem down; TooManyProblemsError where the list is full."""
    if len(problems) >= MOST_PROBLEMS:
        raise TooManyProblemsError
    problems.append(Problem(mark, message))


@dataclass(slots=True)
class Converter:
    """One walk over one file."""

    ids: Callable[[str], tuple[str, ...]]  # folder of the catalogue -> ids in it
    problems: list[Problem] = field(default_factory=list)

    def say(self, mark: Mark, message: str) -> None:
        """Write a problem down."""
        note(self.problems, mark, message)

    def convert(self, node: Node, shape: Shape, what: str) -> Part | None:
        """The value of a node; `what` names it in messages (a key, mostly)."""
        if isinstance(shape, Field):
            return self._scalar(node, shape, what)
        if isinstance(shape, IdOf):
            return self._id(node, shape, what)
        if isinstance(shape, ListOf):
            return self._list(node, shape, what)
        if isinstance(shape, MapOf):
            return self._map(node, shape, what)
        if isinstance(shape, TextOr):
            return self.convert(node, shape.record if isinstance(node, Mapping) else shape.text, what)
        return self.record(node, shape, what)

    def _scalar(self, node: Node, wanted: Field[Any], what: str) -> Value | None:
        if not isinstance(node, Scalar):
            self.say(node.mark, f"{what}: {wanted.name} is wanted here, not a {node.kind}")
            return None
        text = "" if node.empty else node.text
        try:
            return Value(text, wanted.read(text), node.mark)
        except FieldError as error:
            self.say(node.mark, complaint(what, text, error))
            return None

    def _id(self, node: Node, wanted: IdOf, what: str) -> Value | None:
        if not isinstance(node, Scalar):
            self.say(node.mark, f"{what}: the id of a {wanted.one} is wanted here, not a {node.kind}")
            return None
        allowed = (*self.ids(wanted.folder), *wanted.also)
        if node.text in allowed:
            return Value(node.text, node.text, node.mark)
        if node.empty:
            self.say(node.mark, f"{what}: empty; the id of a {wanted.one} of the catalogue is wanted")
        else:
            hint = nearest(node.text, allowed) or _other_ways(wanted, allowed)
            self.say(node.mark, f"{what} {quoted(node.text)}: there is no such {wanted.one} in the catalogue{hint}")
        return None

    def _list(self, node: Node, wanted: ListOf, what: str) -> list[Any] | None:
        if not isinstance(node, Sequence):
            self.say(node.mark, f"{what}: {wanted.what} is wanted here, {_seen(node)}{_list_hint(node)}")
            return None
        parts = [self.convert(item, wanted.item, what) for item in node]
        return [part for part in parts if part is not None]

    def _map(self, node: Node, wanted: MapOf, what: str) -> list[Pair] | None:
        if not isinstance(node, Mapping):
            self.say(node.mark, f"{what}: {wanted.what} is wanted here, {_seen(node)}")
            return None
        pairs = []
        for key_node, value_node in node:
            noun = "" if wanted.key is LOOSE_TEXT else wanted.key.name.removeprefix("a ")
            key = self._scalar(key_node, wanted.key, noun or what)
            value = self.convert(value_node, wanted.value, f"{noun} {short(key_node.text)}".strip())
            if key is not None:
                pairs.append(Pair(key, value))
        return pairs

    def record(self, node: Node, wanted: Record, what: str) -> Got | None:
        """A mapping with fixed keys."""
        if not isinstance(node, Mapping):
            self.say(node.mark, f"{what}: {wanted.name} is wanted here, {_seen(node)}; its keys are {_names(wanted)}")
            return None
        parts: dict[str, Part] = {}
        for key_node, value_node in node:
            key = wanted.key(key_node.text)
            if key is None:
                self._unknown_key(key_node, wanted)
                continue
            part = self.convert(value_node, key.shape, key.name)
            if part is not None:
                parts[key.name] = part
        for name in wanted.required:
            if name not in node:
                self.say(node.mark, f'the key "{name}" is missing: {wanted.name} needs it')
        self._check_either(node, wanted)
        return Got(node.mark, parts, {key.text: key.mark for key, _ in node if wanted.key(key.text)})

    def _check_either(self, node: Mapping, wanted: Record) -> None:
        there = [key for key, _ in node if key.text in wanted.either]
        ways = " or ".join(f'"{name}"' for name in wanted.either)
        if wanted.either and not there:
            self.say(node.mark, f"the key {ways} is missing: {wanted.name} needs one of them")
        for key in there[1:]:
            self.say(key.mark, f"{key.text}: stands beside {there[0].text}; {wanted.name} has {ways}, not both")

    def _unknown_key(self, key_node: Scalar, wanted: Record) -> None:
        names = [key.name for key in wanted]
        hint = nearest(key_node.text.replace("_", "-").lower(), names)
        self.say(
            key_node.mark, f"unknown key {quoted(key_node.text)}; {wanted.name} has the keys {_names(wanted)}{hint}"
        )


def _other_ways(wanted: IdOf, allowed: tuple[str, ...]) -> str:
    """What may stand where nothing is spelt alike."""
    if wanted.described:
        return f"; a {wanted.one} that is not there is described in place: {{describe: {{...}}}}"
    also = "".join(f"; a {wanted.one} or the word {word} is wanted" for word in wanted.also)
    return also or (f"; there are {_all(allowed)}" if len(allowed) <= _FEW else "")


def _all(words: tuple[str, ...]) -> str:
    return listed(words).replace(" or ", " and ")


def complaint(what: str, text: str, error: FieldError) -> str:
    """What is wrong with the text of a field."""
    return f"{what} {quoted(text)}: {error}" if text else f"{what}: {error}"


def quoted(text: str) -> str:
    """The text between quotes, short and on one line."""
    return f'"{short(text)}"'


def short(text: str) -> str:
    """The beginning of the text on one line."""
    plain = " ".join(text.split())
    return plain if len(plain) <= _LONGEST else f"{plain[: _LONGEST - 3]}..."


def _names(record: Record) -> str:
    return listed([key.name for key in record]).replace(" or ", " and ")


def _seen(node: Node) -> str:
    if isinstance(node, Scalar):
        return "and nothing stands there" if node.empty else f"not the text {quoted(node.text)}"
    return f"not a {node.kind}"


def _list_hint(node: Node) -> str:
    if isinstance(node, Scalar) and not node.empty:
        return f"; write [{short(node.text)}]"
    return "; begin each with a dash" if isinstance(node, Mapping) else ""


def declared(record: Record, name: str) -> Key:
    """The declaration of a key that must exist."""
    key = record.key(name)
    if key is None:
        raise KeyError(name)
    return key
