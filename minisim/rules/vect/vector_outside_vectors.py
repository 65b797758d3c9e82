"""A vector lies above 774 or is not a multiple of 4.

What is checked
    Whether each vector a device puts on the bus is a multiple of 4 from 004 to 774.

Why it matters
    A vector is two words, the new PC and PS.  From a wrong place the processor fetches half of one vector and half of
    the next, or plain memory.

Example
    machine.yaml:9:60: fault VECT-004 vector-outside-vectors [main/a/3CD]: vector 302 is no multiple of 4; vectors are
    multiples of 4 from 004 to 774 (processor-handbook).

Putting it right
    Correct the vector switches of the board.

Known limits
    The end of the space is given as 774 and as 776 (D10): the last vector starts at 774 either way.

Sources
    processor-handbook: vectors are pairs of words below 1000 (from memory, firm).
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Mark, Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule, same_as
from minisim.rules._facts import known, octal_vector, short, vector_subject
from minisim.wiring.model import Wired

LAST = 0o774


@rule(
    id="VECT-004",
    slug="vector-outside-vectors",
    severity=Severity.FAULT,
    needs=("SLOT-008",),
    sources=("processor-handbook",),
)
def vector_outside_vectors(wired: Wired) -> Iterator[Result]:
    """Look at each vector of each device."""
    told: set[tuple[int, Mark | None]] = set()  # one switch moves all lines of a board
    for registers in wired.registers:
        subject, name = vector_subject(wired, registers), short(wired.boards[registers.board])
        if not registers.vectors:
            yield does_not_apply(subject)
            continue
        known(registers.vector, f"vector of {name}")
        wrong = [one.vector for one in registers.vectors if one.vector % 4 or not 4 <= one.vector <= LAST]
        if not wrong:
            yield passed(subject)
            continue
        if (registers.board, registers.vector_mark) in told:
            yield same_as(subject, subject)
            continue
        told.add((registers.board, registers.vector_mark))
        first = wrong[0]
        yield failed(
            subject,
            found=f"vector {octal_vector(first)} {'is no multiple of 4' if first % 4 else 'lies outside the vectors'}",
            limit="vectors are multiples of 4 from 004 to 774",
            cause="the processor fetches its handler from a wrong place",
            fix=f"correct the vector switches of {name}",
            next_measurement=probe(
                "with power off, read the vector switches of the board, and which position means 1",
                "the vector printed here",
                "write the real setting into the loadout",
            ),
        )
