"""A terminator stands inside the bus.

What is checked
    Whether every terminator, on a board or built into a backplane, stands at an electrical end of the bus.

Why it matters
    A terminator inside the bus loads the line a third time.  Drivers can't pull it low enough, and the margin against
    noise is gone.

Example
    machine.yaml:12:7: doubt TERM-002 terminator-not-at-end [main/a/2AB]: a terminator (120 ohm) stands inside the bus;
    terminators stand at its two ends only (desk-box-wiki).

Putting it right
    Take the resistor packs out, or move the terminator to the last place.

Known limits
    Packs in sockets of a backplane can't be seen in a loadout: where the bus goes on behind such a backplane, the rule
    asks for them.  The one boot-terminator board of a machine may stand in any modified slot of the first unit; a
    second one is held against it.  With three backplanes one figure shows a terminator at the far end of the first one
    (disputed D7); read as ends only, so a doubt.

Sources
    desk-box-wiki: the packs come out when a second box is joined.
    sep-termination-post-2006: the board that may end the bus in a modified slot, one to a machine.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Unknown
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, known, machine_subject, unit_subject
from minisim.rules._load_table import FULL, WEAK
from minisim.rules._loads import joined_units, stands_as_made, terminator_name
from minisim.wiring.ends import BOTH_SEGMENTS, INSIDE
from minisim.wiring.model import Wired, WiredTerminator

OHMS = {WEAK: "weak", FULL: "120 ohm"}


@rule(
    id="TERM-002",
    slug="terminator-not-at-end",
    severity=Severity.DOUBT,
    needs=("SLOT-007", "SLOT-008", "SLOT-010", "SLOT-011"),
    sources=("desk-box-wiki", "sep-termination-post-2006"),
)
def terminator_not_at_end(wired: Wired) -> Iterator[Result]:
    """Look where each terminator stands."""
    joined = {unit.index for unit in joined_units(wired)}
    made_for_it: list[WiredTerminator] = []
    for one in wired.terminators:
        subject = _subject(wired, one)
        if one.end == BOTH_SEGMENTS or one.unit not in joined:
            yield does_not_apply(subject)
        elif one.at_end != INSIDE or (stands_as_made(wired, one) and not made_for_it):
            yield passed(subject)
        elif isinstance(one.strength, Unknown):
            yield not_checked(subject, f"terminator of {terminator_name(wired, one)}")
        else:
            word = known(one.strength, f"terminator of {terminator_name(wired, one)}")
            yield _finding(wired, one, word) if word in OHMS else passed(subject)
        if stands_as_made(wired, one):
            made_for_it.append(one)


def _subject(wired: Wired, one: WiredTerminator) -> Subject:
    return unit_subject(wired.units[one.unit]) if one.board is None else board_subject(wired.boards[one.board])


def _finding(wired: Wired, one: WiredTerminator, word: str | None) -> Result:
    units = joined_units(wired)
    name = terminator_name(wired, one)
    return failed(
        _subject(wired, one),
        found=f"a terminator ({OHMS[word or FULL]}) stands inside the bus",
        limit="terminators stand at its two ends only",
        cause="the line is loaded too heavily: low margin, random errors",
        fix=f"take the resistors of {name} out, or move it to the end of the bus",
        next_measurement=probe(
            "with power off, measure a data line to +5 with this terminator in and out",
            "less with it in",
            "its resistors are out: write the board without terminator into the loadout",
        ),
        sources=("sep-termination-post-2006",) if stands_as_made(wired, one) else ("desk-box-wiki",),
        leans_on=_processor_places(wired),
        disputed=("D7",) if wired.bus == "mux" and len(units) == 3 and one.unit == 0 else (),
    )


def _processor_places(wired: Wired) -> tuple[str, ...]:
    """Where the ends are is judged by the processor: by its place, or as SLOT-011 names a machine without one."""
    places = tuple(str(wired.boards[one.board].place) for one in wired.processors)
    return places or (machine_subject(wired).place,)
