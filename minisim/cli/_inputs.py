"""What several commands share: reading the files they are given, octal and decimal options."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from minisim.files import read_at_most
from minisim.findings import Mark
from minisim.problems import InputError, Problem

MOST_BYTES = 4_000_000  # of a source or a tape; a tape of that length would be ten kilometres

MOST_IN_BLOCK = 60_000


def unusable(file: str | Path, message: str, line: int = 1, column: int = 1) -> InputError:
    """The error for a file that can't be used."""
    return InputError([Problem(Mark(str(file), line, column), message)])


def read_bytes(path: str | Path) -> bytes:
    """The bytes of a file; InputError where it can't be read or is far too large."""
    return read_at_most(path, MOST_BYTES, "a source, a tape or a ROM")


def decode(data: bytes, name: str | Path) -> str:
    """Text in UTF-8; InputError names the place of the first byte that isn't."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line, column = before.count(b"\n") + 1, error.start - before.rfind(b"\n")
        raise unusable(name, "the file is not text in UTF-8", line, column) from None


def read_text(path: str | Path) -> str:
    """A file as text."""
    return decode(read_bytes(path), path)


def read_sources(paths: Sequence[str]) -> list[tuple[str, str]]:
    """Assembler sources as (name, text); every file that can't be read is reported."""
    found: list[tuple[str, str]] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            found.append((path, read_text(path)))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return found


def octal(text: str, most: int = 0o177777) -> int:
    """An octal option."""
    if not text or set(text) - set("01234567") or int(text, 8) > most:
        raise argparse.ArgumentTypeError(f'"{text}" is no octal number up to {most:o}')
    return int(text, 8)


def even_octal(text: str) -> int:
    """An octal address of an instruction."""
    address = octal(text)
    if address & 1:
        raise argparse.ArgumentTypeError(f"{address:06o} is odd; instructions lie at even addresses")
    return address


def read_input() -> bytes:
    """The bytes of the input stream."""
    data = sys.stdin.buffer.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise unusable("input", f"more than {MOST_BYTES} bytes")
    return data


def io_octal(text: str) -> int:
    """An octal address in its 16-, 18- or 22-bit form."""
    return octal(text, 0o17777777)


def decimal(text: str) -> int:
    """A decimal count; a trailing point is allowed."""
    digits = text.removesuffix(".")
    if not digits.isascii() or not digits.isdigit() or int(digits) > 100_000:
        raise argparse.ArgumentTypeError(f'"{text}" is no decimal count up to 100000')
    return int(digits)


def size(text: str) -> int:
    """How many data bytes a block of a tape may have."""
    count = decimal(text)
    if not 0 < count <= MOST_IN_BLOCK:
        raise argparse.ArgumentTypeError(f"{count} is not 1 to {MOST_IN_BLOCK} bytes")
    return count


def counted(number: int, word: str) -> str:
    """`1 block`, `2 blocks`."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def want_even_start(start: int | None, where: str | Path) -> None:
    """A program starts at an even address."""
    if start is not None and start & 1:
        raise unusable(where, f"the start {start:06o} is odd; a program starts at an even address")
