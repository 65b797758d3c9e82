"""A stock as JSON, and the schema of it."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any

from minisim.json_shapes import COUNT, POSITIVE, TEXT, TEXTS, YES, document, list_of, record, said
from minisim.known import Evidence
from minisim.problems import Problem
from minisim.stock.merging import Merged, Source
from minisim.stock.model import Candidate, Condition, ConditionNote, Doubt, Identified, Row, Stock
from minisim.stock.showing import Describe, totals
from minisim.stock.words import OUR_COLUMNS

VERSION = 1


def as_json(stocks: Sequence[Stock], problems: Sequence[Problem], describe: Callable[[Stock], Describe]) -> str:
    """One object for all lists; `stock_schema` describes it.  `describe` gives the words for what stands in a list."""
    data = {
        "stock": VERSION,
        "lists": [data_of(stock, describe(stock)) for stock in stocks],
        "problems": [_problem(problem) for problem in problems],
    }
    return json.dumps(data, indent=1) + "\n"


def data_of(stock: Stock, describe: Describe) -> dict[str, Any]:
    """One list as plain data."""
    return {
        "file": stock.file,
        "sha256": stock.sha256,
        "form": stock.form,
        "ours": stock.ours,
        "columns": list(stock.columns),
        "mapping": {name: {"column": theirs, "how": stock.how.get(name, "")} for name, theirs in stock.mapping.items()},
        "remarks": list(stock.remarks),
        "pieces": stock.pieces,
        "totals": [{"kind": kind or None, **counts} for kind, counts in totals(stock).items()],
        "rows": [_row(row, describe) for row in stock.rows],
        "doubts": [_doubt(doubt) for doubt in stock.doubts],
    }


def _row(row: Row, describe: Describe) -> dict[str, Any]:
    return {
        "row": row.number,
        "line": row.mark.line,
        "item": row.item,
        "marking": row.marking,
        "count": row.count,
        "condition": row.condition.value,
        "box": row.box,
        "what": row.what,
        "notes": row.notes,
        "photo": row.photo,
        "kind": row.kind or None,
        "understood": _identified(row.understood, describe),
        "history": [_note(note) for note in row.history],
        "conflict": row.conflict,
        "cells": dict(row.cells),
    }


def _identified(identified: Identified, describe: Describe) -> dict[str, Any]:
    return {
        "text": identified.text,
        "sure": identified.sure,
        "what": describe(identified),
        "candidates": [_candidate(each) for each in identified.candidates],
    }


def _candidate(one: Candidate) -> dict[str, Any]:
    return {
        "kind": one.kind,
        "entry": one.entry,
        "marking": one.marking,
        "score": round(one.score, 4),
        "how": one.how,
        "evidence": one.evidence,
        "sources": list(one.sources),
    }


def _note(note: ConditionNote) -> dict[str, Any]:
    return {
        "date": note.date,
        "initials": note.initials,
        "condition": note.condition.value,
        "measured": note.measured,
    }


def _doubt(doubt: Doubt) -> dict[str, Any]:
    return {
        "row": doubt.row,
        "line": doubt.mark.line,
        "character": doubt.mark.column,
        "column": doubt.column,
        "seen": doubt.seen,
        "said": doubt.said,
        "repaired": doubt.repaired,
    }


def _problem(problem: Problem) -> dict[str, Any]:
    mark = problem.mark
    return {"file": mark.file, "line": mark.line, "character": mark.column, "message": problem.message}


def identified_as_json(identified: Identified, further: Callable[[Candidate], dict[str, Any]]) -> str:
    """The answer to one question; `identify_schema` describes it.  `further`: a candidate's `what` and `look_in`."""
    data = {
        "identify": VERSION,
        "text": identified.text,
        "sure": identified.sure,
        "candidates": [_candidate(one) | further(one) for one in identified.candidates],
    }
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def merge_as_json(merged: Merged, out: str) -> str:
    """What a merge did; `merge_schema` describes it."""
    data = {
        "merge": VERSION,
        "out": out,
        "rows": len(merged.rows),
        "pieces": sum(row.count for row in merged.rows),
        "pieces_read": merged.read,
        "joined": [
            {"about": one.about, "first": _places(one.first), "second": _places(one.second)} for one in merged.joined
        ],
        "conflicts": [
            {
                "about": one.about,
                "field": one.field,
                "first": {"says": one.first_says, "places": _places(one.first)},
                "second": {"says": one.second_says, "places": _places(one.second)},
            }
            for one in merged.conflicts
        ],
    }
    return json.dumps(data, indent=1) + "\n"


def _places(sources: Sequence[Source]) -> list[dict[str, Any]]:
    return [{"file": source.file, "row": source.row.number} for source in sources]


# --- the schema -------------------------------------------------------------------------------------------------------

