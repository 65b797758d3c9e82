"""Our own instruction test programs: assembler sources, one file a program, with a frame in front of each.

The first lines of a source are remarks `; key: value`:

    needs    modules of the processor, as in trial cases (eis, fpp, mmu, map, later-base, ...), with blanks between
    device   id of the device it tests; the program is told where its first unit answers
    memory   KB of memory it needs at least (decimal)
    scratch  yes: it writes on the medium in the drive
    person   what a person has to do before it can run (a plug, a switch); without that it is not run
    frame    no: it stands alone and needs no console (its end is the HALT at `done`)
    with     what it shares with others: names of files in parts/, which stand between the frame and the program
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.cpu.assembler import Program

FOLDER = Path(__file__).parent
FRAME = "frame"
KEYS = ("needs", "device", "memory", "scratch", "person", "frame", "with")


@dataclass(frozen=True, slots=True)
class TestProgram:
    """One program: what it needs, and as it lies in memory ."""

    __test__ = False  # no class of tests

    name: str
    about: str
    needs: tuple[str, ...]
    device: str
    memory_kb: int
    scratch: bool
    person: str
    framed: bool
    program: Program

    def at(self, symbol: str) -> int:
        """The address of a label of its source."""
        return self.program.symbols[symbol]


def names() -> list[str]:
    """All programs, in the order in which a machine is tested: a name's place in ORDER, then by name."""
    found = [path.stem for path in FOLDER.glob("*.s") if path.stem != FRAME]
    return sorted(found, key=lambda name: (_rank(name), name))


ORDER = (
    *("first", "base", "base-known", "later", "mark", "rtt", "ps", "spl", "traps", "memory"),
    *("eis", "fis", "fpp", "cis", "mmu", "memory-high", "bus-map"),
)
"""What the others lean on comes first; whatever is not named here follows."""


def _rank(name: str) -> int:
    return ORDER.index(name) if name in ORDER else len(ORDER)


@cache
def program(name: str) -> TestProgram:
    """One program, assembled.  KeyError: there is none of that name."""
    from minisim.cpu.assembler import assemble

    path = FOLDER / f"{name}.s"
    if name not in names():
        raise KeyError(name)
    source = path.read_text(encoding="ascii")
    head = header(source)
    framed = head.get("frame", "yes") != "no"
    frame = [(f"{FRAME}.s", (FOLDER / f"{FRAME}.s").read_text(encoding="ascii"))] if framed else []
    parts = [FOLDER / "parts" / f"{each}.s" for each in head.get("with", "").split()]
    shared = [(part.name, part.read_text(encoding="ascii")) for part in parts]
    built = assemble([*frame, *shared, (path.name, source)])
    return TestProgram(
        name=name,
        about=_text_at(built, "about") if "about" in built.symbols else "",
        needs=tuple(head.get("needs", "").split()),
        device=head.get("device", ""),
        memory_kb=int(head.get("memory", "8")),
        scratch=head.get("scratch", "no") == "yes",
        person=head.get("person", ""),
        framed=framed,
        program=built,
    )


def header(source: str) -> dict[str, str]:
    """The remarks `; key: value` before the first line that is none.  ValueError: a key that is not known."""
    found: dict[str, str] = {}
    for line in source.splitlines():
        if not line.startswith(";"):
            break
        key, colon, value = line[1:].strip().partition(":")
        if colon and key in KEYS:
            found[key] = value.strip()
    return found


def _text_at(built: Program, symbol: str) -> str:
    """The text (.asciz) at a label."""
    address = built.symbols[symbol]
    for block in built.blocks:
        if block.address <= address < block.address + len(block.data):
            return block.data[address - block.address :].split(b"\0")[0].decode("ascii")
    return ""


def keystrokes(test: TestProgram) -> bytes:
    """What a person types at an octal console to put a program in and start it: LF goes on to the next word."""
    lines: list[str] = []
    for block in test.program.blocks:
        if not block.data:
            continue
        data = block.data + bytes(len(block.data) % 2)
        words = [int.from_bytes(data[at : at + 2], "little") for at in range(0, len(data), 2)]
        lines += [f"{block.address:o}/{words[0]:o}", *(f"\n{word:o}" for word in words[1:]), "\r"]
    return "".join([*lines, f"{test.program.start:o}G"]).encode("ascii")
