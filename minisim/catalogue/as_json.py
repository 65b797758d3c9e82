"""What is known of things and what is not, as JSON, and the schemas of both."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from minisim.catalogue.figures import Stated, notes_of, stated, what_it_is
from minisim.catalogue.gaps import KINDS as FOLDERS
from minisim.catalogue.gaps import NO_RULE, STATES, Gap, Thing
from minisim.catalogue.reader import Catalogue
from minisim.catalogue.words import KINDS
from minisim.findings import Severity
from minisim.json_shapes import COUNT, TEXT, TEXTS, YES, document, record, records, said
from minisim.known import Evidence

VERSION = 1


def shown_as_json(catalogue: Catalogue, things: Iterable[tuple[str, str]]) -> str:
    """Things (folder and id) with all their figures; `show_schema` describes it."""
    return _text({"show": VERSION, "things": [_thing(catalogue, *thing) for thing in things]})


def gaps_as_json(things: Iterable[Thing]) -> str:
    """Things with their gaps, what decides most first; `gaps_schema` describes it."""
    return _text({"gaps": VERSION, "things": [_thing_with_gaps(thing) for thing in things]})


def _text(data: dict[str, Any]) -> str:
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def _thing(catalogue: Catalogue, kind: str, name: str) -> dict[str, Any]:
    entry = catalogue.entry(kind, name)
    return {
        "kind": kind,
        "id": name,
        "what": what_it_is(entry),
        "own": catalogue.is_own(kind, name),
        "file": str(catalogue.path(kind, name)),
        "figures": [_figure(figure) for figure in stated(catalogue, kind, name)],
        "notes": list(notes_of(entry)),
    }


def _figure(figure: Stated) -> dict[str, Any]:
    return {
        "figure": figure.label,
        "value": None if figure.unknown else figure.value,
        "evidence": figure.evidence,
        "sources": list(figure.sources),
        "note": figure.note,
    }


def _thing_with_gaps(thing: Thing) -> dict[str, Any]:
    return {
        "kind": thing.kind,
        "entry": thing.entry,
        "title": thing.title,
        "holds_up": thing.holds_up,
        "yours": thing.yours,
        "named_by": thing.named_by,
        "gaps": [_gap(gap) for gap in thing.gaps],
    }


def _gap(gap: Gap) -> dict[str, Any]:
    return {
        "figure": gap.figure.label,
        "state": gap.state,
        "value": None if gap.state == "unknown" else gap.figure.value,
        "note": gap.figure.note,
        "decides": gap.decides,
        "rules": list(gap.advice.rules),
        "holds_up": gap.holds_up,
        "how": gap.advice.how,
    }


# ---- the schemas

_VALUE = said({"type": ["string", "null"]}, "as it is read aloud; null: unknown")


def show_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim catalogue show --json`."""
    figure = {
        "figure": said(TEXT, "what it is called"),
        "value": _VALUE,
        "evidence": said({"enum": ["", *(one.value for one in Evidence)]}, "empty: nothing is said of it"),
        "sources": said(TEXTS, "keys of the bibliography"),
        "note": TEXT,
    }
    thing = {
        "kind": said({"enum": list(KINDS)}, "folder of the catalogue"),
        "id": TEXT,
        "what": TEXT,
        "own": said(YES, "an entry of the owner"),
        "file": TEXT,
        "figures": records(figure),
        "notes": TEXTS,
    }
    root = record({"show": {"const": VERSION}, "things": records(thing)}, about="Each thing that bears the name.")
    return document("minisim catalogue show", root)


def gaps_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim catalogue gaps --json`."""
    gap = {
        "figure": said(TEXT, "what it is called"),
        "state": {"enum": list(STATES)},
        "value": _VALUE,
        "note": TEXT,
        "decides": said({"enum": [*(one.value for one in Severity), NO_RULE]}, "gravest severity of the rules"),
        "rules": said(TEXTS, "those that can't be checked, or end otherwise, without it"),
        "holds_up": said(COUNT, "outcomes left unchecked in the machines named"),
        "how": said(TEXT, "how to find it out"),
    }
    thing = {
        "kind": said({"enum": list(FOLDERS)}, "folder of the catalogue"),
        "entry": TEXT,
        "title": TEXT,
        "holds_up": said(COUNT, "the most of its gaps"),
        "yours": said(COUNT, "how many there are in what --in names"),
        "named_by": said(COUNT, "entries of the catalogue that name it"),
        "gaps": records(gap),
    }
    root = record({"gaps": {"const": VERSION}, "things": records(thing)}, about="What decides most first.")
    return document("minisim catalogue gaps", root)
