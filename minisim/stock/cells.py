"""What one cell means: a count, a condition, a marking that a spreadsheet has damaged.

Each function gives what was understood and a sentence where that needs telling; `certain` tells a repair from a doubt.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from minisim.stock.model import Condition
from minisim.stock.words import MARKS, NUMBERS, THINGS, UNITS, phrases, plain

MOST_PIECES = 100_000
_UNIT = "|".join(UNITS)
_TIMES = "[x\u00d7*]"
_COUNT = re.compile(
    rf"(?:{_TIMES}\s*(?P<behind>\d{{1,9}})|(?P<plain>\d{{1,9}})(?:[.,]0+)?\s*(?:{_TIMES}|(?:{_UNIT})\b\.?)?)"
)
_PART = re.compile(rf"\s*[(,;/]\s*(?P<part>\d{{1,9}})\s*(?:{_TIMES}\s*)?(?P<word>[^()]{{1,40}}?)\s*\)?\s*")
_LEADING = re.compile(
    rf"(?P<count>\d{{1,4}})\s?{_TIMES}\s+(?P<rest>\S.*)|(?P<count2>\d{{1,4}})x\s*(?P<rest2>[^\W\d].*)"
)
_TRAILING = re.compile(
    rf"(?P<rest>.*\S)\s+"
    rf"(?:\(\s*{_TIMES}\s?(?P<c1>\d{{1,4}})\s*\)|{_TIMES}\s?(?P<c2>\d{{1,4}})|(?P<c3>\d{{1,4}})\s?x)"
)
_DATE = re.compile(
    r"\d{4}-\d\d-\d\d(?:[ T]\d\d:\d\d.*)?|\d{1,2}[-. /](?:jan|feb|mar|apr|may|mai|jun|jul|aug|sep|oct|okt|nov|dec|dez)"
    r"[a-z]*\.?(?:[-. /]\d{2,4})?|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[-. /]\d{2,4}",
    re.IGNORECASE,
)
_POWER = re.compile(r"\d(?:[.,]\d+)?E\+?\d{1,3}", re.IGNORECASE)
_ERROR = re.compile(r"#(?:REF!|N/A|NAME\?|VALUE!|DIV/0!|NULL!|NUM!|SPILL!)|Err:\d{3}", re.IGNORECASE)
_POINTED = re.compile(r"(\d{1,12})[.,]0{1,3}")


@dataclass(frozen=True, slots=True)
class Said:
    """Something to tell about a cell."""

    text: str
    certain: bool  # a repair that is only told; else a doubt


@dataclass(frozen=True, slots=True)
class Count:
    """How many pieces; `part` of them are in another condition."""

    pieces: int
    said: Said | None = None
    part: tuple[int, Condition] | None = None


@lru_cache(maxsize=4096)
def count_of(text: str) -> Count:
    """A count as people write it: 3, 3x, x3, 3 pcs, 3.0, "2 (1 faulty)"; nothing is one piece."""
    written = unicodedata.normalize("NFKC", text[:200]).strip()
    if not written:
        return Count(1)
    small = written.casefold()
    if small in NUMBERS:
        return _checked(NUMBERS[small], Said(f"read as {NUMBERS[small]}", True))
    found = _COUNT.match(small)
    if found is None:
        return Count(1, Said("no count; taken as 1", False))
    pieces = int(found["behind"] or found["plain"])
    rest = small[found.end() :]
    if not rest.strip():
        exact = small.isdigit()
        return _checked(pieces, None if exact else Said(f"read as {pieces}", True))
    return _with_part(pieces, rest)


def _checked(pieces: int, said: Said | None) -> Count:
    if pieces > MOST_PIECES:
        return Count(1, Said(f"more than {MOST_PIECES} pieces can't be; taken as 1", False))
    return Count(pieces, said)


def _with_part(pieces: int, rest: str) -> Count:
    """`(1 faulty)` behind a count: sure where the part is smaller than the whole and the word is known."""
    found = _PART.fullmatch(rest)
    condition = phrases().get(plain(found["word"])) if found else None
    if found and condition is not None and 0 < int(found["part"]) <= pieces <= MOST_PIECES:
        part = int(found["part"])
        return Count(pieces, Said(f"read as {pieces}, {part} of them {condition}", True), (part, condition))
    if _DATE.fullmatch(f"{pieces}{rest}".strip()):
        return Count(1, Said("a date, perhaps made of a count by a spreadsheet; taken as 1", False))
    least = _checked(pieces, None).pieces
    return Count(least, Said(f"not sure; taken as {least}", False))


@lru_cache(maxsize=4096)
def count_in_marking(text: str) -> tuple[str, int | None]:
    """`3x M0000` and `M0000 x3`: what is left as the marking, and the count, if one stands there."""
    found = _LEADING.fullmatch(text) or _TRAILING.fullmatch(text)
    if not found:
        return text, None
    parts = found.groupdict()
    rest = parts.get("rest") or parts.get("rest2") or ""
    count = next(value for name, value in parts.items() if name.startswith("c") and value)
    return rest.strip(), int(count)


def condition_of(text: str, own: Mapping[str, Condition]) -> tuple[Condition, Said | None]:
    """A condition in people's words; `own` are the owner's words.  Nothing is unknown, and so is every other word."""
    if not text.strip():
        return Condition.UNKNOWN, None
    words = plain(text)
    if words in own:
        return own[words], None
    return _condition(text.strip(), words)


@lru_cache(maxsize=4096)
def _condition(text: str, words: str) -> tuple[Condition, Said | None]:
    if text.casefold() in MARKS:
        return MARKS[text.casefold()], None
    known = phrases()
    if words in known:
        if text.endswith("?") and known[words] is not Condition.UNKNOWN:
            return Condition.UNKNOWN, Said(f"with a question mark: taken as unknown, not as {known[words]}", True)
        return known[words], None
    found = _within(words.split(), known)
    if len(found) == 1:
        (condition,) = found
        return condition, Said(f"read as {condition}", True)
    if found:
        worst = max(found, key=list(Condition).index)
        return worst, Said(f"says {' and '.join(sorted(found))}; taken as {worst}", False)
    return Condition.UNKNOWN, Said("no word for a condition that is known here; taken as unknown", False)


_NEGATIONS = frozenset({"not", "no", "never", "isn", "wasn", "doesn", "don", "didn", "without", "nicht"})
_ONLY_ALONE = frozenset({"no", "y", "yes", "n a", "na", "parts", "new", "test", "short", "none", "maybe", "missing",
                         "good", "i o", "nt", "ng", "work", "fine", "gut"})  # fmt: skip


def _within(words: list[str], known: Mapping[str, Condition]) -> set[Condition]:
    """The conditions that phrases inside a longer text name; the longest phrase first, no word used twice."""
    found: set[Condition] = set()
    at, negated = 0, -9
    while at < min(len(words), 40):
        for length in range(min(4, len(words) - at), 0, -1):
            phrase = " ".join(words[at : at + length])
            if phrase in known and phrase not in _ONLY_ALONE:
                if at - negated <= 3:
                    return set()  # perhaps turned into its opposite: not for us to guess
                found.add(known[phrase])
                at += length - 1
                break
        else:
            negated = at if words[at] in _NEGATIONS else negated
        at += 1
    return found


@lru_cache(maxsize=65536)
def repaired_marking(text: str, *, is_date: bool, is_number: bool) -> tuple[str, Said | None]:
    """A marking without what a spreadsheet did to it, as far as that can be undone."""
    pointed = _POINTED.fullmatch(text)
    if pointed:
        return pointed[1], Said(f"a number with decimals; read as {pointed[1]}", True)
    if _ERROR.fullmatch(text):
        return text, Said("an error of the spreadsheet; read the piece again", False)
    if is_date or _DATE.fullmatch(text):
        return text, Said("a date, made of a marking by a spreadsheet; read the piece again", False)
    if _POWER.fullmatch(text) and (is_number or "+" in text):
        return text, Said("a power of ten, made of a marking by a spreadsheet; read the piece again", False)
    return text, None


_ASIDE = re.compile(r"[,;:(/]| (?:for|with|to|from|of|in|without|on|and|incl) ")


@lru_cache(maxsize=4096)
def thing_of(text: str) -> str:
    """What kind of thing words speak of: "floppy drive cable" is a cable, so is "cable for a drive"; "" if none."""
    head = plain(_ASIDE.split(text[:200].casefold(), maxsplit=1)[0]).split()
    for last in range(len(head), 0, -1):
        for kind, words in THINGS.items():
            if head[last - 1] in words or " ".join(head[max(last - 2, 0) : last]) in words:
                return kind
    return ""


def is_condition(text: str) -> bool:
    """Is it one of the known words, whole?  For guessing what a column holds."""
    return plain(text) in phrases() or text.strip() in MARKS
