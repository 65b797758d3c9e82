"""A row of the address map in words, the same for every form of it."""

from __future__ import annotations

from minisim.wiring.addresses import AddressRow, digits
from minisim.wiring.model import Passes

HEADS = ("place", "handle", "what answers", "addresses", "vector", "grant")


def cells(row: AddressRow, bits: int) -> tuple[str, ...]:
    """Its cells under HEADS."""
    return (row.place, row.handle, row.what, span(row, bits), vectors(row), grant(row))


def span(row: AddressRow, bits: int) -> str:
    """First and last address; empty where the place is not known."""
    if row.first is None or row.last is None:
        return ""
    first, last = octal(row.first, bits), octal(row.last, bits)
    return first if first == last else f"{first} to {last}"


def octal(address: int, bits: int) -> str:
    """An address in the width of the machine."""
    return f"{address:0{digits(bits)}o}"


def vectors(row: AddressRow) -> str:
    """Its vectors; of many, the first and the last."""
    if len(row.vectors) > 2:
        return f"{row.vectors[0]:03o} to {row.vectors[-1]:03o}"
    return " ".join(f"{vector:03o}" for vector in row.vectors)


def grant(row: AddressRow) -> str:
    """Place in the grant order; where a board that interrupts gets no grant, the place that stops it."""
    if not row.place:
        return ""
    if row.reached is None or row.reached is Passes.YES:
        return str(row.grant or "-")
    word = "open" if row.reached is Passes.NO else "open?"
    return f"{row.grant or '-'} {word} at {row.broken_at}" if row.broken_at else f"{row.grant or '-'} no grant"
