"""What a machine is, as one flat table of texts: so that two days can be compared."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import fields
from pathlib import Path

from minisim.loadout.model import Box, CableEnd, Described, Loadout, Placed, Unit

KINDS = (
    "board", "wire", "joint", "supply", "regulator", "memory-volts", "backplane", "setting", "option", "rom", "order",
    "item", "cable", "medium", "switch", "modification",
)  # fmt: skip
"""What can change, in the order in which a change is likely to matter: the way of the grants and power first."""
_HASH = 12  # hexadecimal digits of a file's SHA-256 that are kept


def summary_of(loadout: Loadout) -> Mapping[str, str]:
    """`kind where [name]` -> value, such as `setting main/a/3CF address` -> `777560`."""
    return dict(_facts(loadout))


def _facts(loadout: Loadout) -> Iterator[tuple[str, str]]:
    for box in loadout.boxes:
        yield f"supply {box.id}", _supply(box)
        for unit in box.units:
            yield from _unit(f"{box.id}/{unit.id}", unit)
    for cable in loadout.cables:
        yield from _cable(cable)
    switches = loadout.switches
    yield "switch halt", "on" if switches.halt else "off"
    if switches.register is not None:
        yield "switch register", f"{switches.register:06o}"
    for number, text in enumerate(loadout.modifications, 1):
        yield f"modification {number}", text


def _supply(box: Box) -> str:
    if box.supply:
        return box.supply
    if box.described is None:
        return "not stated"
    rails = [f"{rail} {amps} A" for rail, amps in box.described.rails.items()]
    least = [f"{rail} at least {amps} A" for rail, amps in box.described.minimum.items()]
    watts = [f"{box.described.watts} W"] if box.described.watts is not None else []
    return ", ".join([*rails, *least, *watts]) or "not stated"


def _unit(where: str, unit: Unit) -> Iterator[tuple[str, str]]:
    yield f"backplane {where}", unit.backplane
    for name, slots in unit.wires.items():
        for slot, is_in in slots.items():
            yield f"wire {where}/{slot} {name}", "in" if is_in else "out"
    for slot, name in unit.regulators.items():
        yield f"regulator {where}/{slot}", name
    if unit.memory_volts:
        yield f"memory-volts {where}", unit.memory_volts
    if unit.joined_by is not None:
        length = f", {unit.joined_by.length_m} m" if unit.joined_by.length_m is not None else ""
        connected = "" if unit.joined_by.connected else ", not connected"
        yield f"joint {where}", f"{unit.joined_by.cable}{length}{connected}"
    for placed in unit.placed:
        yield from _board(f"{where}/{placed.place}", placed)


def _board(where: str, placed: Placed) -> Iterator[tuple[str, str]]:
    yield f"board {where}", placed.board if isinstance(placed.board, str) else _described(placed.board)
    if placed.item:
        yield f"item {where}", placed.item
    if placed.options:
        yield f"option {where}", ", ".join(sorted(placed.options))
    for name, setting in placed.settings.items():
        yield f"setting {where} {name}", setting.text
    for rom in placed.roms:
        yield f"rom {where} {rom.at + 0o760000:06o}", f"{rom.rom} {rom.image_text}{_content(rom.image)}".strip()
    if placed.order:
        yield f"order {where}", ", ".join(placed.order)


def _cable(cable: CableEnd) -> Iterator[tuple[str, str]]:
    port = f" line {cable.line}" if cable.line is not None else ""
    port = f" unit {cable.unit}" if cable.unit is not None else port
    words = [
        cable.to, cable.cable or "", *cable.through, f"{cable.baud} baud" if cable.baud else "", cable.bits,
        cable.parity, cable.stop_bits and f"{cable.stop_bits} stop", cable.wiring, cable.loop,
    ]  # fmt: skip
    yield f"cable {cable.board}{port}", ", ".join(word for word in words if word)
    if cable.media_text:
        protected = ", write-protect on" if cable.write_protect else ""
        yield f"medium {cable.board}{port}", f"{cable.media_text}{_content(cable.media)}{protected}"


def _described(board: Described) -> str:
    """Everything the owner says of a board nobody knows."""
    said = ((field.name, getattr(board, field.name)) for field in fields(board) if field.name != "mark")
    words = [f"{name} {_plain(value)}" for name, value in said if value not in (None, {}, 0)]
    return ", ".join(["described", *words])


def _plain(value: object) -> str:
    if isinstance(value, Mapping):
        return " ".join(f"{key} {one}" for key, one in value.items())
    return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else str(value)


def _content(path: Path | None) -> str:
    """What tells one content of a file from another; nothing where it can't be read."""
    if path is None:
        return ""
    try:
        with path.open("rb") as stream:
            return f" ({hashlib.file_digest(stream, 'sha256').hexdigest()[:_HASH]})"
    except OSError:
        return ""
