"""What a machine is, as one flat table of texts: so that two days can be compared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from minisim.loadout.model import Box, CableEnd, Loadout, Placed, Unit

KINDS = (
    "board", "wire", "joint", "backplane", "supply", "setting", "option", "rom", "order", "item", "cable", "medium",
    "switch", "modification",
)  # fmt: skip
"""What can change, in the order in which a change is likely to matter: the way of the grants and power first."""


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
    rails = box.described.rails if box.described else {}
    return ", ".join(f"{rail} {amps} A" for rail, amps in rails.items()) or "not stated"


def _unit(where: str, unit: Unit) -> Iterator[tuple[str, str]]:
    yield f"backplane {where}", unit.backplane
    for name, slots in unit.wires.items():
        for slot, is_in in slots.items():
            yield f"wire {where}/{slot} {name}", "in" if is_in else "out"
    if unit.joined_by is not None:
        connected = "" if unit.joined_by.connected else ", not connected"
        yield f"joint {where}", f"{unit.joined_by.cable}{connected}"
    for placed in unit.placed:
        yield from _board(f"{where}/{placed.place}", placed)


def _board(where: str, placed: Placed) -> Iterator[tuple[str, str]]:
    yield f"board {where}", placed.board if isinstance(placed.board, str) else "described"
    if placed.item:
        yield f"item {where}", placed.item
    if placed.options:
        yield f"option {where}", ", ".join(sorted(placed.options))
    for name, setting in placed.settings.items():
        yield f"setting {where} {name}", setting.text
    for rom in placed.roms:
        yield f"rom {where} {rom.at + 0o760000:06o}", f"{rom.rom} {rom.image_text}".strip()
    if placed.order:
        yield f"order {where}", ", ".join(placed.order)


def _cable(cable: CableEnd) -> Iterator[tuple[str, str]]:
    port = f" line {cable.line}" if cable.line is not None else ""
    port = f" unit {cable.unit}" if cable.unit is not None else port
    words = [
        cable.to, cable.cable or "", *cable.through, f"{cable.baud} baud" if cable.baud else "", cable.bits,
        cable.parity, cable.wiring, cable.loop,
    ]  # fmt: skip
    yield f"cable {cable.board}{port}", ", ".join(word for word in words if word)
    if cable.media_text:
        yield f"medium {cable.board}{port}", cable.media_text + (", write-protect on" if cable.write_protect else "")
