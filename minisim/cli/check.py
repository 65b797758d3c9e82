"""`minisim check`: will these machines work?  Every rule over every loadout, findings worst first."""

from __future__ import annotations

import argparse
import os
import sys
from typing import TYPE_CHECKING

from minisim.cli._fix import FIX, WRITE, fix
from minisim.cli._help import MEDIA_ROOT
from minisim.cli._show import AT, SHOW, show
from minisim.cli._show import refusal as refusal_of_show
from minisim.cli._stage import STAGE, is_stage, show_stages, stage_number
from minisim.formatters import FORMS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from minisim.findings import Report
    from minisim.problems import Problem

HELP = "check loadouts: grants, power, loads, addresses, memory, boot path"
EXIT = """Exit code: 0 nothing from the severity of --fail-on on, 1 findings, 2 a file can't be used (the others are
checked all the same), 130 interrupted."""
FILES = "a loadout, or a folder: every *.yaml in it and below that says loadout:"
WATCH = "check again at each save, also of media, ROM images and own catalogue entries; Ctrl-C ends"
EXPLAIN = """print what a rule, by id or name, checks and how to put it right; cautions prints what to mind at the
machine"""
SEVERITIES = ("damage", "fault", "doubt", "note")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = EXIT
    parser.add_argument("files", nargs="*", metavar="FILE", help=FILES)
    parser.add_argument("--all", action="store_true", help="every finding whole, and how every rule ended")
    parser.add_argument("--format", choices=FORMS, default="text", help="form of the output")
    parser.add_argument("--json", action="store_const", const="json", dest="format", help="the same as --format json")
    parser.add_argument(
        "--fail-on", choices=SEVERITIES, default="fault", metavar="SEVERITY",
        help="leave with 1 from this severity on: damage, fault (the usual), doubt, note",
    )  # fmt: skip
    parser.add_argument("--watch", action="store_true", help=WATCH)
    parser.add_argument("--stage", nargs="?", const="list", metavar="N", help=STAGE)
    parser.add_argument("--media-root", metavar="FOLDER", help=MEDIA_ROOT)
    parser.add_argument("--explain", metavar="RULE", help=EXPLAIN)
    parser.add_argument("--show", metavar="RULE", help=SHOW)
    parser.add_argument("--at", metavar="PLACE", help=AT)
    parser.add_argument("--fix", action="store_true", help=FIX)
    parser.add_argument("--write", action="store_true", help=WRITE)


def run(arguments: argparse.Namespace) -> int:
    """Check all files, print one report; 0 nothing that counts, 1 findings, 2 a file can't be used."""
    if arguments.stage is not None and not is_stage(arguments.stage):  # `--stage FILE`: the stages of the file
        arguments.files.insert(0, arguments.stage)
        arguments.stage = "list"
    if refusal := _refusal(arguments):
        print(f"minisim check: {refusal}", file=sys.stderr)
        return 2
    if arguments.explain is not None:
        return _explain(arguments.explain)
    return show(arguments) if arguments.show is not None else _check(arguments)


def _refusal(arguments: argparse.Namespace) -> str:
    """What does not go together, in one sentence."""
    if arguments.show is not None or arguments.at is not None:
        return refusal_of_show(arguments)
    if arguments.explain is not None:
        return "--explain stands alone, without loadouts" if arguments.files else ""
    if not arguments.files:
        return "name at least one loadout, or --explain RULE"
    changes = arguments.fix or arguments.write
    if changes and (arguments.watch or arguments.stage is not None):
        return "--fix works on the whole plan, once: not with --watch or --stage"
    if arguments.watch and arguments.format != "text":
        return f"--watch prints text, not {arguments.format}"
    if arguments.stage == "list" and arguments.watch:
        return "--watch checks one stage: --stage N"
    if arguments.stage == "list" and arguments.format not in ("text", "json"):
        return f"the list of stages is printed as text or json, not {arguments.format}"
    return ""


def _check(arguments: argparse.Namespace) -> int:
    """Files and folders: fixed, staged, watched or checked once."""
    stage = stage_number(arguments.stage)
    if arguments.watch:
        return _watch(arguments, stage)
    problems = _name_files(arguments)
    if arguments.fix or arguments.write:
        code = fix(arguments) if arguments.files else 0
        return _told(problems) or code
    if arguments.stage == "list":
        return show_stages(arguments.files, arguments.media_root, problems, as_data=arguments.format == "json")
    reports, more = _checked(arguments.files, arguments.media_root, stage)
    _show(reports, [*problems, *more], arguments)
    return _told([*problems, *more]) or _code(reports, arguments.fail_on)


def _name_files(arguments: argparse.Namespace) -> list[Problem]:
    """Folders are replaced by the loadouts in them; what is left out is counted on the error stream."""
    from minisim.many import find, nothing_in

    found = find(arguments.files)
    arguments.files = list(found.files)
    if found.others:
        what = "1 other YAML file that is" if found.others == 1 else f"{found.others} other YAML files that are"
        print(f"minisim check: left out {what} no loadout{'' if found.others == 1 else 's'}", file=sys.stderr)
    return [nothing_in(folder) for folder in found.empty]


def _told(problems: Sequence[Problem]) -> int:
    for problem in problems:
        print(problem, file=sys.stderr)
    return 2 if problems else 0


def _checked(files: Sequence[str], media_root: str | None, stage: int | None) -> tuple[list[Report], list[Problem]]:
    from minisim.cli._progress import Progress
    from minisim.many import check_files

    with Progress("files checked") as progress:
        return check_files(files, media_root=media_root, stage=stage, tell=progress.tell)


def _show(reports: Sequence[Report], problems: Sequence[Problem], arguments: argparse.Namespace) -> None:
    from minisim.formatters import FORMATTERS, text

    if arguments.format != "text":
        print(FORMATTERS[arguments.format](reports, problems), end="")
        return
    shown = text(reports, colour=_colour(), whole=arguments.all)
    print(_wrapped(shown) if sys.stdout.isatty() else shown, end="")


def _wrapped(shown: str) -> str:
    """Long lines broken between words; only for a person at a terminal, other programs read whole lines."""
    import textwrap

    from minisim.cli._help import width

    def lines(line: str) -> list[str]:
        indent = line[: len(line) - len(line.lstrip())] + "    "
        kept = textwrap.wrap(line, width(), subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)
        return kept or [line]

    return "".join(f"{part}\n" for line in shown.splitlines() for part in lines(line))


def _watch(arguments: argparse.Namespace, stage: int | None) -> int:
    from minisim.cli._watch import watch

    def show(reports: Sequence[Report], problems: Sequence[Problem]) -> None:
        _show(reports, problems, arguments)
        sys.stdout.flush()
        _told(problems)

    return watch(arguments.files, show, media_root=arguments.media_root, stage=stage)


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

    if word == "cautions":
        from minisim.sheet.cautions import cautions_text

        print(reflowed(cautions_text(), width()), end="")
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
