"""What a file, a table or a row says beside its values: keys that are handed down until one nearer says otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache

from minisim.findings import Mark
from minisim.problems import Problem, nearest
from minisim.trials.keys import FLOAT_CODES, MASKS, TrialKeyError, key_of
from minisim.trials.model import DEFAULT_AT, Evidence
from minisim.yamltext import Node, Scalar, Sequence

MOST_STEPS = 1_000_000
LATER_BASE = "later-base"


@dataclass(slots=True)
class Problems:
    """Everything wrong with a file."""

    found: list[Problem] = field(default_factory=list)

    def say(self, node: Node | Mark, message: str) -> None:
        """One more, at the place of a node."""
        self.found.append(Problem(node if isinstance(node, Mark) else node.mark, message))

    def unknown(self, node: Scalar, what: str, allowed: Iterable[str]) -> None:
        """An unknown word: what is allowed, and the nearest of it."""
        allowed = list(dict.fromkeys(allowed))
        self.say(node, f'unknown {what} "{node.text}"{nearest(node.text, allowed)} (allowed: {", ".join(allowed)})')


@dataclass(frozen=True, slots=True)
class Scope:
    """The keys in force at one place.  `program` is a text, or a tuple of words, with the node it stands at."""

    needs: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    sources: tuple[str, ...] | None = None  # None: nowhere said
    place: str = ""
    evidence: Evidence | None = None
    about: str = ""
    row: str = ""
    note: str = ""
    program: str | tuple[int, ...] | None = None
    program_node: Node | None = None
    at: int = DEFAULT_AT
    steps: int = 1
    mask: frozenset[str] = frozenset()
    profiles: tuple[str, ...] = ()


@cache
def modules() -> tuple[str, ...]:
    """The names of the modules, as the core has them, lower case, and the one that stands for several."""
    from minisim.cpu._core import ffi, lib

    names: list[str] = []
    while (name := lib.ms_module_name(len(names))) != ffi.NULL:
        names.append(ffi.string(name).decode("ascii").lower().replace("_", "-"))
    return (*names, LATER_BASE)


@cache
def unbuilt_modules() -> frozenset[str]:
    """The modules of which the core has not one instruction yet."""
    from minisim.cpu._core import lib

    built = {lib.ms_records()[number].module for number in range(1, lib.ms_record_count())}
    named = modules()[:-1]
    return frozenset(name for number, name in enumerate(named) if number not in built and name != "stack-limit")


@cache
def _profiles() -> tuple[str, ...]:
    from minisim.catalogue.reader import Catalogue

    return Catalogue().ids("profiles")


@cache
def _sources() -> tuple[str, ...]:
    from minisim.sources import read_sources

    return tuple(read_sources())


@cache
def _rows() -> tuple[str, ...]:
    from minisim.catalogue.reader import Catalogue

    return tuple(row.id for row in Catalogue().rows())


def read_field(scope: Scope, name: str, node: Node, problems: Problems) -> Scope:
    """The scope with one key read into it; what is wrong goes to `problems`."""
    return FIELDS[name](scope, node, problems)


# --- the readers of single keys -----------------------------------------------------------------------------------


def text_of(node: Node, problems: Problems, what: str) -> str | None:
    """The text of a node that must be one."""
    if isinstance(node, Scalar) and not node.empty:
        return node.text
    problems.say(node, f"{what}: a text is expected" + ("" if isinstance(node, Scalar) else f", not a {node.kind}"))
    return None


def _items(node: Node, problems: Problems, what: str) -> list[Scalar]:
    """The texts of a list; a single text counts as a list of one."""
    if isinstance(node, Scalar):
        return [] if node.empty else [node]
    if isinstance(node, Sequence):
        for item in node:
            if not isinstance(item, Scalar):
                problems.say(item, f"{what}: a text is expected, not a {item.kind}")
        return [item for item in node if isinstance(item, Scalar)]
    problems.say(node, f"{what}: a list of texts is expected, not a mapping")
    return []


def _names(node: Node, problems: Problems, what: str, allowed: Iterable[str]) -> tuple[str, ...]:
    found: list[str] = []
    for item in _items(node, problems, what):
        for word in item.text.split():
            if word in allowed:
                found.append(word)
            else:
                problems.unknown(Scalar(word, True, item.file, item.line, item.column), what, allowed)
    return tuple(found)


def _needs(scope: Scope, node: Node, problems: Problems) -> Scope:
    return replace(scope, needs=_names(node, problems, "module", modules()))


def _without(scope: Scope, node: Node, problems: Problems) -> Scope:
    return replace(scope, without=_names(node, problems, "module", modules()))


def _source(scope: Scope, node: Node, problems: Problems) -> Scope:
    return replace(scope, sources=_names(node, problems, "source", _sources()))


def _profile(scope: Scope, node: Node, problems: Problems) -> Scope:
    return replace(scope, profiles=_names(node, problems, "profile", _profiles()))


def _evidence(scope: Scope, node: Node, problems: Problems) -> Scope:
    words = [word.value for word in Evidence]
    found = _names(node, problems, "evidence", words)
    return replace(scope, evidence=Evidence(found[0])) if found else scope


def _row(scope: Scope, node: Node, problems: Problems) -> Scope:
    found = _names(node, problems, "row of the table of differences", _rows())
    return replace(scope, row=found[0]) if found else scope


def _about(scope: Scope, node: Node, problems: Problems) -> Scope:
    return replace(scope, about=text_of(node, problems, "about") or "")


def _place(scope: Scope, node: Node, problems: Problems) -> Scope:
    empty = isinstance(node, Scalar) and node.text in ("", "null", "~")
    return replace(scope, place="" if empty else text_of(node, problems, "place") or "")


def _note(scope: Scope, node: Node, problems: Problems) -> Scope:
    empty = isinstance(node, Scalar) and node.text in ("", "null", "~")
    return replace(scope, note="" if empty else text_of(node, problems, "note") or "")


def _program(scope: Scope, node: Node, problems: Problems) -> Scope:
    text = text_of(node, problems, "program")
    return scope if text is None else replace(scope, program=text, program_node=node)


def _words(scope: Scope, node: Node, problems: Problems) -> Scope:
    words: list[int] = []
    for item in _items(node, problems, "words"):
        for word in item.text.split():
            if set(word) <= set("01234567") and int(word, 8) <= 0o177777:
                words.append(int(word, 8))
            else:
                problems.say(item, f'words: "{word}" is no octal word up to 177777')
    if not words:
        problems.say(node, "words: at least one octal word is expected")
    return replace(scope, program=tuple(words), program_node=node)


def _at(scope: Scope, node: Node, problems: Problems) -> Scope:
    text = text_of(node, problems, "at")
    if text is None:
        return scope
    if set(text) - set("01234567") or int(text, 8) > 0o177776 or int(text, 8) & 1:
        problems.say(node, f'at: "{text}" is no even octal address up to 177776')
        return scope
    return replace(scope, at=int(text, 8))


def _steps(scope: Scope, node: Node, problems: Problems) -> Scope:
    text = text_of(node, problems, "steps")
    if text is None:
        return scope
    digits = text.removesuffix(".")
    if not digits.isascii() or not digits.isdigit() or int(digits) > MOST_STEPS:
        problems.say(node, f'steps: "{text}" is no decimal count up to {MOST_STEPS}')
        return scope
    return replace(scope, steps=int(digits))


def _mask(scope: Scope, node: Node, problems: Problems) -> Scope:
    found: set[str] = set()
    for item in _items(node, problems, "mask"):
        if is_mask(item.text):
            found.add(item.text)
        else:
            problems.unknown(item, "mask", [*MASKS, "word 001700", "register 777572", "trap"])
    return replace(scope, mask=frozenset(found))


def is_mask(text: str) -> bool:
    """Is this something that `mask` may name?"""
    if text in MASKS or text in FLOAT_CODES:
        return True
    try:
        return key_of(text).kind.side in ("then", "both")
    except TrialKeyError:
        return False


FIELDS: Mapping[str, Callable[[Scope, Node, Problems], Scope]] = {
    "needs": _needs,
    "without": _without,
    "source": _source,
    "place": _place,
    "evidence": _evidence,
    "about": _about,
    "row": _row,
    "program": _program,
    "words": _words,
    "at": _at,
    "steps": _steps,
    "mask": _mask,
    "note": _note,
    "profile": _profile,
}
"""Every key that may stand in a file, a table or a row, with its reader."""
