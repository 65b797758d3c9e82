"""Conditions that end a run, against an oracle that steps and looks for itself.

No document: when a condition holds is defined by minisim.machine.records; the oracle is those sentences over
`Machine.step`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import takewhile
from random import Random

import pytest
from devices.workbench import Workbench
from hypothesis import given, settings
from hypothesis import strategies as st

import minisim
from minisim import Access, Address, All, RegisterHolds, Text, TrapTaken
from minisim.cpu._core import ffi
from minisim.devices._device import Placement
from minisim.machine.records import Condition
from minisim.machine.session import Session
from minisim.machine.steps import Step, StepAccess

AT = 0o1000
PROGRAM = """
. = 30
        .word emt, 0, trap, 340         ; 30, 34
. = 64
        .word printed, 200
. = 100
        .word ticked, 300
. = 1000
start:  mov     #700, sp
        mov     #100, @#177564          ; the printer interrupts
        mov     #100, @#177546          ; so does the clock
        clr     r2
again:  inc     r0
        mov     r0, r1
        bic     #177770, r1
        emt     3
        bit     #1, r0
        beq     quiet
        wait
quiet:  trap    5
        mov     r1, table(r2)
        add     #2, r2
        bic     #177760, r2
        tst     table
        br      again
emt:    add     r1, r5
        rti
trap:   dec     r4
        rti
printed:inc     r3
        bic     #177774, r3
        movb    text(r3), @#177566
        rti
ticked: comb    r5
        rti
text:   .ascii  "ABAB"
        .even
