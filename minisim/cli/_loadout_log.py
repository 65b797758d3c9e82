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
    what.add_argument("--worked", action="store_true",
                      help="it worked that day, as the loadout is now: keeps what the machine was")  # fmt: skip
    what.add_argument("--since-worked", action="store_true", help="print what changed since it last worked")
    parser.add_argument("--at", metavar="PLACE", default="", help="a box, a place, or a pin of one: main, main/a/3CF")
    parser.add_argument("--because", metavar="TEXT", default="", help="with --closed: what was done or found")
    parser.add_argument("--with", dest="put_in", metavar="TEXT", default="", help="with --replaced: what was put in")
    parser.add_argument("--note", metavar="TEXT", default="", help="with --measured or --worked: a remark")
    parser.add_argument("--json", action="store_true", help="print the log, or what changed, as JSON")


_PINS = "ABCDEFHJKLMNPRSTUV"  # letters of the pins of a connector: no G, I, O, Q


class _WrongEntryError(Exception):
    """An entry that can't be made; the message says what is allowed."""


def run(arguments: argparse.Namespace) -> int:
    """Add or print."""
    from minisim.problems import printable

    try:
        _refuse_strays(arguments)
        return _run(arguments)
    except _WrongEntryError as error:
        print(printable(f"minisim loadout log: {error}"), file=sys.stderr)
        return 2


_GOES_WITH = {
    "measured": ("at", "note"), "remark": ("at",), "closed": ("at", "because"), "replaced": ("put_in",),
    "worked": ("note",),
}  # fmt: skip
_WRITTEN = {"put_in": "--with", "at": "--at", "because": "--because", "note": "--note", "by": "--by", "date": "--date"}


def _refuse_strays(given: argparse.Namespace) -> None:
    """Nothing that was typed may be lost: every option belongs to the entry, or there is none."""
    kind = next((name for name in _GOES_WITH if getattr(given, name) not in (None, False)), "")
    allowed = {*_GOES_WITH[kind], "by", "date"} if kind else set()
    stray = [option for name, option in _WRITTEN.items() if getattr(given, name) and name not in allowed]
    if stray and kind:
        raise _WrongEntryError(f"{', '.join(stray)} does not go with --{kind}")
    if stray:
        entries = ", ".join(f"--{name}" for name in _GOES_WITH)
        raise _WrongEntryError(f"{', '.join(stray)} without an entry: {entries}")


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
        if given.measured is not None:
            what, value, unit = _figure(given.measured)
            self._check_rail(what)
            return self._made(Kind.MEASURED, what, value=value, unit=unit, text=given.note)
        if given.remark is not None:
            return self._made(Kind.REMARK, _text(given.remark, "--remark"))
        if given.closed is not None:
            self._check_rule(given.closed)
            if not given.at:
                raise _WrongEntryError("--at is missing: the place of the finding")
            return self._made(Kind.CLOSED, given.closed, text=_text(given.because, "--because"))
        if given.replaced is not None:
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
        if given.note:
            _text(given.note, "--note")
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
            given = f'"{self.arguments.by}" are no initials' if self.arguments.by else "is missing"
            raise _WrongEntryError(f"--by {given}: who did it, one to twelve letters without blanks")
        return str(self.arguments.by)

    def _check_rail(self, what: str) -> None:
        """A name like +5 must be a rail of the box; with several boxes it must be said which."""
        if not re.match(r"[-+]\d", what):
            return
        box = self.arguments.at.partition("/")[0]
        rails = {one.id: [rail.rail for rail in one.rails] for one in self.wired.boxes}
        if not box and len(rails) > 1:
            raise _WrongEntryError(f"--at is missing: {what} of which box ({', '.join(rails)})")
        there = rails.get(box) or [rail for one in rails.values() for rail in one]
        if what not in there:
            raise _WrongEntryError(f'--measured: there is no rail "{what}"; rails are {", ".join(there)}')

    def _check_place(self, place: str, option: str) -> None:
        from minisim.problems import nearest

        first, blank, pin = place.partition(" ")
        known = self._places()
        if first not in known or (blank and not re.fullmatch(f"[A-F][{_PINS}][12]", pin)):
            hint = "" if first in known else nearest(first, known)
            allowed = "a box, a backplane, a slot, a board, what hangs on one, each perhaps with a pin such as AA2"
            raise _WrongEntryError(f'{option}: "{place}" is no place of this machine{hint} ({allowed})')

    def _places(self) -> list[str]:
        boxes = [box.id for box in self.wired.boxes]
        units = [f"{unit.box}/{unit.id}" for unit in self.wired.units]
        parts = [str(part.place) for part in self.wired.slots]
        slots = [f"{part.place.box}/{part.place.unit}/{part.place.slots[0]}" for part in self.wired.slots]
        boards = [str(board.place) for board in self.wired.boards]
        ends = [cable.end for cable in self.wired.cables]
        hanging = [f"{end.board}:{end.line if end.line is not None else end.unit or 0}" for end in ends]
        return list(dict.fromkeys([*boxes, *units, *boards, *slots, *parts, *hanging]))

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
    from minisim.problems import printable

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
        print(printable(f"  {one.kind} {one.where}: {one.before or 'nothing'} -> {one.after or 'nothing'}"))
    for entry in changes.entries:
        print(f"  {_line(entry)}")
    return 0
