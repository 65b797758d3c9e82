"""A stock as text: what was understood by box, totals, what was read with a repair, and what was not understood."""

from __future__ import annotations

import re
import textwrap
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from minisim.problems import printable
from minisim.stock.model import Condition, Doubt, Identified, Row, Stock
from minisim.stock.words import OUTSIDE

if TYPE_CHECKING:
    from minisim.stock.merging import Merged, Source

_FOLDED = 12
_KINDS = {
    "boards": "boards", "backplanes": "backplanes", "supplies": "supplies", "chassis": "boxes (chassis)",
    "drives": "drives", "cables": "cables", "media": "media", "roms": "ROM sets",
    "panels": "panels", "brackets": "brackets",
}  # fmt: skip
_OTHERS = "not known what"
_NOBODY = "not identified"

Describe = Callable[[Identified], str]
"""What a thing is, in words; "" where it is not identified."""


def describer(catalogue: object) -> Describe:
    """Words from the catalogue, each entry looked up once."""
    from minisim.catalogue import Catalogue

    assert isinstance(catalogue, Catalogue)
    known: dict[tuple[str, str], str] = {}

    def describe(identified: Identified) -> str:
        if not identified.candidates:
            return ""
        best = identified.candidates[0]
        key = (best.kind, best.entry)
        if key not in known:
            known[key] = str(getattr(catalogue.entry(*key), "kind", best.entry))
        return known[key] if identified.sure else f"perhaps {best.marking or best.entry}: {known[key]}"

    return describe


def text(stock: Stock, describe: Describe, columns: int, *, whole: bool = False, by: str = "box") -> str:
    """Everything there is to say, in lines of at most `columns` characters; the table is by box or by marking."""
    return "\n".join(line.rstrip() for line in _lines(stock, describe, columns, whole, by)) + "\n"


def _lines(stock: Stock, describe: Describe, columns: int, whole: bool, by: str) -> Iterator[str]:
    yield from _wrapped(
        f"{printable(stock.file)}: {_counted(len(stock.rows), 'row')}, {_counted(stock.pieces, 'piece')}; {stock.form}",
        columns,
    )
    yield from _columns(stock, columns)
    for remark in stock.remarks:
        yield from _wrapped(f"- {printable(remark)}", columns)
    yield from _boxes(stock, describe, columns, whole) if by == "box" else _markings(stock, describe, columns, whole)
    yield from _totals(stock)
    yield from _repairs(stock, columns, whole)
    yield from _not_understood(stock, describe, columns, whole)


# --- columns ----------------------------------------------------------------------------------------------------------


def _columns(stock: Stock, columns: int) -> Iterator[str]:
    if stock.ours:
        return
    yield "columns, as taken (--map marking=NAME sets one):"
    for name, theirs in stock.mapping.items():
        yield from _wrapped(f'  {name:10} "{printable(theirs)}", {stock.how.get(name, "")}', columns, 13)
    kept = [name for name in stock.columns if name not in stock.mapping.values()]
    if kept:
        yield from _wrapped("  kept       " + ", ".join(f'"{printable(name)}"' for name in kept), columns, 13)


# --- the table --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Kind:
    """What makes rows of a box one line of the table."""

    marking: str
    what: str
    condition: str


def _boxes(stock: Stock, describe: Describe, columns: int, whole: bool) -> Iterator[str]:
    """One block a box; boxes and markings in their order, 9 before 10."""
    boxes: dict[str, dict[_Kind, list[Row]]] = {}
    for row in stock.rows:
        kind = _Kind(row.marking, described(row, describe), row.condition.value)
        boxes.setdefault(row.box, {}).setdefault(kind, []).append(row)
    lengths = [len(kind.marking) for block in boxes.values() for kind in block]
    wide = max((length for length in lengths if length <= 16), default=0)  # longer ones push the rest to the right
    for box in sorted(boxes, key=_natural):
        block = boxes[box]
        yield ""
        pieces = sum(row.count for rows in block.values() for row in rows)
        yield from _wrapped(f"{_box(_cut(box, 200))} ({_counted(pieces, 'piece')})", columns)
        for kind in sorted(block, key=lambda one: (_natural(one.marking), one.what)):
            yield from _table_row(kind, block[kind], wide, columns, whole)


