"""JSON Schemas of the catalogue files, for editors and for the tests; reading a file at run time does not need them.

A value may come as text, as our reader takes it, or as the number another YAML reader makes of it.
"""

from __future__ import annotations

from minisim.catalogue.schema_boards import boards
from minisim.catalogue.schema_parts import (
    ONLY_UNKNOWN,
    SIZE,
    Schema,
    common,
    definitions,
    either,
    evidence_only,
    free_mapping,
    list_of,
    mapping,
    markings,
    number,
    one_of,
    record,
    ref,
    yes_no,
)
from minisim.catalogue.schema_times import instruction_times
from minisim.catalogue.words import (
    BUSES,
    DEBUGGER,
    ENDS,
    FPP_UNIT,
    HEIGHTS,
    KINDS,
    LOOPS,
    NONE,
    ONE_OF,
    OPTIONS,
    PROFILE_OPTION,
    RAILS,
    SEVERITIES,
    SLOT_KINDS,
    SLOT_ROWS,
    TERMINATION,
    UNKNOWN,
    YES_NO,
)

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schema(kind: str) -> Schema:
    """The schema of one file of a folder (`boards`, `backplanes`, ...)."""
    body = _BUILDERS[kind]()
    return {"$schema": DRAFT, "title": f"One {ONE_OF[kind]} of the catalogue", "$defs": definitions(), **body}


def schemas() -> dict[str, Schema]:
    """All of them, by folder."""
    return {kind: schema(kind) for kind in KINDS}


def _backplanes() -> Schema:
    slot = free_mapping(one_of((*SLOT_KINDS, NONE, UNKNOWN)), SLOT_ROWS)
    slots = {"type": "object", "patternProperties": {r"^[1-9]\d?(-[1-9]\d?)?$": slot}, "additionalProperties": False}
    termination = {"end": one_of((*ENDS, UNKNOWN)), "choices": list_of(ref("text")), "ohm": ref("number")}
    required = {
        **common(),
        "markings": markings(),
        "rows": one_of((*SLOT_ROWS, UNKNOWN)),
        "slots": either(ONLY_UNKNOWN, slots),
        "grant-order": either(ONLY_UNKNOWN, list_of({"type": "string", "pattern": "^[1-9][0-9]?[A-F]+$"}, 1)),
        "address-bits": record({"enum": ["16", "18", "22", 16, 18, 22]}),
        "termination": record(one_of(TERMINATION), **termination),
        "ac": number(),
    }
    optional = {
        "memory-rail": record({"enum": ["12", "15", 12, 15]}),
        "dma-grant-wires": record(one_of(("in",))),
        "limits": free_mapping(number(), ("ac", "dc")),
        "loads": free_mapping(number(), ("dc",)),
        "widen-to-22": record(ref("text")),
        "profiles": ref("ids"),
        "spaces": record(ref("whole")),
        "takes": ref("ids"),
        "evidence": free_mapping(evidence_only(), ("kind", "rows", "slots", "grant-order", "profiles")),
        "notes": ref("text"),
    }
    return mapping(required, optional)


def _supplies() -> Schema:
    required = {
        **common((*BUSES, "any")),
        "markings": markings(),
        "rails": free_mapping(number(), RAILS),
        "minimum": free_mapping(number(), RAILS),
        "watts": number(),
        "line-clock": yes_no(control=ref("text")),
        "serves": ref("ids"),
    }
    optional = {
        "units": record(ref("ids")),
        "regulator": ref("text"),
        "regulators": record(ref("whole"), typical=ref("text")),
        "per-regulator": free_mapping(number(), (*RAILS, "watts")),
        "surge": free_mapping(record(ref("text")), RAILS),
        "alternatives": free_mapping(one_of(RAILS), RAILS),
        "notes": ref("text"),
    }
    return mapping(required, optional)


def _chassis() -> Schema:
    size = number(**SIZE)
    required = {
        **common((*BUSES, "any")),
        "holds": record(ref("ids")),
        "supplies": ref("ids"),
        "rack-units": number(),
        "width-mm": size,
        "depth-mm": size,
        "kg": size,
        "drive-bays": record(ref("whole")),
        "slides": record(ref("text")),
        "people": record(either(ref("whole"), one_of(("movers",)))),
    }
    ban = {"height": one_of(HEIGHTS), "severity": one_of(SEVERITIES), "why": ref("text")}
    optional = {
        "height-mm": size,
        "spaces": record(ref("whole")),
        "clearance-mm": record(free_mapping(ref("number"), ("front", "sides", "rear")), inches=ref("text")),
        "forbids": list_of(evidence_only(**ban)),
        "notes": ref("text"),
    }
    return mapping(required, optional)


