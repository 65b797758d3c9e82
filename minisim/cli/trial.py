"""minisim trial: test programs on a planned machine, and single trials for the hands of a person."""

from __future__ import annotations

import argparse

from minisim.cli import _trial_card, _trial_run, _trial_write

HELP = "test programs on a machine, ours or your own; a trial as a card"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Three second words: run, card and write."""
    parser.epilog = "minisim trial run --help, card --help and write --help tell the rest."
    words = parser.add_subparsers(dest="word", required=True, metavar="run|card|write")
    _trial_run.add_arguments(words.add_parser("run", help="run test programs on the machine of a loadout"))
    _trial_card.add_arguments(words.add_parser("card", help="print a trial as a card to key in, or rehearse it"))
    written = "write a test program of ours as a paper tape, keystrokes, words or a listing"
    _trial_write.add_arguments(words.add_parser("write", help=written))


def run(arguments: argparse.Namespace) -> int:
    """Run programs, print a card, or write a program."""
    if arguments.word == "run":
        return _trial_run.run(arguments)
    return _trial_card.run(arguments) if arguments.word == "card" else _trial_write.run(arguments)
