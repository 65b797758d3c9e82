"""`minisim map LOADOUT`: what answers at which address, with the free stretches between."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from minisim.wiring.addresses import AddressRow
    from minisim.wiring.model import Wired

HELP = "address map of a machine: what answers where, with which vector, and what is free"

_HEADS = ("place", "on the handle", "what answers", "first to last address", "vector", "grant")
_LIMITS = (16, 14, 34, 22, 11, 99)  # widest text of each column, so that a line keeps to 100 characters
_GAP = "  "


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare options and operands."""
    parser.add_argument("loadout", metavar="LOADOUT", help="the loadout file")
    parser.add_argument("--media-root", metavar="FOLDER", help="folder in which media and ROM images are looked for")
    parser.add_argument("--json", action="store_true", help="print the map as JSON, addresses as octal text")


def run(arguments: argparse.Namespace) -> int:
    """Print the map; 0, or InputError where the loadout can't be used."""
    from minisim.catalogue import Catalogue
    from minisim.loadout.reader import read_loadout
    from minisim.wiring.addresses import address_bits, address_map
    from minisim.wiring.processor_registers import processor_registers
    from minisim.wiring.resolve import resolve

    catalogue = Catalogue()
    loadout = read_loadout(arguments.loadout, catalogue=catalogue, media_root=arguments.media_root)
    wired = resolve(loadout, catalogue)
    first = wired.processors[0] if wired.processors else None
    own = processor_registers(catalogue.profile(first.profile), first.options) if first else ()
    rows = address_map(wired, own)
    bits = address_bits(wired)
    print(_json(wired, rows, bits) if arguments.json else "\n".join(_text(wired, rows, bits)))
    return 0


# ---- text


def _text(wired: Wired, rows: tuple[AddressRow, ...], bits: int) -> list[str]:
    lines = [_cells(row, bits) for row in rows]
    title = f"{wired.loadout.name}: addresses of {bits} bits, octal; grant = place in the grant order"
    return [title, "", *_table([_HEADS, *lines])]


def _table(lines: list[tuple[str, ...]]) -> list[str]:
    widths = [min(limit, max(len(line[i]) for line in lines)) for i, limit in enumerate(_LIMITS)]
    return [
        _GAP.join(_cut(cell, width).ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in lines
    ]


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else text[: width - 2] + ".."


def _cells(row: AddressRow, bits: int) -> tuple[str, ...]:
    return (row.place, row.handle, row.what, _span(row, bits), _vectors(row), _grant(row))


def _span(row: AddressRow, bits: int) -> str:
    if row.first is None or row.last is None:
        return ""
    first, last = _octal(row.first, bits), _octal(row.last, bits)
    return first if first == last else f"{first} to {last}"


def _octal(address: int, bits: int) -> str:
    from minisim.wiring.addresses import digits

    return f"{address:0{digits(bits)}o}"


def _vectors(row: AddressRow) -> str:
    if len(row.vectors) > 2:
        return f"{row.vectors[0]:03o} to {row.vectors[-1]:03o}"
    return " ".join(f"{vector:03o}" for vector in row.vectors)


def _grant(row: AddressRow) -> str:
    """Place in the grant order; where a board that interrupts gets no grant, the place that stops it."""
    from minisim.wiring.model import Passes

    if not row.place:
        return ""
    if row.reached is None or row.reached is Passes.YES:
        return str(row.grant or "-")
    word = "open" if row.reached is Passes.NO else "open?"
    return f"{row.grant or '-'} {word} at {row.broken_at}" if row.broken_at else f"{row.grant or '-'} no grant"


# ---- JSON


def _json(wired: Wired, rows: tuple[AddressRow, ...], bits: int) -> str:
    import json

    head = {"loadout": wired.loadout.file, "name": wired.loadout.name, "address-bits": bits}
    return json.dumps({**head, "rows": [_record(row, bits) for row in rows]}, indent=2)


def _record(row: AddressRow, bits: int) -> dict[str, Any]:
    return {
        "kind": row.kind.value,
        "place": row.place,
        "handle": row.handle,
        "what": row.what,
        "first": None if row.first is None else _octal(row.first, bits),
        "last": None if row.last is None else _octal(row.last, bits),
        "vectors": [f"{vector:03o}" for vector in row.vectors],
        "grant": row.grant or None,
        "reached": row.reached.value if row.reached else None,
        "open-at": row.broken_at,
    }
