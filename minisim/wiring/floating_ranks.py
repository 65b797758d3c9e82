"""The published rank tables of floating addresses and vectors, as data (one row a kind, sources beside it).

Moduli and sizes are octal bytes.  A kind that is not in a table has no computed place: ask nothing of it.
"""

from __future__ import annotations

from dataclasses import dataclass

from minisim.known import Evidence

FLOATING_FIRST = 0o760010
"""First address of the floating block, 18-bit form [float-address-wiki]."""

FLOATING_LAST = 0o763776
"""Last address of the floating block, 18-bit form [float-address-wiki]."""

VECTOR_FIRST = 0o300
"""First floating vector [float-vector-wiki]."""

VECTOR_LAST = 0o774
"""Last floating vector; sources name 774 and 776, the last vector starts at 774 either way (disputed D10)."""

ALL = 1
EXTRA_ONLY = 2
FROM_THIRD = 3


@dataclass(frozen=True, slots=True)
class AddressRank:
    """One kind in the order of floating addresses. `floats_from`: 1 = every unit floats, 2 = the first is fixed ..."""

    rank: int
    kind: str
    modulus: int
    floats_from: int = ALL
    evidence: Evidence = Evidence.SEEN
    sources: tuple[str, ...] = ("float-address-wiki",)
    dispute: str = ""  # number of the disputed point, D1 and up


@dataclass(frozen=True, slots=True)
class VectorRank:
    """One kind in the order of floating vectors. `rank` is text because two ranks hold an A and a B."""

    rank: str
    kind: str
    size: int
    floats_from: int = ALL
    evidence: Evidence = Evidence.SEEN
    sources: tuple[str, ...] = ("float-vector-wiki",)
    dispute: str = ""


_SEEN = Evidence.SEEN
_FIRM = Evidence.FIRM
_DERIVED = Evidence.DERIVED

ADDRESS_RANKS: tuple[AddressRank, ...] = (
    AddressRank(1, "sixteen-line asynchronous multiplexer, programmed", 0o10),
    AddressRank(2, "sixteen-line asynchronous multiplexer, DMA output", 0o20),
    AddressRank(3, "synchronous line, DMA", 0o10),
    AddressRank(4, "synchronous line, programmed", 0o10),
    AddressRank(5, "synchronous line, bit-oriented protocols", 0o10),
    AddressRank(6, "special keyboard and line option", 0o10),
    AddressRank(7, "network link processor, point to point: the first version before its successor", 0o10),
    AddressRank(8, "eight- or four-line asynchronous multiplexer, programmed", 0o10),
    AddressRank(9, "general communications microprocessor", 0o10),
    AddressRank(10, "line-printer processor", 0o10),
    AddressRank(11, "video option, second kind", 0o10),
    AddressRank(12, "video option, third kind", 0o20),
    AddressRank(13, "special bus option, purpose not known here", 0o10),
    AddressRank(14, "cartridge disk controller, 5 or 10 MB a cartridge", 0o10, EXTRA_ONLY),
    AddressRank(15, "laboratory data processor", 0o20, EXTRA_ONLY),
    AddressRank(16, "special clock", 0o10),
    AddressRank(17, "reserved", 0o10),
    AddressRank(18, "8-inch floppy", 0o10, EXTRA_ONLY),
    AddressRank(19, "fast DMA word interface", 0o10),
    AddressRank(20, "original DMA word interface", 0o10, FROM_THIRD),
    AddressRank(21, "multipoint network link processor", 0o10),
    AddressRank(22, "synchronous line, later dual board", 0o10),
    AddressRank(23, "instrument or serial bus option", 0o10),
    AddressRank(24, "network link processor", 0o20),
    AddressRank(25, "Ethernet", 0o10, EXTRA_ONLY, Evidence.DISPUTED, dispute="D2"),  # from the first or the second unit
    AddressRank(26, "disk-protocol port", 0o4, EXTRA_ONLY),
    AddressRank(27, "multi-function communications board", 0o40),
    AddressRank(28, "special communications processor, many lines", 0o20),
    AddressRank(29, "bitmap display", 0o20),
    AddressRank(30, "tape-protocol port", 0o4, EXTRA_ONLY),
    AddressRank(31, "communications processor", 0o20, ALL, _FIRM, ()),
    AddressRank(32, "eight- or sixteen-line asynchronous multiplexer with DMA output", 0o20, ALL, _FIRM, ()),
)
"""Kinds in the order of their floating addresses.  The order behind rank 32 is unconfirmed and left out."""

