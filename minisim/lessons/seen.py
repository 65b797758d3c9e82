"""What a learner did in a step: where they looked, which words they used."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from minisim.problems import printable

_OCTAL = re.compile(r"[0-7]{1,8}\Z")
_OPENED = re.compile(r"([0-7]+|[rR][0-7]|\$[0-7sS])/")  # at an octal console
_LAMPS = re.compile(r"address +([0-7]+)")  # of a front panel
_REGISTERS = ("sp", "pc", "ps", *(f"r{number}" for number in range(8)))


@dataclass(slots=True)
class Seen:
    """The lines of one step, as far as they could be done."""

    lines: list[str] = field(default_factory=list)  # in small letters
    typed: list[str] = field(default_factory=list)  # as they were typed
    places: set[str] = field(default_factory=set)

    def bench(self, line: str) -> None:
        """A line of bench words, or of words at the desk with a loadout."""
        words = line.lower().split()
        self.lines.append(" ".join(words))
        self.typed.append(printable(line.strip()))
        if words[:1] == ["look"]:
            self._looked(words[1:])

    def console(self, line: str) -> None:
        """A line typed at the console: what an octal console opened was looked at."""
        self.typed.append(printable(line))
        for opened in _OPENED.findall(line):
            name = opened.lower().replace("$", "r")
            self.places.add("ps" if name == "rs" else _address(name) if name[0] != "r" else name)

    def panel(self, line: str, shown: str) -> None:
        """Keys of a front panel: what it examined was looked at."""
        self.bench(line)
        lamps = _LAMPS.search(shown)
        if line.lower().split()[:1] == ["examine"] and lamps:
            self.places.add(_address(lamps[1]))

    def looked(self, what: str) -> bool:
        """Did they look there?"""
        what = what.lower()
        return (_address(what) if _OCTAL.match(what) else what) in self.places

    def said(self, words: str) -> bool:
        """Did they use this word?"""
        return any(f"{line} ".startswith(f"{words.lower()} ") for line in self.lines)

    def _looked(self, words: list[str]) -> None:
        self.places.add(" ".join(words))
        if words[:1] == ["registers"]:
            self.places.update(_REGISTERS)
        if words and _OCTAL.match(words[0]):
            self._range(words)

    def _range(self, words: list[str]) -> None:
        count = words[1].rstrip(".") if len(words) > 1 else "1"
        number = min(int(count), 1000) if count.isascii() and count.isdigit() else 1
        self.places.update(f"{(int(words[0], 8) & ~1) + 2 * at:06o}" for at in range(number))
        self.places.add(_address(words[0]))


def _address(octal: str) -> str:
    return f"{int(octal, 8):06o}"
