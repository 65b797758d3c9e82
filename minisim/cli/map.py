"""`minisim map LOADOUT`: what answers at which address, with the free stretches between."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING, Any

from minisim.cli._help import MEDIA_ROOT

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.wiring.addresses import AddressRow
    from minisim.wiring.model import Wired, WiredProcessor

HELP = "address map of a machine: what answers where, and what is free"
EXIT = """One row for each thing that answers, by address, with its vectors and its place in the grant order; "open at"
names the place that keeps the grant from a board. Exit code: 0, or 2 where the loadout can't be used."""

_WHAT = 2  # the column that is broken into lines where a row is wider than a terminal
_LINE = 79
_NARROWEST = 16


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare options and operands."""
    parser.epilog = EXIT
    parser.add_argument("loadout", metavar="LOADOUT", help="the loadout file")
    parser.add_argument("--media-root", metavar="FOLDER", help=MEDIA_ROOT)
    picture = "draw the map into an SVG file, black and white, with the registers of every device"
    activity = "with --svg: put over it what a traced run touched (minisim boot --trace)"
    parser.add_argument("--svg", metavar="FILE", help=picture)
    parser.add_argument("--activity", metavar="TRACE", help=activity)
    parser.add_argument("--json", action="store_true", help="print the map as JSON, addresses as octal text")


def run(arguments: argparse.Namespace) -> int:
    """Print the map; 0, or InputError where the loadout can't be used."""
    from minisim.catalogue import Catalogue
    from minisim.loadout.reader import read_loadout
    from minisim.wiring.addresses import address_bits, address_map
    from minisim.wiring.resolve import resolve

    if wrong := _wrong(arguments):
        print(f"minisim map: {wrong}", file=sys.stderr)
        return 2
    catalogue = Catalogue()
    loadout = read_loadout(arguments.loadout, catalogue=catalogue, media_root=arguments.media_root)
    wired = resolve(loadout, catalogue)
    if arguments.svg is not None:
        return _draw(wired, catalogue, arguments)
    rows = address_map(wired, wired.processor_registers)
    bits = address_bits(wired)
    print(_json(wired, rows, bits) if arguments.json else "\n".join(_text(wired, rows, bits)))
    return 0


def _wrong(arguments: argparse.Namespace) -> str:
    """What can't stand together; empty: nothing."""
    if arguments.activity is not None and arguments.svg is None:
        return "--activity draws into a picture: name its file with --svg"
    return "--svg and --json are two forms; give one of them" if arguments.svg is not None and arguments.json else ""


def _draw(wired: Wired, catalogue: Catalogue, arguments: argparse.Namespace) -> int:
    """The picture into its file."""
    from minisim.files import write_atomically
    from minisim.trace.activity import activity_of
    from minisim.trace.picture import map_svg

    activity = None if arguments.activity is None else activity_of(arguments.activity, wired)
    write_atomically(arguments.svg, map_svg(wired, catalogue, activity).encode())
    print(f"{arguments.svg}: {wired.loadout.name}", file=sys.stderr)
    if activity is not None and activity.head.sha256 != wired.loadout.sha256:
        print(f"{arguments.activity}: traced with another {activity.head.name}", file=sys.stderr)
    return 0


# ---- text


def _text(wired: Wired, rows: tuple[AddressRow, ...], bits: int) -> list[str]:
    from minisim.wiring.map_words import HEADS, cells

    lines = [HEADS, *(cells(row, bits) for row in rows)]
    title = f"{wired.loadout.name}: addresses of {bits} bits, octal"
    legend = "handle: the number on it; grant: place in the grant order"
    return [title, *_processors(wired), legend, "", *_table(lines)]


def _processors(wired: Wired) -> list[str]:
    """Place, profile and options of each processor, broken at the width of the table."""
    import textwrap

    from minisim.wiring.options import options_line

    said = (
        f"processor {wired.boards[one.board].place} {one.profile}: {options_line(one, wired.boards)}"
        for one in wired.processors
    )
    return [line for text in said for line in textwrap.wrap(text, _LINE, subsequent_indent="  ")]


def _table(lines: list[tuple[str, ...]]) -> list[str]:
    widths = [max(len(line[i]) for line in lines) for i in range(len(lines[0]))]
    gap = "  " if sum(widths) + 2 * len(widths) <= _LINE else " "
    over = sum(widths) + len(gap) * (len(widths) - 1) - _LINE
    widths[_WHAT] -= max(min(over, widths[_WHAT] - _NARROWEST), 0)
    return [
        gap.join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for line in lines
        for row in _broken(line, widths[_WHAT])
    ]


def _broken(line: tuple[str, ...], width: int) -> list[tuple[str, ...]]:
    """A row, with the rest of what answers on lines of its own; what stands in brackets stays together."""
    import re
    import textwrap

    joined = re.sub(r"\(.*?\)", lambda match: match[0].replace(" ", "\xa0"), line[_WHAT])
    lines = textwrap.wrap(joined, width, break_on_hyphens=False) or [""]
    first, *rest = (part.replace("\xa0", " ") for part in lines)
    return [(*line[:_WHAT], first, *line[_WHAT + 1 :]), *(("", "", more, "", "", "") for more in rest)]


# ---- JSON


def _json(wired: Wired, rows: tuple[AddressRow, ...], bits: int) -> str:
    import json

    head = {"loadout": wired.loadout.file, "name": wired.loadout.name, "address-bits": bits}
    processors = [_processor(wired, one) for one in wired.processors]
    return json.dumps({**head, "processors": processors, "rows": [_record(row, bits) for row in rows]}, indent=2)


def _processor(wired: Wired, processor: WiredProcessor) -> dict[str, Any]:
    options = [
        {
            "option": one.name,
            "where": one.where,
            "asked": one.asked,
            "fitted": one.fitted,
            "boards": [str(wired.boards[index].place) for index in one.boards],
        }
        for one in processor.choices
    ]
    return {"place": str(wired.boards[processor.board].place), "profile": processor.profile, "options": options}


def _record(row: AddressRow, bits: int) -> dict[str, Any]:
    from minisim.wiring.map_words import octal

    return {
        "kind": row.kind.value,
        "place": row.place,
        "handle": row.handle,
        "what": row.what,
        "first": None if row.first is None else octal(row.first, bits),
        "last": None if row.last is None else octal(row.last, bits),
        "vectors": [f"{vector:03o}" for vector in row.vectors],
        "grant": row.grant or None,
        "reached": row.reached.value if row.reached else None,
        "open-at": row.broken_at,
    }
