"""Reads the printed instruction times of a profile.

A time is one of: a printed figure; a printed range, of which the middle is taken; a printed upper bound, which is taken
itself; unknown, and then the file says what the model takes and why.
"""

from __future__ import annotations

from decimal import Decimal

from minisim.catalogue.fields import BadValueError, Convert, Fields, decimal, listed, text, words_of
from minisim.catalogue.times import InstructionTimes, Time, TimeLine
from minisim.catalogue.words import UNKNOWN
from minisim.known import Unknown
from minisim.yamltext import Node, Scalar, Sequence

MOST_NS = 10_000_000
"""No instruction takes longer; the core counts in 32 bits."""

_MODES = 8
_KINDS = ("us", "us-range", "us-at-most")


def read_times(fields: Fields) -> InstructionTimes | None:
    """The block `instruction-times` of a profile; None where it has none."""
    block = fields.block("instruction-times")
    if block is None:
        return None
    lines = tuple(_line(item) for item in block.blocks("lines"))
    times = InstructionTimes(
        lines=lines,
        source=_by_mode(block, "source"),
        destination=_by_mode(block, "destination"),
        read_less=_single(block, "read-only-less"),
        odd_byte=_single(block, "odd-byte"),
        trap=_single(block, "trap"),
        rest=_single(block, "rest"),
        rest_cycle=_single(block, "rest-cycle"),
    )
    block.finish()
    _check(block, times)
    return times


def _check(block: Fields, times: InstructionTimes) -> None:
    """What can't be: one difference serves all branches, and no time is below nothing."""
    differences = {line.time.ns - line.not_taken_ns for line in times.lines if line.not_taken_ns is not None}
    if len(differences) > 1:
        block.say(block.node, "not-taken-us: taken and not taken must differ by the same in every line")
    if any(difference < 0 for difference in differences):
        block.say(block.node, "not-taken-us: a branch that is not taken can't take longer than one that is")
    less = times.read_less.ns if times.read_less else 0
    if less and any(time.ns < less for time in times.destination.values()):
        block.say(block.node, "read-only-less: more than a destination takes at all")
    if less and len(times.destination) < _MODES - 1:
        block.say(block.node, "destination: with read-only-less each of the modes 1 to 7 needs a time")
    if any(0 in (line.time.ns, line.not_taken_ns) for line in times.lines) or (times.rest and not times.rest.ns):
        block.say(block.node, "an instruction takes some time")


def _line(item: Fields) -> TimeLine:
    no_names: tuple[str, ...] = ()
    names = item.read("instructions", words_of, no_names)
    modes = item.maybe("modes", _modes, None)
    not_taken = item.maybe("not-taken-us", nanoseconds, None)
    time = _time(item)
    item.finish()
    return TimeLine(names, modes, time, not_taken)


def _by_mode(block: Fields, name: str) -> dict[int, Time]:
    """What an operand adds, by its mode; a mode may stand in one line only."""
    found: dict[int, Time] = {}
    if name not in block:
        return found
    no_modes: tuple[int, ...] = ()
    for item in block.blocks(name):
        modes, time = item.read("modes", _modes, no_modes), _time(item)
        item.finish()
        for mode in modes:
            if mode in found or not mode:
                item.say(item.node, f"modes: mode {mode} {'adds nothing' if not mode else 'has a time already'}")
            found[mode] = time
    return found


def _single(block: Fields, name: str) -> Time | None:
    node = block.take(name)
    if node is None:
        return None
    item = block.inside(name, node)
    time = _time(item)
    item.finish()
    return time


def _time(item: Fields) -> Time:
    """The keys us, us-range, us-at-most, model-us and their evidence."""
    kinds = [kind for kind in _KINDS if kind in item]
    nodes = {kind: item.take(kind) for kind in _KINDS}
    model, because = item.maybe("model-us", nanoseconds, None), item.maybe("model-because", text, "")
    if len(kinds) != 1:
        item.say(item.node, f"one of {', '.join(_KINDS)} is expected")
    kind = kinds[0] if kinds else "us"
    node = nodes[kind]
    if node is None or (isinstance(node, Scalar) and node.text == UNKNOWN):
        item.maybe("note", text, "")
        if model is None or not because:
            item.say(item.node, 'what is not printed needs "model-us" and "model-because"')
        return Time(Unknown(f"instruction time of {item.what}"), model or 0, because=because)
    if model is not None or because:
        item.say(item.node, "what is printed needs no model-us and no model-because")
    return _printed(item, kind, node)


def _printed(item: Fields, kind: str, node: Node) -> Time:
    convert: Convert[tuple[int, int]] = _range if kind == "us-range" else _alike
    try:
        low, high = convert(node)
    except BadValueError as bad:
        item.say(node, f"{kind}: {bad}")
        low = high = 1
    figure = item.evidence_figure(kind, (low, high))
    reading = {"us": "", "us-range": "middle", "us-at-most": "at most"}[kind]
    return Time(figure, (low + high) // 2, reading)


def nanoseconds(node: Node) -> int:
    """Microseconds in the file, nanoseconds in the record."""
    ns = int((decimal(node) * Decimal(1000)).to_integral_value())
    if not 0 <= ns <= MOST_NS:
        raise BadValueError(f"a time is 0 to {MOST_NS // 1000} microseconds")
    return ns


def _alike(node: Node) -> tuple[int, int]:
    ns = nanoseconds(node)
    return ns, ns


def _range(node: Node) -> tuple[int, int]:
    if not isinstance(node, Sequence) or len(node.items) != 2:
        raise BadValueError("two times are expected, the lower first")
    low, high = (nanoseconds(item) for item in node.items)
    if low > high:
        raise BadValueError("the lower time comes first")
    return low, high


def _modes(node: Node) -> tuple[int, ...]:
    found = listed(text)(node)
    if any(mode not in "01234567" or len(mode) != 1 for mode in found):
        raise BadValueError("addressing modes are 0 to 7")
    return tuple(int(mode) for mode in found)
