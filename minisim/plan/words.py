"""The words a wish may use: devices, options and ROM contents that the catalogue knows."""

from __future__ import annotations

from dataclasses import dataclass

from minisim.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class Words:
    """Legal words, sorted."""

    devices: tuple[str, ...]
    options: tuple[str, ...]
    roms: tuple[str, ...]
    cables: tuple[str, ...]


def words_of(catalogue: Catalogue) -> Words:
    """Every device model some board carries, every option some processor may take, all ROM contents and cables."""
    boards = [catalogue.board(name) for name in catalogue.ids("boards")]
    devices = {one.device for board in boards for one in board.registers}
    options = {option for board in boards if board.processor for option in board.processor.options}
    return Words(tuple(sorted(devices)), tuple(sorted(options)), catalogue.ids("roms"), catalogue.ids("cables"))
