"""`minisim why LOADOUT SYMPTOM`: what is seen at the machine, and what may be behind it in exactly this one."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from minisim.cli._help import MEDIA_ROOT

if TYPE_CHECKING:
    from minisim.why.diagnosis import UnknownSymptomError

HELP = "start from a symptom: its causes in this machine, what to measure"
EXIT = """The symptom is written as it is seen, in one text or several words: minisim why desk.yaml "halted 000104".
Numbers are octal. Exit code: 0 causes are given, 1 nothing in this machine can cause it, 2 the loadout can't be used
or nobody knows the symptom."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = EXIT
    parser.add_argument("loadout", nargs="?", metavar="LOADOUT", help="the loadout file of the machine")
    parser.add_argument("symptom", nargs="*", metavar="SYMPTOM", help="what is seen, in your words")
    parser.add_argument("--list", action="store_true", help="every symptom with an example of how to say it")
    parser.add_argument("--all", action="store_true", help="every cause, question and what is ruled out")
    parser.add_argument("--json", action="store_true", help="print JSON; docs/reference/why-json.md tells its shape")
    parser.add_argument("--media-root", metavar="FOLDER", help=MEDIA_ROOT)
    # Options may stand between the words of the symptom as well.
    parser.parse_args = parser.parse_intermixed_args  # type: ignore[method-assign]


def run(arguments: argparse.Namespace) -> int:
    """Print causes; 0 some, 1 none, 2 (or InputError) nothing can be said."""
    if arguments.list:
        return _list(arguments)
    words = " ".join(arguments.symptom).strip()
    if arguments.loadout is None or not words:
        missing = "a loadout and a symptom" if arguments.loadout is None else "a symptom"
        print(f"minisim why: name {missing}; minisim why --list shows what is known", file=sys.stderr)
        return 2
    return _answer(arguments, words)


def _list(arguments: argparse.Namespace) -> int:
    from minisim.cli._help import width
    from minisim.why.as_json import listing_json
    from minisim.why.as_text import listing
    from minisim.why.reader import heads

    print(listing_json(heads()) if arguments.json else listing(heads(), width()), end="")
    return 0


def _answer(arguments: argparse.Namespace, words: str) -> int:
    from minisim.catalogue import Catalogue
    from minisim.cli._help import width
    from minisim.loadout.reader import read_loadout
    from minisim.why.as_json import json_text
    from minisim.why.as_text import text
    from minisim.why.diagnosis import UnknownSymptomError, diagnose_symptom, recognised

    catalogue = Catalogue()
    loadout = read_loadout(arguments.loadout, catalogue=catalogue, media_root=arguments.media_root)
    try:
        symptoms = recognised(words)
    except UnknownSymptomError as error:
        return _unknown(error)
    found = diagnose_symptom(loadout, words, symptoms, catalogue)
    print(json_text(found) if arguments.json else text(found, width(), whole=arguments.all), end="")
    return 0 if found.causes else 1


def _unknown(error: UnknownSymptomError) -> int:
    """Say which symptoms are near, and where the list is."""
    for problem in error.problems:
        print(problem, file=sys.stderr)
    for head in error.near:
        print(f'  near: "{head.examples[0]}" ({head.title})', file=sys.stderr)
    print("minisim why --list shows every symptom, with an example of how to say it", file=sys.stderr)
    return 2
