"""From the converted tree to the Loadout: boxes, units, cables, and every check that needs more than one key."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from minisim.catalogue.model import BackplaneEntry
from minisim.findings import Mark
from minisim.loadout.boards import currents, placed
from minisim.loadout.context import Context
from minisim.loadout.convert import Got, Value, quoted
from minisim.loadout.fields import FieldError
from minisim.loadout.model import Acceptance, Box, Joint, Placed, SupplyDescribed, Switches, Unit
from minisim.loadout.places import PlaceText, read_place, slots_missing
from minisim.problems import nearest

ONLY_UNIT = "a"
"""Name of the unit of a box that has one and writes it directly."""


@dataclass(frozen=True, slots=True)
class Standing:
    """A place something stands in, as far as it could be read."""

    where: PlaceText
    text: str
    board: Placed | None


@dataclass(slots=True)
class Index:
    """Boxes, units and places of the file by name; `whole` is False where a name could not be read."""

    boxes: dict[str, Mark] = field(default_factory=dict)
    units: dict[tuple[str, str], list[Standing]] = field(default_factory=dict)
    whole: bool = True


def boxes(context: Context, got: Got, index: Index) -> tuple[Box, ...]:
    """Every box of the file; `index` is filled on the way."""
    made = tuple(_box(context, item, index, first=number == 0) for number, item in enumerate(got.records("boxes")))
    if "boxes" in got and not made:
        context.say(got.marks["boxes"], "boxes: empty; a machine has at least one box")
    return made


def _box(context: Context, got: Got, index: Index, *, first: bool) -> Box:
    box_id = got.text("id")
    _once(context, "box id", got, box_id, index.boxes)
    index.whole = index.whole and bool(box_id)
    supply = got.record("supply")
    return Box(
        id=box_id,
        supply=got.value("supply", str),
        described=_supply(supply) if supply else None,
        units=_units(context, got, box_id, index, first=first),
        mark=got.mark,
        supply_mark=got.at("supply"),
    )


def _once(context: Context, what: str, got: Got, name: str, seen: dict[str, Mark]) -> None:
    """Write down a name that stands twice."""
    if name in seen:
        context.say(got.at("id"), f"{what} {quoted(name)} stands twice, first in line {seen[name].line}")
    elif name:
        seen[name] = got.at("id")


def _supply(got: Got) -> SupplyDescribed | None:
    facts = got.record("describe")
    if facts is None:
        return None
    return SupplyDescribed(currents(facts, "rails"), currents(facts, "minimum"), facts.value("watts", Decimal))


# ---- units


def _units(context: Context, got: Got, box_id: str, index: Index, *, first: bool) -> tuple[Unit, ...]:
    if got.wrote("units"):
        for name in ("slots", "wires", "regulators", "memory-volts", "joined-by"):
            if got.wrote(name):
                context.say(got.marks[name], f"{name}: stands beside units; write it inside the unit")
        index.whole = index.whole and "units" in got
        return _listed_units(context, got, box_id, index, first=first)
    return (_unit(context, got, (box_id, ONLY_UNIT), index, first=first),)


def _listed_units(context: Context, got: Got, box_id: str, index: Index, *, first: bool) -> tuple[Unit, ...]:
    seen: dict[str, Mark] = {}
    made = []
    for number, item in enumerate(got.records("units")):
        _once(context, "unit id", item, item.text("id"), seen)
        made.append(_unit(context, item, (box_id, item.text("id")), index, first=first and number == 0))
    if "units" in got and not made:
        context.say(got.marks["units"], "units: empty; a box has at least one backplane")
    return tuple(made)


def _unit(context: Context, got: Got, name: tuple[str, str], index: Index, *, first: bool) -> Unit:
    backplane_id = got.text("backplane")
    backplane = context.catalogue.backplane(backplane_id) if backplane_id else None
    wires, marks = _wires(context, got, backplane)
    feeds, feed_marks = _by_slot(context, got, "regulators", backplane)
    joint = got.record("joined-by")
    if first and got.wrote("joined-by"):
        context.say(got.marks["joined-by"], "joined-by: this is the first unit; nothing stands before it")
    return Unit(
        id=name[1],
        backplane=backplane_id,
        wires=wires,
        joined_by=_joint(joint) if joint else None,
        placed=_slots(context, got, backplane, name, index),
        mark=got.mark,
        backplane_mark=got.at("backplane"),
        wires_marks=marks,
        regulators=feeds,
        regulators_marks=feed_marks,
        memory_volts=got.text("memory-volts"),
    )


def _joint(got: Got) -> Joint:
    connected = got.value("connected", bool)
    return Joint(got.text("cable"), got.value("length-m", Decimal), connected is not False, got.mark)


def _slots(
    context: Context, got: Got, backplane: BackplaneEntry | None, name: tuple[str, str], index: Index
) -> tuple[Placed, ...]:
    standing = index.units.setdefault(name, [])
    index.whole = index.whole and bool(name[1]) and got.wrote("slots") == ("slots" in got)
    made = []
    for pair in got.pairs("slots"):
        board = placed(context, pair, backplane)
        standing.append(Standing(pair.key.value, pair.key.text, board))
        if board is not None:
            made.append(board)
    return tuple(made)


# ---- wires


def _wires(
    context: Context, got: Got, backplane: BackplaneEntry | None
) -> tuple[Mapping[str, Mapping[int, bool]], Mapping[int, Mark]]:
    wires = got.record("wires")
    if wires is None:
        return {}, {}
    if backplane is not None and backplane.bus == "mux" and wires.wrote("dma-grant"):
        context.say(
            wires.marks["dma-grant"], f"dma-grant: {backplane.id} has no such wires; separate-line backplanes have them"
        )
        return {}, {}
    states, marks = _by_slot(context, wires, "dma-grant", backplane)
    return ({"dma-grant": states} if states else {}), marks


def _by_slot(
    context: Context, got: Got, name: str, backplane: BackplaneEntry | None
) -> tuple[dict[int, Any], dict[int, Mark]]:
    """Every slot named; a single slot goes before the range it lies in, anything else named twice is an error."""
    states: dict[int, Any] = {}
    marks: dict[int, Mark] = {}
    by_range: dict[bool, dict[int, Mark]] = {True: {}, False: {}}
    pairs = sorted(got.pairs(name), key=lambda pair: pair.key.value[0] == pair.key.value[1])
    for pair in pairs:  # ranges first, so that single slots win
        first, last = pair.key.value
        slots = tuple(range(first, last + 1))
        _check_wire_slots(context, pair.key, slots, backplane, by_range[last > first])
        if isinstance(pair.value, Value):
            states.update(dict.fromkeys(slots, pair.value.value))
            marks.update(dict.fromkeys(slots, pair.key.mark))
    return dict(sorted(states.items())), dict(sorted(marks.items()))


def _check_wire_slots(
    context: Context, key: Value, slots: tuple[int, ...], backplane: BackplaneEntry | None, before: dict[int, Mark]
) -> None:
    missing = slots_missing(slots, backplane) if backplane else ""
    if missing:
        context.say(key.mark, f"slot {quoted(key.text)}: {missing}")
    twice = next((slot for slot in slots if slot in before), None)
    if twice is not None:
        context.say(
            key.mark, f"slot {quoted(key.text)}: slot {twice} is named twice, first in line {before[twice].line}"
        )
    before.update({slot: key.mark for slot in slots if slot not in before})


# ---- the rest


def switches(got: Got) -> Switches:
    """The panel switches; where nothing is written, none is set."""
    panel = got.record("switches")
    if panel is None:
        return Switches(None, False, got.mark)
    return Switches(panel.value("register", int), panel.value("halt", bool) is True, panel.mark)


def acceptances(context: Context, got: Got, index: Index) -> tuple[Acceptance, ...]:
    """Findings the owner takes on; a place must begin with a box of the machine."""
    made = []
    for item in got.records("accept"):
        at = item.text("at")
        box = at.replace(" ", "/").split("/", 1)[0]
        if at and index.whole and box not in index.boxes:
            hint = nearest(box, index.boxes)
            context.say(item.at("at"), f"at {quoted(at)}: there is no box {quoted(box)} in this machine{hint}")
        made.append(Acceptance(item.text("rule"), as_findings_print(at), item.text("because"), item.mark))
    return tuple(made)


def as_findings_print(at: str) -> str:
    """A place in the form findings use: main/a/3CF for main/a/3CDEF; anything else stays."""
    head, _, last = at.rpartition("/")
    try:
        return f"{head}/{read_place(last)}" if head.count("/") == 1 else at
    except FieldError:
        return at
