"""minisim dis: words to instructions."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.cli import _inputs
from minisim.findings import Mark
from minisim.problems import InputError, Problem

if TYPE_CHECKING:
    from minisim.cpu.disassembler import Line

HELP = "show octal words, a tape or a ROM image as instructions"

_NO_FILE = ", and there is no file of this name"

EXIT = "Exit code: 0, 1 where a tape is damaged (its sound blocks are shown), 2 where the input can't be used."

Part = tuple[int, Sequence[int]]  # address of the first word, words


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = EXIT
    parser.add_argument(
        "what",
        nargs="*",
        metavar="FILE|WORD",
        help="a .papertape, .rom or .words file, or octal words (else words from the input)",
    )
    parser.add_argument(
        "--at",
        type=_inputs.even_octal,
        metavar="ADDRESS",
        help="address of the first word (else 0, or from the start of a ROM)",
    )
    parser.add_argument("--json", action="store_true", help="as JSON")


def run(arguments: argparse.Namespace) -> int:
    """Disassemble; 1 where a tape is damaged, and its sound blocks are shown."""
    from minisim.cpu.disassembler import disassemble

    parts, code = _parts(arguments.what, arguments.at)
    blocks = [disassemble(words, address) for address, words in parts]
    if arguments.json:
        print(json.dumps([_record(line) for lines in blocks for line in lines], indent=2))
    else:
        print("\n\n".join("\n".join(_row(line) for line in lines) for lines in blocks))
    return code


def _parts(what: Sequence[str], at: int | None) -> tuple[list[Part], int]:
    if not what:
        return _typed(_inputs.decode(_inputs.read_input(), "input").split(), "input", at), 0
    files = [word for word in what if _is_file(word)]
    if files and len(what) > 1:
        raise _inputs.unusable(files[0], "a file stands alone; name one file, or octal words")
    if files:
        return _from_file(files[0], at)
    return _typed(what, "words", at), 0


def _is_file(word: str) -> bool:
    """Words are digits; whatever has an ending or exists is a file."""
    return not word.isdigit() and (bool(Path(word).suffix.strip(".0123456789")) or Path(word).exists())


def _typed(words: Iterable[str], name: str, at: int | None) -> list[Part]:
    from minisim.words_text import octal_word

    found: list[int] = []
    problems = []
    for index, text in enumerate(words, 1):
        try:
            found.append(octal_word(text))
        except ValueError as error:
            problems.append(
                Problem(Mark(name, 1, index), f"word {index}: {error}{_NO_FILE if name == 'words' else ''}")
            )
    if problems:
        raise InputError(problems)
    if not found:
        raise _inputs.unusable(name, "there are no words")
    return [(at or 0, found)]


def _from_file(path: str, at: int | None) -> tuple[list[Part], int]:
    ending = Path(path).suffix
    if at is not None and ending in (".papertape", ".words"):
        raise _inputs.unusable(path, "--at is for words and ROM images; this file says itself where its words lie")
    if Path(path).is_dir():
        raise _inputs.unusable(path, "a folder; a .papertape, .rom or .words file is wanted")
    if ending == ".papertape":
        return _from_tape(path)
    if ending == ".rom":
        return _from_rom(path, at), 0
    if ending == ".words":
        from minisim.words_text import parse_words, runs

        return [(address, words) for address, words in runs(parse_words(_inputs.read_text(path), path).words)], 0
    raise _inputs.unusable(path, f'the ending "{ending}" is not known here; .papertape, .rom and .words are')


def _from_tape(path: str) -> tuple[list[Part], int]:
    from minisim.cli.tape import read
    from minisim.tape import memory_of, stretches
    from minisim.words_text import runs, words_in

    tape = read(path)
    for damage in tape.damages:
        print(f"{path}: damaged at {damage}", file=sys.stderr)
    parts = runs(words_in(stretches(memory_of(tape))))
    return [(address, words) for address, words in parts], 0 if tape.sound else 1


def _from_rom(path: str, at: int | None) -> list[Part]:
    from minisim.rom_image import read_rom

    image = read_rom(path)
    return [((image.likely_at or 0) if at is None else at, image.words)]


def _row(line: Line) -> str:
    words = " ".join(f"{word:06o}" for word in line.words)
    return f"{line.address:06o}  {words:20}  {line.text}"


def _record(line: Line) -> dict[str, object]:
    return {"at": f"{line.address:06o}", "words": [f"{word:06o}" for word in line.words], "text": line.text}
