"""An end of the bus has no terminator.

What is checked
    On the multiplexed bus: whether a terminator stands at the far end, where 20 or more AC loads or several backplanes
    need one; below that its lack is a note; and whether a bus of several backplanes ends in 120 ohm on both sides.  On
    the separate-line bus: whether both ends have one.

Why it matters
    Signals are thrown back at an open end.  The separate-line bus may not run at all without its terminators.

Example
    machine.yaml:6:9: doubt TERM-001 far-end-open [main/b]: nothing ends the bus at its far end; the bus must be ended
    on both sides (transceivers-post-2016).

Putting it right
    Fit a terminator in the last place of the bus.

Known limits
    Handbooks want both ends in any case, a later note does without the far one below 20 AC loads (D11).  A terminator
    inside the bus is another rule's (TERM-002).  Which processor boards hold weak resistors is disputed (D5): a weak
    end beside the processor is a note.  The boot-terminator board ends the near side from any modified slot of the
    first unit, as it is made to.

Sources
    termination-post-2005: fewer than 20 AC loads need no far terminator.
    transceivers-post-2016: both ends of a segment of the separate-line bus.
    cpu-guides: 120 ohm at both ends of several backplanes (from memory, firm).
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import machine_subject, unit_subject
from minisim.rules._load_table import WEAK, row_for
from minisim.rules._loads import End, amount, end_of, joined_units, least_text
from minisim.wiring.model import Wired, WiredUnit

NEXT_TO_PROCESSOR = "the place for it next to the processor"
ENDS = {"near": "the end where the processor stands", "far": "the far end"}


@rule(
    id="TERM-001",
    slug="far-end-open",
    severity=Severity.DOUBT,
    needs=("SLOT-007", "SLOT-011"),
    sources=("termination-post-2005", "transceivers-post-2016", "cpu-guides"),
)
def far_end_open(wired: Wired) -> Iterator[Result]:
    """Look at the ends of the bus that need a terminator."""
    for side in ("far",) if wired.bus == "mux" else ("near", "far"):
        yield _result(wired, side)
    if wired.bus == "mux" and len(joined_units(wired)) > 1:
        yield _near_of_several(wired)


def _result(wired: Wired, side: str) -> Result:
    units = joined_units(wired)
    subject, end = unit_subject(units[0] if side == "near" else units[-1]), end_of(wired, side)
    if end.closed:
        return _too_weak(wired, side) if _is_weak(wired, end) else passed(subject)
    if end.unknown:
        return not_checked(subject, *end.unknown)
    severity, limit, source, disputed = _weighed(wired)
    return failed(
        subject,
        found=f"nothing ends the bus at {ENDS[side]}",
        limit=limit,
        cause="reflections: random errors, or no answer at all",
        fix=f"fit a terminator in {_last_place(units[-1]) if side == 'far' else NEXT_TO_PROCESSOR}",
        next_measurement=probe(
            f"with power off, measure a data line to +5 at {ENDS[side]}",
            "far more than 200 ohm",
            "a terminator is there: put it into the loadout",
        ),
        severity=severity,
        sources=(source,),
        disputed=disputed,
        leans_on=_processor_places(wired) if side == "near" else (),
    )


def _is_weak(wired: Wired, end: End) -> bool:
    return wired.bus == "mux" and len(joined_units(wired)) > 1 and end.word == WEAK and not end.unknown


def _near_of_several(wired: Wired) -> Result:
    """The side of the processor: asked only of a bus that goes on into another backplane."""
    end = end_of(wired, "near")
    if _is_weak(wired, end):
        return _too_weak(wired, "near")
    subject = unit_subject(joined_units(wired)[0])
    if end.unknown:
        return not_checked(subject, *end.unknown)
    return passed(subject) if end.closed else does_not_apply(subject)


def _too_weak(wired: Wired, side: str) -> Result:
    units = joined_units(wired)
    return failed(
        unit_subject(units[0] if side == "near" else units[-1]),
        found=f"a weak terminator ends the bus at {ENDS[side]}",
        limit=f"a bus of {len(units)} backplanes must end in 120 ohm on both sides",
        cause="the line is not matched: reflections, random errors",
        fix=f"fit a terminator of 120 ohm at {ENDS[side]}",
        next_measurement=probe(
            f"with power off, measure a data line to +5 and ground joined together at {ENDS[side]}",
            "well over 120 ohm",
            "the terminator is the strong one: write the board that stands there into the loadout",
        ),
        severity=Severity.NOTE if side == "near" else None,
        sources=("cpu-guides",),
        disputed=("D5",) if side == "near" else (),
        leans_on=_processor_places(wired),
    )


def _processor_places(wired: Wired) -> tuple[str, ...]:
    """Where the near end is, is judged by the processor: by its place, or as SLOT-011 names a machine without one."""
    places = tuple(str(wired.boards[one.board].place) for one in wired.processors)
    return places or (machine_subject(wired).place,)


def _weighed(wired: Wired) -> tuple[Severity | None, str, str, tuple[str, ...]]:
    """Severity, what is allowed, its source and its dispute, for a bus that is open at one end."""
    if wired.bus == "sep":
        return None, "the bus must be ended on both sides", "transceivers-post-2016", ()
    units = joined_units(wired)
    if len(units) > 1:
        return None, f"a bus of {len(units)} backplanes must be ended on both sides", "cpu-guides", ()
    limit = row_for("mux", 1, "weak", "none").ac.named("AC loads that need no far terminator").value
    load = units[0].ac
    if load.least >= limit:
        text = f"needed from {amount(limit)} AC loads on, here {least_text(load, '')}"
        return None, text, "termination-post-2005", ()
    text = f"one end is enough below {amount(limit)} AC loads, here {least_text(load, '')}"
    return Severity.NOTE, text, "termination-post-2005", ("D11",)


def _last_place(unit: WiredUnit) -> str:
    """`the last place of the bus (main/a/9AB)`; without the place where the backplane's order is not known."""
    sep = unit.entry.bus == "sep"
    last = f"{max(unit.entry.slots)}AB" if sep and unit.entry.slots else next(reversed(unit.entry.grant_order), "")
    return "the last place of the bus" + (f" ({unit.box}/{unit.id}/{last})" if last else "")
