"""Check many files: find the loadouts of whole folders, and check them in several processes where that pays."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.findings import Mark, Report
from minisim.problems import InputError, Problem

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.loadout.model import Loadout

WORTH_IT = 100
"""From this many files on, several processes are faster than one (measured: they cost what some sixty files take)."""

_CHUNK = 8  # files handed to a process at a time
_ENDINGS = (".yaml", ".yml")
_MOST_BYTES = 1_000_000  # of a loadout
_SAYS_LOADOUT = re.compile(rb"^(?:\xef\xbb\xbf)?(?:\{ *)?[\"']?loadout[\"']?[ \t]*:", re.MULTILINE)

Checked = Report | tuple[Problem, ...]
"""How one file ended: its report, or all that is wrong with it."""

Tell = Callable[[int, int], None]
"""Told after each file: how many are done, of how many."""


# ---- which files


@dataclass(frozen=True, slots=True)
class Found:
    """The files to check, in order, each once; how many YAML files of folders are no loadouts; folders without any."""

    files: tuple[str, ...]
    others: int
    empty: tuple[str, ...]


def find(names: Iterable[str]) -> Found:
    """Files as they are named; of a folder every loadout in it and below, by name."""
    files: dict[str, None] = {}
    others = 0
    empty: list[str] = []
    for name in names:
        if not is_folder(name):
            files[name] = None
            continue
        there = list(_yaml_files(name))
        loadouts = [one for one in there if _is_loadout(one)]
        others += len(there) - len(loadouts)
        empty += [] if loadouts else [name]
        files |= dict.fromkeys(loadouts)
    return Found(tuple(files), others, tuple(empty))


def is_folder(name: str) -> bool:
    """Is it a folder?  An empty name is not: it would stand for the one we are in."""
    return bool(name) and Path(name).is_dir()


def _yaml_files(folder: str) -> Iterator[str]:
    for where, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            if name.endswith(_ENDINGS) and not name.startswith("."):
                yield str(Path(where, name))


def _is_loadout(name: str) -> bool:
    """Does the text say so?  What can't be read is taken for one, so that the check names it."""
    try:
        with Path(name).open("rb") as stream:
            return bool(_SAYS_LOADOUT.search(stream.read(_MOST_BYTES)))
    except OSError:
        return True


def nothing_in(folder: str) -> Problem:
    """What to say of a folder without a loadout."""
    return Problem(Mark(folder, 1, 1), "no loadout in this folder or below it: no *.yaml file says loadout:")


# ---- checking them


def check_one(file: str, catalogue: Catalogue, media_root: str | None = None, stage: int | None = None) -> Checked:
    """The report of one file, at one stage of the bring-up where one is asked for; or what is wrong with the file."""
    from minisim.loadout.reader import read_loadout

    try:
        return check_read(read_loadout(file, catalogue=catalogue, media_root=media_root), catalogue, stage)
    except InputError as error:
        return error.problems


def check_read(loadout: Loadout, catalogue: Catalogue, stage: int | None = None) -> Report:
    """The report of a loadout that is read already.  InputError: it can't be resolved, or has no such stage."""
    from minisim.checking import check

    if stage is None:
        return check(loadout, catalogue)
    from minisim.staging import check_stage

    return check_stage(loadout, stage, catalogue).report


def check_files(
    files: Sequence[str], *, media_root: str | None = None, stage: int | None = None, tell: Tell | None = None
) -> tuple[list[Report], list[Problem]]:
    """Every file, in the order given; a file that can't be used takes nothing from the others."""
    reports: list[Report] = []
    problems: list[Problem] = []
    run = _in_one if len(files) < WORTH_IT or _processors() < 2 else _in_several
    for done, one in enumerate(run(files, media_root, stage), 1):
        if isinstance(one, Report):
            reports.append(one)
        else:
            problems += one
        if tell is not None:
            tell(done, len(files))
    return reports, problems


def _processors() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _in_one(files: Sequence[str], media_root: str | None, stage: int | None) -> Iterator[Checked]:
    from minisim.catalogue import Catalogue

    catalogue = Catalogue()
    for file in files:
        yield check_one(file, catalogue, media_root, stage)


def _in_several(files: Sequence[str], media_root: str | None, stage: int | None) -> Iterator[Checked]:
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool

    done = 0
    pool = ProcessPoolExecutor(min(_processors(), len(files) // _CHUNK), initializer=_begin)
    try:
        tasks = [(file, media_root, stage) for file in files]
        for one in pool.map(_check_task, tasks, chunksize=_CHUNK):
            yield one
            done += 1
    except BrokenProcessPool:  # the system ended one, for want of memory perhaps: the rest is checked here
        yield from _in_one(files[done:], media_root, stage)
    finally:  # an interrupt waits for no file that has not been begun
        pool.shutdown(wait=True, cancel_futures=True)


_CATALOGUES: list[Catalogue] = []  # one, in a process of the pool


def _begin() -> None:
    """In each process: the interrupt is for the one that asked, and the catalogue is read once."""
    import signal

    from minisim.catalogue import Catalogue

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _CATALOGUES[:] = [Catalogue()]


def _check_task(task: tuple[str, str | None, int | None]) -> Checked:
    file, media_root, stage = task
    return check_one(file, _CATALOGUES[0], media_root, stage)
