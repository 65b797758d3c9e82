"""Conditions as they are typed: `pc 001000`, `write 177564 and r2 000000`, `trap 10 or printed "tide:"`.

`and` binds closer than `or`.  A text stands between quotes; where it is one word, they may be left out.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from minisim.bench.answer import Refused
from minisim.bench.numbers import REGISTERS, WORD, even, octal, word
from minisim.cpu.operands import NAMES
from minisim.machine.conditions import LAST_VECTOR, LONGEST_TEXT, MOST_CONDITIONS, MOST_TOGETHER
from minisim.machine.records import Access, Address, All, Condition, RegisterHolds, Text, TrapTaken

ALLOWED = (
    "pc 001000",
    "r0 000000 to r5, sp",
    "read 177560",
    "write 177564",
    "trap 10",
    "printed TEXT",
    "several, joined by and / or",
)
KINDS = {
    "pc": "the next instruction lies at this address",
    **{f"r{number}": f"R{number} holds this word" for number in range(6)},
    "sp": "SP holds this word",
    "read": "the program reads this address",
    "write": "the program writes to this address",
    "trap": "a trap or an interrupt goes through this vector",
    "printed": "the console has printed this text",
}
_TOKENS = re.compile(r'"(?P<quoted>(?:[^"\\]|\\["\\])*)"|(?P<plain>[^\s"]+)|(?P<wrong>\S+)')
_JOINTS = ("and", "or")


@dataclass(frozen=True, slots=True)
class Clause:
    """One thing that may hold: `kind` is a word of KINDS, `number` what stands behind it, of `printed` the `text`."""

    kind: str
    number: int = 0
    text: str = ""

    def __str__(self) -> str:
        if self.kind == "printed":
            return f"printed {_quoted(self.text)}"
        return f"trap {self.number:o}" if self.kind == "trap" else f"{self.kind} {self.number:06o}"


Term = Text | Address | Access | RegisterHolds | TrapTaken
Tree = tuple[tuple[Clause, ...], ...]
"""Alternatives; of each all clauses must hold."""


def parse(text: str) -> Tree:
    """The tree of a condition.  Refused: it is none; the answer names what is allowed."""
    found: list[list[Clause]] = [[]]
    tokens = _tokens(text)
    while True:
        found[-1].append(_clause(tokens))
        if len(found) > MOST_CONDITIONS or len(found[-1]) > MOST_TOGETHER:
            raise Refused(f"at most {MOST_TOGETHER} are joined by `and`, and {MOST_CONDITIONS} of these by `or`")
        if not tokens:
            return tuple(map(tuple, found))
        joint, is_text = tokens.pop(0)
        if is_text or joint.lower() not in _JOINTS:
            raise _refused(f'"{joint}" can\'t stand there')
        if joint.lower() == "or":
            found.append([])


def shown(tree: Tree) -> str:
    """A tree as it would be typed."""
    return " or ".join(" and ".join(map(str, clauses)) for clauses in tree)


def conditions_of(tree: Tree) -> list[Condition]:
    """Conditions for `Machine.run(until=...)`: one of them must come true."""
    return [_record(clauses[0]) if len(clauses) == 1 else All(tuple(map(_record, clauses))) for clauses in tree]


# --- reading ----------------------------------------------------------------------------------------------------------


def _refused(why: str) -> Refused:
    return Refused(f"{why}; a condition is one of: {', '.join(ALLOWED)}")


def _tokens(text: str) -> list[tuple[str, bool]]:
    """Words and quoted texts, each with whether it is a text."""
    found = []
    for match in _TOKENS.finditer(text):
        if match["wrong"] is not None:
            raise _refused("a text between quotes has no end")
        quoted = match["quoted"]
        found.append((match["plain"], False) if quoted is None else (re.sub(r"\\(.)", r"\1", quoted), True))
    return found


def _clause(tokens: list[tuple[str, bool]]) -> Clause:
    if not tokens:
        raise _refused("a condition is missing")
    kind, is_text = tokens.pop(0)
    kind = kind.lower()
    number = REGISTERS.get(kind)
    if is_text or (kind not in KINDS and number is None):
        raise _refused(f'"{kind}" is no condition')
    kind = kind if number is None else NAMES[number].lower()
    if not tokens or (not tokens[0][1] and tokens[0][0].lower() in _JOINTS):
        raise _refused(f'"{kind}" has nothing behind it')
    return _with_value(kind, *tokens.pop(0))


def _with_value(kind: str, value: str, is_text: bool) -> Clause:
    if kind == "printed":
        if not value.isascii() or not 0 < len(value) <= LONGEST_TEXT:
            raise _refused(f"a text has 1 to {LONGEST_TEXT} ASCII characters")
        return Clause(kind, text=value)
    if is_text:
        raise _refused(f'"{kind}" takes a number')
    if kind == "trap":
        return Clause(kind, _vector(value))
    return Clause(kind, even(value, WORD) if kind == "pc" else word(value))


def _vector(text: str) -> int:
    number = octal(text, LAST_VECTOR, "a vector")
    if number % 4:
        raise Refused(f"a vector is a multiple of 4, as 4, 10, 60; {text} is none")
    return number


def _quoted(text: str) -> str:
    """Without quotes where a bare word reads back as the same."""
    if re.fullmatch(r'[^\s"\\]+', text) and text.lower() not in _JOINTS:
        return text
    return '"' + re.sub(r'(["\\])', r"\\\1", text) + '"'


# --- records ----------------------------------------------------------------------------------------------------------


def _record(clause: Clause) -> Term:
    """The record of one clause."""
    if clause.kind == "pc":
        return Address(clause.number)
    if clause.kind in ("read", "write"):
        return Access(clause.number, read=clause.kind == "read", write=clause.kind == "write")
    if clause.kind == "printed":
        return Text(clause.text)
    if clause.kind == "trap":
        return TrapTaken(clause.number)
    return RegisterHolds(REGISTERS[clause.kind], clause.number)
