"""minisim tape: what is on an absolute paper tape, and making one."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.cli import _inputs
from minisim.cli.asm import add_tape_options, tape_options

if TYPE_CHECKING:
    from minisim.tape import Tape, TapeBlock

HELP = "list the blocks of a paper tape, find where it breaks, make one"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Two second words: list and make."""
    parser.epilog = "minisim tape list --help and minisim tape make --help tell the rest."
    words = parser.add_subparsers(dest="word", required=True, metavar="list|make")
    show = words.add_parser("list", help="blocks, addresses, checksums, and where it is damaged")
    show.epilog = "Exit code: 0 the tape is sound, 1 it is damaged, 2 it can't be read or is no paper tape."
    show.add_argument("file", metavar="FILE", help="a .papertape file")
    show.add_argument("--json", action="store_true", help="as JSON")
    make = words.add_parser("make", help="make a tape from sources, from octal words or from another tape")
    make.epilog = """A file that is there is replaced, and only by a whole new one. Exit code: 0, or 2 where there is no
program to put on a tape or the tape can't be written; nothing is written then."""
    make.add_argument(
        "sources", nargs="+", metavar="SOURCE|PROGRAM", help="assembler sources, or a .words or .papertape"
    )
    make.add_argument("-o", "--output", required=True, metavar="FILE", help="the tape to write")
    make.add_argument("--start", type=_inputs.even_octal, metavar="ADDRESS", help="where the program starts")
    make.add_argument("--json", action="store_true", help="list the new tape as JSON")
    add_tape_options(make)


def run(arguments: argparse.Namespace) -> int:
    """List a tape, or make and list one."""
    return _make(arguments) if arguments.word == "make" else _list(arguments.file, arguments.json)


def read(path: str) -> Tape:
    """The tape in a file; InputError where no block can be found on it."""
    from minisim.tape import read_tape

    tape = read_tape(_inputs.read_bytes(path))
    if not tape.frames:
        raise _inputs.unusable(path, "no paper tape: the file is empty")
    if not tape.blocks:
        raise _inputs.unusable(path, f"no absolute paper tape: {tape.damages[0]}")
    return tape


def _list(path: str, as_json: bool) -> int:
    tape = read(path)
    print(json.dumps(_record(path, tape), indent=2) if as_json else "\n".join(_rows(path, tape)))
    return 0 if tape.sound else 1


def _rows(path: str, tape: Tape) -> Iterable[str]:
    yield f"{path}: {tape.frames} frames, leader {tape.leader}, trailer {tape.trailer}; frames are counted from 0"
    yield "  frame  address  bytes  checksum"
    for block in tape.blocks:
        state = "agrees" if block.sound else f"is wrong, {block.wanted:03o} is wanted"
        what = _transfer(block) if block.is_transfer else ""
        yield f"{block.frame:7}   {block.address:06o} {len(block.data):6}  {block.checksum:03o} {state}{what}"
    for damage in tape.damages:
        yield f"{path}: damaged at {damage}"
    if tape.sound:
        count = sum(len(block.data) for block in tape.blocks)
        yield f"sound: {_inputs.counted(len(tape.blocks), 'block')}, {_inputs.counted(count, 'byte')}, {_ending(tape)}"


def _transfer(block: TapeBlock) -> str:
    return "; halts here" if block.address & 1 else "; starts here"


def _ending(tape: Tape) -> str:
    return "halts when it is loaded" if tape.start is None else f"starts at {tape.start:06o}"


def _record(path: str, tape: Tape) -> dict[str, object]:
    return {
        "file": path,
        "frames": tape.frames,
        "leader": tape.leader,
        "trailer": tape.trailer,
        "sound": tape.sound,
        "start": None if tape.start is None else f"{tape.start:06o}",
        "blocks": [_block_record(block) for block in tape.blocks],
        "damages": [{"frame": each.frame, "wanted": each.wanted, "found": each.found} for each in tape.damages],
    }


def _block_record(block: TapeBlock) -> dict[str, object]:
    return {
        "frame": block.frame,
        "address": f"{block.address:06o}",
        "bytes": len(block.data),
        "checksum": f"{block.checksum:03o}",
        "wanted": f"{block.wanted:03o}",
        "sound": block.sound,
        "transfer": block.is_transfer,
    }


def _make(arguments: argparse.Namespace) -> int:
    from minisim.files import write_atomically
    from minisim.tape import make_tape

    if Path(arguments.output).suffix != ".papertape":
        raise _inputs.unusable(arguments.output, "a tape's file name ends with .papertape")
    blocks, start = _program(arguments.sources)
    start = start if arguments.start is None else arguments.start
    _inputs.want_even_start(start, arguments.sources[0])
    if not blocks:
        raise _inputs.unusable(arguments.sources[0], "the program places no bytes")
    write_atomically(arguments.output, make_tape(blocks, start, **tape_options(arguments)))
    return _list(arguments.output, arguments.json)


def _program(sources: list[str]) -> tuple[list[tuple[int, bytes]], int | None]:
    """Blocks and start of what the tape shall hold."""
    endings = {Path(source).suffix for source in sources} & {".words", ".papertape"}
    if endings and len(sources) > 1:
        raise _inputs.unusable(sources[0], "only one program goes on a tape; several files must all be sources")
    if endings == {".words"}:
        return _from_words(sources[0])
    if endings:
        return _from_tape(sources[0])
    from minisim.cpu.assembler import assemble

    program = assemble(_inputs.read_sources(sources))
    return [(block.address, block.data) for block in program.blocks], program.start


def _from_words(path: str) -> tuple[list[tuple[int, bytes]], int | None]:
    from minisim.words_text import parse_words, runs

    memory = parse_words(_inputs.read_text(path), path)
    parts = [(at, b"".join(word.to_bytes(2, "little") for word in words)) for at, words in runs(memory.words)]
    return parts, memory.start


def _from_tape(path: str) -> tuple[list[tuple[int, bytes]], int | None]:
    from minisim.tape import memory_of, stretches

    tape = read(path)
    if not tape.sound:
        raise _inputs.unusable(path, f"damaged at {tape.damages[0]}")
    return list(stretches(memory_of(tape))), tape.start
