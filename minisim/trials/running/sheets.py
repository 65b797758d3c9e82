"""The sheet beside an owner's image, `IMAGE.trial.yaml`: how it starts, what its end, its errors and its hangs look
like.  All of that holds for one exact version of the image, so it is keyed by the SHA-256 of the file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

from minisim.problems import InputError
from minisim.trials.own import DEFAULT_LIMIT
from minisim.trials.scope import Problems, text_of
from minisim.yamltext import Mapping, Node, Scalar, Sequence, parse, read_bytes

VERSION = "1"
ENDING = ".trial.yaml"
FILE_KEYS = ("trial-image", "title", "versions")
VERSION_KEYS = (
    "called", "looked-at", "person", "drive", "start", "ps", "switches", "memory", "replies", "end-of-pass", "passes",
    "errors", "halts", "hang", "note",
)  # fmt: skip
REPLY_KEYS = ("when-printed", "reply")
END_KEYS = ("text", "bells", "address", "halt", "returns-to")
HANG_KEYS = ("instructions", "seconds", "address")
SHA_DIGITS = 64
MOST_TEXT = 256
_OTHERS = {
    "trials": "a file of trial cases; minisim compare reads it",
    "loadout": "a loadout; minisim check reads it",
    "medium": "the description of a medium; minisim media reads it",
}


@dataclass(frozen=True, slots=True)
class Reply:
    """What is typed when a text was printed."""

    when_printed: str
    reply: str


@dataclass(frozen=True, slots=True)
class End:
    """What the end of a pass looks like: one of the END_KEYS, with its text or number."""

    kind: str
    text: str = ""
    number: int = 0


@dataclass(frozen=True, slots=True)
class Sheet:
    """One version of an image.  `halts` are notes by the address of the HALT; without `end` nobody can judge."""

    called: str = ""
    looked_at: bool = True
    person: str = ""
    drive: str = ""
    start: int | None = None
    ps: int = 0o340
    switches: int = 0
    memory: tuple[tuple[int, int], ...] = ()
    replies: tuple[Reply, ...] = ()
    end: End | None = None
    passes: int | None = None
    errors: tuple[str, ...] = ()
    halts: dict[int, str] = field(default_factory=dict)
    most_instructions: int = DEFAULT_LIMIT
    most_seconds: int | None = None
    hang_at: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Sheets:
    """A file: what the image is, and the versions it speaks of."""

    path: Path
    title: str
    versions: dict[str, Sheet]


def path_beside(image: Path) -> Path:
    """Where the sheet of an image lies."""
    return image.with_name(image.name + ENDING)


def read_sheets(path: Path) -> Sheets:
    """The file.  InputError lists everything wrong with it."""
    root, syntax = parse(read_bytes(path), str(path))
    problems = Problems(syntax)
    result = _file(root, path, problems) if root is not None else None
    if problems.found or result is None:
        raise InputError(problems.found)
    return result


def _file(root: Node, path: Path, problems: Problems) -> Sheets | None:
    if not isinstance(root, Mapping) or "trial-image" not in root:
        names = root.names() if isinstance(root, Mapping) else []
        other = next((what for word, what in _OTHERS.items() if word in names), "")
        problems.say(root, f"this is {other}" if other else f'a sheet of an image begins with "trial-image: {VERSION}"')
        return None
    _known_keys(root, FILE_KEYS, problems)
    number = root.get("trial-image")
    if number is not None and text_of(number, problems, "trial-image") not in (VERSION, None):
        problems.say(number, f"trial-image: version {VERSION} is the only one there is")
    title = root.get("title")
    versions = root.get("versions")
    if not isinstance(versions, Mapping) or not len(versions):
        problems.say(versions or root, "versions: a mapping from the SHA-256 of an image to its sheet is expected")
        return None
    found = {key.text: _version(key, node, problems) for key, node in versions}
    return Sheets(path, "" if title is None else text_of(title, problems, "title") or "", found)


def _known_keys(node: Mapping, allowed: Iterable[str], problems: Problems, what: str = "key") -> None:
    for key, _ in node:
        if key.text not in allowed:
            problems.unknown(key, what, allowed)


def _version(key: Scalar, node: Node, problems: Problems) -> Sheet:
    if len(key.text) != SHA_DIGITS or set(key.text) - set("0123456789abcdef"):
        problems.say(key, f'"{key.text}" is no SHA-256: {SHA_DIGITS} digits 0-9 a-f (sha256sum IMAGE prints it)')
    if not isinstance(node, Mapping):
        problems.say(node, f"a version is a mapping, not a {node.kind}")
        return Sheet()
    _known_keys(node, VERSION_KEYS, problems)
    read = _Fields(node, problems)
    limit, seconds, hang_at = _hang(node.get("hang"), problems)
    return Sheet(
        called=read.text("called"),
        looked_at=read.yes("looked-at", True),
        person=read.text("person"),
        drive=read.text("drive"),
        start=read.even("start"),
        ps=read.octal("ps", 0o340),
        switches=read.octal("switches", 0),
        memory=tuple((_address(name, problems, "memory"), _word(value, problems, f"memory {name.text}"))
                     for name, value in read.mapping("memory")),
        replies=tuple(_replies(node.get("replies"), problems)),
        end=_end(node.get("end-of-pass"), problems),
        passes=read.count("passes", 1, 1000),
        errors=tuple(read.texts("errors")),
        halts={_address(name, problems, "halts"): _note(value, problems) for name, value in read.mapping("halts")},
        most_instructions=limit,
        most_seconds=seconds,
        hang_at=hang_at,
        note=read.text("note"),
    )  # fmt: skip


class _Fields:
    """Single values of one mapping; what is wrong goes to `problems`."""

    def __init__(self, node: Mapping, problems: Problems) -> None:
        self._node, self._problems = node, problems

    def text(self, name: str) -> str:
        node = self._node.get(name)
        return "" if node is None or _is_blank(node) else text_of(node, self._problems, name) or ""

    def yes(self, name: str, usual: bool) -> bool:
        node = self._node.get(name)
        if node is None:
            return usual
        if isinstance(node, Scalar) and node.text in ("yes", "no"):
            return node.text == "yes"
        self._problems.say(node, f"{name}: yes or no is expected")
        return usual

    def octal(self, name: str, usual: int) -> int:
        node = self._node.get(name)
        return usual if node is None else _word(node, self._problems, name)

    def even(self, name: str) -> int | None:
        node = self._node.get(name)
        return None if node is None or _is_blank(node) else _address(node, self._problems, name)

    def count(self, name: str, least: int, most: int) -> int | None:
        node = self._node.get(name)
        return None if node is None else _count(node, self._problems, name, least, most)

    def mapping(self, name: str) -> list[tuple[Scalar, Node]]:
        node = self._node.get(name)
        if node is None or _is_blank(node):
            return []
        if isinstance(node, Mapping):
            return node.entries
        self._problems.say(node, f"{name}: a mapping from addresses is expected, not a {node.kind}")
        return []

    def texts(self, name: str) -> list[str]:
        node = self._node.get(name)
        items = node if isinstance(node, Sequence) else [] if node is None or _is_blank(node) else [node]
        return [text for item in items if (text := _printed(item, self._problems, name))]


def _is_blank(node: Node) -> bool:
    return isinstance(node, Scalar) and node.empty


def _printed(node: Node, problems: Problems, what: str) -> str:
    """A text to be looked for in what is printed."""
    text = text_of(node, problems, what)
    if text is not None and (not text.isascii() or len(text) > MOST_TEXT):
        problems.say(node, f"{what}: a text that is printed has 1 to {MOST_TEXT} ASCII characters")
        return ""
    return text or ""


def _word(node: Node, problems: Problems, what: str, most: int = 0o177777) -> int:
    text = text_of(node, problems, what)
    if text is None:
        return 0
    if set(text) - set("01234567") or int(text, 8) > most:
        problems.say(node, f'{what}: "{text}" is no octal number up to {most:o}')
        return 0
    return int(text, 8)


def _address(node: Node, problems: Problems, what: str) -> int:
    number = _word(node, problems, what)
    if number & 1:
        problems.say(node, f"{what}: {number:06o} is odd; words and instructions lie at even addresses")
    return number


def _count(node: Node, problems: Problems, what: str, least: int, most: int) -> int:
    text = (text_of(node, problems, what) or "").replace("_", "")
    if not text.isascii() or not text.isdigit() or not least <= int(text) <= most:
        problems.say(node, f'{what}: "{text}" is no decimal number from {least} to {most}')
        return least
    return int(text)


def _note(node: Node, problems: Problems) -> str:
    return "" if _is_blank(node) else text_of(node, problems, "note of a halt") or ""


def _replies(node: Node | None, problems: Problems) -> Iterable[Reply]:
    if node is None or _is_blank(node):
        return
    if not isinstance(node, Sequence):
        problems.say(node, "replies: a list of when-printed and reply is expected")
        return
    for item in node:
        if not isinstance(item, Mapping) or set(item.names()) != set(REPLY_KEYS):
            problems.say(item, f"a reply has exactly the keys {' and '.join(REPLY_KEYS)}")
            continue
        when, reply = (item.get(name) for name in REPLY_KEYS)
        assert when is not None and reply is not None
        yield Reply(_printed(when, problems, "when-printed"), _typed(reply, problems))


def _typed(node: Node, problems: Problems) -> str:
    """What is typed; in double quotes, YAML's own \\r stands for the return key."""
    if not isinstance(node, Scalar) or not node.text.isascii():
        problems.say(node, "reply: a text in ASCII is expected")
        return ""
    return node.text


