"""The keys of `given`, `then` and `mask`: how each is written, what its value may be, how it is shown.

Reader, JSON Schema and the page of the format are made from the table below.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from minisim.machine.explain import DECIMAL_TYPES

Value = int | str | tuple[int, ...] | None
"""A parsed value; None stands for `x`, not compared."""

UNCHANGED = "-"
NOT_COMPARED = "x"
WORD, BYTE = 0o177777, 0o377
REGISTERS = ("r0", "r1", "r2", "r3", "r4", "r5")
CODES = ("n", "z", "v", "c")
FLOAT_CODES = {"fps.fc": 0, "fps.fv": 1, "fps.fz": 2, "fps.fn": 3}
MODES = {"kernel": 0, "supervisor": 1, "user": 3}
MEMORY = ("word", "words", "byte", "memory-bytes")
"""The kinds of keys that are places of memory."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of key.  `side`: given, then, or both; `shape`: its spelling as a pattern; `written`: as a reader
    sees it.
    """

    name: str
    shape: str
    written: str
    side: str
    value: str  # a name of PARSERS
    what: str

    @property
    def pattern(self) -> re.Pattern[str]:
        """The whole key."""
        return re.compile(self.shape)


@dataclass(frozen=True, slots=True)
class Key:
    """A key as it was written, with its number: of a register, a mode, an address or an I/O-page offset."""

    kind: Kind
    text: str
    number: int = 0


_MEMORY = "([0-7]{6}|[0-7]{8})"
KINDS = (
    Kind("register", "r([0-5])", "r0 to r5", "both", "word", "A general register of the current set."),
    Kind("sp", "sp", "sp", "both", "word", "The stack pointer of the current mode."),
    Kind("pc", "pc", "pc", "then", "word", "The program counter. It starts at `at`."),
    Kind("ps", "ps", "ps", "both", "word", "The whole processor status word."),
    Kind("nzvc", "nzvc", "nzvc", "both", "codes",
         "The condition codes N Z V C: four characters, 0 or 1; in `then` also `x` not compared, `-` unchanged."),
    Kind("stack", "sp-(kernel|supervisor|user)", "sp-kernel, sp-supervisor, sp-user", "both", "word",
         "The stack pointer of a mode."),
    Kind("set0", "set0-r([0-5])", "set0-r0 to set0-r5", "both", "word", "A register of register set 0."),
    Kind("set1", "set1-r([0-5])", "set1-r0 to set1-r5", "both", "word", "A register of register set 1."),
    Kind("word", f"word {_MEMORY}", "word 001700", "both", "word", "A word of memory, by its physical address."),
    Kind("words", f"words {_MEMORY}", "words 001700", "both", "words",
         "Several words of memory from an address on, with spaces between them."),
    Kind("byte", f"byte {_MEMORY}", "byte 001701", "both", "byte", "A byte of memory, by its physical address."),
    Kind("memory-bytes", f"bytes {_MEMORY}", "bytes 001701", "both", "bytes",
         "Several bytes of memory from an address on, with spaces between them."),
    Kind("io", "register ([0-7]{6}|[0-7]{8})", "register 777572", "both", "word",
         "A word of the I/O page, in its 16-, 18- or 22-bit form: written and read by a bus cycle."),
    Kind("fps", "fps", "fps", "both", "word", "The floating point status."),
    Kind("fec", "fec", "fec", "both", "word", "The floating exception code."),
    Kind("fea", "fea", "fea", "both", "word", "The floating exception address."),
    Kind("ac", "ac([0-5])", "ac0 to ac5", "both", "four words", "A floating accumulator: four words, highest first."),
    Kind("options", "options", "options", "given", "options",
         "Exactly these options are fitted beside the standard ones, with spaces between; empty: none. Without this "
         "key: all that the profile can have."),
    Kind("request", "request", "request", "given", "requests",
         "Requests of the trial card raised before the first step: level and vector, `5 300`; several with commas."),
    Kind("memory-kb", "memory-kb", "memory-kb", "given", "decimal", "How much memory is fitted, in KB (decimal)."),
    Kind("halt-traps", "halt-traps", "halt-traps", "given", "yes or no",
         "The board is strapped so that HALT in kernel mode traps through 4."),
    Kind("virtual", "virtual", "virtual", "given", "word", "A virtual address, for `physical`."),
    Kind("float", "float", "float", "given", "number",
         "A number to be written in floating format: `0.5`, `1/3`, `pi/4`, `e`, `sqrt 2`, `log10 2`, `largest`, "
         "`smallest`."),
    Kind("decimal", "decimal", "decimal", "given", "decimal string", "A decimal string, as `+123`."),
    Kind("digits", "digits", "digits", "given", "decimal",
         "How many digits the decimal string has (decimal). Of a case that runs: the string in `bytes` of `then`, so "
         "that a difference can tell its digits."),
    Kind("decimal-type", "decimal-type", "decimal-type", "given", "decimal type",
         f"The type of the decimal string: {', '.join(DECIMAL_TYPES)}."),
    Kind("tape-address", "tape-address", "tape-address", "given", "word", "Where the block of a paper tape is loaded."),
    Kind("tape-words", "tape-words", "tape-words", "given", "words", "The words of the block."),
    Kind("tape-start", "tape-start", "tape-start", "given", "word", "The start address in the last block of a tape."),
    Kind("trap", "trap", "trap", "then", "vectors",
         "The vector of the trap or interrupt that is taken; several with spaces; or `none`."),
    Kind("halted", "halted", "halted", "then", "yes or no", "Whether the processor has halted."),
    Kind("cycles", "cycles", "cycles", "then", "cycles",
         "The bus cycles of the last step beyond fetches, in their order: `read 001000, write 001000`."),
    Kind("encoding", "encoding", "encoding", "then", "words", "The words that the assembler gives for the program."),
    Kind("text", "text", "text", "then", "text", "What the disassembler gives for the first words of the program."),
    Kind("physical", "physical", "physical", "then", "physical", "The physical address of `virtual` (eight digits)."),
    Kind("instructions", "instructions", "instructions", "then", "decimal", "How many instructions ran (decimal)."),
    Kind("time-ns", "time-ns", "time-ns", "then", "decimal", "How much guest time passed, in ns (decimal)."),
    Kind("f-words", "f-words", "f-words", "then", "words", "The number as two words, rounded."),
    Kind("f-chopped", "f-chopped", "f-chopped", "then", "words", "The number as two words, chopped."),
    Kind("d-words", "d-words", "d-words", "then", "words", "The number as four words, rounded."),
    Kind("bytes", "bytes", "bytes", "then", "bytes", "The bytes of the decimal string, in rising addresses."),
    Kind("frames", "frames", "frames", "then", "bytes", "The frames of the block on paper tape."),
)  # fmt: skip
KIND = {kind.name: kind for kind in KINDS}

MASKS = (*CODES, "nzvc", *REGISTERS, "sp", "pc", "ps", "all-registers", "memory", "fps", *FLOAT_CODES)
"""What `mask` may name, beside any key of `then`."""


class TrialKeyError(ValueError):
    """A key or value can't be read; the message says what is allowed."""


