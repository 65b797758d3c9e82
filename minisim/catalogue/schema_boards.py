"""Schema of a board file."""

from __future__ import annotations

from minisim.catalogue.schema_parts import (
    NOTHING,
    ONLY_UNKNOWN,
    Schema,
    common,
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
from minisim.catalogue.words import (
    BOARD_OPTION,
    BOARD_ROWS,
    ENDS,
    HEIGHTS,
    NONE,
    OPTIONS,
    RAILS,
    RARE_OPTIONS,
    SEVERITIES,
    SLOT_KINDS,
    TERMINATES,
    UNKNOWN,
    YES_NO,
)


def _at(place: str) -> Schema:
    first = either(one_of((NONE,)), ref(place))
    return either(
        NOTHING,
        mapping({"fixed": ref(place)}),
        mapping({"choices": {**list_of(ref(place), 1), "uniqueItems": True}}),
        mapping({"floating-rank": ref("whole"), "first": first}),
    )


def _registers() -> Schema:
    vectors = mapping(
        {"count": ref("whole"), "at": _at("vector")},
        {
            "evidence": ref("evidence"),
            "sources": ref("sources"),
            "note": ref("text"),
            "set-by": one_of(("software",)),
        },
    )
    level = {"enum": ["4", "5", "6", "7", 4, 5, 6, 7]}
    return mapping(
        {
            "device": ref("id"),
            "words": either(ONLY_UNKNOWN, ref("whole")),
            "at": _at("address"),
            "vectors": either(NOTHING, vectors),
            "level": record(either(level, list_of(level, 2))),
            "evidence": ref("evidence"),
            "sources": ref("sources"),
        },
        {
            "lines": either(ref("whole"), list_of(ref("whole"), 2)),
            "note": ref("text"),
            "variant": free_mapping(one_of(YES_NO)),
        },
    )


def _memory() -> Schema:
    return mapping(
        {
            "kb": record(list_of(ref("whole"), 1)),
            "start-step-kb": record(ref("whole")),
            "parity": record(one_of((*YES_NO, "ecc"))),
            "refreshes-itself": yes_no(),
        }
    )


def _rom_block() -> Schema:
    return mapping(
        {
            "windows": either(NOTHING, list_of(ref("address"), 1)),
            "words-each": either(ONLY_UNKNOWN, ref("whole")),
            "sets": ONLY_UNKNOWN,
            "evidence": ref("evidence"),
            "sources": ref("sources"),
        },
        {
            "choose": one_of(("one",)),
            "sockets": list_of(mapping({"at": ref("address"), "words": ref("whole")}), 1),
        },
    )


def _processor() -> Schema:
    known = one_of((*YES_NO, UNKNOWN))
    return mapping(
        {
            "profile": ref("id"),
            "options": mapping(
                {option: one_of(BOARD_OPTION) for option in OPTIONS if option not in RARE_OPTIONS},
                {option: one_of(BOARD_OPTION) for option in RARE_OPTIONS},
            ),
            "console-line": known,
            "line-clock": one_of((*YES_NO, UNKNOWN, "register-only")),
            "boot-rom": known,
            "evidence": ref("evidence"),
            "sources": ref("sources"),
        },
        {
            "grant-timeout": known,
            "needs-turnaround-terminator": known,
            "memory-link": known,
            "one-request-level": known,
            "boot-ps": ref("octal"),
            "one-chip": list_of(one_of(OPTIONS), 2),
        },
    )


def _setting() -> Schema:
    values = either(
        one_of(("choices", "floating", UNKNOWN)),
        list_of(ref("text"), 1),
        mapping({"from": ref("text"), "to": ref("text")}),
    )
    required = {"name": ref("id"), "what": ref("text"), "values": values}
    return mapping(required, {"doubtful": free_mapping(ref("text")), "switches": _switches()})


def _switches() -> Schema:
    return mapping(
        {
            "pack": ref("text"),
            "numbers": list_of(ref("whole"), 1),
            "open": ref("text"),
            "closed": ref("text"),
            "evidence": ref("evidence"),
            "sources": ref("sources"),
        },
        {"bits": list_of(ref("whole"), 1), "note": ref("text")},
    )


def _jumpers() -> Schema:
    return either(
        NOTHING,
        mapping(
            {"what": ref("text"), "twin-bus": ref("text"), "private-link": ref("text")},
            {"evidence": ref("evidence"), "sources": ref("sources"), "note": ref("text")},
        ),
    )


def boards() -> Schema:
    """The schema of a board file."""
    bits = record({"enum": ["16", "18", "22", 16, 18, 22]})
    ban = {"slot": one_of(SLOT_KINDS), "severity": one_of(SEVERITIES), "why": ref("text"), "sources": ref("sources")}
    required = {
        **common(),
        "height": record(one_of(HEIGHTS)),
        "boards": either(ONLY_UNKNOWN, ref("whole")),
        "markings": markings(),
        "rows": one_of(BOARD_ROWS),
        "slots": {**list_of(one_of(SLOT_KINDS), 1), "uniqueItems": True},
        "slots-evidence": evidence_only(),
        "forbidden": list_of(mapping(ban)),
        "amps": either(NOTHING, free_mapping(number(), RAILS)),
        "ac": number(),
        "dc": number(),
        "dma": yes_no(),
        "address-bits": bits,
        "interrupts": yes_no(),
        "passes-grant": yes_no(),
        "grant-jumpers": _jumpers(),
        "registers": list_of(_registers()),
        "memory": either(NOTHING, _memory()),
        "rom": either(NOTHING, _rom_block()),
        "processor": either(one_of((NONE,)), _processor()),
        "terminates": record(one_of(TERMINATES), end=one_of((*ENDS, UNKNOWN))),
        "settings": list_of(_setting()),
        "notes": {"type": "string"},
    }
    option = {"adds": one_of((*OPTIONS, "cache")), "to": ref("ids"), "needs": one_of(OPTIONS)}
    optional = {
        "dma-bits": bits,
        "passes-dma-grant": yes_no(),
        "either": list_of(list_of(one_of(RAILS), 1), 2),
        "option": evidence_only(**option),
        "refreshes-others": yes_no(),
        "turnaround": yes_no(),
        "uses-spare-lines": yes_no(),
        "answers-unclaimed-grants": yes_no(),
        "dma-buffered": yes_no(),
        "order": record(list_of(ref("text"), 2)),
        "panel": record(list_of(ref("id"), 1)),
    }
    return mapping(required, optional)
