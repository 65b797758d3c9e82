"""`minisim compare`: does the model do what is documented?  Trial cases by processor profiles."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from time import monotonic

HELP = "compare the model with documented results, profile by profile"
EXIT = """Exit code: 0 nothing differs, 1 something differs from a documented value (with --strict also from an
unconfirmed one), 2 there is no such case, profile or option, or a file can't be used."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = EXIT
    parser.add_argument(
        "cases", nargs="*", metavar="CASE",
        help="a case (table/row), a table, a file of the set, or the path of your own file; without: all cases",
    )  # fmt: skip
    parser.add_argument(
        "--profile", action="append", default=[], metavar="P", help="a processor profile; several times for several"
    )
    parser.add_argument(
        "--option", action="append", metavar="O",
        help="fit this option where a profile can have it; none: no option; without: every one it can have",
    )  # fmt: skip
    parser.add_argument("--all", action="store_true", help="a row of the matrix for every case")
    parser.add_argument("--strict", action="store_true", help="differences from unconfirmed values count too")
    parser.add_argument("--json", action="store_true", help="print JSON; minisim schema comparison prints its schema")


def run(arguments: argparse.Namespace) -> int:
    """Compare and print; 0 nothing differs, 1 something does, 2 what was asked for isn't there."""
    from minisim.catalogue.reader import Catalogue
    from minisim.compare import compare
    from minisim.compare.select import SelectionError, chosen_cases, chosen_options, chosen_profiles
    from minisim.problems import printable

    catalogue = Catalogue()
    try:
        profiles = chosen_profiles(arguments.profile, catalogue)
        options = chosen_options(arguments.option, profiles, catalogue)
        cases = chosen_cases(arguments.cases)
    except SelectionError as error:
        print(printable(f"minisim compare: {error}"), file=sys.stderr)
        return 2
    found = compare(cases, profiles, options, catalogue=catalogue, progress=_progress())
    if arguments.json:
        from minisim.compare.as_json import as_json

        sys.stdout.write(as_json(found))
    else:
        from minisim.compare.text import text

        sys.stdout.write(text(found, whole=arguments.all))
    return 0 if found.agreed(strict=arguments.strict) else 1


def _progress() -> Callable[[int, int], None] | None:
    """A line that overwrites itself, for work of more than a second on a terminal."""
    if not sys.stderr.isatty():
        return None
    began = monotonic()

    def show(done: int, all_of_them: int) -> None:
        over = done == all_of_them
        if monotonic() - began > 1:
            line = " " * 40 if over else f"{done} of {all_of_them} results"
            print(f"\r{line:40}", end="\r" if over else "", file=sys.stderr, flush=True)

    return show
