"""What a test reads out of a machine: plain numbers, bytes and texts, which show themselves in octal and know their
places.

They compare with ints, lists, bytes and strings, so that a test reads naturally; `shown.py` tells how they differ.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import overload

_SPOKEN = {"R6": "SP", "R7": "PC"}
BYTE, WORD, ACCUMULATOR = 3, 6, 22  # octal digits
CODES = {"N": 0o10, "Z": 0o4, "V": 0o2, "C": 0o1}


class Word(int):
    """A number of the machine: an int that shows itself in octal, and knows what it is the content of."""

    name: str
    digits: int  # in octal: BYTE, WORD or ACCUMULATOR

    def __new__(cls, value: int, name: str = "", digits: int = WORD) -> Word:
        made = super().__new__(cls, value)
        made.name, made.digits = name, digits
        return made

    def __repr__(self) -> str:
        return f"0o{self:0{self.digits}o}"


class Words(Sequence[Word]):
    """Several words with their places: registers by name, or memory by address.

    It equals a sequence of as many numbers, and a mapping that names some of its places: `{"R0": 0o14, "SP": 0o1000}`,
    or `{0o1000: 0o14}` of memory.  ValueError: the mapping names a place that is not here.
    """

    def __init__(self, values: Sequence[int], places: Sequence[str], digits: int = WORD) -> None:
        self._words = tuple(Word(value, place, digits) for value, place in zip(values, places, strict=True))

    def __len__(self) -> int:
        return len(self._words)

    @overload
    def __getitem__(self, where: int) -> Word: ...
    @overload
    def __getitem__(self, where: slice) -> Words: ...
    def __getitem__(self, where: int | slice) -> Word | Words:
        if isinstance(where, slice):
            chosen = self._words[where]
            return Words(chosen, [word.name for word in chosen], chosen[0].digits if chosen else WORD)
        return self._words[where]

    def __iter__(self) -> Iterator[Word]:
        return iter(self._words)

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Mapping):
            return all(word == wanted for word, wanted in self.beside(other))
        if isinstance(other, Sequence) and not isinstance(other, str | bytes):
            return len(self) == len(other) and all(one == two for one, two in zip(self, other, strict=True))
        return NotImplemented

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"[{', '.join(map(repr, self))}]"

    def beside(self, wanted: Mapping[object, object]) -> list[tuple[Word, object]]:
        """The words that a mapping names, each with what is wanted there."""
        here = {word.name: word for word in self}
        found = [(here.get(_place_of(key)), value) for key, value in wanted.items()]
        if strange := [key for key in wanted if _place_of(key) not in here]:
            raise ValueError(f"no {strange[0]!r} here; there are {', '.join(here)}")
        return [(word, value) for word, value in found if word is not None]


def _place_of(key: object) -> str:
    """The spelling of a place: `r6` is SP, 0o1000 is 001000."""
    if isinstance(key, int):
        return place_in_memory(key)
    text = str(key).upper()
    return _SPOKEN.get(text, text)


def place_in_memory(address: int) -> str:
    """An address as a place: six digits, eight beyond 18 bits."""
    return f"{address:0{8 if address > 0o777777 else 6}o}"


class Codes:
    """The condition codes.  It equals a text of their letters: a capital is set, a small letter is clear.

    `"nZvc"` says all four; `"Z"` or `"Zc"` looks at those alone.  ValueError: another letter, or none.
    """

    def __init__(self, ps: int) -> None:
        self._bits = ps & 0o17

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Codes):
            return self._bits == other._bits
        if isinstance(other, str):
            return not self.otherwise(other)
        return NotImplemented

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return repr(str(self))

    def __str__(self) -> str:
        return "".join(name if self._bits & bit else name.lower() for name, bit in CODES.items())

    @property
    def n(self) -> bool:
        """Negative."""
        return bool(self._bits & CODES["N"])

    @property
    def z(self) -> bool:
        """Zero."""
        return bool(self._bits & CODES["Z"])

    @property
    def v(self) -> bool:
        """Overflow."""
        return bool(self._bits & CODES["V"])

    @property
    def c(self) -> bool:
        """Carry."""
        return bool(self._bits & CODES["C"])

    def otherwise(self, wanted: str) -> tuple[str, ...]:
        """The codes that are not as wanted."""
        if not wanted or set(wanted.upper()) - set(CODES) or len(set(wanted.upper())) < len(wanted):
            raise ValueError(f"codes are the letters N Z V C, each once, capital where set; not {wanted!r}")
        return tuple(one.upper() for one in wanted if bool(self._bits & CODES[one.upper()]) != one.isupper())


class MemoryBytes(bytes):
    """Bytes of memory that know their address; they equal plain bytes."""

    address: int

    def __new__(cls, data: bytes, address: int) -> MemoryBytes:
        made = super().__new__(cls, data)
        made.address = address
        return made


class ConsoleText(str):
    """Text of the console; it equals a plain text."""

    __slots__ = ()

    @property
    def lines(self) -> list[str]:
        """The lines without what ends them."""
        return [line.strip("\r\0") for line in self.split("\n")]
