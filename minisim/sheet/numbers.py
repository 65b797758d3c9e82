"""Figures as a sheet shows them: decimal without idle zeros, octal with the bits beside, and how sure each is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass
from decimal import Decimal
from typing import Any

from minisim.catalogue.model import BoardEntry
from minisim.known import Evidence, Known, NotApplicable, Total
from minisim.sheet.messages import say


def amount(value: Decimal | int) -> str:
    """`6.3`, `20`."""
    return f"{Decimal(value).normalize():f}"


def figure_text(figure: object) -> str:
    """A figure: its value, `unknown`, or nothing where the thing does not exist."""
    if isinstance(figure, Known):
        return amount(figure.peek) if isinstance(figure.peek, Decimal | int) else str(figure.peek)
    return "" if isinstance(figure, NotApplicable) else say("figure-unknown")


def handle(entry: BoardEntry) -> str:
    """The numbers on the handles of a board or set; they can be broken between two."""
    marks = entry.markings
    return ", ".join(marks.peek) if isinstance(marks, Known) and marks.peek else say("boards-no-number")


def how_sure(figure: object) -> str:
    """The evidence of a figure in words."""
    return say(f"evidence-{figure.evidence}") if isinstance(figure, Known) else say("figure-unknown")


def sum_text(total: Total) -> str:
    """`6.3`, or `at least 6.3` where parts are unknown."""
    known = sum((part.figure.peek for part in total.parts if isinstance(part.figure, Known)), Decimal(0))
    return amount(known) if total.complete else say("figure-at-least", amount=amount(known))


def weakest(total: Total) -> Evidence | None:
    """The weakest evidence among the known parts."""
    found = [part.figure.evidence for part in total.parts if isinstance(part.figure, Known)]
    return max(found, key=lambda one: one.rank, default=None)


def kilo(size: int) -> str:
    """Bytes of memory as K words and K bytes: `64 K words (128 K bytes)`."""
    return say("figure-memory", words=amount(Decimal(size) / 2048), bytes=amount(Decimal(size) / 1024))


def binary(value: int, highest: int, lowest: int) -> str:
    """Bits of a word from `highest` down to `lowest`, in threes as octal digits take them: `1 111 101 110`."""
    groups: list[str] = []
    for bit in range(highest, lowest - 1, -1):
        if not groups or bit % 3 == 2:
            groups.append("")
        groups[-1] += str(value >> bit & 1)
    return " ".join(groups)


def sources_in(things: Iterable[object]) -> Iterator[str]:
    """Source keys of every figure inside records, once each, in order of first mention."""
    seen: dict[str, None] = {}
    for thing in things:
        for figure in _figures(thing):
            seen |= dict.fromkeys(figure.sources)
    yield from seen


def _figures(thing: Any) -> Iterator[Known[object]]:
    if isinstance(thing, Known):
        yield thing
    elif isinstance(thing, dict):
        for value in thing.values():
            yield from _figures(value)
    elif isinstance(thing, tuple):
        for value in thing:
            yield from _figures(value)
    elif is_dataclass(thing):
        for one in fields(thing):
            yield from _figures(getattr(thing, one.name))
