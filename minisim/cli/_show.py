"""`minisim check LOADOUT --show RULE`: boot the emulated machine with a fault and tell what follows from it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.catalogue.reader import Catalogue
    from minisim.findings import Finding, Report
    from minisim.rules import Rule
    from minisim.wiring.model import Wired

SHOW = """boot the emulated machine with a fault or doubt of this rule, by id or name, and show what follows; exit code
0 shown, 1 not found here, 2 can't be shown"""
AT = "with --show: which finding of the rule, by its place"
_FORMS = ("text", "json")


def refusal(arguments: argparse.Namespace) -> str:
    """What does not go together with --show, in one sentence; "" where all does."""
    if arguments.show is None:
        return "--at PLACE stands beside --show RULE" if arguments.at is not None else ""
    if arguments.explain is not None:
        return "--show and --explain are two commands"
    if arguments.fix or arguments.write or arguments.watch or arguments.stage is not None:
        return "--show works on the whole plan, once: not with --fix, --watch or --stage"
    if len(arguments.files) != 1:
        return "--show works on one loadout"
    return "" if arguments.format in _FORMS else f"--show prints text or json, not {arguments.format}"


def show(arguments: argparse.Namespace) -> int:
    """Show one finding; 0 shown, 1 it is not in this loadout, 2 (or InputError) it can't be shown."""
    from minisim.catalogue import Catalogue
    from minisim.checking import check_wired
    from minisim.loadout.reader import read_loadout
    from minisim.rules import find_rule
    from minisim.wiring.resolve import resolve

    rule = find_rule(arguments.show)
    if rule is None:
        return _unknown(arguments.show)
    loadout = read_loadout(arguments.files[0], catalogue=Catalogue(), media_root=arguments.media_root)
    catalogue = Catalogue().beside(loadout.path)
    wired = resolve(loadout, catalogue)
    report = check_wired(wired)
    findings = [one for one in report.findings if one.rule == rule.id]
    chosen = [one for one in findings if arguments.at in (None, one.place)]
    if not chosen:
        return _not_here(rule, findings, report, arguments.at)
    others = [one for one in findings if one is not chosen[0]]
    return _show_one(chosen[0], others, wired, report, catalogue, as_data=arguments.format == "json")


def _unknown(word: str) -> int:
    from minisim.consequence import served
    from minisim.problems import nearest
    from minisim.rules import all_rules

    words = [name for one in all_rules() for name in (one.id, one.slug)]
    print(f'minisim check: there is no rule "{word}"{nearest(word, words)}', file=sys.stderr)
    print(f"minisim check: shown are {', '.join(served())}", file=sys.stderr)
    return 2


def _not_here(rule: Rule, findings: Sequence[Finding], report: Report, at: str | None) -> int:
    where = f" at {at}" if at is not None else ""
    there = f"; there is one at {', '.join(dict.fromkeys(one.place for one in findings))}" if findings else ""
    print(f"minisim check: {report.file}: no {rule.id} {rule.slug}{where} is found{there}", file=sys.stderr)
    return 1


def _show_one(
    finding: Finding,
    others: Sequence[Finding],
    wired: Wired,
    report: Report,
    catalogue: Catalogue,
    *,
    as_data: bool,
) -> int:
    import json

    from minisim.cli._help import width
    from minisim.consequence import NotShownError, show
    from minisim.consequence.forms import data, text

    try:
        told = show(finding, wired, report, catalogue)
    except NotShownError as reason:
        if as_data:
            print(json.dumps(data(report, finding, (), others, str(reason)), indent=2, ensure_ascii=False))
        print(f"minisim check: {finding.rule} at {finding.place} can't be shown: {reason}", file=sys.stderr)
        return 2
    if as_data:
        print(json.dumps(data(report, finding, told, others), indent=2, ensure_ascii=False))
    else:
        print(text(finding, told, others, width()), end="")
    return 0
