"""The words of a symptom: cut into tokens, made alike, and held against the phrases of the symptoms."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from minisim.problems import InputError, Problem
from minisim.why.model import Head, Phrase, Recognised, Slot, Value
from minisim.why.numbers import Bad, number
from minisim.yamltext import Mapping as MappingNode
from minisim.yamltext import Node, Scalar, Sequence, compose

FILE = Path(__file__).parent / "words.yaml"
MAX_LETTERS = 400  # of a symptom; the rest is not looked at
_TOKEN = re.compile(r"[a-z0-9+@][a-z0-9'/_.:+-]*", re.ASCII)
_DIGITS = re.compile(r"(?:0o)?[0-9]+", re.ASCII)
_ENDINGS = ("ing", "ed", "s")
_SHORTEST = 4  # letters that a word must keep for its ending to be cut
_NEAR = 0.8  # how alike a misspelt word must be to a known one


@dataclass(frozen=True, slots=True)
class Token:
    """One word: as written, made alike, and where it begins in the words (from 1)."""

    text: str
    word: str
    column: int

    @property
    def is_number(self) -> bool:
        """Digits only, or a word that may be a name with a slash."""
        return bool(_DIGITS.fullmatch(self.text))


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Which word stands for which, and which say nothing."""

    same: Mapping[str, str] = field(default_factory=dict)
    ignored: frozenset[str] = frozenset()

    def alike(self, word: str) -> str:
        """The word that stands for this one; nothing for one that says nothing."""
        if word in self.ignored:
            return ""
        if word in self.same:
            return self.same[word]
        short = stem(word)
        return self.same.get(short, short)


def stem(word: str) -> str:
    """A word without its ending: halted, halts and halting give halt."""
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= _SHORTEST - 1 and not word.endswith("ss"):
            word = word[: -len(ending)]
            if len(word) > _SHORTEST - 1 and word[-1] == word[-2] and ending != "s":
                word = word[:-1]
            break
    return word[:-1] if len(word) > _SHORTEST - 1 and word.endswith("e") else word


@cache
def vocabulary() -> Vocabulary:
    """The words of words.yaml; InputError where the file can't be used."""
    root = compose(FILE)
    if not isinstance(root, MappingNode):
        raise InputError([Problem(root.mark, "a mapping is expected")])
    groups, ignored = root.get("same"), root.get("ignored")
    if not isinstance(groups, MappingNode) or not isinstance(ignored, Sequence):
        raise InputError([Problem(root.mark, "same (a mapping) and ignored (a list) are expected")])
    same: dict[str, str] = {}
    for first, others in groups:
        for word in (first.text, *_texts(others)):
            same.setdefault(word, first.text)
            same.setdefault(stem(word), first.text)
    return Vocabulary(same, frozenset(_texts(ignored)))


def _texts(node: Node) -> list[str]:
    return [item.text for item in node if isinstance(item, Scalar)] if isinstance(node, Sequence) else []


def tokens(text: str) -> tuple[Token, ...]:
    """The words of a symptom that say something, in order."""
    known, found = vocabulary(), []
    for match in _TOKEN.finditer(text[:MAX_LETTERS].lower()):
        written = match[0].rstrip(".:-'/+") or match[0]
        word = known.alike(written)
        if word or _DIGITS.fullmatch(written):
            found.append(Token(written, word, match.start() + 1))
    return tuple(found)


# ---- phrases

_PART = re.compile(r"\{([a-z-]+)(?:=([a-z-]+))?\}|(!?)([^\s{}]+)")


def phrase_parts(text: str) -> tuple[tuple[str, ...], tuple[str, ...], tuple[tuple[str, Slot], ...]]:
    """Words, barred words and slots of a phrase as a file writes it: `halted {vector-stop} !memory`."""
    known = vocabulary()
    words: list[str] = []
    barred: list[str] = []
    slots: list[tuple[str, Slot]] = []
    before = ""
    for name, kind, bar, word in _PART.findall(text):
        if name:
            slots.append((before, Slot(name, kind or name)))
        elif bar:
            barred.append(known.alike(word.lower()))
        elif alike := known.alike(word.lower()):
            words.append(alike)
            before = alike
    return tuple(words), tuple(barred), tuple(slots)