@lru_cache(maxsize=4096)
def key_of(text: str) -> Key:
    """The key of a spelling.  TrialKeyError: there is none."""
    for kind in KINDS:
        if found := re.fullmatch(kind.shape, text):
            return Key(kind, text, _number(kind, found[1] if found.groups() else ""))
    raise TrialKeyError(f'there is no key "{text}"')


def _number(kind: Kind, text: str) -> int:
    if not text:
        return 0
    if kind.name == "stack":
        return MODES[text]
    if kind.name == "io":
        return _io_offset(text)
    address = int(text, 8)
    if kind.name in ("word", "words") and address & 1:
        raise TrialKeyError(f"{text} is odd; a word has an even address")
    if address > 0o17777777:
        raise TrialKeyError(f"{text} has more than 22 bits")
    return address


def _io_offset(text: str) -> int:
    """The offset in the I/O page of a register address in one of its three forms."""
    address = int(text, 8)
    for base in (0o160000, 0o760000, 0o17760000):
        if base <= address < base + 0o20000 and (base == 0o17760000) == (len(text) == 8):
            if address & 1:
                raise TrialKeyError(f"{text} is odd; a register has an even address")
            return address - base
    raise TrialKeyError(f"{text} is not in the I/O page; write 160000-177777, 760000-777777 or 17760000-17777777")


def spellings(side: str) -> list[str]:
    """Examples of the keys of one side, for messages and nearest spellings."""
    names: list[str] = []
    for kind in KINDS:
        if kind.side in (side, "both"):
            names += re.split(r", | to ", kind.written)
    return list(dict.fromkeys([*names, *REGISTERS]))


# --- values -------------------------------------------------------------------------------------------------------


def _octal(text: str, most: int) -> int:
    if not text or set(text) - set("01234567"):
        raise TrialKeyError("an octal number is expected")
    number = int(text, 8)
    if number > most:
        raise TrialKeyError(f"it goes up to {most:o}")
    return number


def _word(text: str) -> int:
    return _octal(text, WORD)


def _byte(text: str) -> int:
    return _octal(text, BYTE)


def _words(text: str) -> tuple[int, ...]:
    return _some(tuple(_word(part) for part in text.split()))


