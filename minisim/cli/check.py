"""`minisim check`: will these machines work?  Every rule over every loadout, findings worst first."""

from __future__ import annotations

import argparse
import os
import sys
from typing import TYPE_CHECKING

from minisim.cli._help import MEDIA_ROOT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from minisim.findings import Report
    from minisim.problems import Problem

HELP = "check loadouts: grants, power, loads, addresses, memory, boot path"
FORMS = ("text", "json", "sarif", "junit", "github", "html")
EXIT = """Exit code: 0 nothing from the severity of --fail-on on, 1 findings, 2 a file can't be used (the others are
checked all the same)."""
EXPLAIN = """print what a rule, by id or name, checks and how to put it right; cautions prints what to mind at the
machine"""
SEVERITIES = ("damage", "fault", "doubt", "note")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = EXIT
    parser.add_argument("files", nargs="*", metavar="FILE", help="a loadout; several are checked one after the other")
    parser.add_argument("--all", action="store_true", help="every finding whole, and how every rule ended")
    parser.add_argument("--format", choices=FORMS, default="text", help="form of the output")
    parser.add_argument("--json", action="store_const", const="json", dest="format", help="the same as --format json")
    parser.add_argument(
        "--fail-on", choices=SEVERITIES, default="fault", metavar="SEVERITY",
        help="leave with 1 from this severity on: damage, fault (the usual), doubt, note",
    )  # fmt: skip
    parser.add_argument("--media-root", metavar="FOLDER", help=MEDIA_ROOT)
    parser.add_argument("--explain", metavar="RULE", help=EXPLAIN)


def run(arguments: argparse.Namespace) -> int:
    """Check all files, print one report; 0 nothing that counts, 1 findings, 2 a file can't be used."""
    if arguments.explain is not None:
        if arguments.files:
            print("minisim check: --explain stands alone, without loadouts", file=sys.stderr)
            return 2
        return _explain(arguments.explain)
    if not arguments.files:
        print("minisim check: name at least one loadout, or --explain RULE", file=sys.stderr)
        return 2
    reports, problems = _checked(arguments.files, arguments.media_root)
    _show(reports, problems, arguments)
    for problem in problems:
        print(problem, file=sys.stderr)
    return 2 if problems else _code(reports, arguments.fail_on)


def _checked(files: Sequence[str], media_root: str | None) -> tuple[list[Report], list[Problem]]:
    """A report for every file that can be used, and everything wrong with the others."""
    from minisim.catalogue import Catalogue
    from minisim.checking import check
    from minisim.loadout.reader import read_loadout
    from minisim.problems import InputError

    catalogue = Catalogue()
    reports: list[Report] = []
    problems: list[Problem] = []
    for file in files:
        try:
            reports.append(check(read_loadout(file, catalogue=catalogue, media_root=media_root), catalogue))
        except InputError as error:
            problems.extend(error.problems)
    return reports, problems


def _show(reports: Sequence[Report], problems: Sequence[Problem], arguments: argparse.Namespace) -> None:
    from minisim.formatters import FORMATTERS, text

    if arguments.format == "text":
        print(text(reports, colour=_colour(), whole=arguments.all), end="")
    else:
        print(FORMATTERS[arguments.format](reports, problems), end="")


def _colour() -> bool:
    """Only on a terminal that has not been asked to do without."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def _code(reports: Sequence[Report], fail_on: str) -> int:
    from minisim.findings import Severity

    limit = Severity(fail_on).rank
    return int(any(report.worst is not None and report.worst.rank <= limit for report in reports))


def _explain(word: str) -> int:
    from minisim.cli._help import reflowed, width
    from minisim.problems import nearest
    from minisim.rules import all_rules, find_rule
    from minisim.rules._cautions import CAUTIONS

    if word == "cautions":
        print(reflowed(CAUTIONS, width()), end="")
        return 0
    rule = find_rule(word)
    if rule is None:
        words = [name for one in all_rules() for name in (one.id, one.slug)]
        print(f'minisim check: there is no rule "{word}"{nearest(word, words)}', file=sys.stderr)
        ids = ", ".join(sorted(one.id for one in all_rules()))
        print(reflowed(f"minisim check: rules are {ids}", width()), end="", file=sys.stderr)
        return 2
    print(f"{rule.id} {rule.slug}: {rule.severity}\n\n{reflowed(rule.doc, width())}", end="")
    return 0
