"""The generated page docs/reference/catalogue.md: what the catalogue holds, one row a thing."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

from minisim.catalogue.model import BackplaneEntry, BoardEntry, DriveEntry, Profile, RomEntry, SupplyEntry
from minisim.catalogue.reader import Catalogue
from minisim.known import Figure, Known, Unknown

T = TypeVar("T")
_HEAD = """# The catalogue

What the catalogue holds. It is made from the files under `minisim/catalogue/`; what their keys mean stands in
[catalogue-format.md](catalogue-format.md). `?` means: exists, not known here. `-` means: there is none. A star marks
a figure that is unconfirmed or disputed.
"""


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    return {Path("reference/catalogue.md"): catalogue_page(Catalogue())}


def catalogue_page(catalogue: Catalogue) -> str:
    """The whole page."""
    sections = (
        _boards(catalogue, "mux", "Boards of the multiplexed bus"),
        _boards(catalogue, "sep", "Boards of the separate-line bus"),
        _backplanes(catalogue),
        _supplies(catalogue),
        _drives(catalogue),
        _roms(catalogue),
        _profiles(catalogue),
        _rows(catalogue),
    )
    return _HEAD + "".join(f"\n{section}" for section in sections)


def _table(title: str, columns: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    columns = list(columns)
    head = f"## {title}\n\n| {' | '.join(columns)} |\n|{'---|' * len(columns)}\n"
    return head + "".join(f"| {' | '.join(cell.replace('|', ' ') or '-' for cell in row)} |\n" for row in rows)


def _cell(figure: Figure[T]) -> str:
    """A figure as a cell: its value, ? or -; a star where the evidence is weak."""
    if isinstance(figure, Unknown):
        return "?"
    if not isinstance(figure, Known):
        return "-"
    value = figure.peek
    text = ", ".join(map(str, value)) if isinstance(value, tuple) else str(value)
    return f"{text}*" if figure.evidence.needs_saying else text


def _amps(figures: dict[str, Figure[Decimal]]) -> str:
    return ", ".join(f"{rail} {_cell(figure)}" for rail, figure in figures.items())


def _boards(catalogue: Catalogue, bus: str, title: str) -> str:
    entries = [board for board in map(catalogue.board, catalogue.ids("boards")) if board.bus == bus]
    columns = ("Id", "Markings", "What it is", "Height", "Slots", "Amperes", "AC", "DC")
    return _table(title, columns, map(_board, entries))


def _board(board: BoardEntry) -> tuple[str, ...]:
    count = f"{board.boards.peek} x " if isinstance(board.boards, Known) and board.boards.peek > 1 else ""
    return (
        f"`{board.id}`",
        _cell(board.markings),
        board.kind,
        f"{count}{_cell(board.height)}",
        ", ".join(board.slots),
        _amps(dict(board.amps)),
        _cell(board.ac),
        _cell(board.dc),
    )


def _backplanes(catalogue: Catalogue) -> str:
    def row(plane: BackplaneEntry) -> tuple[str, ...]:
        slots = str(max(plane.slots)) if plane.slots else "?"
        kinds = dict.fromkeys(kind for rows in plane.slots.values() for kind in rows.values())
        bits = _cell(plane.address_bits)
        return (f"`{plane.id}`", _cell(plane.markings), plane.kind, plane.bus, slots, ", ".join(kinds), bits)

    columns = ("Id", "Markings", "What it is", "Bus", "Slots", "Kinds of slots", "Address bits")
    return _table("Backplanes", columns, (row(catalogue.backplane(name)) for name in catalogue.ids("backplanes")))


def _supplies(catalogue: Catalogue) -> str:
    def row(supply: SupplyEntry) -> tuple[str, ...]:
        rails = _amps(dict(supply.rails))
        clock = _cell(supply.line_clock)
        return (f"`{supply.id}`", _cell(supply.markings), supply.kind, rails, _cell(supply.watts), clock)

    columns = ("Id", "Markings", "What it is", "Ratings in amperes", "Watts", "Line clock")
    return _table("Supplies", columns, (row(catalogue.supply(name)) for name in catalogue.ids("supplies")))


def _drives(catalogue: Catalogue) -> str:
    def row(drive: DriveEntry) -> tuple[str, ...]:
        return (f"`{drive.id}`", drive.kind, drive.controller, ", ".join(drive.media), _cell(drive.units))

    columns = ("Id", "What it is", "Hangs on", "Media", "Units at most")
    return _table("Drives and terminals", columns, (row(catalogue.drive(name)) for name in catalogue.ids("drives")))


def _roms(catalogue: Catalogue) -> str:
    def row(rom: RomEntry) -> tuple[str, ...]:
        word = f"{rom.first_word.peek:06o}" if isinstance(rom.first_word, Known) else _cell(rom.first_word)
        return (f"`{rom.id}`", rom.kind, word, _cell(rom.letters), _cell(rom.boots), ", ".join(rom.boards))

    columns = ("Id", "What it is", "First word", "Letters", "Boots", "Came on")
    return _table("ROM contents", columns, (row(catalogue.rom(name)) for name in catalogue.ids("roms")))


def _profiles(catalogue: Catalogue) -> str:
    def row(profile: Profile) -> tuple[str, ...]:
        fitting = [f"{option} {_cell(figure)}" for option, figure in profile.options.items() if _possible(figure)]
        known = sum(flag.documented for flag in profile.flags.values())
        average = f"{profile.average_ns} ns" if profile.average_ns is not None else "?"
        rows = f"{known} of {len(profile.flags)}"
        options = ", ".join(fitting)
        return (f"`{profile.id}`", profile.technology, _cell(profile.address_bits), options, average, rows)

    columns = ("Id", "Technology", "Address bits", "Options", "Average instruction", "Rows known")
    rows = (row(catalogue.profile(name)) for name in catalogue.ids("profiles"))
    return _table("Processor profiles", columns, rows)


def _possible(figure: Figure[str]) -> bool:
    return not (isinstance(figure, Known) and figure.peek == "never")


def _rows(catalogue: Catalogue) -> str:
    rows = ((row.id, f"`{row.flag}`", row.what, ", ".join(row.values)) for row in catalogue.rows())
    return _table("Rows of the table of differences", ("Row", "Flag", "What differs", "Values"), rows)
