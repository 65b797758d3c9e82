"""Cases that need no machine: number formats, blocks of tape, what assembler and disassembler give."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from minisim.trials import assembly, formats
from minisim.trials.differences import difference_of
from minisim.trials.keys import Value
from minisim.trials.model import Difference
from minisim.trials.plan import Plan


def static_differences(plan: Plan) -> tuple[Difference, ...]:
    """Number formats, tapes, assembler and disassembler."""
    found = ((key, want, STATIC_LOOK[key.kind.name](plan)) for key, want in plan.expected)
    return tuple(difference_of(key, want, seen, plan.decimal) for key, want, seen in found if want != seen)


def _encoding(plan: Plan) -> Value:
    return plan.line.code.words if plan.line.code else ()


def _text(plan: Plan) -> Value:
    code = plan.line.code
    return assembly.first_text(code.words, code.at) if code else ""


def _float(double: bool, chopped: bool) -> Callable[[Plan], Value]:
    return lambda plan: formats.float_words(str(plan.value("float")), double=double, chopped=chopped)


def _decimal(plan: Plan) -> Value:
    digits = plan.value("digits")
    return formats.decimal_bytes(
        str(plan.value("decimal")), digits if isinstance(digits, int) else 0, str(plan.value("decimal-type"))
    )


def _frames(plan: Plan) -> Value:
    from minisim.tape import block_frames

    words, address, start = plan.value("tape-words"), plan.value("tape-address"), plan.value("tape-start")
    data = b"".join(word.to_bytes(2, "little") for word in words) if isinstance(words, tuple) else b""
    where = address if isinstance(address, int) else start
    return tuple(block_frames(where if isinstance(where, int) else 0, data))


STATIC_LOOK: Mapping[str, Callable[[Plan], Value]] = {
    "encoding": _encoding,
    "text": _text,
    "f-words": _float(False, False),
    "f-chopped": _float(False, True),
    "d-words": _float(True, False),
    "bytes": _decimal,
    "frames": _frames,
}
