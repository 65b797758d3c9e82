"""A board interrupts through a vector that belongs to a trap of the processor.

What is checked
    Whether any device whose vector does not float asks through one of the vectors of traps: 4, 10, 14, 20, 24, 30, 34,
    114, 240, 244, 250.  For devices whose vector floats VECT-003 speaks.

Why it matters
    The handler of the trap runs at every request of the device: software takes a key for a power failure, or a disk
    for a bus error, and stops with a message that leads everybody astray.

Example
    machine.yaml:12:60: fault VECT-005 vector-on-trap [main/a/2CD]: vector 024 of the serial line is that of power
    failure; a device needs a vector of its own (processor-handbook).

Putting it right
    Set the vector of the kind; the finding names it where it is known.

Known limits
    The vectors of traps are from memory, firm.  Memory that reports parity errors through 114 does so by design.

Sources
    processor-handbook: the trap vectors (from memory, firm).
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Mark, Severity
from minisim.known import Known
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule, same_as
from minisim.rules._facts import device_name, known, octal_vector, short, vector_subject
from minisim.wiring.floating_ranks import VECTOR_FIRST
from minisim.wiring.model import Wired, WiredRegisters

TRAPS = {
    0o4: "time-out, odd address and stack",
    0o10: "reserved instructions",
    0o14: "trace and breakpoint",
    0o20: "the input-output trap",
    0o24: "power failure",
    0o30: "the emulator trap",
    0o34: "the trap instruction",
    0o114: "memory parity",
    0o240: "program interrupt requests",
    0o244: "floating point",
    0o250: "memory management",
}
BY_DESIGN = "memory-parity"


@rule(
    id="VECT-005",
    slug="vector-on-trap",
    severity=Severity.FAULT,
    needs=("SLOT-008", "VECT-004"),
    sources=("processor-handbook",),
)
def vector_on_trap(wired: Wired) -> Iterator[Result]:
    """Hold each vector that does not float against those of traps."""
    told: set[tuple[int, Mark | None]] = set()  # one switch moves all lines of a board
    for registers in wired.registers:
        subject = vector_subject(wired, registers)
        wanted, switch = registers.computed_vector, (registers.board, registers.vector_mark)
        floats = registers.vector_rank is not None and isinstance(wanted, Known) and wanted.peek >= VECTOR_FIRST
        if floats or not registers.vectors or registers.device == BY_DESIGN:
            yield does_not_apply(subject)
            continue
        known(registers.vector, f"vector of {short(wired.boards[registers.board])}")
        taken = [one.vector for one in registers.vectors if one.vector in TRAPS and not one.software_set]
        if not taken:
            yield passed(subject)
        elif switch in told:
            yield same_as(subject, subject)
        else:
            told.add(switch)
            yield _finding(wired, registers, taken[0])


def _finding(wired: Wired, registers: WiredRegisters, vector: int) -> Result:
    name, wanted = short(wired.boards[registers.board]), registers.computed_vector
    place = octal_vector(wanted.peek) if isinstance(wanted, Known) else "the one of its kind"
    return failed(
        vector_subject(wired, registers),
        found=f"vector {octal_vector(vector)} of the {device_name(registers)} is that of {TRAPS[vector]}",
        limit="a device needs a vector of its own",
        cause="the handler of the trap runs at every request of the device",
        fix=f"set the vector of {name} to {place}",
        next_measurement=probe(
            "with power off, read the vector switches of the board, and which position means 1",
            "the vector printed here",
            "write the real setting into the loadout",
        ),
    )