def _markings(stock: Stock, describe: Describe, columns: int, whole: bool) -> Iterator[str]:
    """Each marking once: how many in which condition, what it is, and in which boxes they are."""
    found: dict[tuple[str, str], list[Row]] = {}
    for row in stock.rows:
        found.setdefault((row.marking, described(row, describe)), []).append(row)
    wide = max((len(marking) for marking, _ in found if len(marking) <= 16), default=0)
    yield ""
    for (marking, what), rows in sorted(found.items(), key=lambda one: (_natural(one[0][0]), one[0][1])):
        start = f"{sum(row.count for row in rows):5}  {printable(_cut(marking, 36)):{wide}}  "
        short = what if whole else _short(what, columns - len(start))
        boxes = ", ".join(sorted({row.box for row in rows if row.box}, key=_natural))
        conditions = ", ".join(f"{count} {each}" for each in Condition if (count := _in(rows, each)))
        yield from _wrapped(start + printable(short), columns, len(start))
        yield from _wrapped(
            " " * len(start) + printable(f"{conditions}{'; in ' if boxes else ''}{boxes}"), columns, len(start)
        )


def _in(rows: Iterable[Row], condition: Condition) -> int:
    return sum(row.count for row in rows if row.condition is condition)


def _natural(text: str) -> list[tuple[int, int, str]]:
    """A key that sorts numbers within texts by their value; what has no name comes last."""
    parts = re.findall(r"[0-9]{1,18}|[^0-9]+", text.casefold())
    return [(0, int(part), "") if part[0] in "0123456789" else (1, 0, part) for part in parts] or [(2, 0, "")]


def _table_row(kind: _Kind, rows: list[Row], wide: int, columns: int, whole: bool) -> Iterator[str]:
    """Count, marking, condition, what it is and the owner's names of the pieces, which go on under themselves."""
    count = sum(row.count for row in rows)
    start = f"{count:5}  {printable(_cut(kind.marking, 36)):{wide}}  {kind.condition:10}  "
    what = kind.what if whole else _short(kind.what, columns - len(start))
    items = ", ".join(row.item for row in rows if row.item)
    yield from _wrapped(start + printable(f"{what} ({items})" if items else what), columns, len(start))


def _short(what: str, room: int) -> str:
    """A description as far as it fits a line, ended where a part of it ends."""
    if len(what) <= room or what.startswith('"'):
        return what
    ends = [found.start() for found in re.finditer(r",? \(|[,:;] ", what) if 8 <= found.start() <= room]
    return what[: ends[-1]] if ends and what.count('"', 0, ends[-1]) % 2 == 0 else what


def described(row: Row, describe: Describe) -> str:
    """What a piece is: from the catalogue, else in the owner's words, else that nobody knows."""
    known = describe(row.understood)
    if row.understood.sure:
        return known
    own = row.what if row.what != row.marking else ""
    return "; ".join(part for part in (known, f'"{own}"' if own else "") if part) or _NOBODY


def _box(name: str) -> str:
    if not name:
        return "no box named"
    return printable(name) if not name[:1].isdigit() and len(name) > 3 else f"box {printable(name)}"


# --- totals -----------------------------------------------------------------------------------------------------------


def totals(stock: Stock) -> dict[str, Counter[str]]:
    """Kind of thing -> condition -> pieces; the kind may be known where it is not known which one it is."""
    found: dict[str, Counter[str]] = {}
    for row in stock.rows:
        counts = found.setdefault(row.kind, Counter())
        counts[row.condition.value] += row.count
    return found


def _totals(stock: Stock) -> Iterator[str]:
    found = totals(stock)
    words = [each.value for each in Condition]
    yield ""
    yield f"{'pieces':16}" + "".join(f"{word:>{_wide(word)}}" for word in [*words, "all"])
    for kind in [*_KINDS, ""]:
        if kind in found:
            yield _total(_KINDS.get(kind, _OTHERS), found[kind], words)
    if len(found) > 1:
        yield _total("all", sum(found.values(), Counter()), words)


def _total(name: str, counts: Mapping[str, int], words: list[str]) -> str:
    cells = "".join(f"{counts.get(word) or '-':>{_wide(word)}}" for word in words)
    return f"{name:16}{cells}{sum(counts.values()):>{_wide('all')}}"


def _wide(word: str) -> int:
    return max(len(word) + 2, 7)


# --- doubts -----------------------------------------------------------------------------------------------------------


def _repairs(stock: Stock, columns: int, whole: bool) -> Iterator[str]:
    repaired = {**_misread(stock), **_grouped(doubt for doubt in stock.doubts if doubt.repaired)}
    if not repaired:
        return
    yield ""
    yield "read with a repair:"
    shown = list(repaired.items()) if whole else list(repaired.items())[:_FOLDED]
    for (column, seen, said), rows in shown:
        yield from _wrapped(f"  {_rows(rows, whole)}: {_cell(column, seen)}{said}", columns, 4)
    if len(shown) < len(repaired):
        yield f"  and {len(repaired) - len(shown)} more (--all shows them)"


def _misread(stock: Stock) -> dict[tuple[str, str, str], list[int]]:
    """Markings that are surely known, but were not written as they are published."""
    found: dict[tuple[str, str, str], list[int]] = {}
    for row in stock.rows:
        known = row.understood.entry
        if known is not None and known.score < 1:
            said = f"{known.marking or known.entry} ({known.how})"
            found.setdefault(("", row.marking or row.what, f"read as {said}"), []).append(row.number)
    return found


