"""The structural types a loadout is declared with: records, lists, maps, ids of the catalogue.

The declarations themselves are in `minisim.loadout.declarations`; reader and JSON Schema are both made from them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from minisim.loadout.fields import Field


@dataclass(frozen=True, slots=True)
class IdOf:
    """The id of a thing in one folder of the catalogue; `also` are words that may stand instead."""

    folder: str
    one: str  # "board", as said in messages
    also: tuple[str, ...] = ()
    described: bool = False  # it may be described in place instead


@dataclass(frozen=True, slots=True)
class ListOf:
    """A YAML sequence."""

    item: Shape
    what: str  # "a list of cables", as said in messages


@dataclass(frozen=True, slots=True)
class MapOf:
    """A YAML mapping whose keys are the owner's: places, rails, addresses."""

    key: Field[Any]
    value: Shape
    what: str


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a record."""

    name: str
    shape: Shape
    what: str  # one line for the schema
    required: bool = False


@dataclass(frozen=True, slots=True)
class Record:
    """A YAML mapping with fixed keys."""

    name: str  # "a cable", as said in messages
    keys: tuple[Key, ...]
    either: tuple[str, ...] = ()  # exactly one of these keys must stand

    def __iter__(self) -> Iterator[Key]:
        return iter(self.keys)

    def key(self, name: str) -> Key | None:
        """The declaration of one key, or None."""
        return next((key for key in self.keys if key.name == name), None)

    @property
    def required(self) -> tuple[str, ...]:
        """Names of the keys that must stand."""
        return tuple(key.name for key in self.keys if key.required)


@dataclass(frozen=True, slots=True)
class TextOr:
    """Either one scalar or a record."""

    text: Field[Any] | IdOf
    record: Record


Shape = Field[Any] | IdOf | ListOf | MapOf | Record | TextOr
