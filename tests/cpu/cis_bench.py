"""What the tests of the commercial instructions share: a processor that executes one, and bytes in its memory."""

from __future__ import annotations

from collections.abc import Sequence

from core_bench import AT, STACK, Bell, prepared

from minisim.cpu._core import ffi
from minisim.cpu.instructions import table

PROFILE = "late-ttl-commercial"
IN_LINE = 0o100
FIRST, SECOND, RESULT, TABLE, LIST = 0o4000, 0o6000, 0o10000, 0o12000, 0o14000
ZONED, UNSIGNED, TRAILING_OVER, LEADING_OVER, TRAILING_SEP, LEADING_SEP, PACKED, UNSIGNED_PACKED = range(8)
TYPES = ("signed zoned", "unsigned zoned", "trailing overpunch", "leading overpunch", "trailing separate",
         "leading separate", "signed packed", "unsigned packed")  # fmt: skip
SERVICE, COUNTER = 0o3000, 0o3040


def descriptor(kind: int, length: int) -> int:
    """Word 0 of a decimal descriptor [processor facts 5.1]."""
    return kind << 12 | length


class Bench:
    """A processor with all options; PC at 1000, the stack below 700 octal."""

    def __init__(self, profile: str = PROFILE) -> None:
        self.core = prepared(profile, memory=0o20000)
        self.bell = Bell(self.core, (0o300, 4))

    def put(self, address: int, data: bytes) -> None:
        """Bytes from an address on."""
        ffi.memmove(self.core.raw.memory + address, data, len(data))

    def get(self, address: int, count: int) -> bytes:
        """Bytes from an address on."""
        return bytes(ffi.buffer(self.core.raw.memory + address, count))

    def load(self, name: str, *following: int, registers: Sequence[int] = (), ps: int = 0) -> None:
        """Put an instruction at PC; a HALT stands behind it."""
        core = self.core
        core.put(AT, table()[name].value, *following, 0)
        core.ps = ps
        core.pc, core.sp = AT, STACK
        for number in range(6):
            core[number] = registers[number] if number < len(registers) else 0o111111 * (number + 1) & 0o177777

    def do(self, name: str, *following: int, registers: Sequence[int] = (), codes: int = 0o17) -> str:
        """Execute one instruction: N Z V C afterwards, four characters."""
        self.load(name, *following, registers=registers, ps=codes)
        self.core.run(1)
        assert (self.core.pc, self.core.sp) == (AT + 2 + 2 * len(following), STACK)
        return f"{self.core.ps & 0o17:04b}"

    def registers(self) -> list[int]:
        """R0 to R5."""
        return [self.core[number] for number in range(6)]

    def lists(self, *descriptors: tuple[int, int]) -> list[int]:
        """Descriptors in memory: their addresses."""
        for index, words in enumerate(descriptors):
            self.core.put(LIST + 4 * index, *words)
        return [LIST + 4 * index for index in range(len(descriptors))]