VECTOR_RANKS: tuple[VectorRank, ...] = (
    VectorRank("1", "earliest asynchronous line, or serial block tape", 0o10),
    VectorRank("2", "console-type serial line", 0o10, EXTRA_ONLY),
    VectorRank("3", "early synchronous line", 0o10),
    VectorRank("4", "early sixteen-line asynchronous multiplexer", 0o10),
    VectorRank("5", "auto-dialler", 0o4),
    VectorRank("6", "modem control unit for the early lines", 0o4),
    VectorRank("7", "modem control of the sixteen-line multiplexer", 0o4),
    VectorRank("8", "parallel interface, early version", 0o10),
    VectorRank("9", "parallel interface, later version", 0o10),
    VectorRank("10A", "typesetting tape reader", 0o4),
    VectorRank("10B", "typesetting tape punch", 0o4),
    VectorRank("11", "printer option, not identified here", 0o10),
    VectorRank("12", "bus switch", 0o10),
    VectorRank("13", "channel interface to large mainframes", 0o10),
    VectorRank("14", "serial line with settable speed or modem control", 0o10),
    VectorRank("15", "sixteen-line asynchronous multiplexer, programmed", 0o10),
    VectorRank("16", "sixteen-line asynchronous multiplexer, DMA output", 0o10),
    VectorRank("17", "vector display processor", 0o20),
    VectorRank("18", "laboratory peripheral unit, early", 0o30),
    VectorRank("19", "synchronous line, DMA", 0o10),
    VectorRank("20", "watchdog clock or programmable real-time clock", 0o10),
    VectorRank("21", "synchronous line, programmed", 0o10),
    VectorRank("22", "synchronous line, bit-oriented", 0o10),
    VectorRank("23", "communications multiplexer with DMA and modem control", 0o14, ALL, _SEEN, ("sync-mux-manual",)),
    VectorRank("24", "special keyboard and line option", 0o10),
    VectorRank("25", "special bus adaptor, not identified here", 0o10),
    VectorRank("26A", "network link processor, first version", 0o10),
    VectorRank("26B", "network link processor, successor", 0o10),
    VectorRank("27", "eight-line asynchronous multiplexer, programmed", 0o10),
    VectorRank("28", "general communications microprocessor", 0o10),
    VectorRank("29", "line-printer processor", 0o10),
    VectorRank("30", "video option, second kind", 0o10),
    VectorRank("31", "video option, third kind", 0o20),
    VectorRank("32", "video option, earlier", 0o20),
    VectorRank("33", "special bus option", 0o20),
    VectorRank("34", "cartridge disk controller, 5 or 10 MB a cartridge", 0o4, EXTRA_ONLY),
    VectorRank("35", "8-inch floppy, double density", 0o4, EXTRA_ONLY, Evidence.DISPUTED, dispute="D3"),
    VectorRank("36", "half-inch tape with packet control", 0o4, EXTRA_ONLY),
    VectorRank("37", "laboratory data processor", 0o10),
    VectorRank("38", "industrial input/output unit", 0o4),
    VectorRank("39", "special clock", 0o10),
    VectorRank("40", "8-inch floppy, single density", 0o4, EXTRA_ONLY),
    VectorRank("41", "fast DMA word interface", 0o4),
    VectorRank("42", "original DMA word interface", 0o4, EXTRA_ONLY),
    VectorRank("43", "multipoint network link processor", 0o10, ALL, _DERIVED),
    VectorRank("44", "synchronous line, later dual board", 0o10, ALL, _DERIVED),
    VectorRank("45", "semiconductor disk on the fast controller bus", 0o4, ALL, _DERIVED),
    VectorRank("46", "instrument or serial bus option", 0o10, ALL, _DERIVED),
    VectorRank("47", "network link processor", 0o10, ALL, _DERIVED),
    VectorRank("48", "Ethernet", 0o4, EXTRA_ONLY, _DERIVED),
    VectorRank("49", "disk-protocol port", 0o4, EXTRA_ONLY, _DERIVED),
    VectorRank("50", "multi-function communications board", 0o40, ALL, _DERIVED),
    VectorRank("51", "special communications processor", 0o14, ALL, _DERIVED),
    VectorRank("52", "parallel link between computers", 0o10, ALL, _DERIVED),
    VectorRank("53", "bitmap display", 0o4, ALL, _DERIVED),
    VectorRank("54", "tape-protocol port", 0o4, EXTRA_ONLY, _DERIVED),
    VectorRank("55", "communications processor", 0o10, ALL, _FIRM, ()),
    # Two further kinds stand here, 56 and 57 (unconfirmed, sizes unknown): they are left out, not guessed.
    VectorRank("58", "eight- or sixteen-line asynchronous multiplexer with DMA output", 0o10, ALL, _FIRM, ()),
)
"""Kinds in the order of their floating vectors.  Sizes are bytes; the source prints ranks 43 and up in words."""