def _drives() -> Schema:
    size = number(**SIZE)
    seconds = number(seconds=ref("number"))
    power = {"start-va": seconds, "start-amps": seconds, "phases": record(ref("whole"))}
    required = {
        "id": ref("id"),
        "kind": ref("text"),
        "controller": ref("id"),
        "media": ref("ids"),
        "capacity": record(either(ref("whole"), ref("text"))),
        "units-per-controller": record(ref("whole")),
        "place": record(ref("text")),
        "power": mapping({"watts": number()}, power),
        "height-mm": size,
        "width-mm": size,
        "depth-mm": size,
        "rack-units": number(),
        "kg": size,
        "cable": ref("ids"),
        "termination": record(ref("text")),
    }
    text = record(ref("text"))
    optional = {
        "people": record(either(ref("whole"), one_of(("movers",)))),
        "rails": free_mapping(number(), RAILS),
        "boards": record(ref("ids")),
        "drives-in-box": ref("whole"),
        "line": free_mapping(record(either(ref("text"), ref("number"))), ("baud", "loop", "stop-bits")),
        "chain": list_of(list_of(ref("id"), 1), 1),
        "needs": mapping({"device": ref("id")}, {"break": text, "line-at": text}),
        "notes": ref("text"),
    }
    return mapping(required, optional)


def _cables() -> Schema:
    wires = free_mapping(either(ref("text"), {"type": "integer"}))
    required = {
        "id": ref("id"),
        "kind": ref("text"),
        "from": ref("text"),
        "to": ref("text"),
        "lengths-m": record(either(list_of(ref("number"), 1), ref("text"))),
        "pins": either(ref("text"), wires),
        "rules": free_mapping(record(either(ref("text"), ref("number")))),
        "evidence": mapping({"kind": evidence_only()}),
    }
    optional = {
        "interlock": record(ref("text")),
        "loop": record(one_of(LOOPS)),
        "address-bits": record({"enum": ["18", "22", 18, 22]}),
        "notes": ref("text"),
    }
    return mapping(required, optional)


def _media() -> Schema:
    size = record(either(ref("whole"), ref("text")))
    required = {
        "id": ref("id"),
        "kind": ref("text"),
        "geometry": record(free_mapping(either(ref("number"), list_of(ref("number"))))),
        "image": mapping({"bytes": size, "ending": ref("text"), "order": ref("text")}),
        "removable": one_of(YES_NO),
    }
    optional = {
        "logical-image": mapping({"bytes": size, "order": ref("text")}),
        "raw-order": record(ref("text")),
        "also-accept-bytes": record(list_of(ref("whole"), 1)),
        "notes": ref("text"),
    }
    return mapping(required, optional)


def _roms() -> Schema:
    required = {
        "id": ref("id"),
        "kind": ref("text"),
        "first-word": record(ref("octal")),
        "letters": record({"type": "string", "pattern": "^[A-Z]{2}$"}),
        "boots": record(either(ref("id"), ref("ids"))),
        "boards": ref("ids"),
        "at": record(either(list_of(ref("address"), 1), ref("text"))),
        "words": record(either(ref("whole"), ref("text"))),
    }
    optional = {
        "also-fits": record(ref("ids")),
        "expects-csr": record(ref("address")),
        "entry": record(mapping({"without-checks": ref("octal"), "with-checks": ref("octal")})),
        "start": record(ref("address")),
        "notes": ref("text"),
    }
    return mapping(required, optional)


def _profiles() -> Schema:
    whole = record(ref("whole"))
    word_or_words = either(ref("text"), free_mapping(ref("text")))
    flag = {
        **mapping(
            {"id": {"type": "string", "pattern": "^D[0-9]{2}$"}, "flag": ref("text"), "value": word_or_words},
            {
                "likely": word_or_words,
                "model": word_or_words,
                "model-because": ref("text"),
                "evidence": ref("evidence"),
                "sources": ref("sources"),
            },
        ),
        "if": {"properties": {"value": {"const": UNKNOWN}}},
        "then": {"required": ["model"]},
    }
    required = {
        "id": ref("id"),
        "description": ref("text"),
        "technology": ref("text"),
        "boards": whole,
        "buses": record(list_of(ref("text"), 1)),
        "options": mapping({option: record(one_of(PROFILE_OPTION)) for option in OPTIONS}),
        "fpp-unit": record(one_of(FPP_UNIT)),
        "address-bits": whole,
        "modes": whole,
        "register-sets": whole,
        "console": record(ref("text")),
        "average-instruction-us": number(),
        "cycle-table": record(mapping({"base-ns": ref("whole"), "cycle-ns": ref("whole")})),
        "notes": list_of(ref("text")),
        "flags": list_of(flag, 1),
    }
    optional = {
        "debugger-address-bits": whole,
        "debugger": record(one_of(DEBUGGER)),
        "reset-us": number(),
        "processor-type": whole,
        "red-zone": record(one_of(YES_NO)),
        "user-stack-limit": record(one_of(YES_NO)),
        "mov-reads-first": record(one_of(("both", "byte"))),
        "instruction-times": instruction_times(),
    }
    return mapping(required, optional)


_BUILDERS = {
    "boards": boards,
    "backplanes": _backplanes,
    "supplies": _supplies,
    "chassis": _chassis,
    "drives": _drives,
    "cables": _cables,
    "media": _media,
    "roms": _roms,
    "profiles": _profiles,
}
