"""The currents on one rail exceed its rating.

What is checked
    For each rail of each box: whether the sum of the currents of its boards, and of the drives on their cables that
    take their power from a box, exceeds the rating of the supply; and whether the supply has the rail at all.

Why it matters
    The supply shuts down, or short-circuits itself for protection.  A rail close under its limit sags as it warms up.

Example
    machine.yaml:5:13: fault POWER-002 rail-overload [main +5]: at least 19.4 A are drawn; the supply gives 18 A
    (mux-chassis-page).

Putting it right
    Take boards out, or use a box with a stronger supply.

Known limits
    A drive counts in the box of its board; what it takes more while it spins up is not counted.  Where a supply has no
    +5 standby, what feeds that rail is not known, so it is not checked.  Most currents are unconfirmed.  A sum with
    unknown parts can fail; under the limit it is not checked.  What rails a box with plug-in regulators has depends on
    those fitted: there a missing rail counts only against a known current.

Sources
    mux-chassis-page: ratings of the boxes of the multiplexed bus.
    sep-box-wiki: ratings of the large box of the separate-line bus.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known, NotApplicable
from minisim.rules import Result, Subject, failed, not_checked, passed, probe, rule
from minisim.rules._facts import known, need, rail_subject, supply_need
from minisim.rules._loads import amount, least_text, stated
from minisim.wiring.model import Wired, WiredBox, WiredRail

# Rails that a box without a part for them may feed from another rail (from +5 where no battery unit is fitted).
FED_FROM_ELSEWHERE = frozenset({"+5 standby"})


@rule(
    id="POWER-002",
    slug="rail-overload",
    severity=Severity.FAULT,
    needs=("SLOT-008",),
    sources=("mux-chassis-page", "sep-box-wiki"),
)
def rail_overload(wired: Wired) -> Iterator[Result]:
    """Compare the load of each rail with its rating."""
    for box in wired.boxes:
        for rail in box.rails:
            yield _result(box, rail)


def _result(box: WiredBox, rail: WiredRail) -> Result:
    subject, least = rail_subject(box, rail), rail.load.least
    missing = [need(f"current at {rail.rail}", rail.load.unknown)] if rail.load.unknown else []
    if isinstance(rail.rating, NotApplicable):
        if rail.rail in FED_FROM_ELSEWHERE and least > 0:
            return not_checked(subject, f"what feeds {rail.rail} in box {box.id}", *missing)
        surely = least > 0 or (rail.load.unknown and rail.rail not in FED_FROM_ELSEWHERE and _is_whole(box))
        return _no_such_rail(subject, rail) if surely else _open(subject, missing)
    if not isinstance(rail.rating, Known):
        idle = rail.load.complete and least == 0
        rating = supply_need(box, f"rating at {rail.rail}")
        return passed(subject) if idle else not_checked(subject, rating, *missing)
    rating_ = known(rail.rating, f"rating of {subject.place}")
    assert rating_ is not None
    if least <= rating_:
        return _open(subject, missing)
    return failed(
        subject,
        found=f"{least_text(rail.load, ' A')} are drawn at {rail.rail}",
        limit=f"the supply gives {amount(rating_)} A{stated(rail.rating)}",
        unit="A",
        cause="the supply shuts down, or short-circuits itself for protection",
        fix=f"take boards or drives with {amount(least - rating_)} A or more out of the box",
        next_measurement=probe(
            f"measure the current at {rail.rail} with half of the boards in, then add boards one by one",
            f"the rail to fall before {amount(least)} A",
            "write the measured currents into the loadout",
        ),
        sources=rail.rating.sources,
    )


def _is_whole(box: WiredBox) -> bool:
    """Does the catalogue know every rail of the supply?  What plug-in regulators give depends on those fitted."""
    return box.supply is not None and not isinstance(box.supply.regulators, Known)


def _open(subject: Subject, missing: list[str]) -> Result:
    return not_checked(subject, *missing) if missing else passed(subject)


def _no_such_rail(subject: Subject, rail: WiredRail) -> Result:
    takers = [part for part in rail.load.parts if not isinstance(part.figure, Known) or part.figure.value]
    drawn = f"{least_text(rail.load, ' A')} are drawn" if rail.load.least else "current of unknown strength is drawn"
    return failed(
        subject,
        found=f"{drawn} at {rail.rail}",
        limit="the supply has no such rail",
        unit="A",
        cause="the boards that need the rail don't work",
        sources=(),
        fix="use a box whose supply has this rail",
        next_measurement=probe(
            f"measure the {rail.rail} pins of the backplane, boards out",
            "0 V",
            "describe the supply in the loadout",
        ),
        also=tuple(part.name for part in takers),
        leans_on=tuple(part.name.split()[0] for part in takers),  # a board of the other bus is not to be fed at all
    )
