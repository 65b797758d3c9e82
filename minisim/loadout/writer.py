"""Write a Loadout as canonical text: reading it again gives an equal Loadout, but for places and hash."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import groupby
from typing import Any

from minisim.loadout import fields as f
from minisim.loadout.build import ONLY_UNIT
from minisim.loadout.declarations import VERSION
from minisim.loadout.model import Box, CableEnd, Described, Joint, Loadout, Placed, RomFitted, SupplyDescribed, Unit

_PLAIN = re.compile(r"[A-Za-z0-9]([A-Za-z0-9 _./+-]*[A-Za-z0-9_./+-])?\Z")
_NULL_WORDS = frozenset({"null", "Null", "NULL"})
_LINE_ENDS = {"\x85": "\\N", "\u2028": "\\L", "\u2029": "\\P", "\ufeff": "\\ufeff", "\x7f": "\\x7f"}


def write_loadout(loadout: Loadout) -> str:
    """The text of a loadout file."""
    return "".join(f"{line}\n" for line in _lines(loadout))


def _lines(loadout: Loadout) -> Iterator[str]:
    yield f"loadout: {VERSION}"
    yield f"name: {text(loadout.name)}"
    yield f"state: {loadout.state}"
    yield "boxes:"
    for box in loadout.boxes:
        yield from _item(_box(box), "  ")
    yield from _inline_list("cables", [_cable(end) for end in loadout.cables])
    switches = {"register": _maybe(f.WORD, loadout.switches.register), "halt": "on" if loadout.switches.halt else None}
    if any(switches.values()):
        yield f"switches: {_inline(switches)}"
    accepted = [{"rule": text(a.rule), "at": text(a.at), "because": text(a.because)} for a in loadout.accept]
    yield from _inline_list("accept", [_inline(entry) for entry in accepted])
    yield from _inline_list("modifications", [text(entry) for entry in loadout.modifications])
    if loadout.notes:
        yield f"notes: {text(loadout.notes)}"


def _inline_list(key: str, entries: list[str]) -> Iterator[str]:
    if entries:
        yield f"{key}:"
        yield from (f"  - {entry}" for entry in entries)


def _item(lines: Iterator[str], indent: str) -> Iterator[str]:
    """Lines as one item of a list: a dash before the first."""
    for number, line in enumerate(lines):
        yield f"{indent}{'- ' if number == 0 else '  '}{line}"


# ---- boxes and units


def _box(box: Box) -> Iterator[str]:
    yield f"id: {text(box.id)}"
    if box.supply is not None:
        yield f"supply: {box.supply}"
    elif box.described is not None:
        yield f"supply: {{describe: {_supply(box.described)}}}"
    if len(box.units) == 1 and box.units[0].id == ONLY_UNIT:
        yield from _unit(box.units[0])
        return
    yield "units:"
    for unit in box.units:
        yield from _item(_named_unit(unit), "  ")


def _supply(described: SupplyDescribed) -> str:
    return _inline(
        {
            "rails": _currents(described.rails),
            "minimum": _currents(described.minimum) if described.minimum else None,
            "watts": _maybe(f.WATTS, described.watts),
        }
    )


def _named_unit(unit: Unit) -> Iterator[str]:
    yield f"id: {text(unit.id)}"
    yield from _unit(unit)


def _unit(unit: Unit) -> Iterator[str]:
    yield f"backplane: {unit.backplane}"
    if unit.joined_by is not None:
        yield f"joined-by: {_joint(unit.joined_by)}"
    if unit.wires:
        yield f"wires: {_inline({kind: _by_slot(states, f.IN_OUT) for kind, states in unit.wires.items()})}"
    if unit.regulators:
        yield f"regulators: {_by_slot(unit.regulators, f.NAME)}"
    if unit.memory_volts:
        yield f"memory-volts: {unit.memory_volts}"
    if unit.placed:
        yield "slots:"
        yield from (f"  {placed.place}: {_placed(placed)}" for placed in unit.placed)


def _joint(joint: Joint) -> str:
    length = _maybe(f.METRES, joint.length_m)
    return _inline({"cable": joint.cable, "length-m": length, "connected": None if joint.connected else "no"})


def _by_slot(states: Mapping[int, Any], field: f.Field[Any]) -> str:
    """Runs of neighbouring slots with the same state as ranges."""
    runs = groupby(enumerate(sorted(states)), lambda pair: (pair[1] - pair[0], states[pair[1]]))
    entries = {}
    for (_, state), run in runs:
        slots = [slot for _, slot in run]
        name = f"{slots[0]}-{slots[-1]}" if len(slots) > 1 else str(slots[0])
        entries[name] = field.show(state)
    return _inline(entries)


# ---- boards


def _placed(placed: Placed) -> str:
    settings = {text(name): text(setting.text) for name, setting in placed.settings.items()}
    return _inline(
        {
            "board": placed.board if isinstance(placed.board, str) else f"{{describe: {_described(placed.board)}}}",
            "item": text(placed.item) if placed.item else None,
            "order": f"[{', '.join(text(marking) for marking in placed.order)}]" if placed.order else None,
            "options": f"[{', '.join(text(option) for option in placed.options)}]" if placed.options else None,
            "settings": _inline(settings) if settings else None,
            "roms": _inline({f.show_register_address(rom.at): _rom(rom) for rom in placed.roms})
            if placed.roms
            else None,
        }
    )


def _described(board: Described) -> str:
    return _inline(
        {
            "height": board.height,
            "interrupts": _maybe(f.YES_NO, board.interrupts),
            "dma": _maybe(f.YES_NO, board.dma),
            "passes-grant": _maybe(f.YES_NO, board.passes_grant),
            "amps": _currents(board.amps) if board.amps else None,
            "ac": _maybe(f.LOADS, board.ac),
            "dc": _maybe(f.LOADS, board.dc),
            "address": _maybe(f.REGISTER_ADDRESS, board.registers),
            "words": str(board.words) if board.words else None,
            "vector": _maybe(f.VECTOR, board.vector),
            "vectors": str(board.vectors) if board.vectors else None,
            "level": None if board.level is None else str(board.level),
        }
    )


def _rom(rom: RomFitted) -> str:
    if not rom.image_text and rom.sha256 is None and rom.words is None and rom.checksum is None:
        return rom.rom
    image = text(rom.image_text) if rom.image_text else None
    words = None if rom.words is None else str(rom.words)
    checksum = _maybe(f.WORD, rom.checksum)
    return _inline({"rom": rom.rom, "image": image, "words": words, "checksum": checksum, "sha256": rom.sha256})


def _currents(rails: Mapping[str, Decimal]) -> str:
    return _inline({text(rail): f.AMPERES.show(amps) for rail, amps in rails.items()})


# ---- cables


def _cable(end: CableEnd) -> str:
    return _inline(
        {
            "from": text(end.board),
            "line": None if end.line is None else str(end.line),
            "unit": None if end.unit is None else str(end.unit),
            "to": end.to,
            "cable": end.cable,
            "baud": None if end.baud is None else str(end.baud),
            "bits": end.bits or None,
            "parity": end.parity or None,
            "stop-bits": end.stop_bits or None,
            "wiring": end.wiring or None,
            "loop": end.loop or None,
            "through": f"[{', '.join(end.through)}]" if end.through else None,
            "media": text(end.media_text) if end.media_text else None,
            "write-protect": "on" if end.write_protect else None,
        }
    )


# ---- scalars


def _maybe(field: f.Field[f.T], value: f.T | None) -> str | None:
    return None if value is None else field.show(value)


def _inline(entries: Mapping[str, str | None]) -> str:
    """A mapping on one line, without the entries that are None."""
    return f"{{{', '.join(f'{key}: {value}' for key, value in entries.items() if value is not None)}}}"


def text(value: str) -> str:
    """Text as a YAML scalar: plain where that is safe anywhere, else between double quotes."""
    if _PLAIN.match(value) and value not in _NULL_WORDS:
        return value
    quoted = json.dumps(value, ensure_ascii=False)
    return "".join(_LINE_ENDS.get(character, character) for character in quoted)
