"""The machines of a plan as loadout files, with the files they need beside them."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.catalogue.words import OWN_FOLDER
from minisim.files import write_atomically
from minisim.findings import Mark
from minisim.plan.pile import Thing
from minisim.plan.report import MachineReport, Report
from minisim.problems import InputError, Problem
from minisim.wiring.sidecar import sidecar_path


def write_machines(report: Report, folder: Path, catalogue: Catalogue) -> list[Path]:
    """One loadout a machine, named for its wish; what stands there with the same name and other text is not lost.

    The owner's own entries go along where a machine needs one, so that the folder can be checked by itself.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError([Problem(Mark(str(folder), 1, 1), f"can't make the folder: {error.strerror}")]) from None
    if any(catalogue.is_own(thing.kind, thing.entry) for one in report.machines for thing in _things(one)):
        _carry_entries(catalogue, folder / OWN_FOLDER)
    written = []
    for one in report.machines:
        target = folder / f"{one.machine.selection.wish.id}.yaml"
        _refuse_foreign(target)
        for name, source in one.machine.files.items():
            _copy(source, folder / name)
        head = "# Planned from the stock; what each board is there for: minisim plan\n"
        write_atomically(target, (head + one.machine.text).encode())
        written.append(target)
    return written


def _things(one: MachineReport) -> Iterable[Thing]:
    return one.machine.selection.things


def _carry_entries(catalogue: Catalogue, target: Path) -> None:
    """Own entries name each other, so all of a folder go; a file of another content is never replaced."""
    for root in catalogue.roots[1:]:
        for source in sorted(root.glob("*/*.yaml")):
            copy = target / source.relative_to(root)
            data = source.read_bytes()
            if copy.exists() and copy.read_bytes() != data:
                message = f"an own entry of another content than {source} stands here; choose another folder"
                raise InputError([Problem(Mark(str(copy), 1, 1), message)])
            if not copy.exists():
                copy.parent.mkdir(parents=True, exist_ok=True)
                write_atomically(copy, data)


def _refuse_foreign(target: Path) -> None:
    """A plan is written over only by a plan, never over a loadout that somebody wrote."""
    if target.exists() and not target.read_bytes().startswith(b"# Planned from the stock"):
        message = "this file was not written by a plan, so it stays; choose another folder"
        raise InputError([Problem(Mark(str(target), 1, 1), message)])


def _copy(source: Path, target: Path) -> None:
    target.parent.mkdir(exist_ok=True)
    for path in (source, sidecar_path(source)):
        if path.is_file():
            write_atomically(target.parent / path.name, path.read_bytes())
