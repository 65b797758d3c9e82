"""The commercial instructions in plain Python, from section 5 of the processor facts alone.

Decimal strings are whole numbers of Python, strings are bytes; addresses wrap at 16 bits.  What the facts leave open is
told in the outcome: codes and registers that need not agree, bytes that may hold anything.

Rules of 5.3 and 5.4 are unconfirmed.  Where the facts are silent (all unconfirmed too): in-line forms but the searches
leave R0 to R5; CVTLN in line has the descriptor first; the fill of MOVTC is not translated; MATC keeps R2 and R3.
"""

from __future__ import annotations

from dataclasses import dataclass, field

SIZE = 0o200000
WORD = SIZE - 1
N, Z, V, C = 8, 4, 2, 1
ZONED, UNSIGNED, TRAILING_OVER, LEADING_OVER, TRAILING_SEP, LEADING_SEP, PACKED, UNSIGNED_PACKED = range(8)

# Operands of the in-line forms: P a descriptor for the next pair of registers, S one for R4 and R5, W a word for R4 and
# then R5, A the address of a long integer.
OPERANDS = {
    "MOVC": "PPW", "MOVRC": "PPW", "MOVTC": "PPWW", "LOCC": "PW", "SKPC": "PW", "SCANC": "PS", "SPANC": "PS",
    "CMPC": "PPW", "MATC": "PP", "ADDN": "PPP", "SUBN": "PPP", "CMPN": "PP", "CVTNL": "PA", "CVTPN": "PP",
    "CVTNP": "PP", "ASHN": "PPW", "CVTLN": "PA", "ADDP": "PPP", "SUBP": "PPP", "CMPP": "PP", "CVTPL": "PA",
    "MULP": "PPP", "DIVP": "PPP", "ASHP": "PPW", "CVTLP": "PA",
}  # fmt: skip
LOADS = {"L2DR": 2, "L3DR": 3}
MOVES = frozenset({"MOVC", "MOVRC", "MOVTC"})
SEARCHES = frozenset({"LOCC", "SKPC", "SCANC", "SPANC", "MATC"})

# 5.2: the character of a digit with its sign, and what is accepted besides.
_PLUS, _MINUS = b"{ABCDEFGHI", b"}JKLMNOPQR"
ZONES = {0o60 + n: (n, False) for n in range(10)} | {0o160 + n: (n, True) for n in range(10)}
PUNCHES = {code: (n, False) for n, code in enumerate(_PLUS)} | {code: (n, True) for n, code in enumerate(_MINUS)}
PUNCHES |= {0o133: (0, False), 0o77: (0, False), 0o135: (0, True), 0o41: (0, True), 0o72: (0, True)}
PUNCHES |= {0o60 + n: (n, False) for n in range(10)}
SEPARATE = {0o53: False, 0o40: False, 0o55: True}
NIBBLES = {0o12: False, 0o14: False, 0o16: False, 0o17: False, 0o13: True, 0o15: True}
_LOW_HALF = bytes(0o60 | byte & 0o17 for byte in range(256))


@dataclass
class Outcome:
    """What an instruction leaves: the memory is changed in place."""

    registers: list[int]
    codes: int
    open_codes: int = 0  # bits that need not agree
    open_registers: frozenset[int] = frozenset()
    open_bytes: tuple[int, ...] = field(default=())


def execute(name: str, follows: bool, registers: list[int], words: list[int], memory: bytearray) -> Outcome:
    """One instruction but L2DR and L3DR: in its register form, or with words that follow it."""
    if not follows:
        return _executed(name, list(registers), None, memory)
    operands, long = _in_line(name, registers, words, memory)
    result = _executed(name, operands, long, memory)
    kept = 2 if name in SEARCHES else 0
    result.registers = [*result.registers[:kept], *registers[kept:]]
    return result


def _in_line(
    name: str, registers: list[int], words: list[int], memory: bytearray
) -> tuple[list[int], int | None]:
    """The registers that mean the same, and the address of a long integer."""
    operands, pair, single, long = list(registers), 0, 4, None
    for kind, given in zip(OPERANDS[name], words, strict=True):
        if kind == "W":
            operands[single], single = given, single + 1
        elif kind == "A":
            long = given
        else:
            at = 4 if kind == "S" else pair
            operands[at : at + 2], pair = [word(memory, given), word(memory, given + 2)], pair + 2
    return operands, long


def load(name: str, register: int, value: int, memory: bytearray) -> dict[int, int]:
    """L2DR and L3DR: the registers that change.  Where the pointer is loaded itself, the two values contradict."""
    changed = {}
    for index in range(LOADS[name]):
        at = word(memory, value + 2 * index)
        changed |= {2 * index: word(memory, at), 2 * index + 1: word(memory, at + 2)}
    if register not in changed:
        changed[register] = value + 2 * LOADS[name] & WORD
    return changed


