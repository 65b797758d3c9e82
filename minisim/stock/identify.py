"""What a text on a piece means: the exact number, one misread or typed wrongly, or nothing that is published.

Repairs that can be wrong in one way only (a letter where a digit must stand, an ending for the revision) may be sure;
whatever would turn one possible number into another (digits changed places, one digit differs) is only shown.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from minisim.catalogue import Catalogue
from minisim.stock.identify_index import CONFUSABLE, Found, Index, Published, bare, index_of, skeleton
from minisim.stock.model import Candidate, Identified

_LONGEST = 300  # characters; a number on a handle stands in the first ones, if anywhere
_MOST = 6  # so many candidates are shown
LIKELY = 0.75
"""From this score on a candidate explains every character of the text; below it the text is rather another number."""

_ALIKE = str.maketrans(
    "АВЕКМНОРСТХІЅΑΒΕΖΗΙΚΜΝΟΡΤΧ\u2010\u2011\u2012\u2013\u2014\u2015\u2212\u00a0\u00ad_",  # noqa: RUF001
    "ABEKMHOPCTXISABEZHIKMNOPTX------- - ",
)
"""Letters of other alphabets that look like ours, and every kind of dash."""

_SHAPES = f"0-9{re.escape(CONFUSABLE)}"
_HANDLE = re.compile(
    rf"(?<![A-Z0-9.])(?P<front>[A-Z]{{1,2}}) ?[-.]? ?(?P<digits>[{_SHAPES}?*]{{3,5}})"
    r"(?:-?(?P<ending>[A-HJ-NPR-Z]{1,2}[0-9]?)|-(?P<more>[A-Z0-9]{1,4}))?(?![A-Z0-9])",
    re.ASCII,
)
_NUMBER = re.compile(
    rf"(?<![A-Z0-9.,:/-])(?P<digits>[{_SHAPES}]{{3,5}})(?:-?(?P<ending>[A-HJ-NPR-Z]{{1,2}}[0-9]?))?(?![A-Z0-9.,:/-])",
    re.ASCII,
)
_LONG = re.compile(
    rf"(?<![A-Z0-9])[{_SHAPES}]{{2}}[- ]?[{_SHAPES}]{{5}}(?:[- ]?[{_SHAPES}]{{2}})?(?![A-Z0-9])", re.ASCII
)
_REVISION = re.compile(
    r"[ ,;(]*\b(?:CS|CIRCUIT|ETCH)?[ -]*(?:REVISION|REV|ETCH|ISSUE)[. :]*(?P<letters>[A-Z0-9]{1,3})?\b\)?", re.ASCII
)
_SPACED = re.compile(r"[A-Z](?: [A-Z0-9]){3,8}\Z", re.ASCII)
_FIRST_WORD = re.compile(r"0?[0-7]{6}\Z", re.ASCII)
_ZERO_LOST = re.compile(r"[0-7]{5}\Z", re.ASCII)  # a spreadsheet takes a word for a number
_REVISION_LETTERS = frozenset("BDLSZ")  # those that look like digits; the trade leaves out G, I, O and Q
_JOINED = re.compile(r"([A-Z]{1,2})([0-9]{3,5})((?: ?[/+&] ?[0-9]{3,5})+)(?![A-Z0-9])", re.ASCII)  # M8013/8014


@dataclass(frozen=True, slots=True)
class _Reading:
    """One published number that a piece of the text may be; `firm`: no other number is likely."""

    one: Published
    score: float
    how: str
    firm: bool


def identify(text: str, *, catalogue: Catalogue | None = None) -> Identified:
    """The things of the catalogue that `text` may mean, best first; no candidate at all: unknown.

    `sure` only where one thing alone is left by the exact number or by a repair that can be meant in one way only.
    Never fails, whatever the text.
    """
    index = index_of(catalogue or _own())
    written = " ".join(_plain(text).split())
    readings = list(_by_name(index, text, written)) or _readings(index, written)
    return _identified(text, readings, doubted=written.endswith("?") or _has_another(readings))


_NOBODY = Published("", "", "", "", ())  # a number that is well formed and not published
_SHORTEST = 3  # digits of a number on a handle, at least
_FRAMES = "H"  # in front of numbers of backplanes and supplies
_FRONTS = frozenset("MHG")  # letters in front of numbers on handles, frames and small boards

_USUAL: list[Catalogue] = []


def _own() -> Catalogue:
    """The catalogue of the project, looked through once."""
    if not _USUAL:
        _USUAL.append(Catalogue())
    return _USUAL[0]


def _plain(text: str) -> str:
    """Capitals of one alphabet, dashes of one kind."""
    cut = text[:_LONGEST]
    plain = (cut if cut.isascii() else unicodedata.normalize("NFKC", cut).upper().translate(_ALIKE)).upper()
    plain = plain.replace("|", "I")
    spaced = _SPACED.match(plain)
    return plain.replace(" ", "") if spaced else plain


def _by_name(index: Index, text: str, written: str) -> Iterator[_Reading]:
    """The id of an entry, or the first word of a ROM content."""
    name = text.strip().lower() if len(text) < _LONGEST else ""
    if name in index.ids:
        yield _Reading(index.ids[name], 1.0, "the name of the entry in the catalogue", True)
    elif _FIRST_WORD.match(written):
        for one in index.words.get(int(written, 8), ()):
            yield _Reading(one, 0.95, "this word stands first in that ROM content", True)
    elif _ZERO_LOST.match(written):
        for one in index.words.get(int(written, 8), ()):
            yield _Reading(one, 0.8, "with a 0 in front, this word stands first in that ROM content", False)


def _has_another(readings: list[_Reading]) -> bool:
    """Does a number that nobody knows stand beside one that is known?"""
    return any(each.one is _NOBODY for each in readings)


# ---- the numbers in a text


def _readings(index: Index, written: str) -> list[_Reading]:
    """What every number in the text may be."""
    revision = _REVISION.search(written)
    core = (written[: revision.start()] + " " + written[revision.end() :]).strip() if revision else written
    core = _JOINED.sub(_whole_numbers, core)
    said = _said_revision(revision)
    found: list[_Reading] = []
    numbers = list(_LONG.finditer(core))
    handles = [] if numbers else _handles(index, core)
    for number in numbers:
        found += _of_long(index, number[0], said)
    for handle in handles:
        readings = _of_handle(index, handle, said)
        if all(each.score < LIKELY for each in readings) and handle["digits"].isdigit() and handle["front"] in _FRONTS:
            readings.append(_Reading(_NOBODY, 0, "", False))
        found += readings
    if not found and not any(handle["digits"].isdigit() for handle in handles):
        numbers = list(_NUMBER.finditer(core))
        alone = len(numbers) == 1 and numbers[0][0] == core.rstrip(" ?")
        for number in numbers:
            found += _of_digits(index, number, alone, said)
    return found or _of_other_form(index, core, said)


def _of_other_form(index: Index, core: str, said: str) -> list[_Reading]:
    """Numbers that look like none of the usual: those of other makers and of an owner's own entries."""
    whole = bare(core)
    found = _strict(index, core, whole, said) if len(whole) > 1 else []
    for word in core.split() if not found else ():
        if bare(word) in index.exact:
            found += _strict(index, word, bare(word), said)
    return found


