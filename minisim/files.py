"""Reading files up to a limit; writing them so that a reader finds the old one or the new one, whole, never half.

The record of a machine as it was found is never written over: every command writes through here, so none can.
"""

from __future__ import annotations

import contextlib
import os
import re
import secrets
from collections.abc import Iterator
from pathlib import Path

from minisim.findings import Mark
from minisim.problems import InputError, Problem

_MOST_RECORD_BYTES = 1_000_000  # no loadout is larger
_AS_FOUND = re.compile(rb"state[\"']?[ \t]*:[ \t]*[\"']?as-found")
_RECORD = (
    "the file is the record of a machine as it was found (state: as-found), which no command writes over; "
    "give another name, or copy the file and write state: planned in the copy"
)


def is_as_found(path: str | Path) -> bool:
    """Is the file a loadout that says state: as-found?  False for anything that can't be read."""
    try:
        if not Path(path).is_file():  # a pipe would be waited for
            return False
        with Path(path).open("rb") as stream:
            data = stream.read(_MOST_RECORD_BYTES + 1)
    except (OSError, ValueError):
        return False
    if not _AS_FOUND.search(data):
        return False
    from minisim.yamltext import Mapping, Scalar, parse  # only where it may be one: most files are none

    node, _ = parse(data, str(path))
    if not isinstance(node, Mapping):
        return b"loadout:" in data  # damaged, perhaps, but a record
    state = node.get("state")
    return "loadout" in node and isinstance(state, Scalar) and state.text == "as-found"


def read_at_most(path: str | Path, most: int, what: str) -> bytes:
    """The bytes of a file; InputError where it can't be read or has more than `most` bytes, too many for `what`."""
    if not str(path):
        raise _refused("", "the name of the file is empty")
    try:
        with Path(path).open("rb") as stream:
            data = stream.read(most + 1)
    except (OSError, ValueError) as error:  # ValueError: a name no file can have
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise _refused(path, f"can't read the file: {reason[:1].lower()}{reason[1:]}") from None
    if len(data) > most:
        raise _refused(path, f"the file is larger than {most // 1_000_000} MB, too large for {what}")
    return data


def _refused(path: str | Path, message: str) -> InputError:
    return InputError([Problem(Mark(str(path), 1, 1), message)])


def write_atomically(path: str | Path, data: bytes) -> None:
    """Write `data` as the file `path`: a temporary file in the same folder, to the disk, then renamed.

    A link is followed, and the permissions of a file that is there are kept.  Where anything fails, the old file stays
    as it was and nothing else is left; the error is an InputError that names the file and the reason.  A loadout that
    says state: as-found is never replaced.
    """
    if is_as_found(path):
        raise InputError([Problem(Mark(str(path), 1, 1), _RECORD)])
    try:
        _write(Path(path).resolve(), data)
    except (OSError, ValueError, RuntimeError) as error:  # the last two: a name no file can have, links in a ring
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise InputError(
            [Problem(Mark(str(path), 1, 1), f"can't write the file: {reason[:1].lower()}{reason[1:]}")]
        ) from None


@contextlib.contextmanager
def alone_in_folder(path: Path) -> Iterator[None]:
    """Alone with the folder of a file; a lock goes with the process that held it, however that ends."""
    try:
        import fcntl
    except ImportError:  # a system without it: the last writer wins, as with any editor
        yield
        return
    handle = os.open(path.resolve().parent, os.O_RDONLY)
    try:
        with contextlib.suppress(OSError):  # a file system without locks
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _write(target: Path, data: bytes) -> None:
    if target.is_dir():
        raise IsADirectoryError(21, "Is a directory")
    if not target.parent.exists():
        raise FileNotFoundError(2, f"there is no folder {target.parent}")
    temporary = target.with_name(f".{target.name[:100]}.{secrets.token_hex(8)}")
    try:
        with temporary.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            temporary.chmod(target.stat().st_mode & 0o7777)
        temporary.replace(target)
    except BaseException:  # an interrupt too must leave nothing behind
        temporary.unlink(missing_ok=True)
        raise
    _settle(target.parent)


def _settle(folder: Path) -> None:
    """Bring the new name to the disk as well, where the system can do that for a folder."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass  # some file systems refuse this for folders; the file itself is on the disk
    finally:
        os.close(handle)
