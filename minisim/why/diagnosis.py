"""One question from beginning to end: a loadout and the owner's words to ranked causes."""

from __future__ import annotations

from dataclasses import dataclass

from minisim.catalogue import Catalogue
from minisim.checking import check_wired
from minisim.findings import Finding, Report, Severity
from minisim.loadout.model import Loadout
from minisim.problems import InputError, Problem, printable
from minisim.why.case import Case
from minisim.why.model import Head, Question, Ranked, Recognised, RuledOut
from minisim.why.ranking import applies, rank
from minisim.why.reader import FOLDER, heads, mark_of_words, read_symptom
from minisim.why.sayings import filled
from minisim.why.words import nearest_heads, recognise
from minisim.wiring.model import Wired
from minisim.wiring.resolve import resolve


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """The answer: what the words say here, what to look at first, causes in order, and what can't be the cause."""

    report: Report
    words: str
    symptom: Recognised
    also_fits: tuple[Head, ...]
    tells: tuple[str, ...]
    ask: tuple[Question, ...]  # filled in
    causes: tuple[Ranked, ...]
    ruled_out: tuple[RuledOut, ...]
    otherwise: str

    @property
    def damage(self) -> tuple[Finding, ...]:
        """Findings of damage: they come before any symptom."""
        return tuple(one for one in self.report.findings if one.severity is Severity.DAMAGE)


class UnknownSymptomError(InputError):
    """Nobody knows these words; `near` are symptoms that share some of them."""

    def __init__(self, words: str, near: tuple[Head, ...]) -> None:
        self.near = near
        message = f'"{printable(words)}": no symptom is known by these words'
        super().__init__([Problem(mark_of_words(1), message)])


def recognised(words: str) -> tuple[Recognised, ...]:
    """The symptoms that the words fit best.  UnknownSymptomError, or InputError for a number that can't be used."""
    found = recognise(words, heads())
    if not found:
        raise UnknownSymptomError(words, nearest_heads(words, heads()))
    usable = tuple(one for one in found if not one.problem)
    if not usable:
        raise InputError([Problem(mark_of_words(found[0].column), found[0].problem)])
    return usable


def diagnose(loadout: Loadout, words: str, catalogue: Catalogue | None = None) -> Diagnosis:
    """What the symptom means in this machine.  InputError where words or loadout can't be used."""
    found = recognised(words)
    return diagnose_symptom(loadout, words, found, catalogue or Catalogue())


def diagnose_symptom(loadout: Loadout, words: str, found: tuple[Recognised, ...], catalogue: Catalogue) -> Diagnosis:
    """The same for words already recognised."""
    catalogue = catalogue.beside(loadout.path)
    wired = resolve(loadout, catalogue)
    return explain(wired, check_wired(wired), words, found, catalogue)


def explain(wired: Wired, report: Report, words: str, found: tuple[Recognised, ...], catalogue: Catalogue) -> Diagnosis:
    """The same for a machine that is wired and checked already."""
    first = found[0]
    symptom = read_symptom(FOLDER / f"{first.head.id}.yaml")
    case = Case(wired, report, catalogue, first.values)
    causes, out = rank(symptom.causes, case)
    return Diagnosis(
        report,
        words,
        first,
        tuple(one.head for one in found[1:]),
        tuple(filled(one.say, case) for one in symptom.tells if applies(one.when, one.unless, case)),
        tuple(_asked(one, case) for one in symptom.ask if applies(one.when, one.unless, case)),
        causes,
        out,
        filled(symptom.otherwise, case),
    )


def _asked(one: Question, case: Case) -> Question:
    return Question(filled(one.look, case), filled(one.yes, case), filled(one.no, case), (), ())