def _whole_numbers(match: re.Match[str]) -> str:
    """M8013/8014 as M8013 M8014: what follows has as many digits, and the letter goes for all."""
    others: list[str] = re.findall("[0-9]+", match[3])
    if any(len(other) != len(match[2]) for other in others):
        return match[0]
    return " ".join(match[1] + digits for digits in (match[2], *others))


def _said_revision(revision: re.Match[str] | None) -> str:
    if revision is None:
        return ""
    return f"revision {revision['letters']}" if revision["letters"] else "a revision"


def _handles(index: Index, core: str) -> list[re.Match[str]]:
    """Words with a letter in front and at least two digits; where one is a published number, it is taken as that."""
    return [match for match in _HANDLE.finditer(core) if sum(map(str.isdigit, match["digits"])) >= 2]


def _of_handle(index: Index, match: re.Match[str], said: str) -> list[_Reading]:
    """A number with a letter in front."""
    front, digits = match["front"], match["digits"]
    ending = match["ending"] or match["more"] or _next_word(index, match)
    head = front + digits
    if "?" in digits or "*" in digits:
        return list(_unreadable(index, front, digits))
    strict = _strict(index, match[0], head + ending, said)
    if ending:
        strict += _with_ending(index, head, ending, bool(strict))
    elif digits[-1] in _REVISION_LETTERS:
        if len(digits) == _SHORTEST + 1 and head not in index.exact:
            strict = [_or_revision(each, head) for each in strict]
        strict += _with_ending(index, head[:-1], digits[-1], bool(strict))
    if strict:
        return strict
    return (
        list(_ending_missing(index, head, ending))
        or list(_letter_as_first_digit(index, head, said))
        or list(_near(index, front, skeleton(digits)))
    )


def _or_revision(reading: _Reading, head: str) -> _Reading:
    """A letter at the end of three digits may be a digit misread, or the revision of a number that nobody knows."""
    how = f"{reading.how}; or it is {head[:-1]} with revision {head[-1]}"
    return _Reading(reading.one, reading.score - 0.05, how, False)


