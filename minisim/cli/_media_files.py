"""What all second words of `minisim media` ask of a file."""

from __future__ import annotations

from pathlib import Path

from minisim.findings import Mark
from minisim.problems import InputError, Problem


def error(path: str, message: str) -> InputError:
    """Something that can't be done with a file."""
    return InputError([Problem(Mark(path, 1, 1), message)])


def must_be_new(path: str | Path) -> None:
    """InputError: there is such a file already."""
    if Path(path).exists():
        raise error(str(path), "the file exists, and this command writes over none")
