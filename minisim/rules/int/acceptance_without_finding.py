"""An acceptance in the loadout matches no finding.

What is checked
    Whether each entry under `accept` names a rule, by id or by its name, that has a finding at exactly that place.

Why it matters
    An acceptance that matches nothing is either a slip of the pen, so that the finding it was meant for is still open,
    or it has outlived the fault; then it would hide the next one at the same place.

Example
    machine.yaml:20:5: note INT-002 acceptance-without-finding [main/a/3]: nothing here matches the acceptance of
    POWER-002; an acceptance must name a rule and the place of its finding (common-practice).

Putting it right
    Take the entry out, or write rule and place as the finding prints them.

Known limits
    Only whole places are compared: main/a/3 does not accept a finding at main/a/3CF.

Sources
    common-practice: waivers are tied to one finding and one place.
"""

from __future__ import annotations

from collections.abc import Iterable

from minisim.findings import Finding, Severity
from minisim.loadout.model import Acceptance
from minisim.problems import nearest
from minisim.rules._framework import all_rules, find_rule, machinery, probe

INT_002 = machinery(
    id="INT-002", slug="acceptance-without-finding", severity=Severity.NOTE, module=__name__, doc=__doc__
)


def idle_acceptance(acceptance: Acceptance, findings: Iterable[Finding]) -> Finding:
    """The note about an acceptance that accepted nothing, with the nearest thing it may have meant."""
    return Finding(
        rule=INT_002.id,
        slug=INT_002.slug,
        severity=INT_002.severity,
        place=acceptance.at,
        board="",
        mark=acceptance.mark,
        found=f"nothing here matches the acceptance of {acceptance.rule}{_hint(acceptance, findings)}",
        limit="an acceptance must name a rule and the place of its finding",
        cause="the finding it was meant for may still be open, or is gone",
        fix="take the entry out, or write rule and place as the finding prints them",
        next_measurement=probe(
            "run minisim check --all on this file",
            f"{acceptance.rule} at {acceptance.at} in the list of outcomes",
            "rule or place is written wrongly",
        ),
        sources=INT_002.sources,
    )


def _hint(acceptance: Acceptance, findings: Iterable[Finding]) -> str:
    if find_rule(acceptance.rule) is None:
        words = [word for rule in all_rules() for word in (rule.id, rule.slug)]
        return f" (there is no such rule{nearest(acceptance.rule, words)})"
    places = [one.place for one in findings if acceptance.rule in (one.rule, one.slug)]
    return f" (its findings are at {', '.join(places)})" if places else ""
