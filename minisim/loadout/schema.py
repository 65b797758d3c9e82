"""The JSON Schema of loadout version 1, made from the declarations and the ids of the catalogue.

Editors read YAML with guesses of their own: 177560 becomes a number, yes may become true.  The schema therefore accepts
what they make of a legal word beside the word itself; the reader of the loadout sees the text as written.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from minisim.catalogue.model import BoardEntry
from minisim.catalogue.reader import Catalogue
from minisim.loadout.declarations import BOARD, LOADOUT, VERSION
from minisim.loadout.fields import Field
from minisim.loadout.settings import setting_field
from minisim.loadout.shape import IdOf, Key, ListOf, MapOf, Record, Shape, TextOr

Schema = dict[str, Any]


def loadout_schema(catalogue: Catalogue | None = None) -> Schema:
    """The schema (JSON Schema 2020-12) as a mapping ready for json.dumps."""
    return _Writer(catalogue or Catalogue()).whole()


class _Writer:
    """Collects the definitions while it walks the declarations."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.definitions: dict[str, Schema] = {}

    def whole(self) -> Schema:
        body = self._record(LOADOUT)
        return {
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "title": f"minisim loadout, version {VERSION}",
            **body,
            "$defs": dict(sorted(self.definitions.items())),
        }

    def _of(self, shape: Shape) -> Schema:
        if isinstance(shape, Field):
            return dict(shape.schema)
        if isinstance(shape, IdOf):
            return self._ids(shape)
        if isinstance(shape, ListOf):
            return {"type": "array", "items": self._of(shape.item)}
        if isinstance(shape, MapOf):
            names = {"propertyNames": dict(shape.key.schema)}
            return {"type": "object", **names, "additionalProperties": self._of(shape.value)}
        if isinstance(shape, TextOr):
            return {"anyOf": [self._of(shape.text), self._of(shape.record)]}
        return self._reference(shape)

    def _ids(self, wanted: IdOf) -> Schema:
        self.definitions[wanted.folder] = {"enum": list(self.catalogue.ids(wanted.folder))}
        ids: Schema = {"$ref": f"#/$defs/{wanted.folder}"}
        return {"anyOf": [ids, {"enum": list(wanted.also)}]} if wanted.also else ids

    def _reference(self, record: Record) -> Schema:
        name = record.name.replace(" ", "-")
        if name not in self.definitions:
            self.definitions[name] = {}  # holds the place while the record is walked
            self.definitions[name] = self._record(record)
        return {"$ref": f"#/$defs/{name}"}

    def _record(self, record: Record) -> Schema:
        schema: Schema = {"type": "object", "properties": {key.name: self._key(key) for key in record}}
        if record.required:
            schema["required"] = list(record.required)
        if record.either:
            schema["oneOf"] = [{"required": [name]} for name in record.either]
        if record is BOARD:
            schema["allOf"] = list(self._settings())
        return {**schema, "additionalProperties": False}

    def _key(self, key: Key) -> Schema:
        schema = self._of(key.shape)
        return {**schema, "description": key.what}

    def _settings(self) -> Iterator[Schema]:
        """Which settings a board has and what they take; boards that are alike share one piece."""
        alike: dict[str, tuple[Schema, list[str]]] = {}
        for name in self.catalogue.ids("boards"):
            then = {"properties": {"settings": _settings_of(self.catalogue.board(name))}}
            alike.setdefault(json.dumps(then, sort_keys=True), (then, []))[1].append(name)
        for then, boards in alike.values():
            yield {"if": {"properties": {"board": {"enum": boards}}, "required": ["board"]}, "then": then}


def _settings_of(entry: BoardEntry) -> Schema:
    properties = {
        name: {**setting_field(entry, name).schema, "description": setting.what}
        for name, setting in entry.settings.items()
    }
    return {"properties": properties, "additionalProperties": False}