def _end(node: Node | None, problems: Problems) -> End | None:
    if node is None or _is_blank(node):
        return None
    if not isinstance(node, Mapping) or len(node) != 1 or node.names()[0] not in END_KEYS:
        problems.say(node, f"end-of-pass: exactly one of {', '.join(END_KEYS)} is expected")
        return None
    key, value = node.entries[0]
    return _ENDS[key.text](key.text, value, problems)


def _end_text(kind: str, node: Node, problems: Problems) -> End:
    return End(kind, text=_printed(node, problems, f"end-of-pass {kind}"))


def _end_bells(kind: str, node: Node, problems: Problems) -> End:
    return End(kind, number=_count(node, problems, f"end-of-pass {kind}", 1, 1_000_000))


def _end_address(kind: str, node: Node, problems: Problems) -> End:
    return End(kind, number=_address(node, problems, f"end-of-pass {kind}"))


_ENDS: dict[str, Callable[[str, Node, Problems], End]] = {
    "text": _end_text,
    "bells": _end_bells,
    "address": _end_address,
    "halt": _end_address,
    "returns-to": _end_address,
}


def _hang(node: Node | None, problems: Problems) -> tuple[int, int | None, int | None]:
    """Instructions, seconds of guest time, address."""
    if node is None or _is_blank(node):
        return DEFAULT_LIMIT, None, None
    if not isinstance(node, Mapping):
        problems.say(node, f"hang: a mapping with some of {', '.join(HANG_KEYS)} is expected, not a {node.kind}")
        return DEFAULT_LIMIT, None, None
    _known_keys(node, HANG_KEYS, problems)
    read = _Fields(node, problems)
    limit = read.count("instructions", 1, 10**12)
    return limit or DEFAULT_LIMIT, read.count("seconds", 1, 10**7), read.even("address")
