"""`minisim loadout log`: dated measurements and remarks beside a loadout, and what changed since it last worked."""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.loadout.model import Loadout
    from minisim.logbook import Changes, Entry, Log
    from minisim.wiring.model import Wired

HELP = "write down what was measured and done, and see what changed since it last worked"
EXIT = """Without an entry the log is printed. The log lies beside the loadout (gauge.log beside gauge.yaml) and is only
added to. It changes no verdict of the check. Exit code: 0, or 2 where an entry can't be made."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operand and options."""
    parser.epilog = EXIT
    parser.add_argument("loadout", metavar="LOADOUT", help="the loadout file")
    parser.add_argument("--by", metavar="INITIALS", default="", help="who measured, did or saw it")
    parser.add_argument("--date", metavar="YYYY-MM-DD", default="", help="the day (today)")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--measured", metavar="WHAT FIGURE UNIT",
                      help='a figure: --measured "+5 4.98 V", --measured "ripple of +5 40 mV"')  # fmt: skip
    what.add_argument("--remark", metavar="TEXT", help="anything worth knowing")
    what.add_argument("--closed", metavar="RULE", help="a finding that was put right or explained (--at, --because)")
    what.add_argument("--replaced", metavar="PLACE", help="a part that was replaced (--with)")
    what.add_argument("--worked", action="store_true", help="it worked that day: keeps what the machine was")
    what.add_argument("--since-worked", action="store_true", help="print what changed since it last worked")
    parser.add_argument("--at", metavar="PLACE", default="", help="a box, a place, or a pin of one: main, main/a/3CF")
    parser.add_argument("--because", metavar="TEXT", default="", help="with --closed: what was done or found")
    parser.add_argument("--with", dest="put_in", metavar="TEXT", default="", help="with --replaced: what was put in")
    parser.add_argument("--note", metavar="TEXT", default="", help="with --measured or --worked: a remark")
    parser.add_argument("--json", action="store_true", help="print the log, or what changed, as JSON")


class _WrongEntryError(Exception):
    """An entry that can't be made; the message says what is allowed."""


def run(arguments: argparse.Namespace) -> int:
    """Add or print."""
    try:
        return _run(arguments)
    except _WrongEntryError as error:
        print(f"minisim loadout log: {error}", file=sys.stderr)
        return 2


def _run(arguments: argparse.Namespace) -> int:
    from minisim.catalogue import Catalogue
    from minisim.loadout.reader import read_loadout
    from minisim.logbook import changes_since_worked, read_log
    from minisim.logbook.writer import add_entry
    from minisim.wiring.resolve import resolve

    catalogue = Catalogue()
    loadout = read_loadout(arguments.loadout, catalogue=catalogue)
    if arguments.since_worked:
        return _print_changes(changes_since_worked(read_log(loadout.path), loadout), loadout, arguments)
    form = _Form(arguments, resolve(loadout, catalogue.beside(loadout.path)))
    entry = form.entry()
    if entry is None:
        _print_log(read_log(loadout.path), arguments)
        return 0
    log = add_entry(loadout.path, entry)
    for warning in form.warnings(entry):
        print(f"minisim loadout log: {warning}", file=sys.stderr)
    print(f"{log.file}: {_line(entry)}")
    return 0


# ---- an entry from the options


