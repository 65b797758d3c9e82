"""The generated page of the loadout file: docs/reference/loadout-format.md, made from the declarations."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from minisim.loadout.declarations import LOADOUT, VERSION
from minisim.loadout.fields import LOOSE_TEXT, RAW_TEXT, WORD, Field
from minisim.loadout.shape import IdOf, Key, ListOf, MapOf, Record, Shape, TextOr

PAGE = Path("reference/loadout-format.md")
_HEAD = f"""# The loadout file, version {VERSION}

Made from the declarations the reader itself uses; `minisim schema` prints the same as JSON Schema. How to write one:
[describe a machine](../how-to/describe-a-machine.md); the ids: [catalogue](catalogue.md).

- YAML in UTF-8, one machine a file. Anchors, aliases, tags and keys that stand twice are refused. Nothing is guessed:
  what a text means is decided by its key.
- Addresses, vectors and words are octal, with or without leading zeros or `0o`. The address of a register may be
  written in its 16-, 18- or 22-bit form: `177560`, `777560` and `17777560` are the same register. Counts, sizes, baud,
  amperes, metres and watts are decimal.
- A place is `box/unit/slot`. The slot has its rows where they matter: `2AB`, `3CF` (rows C to F), `5D` (one row), `4`
  (the whole slot), `1-2` (a board over neighbouring slots). A box with `backplane` and `slots` of its own has one unit,
  `a`. Findings about a box or one of its rails have places such as `main`, `main/a` and `main +5`.
- Paths are relative to the folder of the file, or to that of `--media-root`, and never lead out of it.
"""


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    return {PAGE: "\n\n".join([_HEAD.rstrip(), *map(_section, _records(LOADOUT, set()))]) + "\n"}


def _records(record: Record, seen: set[str]) -> Iterator[Record]:
    """A record and all those under it, each once."""
    if record.name in seen:
        return
    seen.add(record.name)
    yield record
    for key in record:
        for under in _under(key.shape):
            yield from _records(under, seen)


def _under(shape: Shape) -> Iterator[Record]:
    if isinstance(shape, Record):
        yield shape
    elif isinstance(shape, ListOf):
        yield from _under(shape.item)
    elif isinstance(shape, MapOf):
        yield from _under(shape.value)
    elif isinstance(shape, TextOr):
        yield shape.record


def _section(record: Record) -> str:
    rows = "\n".join(f"| `{key.name}`{' **must stand**' if key.required else ''} | {_row(key)} |" for key in record)
    either = f"\n\nEither `{'` or `'.join(record.either)}` must stand, not both." if record.either else ""
    head = f"## {record.name[:1].upper()}{record.name[1:]}\n\n| key | what stands there | meaning |\n|---|---|---|\n"
    return f"{head}{rows}{either}"


def _row(key: Key) -> str:
    return f"{_said(key.shape)} | {key.what}".replace("{", "`{").replace("}", "}`")


def _said(shape: Shape) -> str:
    """A shape in words, with a link to the record it holds."""
    if isinstance(shape, Field):
        return _field(shape)
    if isinstance(shape, IdOf):
        return " or ".join([f"id of a {shape.one}", *(f"`{word}`" for word in shape.also)])
    if isinstance(shape, ListOf):
        return f"{shape.what}{_links(shape)}"
    if isinstance(shape, MapOf):
        return f"{shape.what}{_links(shape)}"
    if isinstance(shape, TextOr):
        return f"{_said(shape.text)}, or {_said(shape.record)}"
    return f"[{shape.name}](#{shape.name.lower().replace(' ', '-').replace(chr(39), '')})"


def _field(field: Field[Any]) -> str:
    """The legal words where they are few, else what the field holds."""
    if field in (LOOSE_TEXT, RAW_TEXT):
        return "some text"
    if field is WORD:
        return "a word of 16 bits, octal"
    words = [word for word in field.schema.get("enum", ()) if isinstance(word, str)]
    return " or ".join(f"`{word}`" for word in words) or field.name


def _links(shape: Shape) -> str:
    names = [_said(record) for record in _under(shape)]
    return f": {', '.join(names)}" if names else ""
