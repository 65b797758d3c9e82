"""The command line: one file a command, found by its name, imported only when it is called.

A command file has `HELP` (one line), `add_arguments(parser)` and `run(arguments) -> int`.  Exit codes: 0 yes, 1 no,
2 the input can't be used, 130 interrupted.
"""

from __future__ import annotations

import argparse
import importlib
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Protocol, cast

from minisim.problems import InputError, nearest


class Command(Protocol):
    """What a command file offers."""

    HELP: str

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        """Declare options and operands."""

    def run(self, arguments: argparse.Namespace) -> int:
        """Do it; give the exit code."""


def command_names() -> list[str]:
    """Names of all commands, from the files beside this one (`stand_in.py` is `stand-in`)."""
    return sorted(p.stem.replace("_", "-") for p in Path(__file__).parent.glob("[a-z]*.py"))


def load(name: str) -> Command:
    """Import one command."""
    return cast(Command, importlib.import_module(f"minisim.cli.{name.replace('-', '_')}"))


def parser_of(name: str) -> argparse.ArgumentParser:
    """The parser of one command."""
    command = load(name)
    parser = argparse.ArgumentParser(prog=f"minisim {name}", description=command.HELP)
    command.add_arguments(parser)
    return parser


def overview() -> str:
    """The list of commands with their one-line help."""
    lines = ["usage: minisim COMMAND ...    (minisim COMMAND --help tells the rest)", ""]
    lines += [f"  {name:10} {load(name).HELP}" for name in command_names()]
    return "\n".join(lines)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code; no traceback for anything a user can cause."""
    words = list(sys.argv[1:] if argv is None else argv)
    if not words or words[0] in ("-h", "--help", "help"):
        print(overview())
        return 0 if words else 2
    name = words[0]
    if name not in command_names():
        print(f'minisim: there is no command "{name}"{nearest(name, command_names())}', file=sys.stderr)
        print(f"minisim: commands are {', '.join(command_names())}", file=sys.stderr)
        return 2
    try:
        code = load(name).run(parser_of(name).parse_args(words[1:]))
        sys.stdout.flush()
    except InputError as error:
        print(error, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return code
