"""Our own test programs, one after the other, each on a machine of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from minisim.machine.machine import Machine
from minisim.machine.records import Address
from minisim.trials import programs
from minisim.trials.own import (
    DEFAULT_LIMIT,
    HALT_ON_FAILURE,
    MAY_WRITE,
    Ran,
    Verdict,
    Where,
    carry_on,
    make_ready,
    restarts,
)
from minisim.trials.places import where_of
from minisim.trials.programs import TestProgram
from minisim.trials.running import fitted
from minisim.trials.running.account import account_of, end_of, source_lines, used
from minisim.trials.running.bench import Bench, set_switches
from minisim.trials.running.model import Account, CodeLine, Outcome

PASSES = 2  # the first is often the quick one
TOLD, TRAPPED = "tell", "caught"
"""Labels of the frame: where it tells of a failure, of a trap nobody waited for."""
TRAP = "unexpected trap"
PUSHED_PC = 2  # above the register that the stub of a vector pushes
Tell = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Wishes:
    """How the programs are run.  `person_ready`: what a person has to do is done; `limit` counts instructions."""

    passes: int = PASSES
    switches: int = HALT_ON_FAILURE
    limit: int = DEFAULT_LIMIT
    person_ready: bool = False


def run_suite(bench: Bench, names: Iterable[str], wishes: Wishes, tell: Tell | None = None) -> Iterator[Outcome]:
    """Every program, in the order given."""
    for name in names:
        yield run_one(bench, programs.program(name), wishes, tell)


def run_one(bench: Bench, test: TestProgram, wishes: Wishes, tell: Tell | None = None) -> Outcome:
    """One program, or why it is not run."""
    with bench.machine() as machine:
        reason = fitted.lacking(machine, test)
        if reason:
            return Outcome(test.name, test.about, Verdict.NOT_RUN, reason)
        if test.person and not wishes.person_ready:
            return Outcome(test.name, test.about, Verdict.NEEDS_PERSON, test.person)
        _make_ready(machine, test, wishes)
        ran = carry_on(machine, test, passes=wishes.passes, limit=wishes.limit, tell=tell)
        told = None if ran.verdict is Verdict.PASS else _account(bench, machine, test, ran, wishes)
        return _outcome(test, ran, wishes, told)


def _make_ready(machine: Machine, test: TestProgram, wishes: Wishes) -> None:
    """Media, plugs, the program with its switches."""
    where: Where | None = None
    if test.device:
        fitted.put_in_scratch(machine, test.device)
        set_switches(machine, 0)  # power-up puts them as the loadout has them
        if test.person:
            fitted.put_on_plugs(machine, test.device)
        where = where_of(machine, test.device)
    switches = wishes.switches | (MAY_WRITE if test.scratch else 0)
    if restarts(machine):
        switches &= ~HALT_ON_FAILURE  # the HALT would start the processor again, anywhere
    make_ready(machine, test, passes=wishes.passes, switches=switches, where=where)


def _account(bench: Bench, machine: Machine, test: TestProgram, ran: Ran, wishes: Wishes) -> Account:
    """What led to the failure: up to where the frame began to tell of it, or up to the end."""
    assert ran.stop is not None

    def again(target: int) -> Machine:
        other = _again(bench, test, wishes)
        carry_on(other, test, passes=wishes.passes, limit=max(target - used(other), 0))
        return other

    code = source_lines(test.program)
    if not test.framed or not ran.failures:
        return account_of(machine, again, code, end_of(ran.stop))
    with _again(bench, test, wishes) as other:
        is_trap = TRAP in ran.failures[0]
        other.run(wishes.limit, Address(test.at(TRAPPED if is_trap else TOLD)))
        return account_of(other, again, code, _before(code, _returns_to(other, is_trap)))


def _again(bench: Bench, test: TestProgram, wishes: Wishes) -> Machine:
    machine = bench.machine()
    _make_ready(machine, test, wishes)
    return machine


def _returns_to(machine: Machine, is_trap: bool) -> int:
    """Where the program goes on after the comparison that failed, or would have gone on after the trap."""
    return machine.read(machine.cpu.sp + PUSHED_PC) if is_trap else machine.cpu.r[5]


def _before(code: Mapping[int, CodeLine], address: int) -> int:
    """The instruction that lies before an address."""
    return max((at for at, line in code.items() if at < address and not line.text.startswith(".")), default=address)


def _outcome(test: TestProgram, ran: Ran, wishes: Wishes, account: Account | None) -> Outcome:
    because = "" if ran.verdict is Verdict.PASS else why(ran, wishes)
    return Outcome(
        test.name, test.about, ran.verdict, because, ran.passes, ran.cases, ran.failures, ran.said, ran.stop, account
    )  # fmt: skip


def why(ran: Ran, wishes: Wishes) -> str:
    """Why it failed, in one sentence."""
    if ran.failures:
        return ran.failures[0].partition(": ")[2]
    assert ran.stop is not None
    made = f"{ran.passes} of {wishes.passes} passes were made"
    return f"it did not come to its end; {made}"
