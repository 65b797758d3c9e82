"""The command line: one file a command, found by its name, imported only when it is called.

A command file has `HELP` (one line), `add_arguments(parser)` and `run(arguments) -> int`.  Exit codes: 0 yes, 1 no,
2 the input can't be used, 130 interrupted.
"""

from __future__ import annotations

import argparse
import gc
import importlib
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Protocol, cast

from minisim.cli._help import Parser
from minisim.problems import InputError, nearest, printable


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
    parser = Parser(f"minisim {name}", description=f"{command.HELP[:1].upper()}{command.HELP[1:]}.")
    command.add_arguments(parser)
    return parser


def overview() -> str:
    """The list of commands with their one-line help."""
    lines = ["usage: minisim COMMAND ...    (minisim COMMAND --help tells the rest)", ""]
    lines += [f"  {name:10} {load(name).HELP}" for name in command_names()]
    return "\n".join([*lines, "", EXIT_CODES, "minisim --version names the version."])


EXIT_CODES = "Exit code: 0 yes, 1 no, 2 the input can't be used, 130 interrupted."


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code; no traceback for anything a user can cause."""
    gc.set_threshold(100_000, 50)  # a start makes much and drops little: looking for cycles costs a tenth of it
    _fill_closed_streams()
    _allow_any_letter()
    try:
        code = _dispatch(list(sys.argv[1:] if argv is None else argv))
        sys.stdout.flush()
    except InputError as error:
        for problem in error.problems:
            print(printable(str(problem)), file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        _give_up_output()
        return 1
    except OSError as error:
        _give_up_output()
        reason = (error.strerror or str(error)).lower()
        print(f"minisim: {f'{error.filename}: ' if error.filename else ''}{reason}", file=sys.stderr)
        return 2
    return code


def _dispatch(words: list[str]) -> int:
    """Find the command and run it."""
    if words[:1] == ["help"] and len(words) > 1:
        words = [*words[1:], "--help"]
    if not words or words[0] in ("-h", "--help", "help"):
        print(overview(), file=sys.stdout if words else sys.stderr)
        return 0 if words else 2
    if words[0] == "--version":
        print(f"minisim {version()}")
        return 0
    name = words[0]
    if name not in command_names():
        print(f'minisim: there is no command "{name}"{nearest(name, command_names())}', file=sys.stderr)
        print(f"minisim: commands are {', '.join(command_names())}", file=sys.stderr)
        return 2
    try:
        arguments = parser_of(name).parse_args(words[1:])
    except SystemExit as asked:  # --help, or a wrong option that was told already
        return asked.code if isinstance(asked.code, int) else 2
    return load(name).run(arguments)


def version() -> str:
    """The version of minisim."""
    from importlib.metadata import version as installed

    return installed("minisim")


def _fill_closed_streams() -> None:
    """A caller may have closed input, output or errors: the next file opened must not take their numbers."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode))  # noqa: PTH123, SIM115  # kept open to the end


def _allow_any_letter() -> None:
    """A terminal may lack letters that a file has: those are shown by their codes, none stops the command."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _give_up_output() -> None:
    """Nobody takes the output any more: what is left of it must not fail again at the end of the process."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
