"""One traced instruction as a line of JSON.  What repeats itself is made once: in a loop nearly everything does."""

from __future__ import annotations

import json
from struct import Struct
from typing import TYPE_CHECKING

from minisim.cpu._core import ffi, lib
from minisim.cpu.operands import ACCUMULATORS, NAMES, PC
from minisim.machine.steps import KINDS, split, text_of

if TYPE_CHECKING:
    from minisim.machine.machine import Machine

FORM = 1
FLAGS = ("N", "Z", "V", "C")  # from the highest bit of the PS to the lowest
PAGE = 0o160000  # where the program's I/O page begins
VECTORS = 0o1000
_ACCESS = Struct("=IHBBI")  # ms_access
_SIZE = _ACCESS.size
_WHOLE: int = lib.MS_ACCESSES * _SIZE
_MOST_KEPT = 200_000  # pieces of text; then they are made anew
_CODES = 0o17
_WORDS = tuple(f"{word:06o}" for word in range(1 << 16))


class Lines:
    """Makes lines of what the core recorded of the last instruction, and remembers the registers before it."""

    def __init__(self, machine: Machine) -> None:
        raw = machine._raw
        self._raw, self._bits = raw, machine.address_bits
        self._access, self._r = ffi.buffer(raw.access), ffi.buffer(raw.r)
        self._pieces: dict[bytes, tuple[str, bool, int]] = {}
        self._heads: dict[tuple[int, bytes], str] = {}
        self._flags = tuple(self._flag(codes) for codes in range(_CODES + 1))
        self._before, self._ps = b"", 0

    def look(self) -> None:
        """Note the registers as they are: the next line tells what changed since."""
        self._before, self._ps = bytes(self._r), lib.ms_get_ps(self._raw)

    @property
    def pc_before(self) -> int:
        """PC before what just happened."""
        return self._before[2 * PC] | self._before[2 * PC + 1] << 8

    @property
    def accesses(self) -> bytes:
        """Of what just happened, as the core has them."""
        return bytes(self._access[: self._raw.access_count * _SIZE])

    def line(self, pc: int) -> tuple[str, list[int]]:
        """The line of what just happened, without its end, and the vectors that it may have read."""
        data, pieces = self.accesses, self._pieces
        shown, vectors, fetched = [], [], b""
        for at in range(0, len(data), _SIZE):
            access = data[at : at + _SIZE]
            piece = pieces.get(access) or self._piece(access)
            shown.append(piece[0])
            if piece[1]:
                fetched += access
            elif piece[2] >= 0:
                vectors.append(piece[2])
        head = self._heads.get((pc, fetched)) or self._head(pc, fetched)
        ps = lib.ms_get_ps(self._raw)
        cut = ',"cut":true' if len(data) == _WHOLE else ""
        return f'{head}[{",".join(shown)}],"flags":{self._flags[ps & _CODES]}{self._changes(ps)}{cut}', vectors

    def _piece(self, access: bytes) -> tuple[str, bool, int]:
        """One access as text, whether it is a fetch, and its address where a vector may be read, else -1."""
        address, data, kind, is_byte, physical = _ACCESS.unpack(access)
        shown = f'"data":"{data & 0o377:03o}","byte":true' if is_byte else f'"data":"{data:06o}"'
        bus = "" if physical == on_bus(address, self._bits) else f',"bus":"{octal_address(physical, self._bits)}"'
        name = KINDS[kind]
        is_vector = name == "read" and not is_byte and address < VECTORS and not address & 3
        made = (f'{{"kind":"{name}","at":"{address:06o}",{shown}{bus}}}', name == "fetch", address if is_vector else -1)
        if len(self._pieces) >= _MOST_KEPT:
            self._pieces.clear()
        self._pieces[access] = made
        return made

    def _head(self, pc: int, fetched: bytes) -> str:
        words: list[int] = []
        for address, data, _, _, _ in _ACCESS.iter_unpack(fetched):
            if address == (pc + 2 * len(words)) & 0o177777:
                words.append(data)
        shown = ",".join(f'"{word:06o}"' for word in words)
        text = json.dumps(text_of(words, pc)) if words else '""'
        made = f'{{"at":"{pc:06o}","words":[{shown}],"text":{text},"accesses":'
        if len(self._heads) >= _MOST_KEPT:
            self._heads.clear()
        self._heads[pc, fetched] = made
        return made

    @staticmethod
    def _flag(codes: int) -> str:
        return json.dumps([name for place, name in enumerate(FLAGS) if codes >> 3 - place & 1], separators=(",", ":"))

    def _changes(self, ps: int) -> str:
        """Registers that hold another word now, PC left out; the PS where more than its condition codes changed."""
        now, before = bytes(self._r), self._before
        floats = self._raw.floats_noted
        if now[: 2 * PC] == before[: 2 * PC] and not (ps ^ self._ps) & ~_CODES and not floats:
            self._before, self._ps = now, ps
            return ""
        found = [
            f'"{NAMES[number]}":"{_WORDS[now[2 * number] | now[2 * number + 1] << 8]}"'
            for number in range(PC)
            if now[2 * number : 2 * number + 2] != before[2 * number : 2 * number + 2]
        ]
        found += [f'"PS":"{ps:06o}"'] if (ps ^ self._ps) & ~_CODES else []
        found += self._floats() if floats else []
        self._before, self._ps = now, ps
        return f',"registers":{{{",".join(found)}}}' if found else ""

    def _floats(self) -> list[str]:
        """Accumulators that changed, four words each, and the floating point status."""
        raw = self._raw
        found = [
            f'"{name}":"{" ".join(f"{word:06o}" for word in split(new, 4))}"'
            for name, old, new in zip(ACCUMULATORS, raw.ac_before, raw.ac, strict=True)
            if old != new
        ]
        return found + ([f'"FPS":"{raw.fps:06o}"'] if raw.fps != raw.fps_before else [])


def on_bus(address: int, bits: int) -> int:
    """An address of the program as one of the bus, memory management off."""
    return address if address < PAGE else (1 << bits) - (1 << 16) + address


def octal_address(address: int, bits: int) -> str:
    """An address of the bus: six digits, or eight with 22 bits."""
    return f"{address:0{8 if bits == 22 else 6}o}"