_CONDITION = {"enum": [each.value for each in Condition]}
_FOLDER = said({"type": ["string", "null"]}, "folder of the catalogue, panels, brackets; null: not known")


def stock_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim stock read --json`."""
    problem = record(
        {"file": TEXT, "line": POSITIVE, "character": POSITIVE, "message": TEXT}, about="Why a file can't be used."
    )
    root = record(
        {"stock": {"const": VERSION}, "lists": list_of(_list_schema()), "problems": list_of(problem)},
        about="What `minisim stock read --json` prints.",
    )
    return document("minisim stock", root)


def _list_schema() -> dict[str, Any]:
    mapped = record({"column": TEXT, "how": TEXT}, about="The owner's column, and how it was found.")
    ours = dict.fromkeys(OUR_COLUMNS, mapped)
    counts = {each.value: COUNT for each in Condition}
    total = record({"kind": _FOLDER}, further=counts)
    return record(
        {
            "file": TEXT,
            "sha256": TEXT,
            "form": said(TEXT, "what kind of file it is"),
            "ours": said(YES, "written by minisim"),
            "columns": said(TEXTS, "all columns, in their order"),
            "mapping": record(ours, optional=True),
            "remarks": TEXTS,
            "pieces": COUNT,
            "totals": list_of(total),
            "rows": list_of(_row_schema()),
            "doubts": list_of(_doubt_schema()),
        },
        about="One list.",
    )


def _row_schema() -> dict[str, Any]:
    understood = record(
        {"text": TEXT, "sure": YES, "what": TEXT, "candidates": list_of(_candidate_schema())},
        about="What the text on the piece means, best first; sure only where the first stands alone.",
    )
    note = record(
        {"date": TEXT, "initials": TEXT, "condition": _CONDITION, "measured": TEXT}, about="One entry of the history."
    )
    return record(
        {
            "row": said(POSITIVE, "in the sheet, from 1"),
            "line": said(POSITIVE, "of the file"),
            "item": TEXT,
            "marking": TEXT,
            "count": COUNT,
            "condition": _CONDITION,
            "box": TEXT,
            "what": TEXT,
            "notes": TEXT,
            "photo": TEXT,
            "kind": _FOLDER,
            "understood": understood,
            "history": list_of(note),
            "conflict": said(TEXT, "what another list says otherwise"),
            "cells": said({"type": "object", "additionalProperties": TEXT}, "every column as written"),
        },
        about="One row; two with the same number where some of its pieces are in another condition.",
    )


def _candidate_schema(**further: dict[str, Any]) -> dict[str, Any]:
    return record(
        {
            "kind": said(TEXT, "folder of the catalogue"),
            "entry": TEXT,
            "marking": said(TEXT, "the number as it is etched; empty where none is known"),
            "score": {"type": "number", "minimum": 0, "maximum": 1},
            "how": TEXT,
            "evidence": said(
                {"enum": ["", *(one.value for one in Evidence)]}, "of the number, or of the features used"
            ),
            "sources": said(TEXTS, "keys of the bibliography"),
            **further,
        },
        about="A thing of the catalogue that the text may mean.",
    )


def _doubt_schema() -> dict[str, Any]:
    return record(
        {
            "row": COUNT,
            "line": POSITIVE,
            "character": POSITIVE,
            "column": TEXT,
            "seen": TEXT,
            "said": TEXT,
            "repaired": YES,
        },
        about="Something that was read with a repair (told) or not understood.",
    )


def merge_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim stock merge --json`."""
    places = list_of(record({"file": TEXT, "row": POSITIVE}, about="Where a row stands."))
    side = record({"says": TEXT, "places": places}, about="What one side says.")
    joined = record({"about": TEXT, "first": places, "second": places}, about="Rows that say alike and became one.")
    conflict = record(
        {"about": TEXT, "field": TEXT, "first": side, "second": side},
        about="Rows that differ; both are kept and marked.",
    )
    root = record(
        {
            "merge": {"const": VERSION},
            "out": said(TEXT, "the list that was written"),
            "rows": COUNT,
            "pieces": COUNT,
            "pieces_read": said(COUNT, "in all lists together"),
            "joined": list_of(joined),
            "conflicts": list_of(conflict),
        },
        about="What `minisim stock merge --json` prints.",
    )
    return document("minisim stock merge", root)


def identify_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim stock identify --json`."""
    documents = said(TEXTS, "where no source prints the number: documents that other figures of the entry come from")
    root = record(
        {
            "identify": {"const": VERSION},
            "text": said(TEXT, "what was asked: the words, or the features"),
            "sure": said(YES, "one thing alone is left, and no other number is likely"),
            "candidates": said(list_of(_candidate_schema(what=TEXT, look_in=documents)), "best first; empty: unknown"),
        },
        about="What `minisim stock identify --json` prints.",
    )
    return document("minisim stock identify", root)