def _next_word(index: Index, match: re.Match[str]) -> str:
    """An ending that stands a blank apart, where a number with it is published or it is one of variants."""
    after = match.string[match.end() :]
    word = after[1:].split(" ", 1)[0] if after[:1] == " " else ""
    known = bare(match[0]) + word in index.exact
    return word if word and (known or (len(word) == 2 and word[0] == "Y" and word.isalpha())) else ""


# ---- the same number


def _strict(index: Index, raw: str, key: str, said: str) -> list[_Reading]:
    """Published numbers that these characters are, letters and digits of one shape taken for the same."""
    exact = index.exact.get(key)
    if exact:
        return [_Reading(one, *_exactly(one, raw, said), True) for one in exact]
    return [
        _Reading(one, 0.95 - 0.02 * _differing(key, one), _with(_swapped(key, one), said), True)
        for one in index.shapes.get(skeleton(key), ())
    ]


def _exactly(one: Published, raw: str, said: str) -> tuple[float, str]:
    if said:
        return 0.98, f"exact; {said} stands with it"
    return 1.0, "exact" if raw == one.marking else "exact, but for blanks and dashes"


def _with(how: str, said: str) -> str:
    return f"{how}; {said} stands with it" if said else how


def _differing(key: str, one: Published) -> int:
    return sum(mine != theirs for mine, theirs in zip(key, bare(one.marking), strict=False))


def _swapped(key: str, one: Published) -> str:
    """In words: which characters were read as others."""
    pairs = dict.fromkeys(
        (mine, theirs) for mine, theirs in zip(key, bare(one.marking), strict=False) if mine != theirs
    )
    what = "a letter was read as a digit" if all(theirs.isalpha() for _, theirs in pairs) else (
        "a digit was read as a letter" if len(pairs) == 1 else "digits were read as letters"
    )  # fmt: skip
    return f"{what}: {', '.join(f'{mine} for {theirs}' for mine, theirs in pairs)}"


def _with_ending(index: Index, head: str, ending: str, have: bool) -> list[_Reading]:
    """The number before the ending, where the number with it is not published, or only by a letter read as a digit."""
    found = index.exact.get(head) or index.shapes.get(skeleton(head), ())
    if not found or (have and head + ending in index.exact):
        return [] if have else list(_ending_missing(index, head, ending))
    frame = head[0] == _FRAMES  # H777-A and H777-C are other supplies [box-and-drive-wikis]
    variant = ending.isalpha() and (len(ending) == 2 or frame)  # one letter on a board is a revision
    short = sum(map(str.isdigit, skeleton(head))) < 4 and ending in CONFUSABLE
    others = any(one.thing not in {each.thing for each in found} for one in index.heads.get(skeleton(head), ()))
    odd = short or others or have or ending[-1].isdigit()
    how = f"the ending {ending} is " + (
        "a variant; how it differs is not in the catalogue" if variant else "a revision"
    )
    repairs = [_swapped(head, one) for one in found if _differing(head, one)]
    how = "; ".join([*repairs[:1], how])
    score = 0.7 if ending[-1].isdigit() else 0.9 if variant else 0.95
    readings = [
        _Reading(one, score - 0.02 * len(repairs), how, not odd) for one in found
    ]  # fmt: skip
    return readings if have else [*readings, *_ending_missing(index, head, ending)]


def _ending_missing(index: Index, head: str, ending: str) -> Iterator[_Reading]:
    """Numbers that have another ending, or that are published with one only."""
    for one in index.heads.get(skeleton(head), ()):
        if ending:
            yield _Reading(one, 0.6, f"it is published with another ending than {ending}", False)
        else:
            yield _Reading(one, 0.85, "the ending, which tells variants apart, is missing", False)


def _letter_as_first_digit(index: Index, head: str, said: str) -> Iterator[_Reading]:
    """B043 may be 8043 without its letter."""
    if len(head) == 4 and head[0] in CONFUSABLE:
        for one in index.digits.get(skeleton(head), ()):
            how = f"the letter in front is missing; {_swapped(head, _tail(one))}"
            yield _Reading(one, 0.75, _with(how, said), False)


