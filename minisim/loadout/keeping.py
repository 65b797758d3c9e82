"""Writing loadouts so that a record of a machine as it was found is never lost."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from minisim.files import write_atomically
from minisim.findings import Mark
from minisim.problems import InputError, Problem


def write_new_loadout(path: Path, text: str) -> None:
    """Write a loadout as a new file; InputError where a file of this name exists, whatever is in it."""
    if path.is_dir():
        raise _refused(path, "can't write the file: is a directory")
    if path.suffix not in (".yaml", ".yml"):
        raise _refused(path, "a loadout is a file ending in .yaml")
    temporary = path.with_name(f".{path.name[:100]}.{secrets.token_hex(8)}.new")
    write_atomically(temporary, text.encode())
    try:
        os.link(temporary, path)  # fails where the name is taken: no check that another program could slip behind
    except FileExistsError:
        raise _refused(path, "the file exists, and this command writes over none; give another name") from None
    except OSError:
        _without_links(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)


def _without_links(temporary: Path, path: Path) -> None:
    """Some file systems know no links: look first, then give the file its name."""
    if path.exists() or path.is_symlink():
        raise _refused(path, "the file exists, and this command writes over none; give another name")
    try:
        temporary.replace(path)
    except OSError as error:
        raise _refused(path, f"can't write the file: {(error.strerror or str(error)).lower()}") from None


def _refused(path: Path, message: str) -> InputError:
    return InputError([Problem(Mark(str(path), 1, 1), message)])
