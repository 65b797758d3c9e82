"""Numbers and names as they are typed at the bench: octal words and addresses, decimal counts with a dot."""

from __future__ import annotations

from minisim.bench.answer import Refused

REGISTERS = {f"r{number}": number for number in range(8)} | {"sp": 6, "pc": 7}
WORD = 0o177777
MOST_COUNT = 1_000_000_000


def is_octal(text: str) -> bool:
    """Octal digits and nothing else."""
    return bool(text) and text.isascii() and not set(text) - set("01234567")


def octal(text: str, most: int, what: str) -> int:
    """A number in octal.  Refused: something else, or more than `most`."""
    if not is_octal(text) or len(text) > 12:
        raise Refused(f'{what} is octal, digits 0 to 7; "{text}" is not')
    value = int(text, 8)
    if value > most:
        raise Refused(f"{what} goes up to {most:o}; {text} is more")
    return value


def word(text: str) -> int:
    """A word."""
    return octal(text, WORD, "a word")


def even(text: str, most: int) -> int:
    """An even address."""
    address = octal(text, most, "an address")
    if address & 1:
        raise Refused(f"a word lies at an even address; {text} is odd, {address - 1:06o} is the word that it is in")
    return address


def is_count(text: str) -> bool:
    """Is this meant as a count: decimal digits and a dot, or one digit?"""
    is_decimal = text.endswith(".") and text[:-1].isascii() and text[:-1].isdigit()
    return is_decimal or (len(text) == 1 and text in "1234567")


def count(text: str, most: int = MOST_COUNT) -> int:
    """A decimal count, with a dot behind it."""
    if not is_count(text):
        raise Refused(f'a count is decimal with a dot behind it, as in 10.; "{text}" is not')
    digits = text.removesuffix(".")
    if len(digits) > 12 or not 1 <= int(digits) <= most:
        raise Refused(f"a count goes from 1. to {most}.; {text} does not")
    return int(digits)


def seconds(text: str, most: int = 3600) -> float:
    """Seconds in decimal, whole or with a fraction."""
    whole, _, part = text.removesuffix(".").partition(".")
    parts = (whole, part) if part else (whole,)
    if len(text) > 12 or not all(each.isascii() and each.isdigit() for each in parts):
        raise Refused(f'seconds are decimal, as in 10 or 0.5; "{text}" is not')
    value = float(f"{whole}.{part or 0}")
    if not 0 < value <= most:
        raise Refused(f"it may be more than 0 and up to {most} seconds; {text} is not")
    return value


def counted(number: int, one: str, many: str = "") -> str:
    """A count with its unit: `1 instruction`, `3 instructions`."""
    return f"{number} {one if number == 1 else many or one + 's'}"
