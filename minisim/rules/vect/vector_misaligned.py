"""A device with two vectors does not start on a multiple of 10.

What is checked
    Whether the first vector of each device with two or more vectors is a multiple of octal 10.

Why it matters
    Such a board sets one bit for its second vector instead of adding 4.  Started at a multiple of 4 only, the second
    vector lands in the place of its neighbour.

Example
    machine.yaml:14:60: fault VECT-002 vector-misaligned [main/a/2CD]: two vectors start at 304; they must start on a
    multiple of 10 (float-vector-wiki).

Putting it right
    Set the board to the next multiple of 10 that is free.

Known limits
    For kinds with three or more vectors the alignment is not stated in what was seen (disputed D3): read as 10 too.

Sources
    float-vector-wiki: alignment of kinds with two vectors.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Mark, Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule, same_as
from minisim.rules._facts import known, octal_vector, short, vector_subject
from minisim.rules._free import vector_hint
from minisim.wiring.model import Wired

STEP = 0o10


@rule(
    id="VECT-002",
    slug="vector-misaligned",
    severity=Severity.FAULT,
    needs=("SLOT-008", "VECT-004"),
    sources=("float-vector-wiki",),
)
def vector_misaligned(wired: Wired) -> Iterator[Result]:
    """Look where the vectors of each device start."""
    told: set[tuple[int, Mark | None]] = set()  # one switch moves all lines of a board
    for registers in wired.registers:
        subject, count = vector_subject(wired, registers), len(registers.vectors)
        if count < 2:
            yield does_not_apply(subject)
            continue
        name = short(wired.boards[registers.board])
        known(registers.vector, f"vector of {name}")
        first = min(one.vector for one in registers.vectors)
        if first % STEP == 0:
            yield passed(subject)
            continue
        switch = registers.board, registers.vector_mark
        if switch in told:
            yield same_as(subject, subject)
            continue
        told.add(switch)
        yield failed(
            subject,
            found=f"{count} vectors start at {octal_vector(first)}",
            limit="they must start on a multiple of 10",
            cause="the second vector lands in its neighbour's place",
            fix=f"set the vector of {name} to a free multiple of 10{vector_hint(wired, registers)}",
            next_measurement=probe(
                "with power off, read the vector switches of the board",
                "the vector printed here",
                "write the real setting into the loadout",
            ),
            disputed=("D3",) if count > 2 else (),
        )
