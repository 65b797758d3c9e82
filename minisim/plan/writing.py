"""The machines of a plan as loadout files, with the files they need beside them."""

from __future__ import annotations

from pathlib import Path

from minisim.files import write_atomically
from minisim.findings import Mark
from minisim.plan.report import Report
from minisim.problems import InputError, Problem
from minisim.wiring.sidecar import sidecar_path


def write_machines(report: Report, folder: Path) -> list[Path]:
    """One loadout a machine, named for its wish; what stands there with the same name and other text is not lost."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError([Problem(Mark(str(folder), 1, 1), f"can't make the folder: {error.strerror}")]) from None
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