table:  .word   0, 0, 0, 0, 0, 0, 0, 0
"""


@cache
def at_work(after: int) -> bytes:
    """A machine with traps, two interrupts, WAIT and print, frozen somewhere in its work."""
    bench = Workbench(
        Placement("serial-line", "main/a/2AB", vectors=((0o60, 4), (0o64, 4))),
        Placement("line-clock", "main/a/3CF", vectors=((0o100, 6),)),
    )
    machine, program = bench.machine, minisim.assemble(PROGRAM)
    for block in program.blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data
    machine.cpu.pc = AT
    machine.run(limit=after)
    return machine.freeze()


# --- the oracle -------------------------------------------------------------------------------------------------------


@dataclass
class Oracle:
    """Steps a machine until any of `conditions` holds."""

    machine: minisim.Machine
    conditions: tuple[Condition, ...]
    printed: bytes = b""
    first: int = 0
    events: set[Condition] = field(default_factory=set)  # of the last instruction

    def run(self, limit: int) -> tuple[str, tuple[Condition, ...], int]:
        """Why it stopped, what holds, instructions."""
        self.first = self.machine.instructions
        self.machine.console.take()
        began, reason = used(self.machine), "LIMIT"
        while used(self.machine) - began < limit and reason == "LIMIT":
            reason = self._step()
            held = tuple(one for one in self.conditions if self._holds(one))
            if reason == "LIMIT" and held:
                return "REACHED", held, self.machine.instructions - self.first
        return reason, (), self.machine.instructions - self.first

    def _step(self) -> str:
        machine, count, traps, length = self.machine, self.machine.instructions, self._taken(), len(self.printed)
        reason, accesses = self._doze() if machine._raw.waiting else seen(machine.step())
        self.printed += bytes(byte & 0o177 for byte in machine.console.take())
        if machine.instructions > count:
            self.events = set()
        taken = {vector for vector, times in self._taken().items() if times != traps.get(vector, 0)}
        for term in (each for one in self.conditions for each in terms_of(one)):
            if self._came(term, accesses, taken, length):
                self.events.add(term)
        return reason

    def _doze(self) -> tuple[str, Sequence[StepAccess]]:
        """A WAIT to what is due next.  A step would run the first instruction of the service too: a copy tells of the
        accesses in front of it.
        """
        _, accesses = seen(minisim.thaw(self.machine.freeze()).step())
        self.machine.session(1 << 20).advance(until_ns=self.machine._raw.next_due)
        return "LIMIT", list(takewhile(lambda one: one.kind != "fetch", accesses))

    def _taken(self) -> dict[int, int]:
        counters = self.machine.counters()
        return {
            vector: counters.traps.get(vector, 0) + counters.interrupts.get(vector, 0)
            for vector in (*counters.traps, *counters.interrupts)
        }

    def _came(self, term: Condition, accesses: Sequence[StepAccess], taken: set[int], length: int) -> bool:
        if isinstance(term, TrapTaken):
            return term.vector in taken
        if isinstance(term, Access):
            return any(touches(term, one.kind, one.address, one.byte) for one in accesses)
        if isinstance(term, Text):
            text = term.text.encode()
            return any(self.printed[:end].endswith(text) for end in range(length + 1, len(self.printed) + 1))
        return False

    def _holds(self, condition: Condition) -> bool:
        if isinstance(condition, Text | Access | TrapTaken):
            return condition in self.events
        ran = self.machine.instructions > self.first
        return ran and all(self._state(term) for term in terms_of(condition))

    def _state(self, term: Condition) -> bool:
        machine = self.machine
        if isinstance(term, Address):
            return machine.cpu.pc == term.address and not machine._raw.waiting
        if isinstance(term, RegisterHolds):
            return machine.cpu.r[term.number] == term.value
        return term in self.events


def seen(step: Step) -> tuple[str, Sequence[StepAccess]]:
    """Of a step what counts here."""
    return str(step.reason), step.accesses


def used(machine: minisim.Machine) -> int:
    """What counts towards a limit."""
    return int(machine.instructions + machine._raw.naps)


def terms_of(condition: Condition) -> tuple[Condition, ...]:
    """What must hold at once."""
    return condition.conditions if isinstance(condition, All) else (condition,)


def touches(term: Access, kind: str, address: int, is_byte: bool) -> bool:
    """Does an access of a step fit?"""
    last = term.first if term.last is None else term.last
    return bool(getattr(term, kind)) and address + (not is_byte) >= term.first and address <= last


# --- conditions that may come -----------------------------------------------------------------------------------------

PLACES = (*range(AT, AT + 0o140, 2), 0o177564)
terms = st.one_of(
    st.builds(Address, st.sampled_from(PLACES)),
    st.builds(RegisterHolds, st.integers(0, 5), st.integers(0, 16)),
    st.builds(RegisterHolds, st.just(6), st.sampled_from((0o700, 0o674, 0o670))),
    st.builds(RegisterHolds, st.just(7), st.sampled_from(PLACES)),
    st.builds(TrapTaken, st.sampled_from((0o10, 0o30, 0o34, 0o64, 0o100))),
    st.builds(
        Access, st.sampled_from((0o676, 0o64, 0o177566, 0o177564, 0o1040, *PLACES)),
        read=st.booleans(), write=st.booleans(), fetch=st.booleans(),
    ),
    st.builds(Text, st.sampled_from(("A", "AB", "ABAB", "BABA", "BB", "ABABABABABAB"))),
)  # fmt: skip
together = st.builds(lambda some: All(tuple(some)), st.lists(terms, min_size=1, max_size=4))
conditions = st.lists(st.one_of(terms, together, together, together), min_size=1, max_size=8).map(tuple)
AFTER = (0, 3, 60, 700)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(AFTER), conditions, st.integers(0, 400), st.sampled_from(("fast", "reference")))
def test_a_run_ends_where_stepping_sees_a_condition_first(
    after: int, until: tuple[Condition, ...], limit: int, core: str
) -> None:
    stepped, ran = minisim.thaw(at_work(after)), minisim.thaw(at_work(after))
    ran.core = core
    reason, came, instructions = Oracle(stepped, until).run(limit)
    stop = ran.run(limit, until=until)
    assert (str(stop.reason), stop.came, stop.instructions) == (reason, came, instructions)
    assert ran.state_hash() == stepped.state_hash()


@settings(max_examples=30, deadline=None)
@given(after=st.sampled_from(AFTER), until=conditions, seed=st.integers(0, 1 << 30))
def test_a_run_with_conditions_cut_into_slices_and_paced_is_the_same_run(
    after: int, until: tuple[Condition, ...], seed: int
) -> None:
    whole, cut, chance = minisim.thaw(at_work(after)), minisim.thaw(at_work(after)), Random(seed)
    expected = whole.run(4000, until=until)
    session = cut.session(4000, until=until)
    while slice_of(session, cut, chance):
        pass
    assert session.stop() == expected
    assert cut.state_hash() == whole.state_hash()
    assert until_bytes(cut) == until_bytes(whole)


def until_bytes(machine: minisim.Machine) -> bytes:
    """The conditions in the core, with how far they have come."""
    return bytes(ffi.buffer(ffi.addressof(machine._raw, "until")))


def slice_of(session: Session, machine: minisim.Machine, chance: Random) -> bool:
    """By count or by time, short or long."""
    if chance.random() < 0.5:
        return session.advance(chance.choice((1, 3, 500, 9000)))
    return session.advance(until_ns=machine.time_ns + chance.choice((1, 5000, 900_000, 40_000_000)))


@settings(max_examples=20, deadline=None)
@given(after=st.sampled_from(AFTER), until=conditions, pieces=st.lists(st.integers(1, 900), max_size=5))
def test_how_far_conditions_have_come_is_frozen_with_the_machine(
    after: int, until: tuple[Condition, ...], pieces: Sequence[int]
) -> None:
    machine = minisim.thaw(at_work(after))
    session = machine.session(10_000, until=until)
    for piece in pieces:
        if not session.advance(piece):
            break
        other = minisim.thaw(machine.freeze())
        assert until_bytes(other) == until_bytes(machine)


def test_a_text_that_comes_at_the_very_time_of_a_pause_is_not_missed() -> None:
    whole, paced = minisim.thaw(at_work(700)), minisim.thaw(at_work(700))
    expected = whole.run(10_000, until=Text("ABA"))
    session = paced.session(10_000, until=Text("ABA"))
    assert not session.advance(until_ns=whole.time_ns)
    assert session.stop() == expected


def test_an_address_reached_from_a_wait_is_seen_in_a_slice_that_began_in_it() -> None:
    whole, paced = minisim.thaw(at_work(60)), minisim.thaw(at_work(60))
    service = [Address(symbol("printed")), Text("never")]
    expected = whole.run(10_000, until=service)
    session = paced.session(10_000, until=service)
    while session.advance(until_ns=paced.time_ns + 1000):
        pass
    assert session.stop() == expected
    assert expected.came == tuple(service[:1])


def symbol(name: str) -> int:
    """Where it lies in the program."""
    return minisim.assemble(PROGRAM).symbols[name]


# --- one by one -------------------------------------------------------------------------------------------------------


def bare(*words: int) -> minisim.Machine:
    """A program at 1000."""
    machine = minisim.bare()
    machine.memory.put(AT, *words)
    machine.cpu.pc, machine.cpu.sp = AT, 0o700
    return machine


INC_R0, DEC_R1, BACK_TWO = 0o005200, 0o005301, 0o000775


def test_a_register_that_holds_the_word_already_counts_only_after_an_instruction() -> None:
    machine = bare(INC_R0, INC_R0, DEC_R1, BACK_TWO - 1)
    machine.cpu.r[2] = 5
    stop = machine.run(until=RegisterHolds(2, 5))
    assert (str(stop.reason), stop.instructions) == ("REACHED", 1)
    assert "R2 was 000005 after 1 instruction; next would be 001002" in str(stop)


def test_a_trap_ends_the_run_at_its_service_and_is_told() -> None:
    machine = bare(INC_R0, 0o007000)  # a word that nobody owns
    machine.memory.put(0o10, 0o2000, 0)
    machine.memory.put(0o2000, INC_R0)
    stop = machine.run(until=[Address(0o3000), TrapTaken(0o10)])
    assert (str(stop.reason), stop.pc, stop.instructions, machine.cpu.r[0]) == ("REACHED", 0o2000, 2, 1)
    assert stop.came == (TrapTaken(0o10),)
    assert str(stop) == "a trap or interrupt through 000010 came after 2 instructions; next would be 002000"


def test_all_waits_until_both_hold_after_one_instruction() -> None:
    machine = bare(INC_R0, DEC_R1, BACK_TWO)
    until = All((Address(AT + 2), RegisterHolds(0, 3)))
    stop = machine.run(until=[until, RegisterHolds(0, 0o100)])
    assert (stop.pc, machine.cpu.r[0], stop.came) == (AT + 2, 3, (until,))
    assert "address 001002 was reached and R0 was 000003 after 7 instructions" in str(stop)


def test_several_that_come_true_at_once_are_all_named() -> None:
    stop = bare(INC_R0, DEC_R1, BACK_TWO).run(until=[RegisterHolds(1, 0), RegisterHolds(0, 1), Address(0o2)])
    assert stop.came == (RegisterHolds(1, 0), RegisterHolds(0, 1))


def test_a_condition_is_forgotten_when_its_run_is_over() -> None:
    machine = bare(INC_R0, DEC_R1, BACK_TWO)
    machine.run(until=RegisterHolds(0, 2))
    assert str(machine.run(100).reason) == "LIMIT"


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (RegisterHolds(8, 0), "registers have the numbers 0 to 7, not 8"),
        (RegisterHolds(0, 0o200000), "0 to 177777"),
        (TrapTaken(0o1000), "vectors are multiples of 4 from 0 to 774, not 1000"),
        (TrapTaken(6), "vectors are multiples of 4"),
        (All(()), "All takes 1 to 4 conditions, not 0"),
        (All((Address(0),) * 5), "All takes 1 to 4 conditions, not 5"),
        (All((All((Address(0),)),)), "All takes Text, Address"),  # type: ignore[arg-type]
        ([Address(0)] * 9, "until takes 8 conditions at most, not 9"),
        ("pc 001000", "until takes Text, Address, Access, RegisterHolds, TrapTaken"),
    ],
)
def test_a_condition_that_can_not_be_is_refused_with_what_is_allowed(wrong: object, said: str) -> None:
    machine = bare(INC_R0, DEC_R1, BACK_TWO)
    with pytest.raises(ValueError, match=said):
        machine.run(until=wrong)  # type: ignore[arg-type]
    assert str(machine.run(100).reason) == "LIMIT"  # nothing of it is left
