"""The records of symptom files, and what comes out of one question."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from minisim.findings import Finding, Mark

Value = int | str


@dataclass(frozen=True, slots=True)
class Slot:
    """A number or name in a phrase: `{vector-stop}` or `{found=word}`."""

    name: str
    kind: str


@dataclass(frozen=True, slots=True)
class Phrase:
    """One way to say a symptom: all words must be there, none of the barred ones; a slot stands behind a word."""

    text: str
    words: tuple[str, ...]  # as words.py makes them alike
    barred: tuple[str, ...]
    slots: tuple[tuple[str, Slot], ...]  # the word before it ("" at the start), the slot
    mark: Mark


@dataclass(frozen=True, slots=True)
class Condition:
    """A fact by its name, with its argument where it takes one."""

    fact: str
    argument: str
    mark: Mark

    @property
    def text(self) -> str:
        """As written: `bus: mux`."""
        return f"{self.fact}: {self.argument}" if self.argument else self.fact


@dataclass(frozen=True, slots=True)
class Tell:
    """A sentence on what the words themselves say."""

    say: str
    when: tuple[Condition, ...]
    unless: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Question:
    """Something to look at from outside, before anything else; `yes` and `no` say what each answer means."""

    look: str
    yes: str
    no: str
    when: tuple[Condition, ...]
    unless: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Cause:
    """One possible cause with the probe that halves the problem.

    `rules`: their findings bring it up; with `about` only findings at one of these boards count.  `hand`: the probe
    sends a hand into the machine; `mind` is what to mind at exactly this step.  `look_at` names a list of places.
    """

    id: str
    cause: str
    weight: int
    when: tuple[Condition, ...]
    unless: tuple[Condition, ...]
    rules: tuple[str, ...]
    about: str
    look_at: str
    measure: str
    expect: str
    if_not: str
    hand: bool
    mind: str
    sources: tuple[str, ...]
    unconfirmed: bool
    mark: Mark


@dataclass(frozen=True, slots=True)
class Use:
    """A shared cause with the weight it has for this symptom, and what else differs."""

    id: str
    weight: int
    when: tuple[Condition, ...]
    unless: tuple[Condition, ...]
    mark: Mark


@dataclass(frozen=True, slots=True)
class Head:
    """What is needed to recognise a symptom."""

    id: str  # the name of its file
    title: str
    examples: tuple[str, ...]
    phrases: tuple[Phrase, ...]


@dataclass(frozen=True, slots=True)
class Symptom:
    """One symptom as its file tells it, shared causes put in."""

    head: Head
    tells: tuple[Tell, ...]
    ask: tuple[Question, ...]
    causes: tuple[Cause, ...]
    otherwise: str  # what to measure where no cause is left


@dataclass(frozen=True, slots=True)
class Recognised:
    """A symptom in the owner's words: which one, and the numbers they gave."""

    head: Head
    score: int
    values: Mapping[str, Value] = field(default_factory=dict)
    problem: str = ""  # a number that can't be used
    column: int = 1  # of that number in the words


@dataclass(frozen=True, slots=True)
class Answer:
    """What a fact says about one machine.  None: the loadout does not tell.  `said` is a clause for people."""

    holds: bool | None
    said: str


@dataclass(frozen=True, slots=True)
class Ranked:
    """One cause for this machine, everything filled in."""

    id: str
    cause: str
    score: int
    findings: tuple[Finding, ...]
    on_paper: bool  # every rule it names passed here: look whether the machine is as the loadout says
    not_known: tuple[str, ...]
    places: tuple[str, ...]
    measure: str
    expect: str
    if_not: str
    hand: bool
    mind: str
    sources: tuple[str, ...]
    unconfirmed: bool


@dataclass(frozen=True, slots=True)
class RuledOut:
    """A cause that this machine can't have, and why."""

    id: str
    cause: str
    because: str
