"""Programs of trial cases: assembled from text, or taken as words."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from minisim.cpu.assembler import assemble
from minisim.cpu.disassembler import disassemble
from minisim.problems import InputError
from minisim.trials.keys import TrialKeyError
from minisim.trials.model import Code


@lru_cache(maxsize=4096)
def of_text(text: str, at: int) -> Code:
    """A program from its text; in a text of one line, semicolons part the statements.  TrialKeyError: what is wrong."""
    source = text if "\n" in text.strip() else text.replace(";", "\n")
    try:
        program = assemble(f". = {at:o}\n{source}")
    except InputError as error:
        lines = source.splitlines()
        wrong = (f'"{_line(lines, problem.mark.line - 2)}": {problem.message}' for problem in error.problems)
        raise TrialKeyError("; ".join(wrong)) from None
    blocks = tuple((block.address, bytes(block.data)) for block in program.blocks if block.data)
    if all(address != at for address, _ in blocks):
        raise TrialKeyError(f"nothing of the program lies at {at:06o}, where it starts")
    return Code(at, blocks, text)


def _line(lines: Sequence[str], number: int) -> str:
    return lines[number].strip() if 0 <= number < len(lines) else ""


def of_words(words: Sequence[int], at: int) -> Code:
    """A program from its words."""
    return Code(at, ((at, b"".join(word.to_bytes(2, "little") for word in words)),))


@lru_cache(maxsize=4096)
def pc_after(words: tuple[int, ...], at: int, steps: int) -> int:
    """The address just past the first `steps` instructions as they lie in memory, not beyond the words."""
    lines = disassemble(words, at)[:steps]
    return (lines[-1].address + 2 * len(lines[-1].words)) & 0o177777 if lines else at


@lru_cache(maxsize=4096)
def first_text(words: tuple[int, ...], at: int) -> str:
    """The first instruction as text."""
    lines = disassemble(words, at)
    return lines[0].text if lines else ""
