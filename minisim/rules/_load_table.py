"""The load limits of both buses, with their evidence: the only place where they stand.

One AC load is 9.35 pF, one DC load about 105 uA of leakage (enclosure-manual).  A backplane with a limit of its own
keeps it in its catalogue entry.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from minisim.known import Evidence, Known

WEAK, FULL, NONE = "weak", "full", "none"


@dataclass(frozen=True, slots=True)
class LoadRow:
    """One row: which bus, how many backplanes (several: None), what ends it near the processor and far from it."""

    bus: str
    backplanes: int | None
    near: str
    far: str
    case: str
    ac: Known[Decimal]
    dc: Known[Decimal]


def _limit(value: int, evidence: Evidence, *sources: str) -> Known[Decimal]:
    return Known(Decimal(value), evidence, sources)


_FIRM_20 = _limit(20, Evidence.FIRM, "cpu-guides")
_SEP_20 = _limit(20, Evidence.SEEN, "sep-loading-post-2016")

TABLE: tuple[LoadRow, ...] = (
    LoadRow(
        "mux", 1, WEAK, NONE, "one backplane, weak terminator at the processor, none at the far end",
        _limit(20, Evidence.SEEN, "termination-post-2005"), _FIRM_20,
    ),
    LoadRow(
        "mux", 1, WEAK, FULL, "one backplane, weak terminator at the processor, 120 ohm at the far end",
        _limit(35, Evidence.FIRM, "cpu-guides"), _FIRM_20,
    ),
    LoadRow(
        "mux", 1, FULL, NONE, "one backplane, 120 ohm at the processor, none at the far end",
        _limit(35, Evidence.FIRM, "cpu-guides"), _FIRM_20,
    ),
    LoadRow(
        "mux", 1, FULL, FULL, "one backplane, 120 ohm at both ends", _limit(45, Evidence.FIRM, "cpu-guides"), _FIRM_20,
    ),
    LoadRow(
        "mux", None, FULL, FULL, "two or three backplanes, for each of them",
        _limit(22, Evidence.FIRM, "cpu-guides"), _FIRM_20,
    ),
    LoadRow("sep", None, FULL, FULL, "a segment of the separate-line bus", _SEP_20, _SEP_20),
)  # fmt: skip


def row_for(bus: str, backplanes: int, near: str, far: str) -> LoadRow:
    """The row that applies; where no row has these ends, the strictest one of the bus and the number of backplanes.

    `near` and `far` are the words weak, full, none; whoever does not know one gives none.
    """
    rows = [row for row in TABLE if row.bus == bus and row.backplanes in ((1,) if backplanes == 1 else (None,))]
    rows = rows or [row for row in TABLE if row.bus == bus]
    exact = [row for row in rows if (row.near, row.far) == (near, far)]
    return min(exact or rows, key=lambda row: row.ac.peek)


# ---- lengths

_CABLES_FIRM = ("cpu-guides",)
MUX_BACKPLANES = Known(3, Evidence.SEEN, ("mounting-box-guide",))
"""Most backplanes of a multiplexed bus."""

MUX_FIRST_M = Known(Decimal("0.61"), Evidence.FIRM, _CABLES_FIRM)
"""Least length of the first cable of a multiplexed bus, metres."""

MUX_DIFFERENCE_M = Known(Decimal("1.22"), Evidence.FIRM, _CABLES_FIRM)
"""Least difference between its first and its second cable."""

MUX_ALL_M = Known(Decimal("4.88"), Evidence.FIRM, _CABLES_FIRM)
"""All its cables together."""

SEP_SEGMENT_M = Known(Decimal("15.2"), Evidence.SEEN, ("sep-loading-post-2016",))
"""All cables of a segment of the separate-line bus, 50 ft."""
