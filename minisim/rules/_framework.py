"""What a rule is: a generator function of Wired that yields one result a subject, and the record that describes it.

A rule file holds its documentation as the module's docstring, under the headings of `HEADINGS`, and one function under
`@rule(...)`.  Rules are found by walking the folder; there is no list to keep in step.
"""

from __future__ import annotations

import importlib
import inspect
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from minisim.findings import Mark, Severity, State
from minisim.wiring.model import Wired

HEADINGS = ("What is checked", "Why it matters", "Example", "Putting it right", "Known limits", "Sources")


@dataclass(frozen=True, slots=True)
class Subject:
    """What a result is about: the place as printed, the board's name ("" where there is none), and the owner's line."""

    place: str
    board: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Result:
    """How a rule ended for one subject, before the runner adds what it rests on.

    `leans_on` names further places whose prerequisite rules must have passed; `shares` is the place whose finding of
    the same rule covers this subject too; `severity` overrides the rule's own.
    """

    subject: Subject
    state: State
    needs: tuple[str, ...] = ()
    found: str = ""
    limit: str = ""
    unit: str = ""
    cause: str = ""
    fix: str = ""
    next_measurement: str = ""
    severity: Severity | None = None
    sources: tuple[str, ...] | None = None
    also: tuple[str, ...] = ()
    disputed: tuple[str, ...] = ()
    leans_on: tuple[str, ...] = ()
    shares: str = ""


Check = Callable[[Wired], Iterator[Result]]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule.  `check` is None for what the runner itself finds (a crash, an idle acceptance), or only a hand."""

    id: str
    slug: str
    severity: Severity
    needs: tuple[str, ...]
    sources: tuple[str, ...]
    explains: str
    check: Check | None
    doc: str
    module: str

    @property
    def title(self) -> str:
        """The first line of the documentation."""
        return self.doc.split("\n", 1)[0].rstrip(".")


def rule(
    *,
    id: str,
    slug: str,
    severity: Severity,
    needs: Iterable[str] = (),
    sources: Iterable[str],
    explains: str = "",
) -> Callable[[Check], Rule]:
    """Make a rule of a generator function.

    `needs` are rules that must hold for a subject before this one is asked; `explains` is the rule without whose
    finding at the same place this one stays silent.
    """

    def decorate(check: Check) -> Rule:
        doc = (sys.modules[check.__module__].__doc__ or "").strip()
        return Rule(id, slug, severity, tuple(needs), tuple(sources), explains, check, doc, check.__module__)

    return decorate


def machinery(
    *, id: str, slug: str, severity: Severity, module: str, doc: str, sources: Iterable[str] = ("common-practice",)
) -> Rule:
    """A rule that the runner, or only a hand, applies; it has documentation and an id, but no function of Wired."""
    return Rule(id, slug, severity, (), tuple(sources), "", None, inspect.cleandoc(doc), module)


def passed(subject: Subject, *, leans_on: tuple[str, ...] = ()) -> Result:
    """The rule holds for this subject."""
    return Result(subject, State.PASSED, leans_on=leans_on)


def does_not_apply(subject: Subject) -> Result:
    """The rule has nothing to say about this subject."""
    return Result(subject, State.NOT_APPLICABLE)


def not_checked(subject: Subject, *needs: str, leans_on: tuple[str, ...] = ()) -> Result:
    """The rule can't decide; `needs` name what is missing, each as a noun ("address of ...")."""
    return Result(subject, State.NOT_CHECKED, needs=needs, leans_on=leans_on)


def same_as(subject: Subject, first: Subject) -> Result:
    """This subject fails by the same cause as `first`, whose finding names it."""
    return Result(subject, State.FAILED, shares=first.place)


def failed(
    subject: Subject,
    *,
    found: str,
    limit: str,
    fix: str,
    next_measurement: str,
    cause: str,
    unit: str = "",
    severity: Severity | None = None,
    sources: tuple[str, ...] | None = None,
    also: tuple[str, ...] = (),
    disputed: tuple[str, ...] = (),
    leans_on: tuple[str, ...] = (),
) -> Result:
    """The rule does not hold: `found` and `limit` are half-sentences, `fix` one act, `cause` what follows from it."""
    return Result(
        subject, State.FAILED, (), found, limit, unit, cause, fix, next_measurement,
        severity, sources, also, disputed, leans_on,
    )  # fmt: skip


def probe(measure: str, expect: str, otherwise: str) -> str:
    """The next measurement in its fixed form."""
    return f"{measure}, expect {expect}; if not, {otherwise}"


def rule_files() -> list[Path]:
    """Every rule file, by area and name."""
    return sorted(Path(__file__).parent.glob("[a-z]*/[a-z]*.py"))


def _rules_of(path: Path) -> list[Rule]:
    module = importlib.import_module(f"minisim.rules.{path.parent.name}.{path.stem}")
    return [value for value in vars(module).values() if isinstance(value, Rule) and value.module == module.__name__]


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule, prerequisites before those that need them, else by id."""
    return in_order([one for path in rule_files() for one in _rules_of(path)])


def in_order(rules: Iterable[Rule]) -> tuple[Rule, ...]:
    """Sort so that every rule stands behind those it needs or explains; duplicate ids and circles are refused."""
    waiting = sorted(rules, key=lambda one: one.id)
    known = {one.id for one in waiting}
    if len(known) != len(waiting):
        raise ValueError("two rules have the same id")
    done: list[Rule] = []
    while waiting:
        placed = {one.id for one in done}
        after = {one.id: ({*one.needs, one.explains} - {""}) & known for one in waiting}
        ready = [one for one in waiting if after[one.id] <= placed]
        if not ready:
            raise ValueError(f"rules need each other in a circle: {', '.join(after)}")
        done.append(ready[0])
        waiting.remove(ready[0])
    return tuple(done)


def find_rule(word: str) -> Rule | None:
    """The rule with this id (any case) or slug."""
    return next((one for one in all_rules() if word.upper() == one.id or word == one.slug), None)
