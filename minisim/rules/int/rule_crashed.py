"""A rule of the checker itself came to grief.

What is checked
    Whether every rule ran to its end.  Each rule runs alone; when one crashes, the others still run.

Why it matters
    A rule that did not finish has said nothing, and "nothing found" must never mean "nobody looked".  What that rule
    guards against may be present, damage included.

Example
    machine.yaml:1:1: fault INT-001 rule-crashed [main]: the rule GRANT-001 bus-grant-gap crashed (KeyError: 7); every
    rule must run to its end (common-practice).

Putting it right
    Send the loadout and the line of the finding to the people who keep the checker.  Until then check by hand what the
    named rule checks: `minisim check --explain` prints it.

Known limits
    Rules that need the crashed one are not run either; the list of all outcomes (--all) names them.

Sources
    common-practice: a check that did not run must not look like one that passed.
"""

from __future__ import annotations

from minisim.findings import Finding, Mark, Severity
from minisim.rules._framework import Rule, machinery, probe
from minisim.wiring.model import Wired

INT_001 = machinery(id="INT-001", slug="rule-crashed", severity=Severity.FAULT, module=__name__, doc=__doc__)


def crash_finding(rule: Rule, error: Exception, wired: Wired) -> Finding:
    """The finding that stands for everything the crashed rule could not say."""
    boxes = wired.loadout.boxes
    return Finding(
        rule=INT_001.id,
        slug=INT_001.slug,
        severity=INT_001.severity,
        place=boxes[0].id if boxes else "",
        board="",
        mark=boxes[0].mark if boxes else Mark(wired.loadout.file, 1, 1),
        found=f"the rule {rule.id} {rule.slug} crashed ({type(error).__name__}: {error})",
        limit="every rule must run to its end",
        cause="what this rule guards against may be present and unseen",
        fix=f"send this loadout to the keepers of the checker, and until then check by hand what {rule.id} checks",
        next_measurement=probe(
            f"run minisim check --explain {rule.id}",
            "the list of what it checks",
            "the rule is not installed whole",
        ),
        sources=INT_001.sources,
    )
