"""Places as people write them: `2AB`, `2 A-B`, `slot 2 rows A,B`, `5-7`, `5/6`, `#3`, `AB2`, `2 left`."""

from __future__ import annotations

import re
from dataclasses import dataclass

from minisim.loadout.places import ALL_ROWS

_MOST_SLOTS = 99
_BULLET = re.compile(r"^(?:[*+o]\s+|-\s+(?=\S))")
_SLOT_WORD = re.compile(
    r"^[\[(]?(?:(?:slots?|positions?|pos)(?![a-z])[.:-]?\s*(?:(?:no|nr|number)\b\.?)?\s*#?\s*|(?:no|nr)\.?\s+(?=[0-9])|S(?=[0-9]))",
    re.I,
)
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
_CARDINALS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_ORDINAL_SLOT = re.compile(
    rf"^(?:the\s+)?(?:({'|'.join(_ORDINALS)})|([0-9]{{1,2}})(?:st|nd|rd|th))\s+slot\b(?!s)", re.I
)
_CARDINAL_SLOT = re.compile(rf"^slot\s+({'|'.join(_CARDINALS)})\b", re.I)
_LEAD = re.compile(r"^(?:and\s+|then\s+|also\s+)?(?:in|at)\s+(?:the\s+)?(?=slots?\b|[a-z0-9]+\s+slot\b)", re.I)
_NUMBER = re.compile(r"#?0*([1-9][0-9]?)(?![0-9])")
_TO = re.compile(r"\s*(?:-|\.\.\.?|\bto\b|\bthru\b|\bthrough\b)\s*#?0*([1-9][0-9]?)(?![0-9.]|-[0-9])", re.I)
_NEXT = re.compile(r"\s*(?:,|/|&|\+|\band\b)\s*#?0*([1-9][0-9]?)(?![0-9.])", re.I)
_OPEN_END = re.compile(r"\s*(?:\+|-\s*end\b|and up\b|and on\b|onwards?\b|to end\b|to the end\b)", re.I)
_ROW_WORD = re.compile(r"[\s,:(/-]*(?:rows?|connectors?)\.?\s*", re.I)
_ROWS_SPELT = re.compile(r"[\s:.(\[/-]*([A-Fa-f](?:\s*(?:-|,|/|&|\+|\band\b|\bto\b)?\s*[A-Fa-f]){0,5})(?![A-Za-z0-9])")
_SIDE = re.compile(
    r"[\s,(/-]*\b(left|right|top|bottom|upper|lower|first half|second half)\b"
    r"(?:\s+(?:half|side|row|rows|part|position))?[)]?(?=[\s:,.)-]|$)",
    re.I,
)
_END = re.compile(r"\s*[)\]]?\s*(?:[:=|.,;)>]+|-{1,2}>?(?=\s))?\s*")
_ROWS_FIRST = re.compile(
    r"^[\[(]?(?:rows?\s+)?([A-F](?:\s*[-,/&+]?\s*[A-F]){1,5})\s*(?:of|in|,)?\s*(?:slot\s*)?#?0*([1-9][0-9]?)(?![0-9A-Za-z])"
)
_EACH_ROW = re.compile(r"^[\[(]?([A-F])0*([1-9][0-9]?)\s*[-/,]\s*([A-F])0*\2(?![0-9A-Za-z])")
_NO_SLOT = re.compile(
    r"(?:[-\s]?(?:bits?|slots?|boards?|cards?|modules?|lines?|ports?|k|kb|kw|mb|a|amps?|v|volts?|w|watts?|years?|days?|inch(?:es)?|ft|"
    r"feet|m|mm|cm|mhz|khz|hz|ma|kg|lbs?|x|pcs|pieces|of|more|others?|or|times|units?|boxes|chips?|sockets?|drives?|"
    r"disks?|cables?|th|st|nd|rd|pm|am|hours?|minutes?|km|miles|months?|weeks?|people|screws|racks?)\b|\s*%|\s*x\s)",
    re.I,
)
_BOTH_ENDS = re.compile(r"^([0-9]{1,2})([A-F]{1,6})(\s*(?:-|to|\.\.)\s*[0-9]{1,2})\2(?![A-Za-z0-9])")
_EACH_END = re.compile(r"^([0-9]{1,2})([A-F])\s*[-/,]\s*\1([A-F])(?![A-Za-z0-9])")
_ALL_DASHES = re.compile(r"^([0-9]{1,2})-([A-F]-[A-F])(?![A-Za-z0-9])")
_ONE_ROW_FIRST = re.compile(r"^([A-F])0*([1-9][0-9]?)\s*[:=)]\s*")
_SEVERAL = re.compile(
    r"(?:\s*[,;]\s*|(?<!slot)\s+)(?=(?:slot\s*)?#?[0-9]{1,2}[A-F]{0,4}\s*(?:[:=]\s*|\s-\s+)(?:[A-Za-z-]|[0-9]{4}\b))"
)
_ROWS_OR_NUMBER = re.compile(
    r"\s+[A-F](?![a-z])|[A-F](?:\s{2}|\t)|[A-F]\s?[-/,&+]\s?[A-F]|\s+[A-Za-z]{1,2}[- ]?[0-9]{3}"
)
_IN_SLOT = re.compile(r"[\s,(-]*\b(?:in|at|is in|sits in|goes in)?\s*(?:the\s+)?\b(slots?\s*#?[0-9].*)$", re.I)


