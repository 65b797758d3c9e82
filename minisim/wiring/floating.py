"""Floating addresses and vectors by the published rank order: pure functions over the tables of `floating_ranks`.

Counts are numbers of *floating* units: of a kind whose first unit is fixed, only the others (`floating_units`).
Gaps of the address block [float-address-wiki]: behind the last unit of every kind, present or absent, one word at the
next place of the same kind; then the next kind rounds up to its own modulus (disputed D1: the other wording in
circulation contradicts the published examples).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from minisim.wiring.floating_ranks import (
    ADDRESS_RANKS,
    FLOATING_FIRST,
    FLOATING_LAST,
    VECTOR_FIRST,
    VECTOR_LAST,
    VECTOR_RANKS,
    AddressRank,
    VectorRank,
)

_ADDRESS_ROWS = {row.rank: row for row in ADDRESS_RANKS}
_VECTOR_ROWS = {row.rank: row for row in VECTOR_RANKS}


@dataclass(frozen=True, slots=True)
class Assignment:
    """A floating unit and its place: address (18-bit form) or vector; None: not in the table, or no room left."""

    rank: int | str
    unit: int  # from 1 among the floating units of its kind
    address: int | None


@dataclass(frozen=True, slots=True)
class Gap:
    """The word that must not answer behind the last floating unit of a kind."""

    rank: int
    address: int


def address_rank(rank: int) -> AddressRank | None:
    """The row of an address rank, or None behind the table."""
    return _ADDRESS_ROWS.get(rank)


def vector_rank(rank: int | str) -> VectorRank | None:
    """The row of a vector rank; of a rank with two parts (10, 26) the first."""
    return _VECTOR_ROWS.get(str(rank)) or _VECTOR_ROWS.get(f"{rank}A")


def floating_units(fitted: int, floats_from: int) -> int:
    """How many of `fitted` units float, where units from number `floats_from` on do."""
    return max(0, fitted - floats_from + 1)


def _round_up(value: int, modulus: int) -> int:
    return (value + modulus - 1) // modulus * modulus


def _walk(counts: Mapping[int, int]) -> Iterable[tuple[AddressRank, list[int], int]]:
    """Each kind in rank order with the addresses of its units and of its gap."""
    address = FLOATING_FIRST
    for row in ADDRESS_RANKS:
        first = _round_up(address, row.modulus)
        gap = first + counts.get(row.rank, 0) * row.modulus
        yield row, list(range(first, gap, row.modulus)), gap
        address = gap + 2


def assign_addresses(counts: Mapping[int, int]) -> list[Assignment]:
    """Addresses (18-bit form) of all floating units, in rank order; kinds behind the table get None."""
    placed = [
        Assignment(row.rank, number, address if address + row.modulus - 2 <= FLOATING_LAST else None)
        for row, addresses, _ in _walk(counts)
        for number, address in enumerate(addresses, 1)
    ]
    behind = [rank for rank in sorted(counts) if rank not in _ADDRESS_ROWS]
    return placed + [Assignment(rank, number, None) for rank in behind for number in range(1, counts[rank] + 1)]


def gaps(counts: Mapping[int, int]) -> list[Gap]:
    """The gap behind every kind of the table (18-bit form), present or absent, in rank order."""
    return [Gap(row.rank, gap) for row, _, gap in _walk(counts)]


def alignment(size: int) -> int:
    """Kinds of two or more vectors start on a multiple of 10 (three and more: unconfirmed, disputed D3)."""
    return 0o4 if size == 0o4 else 0o10


def _next_vector(free: int, size: int, reserved: Iterable[tuple[int, int]]) -> int:
    """The lowest aligned vector from `free` on whose `size` bytes touch no reserved range."""
    vector = _round_up(free, alignment(size))
    for first, last in sorted(reserved):
        if vector < last and first < vector + size:
            vector = _round_up(last, alignment(size))
    return vector


def assign_vectors(
    counts: Mapping[int | str, int],
    *,
    first: int = VECTOR_FIRST,
    reserved: Iterable[tuple[int, int]] = (),
) -> list[Assignment]:
    """Vectors of all floating units, in rank order, closely packed from `first` on.

    `reserved` are ranges of vector space (first byte, byte behind the last) taken by boards with a fixed vector in
    the floating space: they are stepped over.  Kinds not in the table get None.
    """
    wanted = {row.rank: count for rank, count in counts.items() if (row := vector_rank(rank))}
    taken = list(reserved)
    free = first
    placed: list[Assignment] = []
    for row in VECTOR_RANKS:
        for number in range(1, wanted.get(row.rank, 0) + 1):
            vector = _next_vector(free, row.size, taken)
            free = vector + row.size
            placed.append(Assignment(row.rank, number, vector if free - 4 <= VECTOR_LAST else None))
    behind = [rank for rank in counts if vector_rank(rank) is None]
    return placed + [Assignment(rank, number, None) for rank in behind for number in range(1, counts[rank] + 1)]
