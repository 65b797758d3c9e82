"""Cases of the commercial instructions, biased to what is hard; cis_beside_oracle.py runs them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

import cis_oracle as oracle
from core_bench import STACK

SIZE, WORD = oracle.SIZE, oracle.WORD
NAMES = (*oracle.OPERANDS, *oracle.LOADS)
LIST, TABLE = 0o3400, 0o3500
PLACES = (0o4000, 0o12001, 0o100000, 0o140003, 0o177770)  # the last wraps
STRINGS = oracle.MOVES | oracle.SEARCHES | {"CMPC"}


@dataclass(frozen=True)
class Case:
    """One instruction with all it works on."""

    name: str
    follows: bool
    registers: tuple[int, ...]
    words: tuple[int, ...]
    data: tuple[tuple[int, bytes], ...]  # laid in this order
    codes: int
    dues: tuple[int, ...] = ()  # ns from each start of the instruction to an interrupt
    register: int = 0  # of L2DR and L3DR

    def __str__(self) -> str:
        """What to look at in a failure."""
        registers = " ".join(f"{each:06o}" for each in self.registers)
        words = " ".join(f"{each:06o}" for each in self.words)
        data = " ".join(f"{at:06o}:{bytes_.hex()}" for at, bytes_ in self.data if len(bytes_) < 100)
        form = "I" * self.follows
        return f"{self.name}{form} R0-R5 {registers} words {words} data {data} codes {self.codes:o} dues {self.dues}"


def any_word(source: Random) -> int:
    """Sixteen bits."""
    return source.randrange(SIZE)


def byte_word(source: Random, low: int) -> int:
    """A word of which only the low byte counts."""
    return source.choice((0, source.randrange(256))) << 8 | low


# --- strings ----------------------------------------------------------------------------------------------------------

ALPHABETS = (b"A", b"AB", b"AB ", b"\x7f\x80", bytes(range(256)))
LENGTHS = (0, 0, 1, 1, 2, 3, 4, 7, 8, 9, 16, 31, 40)


def length(source: Random) -> int:
    """Mostly short."""
    return source.choice(LENGTHS) if source.randrange(300) else source.choice((255, 256, 1000, 3000))


def place_for(source: Random, count: int) -> int:
    """Long strings stay away from program and vectors."""
    return source.choice(PLACES if count < 100 else PLACES[2:4])


def text(source: Random, count: int) -> bytes:
    """Letters of few or of many kinds."""
    return bytes(source.choices(source.choice(ALPHABETS), k=count))


HUGE = (0o77777, 0o100000, 0o100001, 0o177777)


def string_case(source: Random, name: str, follows: bool, may_be_huge: bool = True) -> Case:
    """A string instruction; now and then with a length that goes on behind what was laid.

    Such a one is not interrupted: it may look at the stack, and what lies there depends on interrupts.
    """
    operands, data = _STRINGS[name](source, name)
    dues: tuple[int, ...] = ()
    if name not in oracle.MOVES and may_be_huge and source.randrange(25) == 0:
        operands[0] = source.choice(HUGE)
    elif source.randrange(3) == 0:
        dues = tuple(source.randrange(1, source.choice((400, 4000, 12000))) for _ in range(source.choice((1, 1, 2, 9))))
    return _case(source, name, follows, operands, data, dues)


Operands = tuple[list[int], list[tuple[int, bytes]]]


def _move(source: Random, name: str) -> Operands:
    """Apart, or one over the other at either side."""
    count = length(source)
    size = source.choice((count, length(source), count + 1, max(0, count - 1)))
    longer = max(count, size)
    at = place_for(source, longer)
    to = at + source.randrange(-size - 2, count + 3) if source.randrange(2) else place_for(source, longer)
    fill, data = byte_word(source, source.randrange(256)), [(at, text(source, count))]
    if count and source.randrange(40) == 0:
        count = source.choice(HUGE) if name != "MOVRC" else 0o20000 + count
    data.append((TABLE, bytes(source.choices(range(256), k=256))))
    return [count, at & WORD, size, to & WORD, fill, TABLE], data


def _search(source: Random, name: str) -> Operands:
    """Not found, found at the end, found at once."""
    count = length(source)
    at = place_for(source, count)
    what = source.randrange(256)
    other = source.randrange(255) if name == "LOCC" else what
    body = bytearray([other + (other >= what)] * count) if name == "LOCC" else bytearray([what] * count)
    if source.randrange(3) and count:
        place = source.choice((0, count - 1, count // 2))
        body[place] = what if name == "LOCC" else what ^ 1 << source.randrange(8)
    if source.randrange(4) == 0:
        body = bytearray(text(source, count))
        what = source.choice(b"AB \x7f\x80")
    return [count, at, any_word(source), any_word(source), byte_word(source, what), any_word(source)], [(at, body)]


def _span(source: Random, name: str) -> Operands:
    """A table in which few or nearly all characters have the bits of the mask."""
    count = length(source)
    at = place_for(source, count)
    mask = source.choice((0, 1, 0o200, 0o377, 1 << source.randrange(8), source.randrange(256)))
    rest = ~mask & 0o377
    hit = name == "SCANC"
    table = bytearray(source.randrange(256) & (rest if hit else 0o377) | (0 if hit else mask) for _ in range(256))
    body = text(source, count)
    if body and source.randrange(4):
        table[source.choice((body[-1], body[0], source.choice(body)))] ^= mask
    place = source.choice((TABLE, TABLE + 1))
    return [count, at, any_word(source), any_word(source), byte_word(source, mask), place], [(place, table), (at, body)]


def _compare(source: Random, name: str) -> Operands:
    """Equal, with one byte changed, one the other with fill behind."""
    fill, first = source.choice(b" A\0\xff\x80"), text(source, length(source))
    second = bytearray(first)
    choice = source.randrange(6)
    if choice == 0:
        second = bytearray(text(source, length(source)))
    elif choice == 1:
        second += bytes([fill]) * source.randrange(5)
    elif choice == 2:
        second = second[: source.randrange(len(second) + 1)]
        first = first[: len(second)] + bytes([fill]) * (len(first) - len(second))
    elif choice == 3:
        second += text(source, source.randrange(3))
    if second and source.randrange(2):
        second[source.choice((0, -1, source.randrange(len(second))))] = source.randrange(256)
    at, place = (place_for(source, max(len(first), len(second))) for _ in range(2))
    pair = [(at, first), (place + 64 if place == at and len(first) < 64 else place, bytes(second))]
    if source.randrange(2):
        pair.reverse()
    (one, left), (two, right) = pair
    operands = [len(left), one & WORD, len(right), two & WORD, byte_word(source, fill), any_word(source)]
    return operands, [(one, left), (two, right)]


def _match(source: Random, name: str) -> Operands:
    """A part of the source, a part with its last byte changed, or anything."""
    body = text(source, length(source))
    at = place_for(source, len(body))
    begin = source.randrange(len(body) + 1)
    wanted = bytearray(body[begin : source.choice((len(body), begin + source.randrange(6)))])
    choice = source.randrange(5)
    if choice == 0 and wanted:
        wanted[-1] ^= 1
    elif choice == 1:
        wanted = bytearray(text(source, source.choice((1, 2, 3, 50))))
    elif choice == 2:
        wanted += b"A"
    place = source.choice((0o60001, at + begin))
    operands = [len(body), at, len(wanted), place & WORD, any_word(source), any_word(source)]
    return operands, [(place, wanted), (at, body)] if place == 0o60001 else [(at, body)]


_STRINGS = {
    "MOVC": _move, "MOVRC": _move, "MOVTC": _move, "LOCC": _search, "SKPC": _search, "SCANC": _span, "SPANC": _span,
    "CMPC": _compare, "MATC": _match,
}  # fmt: skip


# --- decimal strings --------------------------------------------------------------------------------------------------

DIGITS = (0, 1, 2, 3, 4, 5, 30, 31)
LONGS = (0, 1, -1, 9, 10, 1 << 31, (1 << 31) - 1, -(1 << 31), -(1 << 31), -(1 << 31) - 1, 0o177777, 0o200000,
         10**9, 10**10, 1 << 32)  # fmt: skip
ZONES = {(digit, minus): code for code, (digit, minus) in oracle.ZONES.items()}
PUNCHES = {
    (digit, minus): [code for code, found in oracle.PUNCHES.items() if found == (digit, minus)]
    for digit in range(10)
    for minus in (False, True)
}
SIGNS = {minus: [code for code, found in oracle.SEPARATE.items() if found == minus] for minus in (False, True)}
NIBBLES = {minus: [code for code, found in oracle.NIBBLES.items() if found == minus] for minus in (False, True)}


def kind_for(source: Random, letter: str) -> int:
    """N or P: a type."""
    return source.randrange(6) if letter == "N" else source.choice((6, 6, 7))


def digits_of(source: Random) -> int:
    """How many, extremes first."""
    return source.choice(DIGITS) if source.randrange(2) else source.randrange(32)


def size_within(source: Random, digits: int) -> int:
    """A number of at most so many digits: 0, nines, one and zeros, with leading zeros, or any."""
    top = 10 ** source.choice((digits, source.randrange(digits + 1)))
    return source.choice((0, 1 % top, top - 1, top // 10, source.randrange(top), source.randrange(top)))


def spelled(source: Random, kind: int, digits: int, size: int, minus: bool) -> bytes:
    """A decimal string in any form that is accepted."""
    data = bytearray(oracle.written(kind, digits, size, minus))
    if kind == oracle.PACKED:
        data[-1] = data[-1] & 0o360 | source.choice(NIBBLES[minus])
    elif not digits or kind == oracle.UNSIGNED_PACKED:
        return bytes(data)
    elif kind in (oracle.TRAILING_SEP, oracle.LEADING_SEP):
        data[0 if kind == oracle.LEADING_SEP else -1] = source.choice(SIGNS[minus])
    elif kind in (oracle.TRAILING_OVER, oracle.LEADING_OVER):
        place = 0 if kind == oracle.LEADING_OVER else -1
        data[place] = source.choice(PUNCHES[oracle.PUNCHES[data[place]][0], minus])
    else:
        signed = kind == oracle.ZONED
        for place in range(digits - signed):
            data[place] ^= source.choice((0, source.randrange(16))) << 4  # only the low half counts
    return bytes(data)


class Strings:
    """Lays decimal strings side by side and remembers where."""

    def __init__(self, source: Random) -> None:
        self.source = source
        self.data: list[tuple[int, bytes]] = []
        self.next = source.choice(PLACES)

    def operand(self, letter: str, value: int | None = None, digits: int | None = None) -> tuple[list[int], int]:
        """A descriptor and the number it stands for."""
        source, kind = self.source, kind_for(self.source, letter)
        digits = digits_of(source) if digits is None else digits
        size = size_within(source, digits) if value is None else abs(value) % 10**digits
        minus = kind not in (oracle.UNSIGNED, oracle.UNSIGNED_PACKED) and bool(
            source.randrange(2) if value is None else value < 0
        )
        begin, end = oracle.extent(kind, digits)
        at = self.next - begin & WORD
        self.next += end - begin + source.choice((0, 1, 40))
        self.data.append((at + begin, spelled(source, kind, digits, size, minus)))
        return [kind << 12 | digits, at], -size if minus else size

    def result(self, letter: str, value: int, *others: Sequence[int]) -> list[int]:
        """A descriptor of about the right length, now and then on an operand or across one."""
        source, kind, exact = self.source, kind_for(self.source, letter), len(str(abs(value)))
        digits = source.choice((exact, exact, exact - 1, exact + 1, source.randrange(32), 31, 0))
        at = self.next + 1
        if source.randrange(4) == 0:
            at = source.choice(others)[1] + source.choice((0, 0, 1, -1, 3))
        return [kind << 12 | min(31, digits), at & WORD]


def decimal_case(source: Random, name: str, follows: bool) -> Case:
    """A decimal instruction."""
    act, strings = name[:3], Strings(source)
    if act == "CVT":
        operands = _conversion(source, name, strings)
    elif act == "ASH":
        operands = _shift(source, name[-1], strings)
    else:
        one, first = strings.operand(name[-1], *_divisor(source, act))
        two, second = strings.operand(name[-1], first if act in ("CMP", "SUB") and source.randrange(3) == 0 else None)
        if source.randrange(20) == 0:
            two, second = one, first
        value = 0 if act == "CMP" or (act == "DIV" and not first) else oracle.combined(act, first, second)
        operands = [*one, *two, *strings.result(name[-1], value, one, two)]
        if act == "CMP":
            operands[4:] = [any_word(source), any_word(source)]
    return _case(source, name, follows, operands, strings.data, ())


def _divisor(source: Random, act: str) -> tuple[int | None, int | None]:
    """Divisors 0, 1 and -1 come often."""
    if act != "DIV" or source.randrange(3):
        return None, None
    return source.choice((0, 1, -1)), source.choice((1, 2, 31))


def _shift(source: Random, letter: str, strings: Strings) -> list[int]:
    one, value = strings.operand(letter)
    digits = one[0] & 0o37
    ends = (0, 1, -1, 2, -2, digits, -digits, 31 - digits, -digits - 1, 31, -31, -32, 127, -128)
    power = source.choice(ends) if source.randrange(3) else source.randrange(-40, 40)
    control = source.choice((0, 5, 9, source.randrange(10))) << 8 | power & 0o377
    return [*one, *strings.result(letter, oracle.shifted(value, control), one), control, any_word(source)]


def _conversion(source: Random, name: str, strings: Strings) -> list[int]:
    """Between strings, to and from long integers."""
    rest = [any_word(source) for _ in range(4)]
    if name[-1] == "L":
        near = source.choice(LONGS) + source.choice((0, 0, 1, -1))
        value = source.choice((None, near, near, source.randrange(-(1 << 33), 1 << 33)))
        one, _ = strings.operand(name[3], value, None if value is None else source.choice((9, 10, 11, 31)))
        return [*one, *rest]
    if name[3] == "L":
        long = source.choice((source.getrandbits(32), source.choice(LONGS) & 0xFFFFFFFF, source.getrandbits(8)))
        value = long - (long >> 31 << 32)
        return [*strings.result(name[-1], value, [0, strings.next]), long >> 16, long & WORD, *rest[:2]]
    one, value = strings.operand(name[3])
    return [*one, *strings.result(name[4], value, one), *rest[:2]]


# --- both forms -------------------------------------------------------------------------------------------------------


def _case(
    source: Random, name: str, follows: bool, operands: list[int], data: list[tuple[int, bytes]], dues: tuple[int, ...]
) -> Case:
    """Operands in registers, or descriptors in memory and words behind the instruction."""
    codes = source.randrange(16)
    if not follows:
        return Case(name, False, tuple(operands), (), tuple(data), codes, dues)
    words, pair, single, lists = [], 0, 4, b""
    for kind in oracle.OPERANDS[name]:
        if kind == "W":
            words.append(operands[single])
            single += 1
        elif kind == "A":
            words.append(_long(source, name, operands, data))
        else:
            at = 4 if kind == "S" else pair
            words.append(LIST + len(lists))
            lists += b"".join(each.to_bytes(2, "little") for each in operands[at : at + 2])
            pair += 2
    registers = tuple(any_word(source) for _ in range(6))
    return Case(name, True, registers, tuple(words), (*data, (LIST, lists)), codes, dues)


def _long(source: Random, name: str, operands: list[int], data: list[tuple[int, bytes]]) -> int:
    """Where a long integer is put, or lies: the low word first."""
    place = source.choice((0o60000, 0o177774, 0o177776))
    if name[3] == "L":
        data.append((place, b"".join(each.to_bytes(2, "little") for each in (operands[3], operands[2]))))
    return place


def load_case(source: Random, name: str) -> Case:
    """L2DR or L3DR through any register; PC: the list stands behind the instruction."""
    register, count = source.randrange(8), oracle.LOADS[name]
    places = [LIST + 2 * source.randrange(16) for _ in range(count)]
    data = (LIST, b"".join(any_word(source).to_bytes(2, "little") for _ in range(18)))
    at = source.choice((0o60000, 0o177774, 0o4002))
    addresses = (at, b"".join(each.to_bytes(2, "little") for each in places))
    registers = [any_word(source) for _ in range(6)]
    if register < 6:
        registers[register] = at
    words = tuple(places) if register == 7 else ()
    if register == 6:
        addresses = (STACK, addresses[1])
    return Case(name, False, tuple(registers), words, (data, addresses), source.randrange(16), (), register)


def case_of(source: Random, name: str, follows: bool | None = None) -> Case:
    """One at random of this instruction."""
    if name in oracle.LOADS:
        return load_case(source, name)
    chosen = bool(source.randrange(2)) if follows is None else follows
    return (string_case if name in STRINGS else decimal_case)(source, name, chosen)