def _tail(one: Published) -> Published:
    return Published(one.marking.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ"), one.kind, one.entry, "", ())


def _of_long(index: Index, raw: str, said: str) -> list[_Reading]:
    """A long part number: two, five and two digits; the last two tell versions apart."""
    key = bare(raw)
    strict = _strict(index, raw, key, said)
    if strict:
        return strict
    shape = skeleton(key)
    if len(shape) == 9:
        how = f"the ending {shape[7:]} is taken for a version"
        same = [_Reading(one, 0.9, _with(how, said), True) for one in index.shapes.get(shape[:7], ())]
        return same + [
            _Reading(one, 0.6, f"it is published with another ending than {shape[7:]}", False)
            for one in index.heads.get(shape[:7], ())
        ]
    return [_Reading(one, 0.85, "the last two digits are missing", False) for one in index.heads.get(shape, ())]


def _of_digits(index: Index, match: re.Match[str], alone: bool, said: str) -> list[_Reading]:
    """A number without a letter in front; three digits, or words beside them, are not enough to be sure."""
    digits, ending = match["digits"], match["ending"] or ""
    if sum(map(str.isdigit, digits)) < 3:
        return []
    found = index.digits.get(skeleton(digits + ending)) or index.digits.get(skeleton(digits), ())
    how = "the letter in front is missing"
    readings = []
    for one in found:
        tail = _tail(one)
        repaired = f"{how}; {_swapped(digits, tail)}" if _differing(digits, tail) else how
        left = ending if len(bare(tail.marking)) < len(digits + ending) else ""
        repaired = f"{repaired}; the ending {left} is a variant or revision" if left else repaired
        firm = alone and len(digits) >= 4 and not left
        readings.append(_Reading(one, 0.9 - 0.05 * (repaired != how) - 0.1 * (not firm), _with(repaired, said), firm))
    if alone and not readings:
        readings = [
            _Reading(one, 0.75, _with(_swapped(digits + ending, one), said), False)
            for one in index.shapes.get(skeleton(digits + ending), ())
        ]
    return readings


# ---- another number, perhaps this one


_ALIKE_DIGITS = {frozenset(pair) for pair in ("38", "17", "56", "68", "08", "06", "49", "39", "27", "35")}


def _near(index: Index, front: str, digits: str) -> Iterator[_Reading]:
    """Published numbers that one slip away; the text may as well be a number that is not in the catalogue."""
    for place in range(len(digits) - 1):
        swapped = digits[:place] + digits[place + 1] + digits[place] + digits[place + 2 :]
        if swapped != digits:
            yield from _weak(index.exact.get(front + swapped, ()), 0.6, "two digits may have changed places")
    yield from _weak(index.digits.get(digits, ()), 0.5, f"another letter stands in front than {front}")
    for place, digit in enumerate(digits):
        for one in index.holes.get(f"{front}{digits[:place]}?{digits[place + 1 :]}", ()):
            right = bare(one.marking)[len(front) + place]
            score = 0.5 if frozenset(digit + right) in _ALIKE_DIGITS else 0.4
            yield _Reading(one, score, f"one digit differs: {digit} for {right}", False)
    yield from _weak(index.shorter.get(front + digits, ()), 0.45, "a digit may be missing")
    for place in range(len(digits)):
        yield from _weak(index.exact.get(front + digits[:place] + digits[place + 1 :], ()), 0.4, "a digit too many")


def _weak(found: Found, score: float, how: str) -> Iterator[_Reading]:
    return (_Reading(one, score, how, False) for one in found)


def _unreadable(index: Index, front: str, digits: str) -> Iterator[_Reading]:
    """One digit that could not be read: M80?3."""
    digits = digits.replace("*", "?")
    if digits.endswith("?") and len(digits) > 3:  # a question mark behind the whole number
        for one in index.exact.get(front + digits[:-1], ()):
            yield _Reading(one, 0.9, "exact, with a question mark", False)
    if digits.count("?") == 1:
        place = digits.index("?")
        key = front + skeleton(digits[:place]) + "?" + skeleton(digits[place + 1 :])
        for one in index.holes.get(key, ()):
            right = bare(one.marking)[len(front) + place]
            yield _Reading(one, 0.7, f"the digit that could not be read would be {right}", False)


# ---- the answer


def _identified(text: str, readings: Iterable[_Reading], *, doubted: bool) -> Identified:
    best: dict[tuple[str, str, str], _Reading] = {}
    for each in readings:
        if each.one is _NOBODY:
            continue
        key = (*each.one.thing, each.one.marking)
        if key not in best or best[key].score < each.score:
            best[key] = each
    ordered = sorted(best.values(), key=lambda each: (-each.score, each.one.marking, each.one.kind, each.one.entry))
    likely = [each for each in ordered if each.score >= LIKELY]
    sure = bool(likely) and not doubted and all(each.firm for each in likely)
    sure = sure and len({each.one.thing for each in likely}) == 1
    return Identified(text, tuple(map(_candidate, ordered[:_MOST])), sure)


def _candidate(reading: _Reading) -> Candidate:
    one = reading.one
    return Candidate(one.kind, one.entry, one.marking, round(reading.score, 2), reading.how, one.evidence, one.sources)
