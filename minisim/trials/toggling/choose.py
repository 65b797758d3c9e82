"""Which case goes on the card: the smallest that fails on a machine, else the smallest of the trial."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from minisim.catalogue.model import Profile
from minisim.compare.select import SelectionError, chosen_cases
from minisim.cpu.profile import configuration
from minisim.known import Known
from minisim.machine.assemble import put_together
from minisim.machine.errors import NotFittedError
from minisim.trials import programs
from minisim.trials.model import Case
from minisim.trials.own import HALT_FLAG, RESTART
from minisim.trials.programs import TestProgram
from minisim.trials.runner import Bench
from minisim.trials.toggling.card import IO_PAGE, Card, NotToggled, Step, card_of
from minisim.trials.toggling.rehearsal import Rehearsal, key_in, run_card
from minisim.words_text import words_in

MOST_WORDS = 400  # of a whole program on a card; more is nothing for fingers


@dataclass(frozen=True, slots=True)
class On:
    """The processor the card is for; `options` None: all it can have."""

    profile: Profile
    options: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Chosen:
    """A card, how many cases of the trial were looked at (0: it is a whole program), how many of them fail, and whether
    this one does.
    """

    card: Card
    looked_at: int
    failing: int
    fails: bool


def chosen_card(trial: str, on: On | None) -> Chosen:
    """The card of a case, a table, a file of cases or a program of ours.

    SelectionError: there is no such trial, or none of its cases can be keyed in.
    """
    test = programs.program(trial) if trial in programs.names() else None
    if test is not None and not test.framed:
        _may_halt(on)
        whole = program_card(test)
        fails = on is not None and does_otherwise(whole, on)
        return Chosen(whole, 0, int(fails), fails)
    cases = _of_program(test) if test is not None else chosen_cases([trial])
    return _smallest(trial, cases, on)


def _of_program(test: TestProgram) -> tuple[Case, ...]:
    """The cases that need what a program tests."""
    wanted = set(test.needs or ("base",))
    found = tuple(case for case in chosen_cases([]) if wanted & set(case.lines[0].needs)) if not test.device else ()
    if not found:
        raise SelectionError(f'program "{test.name}" has no case for a card; cases are about the processor')
    return found


def _smallest(trial: str, cases: Sequence[Case], on: On | None) -> Chosen:
    _may_halt(on)
    bench = None if on is None else Bench(on.profile, on.options)
    good: list[tuple[int, Card]] = []
    bad: list[tuple[int, Card]] = []
    why, looked_at = "", 0
    for case in cases:
        line = case.lines[0] if on is None else case.line_for(on.profile.id)
        status = None if bench is None else bench.result(case).status
        if line is None or (status is not None and not status.compared):
            why = why or "nothing of it is documented for this processor, or it lacks what the trial needs"
            continue
        looked_at += 1
        try:
            card = card_of(case, line)
        except NotToggled as reason:
            why = str(reason)
            continue
        differs = status is not None and status.differs
        if on is not None and does_otherwise(card, on) is not differs:
            why = "what it shows rests on more than the card sets"  # on memory that holds zeros, for instance
            continue
        (bad if differs else good).append((len(card.steps), card))
    if not good and not bad:
        raise SelectionError(f'no case of "{trial}" can be keyed in: {why}')
    card = min(bad or good, key=lambda one: one[0])[1]
    return Chosen(card, looked_at, len(bad), bool(bad))


def does_otherwise(card: Card, on: On) -> bool:
    """Keyed in and started on the emulated processor: does it end otherwise than the card says?"""
    bits = on.profile.address_bits
    chosen, lines = configuration(on.profile, on.options), bits.peek if isinstance(bits, Known) else 16
    with put_together(chosen, [(0, IO_PAGE)], address_bits=lines) as machine:
        try:
            rehearsal = Rehearsal(machine, card)
        except NotFittedError:
            return True
        key_in(machine, card)
        return bool(rehearsal.after(run_card(machine)))


def _may_halt(on: On | None) -> None:
    if on is not None and on.profile.model(HALT_FLAG) == RESTART:
        raise SelectionError(f"{on.profile.id} starts again at a HALT instead of halting: no lamps would show the end")


def program_card(test: TestProgram) -> Card:
    """A small program of ours that stands alone, whole.  SelectionError: it is too long for fingers."""
    words = words_in((block.address, block.data) for block in test.program.blocks)
    if len(words) > MOST_WORDS:
        raise SelectionError(f'program "{test.name}" has {len(words)} words, too many to key in ({MOST_WORDS} at most)')
    from minisim.trials.running.account import source_lines

    lines = source_lines(test.program)
    remarks = {at: f"{line.label}: {line.text}" if line.label else line.text for at, line in lines.items()}
    steps = tuple(Step(at, word, remarks.get(at, "")) for at, word in sorted(words.items()))
    start = test.program.start
    assert start is not None, test.name
    about = test.about or "a program of ours, whole"
    return Card(test.name, about, "our own", start, steps, (test.at("done") + 2) & 0o177777, ())
