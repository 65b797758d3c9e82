"""Memory as plain octal text: an address, a colon and up to eight words a line; a last line says where to start.

001000: 012700 000005 000000
start 001000
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from minisim.findings import Mark
from minisim.problems import InputError, Problem

PER_LINE = 8
START = "start"
WORDS = 0o100000  # words a program can address


@dataclass(frozen=True, slots=True)
class Memory:
    """Words by their address, and where to start (None: nothing is said)."""

    words: Mapping[int, int]
    start: int | None = None


def words_in(blocks: Iterable[tuple[int, bytes]]) -> dict[int, int]:
    """The words of blocks of bytes; a byte without a neighbour gets a zero."""
    found: dict[int, int] = {}
    for address, data in blocks:
        for offset, byte in enumerate(data):
            at = (address + offset) & 0o177777
            found[at & ~1] = found.get(at & ~1, 0) | byte << 8 * (at & 1)
    return found


def runs(words: Mapping[int, int]) -> list[tuple[int, list[int]]]:
    """Words that lie together, by address."""
    found: list[tuple[int, list[int]]] = []
    for address in sorted(words):
        if found and found[-1][0] + 2 * len(found[-1][1]) == address:
            found[-1][1].append(words[address])
        else:
            found.append((address, [words[address]]))
    return found


def format_words(memory: Memory) -> str:
    """The text."""
    lines = []
    for address, words in runs(memory.words):
        for index in range(0, len(words), PER_LINE):
            row = " ".join(f"{word:06o}" for word in words[index : index + PER_LINE])
            lines.append(f"{address + 2 * index:06o}: {row}")
    lines += [f"{START} {memory.start:06o}"] if memory.start is not None else []
    return "\n".join(lines) + "\n"


def parse_words(text: str, file: str) -> Memory:
    """Read the text back; InputError with every line that can't be read."""
    words: dict[int, int] = {}
    start: int | None = None
    problems: list[Problem] = []
    for number, line in enumerate(text.splitlines(), 1):
        try:
            start = _parse_line(line.split(), words, start)
        except ValueError as error:
            problems.append(Problem(Mark(file, number, 1), str(error)))
    if problems:
        raise InputError(problems)
    if not words:
        raise InputError([Problem(Mark(file, 1, 1), "there are no words: a line is an address, a colon and words")])
    return Memory(words, start)


def _parse_line(parts: list[str], words: dict[int, int], start: int | None) -> int | None:
    if not parts:
        return start
    if parts[0] == START and len(parts) == 2:
        return octal_word(parts[1])
    if not parts[0].endswith(":"):
        raise ValueError(f'an address and a colon are wanted first, as 001000:, not "{parts[0]}"')
    at = octal_word(parts[0][:-1])
    if at & 1:
        raise ValueError(f"{at:06o} is odd; words lie at even addresses")
    for offset, part in enumerate(parts[1:]):
        address = at + 2 * offset
        if address in words or address > 0o177776:
            raise ValueError(f"there is a word for {address:06o} already" if address in words else "runs past 177777")
        words[address] = octal_word(part)
    return start


def octal_word(text: str) -> int:
    """A word of up to six octal digits; ValueError says what is wrong."""
    if not text or set(text) - set("01234567") or int(text, 8) > 0o177777:
        raise ValueError(f'"{text}" is no octal word (000000 to 177777)')
    return int(text, 8)
