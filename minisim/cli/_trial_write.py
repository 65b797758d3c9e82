"""`minisim trial write`: a test program of ours for the real machine, as a tape, keystrokes, words or a listing."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.trials.programs import TestProgram

EXIT = """The ending of FILE says what is written: .papertape an absolute tape; .keys the keystrokes that put the
program in over an octal console and start it, to be sent as fast as their echo comes; .words octal words by address;
.listing address, words and source, which explains a halt. A file that is there is replaced by a whole new one. Exit
code: 0, or 2 there is no such program, or the ending is another one."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operand and options."""
    parser.epilog = EXIT
    named = "a program of ours: minisim trial run LOADOUT --list names them"
    parser.add_argument("program", metavar="PROGRAM", help=named)
    parser.add_argument("-o", "--out", required=True, metavar="FILE", help="FILE.papertape, .keys, .words or .listing")


def run(arguments: argparse.Namespace) -> int:
    """Write one program."""
    from minisim.files import write_atomically
    from minisim.problems import nearest, printable
    from minisim.trials.programs import names, program

    if arguments.program not in names():
        return _told(printable(f'there is no program "{arguments.program}"{nearest(arguments.program, names())}'))
    make = _MAKERS.get(Path(arguments.out).suffix)
    if make is None:
        return _told(printable(f"{arguments.out}: the ending is one of {', '.join(_MAKERS)}"))
    test = program(arguments.program)
    write_atomically(arguments.out, make(test))
    start = f"start {test.program.start:06o}"
    print(f"{arguments.out}: {test.name}, {_count(test)} words from {_first(test):06o} on, {start}")
    return 0


def _told(message: str) -> int:
    print(f"minisim trial write: {message}", file=sys.stderr)
    return 2


def _blocks(test: TestProgram) -> list[tuple[int, bytes]]:
    return [(block.address, block.data) for block in test.program.blocks if block.data]


def _count(test: TestProgram) -> int:
    return sum((len(data) + 1) // 2 for _, data in _blocks(test))


def _first(test: TestProgram) -> int:
    return min(address for address, _ in _blocks(test))


def _tape(test: TestProgram) -> bytes:
    from minisim.tape import make_tape

    return make_tape(_blocks(test), test.program.start)


def _words(test: TestProgram) -> bytes:
    from minisim.words_text import Memory, format_words, words_in

    return format_words(Memory(words_in(_blocks(test)), test.program.start)).encode("ascii")


def _listing(test: TestProgram) -> bytes:
    from minisim.cpu.listing import listing_text

    return listing_text(test.program).encode("ascii")


def _keys(test: TestProgram) -> bytes:
    from minisim.trials.programs import keystrokes

    return keystrokes(test)


_MAKERS: dict[str, Callable[[TestProgram], bytes]] = {
    ".papertape": _tape,
    ".keys": _keys,
    ".words": _words,
    ".listing": _listing,
}
