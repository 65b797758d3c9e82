"""Which column is which: by the owner's word, else by its name, else by what stands in it.  A guess is always shown."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

from minisim.stock.cells import count_of, is_condition
from minisim.stock.model import Condition
from minisim.stock.sheets import Line, column_name
from minisim.stock.words import COLUMNS, HEADINGS, OUR_COLUMNS, PHOTO_ENDINGS, phrases, plain

OWNER, NAME, CONTENT = "as the owner says", "by its name", "by what stands in it"
_SEARCHED = 30  # rows at the top among which the names of the columns are looked for
_SAMPLE = 300
_MARKING = re.compile(
    r"[A-Z]{0,4}[-. ]?\d{3,7}(?:[-/. ]?[A-Z0-9]{1,3}){0,3}|[A-Z]{1,3}\d{2,7}(?:[-/]?[A-Z0-9]{1,3}){0,2}"
)
_ITEM = re.compile(r"[A-Za-z]{0,3}[-#]?\d{1,5}")


@dataclass(frozen=True, slots=True)
class Columns:
    """The names of all columns, and our name -> place of a column, with how that was found."""

    names: tuple[str, ...]
    at: Mapping[str, int]
    how: Mapping[str, str]
    header: int | None = None  # index of the line with the names, None where there is none
    missing: tuple[str, ...] = field(default=())  # columns the owner named that are not there
    counts: tuple[tuple[int, Condition], ...] = ()  # columns that hold the count of pieces in one condition

    @property
    def mapping(self) -> dict[str, str]:
        """Our name -> the owner's."""
        return {name: self.names[self.at[name]] for name in OUR_COLUMNS if name in self.at}


def find_columns(lines: Sequence[Line], own: Mapping[str, str], header_row: int | None = None) -> Columns:
    """The columns of a list; `own` is our name -> the owner's (or a letter), `header_row` 0 says there are no names."""
    width = max((len(line.cells) for line in lines), default=0)
    header = _header(lines, own, header_row)
    names = _names(lines[header].cells if header is not None else [], width)
    at: dict[str, int] = {}
    how: dict[str, str] = {}
    missing = _by_owner(names, own, at, how)
    if header is not None:
        _by_name(names, at, how)
    body = lines[(header + 1) if header is not None else 0 :]
    counts = _counts_by_condition(names, body, at, how) if header is not None else ()
    _check_names(body, at, how)
    taken = {*at.values(), *(place for place, _ in counts)}
    _by_content(body, width, at, how, taken, named=header is not None)
    _item_that_is_more(body, at, how)
    return Columns(names, at, how, header, tuple(missing), counts)


# --- the row of names -------------------------------------------------------------------------------------------------


def _header(lines: Sequence[Line], own: Mapping[str, str], asked: int | None) -> int | None:
    """The line that holds the names: the first that looks so."""
    if asked is not None:
        return next((index for index, line in enumerate(lines) if line.number == asked), None)
    wanted = {plain(name) for name in own.values()}
    for index, line in enumerate(lines[:_SEARCHED]):
        filled = [cell for cell in line.cells if cell.strip()]
        if any(plain(cell) in wanted for cell in filled) and not any(map(_looks_like_data, filled)):
            return index
        known = {field for field, score in map(field_of, filled) if field and score >= 0.8}
        if len(known) >= 2 and not any(map(_looks_like_data, filled)):
            return index
        below = lines[index + 1].cells if index + 1 < len(lines) else []
        if known and not any(map(_looks_like_data, filled)) and any(map(_looks_like_data, below)):
            return index
    first = [cell for cell in lines[0].cells if cell.strip()] if len(lines) > 1 else []
    return 0 if first and all(field_of(cell)[1] >= 0.8 for cell in first) else None


def _looks_like_data(cell: str) -> bool:
    text = cell.strip()
    return bool(_MARKING.fullmatch(text.upper()) and re.search(r"\d", text)) or text.isdigit()


def _names(cells: Sequence[str], width: int) -> tuple[str, ...]:
    """A name for every column, none twice; where there is none, what a spreadsheet calls it."""
    names: list[str] = []
    for index in range(width):
        name = " ".join(cells[index].split()) if index < len(cells) else ""
        name = name or f"column {column_name(index)}"
        times = 2
        unique = name
        while unique in names:
            unique = f"{name} ({times})"
            times += 1
        names.append(unique)
    return tuple(names)


# --- three ways to know -----------------------------------------------------------------------------------------------


def _by_owner(names: Sequence[str], own: Mapping[str, str], at: dict[str, int], how: dict[str, str]) -> list[str]:
    """Take what the owner says; give the names that no column has."""
    missing = []
    plains = [plain(name) for name in names]
    letters = [column_name(index) for index in range(len(names))]
    for our_name, theirs in own.items():
        if theirs in names:
            at[our_name] = names.index(theirs)
        elif plain(theirs) in plains:
            at[our_name] = plains.index(plain(theirs))
        elif theirs.upper() in letters:
            at[our_name] = letters.index(theirs.upper())
        elif theirs:
            missing.append(theirs)
            continue
        how[our_name] = OWNER
    return missing


def _by_name(names: Sequence[str], at: dict[str, int], how: dict[str, str]) -> None:
    """The best name for each of our columns; no column is taken twice."""
    scored = []
    for index, name in enumerate(names):
        for our_name in COLUMNS:
            score = _score(plain(name), our_name)
            if score > 0:
                scored.append((-score, index, our_name))
    for _, index, our_name in sorted(scored):
        if our_name not in how and index not in at.values():
            at[our_name], how[our_name] = index, NAME