@dataclass(frozen=True, slots=True)
class PlaceWords:
    """A place as written: `explicit` where the word slot, or rows, or a mark such as `:` leaves no doubt."""

    slots: tuple[int, ...]
    rows: str
    side: str
    explicit: bool
    rest: str  # the text behind it
    open_end: bool = False  # "8 and up"


def rows_of_word(word: str, *, strict: bool = False) -> str:
    """Row letters of `AB`, `A-B`, `A,B`, `CF`, `C to F`; "" where the word is none.

    strict: letters must be neighbours in order, or one of the usual short forms.
    """
    letters = re.sub(r"(?:\band\b|\bto\b|[^A-Fa-f])", "", word, flags=re.I).upper()
    if not letters or any(letter not in ALL_ROWS for letter in letters):
        return ""
    if len(letters) == 1:
        return letters
    first, last = ALL_ROWS.index(letters[0]), ALL_ROWS.index(letters[-1])
    run = ALL_ROWS[first : last + 1]
    if last <= first:
        return ""
    short = len(letters) == 2 and (re.search(r"-|to", word) or letters in ("AD", "CF", "AF", "CE", "DF", "BD"))
    if letters == run or (short and not strict):
        return run
    return ""


def bare(text: str) -> str:
    """The text without a bullet before it."""
    return _BULLET.sub("", text, count=1)


def place_at_start(text: str) -> PlaceWords | None:
    """The place a line begins with, or None."""
    text = _plain_form(bare(text))
    return _rows_first(text) or _slot_first(text)


def _plain_form(text: str) -> str:
    """`5D-9D` as 5-9D, `1A,1B` as 1A-B, `first slot` and `slot one` as slot 1."""
    text = _LEAD.sub("", text, count=1)
    text = _BOTH_ENDS.sub(r"\1\3\2", text)
    text = _ALL_DASHES.sub(r"\1 \2", _EACH_END.sub(r"\1\2-\3", text))
    if match := _ORDINAL_SLOT.match(text):
        number = _ORDINALS.index(match[1].lower()) + 1 if match[1] else int(match[2])
        return f"slot {number}{text[match.end() :].lstrip(',')}"
    if match := _CARDINAL_SLOT.match(text):
        return f"slot {_CARDINALS.index(match[1].lower()) + 1}{text[match.end() :]}"
    return text


def several(text: str) -> list[str]:
    """`1: M0000, 2: M0000` as two texts; one where only one place is named."""
    return _SEVERAL.split(text)


def place_inside(text: str) -> tuple[PlaceWords, str] | None:
    """`M8044 in slot 2`: the place and the text without it."""
    match = _IN_SLOT.search(text)
    if not match or not match.start():
        return None
    place = _slot_first(match[1])
    if place is None:
        return None
    return place, f"{text[: match.start()].strip()} {place.rest}".strip()


def rows_at_start(text: str) -> tuple[str, str] | None:
    """`A-B: M8044` under a line that names the slot: rows and the rest."""
    text = bare(text)
    word = _ROW_WORD.match(text)
    match = _ROWS_SPELT.match(text, word.end() if word else 0)
    if not match:
        return None
    rows = rows_of_word(match[1])
    rest = text[match.end() :]
    if not rows or not (word or re.match(r"\s*[:=)]|\s{2,}|\s*-+\s|\t", rest)):
        return None
    return rows, _after(rest)


