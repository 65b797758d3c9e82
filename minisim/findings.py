"""Findings and outcomes: what a rule says, as values.  Text, JSON and the rest are formatters over these records."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from minisim.known import Evidence


class Severity(StrEnum):
    """Worst first (design: damage, fault, doubt, note)."""

    DAMAGE = "damage"
    FAULT = "fault"
    DOUBT = "doubt"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for damage, 3 for note."""
        return list(Severity).index(self)


class State(StrEnum):
    """How a rule ended for one subject."""

    PASSED = "passed"
    FAILED = "failed"
    NOT_CHECKED = "not checked"
    NOT_APPLICABLE = "does not apply"


@dataclass(frozen=True, slots=True, order=True)
class Mark:
    """A place in a file the owner wrote; line and column count from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule's complaint about one subject.

    `place` is box/unit/slot (or a box, or a rail: "main +5"); `found` and `limit` are sentences or values with unit;
    `also` names the other parties of a conflict ("main/a/3CF at line 12"); `accepted` is the owner's reason, if any.
    """

    rule: str
    slug: str
    severity: Severity
    place: str
    board: str
    mark: Mark
    found: str
    limit: str
    cause: str
    fix: str
    next_measurement: str
    unit: str = ""
    sources: tuple[str, ...] = ()
    evidence: Evidence = Evidence.SEEN
    rests_on: tuple[str, ...] = ()
    disputed: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    accepted: str = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """How one rule ended for one subject; `needs` says what is missing when it could not be checked.

    `missing` holds the same needs one by one; it is empty where the rule only waits for another finding to be put
    right.  `evidence` is the weakest evidence the outcome rests on, `rests_on` names the figures that are weak.
    """

    rule: str
    slug: str
    place: str
    state: State
    needs: str = ""
    finding: Finding | None = None
    missing: tuple[str, ...] = ()
    evidence: Evidence = Evidence.SEEN
    rests_on: tuple[str, ...] = ()
    disputed: tuple[str, ...] = ()  # numbers of the points on which documents differ and on which it rests


@dataclass(frozen=True, slots=True)
class Report:
    """Everything `check` found out about one loadout, findings worst first, then by place in the file."""

    name: str
    file: str
    findings: tuple[Finding, ...]
    outcomes: tuple[Outcome, ...]
    state: str = "planned"  # planned | as-found, as the loadout says
    modifications: tuple[str, ...] = ()  # what was changed on the machine, as the owner wrote it
    head: tuple[str, ...] = ()  # lines that stand above the findings: the stage of a bring-up, its boards and power

    @property
    def standing(self) -> str:
        """What every verdict must say of the machine beside the findings; "" for a plan without modifications.

        Such as `as found, with 2 modifications: grant wire cut at slot 5; handle missing`.
        """
        state = "as found" if self.state == "as-found" else ""
        count = len(self.modifications)
        if not count:
            return state
        changed = f"with {count} modification{'' if count == 1 else 's'}: {'; '.join(self.modifications)}"
        return f"{state or self.state}, {changed}"

    @property
    def worst(self) -> Severity | None:
        """The worst severity that the owner has not accepted, or None."""
        open_ones = [f.severity for f in self.findings if not f.accepted or f.severity is Severity.DAMAGE]
        return min(open_ones, key=lambda severity: severity.rank, default=None)

    @property
    def disputed(self) -> tuple[str, ...]:
        """Numbers of every disputed point that a finding or another outcome rests on, in order of first mention."""
        found = [number for finding in self.findings for number in finding.disputed]
        others = [number for outcome in self.outcomes for number in outcome.disputed]
        return tuple(dict.fromkeys([*found, *others]))

    @property
    def not_known(self) -> tuple[str, ...]:
        """What could not be checked, each need once, in order of first mention."""
        needs = (need for o in self.outcomes if o.state is State.NOT_CHECKED for need in o.missing)
        return tuple(dict.fromkeys(needs))

    def _repr_html_(self) -> str:
        """What a notebook shows: the findings as on the HTML page of `minisim check`, the worst first."""
        from minisim.formatters.html_form import html_fragment

        return html_fragment(self)
