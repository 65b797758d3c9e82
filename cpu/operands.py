"""General operands as the handbooks write them: eight addressing modes, and four more through PC.

One place for both directions: `parse` reads an operand for the assembler, `show` writes one for the disassembler.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from minisim.cpu.expressions import Expression, Number, parse
from minisim.cpu.scanner import LineError, Scanner, shown

SP, PC = 6, 7
REGISTERS = {**{f"R{n}": n for n in range(8)}, "SP": SP, "PC": PC}
ACCUMULATORS = tuple(f"AC{n}" for n in range(6))
NAMES = ("R0", "R1", "R2", "R3", "R4", "R5", "SP", "PC")
STEP, DEFERRED_STEP, INDEX, DEFERRED_INDEX = 0o20, 0o30, 0o60, 0o70
IMMEDIATE, ABSOLUTE, RELATIVE, DEFERRED_RELATIVE = 0o27, 0o37, 0o67, 0o77


@dataclass(frozen=True, slots=True)
class Operand:
    """Mode and register in six bits, and the word that follows, if the mode has one."""

    code: int
    extra: Expression | None
    column: int

    @property
    def words(self) -> int:
        """How many words it adds to the instruction."""
        return 0 if self.extra is None else 1

    def extra_word(self, address: int, value: Callable[[Expression], int]) -> int:
        """The word that follows the instruction and lies at `address`; `value` gives a word."""
        assert self.extra is not None
        found = value(self.extra)
        if self.code in (RELATIVE, DEFERRED_RELATIVE):
            return (found - address - 2) & 0o177777
        return found


def register_of(text: str) -> int | None:
    """The number of a register by its name, in either case."""
    return REGISTERS.get(text.upper())


def take_register(scanner: Scanner) -> int | None:
    """Pass over a register name if one stands next."""
    token = scanner.peek()
    register = register_of(token.text) if token.kind == "name" else None
    if register is not None:
        scanner.take()
    return register


def want_register(scanner: Scanner) -> int:
    """Pass over a register name, which must stand next."""
    token = scanner.peek()
    register = take_register(scanner)
    if register is None:
        raise LineError(token.column, f"a register (R0 to R5, SP, PC) is wanted here, not {shown(token)}")
    return register


def accumulator_of(text: str) -> int | None:
    """The number of an accumulator by its name, in either case."""
    name = text.upper()
    return ACCUMULATORS.index(name) if name in ACCUMULATORS else None


def accumulator_name(number: int) -> str:
    """AC0 to AC5.  LookupError: there is none of this number."""
    return ACCUMULATORS[number]


def want_accumulator(scanner: Scanner, count: int) -> int:
    """Pass over one of the first `count` accumulators, which must stand next."""
    token = scanner.peek()
    found = accumulator_of(token.text) if token.kind == "name" else None
    if found is None or found >= count:
        raise LineError(token.column, f"an accumulator (AC0 to AC{count - 1}) is wanted here, not {shown(token)}")
    scanner.take()
    return found


def want_sign(scanner: Scanner, sign: str) -> None:
    """Pass over a sign, which must stand next."""
    token = scanner.peek()
    if not scanner.take_sign(sign):
        raise LineError(token.column, f'"{sign}" is wanted here, not {shown(token)}')


def parse_operand(scanner: Scanner, scope: int) -> Operand:
    """Read one operand in any of its twelve forms."""
    column = scanner.column
    deferred = scanner.take_sign("@")
    if scanner.take_sign("#"):
        return Operand(ABSOLUTE if deferred else IMMEDIATE, parse(scanner, scope), column)
    register = take_register(scanner)
    if register is not None:
        return Operand(0o10 | register if deferred else register, None, column)
    stepped = _stepped_down(scanner, deferred, column) or _in_parentheses(scanner, deferred, column)
    return stepped or _indexed_or_relative(scanner, scope, deferred, column)


def parse_floating(scanner: Scanner, scope: int) -> Operand:
    """Read a floating operand: an accumulator, or any form that is in memory."""
    token = scanner.peek()
    if token.kind == "name" and (accumulator_of(token.text) is not None or register_of(token.text) is not None):
        return Operand(want_accumulator(scanner, len(ACCUMULATORS)), None, token.column)
    return parse_operand(scanner, scope)


def _stepped_down(scanner: Scanner, deferred: bool, column: int) -> Operand | None:
    before = scanner.position()
    if scanner.take_sign("-"):
        if scanner.take_sign("("):
            register = want_register(scanner)
            want_sign(scanner, ")")
            return Operand((0o50 if deferred else 0o40) | register, None, column)
        scanner.back(before)
    return None


def _in_parentheses(scanner: Scanner, deferred: bool, column: int) -> Operand | None:
    if not scanner.take_sign("("):
        return None
    register = want_register(scanner)
    want_sign(scanner, ")")
    if scanner.take_sign("+"):
        return Operand((DEFERRED_STEP if deferred else STEP) | register, None, column)
    if deferred:  # @(R0) is short for @0(R0)
        return Operand(DEFERRED_INDEX | register, Number(0, column), column)
    return Operand(0o10 | register, None, column)


def _indexed_or_relative(scanner: Scanner, scope: int, deferred: bool, column: int) -> Operand:
    extra = parse(scanner, scope)
    if scanner.take_sign("("):
        register = want_register(scanner)
        want_sign(scanner, ")")
        return Operand((DEFERRED_INDEX if deferred else INDEX) | register, extra, column)
    return Operand(DEFERRED_RELATIVE if deferred else RELATIVE, extra, column)


def has_extra(code: int) -> bool:
    """True where a word follows the instruction for this operand."""
    return code >= INDEX or code in (IMMEDIATE, ABSOLUTE)


def show(code: int, extra: int, after: int) -> str:
    """An operand as the handbooks write it; `extra` is its word, `after` the address just past that word."""
    if code in (RELATIVE, DEFERRED_RELATIVE):
        return ("@" if code == DEFERRED_RELATIVE else "") + f"{(after + extra) & 0o177777:06o}"
    if code in (IMMEDIATE, ABSOLUTE):
        return ("@#" if code == ABSOLUTE else "#") + f"{extra:06o}"
    name = NAMES[code & 7]
    written = ("{r}", "({r})", "({r})+", "@({r})+", "-({r})", "@-({r})", "{x:06o}({r})", "@{x:06o}({r})")[code >> 3]
    return written.format(r=name, x=extra)
