"""The bus is too long: too many backplanes, or cables that break a rule.

What is checked
    Multiplexed bus: at most three backplanes; the first cable at least 61 cm, the second at least 122 cm longer or
    shorter than the first, all together at most 4.88 m.  Separate-line bus: at most 15.2 m (50 ft) of cable in each
    segment, from terminator or repeater to the next.

Why it matters
    Margins of timing are lost, and reflections of two cables of one length add up: errors that come and go.

Example
    machine.yaml:26:9: doubt LOAD-003 bus-too-long [main/c]: the first cable is 0.61 m long, the second 1.22 m; they
    must differ by 1.22 m at least (cpu-guides).

Putting it right
    Shorten or exchange the cable; on the separate-line bus a repeater divides the bus.

Known limits
    The cable rules of the multiplexed bus are from memory, firm.  On the separate-line bus some cables had to be
    longer than needed, against reflections: replace like with like.  The wiring of backplanes is not counted.

Sources
    mounting-box-guide: three backplanes.
    cpu-guides: the cables of the multiplexed bus (from memory, firm).
    sep-loading-post-2016: 50 ft a segment.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from minisim.findings import Severity
from minisim.known import Known, Part, total
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import known, unit_subject
from minisim.rules._load_table import MUX_ALL_M, MUX_BACKPLANES, MUX_DIFFERENCE_M, MUX_FIRST_M, SEP_SEGMENT_M
from minisim.rules._loads import amount, joined_units, segments
from minisim.wiring.model import Wired, WiredUnit

SOURCES = ("mounting-box-guide", "cpu-guides", "sep-loading-post-2016")


@rule(id="LOAD-003", slug="bus-too-long", severity=Severity.DOUBT, needs=("SLOT-008",), sources=SOURCES)
def bus_too_long(wired: Wired) -> Iterator[Result]:
    """Count backplanes and add up cables."""
    units = joined_units(wired)
    if len(units) < 2:
        yield does_not_apply(unit_subject(units[0]))
    elif wired.bus == "mux":
        yield from _mux(units)
    else:
        for number, segment in enumerate(segments(wired)):
            # The first backplane of a segment hangs on the one before it, unless a repeater begins the segment.
            yield _sep(segment.units if number == 0 else segment.units[1:], segment.units[-1])


def _sum(units: tuple[WiredUnit, ...]) -> tuple[Decimal, tuple[str, ...]]:
    """Metres of the cables to these units as far as known, and what is missing."""
    parts = total(Part(f"length of the cable to {unit.box}/{unit.id}", unit.cable_m) for unit in units)
    return parts.least, parts.unknown


def _sep(units: tuple[WiredUnit, ...], last: WiredUnit) -> Result:
    metres, missing = _sum(units)
    limit = SEP_SEGMENT_M.named("longest bus").value
    if metres > limit:
        return _finding(last, f"the cables of this segment are {amount(metres)} m long",
                        f"{amount(limit)} m (50 ft) at most", SEP_SEGMENT_M.sources)  # fmt: skip
    return not_checked(unit_subject(last), *missing) if missing else passed(unit_subject(last))


def _mux(units: tuple[WiredUnit, ...]) -> Iterator[Result]:
    for number, unit in enumerate(units):
        most = MUX_BACKPLANES.peek
        if number >= most:
            yield _finding(
                unit, f"this is backplane {number + 1} of the bus", f"{most} at most", MUX_BACKPLANES.sources
            )
        elif number:
            yield _cable(units, number)
    yield _all_cables(units)


def _cable(units: tuple[WiredUnit, ...], number: int) -> Result:
    """The first cable has a least length, the second must differ from it."""
    unit = units[number]
    length = known(unit.cable_m, f"length of the cable to {unit.box}/{unit.id}")
    if length is None:
        return not_checked(unit_subject(unit), f"length of the cable to {unit.box}/{unit.id}")
    if number == 1:
        least = MUX_FIRST_M.named("least length of the first cable").value
        if length < least:
            return _finding(unit, f"the first cable is {amount(length)} m long", f"{amount(least)} m at least")
        return passed(unit_subject(unit))
    first = units[1].cable_m
    if not isinstance(first, Known) and number == 2:
        return not_checked(unit_subject(unit), f"length of the cable to {units[1].box}/{units[1].id}")
    apart = MUX_DIFFERENCE_M.named("difference of the cables").value
    if isinstance(first, Known) and abs(first.named("length of the first cable").value - length) < apart:
        both = f"the first cable is {amount(first.peek)} m long, the second {amount(length)} m"
        return _finding(unit, both, f"they must differ by {amount(apart)} m at least")
    return passed(unit_subject(unit))


def _all_cables(units: tuple[WiredUnit, ...]) -> Result:
    metres, missing = _sum(units)
    limit = MUX_ALL_M.named("longest bus").value
    if metres > limit:
        return _finding(units[-1], f"all cables together are {amount(metres)} m long", f"{amount(limit)} m at most")
    return not_checked(unit_subject(units[-1]), *missing) if missing else passed(unit_subject(units[-1]))


def _finding(unit: WiredUnit, found: str, limit: str, sources: tuple[str, ...] = ("cpu-guides",)) -> Result:
    return failed(
        unit_subject(unit),
        found=found,
        limit=limit,
        unit="m",
        cause="margins of timing are lost: errors that come and go",
        fix=_act(unit, found),
        next_measurement=probe(
            "with the units behind this one unplugged and the bus ended here, run the memory test for an hour",
            "no errors",
            "the length is not the cause: look at terminators and loads",
        ),
        sources=sources,
    )


def _act(unit: WiredUnit, found: str) -> str:
    if "backplane" in found:
        return "leave this backplane out"
    return "take another cable" if unit.entry.bus == "mux" else "take shorter cables, or divide the bus by a repeater"
