"""A line of a case, made ready to be run on any profile: what is written where, and what is looked at afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from minisim.machine.explain import DECIMAL_TYPES
from minisim.trials import assembly
from minisim.trials.keys import KIND, MEMORY, UNCHANGED, WORD, Key, Value, key_of
from minisim.trials.model import DEFAULT_AT, Line, Setting

STATIC = frozenset({"encoding", "text", "f-words", "f-chopped", "d-words", "bytes", "frames"})
"""Kinds of `then` that need no machine."""

STACKS = {0: 0o700, 1: 0o640, 3: 0o600}
"""Stack pointers where a case gives none: above the limit of 400, below the program at 001000."""

MMR0 = 0o17572
LOW_BYTES = 0o160000
"""What a program reaches without memory management."""

PUSHED = 4  # bytes of PS and PC


@dataclass(frozen=True)
class Plan:
    """One line, ready to run."""

    line: Line

    @cached_property
    def given(self) -> dict[str, Setting]:
        """What is set up, by kind and number."""
        return {f"{key.kind.name} {key.number:o}": (key, value) for key, value in self.line.given}

    def value(self, name: str) -> Value:
        """A key of `given` that has no number; None where it does not stand."""
        found = self.given.get(f"{name} 0")
        return None if found is None else found[1]

    @cached_property
    def is_static(self) -> bool:
        """Nothing runs: number formats, tapes, what assembler and disassembler give."""
        return bool(self.line.then) and all(key.kind.name in STATIC for key, _ in self.line.then)

    @cached_property
    def options(self) -> frozenset[str] | None:
        """The exact options fitted, or None."""
        value = self.value("options")
        return frozenset(value.split()) if isinstance(value, str) else None

    @cached_property
    def decimal(self) -> tuple[int, int] | None:
        """Type and digits of the decimal strings that `then` holds, or None."""
        kind, digits = self.value("decimal-type"), self.value("digits")
        return (DECIMAL_TYPES.index(kind), digits) if isinstance(kind, str) and isinstance(digits, int) else None

    @cached_property
    def memory_kb(self) -> int | None:
        """Memory fitted, or None for as much as usual."""
        value = self.value("memory-kb")
        return value if isinstance(value, int) else None

    @cached_property
    def top(self) -> int:
        """The highest physical address of memory that the case names."""
        named = [key.number + 2 * _length(value) for key, value in (*self.line.given, *self.line.then)
                 if key.kind.name in MEMORY]  # fmt: skip
        named += [value for key, value in self.line.then if key.kind.name == "physical" and isinstance(value, int)]
        return max(named, default=0)

    @cached_property
    def reaches_far(self) -> bool:
        """The case may write memory that needs more than 16 address bits."""
        managed = bool({"mmu", "csm"} & set(self.line.needs))
        return managed or bool(self.page) or self.top > LOW_BYTES or self.value("virtual") is not None

    @cached_property
    def at(self) -> int:
        """Where the program starts."""
        return self.line.code.at if self.line.code else DEFAULT_AT

    @cached_property
    def blocks(self) -> tuple[tuple[int, bytes], ...]:
        """The program; for `virtual` a read of that address into R0."""
        if self.line.code is not None:
            return self.line.code.blocks
        virtual = self.value("virtual")
        return assembly.of_words((0o13700, virtual), self.at).blocks if isinstance(virtual, int) else ()

    @cached_property
    def memory(self) -> tuple[tuple[int, bytes], ...]:
        """What is written into memory before the program."""
        found: list[tuple[int, bytes]] = []
        for key, value in self.line.given:
            if key.kind.name == "word" and isinstance(value, int):
                found.append((key.number, value.to_bytes(2, "little")))
            elif key.kind.name == "words" and isinstance(value, tuple):
                found.append((key.number, b"".join(word.to_bytes(2, "little") for word in value)))
            elif key.kind.name == "memory-bytes" and isinstance(value, tuple):
                found.append((key.number, bytes(value)))
            elif key.kind.name == "byte" and isinstance(value, int):
                found.append((key.number, bytes([value])))
        return tuple(found)

    @cached_property
    def page(self) -> tuple[tuple[Key, int], ...]:
        """Words written into the I/O page, the status register of memory management last."""
        found = [(key, value) for key, value in self.line.given if key.kind.name == "io" and isinstance(value, int)]
        return tuple(sorted(found, key=lambda each: each[0].number == MMR0))

    @cached_property
    def ps(self) -> int:
        """The PS before the first step, with the condition codes."""
        ps, codes = self.value("ps"), self.value("nzvc")
        ps = ps if isinstance(ps, int) else 0
        return ps if not isinstance(codes, str) else ps & ~0o17 | int(codes, 2)

    @cached_property
    def registers(self) -> tuple[tuple[int, int], ...]:
        """Registers of the current set that are not 0."""
        return tuple((key.number, value) for key, value in self.line.given
                     if key.kind.name == "register" and isinstance(value, int))  # fmt: skip

    @cached_property
    def others(self) -> tuple[tuple[str, int, int], ...]:
        """Stack pointers by mode and registers by set: kind, number, word."""
        return tuple((key.kind.name, key.number, value) for key, value in self.line.given
                     if key.kind.name in ("stack", "set0", "set1") and isinstance(value, int))  # fmt: skip

    @cached_property
    def floats(self) -> bool:
        """The case is about the floating point processor."""
        return "fpp" in self.line.needs

    @cached_property
    def accumulators(self) -> list[int]:
        """The six accumulators before the first step."""
        found = [self.given.get(f"ac {number:o}") for number in range(6)]
        return [_whole(each[1]) if each else 0 for each in found]

    @cached_property
    def halt_traps(self) -> bool:
        """The strap of the board."""
        return self.value("halt-traps") == "yes"

    @cached_property
    def wants_cycles(self) -> bool:
        """The last step is recorded."""
        return any(key.kind.name == "cycles" for key, _ in self.line.then)

    # --- what is compared ---------------------------------------------------------------------------------------------

    @cached_property
    def trap(self) -> tuple[int, ...] | None:
        """The vectors expected; () for none; None where nothing is said."""
        found = next((value for key, value in self.line.then if key.kind.name == "trap"), None)
        return found if isinstance(found, tuple) else None

    @cached_property
    def expected(self) -> tuple[Setting, ...]:
        """All that is compared: what `then` says, and what keeps its value; in the order it is told."""
        stated = [(key, self._kept(key, value)) for key, value in self.line.then if value is not None]
        if self.is_static:
            return tuple(stated)
        named = {key.text for key, _ in self.line.then}
        kept = [(key, value) for key, value in self._keeps() if key.text not in named]
        return tuple(each for each in [*stated, *kept] if not self._masked(each[0]))

    def _kept(self, key: Key, value: Value) -> Value:
        """The value written, or for `-` the one that was given."""
        if value != UNCHANGED:
            return value
        found = self.given.get(f"{key.kind.name} {key.number:o}")
        return found[1] if found else 0

    def _keeps(self) -> Iterator[Setting]:
        """What a case need not say: registers and named memory keep their values, PC goes on."""
        registers = dict(self.registers)
        read = 0 if self.line.code is None else -1  # `virtual` reads into R0
        for number in range(6):
            if number != read:
                yield key_of(f"r{number}"), registers.get(number, 0)
        if self.floats:
            for number, bits in enumerate(self.accumulators):
                yield key_of(f"ac{number}"), four_words(bits)
        if not self.trap:
            yield from self._keeps_stack_and_pc()
        written = {key.number for key, _ in self.line.then if key.kind.name in MEMORY}
        pushed = range(self._pushed_from(), self._pushed_from() + PUSHED) if self.trap else range(0)
        for key, value in self.line.given:
            inside = key.kind.name in MEMORY
            if inside and not written & self._span(key, value) and not set(pushed) & self._span(key, value):
                yield key, value

    def _keeps_stack_and_pc(self) -> Iterator[Setting]:
        sp = self.value("sp")
        own = self.given.get(f"stack {self.ps >> 14:o}")
        yield key_of("sp"), sp if sp is not None else own[1] if own else STACKS.get(self.ps >> 14, 0)
        if self.line.code is not None:
            yield key_of("pc"), assembly.pc_after(self.line.code.words, self.at, self.line.steps)
            if self.trap is None and not any(key.kind.name == "pc" for key, _ in self.line.then):
                yield Key(KIND["trap"], "trap"), ()

    def _pushed_from(self) -> int:
        """Where a trap pushes, if the kernel stack is the one in use or the one given."""
        kernel = self.given.get("stack 0") or (self.given.get("sp 0") if not self.ps >> 14 else None)
        pointer = kernel[1] if kernel else STACKS[0]
        return (pointer if isinstance(pointer, int) else 0) - PUSHED

    @staticmethod
    def _span(key: Key, value: Value) -> set[int]:
        """The bytes of a key of memory."""
        size = _length(value) * (1 if key.kind.value in ("byte", "bytes") else 2)
        return set(range(key.number, key.number + size))

    def _masked(self, key: Key) -> bool:
        mask, name = self.line.mask, key.kind.name
        if key.text in mask or name in mask:
            return True
        if name == "trap":
            return "pc" in mask and "trap" not in {key.text for key, _ in self.line.then}
        if name in ("register", "sp"):
            return "all-registers" in mask
        return name in MEMORY and "memory" in mask


def _length(value: Value) -> int:
    """How many words or bytes a value of memory has."""
    return len(value) if isinstance(value, tuple) else 1


def four_words(bits: int) -> tuple[int, ...]:
    """The words of an accumulator, highest first."""
    return tuple(bits >> shift & WORD for shift in (48, 32, 16, 0))


def _whole(words: Value) -> int:
    """An accumulator from its four words."""
    return sum(word << 48 - 16 * place for place, word in enumerate(words)) if isinstance(words, tuple) else 0