# --- memory -----------------------------------------------------------------------------------------------------------


def word(memory: bytearray, at: int) -> int:
    """A word."""
    return int.from_bytes(take(memory, at, 2), "little")


def take(memory: bytearray, at: int, count: int) -> bytes:
    """Bytes from an address on."""
    at &= WORD
    got = bytes(memory[at : at + count])
    return got + bytes(memory[: count - len(got)])


def lay(memory: bytearray, at: int, data: bytes) -> None:
    """Bytes laid from an address on."""
    at &= WORD
    room = min(len(data), SIZE - at)
    memory[at : at + room] = data[:room]
    memory[: len(data) - room] = data[room:]


def difference(first: int, second: int, bits: int) -> int:
    """Codes of first - second, as a compare of words or bytes gives them."""
    top = 1 << (bits - 1)
    left = first - second & (1 << bits) - 1
    overflow = (first ^ second) & (first ^ left) & top
    return N * bool(left & top) | Z * (left == 0) | V * bool(overflow) | C * (first < second)


# --- 5.3 --------------------------------------------------------------------------------------------------------------


def _executed(name: str, operands: list[int], long: int | None, memory: bytearray) -> Outcome:
    """By registers that hold the operands; a long integer is in R2 and R3 or at an address."""
    if name in MOVES:
        return _moved(name, operands, memory)
    if name == "CMPC":
        return _compared(operands, memory)
    if name in SEARCHES:
        length, at = operands[:2]
        left = _left(name, operands, memory)
        codes = N * (left >> 15) | Z * (left == 0)
        return Outcome([left, at + length - left & WORD, *operands[2:]], codes)
    return _decimal(name, operands, long, memory)


def _moved(name: str, operands: list[int], memory: bytearray) -> Outcome:
    length, source, size, destination, fill, table = operands
    filler = bytes([fill & 0o377]) * max(0, size - length)
    count = min(length, size)
    if name == "MOVTC":
        for index in range(count):
            byte = memory[source + index & WORD]
            memory[destination + index & WORD] = memory[table + byte & WORD]
        lay(memory, destination + count, filler)
    elif name == "MOVC":
        lay(memory, destination, take(memory, source, count) + filler)
    else:
        lay(memory, destination, filler + take(memory, source + length - count, count))
    return Outcome([length - count, 0, 0, 0, fill, table], difference(length, size, 16))


def _left(name: str, operands: list[int], memory: bytearray) -> int:
    """Bytes left of a search, with the hit; 0: none."""
    length, at, size, place, what, table = operands
    text = take(memory, at, length)
    if name == "MATC":
        found = text.find(take(memory, place, size))
        return 0 if found < 0 else length - found
    if name in ("LOCC", "SKPC"):
        hits = [byte == what & 0o377 for byte in range(256)]
    else:
        hits = [bool(byte & what & 0o377) for byte in take(memory, table, 256)]
    wanted = name in ("LOCC", "SCANC")
    return next((length - index for index, byte in enumerate(text) if hits[byte] == wanted), 0)


def _compared(operands: list[int], memory: bytearray) -> Outcome:
    length, at, size, place, fill, rest = operands
    longer = max(length, size)
    filler = bytes([fill & 0o377])
    first = take(memory, at, length).ljust(longer, filler)
    second = take(memory, place, size).ljust(longer, filler)
    same = next((index for index in range(longer) if first[index] != second[index]), longer)
    codes = Z if same == longer else difference(first[same], second[same], 8)
    one, two = min(same, length), min(same, size)
    return Outcome([length - one, at + one & WORD, size - two, place + two & WORD, fill, rest], codes)


# --- 5.1 and 5.2: decimal strings -------------------------------------------------------------------------------------


def extent(kind: int, digits: int) -> tuple[int, int]:
    """From where to where a decimal string reaches, counted from its address; nothing where it has no digits."""
    if kind >= PACKED:
        return 0, digits // 2 + 1
    return (-1 if digits and kind == LEADING_SEP else 0), digits + (digits > 0 and kind == TRAILING_SEP)


def read(memory: bytearray, descriptor: int, at: int) -> int:
    """The number of a decimal string."""
    kind, digits = descriptor >> 12 & 7, descriptor & 0o37
    if digits == 0:
        return 0
    begin, end = extent(kind, digits)
    data = take(memory, at + begin, end - begin)
    size, minus = _packed(data) if kind >= PACKED else _characters(kind, data)
    return -size if minus else size


def _packed(data: bytes) -> tuple[int, bool]:
    text = data.hex()
    return int(text[:-1]), NIBBLES[data[-1] & 0o17]


def _characters(kind: int, data: bytes) -> tuple[int, bool]:
    digits, minus = bytearray(data.translate(_LOW_HALF)), False
    if kind in (TRAILING_SEP, LEADING_SEP):
        place = 0 if kind == LEADING_SEP else -1
        minus = SEPARATE[data[place]]
        del digits[place]
    elif kind != UNSIGNED:
        place = 0 if kind == LEADING_OVER else -1
        digit, minus = (ZONES if kind == ZONED else PUNCHES)[data[place]]
        digits[place] = 0o60 + digit
    return int(digits), minus


