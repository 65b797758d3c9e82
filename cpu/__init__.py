"""The processor: C core, instruction table, assembler and disassembler.

The table is exported through the compiled core; it is read when first asked for, so that importing this costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.cpu.table import Decoder, Form, Record, aliases, collision, records

__all__ = ["Decoder", "Form", "Record", "aliases", "collision", "records"]


def __getattr__(name: str) -> object:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from minisim.cpu import table

    return getattr(table, name)
