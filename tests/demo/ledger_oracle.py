"""The ledger of the harbour dues as Python's decimal arithmetic prints it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal

ROWS = 10  # entries on a page
COLUMNS = " No Boat          For                  Amount   Discount        Tax    Balance"
CENT = Decimal("0.01")
RATES = {"A": Decimal("3.25"), "B": Decimal("4.80"), "C": Decimal("7.15"), "D": Decimal("12.37")}
DISCOUNT = Decimal("0.10")
TAX = Decimal("0.075")
PLUS, MINUS, ZONED_MINUS = "{ABCDEFGHI", "}JKLMNOPQR", "pqrstuvwxy"


@dataclass(frozen=True)
class Entry:
    """A line of the tape by its fields, and what the ledger makes of it."""

    fields: tuple[str, ...]
    amount: Decimal = Decimal(0)
    off: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)
    days: int = 0
    what: str = ""
    understood: bool = True

    @property
    def net(self) -> Decimal:
        """What the balance goes on by."""
        return self.amount - self.off + self.tax


def texts(source: str) -> list[str]:
    """The lines of text on the tape, from a dues.s."""
    return re.findall(r'^(?:dues:)?\s+\.ascii "([^"]*)"<12>$', source, re.MULTILINE)


def _letters(text: str, at: int) -> Decimal:
    """Digits of which one carries the sign in a letter."""
    letter = text[at]
    for letters, sign in ((PLUS, 1), (MINUS, -1), (ZONED_MINUS, -1), ("0123456789", 1)):
        if letter in letters:
            digits = list(text)
            digits[at] = str(letters.index(letter))
            return Decimal(sign * int("".join(digits)))
    raise ValueError(text)


def amount_of(kind: str, text: str) -> Decimal:
    """An amount on the tape, in the decimal type of its kind of entry."""
    if kind in "CA":
        cents = _letters(text, len(text) - 1)
    elif kind == "D":
        cents = _letters(text, 0)
    else:
        cents = Decimal(text if kind == "R" else text[-1] + text[:-1])
    return cents * CENT


def rounded(value: Decimal) -> Decimal:
    """To whole cents; half a cent counts as one, on both sides of 0."""
    return value.quantize(CENT, ROUND_HALF_UP)


def reckon(line: str) -> Entry:
    """One entry, from its line on the tape."""
    fields = tuple(line.split(";"))
    entry = _raw(Entry(fields))
    kind = fields[0]
    if not entry.understood:
        return entry
    if kind == "M" and (entry.days >= 30 or "(club)" in fields[1]):
        entry = replace(entry, off=rounded(entry.amount * DISCOUNT))
    if kind in "MCS":
        entry = replace(entry, tax=rounded((entry.amount - entry.off) * TAX))
    return entry


def _raw(entry: Entry) -> Entry:
    kind, *rest = entry.fields
    if kind == "M" and rest[1] in RATES:
        days = int(rest[2])
        return replace(entry, amount=RATES[rest[1]] * days, days=days, what=f"berth {rest[1]}, {days:03} days")
    if kind not in tuple("CSRDA"):
        return replace(entry, understood=False)
    amount = amount_of(kind, rest[2])
    if kind == "S":
        amount = (amount / int(rest[3])).quantize(CENT, ROUND_DOWN)
    return replace(entry, amount=-amount if kind in "RD" else amount, what=rest[1])


def money(value: Decimal) -> str:
    """A column of money."""
    return f"{abs(value):10.2f}" + ("-" if value < 0 else " ")


def _line(start: str, *columns: str) -> str:
    return f"{start:35.35}{''.join(columns):44}"


def _page(number: int, entries: list[Entry], first: int, balance: Decimal) -> list[str]:
    lines = [f"{f'Page {number:03}':79}", COLUMNS]
    start = balance
    for count, entry in enumerate(entries, first):
        if not entry.understood:
            lines.append(_line(f"{count:03} entry not understood"))
            continue
        balance += entry.net
        name = f"{count:03} {entry.fields[1].upper():13.13} {entry.what:17.17}"
        lines.append(_line(name, *map(money, (entry.amount, entry.off, entry.tax, balance))))
    lines.append(_line("    sum of this page", " " * 33, money(balance - start)))
    return lines


def ledger(source: str) -> list[str]:
    """Every line that is printed, without line ends."""
    title, *rest = texts(source)
    entries = [reckon(line) for line in rest]
    lines = ["", "Kittiwake Point Tide Station", f"Harbour dues, {title.split(';')[1]}"]
    balance = Decimal(0)
    for number, first in enumerate(range(0, len(entries), ROWS), 1):
        some = entries[first : first + ROWS]
        lines += ([""] if number == 1 else ["", ""]) + _page(number, some, first + 1, balance)
        balance += sum(entry.net for entry in some)
    return [*lines, "", *_end(entries, balance)]


def _end(entries: list[Entry], balance: Decimal) -> list[str]:
    sums = [sum((getattr(each, name) for each in entries), Decimal(0)) for name in ("amount", "off", "tax")]
    mean = (balance / len(entries)).quantize(CENT, ROUND_DOWN)
    return [
        _line("    sums of the columns", *map(money, sums)),
        _line(f"    days at berths  {sum(each.days for each in entries):05}"),
        _line("    mean of an entry", " " * 33, money(mean)),
        _line("    due to the station", money(balance), "  TOTAL"),
    ]
