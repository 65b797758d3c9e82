"""The guard before the spreadsheet libraries: a zip file that counts what its parts unpack to before they are read.

A library is given this archive in the place of a zip file.  Every chunk goes through a counting parser first, so a
library never meets a document type, a depth, a number of elements or a size that would take the memory of the machine.
Cells are not understood here.
"""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from io import BytesIO
from typing import Any
from xml.parsers import expat

# Of a file, all its parts together.  A sheet of an .xlsx that does not say its size is read twice, and counts twice.
MOST_UNPACKED = 800_000_000  # bytes; 300,000 rows of an .ods have 350 million
_MOST_PARTS = 5_000
_MOST_STRINGS = 64_000_000  # bytes of shared texts, all held until the end
_MOST_PIECES = 4_000_000  # rows and shared texts
_MOST_ELEMENTS = 30_000_000
_MOST_BESIDE = 500_000  # elements and attributes outside of rows and shared texts: libraries hold these all
_MOST_BYTES_BESIDE = 32_000_000

# Of one part.
_MOST_WHOLE = 16_000_000  # bytes where a library reads it at once: styles, relationships
_MOST_IN_PIECE = 200_000  # elements and attributes; a row of a sheet has at most 16,384 cells
_MOST_BYTES_IN_PIECE = 8_000_000
_LONGEST = 1_000_000  # bytes of a tag or a remark; parsers begin it again with every chunk
_MOST_NAMES = 5_000
_DEEPEST = 200
_CHUNK = 1 << 16

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main "
TABLE = "urn:oasis:names:tc:opendocument:xmlns:table:1.0 "
_STRING = f"{MAIN}si"
_PIECES = frozenset({f"{MAIN}row", _STRING, f"{TABLE}table-row"})  # what is read and forgotten one after another

Note = Callable[[str, dict[str, str]], None]  # told each element as "namespace name" with its attributes


class NoSheetError(Exception):
    """The file can't be used; the text completes "no stock list: "."""


class Archive:
    """The parts of a zip file, for reading.  `begin` gives for each part that is opened what is told its elements."""

    filename = "the list"  # libraries name it in their errors

    def __init__(self, data: bytes) -> None:
        self._zip = zipfile.ZipFile(BytesIO(data))
        self._budget = _Budget()
        self.begin: Callable[[], Note] = lambda: _tell_nobody
        if len(self._zip.namelist()) > _MOST_PARTS:
            raise NoSheetError(f"a zip file of more than {_MOST_PARTS} parts")

    def namelist(self) -> list[str]:
        """The names of the parts."""
        return self._zip.namelist()

    def start_of(self, name: str) -> bytes:
        """The first bytes of a part that is no XML."""
        with self._zip.open(name) as stream:
            return stream.read(200)

    def open(self, name: str) -> CheckedPart:
        """A part as a stream of checked bytes."""
        return CheckedPart(self._zip.open(name), self._budget, self.begin())

    def read(self, name: str) -> bytes:
        """A whole part; NoSheetError where it is large."""
        with self.open(name) as part:
            return part.read()


class _Budget:
    """What may still be read of one file, all its parts together."""

    def __init__(self) -> None:
        self.unpacked = MOST_UNPACKED
        self.elements = _MOST_ELEMENTS
        self.pieces = _MOST_PIECES
        self.beside = _MOST_BESIDE
        self.bytes_beside = _MOST_BYTES_BESIDE
        self.strings = _MOST_STRINGS


class CheckedPart:
    """The bytes of one part; each chunk is parsed and counted before anyone gets it."""

    def __init__(self, stream: Any, budget: _Budget, note: Note) -> None:
        self._stream = stream
        self._budget = budget
        self._note = note
        self._names: dict[str, str] = {}
        self._parser = expat.ParserCreate(namespace_separator=" ", intern=self._names)
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.StartDoctypeDeclHandler = _refuse_declarations
        self._depth = 0
        self._piece_depth = 0  # of the row or text that is open; 0: none
        self._in_piece = 0
        self._fed = 0
        self._since = 0  # the byte at which the open piece, or what lies beside pieces, began

    def __enter__(self) -> CheckedPart:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the part."""
        self._stream.close()

    def read(self, size: int = -1) -> bytes:
        """At most `size` bytes, or all there are."""
        if size >= 0:
            return self._checked(min(size, _CHUNK))
        chunks, whole = [], 0
        while chunk := self._checked(_CHUNK):
            chunks.append(chunk)
            whole += len(chunk)
            if whole > _MOST_WHOLE:
                raise NoSheetError(f"a part that is no list has more than {_MOST_WHOLE // 1_000_000} MB")
        return b"".join(chunks)

    def _checked(self, size: int) -> bytes:
        chunk: bytes = self._stream.read(size)
        self._fed += len(chunk)
        self._budget.unpacked -= len(chunk)
        if self._budget.unpacked < 0:
            raise NoSheetError(f"it unpacks to more than {MOST_UNPACKED // 1_000_000} MB")
        try:
            self._parser.Parse(chunk, size > 0 and not chunk)
        except (ValueError, LookupError):  # an encoding of many bytes, or of no name
            raise expat.ExpatError("an encoding that can't be read") from None
        most = _MOST_BYTES_IN_PIECE if self._piece_depth else self._budget.bytes_beside
        if self._fed - self._parser.CurrentByteIndex > _LONGEST or self._fed - self._since > most:
            raise NoSheetError("a piece of its XML is too long")
        if len(self._names) > _MOST_NAMES:
            raise NoSheetError("its XML has too many names")
        return chunk

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        budget = self._budget
        self._depth += 1
        budget.elements -= 1
        if self._piece_depth:
            self._in_piece += 1 + len(attributes)
        elif name in _PIECES:
            self._begin_piece()
        else:
            budget.beside -= 1 + len(attributes)
        if self._depth > _DEEPEST:
            raise NoSheetError("its XML is too deep")
        if min(budget.elements, budget.pieces, budget.beside) < 0 or self._in_piece > _MOST_IN_PIECE:
            raise NoSheetError("its XML is too large; save the list alone as CSV")
        self._note(name, attributes)

    def _begin_piece(self) -> None:
        here = self._parser.CurrentByteIndex
        self._budget.pieces -= 1
        self._budget.bytes_beside -= here - self._since
        self._piece_depth, self._in_piece, self._since = self._depth, 0, here

    def _end(self, name: str) -> None:
        if self._depth == self._piece_depth:
            here = self._parser.CurrentByteIndex
            if name == _STRING:
                self._budget.strings -= here - self._since
                if self._budget.strings < 0:
                    raise NoSheetError(f"its texts have more than {_MOST_STRINGS // 1_000_000} MB")
            self._piece_depth, self._since = 0, here
        self._depth -= 1


def _tell_nobody(name: str, attributes: dict[str, str]) -> None:
    pass


def _refuse_declarations(*_: Any) -> None:
    raise NoSheetError("its XML defines entities")
