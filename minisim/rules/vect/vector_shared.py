"""Two live vectors are equal.

What is checked
    Whether two devices put the same vector on the bus.  Vectors that software sets are no live ones until it runs.

Why it matters
    The processor takes the handler of one device for a request of the other: the wrong one runs, and the request of
    the other is never served.

Example
    machine.yaml:15:60: fault VECT-001 vector-shared [main/a/3AB]: vector 300 of the serial-line is also that of the
    serial-line of M0000 (main/a/2CD); every vector must have one owner (common-practice).

Putting it right
    Set one of the two boards to another vector.

Known limits
    A clock board and the event line of a processor use vector 100 together: it is one request.  Two consoles are
    CONSOLE-001 and two clocks at one address ADDR-001, with their vectors: they are not told twice.

Sources
    common-practice: one vector, one owner.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Mark, Severity
from minisim.known import Known, Unknown
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule, same_as
from minisim.rules._facts import CONSOLE, device_name, known, octal_vector, only_by_order, short, vector_subject
from minisim.rules._free import vector_hint
from minisim.wiring.model import Wired, WiredRegisters

CLOCKS = frozenset({"line-clock", "event-line"})


@rule(id="VECT-001", slug="vector-shared", severity=Severity.FAULT, needs=("SLOT-008",), sources=("common-practice",))
def vector_shared(wired: Wired) -> Iterator[Result]:
    """Compare the vectors of each device with all before it."""
    seen: list[WiredRegisters] = []
    told: set[tuple[Mark | None, frozenset[int]]] = set()  # one switch moves all lines of a board onto another board
    for registers in wired.registers:
        subject, name = vector_subject(wired, registers), short(wired.boards[registers.board])
        if isinstance(registers.vector, Unknown):
            yield not_checked(subject, f"vector of the {device_name(registers)} of {name}")
        elif not _live(registers):
            yield does_not_apply(subject)
        else:
            switch = registers.vector_mark, frozenset(one.board for one in _clashing(wired, registers, seen))
            yield _compared(wired, registers, seen) if switch not in told else same_as(subject, subject)
            if registers.vector_mark and switch[1]:
                told.add(switch)
            seen.append(registers)


def _live(registers: WiredRegisters) -> set[int]:
    return {one.vector for one in registers.vectors if not one.software_set}


def _same_request(wired: Wired, one: WiredRegisters, other: WiredRegisters) -> bool:
    return wired.bus == "mux" and {one.device, other.device} <= CLOCKS


def _told_elsewhere(one: WiredRegisters, other: WiredRegisters) -> bool:
    """Two consoles (CONSOLE-001) and two clocks at one address (ADDR-001): one cause, one finding."""
    if not isinstance(one.base, Known) or not isinstance(other.base, Known) or one.base.peek != other.base.peek:
        return False
    return one.base.peek == CONSOLE or {one.device, other.device} <= CLOCKS


def _clashing(wired: Wired, mine: WiredRegisters, seen: list[WiredRegisters]) -> list[WiredRegisters]:
    return [one for one in seen if _live(mine) & _live(one) and not _same_request(wired, mine, one)]


def _compared(wired: Wired, mine: WiredRegisters, seen: list[WiredRegisters]) -> Result:
    subject = vector_subject(wired, mine)
    clashing = _clashing(wired, mine, seen)
    others = [one for one in clashing if not _told_elsewhere(one, mine)]
    if not others:
        return does_not_apply(subject) if clashing else passed(subject)
    guessed = [one for one in (mine, *others) if only_by_order(wired, one, "vector")]
    others = [one for one in others if mine not in guessed and one not in guessed]
    if not others:
        boards = ((device_name(one), short(wired.boards[one.board])) for one in guessed)
        return not_checked(subject, *(f"vector of the {device} of {name}" for device, name in boards))
    for one in (mine, *others):
        known(one.vector, f"vector of {short(wired.boards[one.board])}")
    first = others[0]
    settable = first if first.vector_mark and not mine.vector_mark else mine  # a fixed vector has no switch
    vector = octal_vector(min(_live(mine) & _live(first)))
    return failed(
        subject,
        found=f"vector {vector} of the {device_name(mine)} is also that of the {device_name(first)} of "
        f"{short(wired.boards[first.board])}",
        limit="every vector must have one owner",
        cause="the wrong handler runs",
        fix=f"set {short(wired.boards[settable.board])} to another vector{vector_hint(wired, settable)}",
        next_measurement=probe(
            "with power off, compare the vector switches of both boards",
            "the same setting",
            "write the real setting into the loadout",
        ),
        also=tuple(
            f"{device_name(one)} of {short(wired.boards[one.board])} at line {vector_subject(wired, one).mark.line}"
            for one in others
        ),
    )
