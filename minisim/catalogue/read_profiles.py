"""Processor profiles and the rows of the table of differences."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from minisim.catalogue.fields import BadValueError, Fields, decimal, one_of, text, texts, whole, words_of
from minisim.catalogue.model import CycleTable, FlagValue, Profile, ProfileRow
from minisim.catalogue.read_times import read_times
from minisim.catalogue.words import DEBUGGER, FPP_UNIT, OPTIONS, PROFILE_OPTION, UNKNOWN, YES_NO
from minisim.known import Evidence, Figure, Known, NotApplicable, Unknown
from minisim.yamltext import Mapping as MappingNode
from minisim.yamltext import Node, Scalar

_NOTHING = NotApplicable()
_YES = Known("yes", Evidence.DERIVED)
_NO = Known("no", Evidence.DERIVED)
NOT_APPLICABLE = "not_applicable"
"""Value of a row that makes no sense for a profile."""


def read_profile(fields: Fields, name: str) -> Profile:
    """One processor profile."""
    options = fields.inside("options", fields.need("options") or MappingNode({}, fields.file, 1, 1))
    fitting = {option: options.figure(option, one_of(PROFILE_OPTION)) for option in OPTIONS}
    options.finish()
    return Profile(
        id=name,
        description=fields.read("description", text, ""),
        technology=fields.read("technology", text, ""),
        boards=fields.figure("boards", whole),
        buses=fields.figure("buses", words_of),
        options=fitting,
        address_bits=fields.figure("address-bits", whole),
        modes=fields.figure("modes", whole),
        register_sets=fields.figure("register-sets", whole),
        console=fields.figure("console", text),
        debugger_address_bits=fields.maybe_figure("debugger-address-bits", whole, _NOTHING),
        debugger=fields.maybe_figure("debugger", one_of(DEBUGGER), _NOTHING),
        average=fields.figure("average-instruction-us", _nanoseconds),
        cycles=fields.figure("cycle-table", _cycle_table),
        reset=fields.maybe_figure("reset-us", _nanoseconds, _NOTHING),
        processor_type=fields.maybe_figure("processor-type", whole, _NOTHING),
        red_zone=fields.maybe_figure("red-zone", one_of(YES_NO), _YES),
        user_stack_limit=fields.maybe_figure("user-stack-limit", one_of(YES_NO), _NO),
        fpp_unit=fields.figure("fpp-unit", one_of(FPP_UNIT)),
        mov_reads_first=fields.maybe_figure("mov-reads-first", one_of(("both", "byte")), _NOTHING),
        flags={flag.name: flag for flag in map(_flag, fields.blocks("flags"))},
        notes=fields.maybe("notes", words_of, ()),
        times=read_times(fields),
    )


def _nanoseconds(node: Node) -> int:
    """Microseconds in the file, nanoseconds in the record."""
    return int((decimal(node) * Decimal(1000)).to_integral_value())


def _cycle_table(node: Node) -> CycleTable:
    if not isinstance(node, MappingNode) or set(node.names()) != {"base-ns", "cycle-ns"}:
        raise BadValueError("a mapping of base-ns and cycle-ns is expected")
    base, cycle = (whole(value) for value in (node.get("base-ns"), node.get("cycle-ns")) if value is not None)
    return CycleTable(base, cycle)


def _flag(item: Fields) -> FlagValue:
    """One flag: what is documented, and what the model does."""
    row, name = item.read("id", text, ""), item.read("flag", text, "")
    value_node = item.need("value") or Scalar(UNKNOWN, False, item.file, item.node.line, item.node.column)
    nothing: str | Mapping[str, str] = ""
    likely = item.maybe("likely", _word_or_words, nothing)
    because = item.maybe("model-because", text, "")
    model_node = item.take("model")
    value = _value(item, f"{row} {name}", value_node)
    needed = any(isinstance(one, Unknown) for one in (value.values() if isinstance(value, dict) else [value]))
    if needed and model_node is None:
        item.say(item.node, f'{row}: a value is unknown, so key "model" must say what the model does')
    model = _model(item, model_node or value_node)
    item.finish("evidence", "sources")
    return FlagValue(row, name, value, model, likely, because)


def _value(item: Fields, row: str, node: Node) -> Figure[str] | dict[str, Figure[str]]:
    """A value is one word, or a map of several; each may be unknown."""
    if isinstance(node, MappingNode):
        return {key.text: _one(item, f"{row} {key.text}", value) for key, value in node}
    return _one(item, row, node)


def _one(item: Fields, what: str, node: Node) -> Figure[str]:
    try:
        word = text(node)
    except BadValueError as bad:
        item.say(node, f"{what}: {bad}")
        return _NOTHING
    if word == UNKNOWN:
        return Unknown(f"{what} of {item.what}")
    return _NOTHING if word == NOT_APPLICABLE else item.known(what, item.node, word)


def _model(item: Fields, node: Node) -> str | Mapping[str, str]:
    try:
        return _word_or_words(node)
    except BadValueError as bad:
        item.say(node, f"model: {bad}")
        return ""


def _word_or_words(node: Node) -> str | Mapping[str, str]:
    return texts(node) if isinstance(node, MappingNode) else text(node)


def read_row(fields: Fields) -> ProfileRow:
    """One row of the table of differences."""
    row = ProfileRow(
        id=fields.read("id", text, ""),
        flag=fields.read("flag", text, ""),
        what=fields.read("what", text, ""),
        values=fields.read("values", texts, {}),
        note=fields.maybe("note", text, ""),
    )
    fields.finish()
    return row
