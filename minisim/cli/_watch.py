"""`minisim check --watch`: check again at every save, until Ctrl-C.

What is watched: the loadouts, the media and ROM images they name, what stands beside the images, and the owner's
catalogue beside a loadout.  Looking at the dates of some dozen files costs next to nothing, works on every system, and
sees a file that is written in place, replaced, taken away or put back.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.many import Checked, check_read, find, is_folder

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.findings import Report
    from minisim.loadout.model import Loadout
    from minisim.problems import Problem

EVERY_S = 0.025  # between two looks
_FOLDERS_EVERY = 40  # looks between two searches of folders for new files

State = tuple[int, int, int] | None
"""Date, size and identity of a file; None where there is none."""

Show = Callable[[Sequence["Report"], Sequence["Problem"]], None]


@dataclass(slots=True)
class _Watched:
    """One loadout with what hangs on it, and how the last check of it ended."""

    file: str
    beside: set[Path] = field(default_factory=set)
    seen: dict[Path, State] = field(default_factory=dict)
    result: Checked = ()

    def look(self) -> dict[Path, State]:
        return {path: _state(path) for path in (Path(self.file), *sorted(self.beside))}


def watch(names: Sequence[str], show: Show, *, media_root: str | None, stage: int | None) -> int:
    """Check, show, and do it again at each change; only an interrupt ends it."""
    from minisim.catalogue import Catalogue

    catalogue = Catalogue()
    watched: dict[str, _Watched] = {}
    for number, files in enumerate(_lists(names)):
        changed = [one for one in _kept(watched, files) if one.look() != one.seen]
        if number and not changed and set(watched) == set(files):
            continue
        if any(_of_catalogue(one) for one in changed):
            catalogue = Catalogue()  # the old one remembers the old entries
        for one in changed:
            _check(one, catalogue, media_root, stage)
        watched = {file: watched[file] for file in files}
        _show(watched.values(), show)
    return 0


def _lists(names: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """The files to watch, again and again; folders are searched anew now and then."""
    folders = any(is_folder(name) for name in names)
    files = find(names).files
    looks = 0
    while True:
        yield files
        time.sleep(EVERY_S)
        looks += 1
        if folders and looks % _FOLDERS_EVERY == 0:
            files = find(names).files


def _kept(watched: dict[str, _Watched], files: Iterable[str]) -> list[_Watched]:
    return [watched.setdefault(file, _Watched(file)) for file in files]


def _check(one: _Watched, catalogue: Catalogue, media_root: str | None, stage: int | None) -> None:
    """Dates first: what is saved while the check runs is then seen as a change."""
    from minisim.loadout.reader import read_loadout
    from minisim.problems import InputError

    one.seen = one.look()
    more = set(_own_entries(Path(one.file).parent))
    try:
        loadout = read_loadout(one.file, catalogue=catalogue, media_root=media_root)
        more |= _named_by(loadout)
        one.result = check_read(loadout, catalogue, stage)
    except InputError as error:  # perhaps a file it names is not there yet: a folder changes when one comes
        one.result = error.problems
        folder = Path(media_root) if media_root is not None else Path(one.file).parent
        more |= {folder, *folder.glob("*/")}
    for path in more - one.beside:
        one.beside.add(path)
        one.seen[path] = _state(path)


def _state(path: Path) -> State:
    try:
        found = path.stat()
    except (OSError, ValueError):
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


# ---- what a loadout names


def _named_by(loadout: Loadout) -> set[Path]:
    """Media, ROM images, and what may stand beside the images."""
    from minisim.wiring.sidecar import sidecar_path

    media = {end.media for end in loadout.cables if end.media is not None}
    placed = [board for box in loadout.boxes for unit in box.units for board in unit.placed]
    images = {rom.image for board in placed for rom in board.roms if rom.image is not None}
    return media | images | {sidecar_path(image) for image in images}


def _own_entries(folder: Path) -> Iterator[Path]:
    from minisim.catalogue.words import OWN_FOLDER

    top = folder / OWN_FOLDER
    if top.is_dir():
        yield top
        yield from (path for path in top.glob("**/*") if path.is_dir() or path.suffix == ".yaml")


def _of_catalogue(one: _Watched) -> bool:
    from minisim.catalogue.words import OWN_FOLDER

    top = Path(one.file).parent / OWN_FOLDER
    return any(path == top or top in path.parents for path in one.beside if _state(path) != one.seen.get(path))


# ---- the screen


def _show(watched: Iterable[_Watched], show: Show) -> None:
    from minisim.findings import Report

    results = [one.result for one in watched]
    screen = sys.stdout.isatty() and os.environ.get("TERM") not in (None, "", "dumb")
    now = datetime.now().astimezone().isoformat(timespec="seconds")
    print("\x1b[H\x1b[2J" if screen else f"---- {now}\n", end="", flush=True)
    reports = [one for one in results if isinstance(one, Report)]
    show(reports, [problem for one in results if not isinstance(one, Report) for problem in one])
    if screen:
        count = f"{len(results)} file{'' if len(results) == 1 else 's'}"
        print(f"Checked {now}; watching {count} and what they name. Ctrl-C ends.")
    sys.stdout.flush()
