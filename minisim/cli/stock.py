"""`minisim stock`: what the owner has, as lists: read, add to, merge, note conditions, identify pieces."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.problems import Problem
    from minisim.stock.header import Header
    from minisim.stock.model import Stock
    from minisim.stock.showing import Describe

HELP = "read lists of boards, add to them, merge them, identify pieces"
WORDS = ("read", "add", "merge", "note", "identify")
CONDITIONS = ("works", "untested", "unknown", "incomplete", "faulty")
READ_EXIT = """The files are only read. Exit code: 0 every row was understood, 1 some were not, 2 a file can't be used
(the others are read all the same)."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Second words: read, add, merge, note, identify."""
    parser.epilog = "minisim stock read --help, and so on, tells the rest."
    words = parser.add_subparsers(dest="word", required=True, metavar="|".join(WORDS))
    _read_arguments(words.add_parser("read", help="show what is understood of a list, and every row that is not"))
    _add_arguments(words.add_parser("add", help="count a pile: one entry after another into a list of its own"))
    _merge_arguments(words.add_parser("merge", help="make one new list of several; differences are shown"))
    _note_arguments(words.add_parser("note", help="note the condition of a piece: who, when, what was measured"))
    from minisim.cli import _identify

    _identify.add_arguments(words.add_parser("identify", help=_identify.HELP))


def _read_arguments(parser: argparse.ArgumentParser) -> None:
    parser.epilog = READ_EXIT
    parser.add_argument("files", nargs="+", metavar="FILE", help="a list: CSV, .xlsx or .ods")
    _form_arguments(parser)
    parser.add_argument(
        "--by", choices=("box", "marking"), default="box", help="the table by box (the usual) or by marking"
    )
    parser.add_argument("--all", action="store_true", help="every repair and every row, however many")
    parser.add_argument("--json", action="store_true", help="as JSON; minisim schema stock describes it")


def _form_arguments(parser: argparse.ArgumentParser) -> None:
    """What the owner says about a list."""
    parser.add_argument(
        "--map", action="append", default=[], metavar="OURS=NAME", type=_pair,
        help="which column is which: marking, count, condition, box, notes, photo, item, what = its name or letter",
    )  # fmt: skip
    parser.add_argument(
        "--header", metavar="FILE", help="a file that says it; without: NAME.columns.yaml beside the list"
    )
    parser.add_argument("--sheet", default="", metavar="NAME", help="which sheet of a spreadsheet")
    parser.add_argument("--encoding", default="", metavar="NAME", help="of a CSV file, such as cp437")


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.epilog = """Each entry is on the disk before it is confirmed. A list that minisim did not write is never
changed. Exit code: 0, or 2 where the list can't be used."""
    parser.add_argument("file", metavar="FILE.csv", help="a list of minisim, made where it is not there")
    parser.add_argument("--box", default="", metavar="NAME", help="the box to begin with")
    parser.add_argument(
        "--condition", choices=CONDITIONS, default="untested", metavar="WORD",
        help=f"of what is added, until you say otherwise: {', '.join(CONDITIONS)} (untested is the usual)",
    )  # fmt: skip


def _merge_arguments(parser: argparse.ArgumentParser) -> None:
    parser.epilog = """The same piece (item), or the same marking in the same box, in two lists: where both say the same
it becomes one row, where they differ both rows stay and are marked. Exit code: 0 merged, 1 merged with
differences to decide, 2 nothing was written."""
    parser.add_argument("files", nargs="+", metavar="FILE", help="a list; one alone is put into our form")
    parser.add_argument("--out", required=True, metavar="NEW.csv", help="the list to write")
    parser.add_argument("--force", action="store_true", help="replace the new list where it is there already")
    parser.add_argument("--json", action="store_true", help="as JSON; minisim schema stock-merge describes it")
    _form_arguments(parser)


def _note_arguments(parser: argparse.ArgumentParser) -> None:
    parser.epilog = "Exit code: 0 noted, 2 not (the list or the piece can't be used)."
    parser.add_argument("file", metavar="FILE", help="a list")
    parser.add_argument("item", metavar="ITEM", help='your name of the piece, "row 12", or a marking that stands once')
    parser.add_argument("--condition", choices=CONDITIONS, required=True, metavar="WORD", help=", ".join(CONDITIONS))
    parser.add_argument("--measured", default="", metavar="TEXT", help="what was measured or seen")
    parser.add_argument("--initials", required=True, metavar="AB", help="who measured it")
    parser.add_argument("--date", default="", metavar="DATE", help="such as 2026-03-01 (without: today)")
    parser.add_argument("--pieces", type=_whole, metavar="N", help="for how many of the pieces of a row the note is")
    parser.add_argument("--out", metavar="NEW.csv", help="write a new list; needed where minisim did not write FILE")
    parser.add_argument("--force", action="store_true", help="replace the new list where it is there already")


def run(arguments: argparse.Namespace) -> int:
    """Do what the second word says."""
    if arguments.word == "identify":
        from minisim.cli import _identify

        return _identify.run(arguments)
    return {"read": _read, "add": _add, "merge": _merge, "note": _note}[arguments.word](arguments)


def _pair(text: str) -> tuple[str, str]:
    ours, equals, theirs = text.partition("=")
    if not equals:
        raise argparse.ArgumentTypeError(f'"{text}" is no pair like marking="Board no"')
    return ours.strip(), theirs.strip()