def recognise(text: str, heads: Iterable[Head]) -> tuple[Recognised, ...]:
    """The symptoms that fit best, the best first; those behind the first fit as well as it.  Empty: none fits."""
    all_heads = tuple(heads)
    seen = tokens(text)
    found = _fitting(seen, all_heads) or _fitting(_mended(seen, all_heads), all_heads)
    best = max((one.score for one in found), default=0)
    return tuple(one for one in found if one.score == best)


def _fitting(seen: tuple[Token, ...], heads: tuple[Head, ...]) -> list[Recognised]:
    return [found for head in heads if (found := _of_head(seen, head)) is not None]


def _of_head(seen: tuple[Token, ...], head: Head) -> Recognised | None:
    """The best way to read the words as this symptom: the most words explained, without a problem if possible."""
    ways = [way for phrase in head.phrases if (way := _match(seen, phrase, head)) is not None]
    return max(ways, key=lambda way: (way.score, not way.problem), default=None)


def _match(seen: tuple[Token, ...], phrase: Phrase, head: Head) -> Recognised | None:
    words = [one.word for one in seen]
    if any(word in words for word in phrase.barred):
        return None
    places: dict[str, int] = {}
    used: set[int] = set()
    for word in phrase.words:
        at = next((i for i, one in enumerate(seen) if i not in used and one.word == word), None)
        if at is None:
            return None
        used.add(at)
        places[word] = at
    return _with_slots(seen, phrase, head, places, used)


def _with_slots(
    seen: tuple[Token, ...], phrase: Phrase, head: Head, places: Mapping[str, int], used: set[int]
) -> Recognised | None:
    """Give each slot the first free number behind its word."""
    values: dict[str, Value] = {}
    problem, column, score = "", 1, 2 * len(phrase.words)
    for before, slot in phrase.slots:
        start = places.get(before, -1)
        taken = _take(seen, slot, start, used)
        if taken is None:
            return None
        at, value, weight = taken
        used.add(at)
        score += weight
        if isinstance(value, Bad):
            problem, column = problem or value.why, seen[at].column
        else:
            values[slot.name] = value
    return Recognised(head, score, values, problem, column)


def _take(seen: tuple[Token, ...], slot: Slot, start: int, used: set[int]) -> tuple[int, Value | Bad, int] | None:
    for at in range(start + 1, len(seen)):
        if at in used:
            continue
        kind = number(slot.kind)
        value = kind.read(seen[at].text)
        if value is not None:
            return at, value, kind.weight
        if seen[at].is_number:
            return None  # the number that stands there is of another kind
    return None


# ---- words nobody knows


def _mended(seen: tuple[Token, ...], heads: tuple[Head, ...]) -> tuple[Token, ...]:
    """Misspelt words put right where a word of some phrase is near."""
    import difflib  # only words that fit nothing need it

    known = sorted({word for head in heads for phrase in head.phrases for word in phrase.words})
    mended = []
    for one in seen:
        close = difflib.get_close_matches(one.word, known, n=1, cutoff=_NEAR) if len(one.word) >= _SHORTEST else []
        mended.append(Token(one.text, close[0], one.column) if close and one.word not in known else one)
    return tuple(mended)


def nearest_heads(text: str, heads: Iterable[Head], count: int = 3) -> tuple[Head, ...]:
    """Symptoms that share most words with the text; empty where none shares any."""
    all_heads = tuple(heads)
    words = {one.word for one in _mended(tokens(text), all_heads)} - {""}
    scored = [(_shared(words, head), head) for head in all_heads]
    best = sorted((pair for pair in scored if pair[0] > 0), key=lambda pair: (-pair[0], pair[1].id))
    return tuple(head for _, head in best[:count])


def _shared(words: set[str], head: Head) -> float:
    """The largest part of a phrase that the words hold."""
    return max((_part(words, phrase) for phrase in head.phrases), default=0.0)


def _part(words: set[str], phrase: Phrase) -> float:
    wanted = set(phrase.words)
    return len(wanted & words) / (len(wanted) + 1) if wanted else 0.0


def own_words(heads: Iterable[Head]) -> Iterator[str]:
    """Every word of every phrase, for tests."""
    for head in heads:
        for phrase in head.phrases:
            yield from phrase.words
