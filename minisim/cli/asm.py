"""minisim asm: assembler sources to a tape, a ROM image or octal words."""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.cli import _inputs
from minisim.cli._help import AsWritten

if TYPE_CHECKING:
    from minisim.cpu.assembler import Program

HELP = "assemble a program: to a paper tape, a ROM image or octal words"
LANGUAGE = """\
Without --listing and --json it says what was assembled. A file that is there
is replaced, and only by a whole new one. Exit code: 0, or 2 with every error
in the sources; nothing is written then.

the language (docs/reference/assembler.md tells it at length):
  a line       label: MNEMONIC operands ; remark
               upper and lower case are the same
  labels       name:  and local ones, 1$:  which count between two ordinary
               labels of one file; the label start says where to begin
  symbols      name = expression
  directives   . = 1000   .word 1,2   .byte 1,2   .even
               .ascii /text/<15>   .asciz /text/
  operands     R0 (R0) (R0)+ @(R0)+ -(R0) @-(R0) 4(R0) @4(R0)
               #5 @#177560 place @place; SP and PC
  numbers      octal; 100. is decimal, 'A a character,
               . the address of the statement
  expressions  + - * / & (and) ! (or) act from left to right, a minus may stand
               before a term; < > groups, and must, where the usual order of
               arithmetic would give another value
  codes        condition code operators are joined by !, as CLC!CLV
"""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.formatter_class = AsWritten
    parser.epilog = LANGUAGE
    parser.add_argument("sources", nargs="+", metavar="SOURCE", help="assembler sources, read as one in this order")
    parser.add_argument("-o", "--output", metavar="FILE", help="write FILE.papertape, FILE.rom or FILE.words")
    parser.add_argument("--listing", action="store_true", help="print line numbers, addresses, words and the source")
    parser.add_argument("--json", action="store_true", help="print blocks, start and symbols as JSON")
    parser.add_argument(
        "--start", type=_inputs.even_octal, metavar="ADDRESS", help="where the program starts (else: the label start)"
    )
    tape = parser.add_argument_group("for a tape")
    add_tape_options(tape)
    rom = parser.add_argument_group("for a ROM image")
    rom.add_argument("--boots", metavar="WORD", help="the kind of device it boots from, such as paper-tape")
    rom.add_argument("--expects", type=_inputs.io_octal, metavar="ADDRESS", help="where it looks for that device")


def add_tape_options(group: argparse._ArgumentGroup | argparse.ArgumentParser) -> None:
    """How a tape is cut."""
    group.add_argument("--block-size", type=_inputs.size, default=64, metavar="BYTES", help="data bytes a block (64)")
    group.add_argument(
        "--leader", type=_inputs.decimal, default=32, metavar="FRAMES", help="zeros before the blocks (32)"
    )
    group.add_argument("--trailer", type=_inputs.decimal, default=0, metavar="FRAMES", help="zeros behind them (0)")


def tape_options(arguments: argparse.Namespace) -> dict[str, int]:
    """The same, for `make_tape`."""
    return {name: getattr(arguments, name) for name in ("block_size", "leader", "trailer")}


def run(arguments: argparse.Namespace) -> int:
    """Assemble; write and print what was asked for."""
    from minisim.cpu.assembler import assemble
    from minisim.cpu.listing import listing_text

    write = _writer(arguments.output)
    program = assemble(_inputs.read_sources(arguments.sources))
    start = program.start if arguments.start is None else arguments.start
    _inputs.want_even_start(start, arguments.sources[0])
    if write is not None and not program.blocks:
        raise _inputs.unusable(arguments.sources[0], "the program places no bytes")
    if write is not None:
        write(arguments, program, start)
    if arguments.json:
        print(json.dumps(_record(program, start), indent=2))
    elif arguments.listing:
        print(listing_text(program), end="")
    else:
        print(_summary(program, start))
    return 0


Writer = Callable[[argparse.Namespace, "Program", int | None], None]


def _writer(output: str | None) -> Writer | None:
    """What writes such a file; its ending decides."""
    writers: dict[str, Writer] = {".papertape": _write_tape, ".rom": _write_rom, ".words": _write_words}
    if output is None:
        return None
    ending = Path(output).suffix
    if ending not in writers:
        raise _inputs.unusable(output, f'the ending "{ending}" is not known here; {", ".join(writers)} are')
    return writers[ending]


def _blocks(program: Program) -> list[tuple[int, bytes]]:
    return [(block.address, block.data) for block in program.blocks]


def _write_tape(arguments: argparse.Namespace, program: Program, start: int | None) -> None:
    from minisim.files import write_atomically
    from minisim.tape import make_tape

    write_atomically(arguments.output, make_tape(_blocks(program), start, **tape_options(arguments)))


def _write_words(arguments: argparse.Namespace, program: Program, start: int | None) -> None:
    from minisim.files import write_atomically
    from minisim.words_text import Memory, format_words, words_in

    write_atomically(arguments.output, format_words(Memory(words_in(_blocks(program)), start)).encode())


def _write_rom(arguments: argparse.Namespace, program: Program, start: int | None) -> None:
    from minisim.rom_image import MOST_BYTES, write_rom
    from minisim.words_text import words_in

    words = words_in(_blocks(program))
    if not re.fullmatch(r"[a-z][a-z0-9-]*", arguments.boots or ""):
        why = "a ROM image needs --boots WORD, the kind of device it boots from, such as paper-tape"
        raise _inputs.unusable(arguments.output, why)
    first, last = min(words), max(words)
    if last - first >= MOST_BYTES:
        text = f"a ROM from {first:06o} to {last:06o} is larger than any ROM window"
        raise _inputs.unusable(arguments.output, text)
    write_rom(
        arguments.output,
        [words.get(address, 0) for address in range(first, last + 2, 2)],
        start=first if start is None else start,
        boots=arguments.boots,
        expects=arguments.expects,
        source=" ".join(Path(source).name for source in arguments.sources),
    )


def _summary(program: Program, start: int | None) -> str:
    count = sum(len(block.data) for block in program.blocks)
    where = "no start" if start is None else f"start {start:06o}"
    return "\n".join(
        [f"{_inputs.counted(len(program.blocks), 'block')}, {_inputs.counted(count, 'byte')}, {where}"]
        + [f"  {block.address:06o} to {block.address + len(block.data) - 1:06o}" for block in program.blocks]
    )


def _record(program: Program, start: int | None) -> dict[str, object]:
    return {
        "start": None if start is None else f"{start:06o}",
        "blocks": [{"at": f"{at:06o}", "bytes": [f"{byte:03o}" for byte in data]} for at, data in _blocks(program)],
        "symbols": {name: f"{value & 0o177777:06o}" for name, value in program.symbols.items()},
    }
