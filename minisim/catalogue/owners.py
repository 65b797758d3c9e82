"""An owner's own entries: the folder `catalogue/` beside a loadout or list, laid out as the catalogue itself."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.catalogue.reader import Catalogue, read_entry_bytes
from minisim.catalogue.words import ONE_OF, OWN_FOLDER
from minisim.findings import Mark
from minisim.problems import InputError, Problem

if TYPE_CHECKING:
    from minisim.catalogue.asking import Talk

_FORMAT = "docs/reference/catalogue-format.md"


def folder_beside(path: str | Path) -> Path:
    """The folder of own entries that belongs to a file, whether it is there or not."""
    return Path(path).parent / OWN_FOLDER


def catalogue_here(folder: str | Path | None = None) -> Catalogue:
    """The catalogue with the entries of a folder, or of `catalogue/` in the folder one works in."""
    if folder is None:
        return Catalogue().beside(OWN_FOLDER)
    if not Path(folder).is_dir():
        raise InputError([Problem(Mark(str(folder), 1, 1), "there is no such folder of own entries")])
    return Catalogue(extra=[Path(folder)])


def new_entry(kind: str, name: str, folder: Path, talk: Talk) -> Path:
    """Ask for an entry and write it into the folder; the file's path.

    InputError where the id can't be used or stands in the catalogue or the folder already: nothing is replaced.
    """
    from minisim.catalogue.asking import file_text
    from minisim.catalogue.questions import ask
    from minisim.files import write_atomically

    target = folder / kind / f"{name}.yaml"
    _refuse_name(kind, name, folder, target)
    head = f"# {ONE_OF[kind][:1].upper()}{ONE_OF[kind][1:]} of the owner. What the keys mean: {_FORMAT}"
    data = file_text(head, ask(kind, name, talk)).encode()
    read_entry_bytes(data, target, kind, own=True)
    _make_folder(target.parent)
    _refuse_name(kind, name, folder, target)  # answering takes its time
    write_atomically(target, data)
    return target


def _refuse_name(kind: str, name: str, folder: Path, target: Path) -> None:
    if not re.fullmatch(r"[a-z][a-z0-9-]{0,59}", name, re.ASCII):
        message = f'"{name}" is no id: small letters, digits and dashes, a letter first, 60 characters at most'
        raise InputError([Problem(Mark(str(target), 1, 1), message)])
    there = Catalogue(extra=[folder])
    if there.has(kind, name):
        message = f'there is a {ONE_OF[kind]} "{name}" already, in {there.path(kind, name)}; nothing is replaced'
        raise InputError([Problem(Mark(str(target), 1, 1), message)])


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise InputError([Problem(Mark(str(folder), 1, 1), f"can't make the folder: {reason}")]) from None
