"""A stock with a few pieces more or less, to see what one find would change."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from minisim.findings import Mark
from minisim.problems import InputError, Problem
from minisim.stock.model import Condition, Row, Stock

_CHANGE = re.compile(r"\s*([+-])\s*(\d{1,4})\s+(\S.*?)\s*\Z")


def changed(stock: Stock, changes: list[str], catalogue: Any) -> Stock:
    """`+1 MARKING` adds an untested piece, `-2 MARKING` takes pieces away, the best of that marking first."""
    for text in changes:
        match = _CHANGE.match(text)
        if match is None:
            raise InputError([Problem(_mark(text), f'"{text}" is no change; write "+1 MARKING" or "-2 MARKING"')])
        sign, count, marking = match[1], int(match[2]), match[3]
        stock = _more(stock, count, marking, catalogue) if sign == "+" else _less(stock, count, marking, text)
    return stock


def _mark(text: str) -> Mark:
    return Mark("--what-if", 1, 1)


def _more(stock: Stock, count: int, marking: str, catalogue: Any) -> Stock:
    from minisim.stock.identify import identify

    number = max((row.number for row in stock.rows), default=0) + 1
    row = Row(
        number=number,
        mark=_mark(marking),
        cells={},
        marking=marking,
        count=count,
        condition=Condition.UNTESTED,
        box="to be found",
        item=f"what-if {marking}",
        understood=identify(marking, catalogue=catalogue),
    )
    if row.understood.entry is None and not _is_id(marking, catalogue):
        raise InputError([Problem(_mark(marking), f'"{marking}" is not certain to be one thing of the catalogue')])
    return replace(stock, rows=(*stock.rows, row))


def _is_id(word: str, catalogue: Any) -> bool:
    from minisim.catalogue.words import KINDS

    return any(catalogue.has(kind, word) for kind in KINDS)


def _less(stock: Stock, count: int, marking: str, text: str) -> Stock:
    rows, left = [], count
    for row in stock.rows:
        taken = min(left, row.count) if row.marking.upper() == marking.upper() and row.condition.usable else 0
        left -= taken
        if row.count > taken:
            rows.append(replace(row, count=row.count - taken))
    if left:
        raise InputError([Problem(_mark(text), f'"{text}": the stock has only {count - left} usable of them')])
    return replace(stock, rows=tuple(rows))