def _not_understood(stock: Stock, describe: Describe, columns: int, whole: bool) -> Iterator[str]:
    doubts = _grouped(stock.open_doubts)
    unknown = _unknown(stock, describe)
    if not doubts and not unknown:
        yield ""
        yield "every row was understood"
        return
    yield ""
    yield "not understood:"
    for (column, seen, said), rows in doubts.items():
        yield from _wrapped(f"  {_rows(rows, whole)}: {_cell(column, seen)}{said}", columns, 4)
    for (name, said), rows in unknown.items():
        yield from _wrapped(f"  {_rows(rows, whole)}: {said}: {name}", columns, 4)


def _unknown(stock: Stock, describe: Describe) -> dict[tuple[str, str], list[int]]:
    """What is not surely a thing of the catalogue, with its rows."""
    found: dict[tuple[str, str], list[int]] = {}
    told = {(doubt.row, doubt.seen) for doubt in stock.open_doubts if doubt.column == stock.mapping.get("marking")}
    for row in stock.rows:
        if not is_understood(row) and (row.marking or row.what) and (row.number, row.marking) not in told:
            guess = describe(row.understood)
            said = f"not sure, {guess}" if guess else "not in the catalogue"
            found.setdefault((printable(row.marking or row.what), said), []).append(row.number)
    return found


def is_understood(row: Row) -> bool:
    """Is it known what it is?  For what the catalogue has no entries for, words are enough."""
    return row.understood.sure or row.kind in OUTSIDE


def _grouped(doubts: Iterable[Doubt]) -> dict[tuple[str, str, str], list[int]]:
    found: dict[tuple[str, str, str], list[int]] = {}
    for doubt in doubts:
        found.setdefault((doubt.column, doubt.seen, doubt.said), []).append(doubt.row)
    return found


def _cell(column: str, seen: str) -> str:
    column, seen = printable(column), printable(_cut(seen, 60))
    if column and seen:
        return f'{column} "{seen}": '
    return f"{column or seen}: " if column or seen else ""


def _rows(numbers: list[int], whole: bool) -> str:
    """`row 3`, `rows 3 to 7, 9`: neighbours drawn together; a long list is cut unless all was asked for."""
    spans: list[list[int]] = []
    for number in dict.fromkeys(numbers):
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    most = len(spans) if whole else 40
    shown = [str(a) if a == b else f"{a} to {b}" for a, b in spans[:most]]
    more = [f"and {len(spans) - most} more (--all shows them)"] if len(spans) > most else []
    return f"row{'s' if len(set(numbers)) > 1 else ''} {', '.join([*shown, *more])}"


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else text[: max(width - 2, 1)] + ".."


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _wrapped(text: str, columns: int, indent: int = 2) -> list[str]:
    return textwrap.wrap(
        text, columns, subsequent_indent=" " * indent, break_on_hyphens=False, drop_whitespace=True,
        replace_whitespace=True, break_long_words=True,
    ) or [""]  # fmt: skip


# --- a merge ----------------------------------------------------------------------------------------------------------


def merged_text(merged: Merged, stocks: Iterable[Stock], out: str, columns: int) -> str:
    """What was put together, and every difference with both values and where they stand."""
    return "\n".join(_merged(merged, list(stocks), out, columns)) + "\n"


def _merged(merged: Merged, stocks: list[Stock], out: str, columns: int) -> Iterator[str]:
    pieces = sum(row.count for row in merged.rows)
    yield from _wrapped(
        f"{printable(out)}: {_counted(len(merged.rows), 'row')}, {_counted(pieces, 'piece')}, "
        f"from {_counted(len(stocks), 'list')} with {_counted(merged.read, 'piece')}",
        columns,
    )
    doubts = [(stock.file, len(stock.open_doubts)) for stock in stocks if stock.open_doubts]
    for file, number in doubts:
        file = printable(file)
        yield from _wrapped(f"- {file} has {_counted(number, 'doubt')}: minisim stock read {file} shows them", columns)
    if merged.joined:
        yield "said alike by two lists, now one:"
    for one in merged.joined:
        yield from _wrapped(f"  {printable(one.about)}: {_places(one.first)}; {_places(one.second)}", columns, 4)
    if merged.conflicts:
        yield "different, both kept and marked in the column conflict:"
    for each in merged.conflicts:
        first = f"{printable(each.first_says)} ({_places(each.first)})"
        second = f"{printable(each.second_says)} ({_places(each.second)})"
        yield from _wrapped(f"  {printable(each.about)}: {each.field}: {first}; {second}", columns, 4)


def _places(sources: Iterable[Source]) -> str:
    return ", ".join(printable(str(source)) for source in sources)
