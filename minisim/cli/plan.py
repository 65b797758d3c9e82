"""`minisim plan`: which machines the stock makes, which board goes where, what is missing, what is left."""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.plan.report import Report
    from minisim.stock.model import Stock

HELP = "divide the stock among wishes: machines, gaps, leftovers"
EXIT = """Exit code: 0 every wish is complete, 1 some are not, 2 an input can't be used. With --json and --write the
code is 0 as soon as a plan was made."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = EXIT
    parser.add_argument("stock", metavar="STOCK", help="what is there: .csv, .xlsx or .ods")
    parser.add_argument("wishes", metavar="WISHES", help="the machines wished for, a YAML file")
    parser.add_argument(
        "--write", metavar="FOLDER", help="write one loadout for each complete machine into this folder"
    )
    parser.add_argument("--what-if", metavar="CHANGE", action="append", default=[],
                        help='plan as if the stock had more or less: "+1 MARKING", "-2 MARKING"')  # fmt: skip
    parser.add_argument("--time", metavar="SECONDS", type=float, default=60.0, help="most seconds for the search (60)")
    parser.add_argument("--all", action="store_true", help="list every piece that is left")
    parser.add_argument("--offer", metavar="FILE", help="write what is wanted and what is left as a list to send")
    parser.add_argument("--html", metavar="FILE", help="write one page that stands alone into this file")
    parser.add_argument("--json", action="store_true", help="print the plan as JSON")


def run(arguments: argparse.Namespace) -> int:
    """Plan, print, write."""
    from minisim.catalogue import Catalogue
    from minisim.plan.planner import plan
    from minisim.plan.report import as_data, report_of
    from minisim.plan.solver import NoAnswerError
    from minisim.plan.text import lines
    from minisim.plan.wishes import read_wishes
    from minisim.plan.words import words_of
    from minisim.plan.writing import write_machines

    catalogue = Catalogue().beside(arguments.stock).beside(arguments.wishes)
    wishes = read_wishes(arguments.wishes, words_of(catalogue))
    stock = _changed(_stock(arguments.stock, catalogue), arguments.what_if, catalogue)
    progress = _Progress()
    try:
        made = plan(stock, wishes, catalogue, seconds=arguments.time, tell=progress.tell)
        report = report_of(made, catalogue, tell=progress.tell)
    except NoAnswerError:
        progress.done()
        print("minisim plan: the time was over before any plan was found; give more with --time", file=sys.stderr)
        return 2
    progress.done()
    if arguments.write is not None:
        write_machines(report, Path(arguments.write), catalogue)
    _write_lists(report, arguments, catalogue)
    if arguments.json:
        print(json.dumps(as_data(report, catalogue), indent=2, ensure_ascii=False))
    else:
        print("\n".join(lines(report, catalogue, whole=arguments.all)))
    return _code(report, arguments)


def _write_lists(report: Report, arguments: argparse.Namespace, catalogue: Catalogue) -> None:
    """The page and the list to send, where they are asked for."""
    from minisim.files import write_atomically
    from minisim.plan import html, offer

    if arguments.html is not None:
        write_atomically(arguments.html, html.page(report, catalogue).encode())
    if arguments.offer is not None:
        write_atomically(arguments.offer, offer.text(report, catalogue).encode())


def _code(report: Report, arguments: argparse.Namespace) -> int:
    return 0 if arguments.json or arguments.write is not None else int(bool(report.gaps))


def _stock(path: str, catalogue: Catalogue) -> Stock:
    from minisim.stock.reader import read_stock

    return read_stock(path, catalogue=catalogue)


def _changed(stock: Stock, changes: list[str], catalogue: Catalogue) -> Stock:
    from minisim.plan.what_if import changed

    return changed(stock, changes, catalogue)


class _Progress:
    """Says on a terminal what is worked at, when it takes longer than a second, and takes it away again."""

    def __init__(self) -> None:
        self._began = time.monotonic()
        self._said = False

    def tell(self, what: str) -> None:
        """Another step begins."""
        if sys.stderr.isatty() and time.monotonic() - self._began > 1:
            print(f"\r\x1b[K{what}, {time.monotonic() - self._began:.0f} s ...", end="", file=sys.stderr, flush=True)
            self._said = True

    def done(self) -> None:
        """The line is free for the output."""
        if self._said:
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)