def written(kind: int, digits: int, size: int, minus: bool) -> bytes:
    """The bytes of so many digits with the preferred codes."""
    if kind >= PACKED:
        sign = "f" if kind == UNSIGNED_PACKED else "d" if minus else "c"
        return bytes.fromhex((f"{size:0{digits}d}" if digits else "").rjust(digits // 2 * 2 + 1, "0") + sign)
    if digits == 0:
        return b""
    text = bytearray(f"{size:0{digits}d}", "ascii")
    if kind == TRAILING_SEP:
        return bytes(text) + (b"-" if minus else b"+")
    if kind == LEADING_SEP:
        return (b"-" if minus else b"+") + bytes(text)
    place = 0 if kind == LEADING_OVER else -1
    if kind == ZONED and minus:
        text[place] |= 0o100
    elif kind in (TRAILING_OVER, LEADING_OVER):
        text[place] = (_MINUS if minus else _PLUS)[text[place] & 0o17]
    return bytes(text)


def store(memory: bytearray, descriptor: int, at: int, value: int) -> int:
    """A result is stored; gives the codes.  V: it has more digits than there is room for."""
    kind, digits = descriptor >> 12 & 7, descriptor & 0o37
    size = abs(value) % 10**digits
    lay(memory, at + extent(kind, digits)[0], written(kind, digits, size, value < 0))
    signed = kind not in (UNSIGNED, UNSIGNED_PACKED)
    return N * (signed and value < 0 and size != 0) | Z * (size == 0) | V * (size != abs(value))


# --- 5.4 --------------------------------------------------------------------------------------------------------------


def _decimal(name: str, operands: list[int], long: int | None, memory: bytearray) -> Outcome:
    act, letter = name[:3], name[-1]
    if act == "CVT":
        if letter == "L":
            return _to_long(operands, long, memory)
        if name[3] == "L":
            return _from_long(operands, long, memory)
        codes = store(memory, *operands[2:4], read(memory, *operands[:2]))
        return Outcome([0, 0, *operands[2:]], codes)
    first, second = read(memory, *operands[:2]), operands[2:4]
    if act == "ASH":
        codes = store(memory, *second, shifted(first, operands[4]))
        return Outcome([0, 0, *second, 0, operands[5]], codes)
    other = read(memory, *second)
    after = [0, 0, 0, 0, *operands[4:]]
    if act == "CMP":
        return Outcome(after, N * (first < other) | Z * (first == other))
    if act == "DIV" and first == 0:
        return Outcome(after, V | C, open_codes=N | Z)
    return Outcome(after, store(memory, *operands[4:6], combined(act, first, other)))


def combined(act: str, first: int, second: int) -> int:
    """src2 + src1, src2 - src1, src2 x src1, src2 / src1 chopped."""
    if act == "ADD":
        return second + first
    if act == "SUB":
        return second - first
    if act == "MUL":
        return second * first
    quotient = abs(second) // abs(first)
    return -quotient if (first < 0) != (second < 0) else quotient


def shifted(value: int, control: int) -> int:
    """By a power of ten; to the right, the rounding digit is added to the most significant digit that is dropped."""
    power, rounding = (control & 0o177) - (control & 0o200), control >> 8 & 0o17
    size = abs(value)
    if power >= 0:
        size *= 10**power
    else:
        size = (size // 10 ** (-power - 1) + rounding) // 10
    return -size if value < 0 else size


def _to_long(operands: list[int], at: int | None, memory: bytearray) -> Outcome:
    """A number that doesn't fit sets V; nothing is told of the integer and the other codes then."""
    value = read(memory, *operands[:2])
    low, high = value & WORD, value >> 16 & WORD
    fits = -(1 << 31) <= value < 1 << 31
    codes = N * (value < 0) | Z * (value == 0) | V * (not fits) | C * (value < 0)
    result = Outcome([0, 0, high, low, *operands[4:]], codes, 0 if fits else N | Z | C)
    if at is not None:
        lay(memory, at, low.to_bytes(2, "little") + high.to_bytes(2, "little"))
        result.open_bytes = () if fits else tuple(at + index & WORD for index in range(4))
    elif not fits:
        result.open_registers = frozenset({2, 3})
    return result


def _from_long(operands: list[int], at: int | None, memory: bytearray) -> Outcome:
    high, low = (word(memory, at + 2), word(memory, at)) if at is not None else (operands[2], operands[3])
    value = (high << 16 | low) - (high >> 15 << 32)
    codes = store(memory, *operands[:2], value)
    return Outcome([*operands[:2], 0, 0, *operands[4:]], codes)
