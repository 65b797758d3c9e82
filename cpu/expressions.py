"""Expressions of the assembler: numbers, symbols, `.`, one sign before a term, + - * / & ! and < > for grouping.

Numbers are octal; a trailing point makes them decimal; 'c is the code of a character.  Operators are taken from left
to right.  Where the usual order of arithmetic would give something else (`A+B*2`), the line is refused until < > say
what is meant: a silent misreading costs more than two characters.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from minisim.cpu.scanner import LineError, Scanner, Token, shown

RANKS = {"!": 0, "&": 1, "+": 2, "-": 2, "*": 3, "/": 3}


@dataclass(frozen=True, slots=True)
class Number:
    """A value that stands in the source."""

    value: int
    column: int


@dataclass(frozen=True, slots=True)
class Symbol:
    """A name, or a local label with the number of its stretch of source (`scope`, 0 for ordinary names)."""

    name: str
    scope: int
    column: int


@dataclass(frozen=True, slots=True)
class Here:
    """The current address, written `.`"""

    column: int


@dataclass(frozen=True, slots=True)
class Negated:
    """A term with a minus before it."""

    term: Expression
    column: int


@dataclass(frozen=True, slots=True)
class Pair:
    """Two terms and the operator between them."""

    operator: str
    left: Expression
    right: Expression
    column: int


Expression = Number | Symbol | Here | Negated | Pair
Lookup = Callable[[Symbol], int]


def number(token: Token) -> int:
    """The value of a number token: octal, or decimal with a trailing point."""
    digits = token.text
    if digits.endswith("."):
        return int(digits[:-1])
    if set(digits) & set("89"):
        raise LineError(token.column, f"{digits} is not octal; a decimal number ends with a point: {digits}.")
    return int(digits, 8)


def parse(scanner: Scanner, scope: int = 0) -> Expression:
    """Read the longest expression that stands next; `scope` is the stretch local labels belong to."""
    left = _term(scanner, scope)
    lowest = max(RANKS.values())
    while scanner.peek().text in RANKS and scanner.peek().kind == "sign":
        operator = scanner.take()
        rank = RANKS[operator.text]
        if rank > lowest:
            raise LineError(
                operator.column,
                f"put < > around what belongs together: operators act from left to right, so {operator.text} "
                "would not come first here",
            )
        lowest = rank
        left = Pair(operator.text, left, _term(scanner, scope), operator.column)
    return left


def _term(scanner: Scanner, scope: int) -> Expression:
    token = scanner.take()
    if token.kind == "number":
        return Number(number(token), token.column)
    if token.kind == "character":
        return Number(ord(token.text[1]), token.column)
    if token.kind in ("name", "local"):
        return Symbol(token.text, scope if token.kind == "local" else 0, token.column)
    if token.text == ".":
        return Here(token.column)
    if token.text == "-":
        return Negated(_term(scanner, scope), token.column)
    if token.text == "<":
        return _group(scanner, scope, token)
    raise LineError(token.column, f"a number or a symbol is wanted here, not {shown(token)}")


def _group(scanner: Scanner, scope: int, opening: Token) -> Expression:
    inside = parse(scanner, scope)
    if not scanner.take_sign(">"):
        raise LineError(opening.column, f"this < has no >; {shown(scanner.peek())} stands where it is wanted")
    return inside


def evaluate(expression: Expression, here: int, lookup: Lookup) -> int:
    """The value, without any limit of width; `lookup` gives symbols and may raise LineError."""
    if isinstance(expression, Number):
        return expression.value
    if isinstance(expression, Symbol):
        return lookup(expression)
    if isinstance(expression, Here):
        return here
    if isinstance(expression, Negated):
        return -evaluate(expression.term, here, lookup)
    left, right = evaluate(expression.left, here, lookup), evaluate(expression.right, here, lookup)
    return _apply(expression, left, right)


def _apply(pair: Pair, left: int, right: int) -> int:
    if pair.operator == "/":
        if right == 0:
            raise LineError(pair.column, "division by zero")
        size = abs(left) // abs(right)  # toward zero, as the machine's own division
        return size if (left < 0) == (right < 0) else -size
    operations: dict[str, Callable[[int, int], int]] = {
        "+": lambda a, b: a + b,
        "-": lambda a, b: a - b,
        "*": lambda a, b: a * b,
        "&": lambda a, b: a & b,
        "!": lambda a, b: a | b,
    }
    return operations[pair.operator](left, right)
