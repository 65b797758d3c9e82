"""Reads what must hold at the end of a step: conditions joined by `and` and `or`; `and` binds closer.

A text stands between double quotes.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal

from minisim.lessons.checks import (
    Accumulator,
    Check,
    Consistent,
    Finds,
    Fitted,
    Flag,
    Halted,
    Leaf,
    Looked,
    Memory,
    Printed,
    Register,
    Said,
    SwitchedOn,
    Touched,
    Trapped,
)
from minisim.problems import nearest


class CheckError(ValueError):
    """A check that can't be read; the message says what is allowed."""


_DECIMAL = re.compile(r"-?[0-9]{1,20}(\.[0-9]{1,20})?(E-?[0-9]{1,2})?\Z", re.ASCII)
_TOKEN = re.compile(r'\s*("([^"]*)"|\S+)')


def read_check(text: str) -> Check:
    """Read a check.  CheckError: it can't be read."""
    ways: list[list[list[str]]] = [[[]]]
    for match in _TOKEN.finditer(text.strip()):
        word = match[1]
        if word == "or":
            ways.append([[]])
        elif word == "and":
            ways[-1].append([])
        else:
            ways[-1][-1].append(word)
    return Check(" ".join(text.split()), tuple(tuple(_leaf(words) for words in way) for way in ways))


def _leaf(words: list[str]) -> Leaf:
    if not words:
        raise CheckError("a condition is missing beside and, or")
    reader = _READERS.get(words[0])
    if reader is None:
        raise CheckError(f'"{words[0]}" begins no condition{nearest(words[0], _READERS)}; {_FORMS}')
    return reader(words)


def _octal(word: str, most: int = 0o177777) -> int:
    if not word or set(word) - set("01234567") or int(word, 8) > most:
        raise CheckError(f'"{word}" is no octal number up to {most:o}')
    return int(word, 8)


def _words(words: list[str], count: int, form: str) -> list[str]:
    if len(words) != count + 1:
        raise CheckError(f'"{" ".join(words)}": the form is {form}')
    return words[1:]


def _register(words: list[str]) -> Leaf:
    (word,) = _words(words, 1, f"{words[0]} 000012")
    return Register(words[0], _octal(word))


def _flag(words: list[str]) -> Leaf:
    (state,) = _words(words, 1, f"{words[0]} on")
    if state not in ("on", "off"):
        raise CheckError(f'"{state}" is neither on nor off')
    return Flag(words[0], state == "on")


def _word(words: list[str]) -> Leaf:
    address, word = _words(words, 2, "word 001000 000005")
    if _octal(address) & 1:
        raise CheckError(f"a word lies at an even address, not at {address}")
    return Memory(_octal(address), _octal(word), byte=False)


def _byte(words: list[str]) -> Leaf:
    address, byte = _words(words, 2, "byte 001001 000")
    return Memory(_octal(address), _octal(byte, 0o377), byte=True)


def _accumulator(words: list[str]) -> Leaf:
    (number,) = _words(words, 1, f"{words[0]} 1.5")
    if not _DECIMAL.match(number):
        raise CheckError(f'"{number}" is no decimal number such as -1.5 or 2.5E20')
    return Accumulator(int(words[0][2:]), Decimal(number))


def _printed(words: list[str]) -> Leaf:
    (text,) = _words(words, 1, 'printed "TEXT"')
    if len(text) < 3 or text[0] != '"' or text[-1] != '"':
        raise CheckError('what is printed stands between double quotes: printed "TEXT"')
    return Printed(text[1:-1])


def _touched(words: list[str]) -> Leaf:
    (address,) = _words(words, 1, f"{words[0]} 177560")
    return Touched(_octal(address), words[0] == "write")


def _trapped(words: list[str]) -> Leaf:
    (vector,) = _words(words, 1, "trap 10")
    if _octal(vector, 0o774) & 3:
        raise CheckError(f'"{vector}" is no vector: a multiple of 4 up to 774')
    return Trapped(_octal(vector))


def _looked(words: list[str]) -> Leaf:
    if len(words) < 2:
        raise CheckError("looked: where? the form is looked 001000 or looked bus")
    return Looked(" ".join(words[1:]))


def _said(words: list[str]) -> Leaf:
    if len(words) < 2:
        raise CheckError("said: which word? the form is said back")
    return Said(" ".join(words[1:]))


def _finding(words: list[str]) -> Leaf:
    if words[0] == "no":
        if words[1:2] != ["finding"]:
            raise CheckError(f'"{" ".join(words)}": the form is no finding RULE PLACE')
        words = words[1:]
        rule, place = _words(words, 2, "no finding RULE PLACE")
        return Finds(rule, place, there=False)
    rule, place = _words(words, 2, "finding RULE PLACE")
    return Finds(rule, place, there=True)


def _consistent(words: list[str]) -> Leaf:
    _words(words, 0, "consistent")
    return Consistent()


def _switched(words: list[str]) -> Leaf:
    if words[1:] != ["on"]:
        raise CheckError(f'"{" ".join(words)}": the form is switched on')
    return SwitchedOn()


def _halted(words: list[str]) -> Leaf:
    _words(words, 0, "halted")
    return Halted()


def _fitted(words: list[str]) -> Leaf:
    place, board = _words(words, 2, "fitted PLACE BOARD")
    return Fitted(place, board)


def _empty(words: list[str]) -> Leaf:
    (place,) = _words(words, 1, "empty PLACE")
    return Fitted(place, "")


_READERS: dict[str, Callable[[list[str]], Leaf]] = {
    **dict.fromkeys(("pc", "sp", "ps", *(f"r{number}" for number in range(8))), _register),
    **dict.fromkeys(tuple("nzvc"), _flag),
    "word": _word,
    "byte": _byte,
    **dict.fromkeys((f"ac{number}" for number in range(6)), _accumulator),
    "printed": _printed,
    "halted": _halted,
    "read": _touched,
    "write": _touched,
    "trap": _trapped,
    "looked": _looked,
    "said": _said,
    "finding": _finding,
    "no": _finding,
    "consistent": _consistent,
    "switched": _switched,
    "fitted": _fitted,
    "empty": _empty,
}
FORMS = (
    ("r2 000000, sp 000776, pc 001000, ps 000344", "a register holds this word"),
    ("n on, z off, v on, c off", "a condition code"),
    ("word 001000 000005, byte 001001 000", "what memory holds, by its address on the bus"),
    ("ac0 1.5", "a floating accumulator, decimal, in the length of the floating status"),
    ('printed "TEXT"', "the console has printed it since the step began"),
    ("halted", "the processor has halted in this step"),
    ("read 177560, write 177564", "the program touched the address since the step began"),
    ("trap 10", "a trap or an interrupt went through this vector since the step began"),
    ("looked 001000, looked bus", "the learner looked there, at the bench, an octal console or a front panel"),
    ("said back", "the learner used this word"),
    ("finding RULE PLACE, no finding RULE PLACE", "at plan: the rules find it, or not"),
    ("consistent", "at plan: the rules find nothing that the loadout does not accept"),
    ("switched on", "at plan: the machine was switched on, and no board was moved or set since"),
    ("fitted PLACE BOARD, empty PLACE", "at plan: what is in a place"),
)
"""The forms of conditions, for the page about them."""
_FORMS = f"conditions begin with {', '.join(_READERS)}"