@dataclass(frozen=True, slots=True)
class _Form:
    """What was typed, against the machine it speaks of."""

    arguments: argparse.Namespace
    wired: Wired

    def entry(self) -> Entry | None:
        """The entry that is asked for; None where the log is to be printed."""
        from minisim.logbook import Kind

        given = self.arguments
        if given.measured:
            what, value, unit = _figure(given.measured)
            return self._made(Kind.MEASURED, what, value=value, unit=unit, text=given.note)
        if given.remark is not None:
            return self._made(Kind.REMARK, _text(given.remark, "--remark"))
        if given.closed:
            self._check_rule(given.closed)
            return self._made(Kind.CLOSED, given.closed, text=_text(given.because, "--because"))
        if given.replaced:
            self._check_place(given.replaced, "--replaced")
            return self._made(Kind.REPLACED, given.replaced, text=_text(given.put_in, "--with"))
        if given.worked:
            return self._worked()
        return None

    def _made(self, kind: str, what: str, **more: object) -> Entry:
        from minisim.logbook import Entry, Kind

        given = self.arguments
        if given.at:
            self._check_place(given.at, "--at")
        day, by = self._day(), self._by()
        return Entry(day, by, Kind(kind), _text(what, f"--{kind}"), given.at, **more)  # type: ignore[arg-type]

    def _worked(self) -> Entry:
        from minisim.logbook.summary import summary_of

        loadout = self.wired.loadout
        return self._made("worked", loadout.sha256, text=self.arguments.note, machine=summary_of(loadout))

    def _day(self) -> str:
        from minisim.stock.history import is_date

        day = self.arguments.date or date.today().isoformat()
        if not is_date(day):
            raise _WrongEntryError(f'--date: "{day}" is no date like 2026-05-30')
        if day > date.today().isoformat():
            raise _WrongEntryError(f"--date: {day} is still to come")
        return day

    def _by(self) -> str:
        from minisim.stock.history import is_initials

        if not is_initials(self.arguments.by):
            raise _WrongEntryError("--by is missing: the initials of who did it, one to twelve letters")
        return str(self.arguments.by)

    def _check_place(self, place: str, option: str) -> None:
        from minisim.problems import nearest

        known = self._places()
        first, _, _ = place.partition(" ")  # behind it a pin or a word may stand
        slot = re.sub(r"(?<=\d)[A-F]*(:\d+)?\Z", "", first)
        if first not in known and slot not in known:
            raise _WrongEntryError(f'{option}: "{place}" is no place of this machine{nearest(first, known)}')

    def _places(self) -> list[str]:
        boxes = [box.id for box in self.wired.boxes]
        units = [f"{unit.box}/{unit.id}" for unit in self.wired.units]
        slots = [f"{part.place.box}/{part.place.unit}/{part.place.slots[0]}" for part in self.wired.slots]
        return [*boxes, *units, *(str(board.place) for board in self.wired.boards), *dict.fromkeys(slots)]

    def _check_rule(self, rule: str) -> None:
        from minisim.problems import nearest
        from minisim.rules import all_rules, find_rule

        if find_rule(rule) is None:
            ids = [one.id for one in all_rules()]
            raise _WrongEntryError(f'--closed: there is no rule "{rule}"{nearest(rule, ids)}')

    def warnings(self, entry: Entry) -> Iterator[str]:
        """A rail that is out of plus and minus 5 %: written down all the same."""
        from minisim.sheet.bringup.supply import limits

        rails = {rail.rail for box in self.wired.boxes for rail in box.rails}
        if entry.what in rails and entry.unit == "V" and entry.value is not None:
            low, high = sorted(map(Decimal, limits(entry.what)))
            if not low <= entry.value <= high:
                yield f"{entry.what} at {entry.value} V is outside {low} to {high} V (5 %, common practice)"


def _figure(text: str) -> tuple[str, Decimal, str]:
    """What was measured, the figure, its unit."""
    from minisim.logbook.model import UNITS

    found = re.fullmatch(rf"(.*\S)\s+([-+]?\d{{1,9}}(?:[.,]\d{{1,6}})?)\s*({'|'.join(UNITS)})", text.strip(), re.ASCII)
    if found is None:
        example = f'a name, a figure and a unit of {", ".join(UNITS)} are wanted, like "+5 4.98 V"'
        raise _WrongEntryError(f'--measured: "{text}": {example}')
    return found[1], Decimal(found[2].replace(",", ".")), found[3]


def _text(text: str, option: str) -> str:
    if not text.strip():
        raise _WrongEntryError(f"{option}: a text is missing")
    if not all(one.isprintable() or one in "\n\t" for one in text) or len(text) > 2000:
        raise _WrongEntryError(f"{option}: at most 2000 characters that can be printed")
    return text


# ---- printing


def _print_log(log: Log, arguments: argparse.Namespace) -> None:
    if arguments.json:
        from minisim.logbook.as_json import log_as_json

        print(json.dumps(log_as_json(log), indent=2, ensure_ascii=False))
        return
    lines = [_line(entry) for entry in log.entries]
    print("\n".join(lines) if lines else f"{log.file}: no entry yet")


def _line(entry: Entry) -> str:
    from minisim.logbook import Kind
    from minisim.problems import printable

    figure = f"{entry.value} {entry.unit}" if entry.value is not None else ""
    what = "" if entry.kind is Kind.WORKED else entry.what
    words = [entry.date, entry.by, str(entry.kind), what, figure, f"at {entry.at}" if entry.at else "", entry.text]
    return printable(" ".join(word for word in words if word))


def _print_changes(changes: Changes | None, loadout: Loadout, arguments: argparse.Namespace) -> int:
    if arguments.json:
        from minisim.logbook.as_json import changes_as_json

        print(json.dumps(changes_as_json(changes, loadout.file), indent=2, ensure_ascii=False))
        return 0
    if changes is None:
        print(f"{loadout.file}: no entry says that it worked (minisim loadout log {loadout.file} --worked)")
        return 0
    worked = changes.worked
    if not changes.changes:
        print(f"{loadout.file}: nothing changed since {worked.date} ({worked.by}), when it worked")
    else:
        print(f"{loadout.file}: changed since {worked.date} ({worked.by}), when it worked:")
    for one in changes.changes:
        print(f"  {one.kind} {one.where}: {one.before or 'nothing'} -> {one.after or 'nothing'}")
    for entry in changes.entries:
        print(f"  {_line(entry)}")
    return 0
