"""What a failed assertion compared, in words: octal, names of places, the bits, the first difference.

pytest cuts an explanation after eight lines unless it is asked for more (-vv), so that the first lines must do.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from minisim.machine.explain import floating
from minisim.testing.values import ACCUMULATOR, BYTE, Codes, ConsoleText, MemoryBytes, Word, Words

FEW, MANY = 5, 200  # rows of a comparison
LAST_LINES = 8  # of the console
WIDTH = 60  # of a line of text that is shown
_PS_BITS = {15: "mode", 14: "mode", 13: "previous mode", 12: "previous mode", 11: "register set",
            7: "priority", 6: "priority", 5: "priority", 4: "T", 3: "N", 2: "Z", 1: "V", 0: "C"}  # fmt: skip
_OURS = (Word, Words, Codes, MemoryBytes, ConsoleText)
_MOST = {BYTE: 0o377, ACCUMULATOR: (1 << 64) - 1}


def explanation(op: str, left: object, right: object, *, whole: bool = False) -> list[str] | None:
    """The lines of a failed `left op right`, the first in its form; None where nothing here is ours."""
    left, right = _now(left), _now(right)
    if isinstance(right, ConsoleText) and isinstance(left, str) and op in ("in", "not in"):
        return _of_part(op, left, right)
    found, wanted = (left, right) if isinstance(left, _OURS) else (right, left)
    rows = MANY if whole else FEW
    if op == "==" and isinstance(found, Words):
        return _of_words(found, wanted, rows)
    if op == "==" and isinstance(found, Codes) and isinstance(wanted, Codes | str):
        return _of_codes(found, str(wanted))
    if op == "==" and isinstance(found, MemoryBytes) and isinstance(wanted, bytes | bytearray | memoryview):
        return _of_memory(found, bytes(wanted), rows)
    if op == "==" and isinstance(found, ConsoleText) and isinstance(wanted, str):
        return _of_text(found, wanted)
    if isinstance(found, Word) and isinstance(wanted, int):
        return _of_word(op, found, wanted) if op == "==" else [f"{_side(left)} {op} {_side(right)}"]
    return None


def _now(value: object) -> object:
    """A live view as it stands at this moment."""
    now = getattr(value, "snapshot", None)
    return now() if callable(now) else value


# --- words ------------------------------------------------------------------------------------------------------------


def _side(value: object) -> str:
    """One side of a comparison: `R0 000014 (12.)`."""
    if isinstance(value, Word):
        return f"{value.name} {_octal(value, value.digits)}".strip()
    return _octal(value) if isinstance(value, int) else repr(value)


def _octal(value: int, digits: int = 6) -> str:
    """Octal and decimal; of an accumulator the number it stands for and its words."""
    if digits == ACCUMULATOR:
        return floating([value >> shift & 0o177777 for shift in (48, 32, 16, 0)])
    return f"{value:0{digits}o} ({int(value)}.)"


def _of_word(op: str, found: Word, wanted: int) -> list[str]:
    return [f"{found.name or 'word'} {op} {wanted:0{found.digits}o}", word_line(found, wanted)]


def word_line(found: Word, wanted: int) -> str:
    """`R0 is 000014 (12.), expected 000012 (10.): differs in bits 2, 1 (XOR 000006)`."""
    name, digits = found.name or "the word", found.digits
    if not 0 <= wanted <= _MOST.get(digits, 0o177777):
        negative = f" (as a word: {wanted & 0o177777:06o})" if -0o100000 <= wanted < 0 else ""
        return f"{name} is {_octal(found, digits)}, expected {wanted}., which it can't hold{negative}"
    xor = int(found) ^ wanted
    bits = [bit for bit in range(64) if xor >> bit & 1]
    text = f"{name} is {_octal(found, digits)}, expected {_octal(wanted, digits)}"
    return text if digits == ACCUMULATOR else f"{text}: differs in {_bits(bits, name)} (XOR {xor:0{digits}o})"


def _bits(bits: Sequence[int], name: str) -> str:
    """Bits by number, those of the PS by name too."""
    told = [f"{bit} {_PS_BITS[bit]}" if name == "PS" and bit in _PS_BITS else str(bit) for bit in reversed(bits)]
    return f"bit{'s' if len(bits) > 1 else ''} {', '.join(told)}"


def _of_words(found: Words, wanted: object, rows: int) -> list[str] | None:
    if not isinstance(wanted, Mapping | Sequence) or isinstance(wanted, str | bytes):
        return None
    lines = [word_line(word, want) for word, want in _pairs(found, wanted) if isinstance(want, int) and word != want]
    if isinstance(wanted, Sequence) and len(wanted) != len(found):
        lines.insert(0, f"there are {len(found)} words, expected are {len(wanted)}")
    rest = [f"... {len(lines) - rows} more differ (-vv shows them)"] if len(lines) > rows else []
    return [f"{_span(found)} == {len(wanted)} {'words' if len(wanted) > 1 else 'word'}", *lines[:rows], *rest]


def _span(found: Words) -> str:
    names = [word.name for word in found]
    return f"{names[0]} to {names[-1]}" if len(names) > 1 else "".join(names) or "no words"


def _pairs(found: Words, wanted: Mapping[object, object] | Sequence[object]) -> Iterator[tuple[Word, object]]:
    if isinstance(wanted, Mapping):
        yield from found.beside(wanted)
    else:
        yield from zip(found, wanted, strict=False)


def _of_codes(found: Codes, wanted: str) -> list[str]:
    told = [f"{name} should be {'set' if name in wanted else 'clear'}" for name in found.otherwise(wanted)]
    return [f"codes {found} == {wanted}", ", ".join(told)]


# --- memory -----------------------------------------------------------------------------------------------------------


def _of_memory(found: MemoryBytes, wanted: bytes, rows: int) -> list[str]:
    """A table of words, or of bytes where address or lengths are odd: the rows that differ, and one before them."""
    size = 1 if (found.address | len(found) | len(wanted)) & 1 else 2
    mine, theirs = _cells(found, size), _cells(wanted, size)
    shared, kind = min(len(mine), len(theirs)), "byte" if size == 1 else "word"
    bad = [place for place in range(shared) if mine[place] != theirs[place]]
    first = f", the first at {found.address + size * bad[0]:06o}" if bad else ""
    lengths = "" if len(mine) == len(theirs) else f"; {len(mine)} {kind}s are there, {len(theirs)} are expected"
    lines = [f"memory from {found.address:06o} == {len(theirs)} {kind}s"]
    lines.append(f"{len(bad)} of {shared} {kind}s differ{first}{lengths}")
    if bad:
        places = [bad[0] - 1, *bad[: rows - 1]] if bad[0] else bad[:rows]
        rest = len(bad) - len([place for place in places if place in bad])
        lines.append("address  found   expected  XOR" + (f"      {rest} more differ: -vv" if rest else ""))
        lines += [_row(found.address + size * place, size, mine[place], theirs[place]) for place in places]
    return lines


def _cells(data: bytes, size: int) -> list[int]:
    return [int.from_bytes(data[at : at + size], "little") for at in range(0, len(data), size)]


def _row(address: int, size: int, one: int, two: int) -> str:
    digits = 3 * size
    xor = f"{one ^ two:0{digits}o}" if one != two else "alike"
    return f"{address:06o}   {f'{one:0{digits}o}':8}{f'{two:0{digits}o}':10}{xor}"


# --- text -------------------------------------------------------------------------------------------------------------


def _of_text(found: ConsoleText, wanted: str) -> list[str]:
    """The line in which two texts part, with what can't be seen as escapes."""
    pairs = enumerate(zip(found, wanted, strict=False))
    shared = next((at for at, (one, two) in pairs if one != two), min(len(found), len(wanted)))
    start = found.rfind("\n", 0, shared) + 1
    sides = [_lines_of(text[start:])[:1] for text in (found, wanted)]
    printed, expected = (_cut(side[0], shared - start) if side else "nothing more" for side in sides)
    head = f"console text == {len(wanted)} characters"
    return [head, f"differs from {_where(found, shared)} on", f"printed:  {printed}", f"expected: {expected}"]


def _of_part(op: str, part: str, text: ConsoleText) -> list[str]:
    head = f"{part!r} {op} console text"
    if op == "not in":
        return [head, f"it was printed at {_where(text, text.index(part))}"]
    return [head, "printed last:", *last_printed(text, FEW)]


def _cut(line: str, at: int) -> str:
    """A line in quotes; of a long one the part around a place."""
    first = max(at - WIDTH // 2, 0) if len(line) > WIDTH else 0
    return f"{'... ' if first else ''}{line[first : first + WIDTH]!r}{' ...' if first + WIDTH < len(line) else ''}"


def _where(text: str, at: int) -> str:
    line, begin = text.count("\n", 0, at) + 1, text.rfind("\n", 0, at) + 1
    return f"line {line}, column {at - begin + 1}"


def last_printed(text: str, most: int = LAST_LINES) -> list[str]:
    """The last lines of a text, each in quotes, with what can't be seen as escapes."""
    return [f"    {line!r}" for line in _lines_of(text)[-most:]] or ["    nothing was printed"]


def _lines_of(text: str) -> list[str]:
    """Cut behind each line feed, and nowhere else."""
    *whole, last = str(text).split("\n")
    return [line + "\n" for line in whole] + ([last] if last else [])