def _whole(text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 6:
        raise argparse.ArgumentTypeError(f'"{text}" is no count')
    return int(text)


# --- read -------------------------------------------------------------------------------------------------------------


def _read(arguments: argparse.Namespace) -> int:
    from minisim.catalogue import Catalogue
    from minisim.cli._help import width
    from minisim.stock.as_json import as_json
    from minisim.stock.showing import describer, text

    catalogue = Catalogue()
    stocks, problems = _stocks(arguments, catalogue)

    def describe(stock: Stock) -> Describe:
        return describer(catalogue.beside(stock.file))

    if arguments.json:
        print(as_json(stocks, problems, describe), end="")
    else:
        shown = (text(stock, describe(stock), width(), whole=arguments.all, by=arguments.by) for stock in stocks)
        print("\n".join(shown), end="")
    _tell(problems)
    return 2 if problems else int(any(not understood(stock) for stock in stocks))


def understood(stock: Stock) -> bool:
    """Is it known what every row is, without an open doubt?"""
    from minisim.stock.showing import is_understood

    return not stock.open_doubts and all(map(is_understood, stock.rows))


def _stocks(arguments: argparse.Namespace, catalogue: Catalogue) -> tuple[list[Stock], list[Problem]]:
    """Every list that can be used, and what is wrong with the others."""
    from minisim.problems import InputError
    from minisim.stock.reader import read_stock

    header = _header(arguments)
    stocks: list[Stock] = []
    problems: list[Problem] = []
    for file in arguments.files:
        _progress(file)
        try:
            stocks.append(read_stock(file, header=header, catalogue=catalogue))
        except InputError as error:
            problems.extend(error.problems)
    return stocks, problems


def _progress(file: str) -> None:
    """Large files take seconds; a terminal is told."""
    from pathlib import Path

    try:
        size = Path(file).stat().st_size
    except (OSError, ValueError):
        return
    if size > 1_000_000 and sys.stderr.isatty():
        print(f"reading {file} ({size // 1_000_000} MB)", file=sys.stderr, flush=True)


def _header(arguments: argparse.Namespace) -> Header:
    """What the command line says of the columns, over a header file."""
    from minisim.findings import Mark
    from minisim.problems import InputError
    from minisim.stock.header import Header, checked_columns, read_header
    from minisim.stock.sheets import Wanted

    problems: list[Problem] = []
    columns = checked_columns([(Mark("--map", 1, 1), ours, theirs) for ours, theirs in arguments.map], problems)
    if problems:
        raise InputError(problems)
    said = Header(columns, {}, Wanted(arguments.sheet, arguments.encoding))
    return said.over(read_header(arguments.header)) if arguments.header else said


def _tell(problems: Sequence[Problem]) -> None:
    from minisim.problems import printable

    for problem in problems:
        print(printable(str(problem)), file=sys.stderr)


# --- add --------------------------------------------------------------------------------------------------------------


def _add(arguments: argparse.Namespace) -> int:
    from minisim.cli._stock_add import sitting

    return sitting(arguments.file, arguments.box, arguments.condition)


# --- merge ------------------------------------------------------------------------------------------------------------


def _merge(arguments: argparse.Namespace) -> int:
    from minisim.catalogue import Catalogue
    from minisim.cli._help import width
    from minisim.stock.as_json import merge_as_json
    from minisim.stock.merging import merge
    from minisim.stock.showing import merged_text
    from minisim.stock.writer import refuse_existing, write_list

    refuse_existing(arguments.out, arguments.force)
    stocks, problems = _stocks(arguments, Catalogue())
    _tell(problems)
    if problems:
        return 2
    merged = merge(stocks)
    refuse_existing(arguments.out, arguments.force)  # reading may have taken its time
    write_list(arguments.out, merged.rows, merged.extra)
    shown = (
        merge_as_json(merged, arguments.out) if arguments.json else merged_text(merged, stocks, arguments.out, width())
    )
    print(shown, end="")
    return int(bool(merged.conflicts))


# --- note -------------------------------------------------------------------------------------------------------------


def _note(arguments: argparse.Namespace) -> int:
    import datetime

    from minisim.problems import printable
    from minisim.stock.adding import note_condition
    from minisim.stock.dialogue import spoken
    from minisim.stock.history import is_date, is_initials
    from minisim.stock.model import Condition, ConditionNote
    from minisim.stock.writer import refuse_existing

    date = arguments.date or datetime.date.today().isoformat()
    if not is_date(date):
        print(f'minisim stock note: "{printable(date)}" is no date such as 2026-03-01', file=sys.stderr)
        return 2
    if not is_initials(arguments.initials):
        print(f'minisim stock note: "{printable(arguments.initials)}" are no initials such as AB', file=sys.stderr)
        return 2
    if arguments.out is not None:
        refuse_existing(arguments.out, arguments.force)
    note = ConditionNote(date, arguments.initials, Condition(arguments.condition), " ".join(arguments.measured.split()))
    row = note_condition(arguments.file, arguments.item, note, arguments.out, arguments.pieces)
    print(f"{arguments.out or arguments.file}: {printable(row.name)}: {printable(spoken(row))}")
    for each in row.history:
        print(f"  {each.date}  {each.initials:4}  {each.condition:10}  {printable(each.measured)}".rstrip())
    return 0