def _cells(lines: Sequence[Line], place: int) -> list[str]:
    """What stands in a column of the first rows."""
    cells = (line.cells[place].strip() for line in lines[:_SAMPLE] if place < len(line.cells))
    return [cell for cell in cells if cell]


def _counts_by_condition(
    names: Sequence[str], lines: Sequence[Line], at: dict[str, int], how: dict[str, str]
) -> tuple[tuple[int, Condition], ...]:
    """Columns such as "Good" and "Bad" with numbers in them: how many pieces are in which condition."""
    if "count" in how or how.get("condition") == OWNER:
        return ()
    known = phrases()
    found = []
    for place, name in enumerate(names):
        cells = _cells(lines, place)
        if plain(name) in known and cells and all(cell.isascii() and cell.isdigit() for cell in cells):
            found.append((place, known[plain(name)]))
    if at.get("condition") in [place for place, _ in found]:
        del at["condition"], how["condition"]
    return tuple(found)


def _check_names(lines: Sequence[Line], at: dict[str, int], how: dict[str, str]) -> None:
    """A column that only numbers the rows holds neither markings nor counts, whatever its name."""
    for our_name in ("marking", "count"):
        if how.get(our_name) == NAME:
            cells = _cells(lines, at[our_name])
            if len(cells) > 2 and cells == [str(number) for number in range(1, len(cells) + 1)]:
                del at[our_name], how[our_name]


def _item_that_is_more(lines: Sequence[Line], at: dict[str, int], how: dict[str, str]) -> None:
    """Where nothing else says what a piece is, a column called item does: by its number, or in words."""
    if how.get("item") == NAME and "marking" not in at and "what" not in at:
        place = at.pop("item")
        del how["item"]
        cells = _cells(lines, place)
        our_name = "marking" if sum(map(_is_marking, cells)) * 2 >= len(cells) else "what"
        at[our_name], how[our_name] = place, CONTENT


def field_of(name: str) -> tuple[str, float]:
    """Our name for a column called so, and how well it fits (0 to 1)."""
    found = max(((_score(plain(name), our_name), our_name) for our_name in COLUMNS), default=(0.0, ""))
    return (found[1], found[0]) if found[0] > 0 else ("", 0.0)


@cache
def _score(name: str, our_name: str) -> float:
    """1 for the first word of the table, a little less for each further one; 0.6 and more for one within the name."""
    known = COLUMNS[our_name]
    if name in known:
        return 1.0 - known.index(name) / 1000
    if our_name in ("history", "conflict") or not name:
        return 0.0
    words = f" {name} "
    within = [word for word in known if len(word) > 2 and f" {word} " in words]
    if within:
        return 0.6 + min(len(max(within, key=len)), 20) / 200
    if len(name) < 5:
        return 0.0
    import difflib

    close = difflib.get_close_matches(name, known, n=1, cutoff=0.86)
    return 0.6 if close else 0.0


def _by_content(
    lines: Sequence[Line], width: int, at: dict[str, int], how: dict[str, str], taken: set[int], *, named: bool
) -> None:
    """Guess what is left.  Under names of columns only a marking is looked for; without names, everything."""
    columns = {
        index: [line.cells[index].strip() for line in lines[:_SAMPLE] if index < len(line.cells)]
        for index in range(width)
        if index not in taken
    }
    samples = {index: filled for index, cells in columns.items() if (filled := [cell for cell in cells if cell])}
    wanted = _GUESSES if not named else ({} if "marking" in how or "what" in how else {"marking": _GUESSES["marking"]})
    for our_name, (test, least) in wanted.items():
        if our_name in how:
            continue
        scores = {index: sum(map(test, cells)) / len(cells) for index, cells in samples.items()}
        best = max(scores, key=lambda index: (scores[index], -index), default=None)
        if best is not None and scores[best] >= least:
            at[our_name], how[our_name] = best, CONTENT
            del samples[best]
    if not named:
        _texts(samples, at, how)


def _texts(samples: dict[int, list[str]], at: dict[str, int], how: dict[str, str]) -> None:
    """Of what is left: numbers that never come again name pieces, short words that do are boxes, texts say what."""
    for index, cells in list(samples.items()):
        if "item" not in how and len(set(cells)) == len(cells) > 2 and all(map(_ITEM.fullmatch, cells)):
            at["item"], how["item"] = index, CONTENT
            del samples[index]
        elif "box" not in how and 2 < len(cells) >= len(set(cells)) * 1.5 and max(map(len, cells)) <= 12:
            at["box"], how["box"] = index, CONTENT
            del samples[index]
    for our_name in ("what", "notes"):
        if samples and our_name not in how:
            longest = max(samples, key=lambda index: (sum(map(len, samples[index])) / len(samples[index]), -index))
            if any(re.search("[^\\W\\d]{2}", cell) for cell in samples[longest]):
                at[our_name], how[our_name] = longest, CONTENT
            del samples[longest]


def _is_count(cell: str) -> bool:
    count = count_of(cell)
    return (count.said is None or count.said.certain) and count.pieces <= 500


def _is_marking(cell: str) -> bool:
    return bool(_MARKING.fullmatch(cell.upper()))


def _is_box(cell: str) -> bool:
    return plain(cell).split(" ")[0].rstrip("0123456789") in HEADINGS


_GUESSES: dict[str, tuple[Callable[[str], bool], float]] = {
    "marking": (_is_marking, 0.5),
    "photo": (lambda cell: cell.casefold().endswith(PHOTO_ENDINGS), 0.6),
    "condition": (is_condition, 0.6),
    "box": (_is_box, 0.6),
    "count": (_is_count, 0.8),
}
