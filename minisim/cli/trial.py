"""minisim trial: test programs on a planned machine, and single trials for the hands of a person."""

from __future__ import annotations

import argparse

from minisim.cli import _trial_card, _trial_run

HELP = "test programs on a machine, ours or your own; a trial as a card"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Two second words: run and card."""
    parser.epilog = "minisim trial run --help and minisim trial card --help tell the rest."
    words = parser.add_subparsers(dest="word", required=True, metavar="run|card")
    _trial_run.add_arguments(words.add_parser("run", help="run test programs on the machine of a loadout"))
    _trial_card.add_arguments(words.add_parser("card", help="print a trial as a card to key in, or rehearse it"))


def run(arguments: argparse.Namespace) -> int:
    """Run programs, or print a card."""
    return _trial_card.run(arguments) if arguments.word == "card" else _trial_run.run(arguments)