def _bytes(text: str) -> tuple[int, ...]:
    return _some(tuple(_byte(part) for part in text.split()))


def _some(numbers: tuple[int, ...]) -> tuple[int, ...]:
    if not numbers:
        raise TrialKeyError("at least one octal number is expected")
    return numbers


def _four_words(text: str) -> tuple[int, ...]:
    numbers = _words(text)
    if len(numbers) != 4:
        raise TrialKeyError("four words are expected, highest first")
    return numbers


def _codes(text: str) -> str:
    if not re.fullmatch("[01x-]{4}", text):
        raise TrialKeyError("four characters 0, 1, x or - are expected, for N Z V C")
    return text


def _options(text: str) -> str:
    if not re.fullmatch("[a-z-]*( [a-z-]+)*", text):
        raise TrialKeyError("names of options with spaces between them are expected")
    return text


def _requests(text: str) -> tuple[int, ...]:
    """Level and vector of each request, one after the other."""
    numbers: list[int] = []
    for part in text.split(","):
        if not re.fullmatch("[4-7] 3[0123]0", part.strip()):
            raise TrialKeyError("a level 4 to 7 and a vector 300, 310, 320 or 330 are expected, as in 5 300")
        level, vector = part.split()
        numbers += [int(level), int(vector, 8)]
    return tuple(numbers)


def _decimal(text: str) -> int:
    digits = text.removesuffix(".")
    if not re.fullmatch("[0-9]{1,12}", digits):
        raise TrialKeyError("a decimal number is expected")
    return int(digits)


def _yes_or_no(text: str) -> str:
    if text not in ("yes", "no"):
        raise TrialKeyError("yes or no is expected")
    return text


def _number_text(text: str) -> str:
    from minisim.trials.formats import number_of

    try:
        number_of(text)
    except ValueError as error:
        raise TrialKeyError(str(error)) from None
    return text


def _decimal_string(text: str) -> str:
    if not re.fullmatch("[+-]?[0-9]{1,31}", text):
        raise TrialKeyError("a sign and up to 31 decimal digits are expected")
    return text


def _decimal_type(text: str) -> str:
    if text not in DECIMAL_TYPES:
        raise TrialKeyError(f"one of {', '.join(DECIMAL_TYPES)} is expected")
    return text


def _vectors(text: str) -> tuple[int, ...]:
    if text == "none":
        return ()
    try:
        vectors = _some(tuple(sorted(_octal(part, 0o774) for part in text.split())))
    except TrialKeyError:
        raise TrialKeyError("an octal vector up to 774, or none, is expected") from None
    if any(vector & 3 for vector in vectors):
        raise TrialKeyError("vectors are multiples of four")
    return vectors


def _cycles(text: str) -> str:
    parts = [" ".join(part.split()) for part in text.split(",")] if text not in ("", "none") else []
    if any(not re.fullmatch("(read|write) [0-7]{6}", part) for part in parts):
        raise TrialKeyError("`read 001000, write 001000`, or none, is expected")
    return ", ".join(parts) or "none"


def _physical(text: str) -> int:
    return _octal(text, 0o17777777)


PARSERS: Mapping[str, Callable[[str], int | str | tuple[int, ...]]] = {
    "word": _word,
    "byte": _byte,
    "words": _words,
    "bytes": _bytes,
    "four words": _four_words,
    "codes": _codes,
    "options": _options,
    "requests": _requests,
    "decimal": _decimal,
    "yes or no": _yes_or_no,
    "number": _number_text,
    "decimal string": _decimal_string,
    "decimal type": _decimal_type,
    "vectors": _vectors,
    "cycles": _cycles,
    "text": str,
    "physical": _physical,
}


def parse(key: Key, text: str, side: str) -> Value:
    """The value of a key.  TrialKeyError says what is expected; in `then`, x is not compared and - unchanged."""
    if side == "then" and text == NOT_COMPARED:
        return None
    if side == "then" and text == UNCHANGED and key.kind.side == "both":
        return UNCHANGED
    if side == "given" and key.kind.name == "nzvc" and set(text) - set("01"):
        raise TrialKeyError("four characters 0 or 1 are expected, for N Z V C")
    return PARSERS[key.kind.value](text)


def show(kind: Kind, value: object) -> str:
    """A value as users write it."""
    if isinstance(value, str) or value is None:
        return value or "nothing"
    if isinstance(value, tuple):
        digits = 3 if kind.value in ("bytes", "vectors") else 6
        return " ".join(f"{number:0{digits}o}" for number in value) or "none"
    digits = {"byte": 3, "physical": 8, "decimal": 0}.get(kind.value, 6)
    return f"{value:0{digits}o}" if digits else f"{value}"
