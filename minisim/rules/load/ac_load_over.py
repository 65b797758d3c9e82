"""The AC loads on a bus exceed what its ends allow.

What is checked
    On the multiplexed bus, for each backplane: the AC loads of its boards against the row of the load table that fits
    the number of backplanes and the terminators at both ends.  On the separate-line bus, for each segment: 20.

Why it matters
    AC loads are capacitance.  Too much of it makes edges slow and lines ring: random errors, more of them when warm.

Example
    machine.yaml:6:9: doubt LOAD-001 ac-load-over [main/a]: 22.5 AC loads; one backplane, weak terminator at the
    processor, none at the far end: 20 are allowed (termination-post-2005).

Putting it right
    Fit the far terminator, which raises the limit, or move boards to a second box.

Known limits
    Of the limits, 20 and that of the late box were seen in print; 35, 45 and 22 are from memory.  Where a terminator
    is not known the stricter row is taken (D5).  The backplane's own AC load is not counted (D15); where counting it
    would change the verdict, a note says so.  No AC loads are known for boards of the separate-line bus.

Sources
    termination-post-2005: 20 AC loads without a far terminator.
    enclosure-manual: the limits of the late twelve-slot box; what one load is.
    cpu-guides: the other rows, from memory.
    sep-loading-post-2016: 20 for a segment of the separate-line bus.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from minisim.findings import Severity
from minisim.known import Figure, Known, Total
from minisim.rules import Result, Subject, failed, not_checked, passed, probe, rule
from minisim.rules._facts import known, need, unit_subject
from minisim.rules._load_table import row_for
from minisim.rules._loads import ac_limit, amount, end_of, joined_units, least_text, segments
from minisim.wiring.model import Wired, WiredUnit


@rule(
    id="LOAD-001",
    slug="ac-load-over",
    severity=Severity.DOUBT,
    sources=("termination-post-2005", "enclosure-manual", "cpu-guides", "sep-loading-post-2016"),
)
def ac_load_over(wired: Wired) -> Iterator[Result]:
    """Compare the AC loads of each backplane or segment with the row that applies."""
    if wired.bus == "sep":
        for segment in segments(wired):
            row = row_for("sep", len(segment.units), "", "")
            yield _result(unit_subject(segment.units[-1]), segment.ac, row.ac, row.case, exact_is_note=True)
        return
    for unit in joined_units(wired):
        yield _one_backplane(wired, unit)


def _one_backplane(wired: Wired, unit: WiredUnit) -> Result:
    near, far = end_of(wired, "near"), end_of(wired, "far")
    limit, case = ac_limit(wired, unit)
    unsure = ("D5",) if near.unknown else ()
    own_limit = isinstance(unit.entry.limits.get("ac"), Known)
    fix = "move boards to a second box" if far.closed or own_limit else "fit a terminator at the far end of the bus"
    return _result(unit_subject(unit), unit.ac, limit, case, backplane=unit.entry.ac, disputed=unsure, fix=fix)


def _result(
    subject: Subject,
    load: Total,
    limit: Known[Decimal],
    case: str,
    *,
    backplane: Figure[Decimal] | None = None,
    disputed: tuple[str, ...] = (),
    exact_is_note: bool = False,
    fix: str = "divide the bus by a repeater",
) -> Result:
    least, allowed = load.least, limit.named(f"AC limit, {case}").value
    text = f"{case}: {amount(allowed)} are allowed"
    if least > allowed:
        return _finding(subject, f"{least_text(load, '')} AC loads", text, limit, None, disputed, fix)
    if not load.complete:
        return not_checked(subject, need("AC load", load.unknown))
    if least == allowed and exact_is_note:
        found = f"exactly {amount(least)} AC loads"
        return _finding(subject, found, text, limit, Severity.NOTE, (*disputed, "D9"), fix)
    own = known(backplane, f"AC load of backplane {subject.place}") if backplane is not None else None
    if own is None or least + own <= allowed:
        return passed(subject)
    found = f"{amount(least)} AC loads of boards, {amount(least + own)} with the backplane itself"
    return _finding(subject, found, text, limit, Severity.NOTE, (*disputed, "D15"), fix)


def _finding(
    subject: Subject,
    found: str,
    text: str,
    limit: Known[Decimal],
    severity: Severity | None,
    disputed: tuple[str, ...],
    fix: str,
) -> Result:
    return failed(
        subject,
        found=found,
        limit=text,
        unit="AC loads",
        cause="lines ring, random errors",
        fix=fix,
        next_measurement=probe(
            "run a memory test with all boards in, then with half of them",
            "errors with all, none with half",
            "look for another cause first",
        ),
        severity=severity,
        sources=limit.sources or None,
        disputed=disputed,
    )
