"""What the tests of slot lists share: an understanding as lines of text, loadouts without what text can not hold."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Any

from minisim.catalogue.reader import Catalogue
from minisim.loadout.model import Box, Described, Loadout, Placed, Unit
from minisim.loadout.slot_list import Entry, Reading
from minisim.loadout.slot_list_boards import letters
from minisim.loadout.slot_list_report import Answers, Understood, understand

CATALOGUE = Catalogue()
"""One catalogue for all tests: its files are read once."""


def read_mail(text: str | bytes, **answers: Any) -> Understood:
    """Understand a mail; `backplane=` and `supply=` answer for the only one."""
    data = text.encode() if isinstance(text, str) else text
    backplanes = {"": answers["backplane"]} if "backplane" in answers else answers.get("backplanes", {})
    supplies = {"": answers["supply"]} if "supply" in answers else answers.get("supplies", {})
    return understand(data, "mail", CATALOGUE, Answers(backplanes, supplies))


def whole_understanding(understood: Understood) -> str:
    """Everything that was understood, in a form that is easy to compare by eye."""
    return "\n".join(_lines(understood)) + "\n"


def _lines(understood: Understood) -> Iterator[str]:
    slot_list = understood.list
    yield f"name: {slot_list.name or '-'}; state: {slot_list.state or '-'}; halt: {'on' if slot_list.halt else 'off'}"
    for box in slot_list.boxes:
        yield f"box {box.id}: supply {box.supply or ('not known' if box.supply_unknown else 'not said')}"
    for unit in slot_list.units:
        said = [f"{unit.slots_said} slots"] if unit.slots_said else []
        said += ["rest empty"] if unit.rest_empty else []
        said += [f"joint {unit.joint}"] if unit.joint else []
        said += [f"wires {unit.wires}"] if unit.wires else []
        yield f"unit {unit.name}: {'; '.join([unit.backplane or 'backplane not said', *said])}"
    for reading in slot_list.readings:
        yield _reading(reading)
    for one in slot_list.modifications:
        yield f"modified: {one}"
    for question in understood.questions:
        yield f"{'needed' if question.needed else 'good to know'}: {question.topic} {list(question.lines)}"


def _reading(reading: Reading) -> str:
    what = "; ".join(_entry(entry) for entry in reading.entries)
    sure = "" if reading.sure == "sure" else f" ({reading.sure})"
    return f"line {reading.line.number}: {reading.kind}{sure}{f': {what}' if what else ''}"


def _entry(entry: Entry) -> str:
    slots = f"{entry.slots[0]}-{entry.slots[-1]}" if len(entry.slots) > 1 else f"{entry.slots[0]}"
    where = f"{slots}{letters(entry.rows)}{f' {entry.side}' if entry.side else ''}"
    if entry.empty:
        return f"{where} empty"
    parts = [where, entry.board or f"unknown {entry.number or '(no number)'}", *entry.options]
    parts += [f"{name}={text}" for name, (text, _) in sorted(entry.settings.items())]
    parts += [f"{name}={text}" for name, text in sorted(entry.described.items())]
    parts += [f"item={entry.item}"] if entry.item else []
    parts += [f'"{entry.remark}"'] if entry.remark else []
    return " ".join([*parts, *(f"modified:{one}" for one in entry.modifications)])


# ---- comparing loadouts


def held_by_text(loadout: Loadout) -> Any:
    """Everything of a loadout that a slot list can hold, as plain values."""
    return {
        "name": " ".join(loadout.name.split()),
        "state": loadout.state,
        "halt": loadout.switches.halt,
        "register": loadout.switches.register,
        "modifications": [" ".join(one.split()) for one in loadout.modifications],
        "notes": [" ".join(one.split()) for one in loadout.notes.splitlines() if one.strip()],
        "boxes": [_box(box) for box in loadout.boxes],
    }


def _box(box: Box) -> Any:
    return box.id, box.supply, [_unit(unit) for unit in box.units]


def _unit(unit: Unit) -> Any:
    joint = unit.joined_by and (unit.joined_by.cable, unit.joined_by.length_m, unit.joined_by.connected)
    wires = {kind: dict(states) for kind, states in unit.wires.items() if states}
    return unit.id, unit.backplane, wires, joint, sorted(_board(placed) for placed in unit.placed)


def _board(placed: Placed) -> Any:
    settings = sorted((name, str(setting.value)) for name, setting in placed.settings.items())
    roms = sorted((rom.at, rom.rom) for rom in placed.roms)
    return placed.slots, placed.rows, str(_kind(placed.board)), placed.item, placed.options, settings, roms


def _kind(board: str | Described) -> Any:
    if isinstance(board, str):
        return board
    facts = {field.name: getattr(board, field.name) for field in dataclasses.fields(board) if field.name != "mark"}
    return {**facts, "amps": sorted(board.amps.items())}
