"""The disassembler: words to lines of text that the assembler takes back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from minisim.cpu.instructions import text_of

MOST_WORDS = 5  # of one instruction: a commercial one with four words in line


@dataclass(frozen=True, slots=True)
class Line:
    """One instruction, or one word that nobody owns (`.word`): its address, its words, its text."""

    address: int
    words: tuple[int, ...]
    text: str


def disassemble(words: Sequence[int], at: int = 0) -> list[Line]:
    """Words that lie from the even address `at` on, as lines; targets are shown as addresses.

    A reserved word, and an instruction whose last words are missing, are given as `.word nnnnnn`.
    Raises ValueError for a word above 177777 or below 0.
    """
    if any(not 0 <= word <= 0o177777 for word in words):
        raise ValueError("a word has 16 bits: 0 to 177777 octal")
    lines: list[Line] = []
    index = 0
    while index < len(words):
        address = (at + 2 * index) & 0o177777
        text, used = text_of(words[index : index + MOST_WORDS], address)
        if not used:
            text, used = f".word {words[index]:06o}", 1
        lines.append(Line(address, tuple(words[index : index + used]), text))
        index += used
    return lines
