"""What was written to a medium, kept apart from its image: one SQLite database beside it.

The database gives what the job needs: a write is there whole or not at all whatever is killed, a file for a handful of
sectors stays small, and a full disk leaves the old state.  See docs/design/media.md.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping
from pathlib import Path

from minisim.findings import Mark
from minisim.problems import InputError, Problem

FORM = "1"
ENDING = ".overlay"
_SIDE_FILES = ("-wal", "-shm", "-journal")  # of SQLite; it makes and removes them
_MOST_ASKED = 500  # numbers in one question


class MediumFullError(Exception):
    """The host's disk is full: nothing of this write is on the medium, all that was written before is."""


def overlay_path(image: Path) -> Path:
    """`system.floppy.overlay` beside `system.floppy`."""
    return image.with_name(image.name + ENDING)


class Overlay:
    """Sectors by number.  `facts` say which image they belong to."""

    def __init__(self, path: Path, facts: Mapping[str, str] | None = None) -> None:
        """Open; or, with `facts`, make one where none is.  InputError: damaged, or no overlay.

        An overlay whose maker was killed holds nothing: it counts as none (`is_half_made` without facts).
        """
        self.path = path
        self.is_half_made = False
        try:
            if not path.exists():
                _unlink(path)  # a log that outlived its database must not be taken for the log of the new one
            self._base = sqlite3.connect(path, isolation_level=None, check_same_thread=False, timeout=0)
            # WAL and NORMAL: a commit survives the end of the process; after a power cut the last ones may be gone,
            # each of them whole (sqlite.org/wal.html, sqlite.org/pragma.html#pragma_synchronous).
            self._base.execute("PRAGMA journal_mode=WAL")
            self._base.execute("PRAGMA synchronous=NORMAL")
            self._read(facts)
        except sqlite3.Error as error:
            raise _refused(path, error) from None
        if not self.is_half_made and self.facts.get("form") != FORM:
            raise InputError([Problem(Mark(str(path), 1, 1), "this is no overlay that this version can read")])

    def _read(self, facts: Mapping[str, str] | None) -> None:
        self.facts: dict[str, str] = {}
        self.numbers: set[int] = set()
        if not self._base.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            if facts is None:
                self.is_half_made = True
                return
            self._make(facts)
        self.facts.update(self._base.execute("SELECT name, value FROM facts"))
        self.numbers.update(row[0] for row in self._base.execute("SELECT number FROM sectors"))

    def _make(self, facts: Mapping[str, str]) -> None:
        self._base.execute("BEGIN IMMEDIATE")
        self._base.execute("CREATE TABLE facts (name TEXT PRIMARY KEY, value TEXT NOT NULL)")
        self._base.execute("CREATE TABLE sectors (number INTEGER PRIMARY KEY, data BLOB NOT NULL)")
        self._base.executemany("INSERT INTO facts VALUES (?, ?)", [("form", FORM), *facts.items()])
        self._base.execute("COMMIT")

    def state(self, name: str, value: str) -> None:
        """Change a fact."""
        self._change([("INSERT OR REPLACE INTO facts VALUES (?, ?)", [(name, value)])])
        self.facts[name] = value

    def read(self, numbers: Iterable[int]) -> dict[int, bytes]:
        """The sectors among `numbers` that lie here."""
        wanted = [number for number in numbers if number in self.numbers]
        found: dict[int, bytes] = {}
        for start in range(0, len(wanted), _MOST_ASKED):
            part = wanted[start : start + _MOST_ASKED]
            marks = ", ".join("?" * len(part))
            found |= dict(self._base.execute(f"SELECT number, data FROM sectors WHERE number IN ({marks})", part))
        return found

    def write(self, sectors: Mapping[int, bytes]) -> None:
        """Put sectors here, all of them or none.  MediumFullError: no room, nothing has changed."""
        self._change([("INSERT OR REPLACE INTO sectors VALUES (?, ?)", list(sectors.items()))])
        self.numbers |= sectors.keys()

    def forget(self) -> None:
        """Take all sectors out, and bring that to the disk: a power cut must not bring them back later."""
        self._change([("DELETE FROM sectors WHERE number >= ?", [(0,)])])
        self.numbers.clear()
        self._base.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def _change(self, steps: list[tuple[str, list[tuple[object, ...]]]]) -> None:
        try:
            self._base.execute("BEGIN IMMEDIATE")
            for step, rows in steps:
                self._base.executemany(step, rows)
            self._base.execute("COMMIT")
        except sqlite3.OperationalError as error:
            if self._base.in_transaction:
                self._base.execute("ROLLBACK")
            raise MediumFullError(str(error)) from None

    def close(self) -> None:
        """Leave the file whole by itself, without side files."""
        self._base.close()

    def drop(self) -> None:
        """Close, and remove the file: what was written is gone."""
        self.close()
        _unlink(self.path)


def remove(image: Path) -> None:
    """Remove the overlay of an image that no machine uses, whatever is in it.  InputError: in use."""
    with image.open("rb") as stream:
        if not alone(stream.fileno()):
            raise InputError([Problem(Mark(str(image), 1, 1), "in use by another machine")])
        _unlink(overlay_path(image))


def alone(handle: int, *, among_readers: bool = False) -> bool:
    """Take the lock of an open file, for oneself or with others who only read; False where somebody has it.

    It goes with the process.  On a system without such locks nothing keeps two machines apart.
    """
    try:
        import fcntl
    except ImportError:
        return True
    try:
        fcntl.flock(handle, (fcntl.LOCK_SH if among_readers else fcntl.LOCK_EX) | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _unlink(path: Path) -> None:
    for name in ("", *_SIDE_FILES):
        path.with_name(path.name + name).unlink(missing_ok=True)


def _refused(path: Path, error: sqlite3.Error) -> InputError:
    busy = isinstance(error, sqlite3.OperationalError) and "locked" in str(error)
    message = "in use by another machine" if busy else f"the overlay can't be used ({error}); nothing was changed"
    return InputError([Problem(Mark(str(path), 1, 1), message)])
