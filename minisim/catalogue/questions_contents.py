"""What is asked of contents: what a boot ROM holds, and a kind of medium."""

from __future__ import annotations

import re
from math import prod

from minisim.catalogue.asking import Octal, Talk, Value, address, addresses, one_of, several_of, text, whole, word
from minisim.catalogue.words import UNKNOWN, YES_NO
from minisim.known import Evidence

Entry = dict[str, Value]
ENDINGS = (".papertape", ".blocktape", ".disk", ".floppy", ".reel")
"""Of the files that stand for media."""
_COUNTS = ("cylinders", "heads", "sectors", "tracks", "blocks", "bytes")
_WHOLE = (
    frozenset({"cylinders", "heads", "sectors", "bytes"}),
    frozenset({"blocks", "bytes"}),
)
"""Counts that tell the size by their product."""


# ---- what a boot ROM holds


def rom(talk: Talk) -> Entry:
    """Contents of a ROM, not its board."""
    entry: Entry = {"kind": talk.answer("what it is, in a line (what it starts, for which board)", text)}
    first = entry["first-word"] = talk.figure("its first word, octal", octal_word, none=True)
    entry["letters"] = _letters(first) or talk.figure("the two letters it is called by", _two_letters, none=True)
    question = "devices it starts, by words of the catalogue such as floppy-double"
    entry["boots"] = talk.figure(question, _words, none=True)
    entry["boards"] = talk.answer("ids of the boards it fits (empty: none known)", several_of(None), [])
    entry["at"] = talk.figure("addresses where it may begin, octal, 18-bit form", addresses)
    entry["words"] = talk.figure("how many words of 16 bits", whole)
    entry["expects-csr"] = talk.figure("register address it expects its device at", address, none=True)
    entry["start"] = talk.figure("address its program starts at", address, none=True)
    return entry


def octal_word(answer: str) -> Value:
    """A word of 16 bits."""
    if not re.fullmatch(r"[0-7]{1,6}", answer, re.ASCII) or int(answer, 8) > 0o177777:
        raise ValueError(f'"{answer}" is no octal word, 0 to 177777')
    return Octal(answer.zfill(6))


def _letters(first: Value) -> Entry | None:
    """The letters that the first word holds, the first of them in its high byte [boot-terminator-wiki]."""
    value = first.get("value") if isinstance(first, dict) else None
    if not isinstance(value, Octal):
        return None
    letters = "".join(map(chr, divmod(int(value, 8), 0o400)))
    return {"value": letters, **_as_known_as(first), "sources": ["boot-terminator-wiki"]} if _is_two(letters) else None


def _as_known_as(figure: Value) -> Entry:
    """Evidence of what follows from a figure: a guess stays one."""
    guessed = isinstance(figure, dict) and figure.get("evidence") == Evidence.ASSUMED.value
    return {"evidence": Evidence.ASSUMED.value if guessed else Evidence.DERIVED.value}


def _is_two(letters: str) -> bool:
    return re.fullmatch(r"[A-Z]{2}", letters, re.ASCII) is not None


def _two_letters(answer: str) -> Value:
    if not _is_two(answer.upper()):
        raise ValueError(f'"{answer}" are no two letters from A to Z')
    return answer.upper()


def _words(answer: str) -> Value:
    return [word(one) for one in re.split(r"[ ,]+", answer) if one]


# ---- a medium


def medium(talk: Talk) -> Entry:
    """A kind of medium, and the file that stands for one."""
    entry: Entry = {"kind": talk.answer("what it is, in a line", text)}
    question = f"its counts, such as cylinders 200, heads 2; words: {', '.join(_COUNTS)}"
    geometry = entry["geometry"] = talk.figure(question, _counts)
    ending = talk.answer(f"ending of its image file: {' '.join(ENDINGS)} (empty: unknown)", one_of(ENDINGS), UNKNOWN)
    size = _size(talk, geometry)
    order = talk.answer("order of the contents in the file, in words (empty: unknown)", text, UNKNOWN)
    entry["image"] = {"bytes": size, "ending": ending, "order": order}
    entry["removable"] = talk.answer("is it taken out of the drive: yes or no (empty: yes)", one_of(YES_NO), "yes")
    return entry


def _counts(answer: str) -> Value:
    """Names with decimal counts, each once."""
    pairs = re.findall(r"([a-z]+)[ :=]+([0-9]+)", answer, re.ASCII)
    names = [name for name, _ in pairs]
    left = re.sub(r"([a-z]+)[ :=]+([0-9]+)|[ ,;]", "", answer, flags=re.ASCII)
    if not pairs or left or len(set(names)) < len(names):
        raise ValueError(f'"{answer}" are no counts such as cylinders 200, heads 2, sectors 12, bytes 512')
    for name in names:
        one_of(_COUNTS)(name)
    return {name: str(whole(count)) for name, count in pairs}


def product(geometry: Value) -> str:
    """Bytes of the whole medium, where the counts tell them: sectors of all tracks, or all blocks; else nothing."""
    counts = geometry.get("value") if isinstance(geometry, dict) else None
    if not isinstance(counts, dict) or frozenset(counts) not in _WHOLE:
        return ""
    return str(prod(int(str(count)) for count in counts.values()))


def _size(talk: Talk, geometry: Value) -> Value:
    """Of the image file: as the counts say, or as asked."""
    question, likely = "exact size of the image file in bytes", product(geometry)
    if not likely:
        return talk.figure(question, whole)
    size = talk.answer(f"{question} (empty: {likely}, from the counts)", whole, likely)
    if size != likely:
        return {"value": size, **talk.how_known()}
    return {"value": size, **_as_known_as(geometry), "note": "product of the counts"}
