"""`minisim loadout`: a slot list typed as for a mail becomes a loadout, and a loadout becomes such a list again."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.cli import _loadout_log
from minisim.cli._help import MEDIA_ROOT, width
from minisim.problems import printable

if TYPE_CHECKING:
    from minisim.catalogue.reader import Catalogue
    from minisim.loadout.slot_list_report import Answers, Understood

HELP = "slot lists of mails, to and fro; the log of a machine"
READ_HELP = "read a slot list as it stands in a mail, say how it is understood, ask what is missing"
WRITE_HELP = "write a loadout as a slot list of 72 columns, for a mail"
READ_EXIT = """Exit code: 0 nothing is missing (and the loadout is written, with --out), 1 facts are missing, 2 the text
can't be used."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The second words."""
    parser.epilog = "minisim loadout read-text --help, and so on, tells the rest."
    words = parser.add_subparsers(dest="word", metavar="read-text|write-text|log", required=True)
    reading = words.add_parser("read-text", help=READ_HELP, description=f"{READ_HELP.capitalize()}.", epilog=READ_EXIT)
    reading.add_argument("file", metavar="FILE", help="the text; - reads it from the input")
    reading.add_argument(
        "--backplane", action="append", default=[], metavar="[PLACE=]ID",
        help="the backplane, by its id or the number on it; with several: main/a=ID",
    )  # fmt: skip
    reading.add_argument(
        "--supply", action="append", default=[], metavar="[BOX=]ID",
        help="the supply, by its id or number, or the word unknown; with several boxes: main=ID",
    )  # fmt: skip
    reading.add_argument("--name", default="", help="what the machine is called")
    reading.add_argument("--planned", action="store_true", help="it is a plan; else the machine is as found")
    reading.add_argument(
        "--out", metavar="FILE.yaml", help="write the loadout, once its backplanes are known; never over a file"
    )
    reading.add_argument("--json", action="store_true", help="the report as JSON")
    writing = words.add_parser("write-text", help=WRITE_HELP, description=f"{WRITE_HELP.capitalize()}.")
    writing.add_argument("loadout", metavar="LOADOUT", help="a loadout")
    writing.add_argument("--media-root", metavar="FOLDER", help=MEDIA_ROOT)
    log = words.add_parser("log", help=_loadout_log.HELP, description=f"{_loadout_log.HELP.capitalize()}.")
    _loadout_log.add_arguments(log)


class _WrongAnswerError(Exception):
    """An option names something that is not there."""


def run(arguments: argparse.Namespace) -> int:
    """Read, write, or log."""
    if arguments.word == "log":
        return _loadout_log.run(arguments)
    try:
        return _write(arguments) if arguments.word == "write-text" else _read(arguments)
    except _WrongAnswerError as error:
        print(f"minisim loadout {arguments.word}: {printable(str(error))}", file=sys.stderr)
        return 2


# ---- read-text


def _read(arguments: argparse.Namespace) -> int:
    from minisim.catalogue.reader import Catalogue
    from minisim.cli._inputs import read_bytes, read_input, unusable
    from minisim.loadout.slot_list_report import understand
    from minisim.loadout.slot_list_text import report_json, report_text

    catalogue = Catalogue().beside(arguments.file)  # - too: then beside where one works
    answers = _answers(arguments, catalogue)
    file = "input" if arguments.file == "-" else arguments.file
    data = read_input() if arguments.file == "-" else read_bytes(arguments.file)
    understood = understand(data, file, catalogue, answers)
    if not understood.usable:
        raise unusable(file, 'no slot is named; begin each line with its slot, such as "2 M0000 what it is"')
    _refuse_places(answers, understood)
    written = _out(arguments.out, understood)
    if arguments.json:
        print(report_json(understood, written), end="")
    else:
        print(report_text(understood, width()), end="")
        print(_last_line(understood, arguments.out, written))
    return 0 if understood.complete else 1


def _answers(arguments: argparse.Namespace, catalogue: Catalogue) -> Answers:
    from minisim.loadout.slot_list_report import Answers

    return Answers(
        backplanes=_given(arguments.backplane, "backplanes", catalogue),
        supplies=_given(arguments.supply, "supplies", catalogue),
        name=arguments.name.strip(),
        state="planned" if arguments.planned else "",
    )


def _given(values: list[str], folder: str, catalogue: Catalogue) -> dict[str, str]:
    """Place or box, "" for the only one, to id."""
    found: dict[str, str] = {}
    for value in values:
        place, _, word = value.rpartition("=")
        found[place] = word if (folder, word) == ("supplies", "unknown") else _thing(word, folder, catalogue)
    return found


def _thing(word: str, folder: str, catalogue: Catalogue) -> str:
    """The id of a thing, by its id or by the number etched on it."""
    from minisim.catalogue.words import ONE_OF
    from minisim.loadout.fields import listed
    from minisim.loadout.slot_list_numbers import Numbers
    from minisim.problems import nearest

    if catalogue.has(folder, word):
        return word
    found = sorted({one.entry for one in Numbers(catalogue).identify(word).candidates if one.kind == folder})
    if len(found) == 1:
        return found[0]
    either = f"; it may be {listed(found)}" if found else nearest(word, catalogue.ids(folder))
    raise _WrongAnswerError(f'--{ONE_OF[folder]}: no {ONE_OF[folder]} "{word}" in the catalogue{either}')


def _refuse_places(answers: Answers, understood: Understood) -> None:
    """An answer for a place that the list does not have is a slip."""
    units = [unit.name for unit in understood.list.units]
    boxes = [box.id for box in understood.list.boxes]
    for option, given, there in (("--backplane", answers.backplanes, units), ("--supply", answers.supplies, boxes)):
        for place in given:
            if place and place not in there:
                raise _WrongAnswerError(f'{option}: there is no "{place}" in the list; it has {", ".join(there)}')
            if not place and len(there) > 1:
                raise _WrongAnswerError(f"{option}: the list has {', '.join(there)}; write {option} {there[0]}=ID")


def _out(out: str | None, understood: Understood) -> str:
    """Write the loadout where that is asked for and possible; the name of the file."""
    if not out or understood.built is None:
        return ""
    from minisim.loadout.keeping import write_new_loadout
    from minisim.loadout.writer import write_loadout

    write_new_loadout(Path(out), write_loadout(understood.built.loadout))
    return out


def _last_line(understood: Understood, out: str | None, written: str) -> str:
    missing = sum(one.needed for one in understood.questions)
    facts = f"{missing} fact{'' if missing == 1 else 's'} missing"
    if written:
        return f"\n{written}: written{f'; {facts}' if missing else ''}. Next: minisim check {written}"
    if out:
        return f"\n{out}: not written yet; {facts}"
    return f"\n{understood.list.file}: {facts if missing else 'nothing is missing; --out FILE.yaml writes the loadout'}"


# ---- write-text


def _write(arguments: argparse.Namespace) -> int:
    from minisim.catalogue.reader import Catalogue
    from minisim.loadout.reader import read_loadout
    from minisim.loadout.slot_list_writing import slot_list_text

    catalogue = Catalogue().beside(arguments.loadout)
    loadout = read_loadout(arguments.loadout, catalogue=catalogue, media_root=arguments.media_root)
    sys.stdout.write(slot_list_text(loadout, catalogue))
    return 0
