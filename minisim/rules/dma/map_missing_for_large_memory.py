"""A machine of the separate-line bus has more than 248 KB and no map.

What is checked
    Whether a separate-line machine with a processor of 22 address bits, whose memory reaches beyond 760000, has the
    map from 18 to 22 bits fitted.

Why it matters
    The bus has 18 address lines.  Without the map DMA beyond 248 KB is impossible, and where the map is an option of
    the processor, the memory beyond is out of reach altogether.

Example
    machine.yaml:8:7: fault DMA-003 map-missing-for-large-memory [main]: memory reaches to 1777777, and no map is
    fitted; beyond 248 KB the bus needs the map from 18 to 22 bits (map-wiki).

Putting it right
    Fit the map, and let software set its windows: they are off at power-up.

Known limits
    Whether software sets the windows of a map that is there can't be read from a loadout: the rule asks for it where a
    board does DMA.

Sources
    map-wiki: the map, its windows and what they are after power-up.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import known, machine_subject, need, says, short, spans, unplaced
from minisim.wiring.model import Wired

MAP = "map"
LIMIT = 0o760000
WIDE = 22


@rule(
    id="DMA-003",
    slug="map-missing-for-large-memory",
    severity=Severity.FAULT,
    needs=("SLOT-008", "OPT-001"),
    sources=("map-wiki",),
)
def map_missing_for_large_memory(wired: Wired) -> Iterator[Result]:
    """Compare the end of memory with what the bus reaches, and look for the map."""
    subject = machine_subject(wired)
    if wired.bus != "sep" or not _drives_22_bits(wired):
        yield does_not_apply(subject)  # what 18 bits reach is asked by MEM-004 and MEM-005
        return
    end = max((span.end for span in spans(wired)), default=0)
    choice = wired.processors[0].choice(MAP)
    fitted = choice is not None and choice.fitted
    if end <= LIMIT:
        yield not_checked(subject, *unplaced(wired)) if unplaced(wired) and not fitted else passed(subject)
        return
    if fitted:
        users = [short(one) for one in wired.boards if one.entry.processor is None and says(one.entry.dma, "DMA")]
        windows = need("whether software sets the windows of the map before DMA", users)
        yield not_checked(subject, windows) if users else passed(subject)
        return
    yield failed(
        subject,
        found=f"memory reaches to {end - 1:o}, and no map is fitted",
        limit="beyond 248 KB the bus needs the map from 18 to 22 bits",
        cause="DMA beyond 248 KB is impossible, and the memory there may be out of reach",
        fix="fit the map of this processor, or keep the memory within 248 KB",
        next_measurement=probe(
            "at the console, read the word at 770200",
            "no answer",
            "a map is there: write it into the loadout",
        ),
        leans_on=tuple(str(wired.boards[one.board].place) for one in wired.processors),
    )


def _drives_22_bits(wired: Wired) -> bool:
    if not wired.processors:
        return False
    board = wired.boards[wired.processors[0].board]
    return (known(board.entry.address_bits, f"address bits of {short(board)}") or 0) >= WIDE
