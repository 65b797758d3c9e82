"""The DC loads of a segment exceed 20.

What is checked
    On either bus, for each segment: whether the sum of the DC loads of all its boards exceeds the limit.  A repeater
    begins a new segment.

Why it matters
    DC loads are leakage.  Too much of it lowers the idle level of the lines and leaves little margin against noise.

Example
    machine.yaml:6:9: doubt LOAD-002 dc-load-over [main/a]: at least 21 DC loads; 20 are allowed (enclosure-manual).

Putting it right
    Take boards out, or fit a repeater (separate-line bus).

Known limits
    On the separate-line bus exactly 20 is disputed (D9): it passes with a note.  Several loads of boards are
    unconfirmed; a sum with unknown parts can fail, under the limit it is not checked.

Sources
    enclosure-manual: 20 on the multiplexed bus, and what one load is.
    sep-loading-post-2016: 20 on a segment of the separate-line bus.
    repeater-wiki: the repeater begins a new segment.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, failed, not_checked, passed, probe, rule
from minisim.rules._facts import need, unit_subject
from minisim.rules._load_table import row_for
from minisim.rules._loads import Segment, amount, least_text, segments
from minisim.wiring.model import Wired


@rule(
    id="LOAD-002",
    slug="dc-load-over",
    severity=Severity.DOUBT,
    sources=("enclosure-manual", "sep-loading-post-2016", "repeater-wiki"),
)
def dc_load_over(wired: Wired) -> Iterator[Result]:
    """Compare the DC loads of each segment with the limit."""
    for segment in segments(wired):
        yield _result(wired, segment)


def _limit(wired: Wired, segment: Segment) -> Known[Decimal]:
    own = segment.units[0].entry.limits.get("dc")
    return own if isinstance(own, Known) else row_for(wired.bus, len(segment.units), "", "").dc


def _result(wired: Wired, segment: Segment) -> Result:
    subject, limit = unit_subject(segment.units[-1]), _limit(wired, segment)
    least, allowed = segment.dc.least, limit.named("DC limit").value
    exact = least == allowed and segment.dc.complete and wired.bus == "sep"
    if least <= allowed and not exact:
        complete = segment.dc.complete
        return passed(subject) if complete else not_checked(subject, need("DC load", segment.dc.unknown))
    return failed(
        subject,
        found=f"{'exactly ' if exact else ''}{least_text(segment.dc, '')} DC loads",
        limit=f"{amount(allowed)} are allowed",
        unit="DC loads",
        cause="low margin against noise",
        fix="take boards out" if wired.bus == "mux" else "divide the bus by a repeater",
        next_measurement=probe(
            "with the machine idle, measure the level of a data line at the backplane",
            "less than 3.4 V",
            "the loads are lower than printed: note it",
        ),
        severity=Severity.NOTE if exact else None,
        sources=limit.sources or None,
        disputed=("D9",) if exact else (),
    )