def _after(text: str) -> str:
    match = _END.match(text)
    return text[match.end() :] if match else text


def _rows_first(text: str) -> PlaceWords | None:
    text = text[word.end() :] if (word := _SLOT_WORD.match(text)) and text[word.end() :][:1].isalpha() else text
    each = _EACH_ROW.match(text)
    one = _ONE_ROW_FIRST.match(text)
    if one and not each:
        return PlaceWords((int(one[2]),), one[1], "", True, text[one.end() :])
    if each:
        rows, slot, end = rows_of_word(f"{each[1]}-{each[3]}"), int(each[2]), each.end()
    else:
        match = _ROWS_FIRST.match(text)
        if not match:
            return None
        rows, slot, end = rows_of_word(match[1]), int(match[2]), match.end()
    return PlaceWords((slot,), rows, "", True, _after(text[end:])) if rows else None


def _slot_first(text: str) -> PlaceWords | None:
    word = _SLOT_WORD.match(text)
    at = word.end() if word else (1 if text[:1] in "([" else 0)
    first = _NUMBER.match(text, at)
    if not first:
        return None
    slots, at, open_end = _slots(text, first)
    if not slots or (not word and not _may_follow(text[at:])):
        return None
    rows, side, at, spelt = _rows(text, at, after_word=bool(word))
    rest = text[at:]
    if rest and (rest[0].isalnum() or re.match(r"\.[0-9]", rest)):
        return None
    marked = bool(re.match(r"\s*[:)\]=|]", rest)) or bool(re.match(r"[.,;]\s", rest)) or text[:1] == "#"
    return PlaceWords(slots, rows, side, bool(word) or spelt or marked or bool(side), _after(rest), open_end)


def _slots(text: str, first: re.Match[str]) -> tuple[tuple[int, ...], int, bool]:
    """All slots named, where the text goes on, and whether it goes on to the last slot."""
    start, at = int(first[1]), first.end()
    to = _TO.match(text, at)
    if to:
        last = int(to[1])
        return (tuple(range(start, last + 1)), to.end(), False) if start < last <= _MOST_SLOTS else ((), at, False)
    slots = [start]
    following = _NEXT.match(text, at)
    while following and int(following[1]) > slots[-1]:
        slots.append(int(following[1]))
        at = following.end()
        following = _NEXT.match(text, at)
    end = _OPEN_END.match(text, at) if len(slots) == 1 else None
    return tuple(slots), end.end() if end else at, bool(end)


def _may_follow(text: str) -> bool:
    """Is a bare number with this behind it perhaps a slot?  `18 bit`, `2 x`, `12V` and `1.5` are none."""
    if _NO_SLOT.match(text) and not _ROWS_OR_NUMBER.match(text):
        return False
    return not re.match(r"\.[0-9]|:[0-9]{2}\b|'|\"", text)


def _rows(text: str, at: int, *, after_word: bool) -> tuple[str, str, int, bool]:
    """Rows, a side in words, where the text goes on, and whether the rows leave no doubt that this is a place."""
    side = _SIDE.match(text, at)
    if side:
        return "", side[1].lower(), side.end(), True
    word = _ROW_WORD.match(text, at)
    match = _ROWS_SPELT.match(text, word.end() if word else at)
    if not match:
        return "", "", at, False
    spelt, rows = match[1], rows_of_word(match[1])
    glued = match.start(1) == at
    if not rows or not (word or glued or _is_no_word(spelt, rows, text[match.end() :])):
        return "", "", at, False
    return rows, "", match.end(), True


def _is_no_word(spelt: str, rows: str, behind: str) -> bool:
    """Row letters that stand alone may be a word of the sentence: `a third-party board`, `ad converter`, `CD ROM`."""
    if spelt != spelt.upper() and "-" not in spelt:
        return False
    if re.match(r"\s+(?:ROM|drive|player|signal)", behind, re.I):
        return False
    return len(rows) > 1 or spelt != "A" or bool(re.match(r"\s*[:|]|\s+[A-Z-]*[0-9-]", behind))
