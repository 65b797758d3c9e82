"""Assembling the demo programs and running them: quickly in a bare core, or on the two demo machines."""

from __future__ import annotations

import shutil
from pathlib import Path

import minisim
from minisim.cpu.assembler import Program, assemble, words_of
from minisim.cpu.handle import Core, Stop
from minisim.tape import make_tape

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"
SOURCES = KITTIWAKE / "src"
MEDIA = KITTIWAKE / "media"
LIMIT = 50_000_000
OUTPUT = 0o60000  # the quick run prints into memory from here on

# A bare core has no console and no clock: characters go to memory, and minutes need no tick.
REPLACED = {
    "TSTB @#transmit\n        BPL  put\n        MOVB R0,@#transmit+2": f"MOVB R0,@{OUTPUT:o}\n        INC  {OUTPUT:o}",
    "clock    = 177546": "clock    = 57776",
    "pause:  TST  ticks": "pause:  RTS PC",
}


def source(name: str) -> tuple[str, str]:
    """A source of the demo by its file name."""
    return name, (SOURCES / name).read_text(encoding="utf-8")


def tides(constituents: str) -> Program:
    """The tide program with other constituents."""
    return assemble([source("tides.s"), ("constituents.s", constituents)])


def quick_run(constituents: str, profile: str = "late-ttl-commercial") -> str:
    """What the program prints, run in a bare core."""
    name, text = source("tides.s")
    for old, new in REPLACED.items():
        assert text.count(old) == 1, f"the quick run does not fit tides.s any more: {old}"
        text = text.replace(old, new)
    program = assemble([(name, text), ("constituents.s", constituents)])
    core = Core(profile)
    for block in program.blocks:
        core.put(block.address, *words_of(block))
    core.put(OUTPUT, OUTPUT + 2)
    assert program.start is not None
    core.pc = program.start
    stop = core.run(10_000_000)
    assert stop is Stop.HALTED, f"{stop} at {core.pc:06o}"
    count = core.word(OUTPUT) - OUTPUT - 2
    printed = b"".join(core.word(OUTPUT + 2 + at).to_bytes(2, "little") for at in range(0, count + 1, 2))
    return printed[:count].decode("ascii")


def tape_of(program: Program) -> bytes:
    """A program as a tape, as `minisim tape make` makes it."""
    return make_tape([(block.address, block.data) for block in program.blocks], program.start)


def machine(name: str, folder: Path, tape: bytes | None = None, medium: str = "tides.papertape") -> minisim.Machine:
    """A demo machine from a copy of its folder, with another tape in its reader if one is given."""
    copy = folder / "kittiwake"
    if not copy.exists():
        shutil.copytree(KITTIWAKE, copy)
    if tape is not None:
        (copy / "media" / medium).write_bytes(tape)
    return minisim.build(minisim.read_loadout(copy / f"{name}.yaml"))
