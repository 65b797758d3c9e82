"""The power of all rails together exceeds the total of the box.

What is checked
    For each box: whether volts times amperes, summed over all its rails with the drives it feeds, exceeds the total the
    supply may give.

Why it matters
    Each rail can be within its limit and the supply still shuts down: both rails can't be used to the full together.

Example
    machine.yaml:5:13: fault POWER-003 total-power-exceeded [main]: at least 241 W are drawn; the supply gives 230 W
    (mux-chassis-page).

Putting it right
    Move boards or drives to another box.

Known limits
    The fans and the mains side are not counted.  Many supplies have no total that was seen in print.

Sources
    mux-chassis-page: 230 W of the eight-slot box.
    sep-box-wiki: 1350 W of the large box.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, failed, not_checked, passed, probe, rule
from minisim.rules._facts import box_subject, known, supply_need
from minisim.rules._loads import amount, currents_missing, least_text, stated
from minisim.wiring.model import Wired, WiredBox


@rule(
    id="POWER-003",
    slug="total-power-exceeded",
    severity=Severity.FAULT,
    sources=("mux-chassis-page", "sep-box-wiki"),
)
def total_power_exceeded(wired: Wired) -> Iterator[Result]:
    """Compare the watts of each box with what its supply may give."""
    for box in wired.boxes:
        yield _result(box)


def _result(box: WiredBox) -> Result:
    subject, missing = box_subject(box), currents_missing(box)
    rating = known(box.watts_rating, f"total watts of {box.id}")
    if rating is None:
        return not_checked(subject, supply_need(box, "total watts"), *missing)
    if box.watts.least <= rating:
        return not_checked(subject, *missing) if missing else passed(subject)
    return failed(
        subject,
        found=f"{least_text(box.watts, ' W')} are drawn over all rails",
        limit=f"the supply gives {amount(rating)} W{stated(box.watts_rating)}",
        unit="W",
        cause="the supply shuts down although each rail is in its limit",
        fix=f"move boards or drives with {amount(box.watts.least - rating)} W or more to another box",
        next_measurement=probe(
            "measure the current of each rail and add up volts times amperes",
            f"more than {amount(rating)} W",
            "write the measured currents into the loadout",
        ),
        sources=box.watts_rating.sources if isinstance(box.watts_rating, Known) else (),
    )
