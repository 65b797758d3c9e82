"""A difference in words: what is documented, what was found, and which bits are not alike."""

from __future__ import annotations

from minisim.machine.explain import decimal_size, decimal_string, floating
from minisim.trials.keys import MEMORY, Key, Value, show
from minisim.trials.model import Difference

_CODES = "NZVC"
_OCTAL = ("word", "byte", "physical")


def difference_of(key: Key, want: Value, seen: Value, decimal: tuple[int, int] | None = None) -> Difference:
    """One difference.  `decimal`: type and digits of a decimal string that bytes may be."""
    xor, bits = _bits(key, want, seen)
    return Difference(
        what=key.text,
        documented=show(key.kind, want),
        found=show(key.kind, seen),
        xor=xor,
        bits=bits,
        words=_digits(key, want, seen, decimal) or _words(key, want, seen, bits),
    )


def _bits(key: Key, want: Value, seen: Value) -> tuple[str, tuple[int, ...]]:
    """XOR in octal and the numbers of its bits, where both are one octal number."""
    if key.kind.value not in _OCTAL or not isinstance(want, int) or not isinstance(seen, int):
        return "", ()
    xor = want ^ seen
    return show(key.kind, xor), tuple(bit for bit in range(22) if xor >> bit & 1)


def _words(key: Key, want: Value, seen: Value, bits: tuple[int, ...]) -> str:
    name = key.kind.name
    if name == "nzvc" and isinstance(want, str) and isinstance(seen, str):
        return _codes(want, seen)
    if name == "trap":
        return f"{_trap(seen)}; documented is {_trap(want)}"
    if name == "halted":
        return "the processor has halted" if seen == "yes" else "the processor has not halted"
    if name == "ac" and isinstance(want, tuple) and isinstance(seen, tuple):
        return f"{key.text.upper()} holds {floating(seen)}; documented is {floating(want)}"
    if seen is None:
        return f"nothing answers for {key.text}"
    if bits:
        names = ", ".join(str(bit) for bit in reversed(bits))
        return f"{_name(key)} differs in bit{'s' if len(bits) > 1 else ''} {names}"
    return f"{_name(key)} differs"


def _digits(key: Key, want: Value, seen: Value, decimal: tuple[int, int] | None) -> str:
    """The digits of both, where the bytes are a decimal string."""
    if decimal is None or key.kind.value != "bytes" or not isinstance(want, tuple) or not isinstance(seen, tuple):
        return ""
    if not len(want) == len(seen) == decimal_size(*decimal):
        return ""
    return f"{_name(key)} are {decimal_string(seen, *decimal)}; documented is {decimal_string(want, *decimal)}"


def _codes(want: str, seen: str) -> str:
    """Which codes are otherwise than documented."""
    parts = [f"{code} is {got}" for code, wanted, got in zip(_CODES, want, seen, strict=True)
             if wanted not in ("x", got)]  # fmt: skip
    return ", ".join(parts)


def _trap(vectors: Value) -> str:
    """The traps taken, equal ones counted."""
    if not isinstance(vectors, tuple) or not vectors:
        return "no trap"
    counts = {vector: vectors.count(vector) for vector in vectors}
    ways = (f"{'a trap' if count == 1 else f'{count} traps'} through {vector:o}" for vector, count in counts.items())
    return " and ".join(ways)


def _name(key: Key) -> str:
    """A key as spoken of."""
    text = key.text
    if key.kind.name in ("register", "sp", "pc", "ps", "fps", "fec", "fea"):
        return text.upper()
    return f"the {text}" if key.kind.name in MEMORY else text
