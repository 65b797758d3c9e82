"""Backplane, supply and chassis files: what the boards stand in."""

from __future__ import annotations

import re

from minisim.catalogue.fields import Fields, decimal, end_of, one_of, text, texts, whole, words_of
from minisim.catalogue.model import BackplaneEntry, ChassisEntry, SupplyEntry
from minisim.catalogue.words import (
    BUSES,
    HEIGHTS,
    NONE,
    RAILS,
    SEVERITIES,
    SLOT_KINDS,
    SLOT_ROWS,
    TERMINATION,
    UNKNOWN,
    YES_NO,
)
from minisim.known import Figure, Known, NotApplicable, Unknown

_NOTHING = NotApplicable()
_SLOTS = re.compile(r"([1-9][0-9]?)(?:-([1-9][0-9]?))?\Z", re.ASCII)
_PLACE_KINDS = (*SLOT_KINDS, NONE, UNKNOWN)
_SIZE = ("inches", "pounds", "empty", "rack")


def read_backplane(fields: Fields, name: str) -> BackplaneEntry:
    """One backplane kind."""
    end = end_of(fields, "termination")
    wires = fields.maybe_figure("dma-grant-wires", one_of(("in",)), _NOTHING)
    loads = fields.figures("loads", decimal, ("dc",), "loads ")
    return BackplaneEntry(
        id=name,
        kind=fields.read("kind", text, ""),
        bus=fields.word("bus", BUSES),
        markings=fields.figure("markings", words_of),
        rows=fields.read("rows", one_of((*SLOT_ROWS, UNKNOWN)), ""),
        slots=_slots(fields),
        grant_order=_grant_order(fields),
        **_evidence(fields),
        address_bits=fields.figure("address-bits", whole),
        termination=fields.figure("termination", one_of(TERMINATION), keep_none=True, extra=("end", "choices", "ohm")),
        termination_end=end,
        ac=fields.figure("ac", decimal),
        dc=loads.get("dc", _NOTHING),
        limits=fields.figures("limits", decimal, ("ac", "dc"), "limit of loads "),
        spaces=fields.maybe_figure("spaces", whole, _NOTHING),
        takes=fields.maybe("takes", words_of, ()),
        profiles=fields.maybe("profiles", words_of, ()),
        memory_rail=fields.maybe_figure("memory-rail", one_of(("12", "15")), _NOTHING),
        dma_grant_wires="in" if isinstance(wires, Known) else NONE,
        notes=fields.maybe("notes", text, ""),
        dma_grant_wires_evidence=wires,
        widen_to_22=fields.maybe_figure("widen-to-22", text, _NOTHING),
    )


def _slots(fields: Fields) -> dict[int, dict[str, str]]:
    """Slot number -> rows -> kind; ranges are spread out; empty where the file says unknown."""
    block = fields.block("slots")
    slots: dict[int, dict[str, str]] = {}
    for key, node in block.node if block else ():
        match = _SLOTS.match(key.text)
        if not match:
            fields.say(key, f'slots: "{key.text}" is no slot or range of slots')
            continue
        inner = fields.inside(f"slots {key.text}", node)
        kinds = {rows: inner.word(rows, _PLACE_KINDS) for rows in inner.node.names() if rows in SLOT_ROWS}
        inner.finish()
        for slot in range(int(match[1]), int(match[2] or match[1]) + 1):
            if slot in slots:
                fields.say(key, f"slots: slot {slot} stands twice")
            slots[slot] = kinds
    return slots


def _grant_order(fields: Fields) -> tuple[str, ...]:
    """The places in the order of the grant; empty where the file says unknown."""
    if fields.is_unknown("grant-order"):
        fields.take("grant-order")
        return ()
    return fields.read("grant-order", words_of, ())


def _evidence(fields: Fields) -> dict[str, Figure[str]]:
    """How well the fields without records of their own are known."""
    block = fields.block("evidence")
    figures: dict[str, Figure[str]] = {}
    for key, node in block.node if block else ():
        inner = fields.inside(f"evidence {key.text}", node)
        figures[key.text] = inner.evidence_figure(key.text, key.text)
        inner.finish()

    def figure(key: str, what: str) -> Figure[str]:
        return figures.get(key, Unknown(f"{what} of {fields.what}"))

    return {"slots_evidence": figure("slots", "slots"), "grant_order_evidence": figure("grant-order", "grant order")}


def read_supply(fields: Fields, name: str) -> SupplyEntry:
    """One supply kind."""
    entry = SupplyEntry(
        id=name,
        kind=fields.read("kind", text, ""),
        bus=fields.word("bus", (*BUSES, "any")),
        markings=fields.figure("markings", words_of),
        rails=fields.figures("rails", decimal, RAILS, "rating of "),
        minimum=fields.figures("minimum", decimal, RAILS, "least load of "),
        watts=fields.figure("watts", decimal),
        line_clock=fields.figure("line-clock", one_of(YES_NO), extra=("control",)),
        alternatives=fields.maybe("alternatives", texts, {}),
        notes=fields.maybe("notes", text, ""),
        serves=fields.maybe("serves", words_of, ()),
        units=fields.maybe_figure("units", words_of, _NOTHING),
        regulators=fields.maybe_figure("regulators", whole, _NOTHING, extra=("typical",)),
    )
    # Read to be checked; nothing decides on them yet.
    fields.maybe("regulator", text, "")
    fields.figures("per-regulator", decimal, (*RAILS, "watts"), "limit of one regulator ")
    fields.figures("surge", text, RAILS, "surge of ")
    return entry


def read_chassis(fields: Fields, name: str) -> ChassisEntry:
    """One chassis kind."""
    for item in fields.blocks("forbids") if "forbids" in fields else ():
        item.word("height", HEIGHTS)
        item.word("severity", SEVERITIES)
        item.read("why", text, "")
        item.finish("evidence", "sources")
    for unused in ("also-holds", "clearance-mm"):
        fields.take(unused)
    return ChassisEntry(
        id=name,
        kind=fields.read("kind", text, ""),
        bus=fields.word("bus", (*BUSES, "any")),
        holds=fields.figure("holds", words_of),
        supplies=fields.read("supplies", words_of, ()),
        spaces=fields.maybe_figure("spaces", whole, _NOTHING),
        rack_units=fields.figure("rack-units", decimal),
        width_mm=fields.figure("width-mm", decimal, extra=_SIZE),
        depth_mm=fields.figure("depth-mm", decimal, extra=_SIZE),
        height_mm=fields.maybe_figure("height-mm", decimal, _NOTHING, extra=_SIZE),
        kg=fields.figure("kg", decimal, extra=_SIZE),
        drive_bays=fields.figure("drive-bays", whole),
        slides=fields.figure("slides", text),
        people=fields.figure("people", text),
        notes=fields.maybe("notes", text, ""),
    )
