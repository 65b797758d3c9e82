"""Reads symptom files and shared causes: everything wrong with a file is told at once, each with line and column.

A file is read in two steps, so that a question stays fast: the head of every file (all before `causes:`) to recognise
the words, and the whole of the one that fits.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

from minisim.findings import Mark
from minisim.problems import InputError, Problems, nearest
from minisim.why.model import Cause, Condition, Head, Phrase, Question, Symptom, Tell, Use
from minisim.why.words import phrase_parts
from minisim.yamltext import Mapping as MappingNode
from minisim.yamltext import Node, Scalar, Sequence, parse, read_bytes

FOLDER = Path(__file__).parent / "symptoms"
SHARED = Path(__file__).parent / "causes.yaml"
VERSION = "1"
HEAD_KEYS = ("why", "title", "examples", "phrases")
FILE_KEYS = (*HEAD_KEYS, "tells", "ask", "causes", "otherwise")
TELL_KEYS = ("say", "when", "unless")
ASK_KEYS = ("look", "if-yes", "if-no", "when", "unless")
USE_KEYS = ("use", "weight", "when", "unless")
CAUSE_KEYS = (
    "id", "cause", "weight", "when", "unless", "rules", "about", "look-at", "measure", "expect", "if-not", "hand",
    "mind", "sources", "unconfirmed",
)  # fmt: skip
CAUSE_REQUIRED = ("id", "cause", "measure", "expect", "if-not", "sources")
MOST_WEIGHT = 100
_HEAD_END = b"\ncauses:"


# ---- pieces


def _text(node: Node | None, problems: Problems, what: str) -> str:
    if node is None:
        return ""
    if isinstance(node, Scalar) and not node.empty:
        return " ".join(node.text.split())
    problems.say(node, f"{what}: text is expected")
    return ""


def _texts(node: Node | None, problems: Problems, what: str) -> tuple[str, ...]:
    if node is None:
        return ()
    if not isinstance(node, Sequence):
        problems.say(node, f"{what}: a list is expected")
        return ()
    return tuple(_text(item, problems, what) for item in node)


def _weight(node: Node | None, problems: Problems) -> int:
    text = _text(node, problems, "weight")
    if not text or (text.isascii() and text.isdigit() and int(text) <= MOST_WEIGHT):
        return int(text or 0)
    assert node is not None
    problems.say(node, f'weight: "{text}" is none of 0 to {MOST_WEIGHT} (decimal)')
    return 0


def _yes(node: Node | None, problems: Problems, what: str) -> bool:
    text = _text(node, problems, what)
    if text not in ("", "yes", "no"):
        assert node is not None
        problems.say(node, f'{what}: "{text}" is neither yes nor no')
    return text == "yes"


def _conditions(node: Node | None, problems: Problems) -> tuple[Condition, ...]:
    """A list of facts: `has-boot-rom`, or `bus: mux` where a fact takes an argument."""
    from minisim.why.facts import FACTS

    if node is None:
        return ()
    if not isinstance(node, Sequence):
        problems.say(node, "a list of facts is expected")
        return ()
    found = []
    for item in node:
        if isinstance(item, MappingNode) and len(item) == 1:
            key, value = item.entries[0]
            found.append(Condition(key.text, _text(value, problems, key.text), item.mark))
        elif isinstance(item, Scalar):
            found.append(Condition(item.text, "", item.mark))
        else:
            problems.say(item, "a fact is one word, or one word with its argument")
            continue
        fact = FACTS.get(found[-1].fact)
        if fact is None:
            names = ", ".join(sorted(FACTS))
            problems.say(item, f'unknown fact "{found[-1].fact}"{nearest(found[-1].fact, FACTS)}; facts are {names}')
        elif bool(found[-1].argument) != fact.takes_argument:
            word = "an" if fact.takes_argument else "no"
            problems.say(item, f'fact "{found[-1].fact}" takes {word} argument')
    return tuple(found)


def _filled(text: str, node: Node | None, problems: Problems) -> str:
    """A text whose words in braces are all known."""
    from minisim.why.sayings import SAYINGS, names_in

    for name in names_in(text):
        if name not in SAYINGS and node is not None:
            problems.say(node, f'unknown word "{{{name}}}"{nearest(name, SAYINGS)}; words are {", ".join(SAYINGS)}')
    return text


def _said(node: MappingNode, name: str, problems: Problems) -> str:
    return _filled(_text(node.get(name), problems, name), node.get(name), problems)


# ---- head


def _phrases(node: Node | None, problems: Problems) -> tuple[Phrase, ...]:
    from minisim.why.numbers import KINDS

    found = []
    for item, text in zip(node if isinstance(node, Sequence) else (), _texts(node, problems, "phrases"), strict=False):
        words, barred, slots = phrase_parts(text)
        for _, slot in slots:
            if slot.kind not in KINDS:
                near = nearest(slot.kind, KINDS)
                problems.say(item, f'unknown number "{slot.kind}"{near}; kinds: {", ".join(KINDS)}')
        if not words and not slots:
            problems.say(item, "a phrase needs a word that says something")
        found.append(Phrase(text, words, barred, slots, item.mark))
    return tuple(found)


def _head(root: MappingNode, name: str, problems: Problems) -> Head:
    version = root.get("why")
    if version is not None and _text(version, problems, "why") != VERSION:
        problems.say(version, f"why: version {VERSION} is the only one there is")
    return Head(
        name,
        _text(root.get("title"), problems, "title"),
        _texts(root.get("examples"), problems, "examples"),
        _phrases(root.get("phrases"), problems),
    )


# ---- causes


def _cause(node: MappingNode, problems: Problems) -> Cause:
    from minisim.why.lists import BOARDS, LISTS

    problems.keys(node, CAUSE_KEYS, CAUSE_REQUIRED)
    about, look_at = _text(node.get("about"), problems, "about"), _text(node.get("look-at"), problems, "look-at")
    for word, allowed, key in ((about, BOARDS, "about"), (look_at, LISTS, "look-at")):
        if word and word not in allowed:
            problems.say(node.get(key) or node, f'{key}: "{word}" is none of {", ".join(allowed)}')
    return Cause(
        id=_text(node.get("id"), problems, "id"),
        cause=_said(node, "cause", problems),
        weight=_weight(node.get("weight"), problems),
        when=_conditions(node.get("when"), problems),
        unless=_conditions(node.get("unless"), problems),
        rules=_texts(node.get("rules"), problems, "rules"),
        about=about,
        look_at=look_at,
        measure=_said(node, "measure", problems),
        expect=_said(node, "expect", problems),
        if_not=_said(node, "if-not", problems),
        hand=_yes(node.get("hand"), problems, "hand"),
        mind=_said(node, "mind", problems),
        sources=_texts(node.get("sources"), problems, "sources"),
        unconfirmed=_yes(node.get("unconfirmed"), problems, "unconfirmed"),
        mark=node.mark,
    )


def _use(node: MappingNode, problems: Problems) -> Use:
    problems.keys(node, USE_KEYS, ("use", "weight"))
    return Use(
        _text(node.get("use"), problems, "use"),
        _weight(node.get("weight"), problems),
        _conditions(node.get("when"), problems),
        _conditions(node.get("unless"), problems),
        node.mark,
    )


def _of_mappings(node: Node | None, problems: Problems, what: str) -> list[MappingNode]:
    if node is None:
        return []
    if not isinstance(node, Sequence):
        problems.say(node, f"{what}: a list is expected")
        return []
    wrong = [item for item in node if not isinstance(item, MappingNode)]
    for item in wrong:
        problems.say(item, f"{what}: a mapping is expected, not a {item.kind}")
    return [item for item in node if isinstance(item, MappingNode)]


def _causes(node: Node | None, shared: Mapping[str, Cause], problems: Problems) -> tuple[Cause, ...]:
    found: dict[str, Cause] = {}
    for item in _of_mappings(node, problems, "causes"):
        if "use" in item:
            use = _use(item, problems)
            base = shared.get(use.id)
            if base is None:
                problems.say(item, f'there is no shared cause "{use.id}"{nearest(use.id, shared)}')
                continue
            cause = replace(base, weight=use.weight, when=(*base.when, *use.when), unless=(*base.unless, *use.unless))
        else:
            cause = _cause(item, problems)
        if cause.id in found:
            problems.say(item, f'cause "{cause.id}" stands twice')
        found[cause.id] = cause
    return tuple(found.values())


def _tell(node: MappingNode, problems: Problems) -> Tell:
    problems.keys(node, TELL_KEYS, ("say",))
    return Tell(
        _said(node, "say", problems),
        _conditions(node.get("when"), problems),
        _conditions(node.get("unless"), problems),
    )


def _question(node: MappingNode, problems: Problems) -> Question:
    problems.keys(node, ASK_KEYS, ("look", "if-yes", "if-no"))
    return Question(
        _said(node, "look", problems),
        _said(node, "if-yes", problems),
        _said(node, "if-no", problems),
        _conditions(node.get("when"), problems),
        _conditions(node.get("unless"), problems),
    )


# ---- files


def _rooted(data: bytes, file: str, read: Callable[[MappingNode, Problems], object]) -> object:
    root, syntax = parse(data, file)
    problems = Problems(syntax)
    made: object = None
    if isinstance(root, MappingNode):
        made = read(root, problems)
    elif root is not None:
        problems.say(root, 'a symptom file begins with "why: 1"')
    if problems.found or made is None:
        raise InputError(problems.found)
    return made


def read_head(path: Path) -> Head:
    """What stands before `causes:` in a file, enough to recognise the symptom."""
    data = read_bytes(path).partition(_HEAD_END)[0]
    found = _rooted(data, str(path), lambda root, problems: _head(root, path.stem, problems))
    assert isinstance(found, Head)
    return found


@cache
def shared_causes(path: Path = SHARED) -> Mapping[str, Cause]:
    """Causes that several symptoms use, by id.  InputError lists every problem."""

    def read(root: MappingNode, problems: Problems) -> dict[str, Cause]:
        problems.keys(root, ("why-causes", "causes"), ("causes",))
        return {one.id: one for one in _causes(root.get("causes"), {}, problems)}

    found = _rooted(read_bytes(path), str(path), read)
    assert isinstance(found, dict)
    return found


@cache
def read_symptom(path: Path) -> Symptom:
    """One whole file, read once.  InputError lists every problem of it."""
    return read_symptom_text(read_bytes(path), str(path), path.stem)


def read_symptom_text(data: bytes, file: str, name: str) -> Symptom:
    """The same from bytes already read."""
    found = _rooted(data, file, lambda root, problems: _symptom(root, name, problems))
    assert isinstance(found, Symptom)
    return found


def _symptom(root: MappingNode, name: str, problems: Problems) -> Symptom:
    problems.keys(root, FILE_KEYS, (*HEAD_KEYS, "causes", "otherwise"))
    names = root.names()
    if "causes" in names and any(names.index(key) > names.index("causes") for key in HEAD_KEYS if key in names):
        problems.say(root, f"{', '.join(HEAD_KEYS)} stand before causes")
    return Symptom(
        _head(root, name, problems),
        tuple(_tell(item, problems) for item in _of_mappings(root.get("tells"), problems, "tells")),
        tuple(_question(item, problems) for item in _of_mappings(root.get("ask"), problems, "ask")),
        _causes(root.get("causes"), shared_causes(), problems),
        _filled(_text(root.get("otherwise"), problems, "otherwise"), root.get("otherwise"), problems),
    )


def symptom_files(folder: Path = FOLDER) -> tuple[Path, ...]:
    """All symptom files, by name."""
    return tuple(sorted(folder.glob("*.yaml")))


@cache
def heads() -> tuple[Head, ...]:
    """The heads of all symptoms, by name."""
    return tuple(read_head(path) for path in symptom_files())


def mark_of_words(column: int) -> Mark:
    """A place in the words of the command line."""
    return Mark("symptom", 1, column)
