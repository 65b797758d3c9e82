"""The JSON Schema of the sheet beside an image, made from the keys the reader knows."""

from __future__ import annotations

from typing import Any

from minisim.json_shapes import document, record
from minisim.trials.running.sheets import END_KEYS, HANG_KEYS, REPLY_KEYS, SHA_DIGITS, VERSION, VERSION_KEYS

# Editors read a file with YAML's own guess at numbers: a word without quotes comes as a number.
_OCTAL = {"type": ["string", "integer"], "pattern": "^[0-7]{1,6}$"}
_COUNT = {"type": ["string", "integer"], "pattern": "^[0-9_]+$", "minimum": 1}
_TEXT = {"type": "string", "minLength": 1}
_NOTE = {"type": ["string", "null"]}
_ADDRESSES = "^[0-7]{1,6}$"

WHAT: dict[str, str] = {
    "called": "the version as its listing says, in your words",
    "looked-at": "no: a draft nobody has looked at yet; its passes are not believed",
    "person": "what a person has to do first; without --person-ready it is not run",
    "drive": "the place of the drive the medium goes into, as main/a/3:0; else the first that takes it",
    "start": "address at which it starts; of a medium without it: as the loadout boots",
    "ps": "processor status at the start; 000340 if nothing is said",
    "switches": "the console switches",
    "memory": "words that are put into memory before the start, by address: switches in memory",
    "replies": "what is typed when a text was printed",
    "end-of-pass": "what the end of a pass looks like: exactly one of these",
    "passes": "how many passes make a pass; 2 if nothing is said",
    "errors": "texts that tell of an error; the run ends at the first",
    "halts": "what a HALT at an address means; every HALT that is no end of a pass is an error, with a note or without",
    "hang": "when it hangs: longer than so many instructions or seconds of its own time, or at an address",
    "note": "what a reader of the report should know",
}
"""Each key of a version, in a sentence; the reference page prints the same."""

END_WHAT: dict[str, str] = {
    "text": "this text is printed",
    "bells": "so many bells (007) came",
    "address": "the program comes to this address",
    "halt": "the program halts at this address",
    "returns-to": "word 42 gets this address, at which RTS PC is put, and the program comes there",
}
HANG_WHAT: dict[str, str] = {
    "instructions": "of the whole run",
    "seconds": "of guest time, of the whole run",
    "address": "the program comes to this address",
}


def sheet_schema() -> dict[str, Any]:
    """The schema of IMAGE.trial.yaml, version 1."""
    version = record({}, further={name: _said(_keys()[name], WHAT[name]) for name in VERSION_KEYS})
    versions = {
        "type": "object",
        "minProperties": 1,
        "patternProperties": {f"^[0-9a-f]{{{SHA_DIGITS}}}$": version},
        "additionalProperties": False,
        "description": "by the SHA-256 of the image",
    }
    root = record({"trial-image": {"enum": [VERSION, int(VERSION)]}, "versions": versions}, further={"title": _TEXT})
    return document("minisim trial image", root)


def _said(shape: dict[str, Any], about: str) -> dict[str, Any]:
    return {**shape, "description": about}


def _by_address(value: dict[str, Any]) -> dict[str, Any]:
    return {"type": ["object", "null"], "patternProperties": {_ADDRESSES: value}, "additionalProperties": False}


def _keys() -> dict[str, dict[str, Any]]:
    ends: dict[str, dict[str, Any]] = {"text": _TEXT, "bells": _COUNT}
    end = record({}, further={name: _said(ends.get(name, _OCTAL), END_WHAT[name]) for name in END_KEYS})
    hang: dict[str, dict[str, Any]] = {"instructions": _COUNT, "seconds": _COUNT, "address": _OCTAL}
    texts = {"type": ["array", "string", "null"], "items": _TEXT}
    return {
        "called": _NOTE,
        "looked-at": {"enum": ["yes", "no", True, False]},
        "person": _NOTE,
        "drive": _NOTE,
        "start": _OCTAL,
        "ps": _OCTAL,
        "switches": _OCTAL,
        "memory": _by_address(_OCTAL),
        "replies": {"type": ["array", "null"], "items": record({name: {"type": "string"} for name in REPLY_KEYS})},
        "end-of-pass": end | {"minProperties": 1, "maxProperties": 1},
        "passes": _COUNT,
        "errors": texts,
        "halts": _by_address(_NOTE),
        "hang": record({}, further={name: _said(hang[name], HANG_WHAT[name]) for name in HANG_KEYS}),
        "note": _NOTE,
    }
