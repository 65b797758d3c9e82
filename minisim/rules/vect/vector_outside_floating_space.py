"""A floating vector lies below 300.

What is checked
    Whether the vector of each unit whose vector floats lies in the floating space, 300 to 774.  The vectors 170, 174,
    270 and 274, left to the owner, are allowed too.

Why it matters
    Vectors below 300 belong to traps and to fixed devices.  The handler of one of these is overwritten, or runs when
    the board asks.

Example
    machine.yaml:12:76: fault VECT-003 vector-outside-floating-space [main/a/2AB]: the vector 240 of a floating kind
    lies below 300; floating vectors lie in 300 to 774 (float-vector-wiki, voice-manual).

Putting it right
    Set the vector the order of kinds gives; the finding names it.

Known limits
    Whether the space ends at 774 or 776 is disputed (D10); the last vector starts at 774 either way, and what lies
    above is VECT-004's.

Sources
    float-vector-wiki: the floating space.
    voice-manual: the same, with its end.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Mark, Severity
from minisim.known import Known
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule, same_as
from minisim.rules._facts import known, octal_vector, short, vector_subject
from minisim.wiring.floating_ranks import VECTOR_FIRST
from minisim.wiring.model import Wired, WiredRegisters

LEFT_TO_THE_OWNER = {0o170, 0o174, 0o270, 0o274}


@rule(
    id="VECT-003",
    slug="vector-outside-floating-space",
    severity=Severity.FAULT,
    needs=("SLOT-008", "VECT-001", "VECT-004"),
    sources=("float-vector-wiki", "voice-manual"),
)
def vector_outside_floating_space(wired: Wired) -> Iterator[Result]:
    """Look at the vectors of units whose vector floats."""
    told: set[tuple[int, Mark | None]] = set()  # one switch moves all lines of a board
    for registers in wired.registers:
        subject, wanted = vector_subject(wired, registers), registers.computed_vector
        floats = registers.vector_rank is not None and isinstance(wanted, Known) and wanted.peek >= VECTOR_FIRST
        if not floats or not registers.vectors:
            yield does_not_apply(subject)
            continue
        known(registers.vector, f"vector of {short(wired.boards[registers.board])}")
        low = [one.vector for one in registers.vectors if one.vector < VECTOR_FIRST]
        if not set(low) - LEFT_TO_THE_OWNER:
            yield passed(subject)
        elif (registers.board, registers.vector_mark) in told:
            yield same_as(subject, subject)
        else:
            told.add((registers.board, registers.vector_mark))
            yield _finding(wired, registers, low[0])


def _finding(wired: Wired, registers: WiredRegisters, low: int) -> Result:
    name = short(wired.boards[registers.board])
    wanted = registers.computed_vector
    place = octal_vector(wanted.peek) if isinstance(wanted, Known) else "one from 300 on"
    return failed(
        vector_subject(wired, registers),
        found=f"the vector {octal_vector(low)} of a floating kind lies below 300",
        limit="floating vectors lie in 300 to 774",
        cause="the handler of a trap or of a fixed device is overwritten",
        fix=f"set the vector of {name} to {place}",
        next_measurement=probe(
            "with power off, read the vector switches of the board, and which position means 1",
            "the vector printed here",
            "write the real setting into the loadout",
        ),
    )
