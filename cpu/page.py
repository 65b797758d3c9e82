"""Generated reference page of the processor: the instruction table."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from minisim.cpu.table import Record, aliases, records

INSTRUCTIONS = """# Instructions

This page is written from the instruction table of the core (`make docs`); the records stand beside their
bodies in `cpu/insns/`. Codes are octal.

Pattern: six places, the first is bit 15, the others three bits each. `SS` and `DD` are operands of six bits
(mode, register), `FF` one whose mode 0 is an accumulator AC0 to AC5, `R` a register, `N` a number, `a` `A` an
accumulator AC0 to AC3 of two bits, the bit above them 0 or 1; `+XX` is a field of eight bits, `+C` one of four.
Written: `S` `D` `F` operands, `A` accumulator, `R` register, `B` branch target, `L` loop target, `N` `X`
numbers, `C` choice of condition codes, `W` word behind the instruction. N Z V C: the effect on the codes, `*` by
the result, `-` none. Traps: vectors beside those of the operands (4: odd address, nobody answers). Source: the
document where the code was seen; the handbooks of 1972-81 and 1983 were not read, they name where to look it up (the
fact itself is recalled, firmly).

What it does: the text from which `Step.sentence` is made; `S` `D` `F` in braces are the operands, small letters
and digits numbers, behind semicolons stand reasons of codes (the fields: `cpu/core/record.h`).

Words from 170000 on that no record owns are errors of the floating point processor where it is fitted: they trap
through 244, not 10.
"""


def pages() -> dict[Path, str]:
    """Path under docs/ -> text."""
    return {Path("reference/instructions.md"): "\n".join(_instructions()) + "\n"}


def _table(*head: str) -> Iterator[str]:
    yield "| " + " | ".join(head) + " |"
    yield "|" + "---|" * len(head)


def _row(*cells: object) -> str:
    return "| " + " | ".join(str(cell) for cell in cells) + " |"


def _instructions() -> Iterator[str]:
    yield INSTRUCTIONS
    yield from _table("Mnemonic", "Pattern", "Written", "Form", "N Z V C", "Module", "Traps", "Source", "What it does")
    for record in sorted(records(), key=lambda each: (each.value, each.mnemonic)):
        yield _instruction(record)
    yield "\n## Second names\n"
    yield from _table("Mnemonic", "Code", "Is a word of")
    for alias in sorted(aliases(), key=lambda each: each.value):
        yield _row(alias.mnemonic, f"`{alias.pattern}`", alias.of)


def _instruction(record: Record) -> str:
    traps = " ".join(f"{vector:o}" for vector in record.traps)
    codes = f"`{' '.join(record.codes)}`"
    form = record.form.name.lower().replace("_", " ")
    does = record.does.replace(" | ", " / with PC: ")
    cells = (record.mnemonic, f"`{record.pattern}`", record.operands, form, codes, record.module, traps)
    return _row(*cells, f"[{record.source}]", does)
