"""Kinds with a fixed first unit: where that is."""

from __future__ import annotations

from minisim.wiring.model import Wired, WiredRegisters


def first_place(wired: Wired, registers: WiredRegisters) -> int | None:
    """I/O-page offset of the fixed first unit of this kind; None where every unit floats."""
    entries = wired.boards[registers.board].entry.registers
    return next((one.at.first for one in entries if one.device == registers.device and one.at.rank is not None), None)
