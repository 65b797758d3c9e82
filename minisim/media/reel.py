"""Nine-track tape as a file: a CBOR sequence (RFC 8742) of `{"block": bytes}`, `{"mark": true}` and `{"gap": n}`.

A gap says that n bytes' worth of tape could not be read.  A file is read item by item: a reel of any length takes no
more memory than its longest block.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cbor2

from minisim.files import write_atomically
from minisim.findings import Mark
from minisim.problems import InputError, Problem

LONGEST_BLOCK = 65_536  # bytes: what a byte count of sixteen bits can ask for
LONGEST_REEL = 256_000_000  # bytes of a file; a full reel holds a sixth of it


@dataclass(frozen=True, slots=True)
class Block:
    """A block of data."""

    data: bytes


@dataclass(frozen=True, slots=True)
class TapeMark:
    """A tape mark: the end of a file."""


@dataclass(frozen=True, slots=True)
class Gap:
    """Tape that could not be read, or holds nothing: about so many bytes of it."""

    length: int


Item = Block | TapeMark | Gap


def read_reel(path: Path) -> Iterator[Item]:
    """The items of a reel.  InputError with the number of the first one that can't be used."""
    number = 0
    try:
        if path.stat().st_size > LONGEST_REEL:
            raise _problem(path, number, f"longer than {LONGEST_REEL} bytes")
        with path.open("rb") as stream:
            decoder, size = cbor2.CBORDecoder(stream), path.stat().st_size
            while stream.tell() < size:
                number += 1
                yield _item(path, number, _decoded(decoder, path, number))
    except OSError as error:
        raise _problem(path, number, f"can't be read: {error.strerror or error}") from None


def _decoded(decoder: cbor2.CBORDecoder, path: Path, number: int) -> Any:
    try:
        return decoder.decode()
    except Exception as error:  # the decoder raises what its input leads it to
        raise _problem(path, number, f"is no item of a reel ({type(error).__name__})") from None


def _item(path: Path, number: int, value: Any) -> Item:
    match value:
        case {"block": bytes(data), **rest} if not rest and 0 < len(data) <= LONGEST_BLOCK:
            return Block(data)
        case {"mark": True, **rest} if not rest:
            return TapeMark()
        case {"gap": int(length), **rest} if not rest and length > 0 and not isinstance(length, bool):
            return Gap(length)
    raise _problem(path, number, f'is none of block (1 to {LONGEST_BLOCK} bytes), "mark": true, gap (above 0)')


def _problem(path: Path, number: int, message: str) -> InputError:
    return InputError([Problem(Mark(str(path), max(number, 1), 1), f"item {number} {message}")])


def write_reel(path: Path, items: Iterable[Item]) -> None:
    """A whole reel, or nothing."""
    write_atomically(path, b"".join(cbor2.dumps(_as_map(item)) for item in items))


def _as_map(item: Item) -> dict[str, Any]:
    match item:
        case Block(data):
            return {"block": data}
        case TapeMark():
            return {"mark": True}
        case Gap(length):
            return {"gap": length}


def lines(items: Iterable[Item]) -> Iterator[str]:
    """A line for each run of equal items, numbered from 1: what is on the reel, file by file."""
    first, last, said = 1, 0, ""
    for number, item in enumerate(items, 1):
        text = _words(item)
        if text != said and last:
            yield _line(first, last, said)
            first = number
        last, said = number, text
    if last:
        yield _line(first, last, said)


def _words(item: Item) -> str:
    match item:
        case Block(data):
            return f"block of {len(data)} bytes"
        case TapeMark():
            return "tape mark"
        case Gap(length):
            return f"gap of about {length} bytes"


def _line(first: int, last: int, said: str) -> str:
    return f"  {first}: {said}" if first == last else f"  {first}-{last}: {said}, each"
