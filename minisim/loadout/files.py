"""Files a loadout names: media and ROM images, found relative to its folder and never outside of it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath

from minisim.files import read_at_most
from minisim.loadout.fields import FieldError
from minisim.problems import InputError

_MOST_ROM_BYTES = 1_000_000  # far more than any ROM window holds; a bigger file is not read to the end


@dataclass(frozen=True, slots=True)
class Tree:
    """The folder in which files are looked for, and whether the user chose it (`--media-root`)."""

    root: Path
    chosen: bool

    @property
    def what(self) -> str:
        """How messages call it."""
        return "the media root" if self.chosen else "the folder of the loadout"

    def find(self, text: str, what: str) -> Path:
        """The file of that name; FieldError says what was looked for and where."""
        _refuse_absolute(text, self.what)
        try:
            path = (self.root / text).resolve()
            inside = path.is_relative_to(self.root.resolve())
            is_file, is_folder = path.is_file(), path.is_dir()
        except (OSError, ValueError, RuntimeError):  # a name no file can have, or links in a ring
            raise FieldError("no file can have this name") from None
        if not inside:
            raise FieldError(f"leaves {self.what}; {self._put_right()}")
        if is_folder:
            raise FieldError(f"a folder, not the file of {what}")
        if not is_file:
            raise FieldError(f"{what} is missing: there is no file {path.name} in {path.parent}")
        return path

    def _put_right(self) -> str:
        return (
            "name a file inside it"
            if self.chosen
            else "put the file inside it, or give another folder with --media-root"
        )


def _refuse_absolute(text: str, where: str) -> None:
    if PurePosixPath(text).is_absolute() or PureWindowsPath(text).drive or text.startswith("~"):
        raise FieldError(
            f"an absolute path; write it relative to {where}, such as media/{PureWindowsPath(text).name or 'name'}"
        )
    if "\\" in text:
        raise FieldError(f"folders are parted by /: {'/'.join(text.split(chr(92)))}")


def check_sum(path: Path, wanted: str) -> str:
    """Why the file is not the one whose SHA-256 sum is `wanted`, or nothing."""
    try:
        data = read_at_most(path, _MOST_ROM_BYTES, "an image; it is no ROM")
    except InputError as error:
        return f"{path.name}: {error.problems[0].message}"
    found = hashlib.sha256(data).hexdigest()
    return "" if found == wanted else f"{path.name} has the SHA-256 sum {found}: another image than the one planned"


def check_length(path: Path, words: int) -> str:
    """Why the image does not hold so many words, or nothing."""
    size = path.stat().st_size
    return "" if size == 2 * words else f"{path.name} has {size} bytes; this ROM has {words} words, {2 * words} bytes"


def check_printed_sum(path: Path, wanted: int) -> str:
    """Why the image has not the sum that is printed on the ROM, or nothing.

    Labels and listings give the sum of all bytes or of all words, the carries out of 16 bits dropped (common practice).
    """
    try:
        data = read_at_most(path, _MOST_ROM_BYTES, "an image; it is no ROM")
    except InputError as error:
        return f"{path.name}: {error.problems[0].message}"
    of_bytes = sum(data) & 0o177777
    of_words = (sum(data[::2]) + (sum(data[1::2]) << 8)) & 0o177777
    if wanted in (of_bytes, of_words):
        return ""
    sums = f"{of_bytes:06o} of its bytes and {of_words:06o} of its words"
    return f"{path.name} has the sum {sums}: another ROM, or a bad copy"
