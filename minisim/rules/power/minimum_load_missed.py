"""A rail carries less than its least load.

What is checked
    For each rail with a least load: whether the boards draw that much.

Why it matters
    A switching supply below its least load does not regulate, or does not start; volts run off and may look right
    without boards and fall with them.

Example
    machine.yaml:5:13: doubt POWER-004 minimum-load-missed [main +5]: 3.2 A are drawn at +5; the supply needs 4.5 A to
    regulate (mux-chassis-page).

Putting it right
    Add a load board, or resistors that take the rest.

Known limits
    For many supplies the least load is not known.  What happens below it is common practice, not printed.

Sources
    mux-chassis-page: 2 A and 4.5 A of two groups of boxes.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known, NotApplicable, Unknown
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import known, need, rail_subject, supply_need
from minisim.rules._loads import amount, stated
from minisim.wiring.model import Wired, WiredBox, WiredRail


@rule(id="POWER-004", slug="minimum-load-missed", severity=Severity.DOUBT, sources=("mux-chassis-page",))
def minimum_load_missed(wired: Wired) -> Iterator[Result]:
    """Compare the load of each rail with the least it needs."""
    for box in wired.boxes:
        for rail in box.rails:
            yield _result(box, rail)


def _result(box: WiredBox, rail: WiredRail) -> Result:
    subject = rail_subject(box, rail)
    if isinstance(rail.minimum, NotApplicable) or isinstance(rail.rating, NotApplicable):
        return does_not_apply(subject)
    if isinstance(rail.minimum, Unknown):
        return not_checked(subject, supply_need(box, "least loads"))
    minimum = known(rail.minimum, f"least load of {subject.place}")
    assert minimum is not None
    if rail.load.least >= minimum:
        return passed(subject)
    if not rail.load.complete:
        return not_checked(subject, need(f"current at {rail.rail}", rail.load.unknown))
    return failed(
        subject,
        found=f"{amount(rail.load.least)} A are drawn at {rail.rail}",
        limit=f"the supply needs {amount(minimum)} A to regulate{stated(rail.minimum)}",
        unit="A",
        cause="the supply does not regulate, or does not start",
        fix=f"add a load board that draws {amount(minimum - rail.load.least)} A at {rail.rail}",
        next_measurement=probe(
            f"measure the volts at {rail.rail} at the backplane, boards in",
            "volts that wander, or none",
            "the currents in the catalogue are too low: write the measured ones into the loadout",
        ),
        sources=rail.minimum.sources if isinstance(rail.minimum, Known) else (),
    )
