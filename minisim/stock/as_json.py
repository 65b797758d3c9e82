"""A stock as JSON, and the schema of it."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any

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

_TEXT = {"type": "string"}
_YES = {"type": "boolean"}
_COUNT = {"type": "integer", "minimum": 0}
_PLACE = {"type": "integer", "minimum": 1}
_CONDITION = {"enum": [each.value for each in Condition]}


def _record(what: str, properties: dict[str, Any]) -> dict[str, Any]:
    return {
        "description": what,
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _list(items: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": items}


def _said(schema: dict[str, Any], what: str) -> dict[str, Any]:
    return schema | {"description": what}


def stock_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim stock read --json`."""
    problem = _record(
        "Why a file can't be used.", {"file": _TEXT, "line": _PLACE, "character": _PLACE, "message": _TEXT}
    )
    root = _record(
        "What `minisim stock read --json` prints.",
        {"stock": {"const": VERSION}, "lists": _list(_list_schema()), "problems": _list(problem)},
    )
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "minisim stock"} | root


def _list_schema() -> dict[str, Any]:
    mapped = _record("The owner's column, and how it was found.", {"column": _TEXT, "how": _TEXT})
    ours = dict.fromkeys(OUR_COLUMNS, mapped)
    counts = {each.value: _COUNT for each in Condition}
    total = {
        "type": "object",
        "properties": {
            "kind": _said({"type": ["string", "null"]}, "folder of the catalogue, panels, brackets; null: not known")
        }
        | counts,
        "required": ["kind"],
        "additionalProperties": False,
    }
    return _record(
        "One list.",
        {
            "file": _TEXT,
            "sha256": _TEXT,
            "form": _said(_TEXT, "what kind of file it is"),
            "ours": _said(_YES, "written by minisim"),
            "columns": _said(_list(_TEXT), "all columns, in their order"),
            "mapping": {"type": "object", "properties": ours, "additionalProperties": False},
            "remarks": _list(_TEXT),
            "pieces": _COUNT,
            "totals": _list(total),
            "rows": _list(_row_schema()),
            "doubts": _list(_doubt_schema()),
        },
    )


def _row_schema() -> dict[str, Any]:
    candidate = _record(
        "A thing of the catalogue that the text may mean.",
        {
            "kind": _said(_TEXT, "folder of the catalogue"),
            "entry": _TEXT,
            "marking": _TEXT,
            "score": {"type": "number", "minimum": 0, "maximum": 1},
            "how": _TEXT,
            "evidence": _TEXT,
            "sources": _list(_TEXT),
        },
    )
    understood = _record(
        "What the text on the piece means, best first; sure only where the first stands alone.",
        {"text": _TEXT, "sure": _YES, "what": _TEXT, "candidates": _list(candidate)},
    )
    note = _record(
        "One entry of the history.", {"date": _TEXT, "initials": _TEXT, "condition": _CONDITION, "measured": _TEXT}
    )
    return _record(
        "One row; two with the same number where some of its pieces are in another condition.",
        {
            "row": _said(_PLACE, "in the sheet, from 1"),
            "line": _said(_PLACE, "of the file"),
            "item": _TEXT,
            "marking": _TEXT,
            "count": _COUNT,
            "condition": _CONDITION,
            "box": _TEXT,
            "what": _TEXT,
            "notes": _TEXT,
            "photo": _TEXT,
            "kind": _said({"type": ["string", "null"]}, "folder of the catalogue, panels, brackets; null: not known"),
            "understood": understood,
            "history": _list(note),
            "conflict": _said(_TEXT, "what another list says otherwise"),
            "cells": _said({"type": "object", "additionalProperties": _TEXT}, "every column as written"),
        },
    )


def _doubt_schema() -> dict[str, Any]:
    return _record(
        "Something that was read with a repair (told) or not understood.",
        {
            "row": _COUNT,
            "line": _PLACE,
            "character": _PLACE,
            "column": _TEXT,
            "seen": _TEXT,
            "said": _TEXT,
            "repaired": _YES,
        },
    )


def merge_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim stock merge --json`."""
    places = _list(_record("Where a row stands.", {"file": _TEXT, "row": _PLACE}))
    side = _record("What one side says.", {"says": _TEXT, "places": places})
    joined = _record("Rows that say alike and became one.", {"about": _TEXT, "first": places, "second": places})
    conflict = _record(
        "Rows that differ; both are kept and marked.", {"about": _TEXT, "field": _TEXT, "first": side, "second": side}
    )
    root = _record(
        "What `minisim stock merge --json` prints.",
        {
            "merge": {"const": VERSION},
            "out": _said(_TEXT, "the list that was written"),
            "rows": _COUNT,
            "pieces": _COUNT,
            "pieces_read": _said(_COUNT, "in all lists together"),
            "joined": _list(joined),
            "conflicts": _list(conflict),
        },
    )
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "minisim stock merge"} | root
