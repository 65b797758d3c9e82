"""Memory reaches beyond the address lines of its backplane.

What is checked
    Whether the end of each memory board lies within the address bits of its backplane, and on the multiplexed bus of
    every backplane and bus cable between it and the processor.  On the separate-line bus only extended slots have more
    than 18.

Why it matters
    Lines 18 to 21 are not wired in an 18-bit backplane: addresses repeat every 256 KB, low memory is overwritten, and
    programs crash.

Example
    machine.yaml:10:48: fault MEM-005 memory-beyond-backplane-width [main/a/3]: memory ends at 1777777 (512 KB), the
    backplane has 18 address bits (256 KB) (backplane-upgrade-wiki).

Putting it right
    Stay within 256 KB, or (multiplexed bus) wire lines 18 to 21 (BC1, BD1, BE1, BF1) through the backplane.

Known limits
    A backplane that its owner has widened is not seen as such; accept the finding with what was measured.

Sources
    backplane-upgrade-wiki: which backplanes have 18 and 22 bits, and how they are widened.
    map-wiki: 18 bits of the separate-line bus.
    extended-slot-wiki: the four further lines of extended slots.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Evidence, Figure, Known, Unknown
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import MEMORY_16, memory_subject, short, span_of
from minisim.wiring.model import Wired, WiredBoard

CABLE_BITS = 18  # every bus cable has so many
NO_LIMIT = 64  # bits; more than any bus has
SEP_BITS: Figure[int] = Known(18, Evidence.SEEN, ("map-wiki",))


@rule(
    id="MEM-005",
    slug="memory-beyond-backplane-width",
    severity=Severity.FAULT,
    needs=("SLOT-008",),
    sources=("backplane-upgrade-wiki", "map-wiki", "extended-slot-wiki"),
)
def memory_beyond_backplane_width(wired: Wired) -> Iterator[Result]:
    """Compare the end of each memory with the lines that reach it."""
    for memory in wired.memories:
        subject, span, board = memory_subject(wired, memory), span_of(wired, memory), wired.boards[memory.board]
        if span is None:
            yield does_not_apply(subject)  # MEM-002 says what is missing
            continue
        if span.end <= MEMORY_16:
            yield passed(subject)
            continue
        widths = _widths(wired, board, span.end)
        least = min((width.value for _, width in widths if isinstance(width, Known)), default=NO_LIMIT)
        unsure = [f"address bits of {name}" for name, width in widths if isinstance(width, Unknown)]
        if span.end > 1 << least:
            yield _finding(wired, subject, short(board), span.end, least)
        else:
            yield not_checked(subject, *unsure) if unsure else passed(subject)


def _widths(wired: Wired, board: WiredBoard, end: int) -> list[tuple[str, Figure[int]]]:
    unit = wired.units[board.unit]
    if wired.bus == "sep":
        return [(f"backplane {unit.box}/{unit.id}", unit.entry.address_bits if "extended" in board.kinds else SEP_BITS)]
    way = wired.units[: board.unit + 1]
    cables = [
        (f"the cable to {one.box}/{one.id}", one.cable_bits) for one in way if one.cable and end > 1 << CABLE_BITS
    ]
    return [(f"backplane {one.box}/{one.id}", one.entry.address_bits) for one in way] + cables


def _finding(wired: Wired, subject: Subject, name: str, end: int, bits: int) -> Result:
    reach = f"{(1 << bits) // 1024} KB"
    return failed(
        subject,
        found=f"memory ends at {end - 1:o} ({end // 1024} KB)",
        limit=f"only {bits} address bits reach it ({reach})",
        unit="KB",
        cause=f"addresses repeat every {reach}: low memory is overwritten",
        fix=f"set {name} to end within {reach}, or take it out",
        next_measurement=_probe_sep(name) if wired.bus == "sep" else _probe_mux(),
        sources=("map-wiki", "extended-slot-wiki") if wired.bus == "sep" else ("backplane-upgrade-wiki",),
    )


def _probe_mux() -> str:
    return probe(
        "with power off, measure BC1 of the first slot to BC1 of the last",
        "an open line",
        "the backplane has been widened: accept the finding and say who measured it",
    )


def _probe_sep(name: str) -> str:
    return probe(
        f"with power off, read the start switches of {name} and the number of the slot in the print set",
        "the start printed here, and no extended slot",
        "write what you find into the loadout",
    )
