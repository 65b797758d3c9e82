"""Machines kept in files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from minisim.bench.answer import Refused
from minisim.files import read_at_most, write_atomically
from minisim.machine.errors import FrozenStateError
from minisim.machine.frozen import thaw

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.machine.machine import Machine

MOST = 400_000_000  # bytes of a kept machine with its media
CHANGED = "The loadout file has changed since; this machine is as the older file has it."
COPIES = "The media in its drives are copies: what it writes goes to no file but that of the next keep."
_HEAD = b"minisim machine "
_HEAD_BYTES = 64


def is_kept(file: str) -> bool:
    """Is the name free, or that of a kept machine?"""
    path = Path(file)
    try:
        if not path.exists():
            return True
        with path.open("rb") as stream:
            return path.is_file() and _HEAD in stream.read(_HEAD_BYTES)
    except (OSError, ValueError):  # writing says why
        return not path.is_dir()


def keep(machine: Machine, file: str) -> int:
    """Write it, whole or not at all; gives how many bytes.  InputError: it can't be written."""
    data = machine.freeze()
    write_atomically(file, data)
    return len(data)


def recalled(bench: Bench, file: str) -> tuple[Machine, tuple[str, ...]]:
    """The machine of a file, and what is to be said of it.  Refused, FrozenStateError, InputError: it can't be used."""
    bench.past.check_may_go_back()
    now = bench.machine.layout
    try:
        machine = thaw(read_at_most(file, MOST, "a kept machine"))
    except FrozenStateError as error:
        raise Refused(f"{file} can't be recalled: {error}") from None
    then = machine.layout
    if then.name != now.name:
        raise Refused(f"{file} holds {then.name}, and {now.name} stands here; only the same machine can be recalled")
    notes = [] if then.sha256 == now.sha256 else [CHANGED]
    if any(drive.medium is not None for drive in machine.drives.values()):
        notes.append(COPIES)
    return machine, tuple(notes)
