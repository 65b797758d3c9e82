"""The JSON Schema of a line of a trace; the reader asks for the same."""

from __future__ import annotations

from minisim.json_shapes import COUNT, TEXT, Shape, document, list_of, record, said
from minisim.machine.records import Reason
from minisim.machine.steps import KINDS
from minisim.trace.lines import FLAGS, FORM

SIX = "[0-7]{6}"
WORD: Shape = {"type": "string", "pattern": "^[01][0-7]{5}$"}
_ADDRESS: Shape = {"type": "string", "pattern": "^([0-7]{6}|[0-7]{8})$"}
_BYTE: Shape = {"type": "string", "pattern": "^[0-3][0-7]{2}$"}
_REGISTER = "^(R[0-5]|SP|PS|FPS)$"
_ACCUMULATOR = "^AC[0-5]$"
_NUMBER: Shape = {"type": "string", "pattern": "^[01][0-7]{5}( [01][0-7]{5}){3}$"}


def trace_schema() -> Shape:
    """Of one line: the first, an instruction, or the last."""
    lines = [{"$ref": f"#/$defs/{name}"} for name in ("head", "instruction", "end")]
    shapes = {"head": _head(), "instruction": _instruction(), "end": _end()}
    return document("A line of a trace (minisim boot --trace)", {"oneOf": lines, "$defs": shapes})


def _head() -> Shape:
    return record(
        {
            "trace": said({"const": FORM}, "version of this form"),
            "name": said(TEXT, "the loadout's name"),
            "sha256": said({"type": "string", "pattern": "^([0-9a-f]{64})?$"}, "of the loadout's file"),
            "profile": said(TEXT, "of the processor"),
            "address_bits": said({"enum": [16, 18, 22]}, "width of the machine's bus"),
            "instructions": said(COUNT, "how many the machine had run before"),
            "time_ns": said(COUNT, "guest time when the trace was begun"),
            "after": said(COUNT, "so many instructions run before the first line"),
            "most": said({"type": ["integer", "null"], "minimum": 0}, "so many lines at most; null: no limit"),
        },
        about="the first line",
    )


def _instruction() -> Shape:
    return record(
        {
            "at": said(WORD, "where the instruction lies, as the program sees it; without one, the PC"),
            "words": said({**list_of(WORD), "maxItems": 4}, "of the instruction; none: interrupts alone, or no fetch"),
            "text": said(TEXT, "the instruction as the assembler writes it"),
            "accesses": said(list_of(_access()), "in their order, those of a trap or an interrupt too"),
            "flags": said({**list_of({"enum": list(FLAGS)}), "uniqueItems": True}, "condition codes that are set then"),
            "count": said(COUNT, "of this instruction since the machine was made"),
            "time_ns": said(COUNT, "guest time behind it"),
        },
        further={
            "registers": said(_registers(), "those that hold another word then; PC is left out"),
            "taken": said({**list_of(_taken()), "minItems": 1}, "traps and interrupts before or behind it"),
            "cut": said({"const": True}, "there were perhaps more accesses than stand here"),
        },
        about="one instruction",
    )


def _access() -> Shape:
    whole = {"properties": {"data": WORD}, "not": {"required": ["byte"]}}
    byte = {"properties": {"data": _BYTE}, "required": ["byte"]}
    shape = record(
        {
            "kind": {"enum": list(KINDS.values())},
            "at": said(WORD, "as the program sees it"),
            "data": said(TEXT, "a word of six digits, a byte of three"),
        },
        further={
            "byte": {"const": True},
            "bus": said(_ADDRESS, "on the bus, where memory management leads elsewhere"),
        },
    )
    return {**shape, "oneOf": [whole, byte]}


def _registers() -> Shape:
    patterns = {_REGISTER: WORD, _ACCUMULATOR: said(_NUMBER, "four words, sign and exponent first")}
    return {"type": "object", "patternProperties": patterns, "additionalProperties": False, "minProperties": 1}


def _taken() -> Shape:
    who = {"place": TEXT, "device": TEXT, "line": said(TEXT, "the line of the device that asked")}
    return record(
        {"vector": {"type": "string", "pattern": f"^{SIX}$"}, "what": {"enum": ["interrupt", "trap"]}}, further=who
    )


def _end() -> Shape:
    shape = record(
        {
            "reason": {"enum": [reason.value for reason in Reason]},
            "outcome": said(TEXT, "the same in a sentence"),
            "at": said(WORD, "where the last instruction of the run lies"),
            "pc": said(WORD, "the next would be there"),
            "instructions": said(COUNT, "of the whole run"),
            "time_ns": said(COUNT, "of the whole run"),
            "lines": said(COUNT, "instructions that stand in the trace"),
        }
    )
    return record({"end": shape}, about="the last line")
