"""JSON Schemas: of the file of wishes, and of what `minisim plan --json` prints."""

from __future__ import annotations

from typing import Any

from minisim.catalogue.words import BUSES
from minisim.json_shapes import record, records
from minisim.plan.wishes import COUNTED, PRESENT, VERSION

_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_TEXT: dict[str, Any] = {"type": "string"}
_TEXTS: dict[str, Any] = {"type": "array", "items": _TEXT}
_COUNT: dict[str, Any] = {"type": "integer", "minimum": 0}
_POSITIVE: dict[str, Any] = {"type": "integer", "minimum": 1}
_NUMBER: dict[str, Any] = {"type": "number"}
_YES: dict[str, Any] = {"type": "boolean"}


def _said(shape: dict[str, Any], description: str) -> dict[str, Any]:
    return {**shape, "description": description}


def wishes_schema() -> dict[str, Any]:
    """Of the file of wishes, for editors."""
    boot = record(
        {
            "from": _said(_TEXT, "device it boots from"),
            "rom": _said(_TEXT, "content of the ROM, an id of the catalogue"),
            "image": _said(_TEXT, "file with the words of the ROM, beside the wishes"),
            "media": _said(_TEXT, "file of the medium, beside the wishes"),
        },
        optional=True,
    )
    needs = {
        "bus": {"enum": list(BUSES)},
        "memory-kb": _said(_COUNT, "at least"),
        "options": _TEXTS,
        "serial-lines": _said(_POSITIVE, "at least, with the console"),
        "boot": boot,
        "devices": _said(_TEXTS, "device models that must be there"),
        "slots": _said(_POSITIVE, "at most, in the largest box"),
        "boxes": {"enum": [1, 2]},
        "joined-by": _said(_TEXT, "cable between two boxes, an id of the catalogue"),
        "watts": _said(_NUMBER, "at most"),
        "kg": _said(_NUMBER, "at most, of the heaviest empty box"),
    }
    like = {**dict.fromkeys(COUNTED, _POSITIVE), **{key: {"const": True} for key in PRESENT}, "weight": _POSITIVE}
    wish = record(
        {
            "id": _TEXT,
            "name": _TEXT,
            "priority": _said(_POSITIVE, "1 comes first"),
            "needs": record(needs, optional=True),
            "likes": {"type": "array", "items": record(like, optional=True)},
            "pinned": _said(_TEXTS, "pieces of the list that belong into this machine"),
            "forbidden": _said(_TEXTS, "numbers on handles that must not be in it"),
        },
        optional=True,
    )
    top = record({"wishes": {"const": VERSION}, "machines": {"type": "array", "items": {**wish, "required": ["id"]}}})
    return {"$schema": _DIALECT, "title": "wishes of minisim", **top}


def plan_schema() -> dict[str, Any]:
    """Of `minisim plan --json`."""
    piece = {**dict.fromkeys(("kind", "id", "title", "place", "why"), _TEXT), "untested": _YES, "rows": _rows()}
    named = dict.fromkeys(("kind", "id", "title"), _TEXT)
    machine = {
        **dict.fromkeys(("wish", "name"), _TEXT),
        "priority": _POSITIVE,
        "boxes": records({"backplane": _TEXT, "supply": _TEXT}),
        "worst": {"type": ["string", "null"]},
        "power_proven": _YES,
        "not_known": _TEXTS,
        "pieces": records(piece),
        **dict.fromkeys(("likes", "likes_missed"), _TEXTS),
        "limits": _said(_TEXTS, "limits in watts and kilograms: what is counted and what is not known"),
        "swaps": _said(records({**named, "with": records(named)}), "left boards that could take the place of one"),
    }
    find = {**named, "count": _POSITIVE, "instead": _TEXTS}
    gap = {
        **dict.fromkeys(("wish", "name"), _TEXT),
        "priority": _POSITIVE,
        "proven": _YES,
        "to_find": records(find),
        "other_lists": _said({"type": "array", "items": records(find)}, "lists that are no longer than the first"),
        "forbidden_by": _said(_TEXTS, "needs of which each alone, left out, would let it through"),
        "facts": _said(_TEXTS, "what stands against those needs"),
    }
    thing = {**named, "count": _POSITIVE}
    left = {"group": _TEXT, **thing, "conditions": _TEXTS, "items": _TEXTS, "rows": _rows()}
    goal = {"name": _TEXT, "value": _NUMBER, "bound": _NUMBER, "proven": _YES}
    aside = {"row": _POSITIVE, "marking": _TEXT, "count": _COUNT, "because": _TEXT}
    return {
        "$schema": _DIALECT,
        "title": "plan of minisim",
        **record(
            {
                "plan": {"const": 1},
                "proven": _said(_YES, "no other division that can be laid out does better"),
                "goals": records(goal),
                "layouts_ruled_out": _COUNT,
                "machines": records(machine),
                "open": records(gap),
                "left": records(left),
                "together": records({"because": _TEXT, "things": records(thing)}),
                "left_by_box": {"type": "object", "additionalProperties": _POSITIVE},
                "test_first": _said(records({**named, "rows": _rows()}), "pieces without a stand-in first"),
                "set_aside": records(aside),
            }
        ),
    }


def _rows() -> dict[str, Any]:
    return _said({"type": "array", "items": _POSITIVE}, "rows of the list")
