"""Board files."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from minisim.catalogue.fields import (
    BadValueError,
    Fields,
    decimal,
    end_of,
    io_offset,
    listed,
    octal_word,
    one_of,
    text,
    texts,
    vector,
    whole,
    words_of,
)
from minisim.catalogue.model import (
    At,
    BoardEntry,
    MemoryEntry,
    ProcessorBlock,
    RegistersEntry,
    RomBlock,
    SettingEntry,
    SwitchesEntry,
)
from minisim.catalogue.words import (
    BOARD_OPTION,
    BOARD_ROWS,
    BUSES,
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
from minisim.known import Evidence, Figure, Known, NotApplicable, Unknown
from minisim.yamltext import Mapping as MappingNode
from minisim.yamltext import Node, Scalar, Sequence

_NOTHING = NotApplicable()
_NO = Known("no", Evidence.DERIVED, (), "not stated, so no")
_PROCESSOR_EXTRA = ("grant-timeout", "needs-turnaround-terminator", "memory-link", "one-request-level")
_PROCESSOR_WORDS = (*YES_NO, UNKNOWN, "register-only")
_SETTING_WORDS = ("choices", "floating", UNKNOWN)
GRANT_JUMPERS = SettingEntry("grant-jumpers", "jumpers that pass the grants on rows C-D", ("in", "out"), "list")


def read_board(fields: Fields, name: str) -> BoardEntry:
    """One board kind or set, from the fields of its file."""
    height = fields.figure("height", one_of(HEIGHTS))
    rows = fields.read("rows", one_of(BOARD_ROWS), UNKNOWN)
    _check_rows(fields, height, rows)
    markings = fields.figure("markings", words_of)
    option = fields.block("option")
    amps_known = not fields.is_unknown("amps")
    terminates_end = end_of(fields, "terminates")
    jumpers = _grant_jumpers(fields)
    entry = BoardEntry(
        id=name,
        kind=fields.read("kind", text, ""),
        bus=fields.word("bus", BUSES),
        height=height,
        boards=_boards(fields),
        markings=markings,
        rows=None if rows == UNKNOWN else rows,
        slots=fields.read("slots", listed(one_of(SLOT_KINDS)), ()),
        slots_evidence=_slots_evidence(fields),
        forbidden=dict(_forbidden(item) for item in fields.blocks("forbidden")),
        amps=fields.figures("amps", decimal, RAILS, "amperes at "),
        amps_known=amps_known,
        either=_either(fields),
        ac=fields.figure("ac", decimal),
        dc=fields.figure("dc", decimal),
        address_bits=fields.figure("address-bits", whole),
        dma=fields.figure("dma", one_of(YES_NO)),
        dma_bits=fields.maybe_figure("dma-bits", whole, _NOTHING),
        interrupts=fields.figure("interrupts", one_of(YES_NO)),
        passes_grant=fields.figure("passes-grant", one_of(YES_NO)),
        passes_dma_grant=fields.maybe_figure("passes-dma-grant", one_of(YES_NO), _NOTHING),
        grant_jumpers=jumpers,
        registers=tuple(_registers(item) for item in fields.blocks("registers")),
        memory=_memory(fields),
        rom=_rom(fields),
        processor=_processor(fields),
        option_adds=option.read("adds", words_of, ()) if option else (),
        option_to=option.read("to", words_of, ()) if option else (),
        refreshes_others=fields.maybe_figure("refreshes-others", one_of(YES_NO), _NO),
        turnaround=fields.maybe_figure("turnaround", one_of(YES_NO), _NO),
        uses_spare_lines=fields.maybe_figure("uses-spare-lines", one_of(YES_NO), _NO),
        terminates=fields.figure("terminates", one_of(TERMINATES), extra=("end",)),
        terminates_end=terminates_end,
        settings=_settings(fields, jumpers),
        notes=fields.maybe("notes", text, ""),
        option_needs=option.maybe("needs", words_of, ()) if option else (),
        option_figure=option.evidence_figure("option", "option") if option else _NOTHING,
        answers_unclaimed=fields.maybe_figure("answers-unclaimed-grants", one_of(YES_NO), _NO),
        dma_buffered=fields.maybe_figure("dma-buffered", one_of(YES_NO), Unknown(f"whether {name} buffers its DMA")),
        order=fields.maybe_figure("order", words_of, _NOTHING),
        panel=fields.maybe_figure("panel", words_of, _NOTHING),
    )
    if option:
        option.finish()
    return entry


def _check_rows(fields: Fields, height: Figure[str], rows: str) -> None:
    """A dual board covers two rows, and so on."""
    if isinstance(height, Known) and rows != UNKNOWN:
        wanted = {"single": 1, "dual": 2, "quad": 4, "hex": 6}[height.peek]
        if len(rows) != wanted:
            fields.say(fields.node.get("rows") or fields.node, f"rows {rows} do not fit the height {height.peek}")


def _boards(fields: Fields) -> Figure[int]:
    """Number of pieces in the set: a plain number, known as well as the entry itself."""
    if fields.is_unknown("boards"):
        fields.take("boards")
        return Unknown(f"number of boards of {fields.what}")
    return Known(fields.read("boards", whole, 1), Evidence.DERIVED)


def _slots_evidence(fields: Fields) -> Figure[str]:
    block = fields.block("slots-evidence")
    if block is None:
        return Unknown(f"evidence for the slots of {fields.what}")
    figure: Figure[str] = block.evidence_figure("slots", "slots")
    block.finish()
    return figure


def _forbidden(item: Fields) -> tuple[str, tuple[str, str, tuple[str, ...]]]:
    slot = item.word("slot", SLOT_KINDS)
    severity = item.word("severity", SEVERITIES)
    nothing: tuple[str, ...] = ()
    why, sources = item.read("why", text, ""), item.read("sources", words_of, nothing)
    item.finish()
    return slot, (severity, why, sources)


def _either(fields: Fields) -> tuple[tuple[str, ...], ...]:
    node = fields.take("either")
    if node is None:
        return ()
    if not isinstance(node, Sequence):
        fields.say(node, "either: a list of groups of rails is expected")
        return ()
    try:
        return tuple(listed(one_of(RAILS))(group) for group in node.items)
    except BadValueError as bad:
        fields.say(node, f"either: {bad}")
        return ()


def _grant_jumpers(fields: Fields) -> str:
    """The word none or unknown, or in words what the jumpers are and how they stand."""
    node = fields.need("grant-jumpers")
    if isinstance(node, MappingNode):
        inner = fields.inside("grant-jumpers", node)
        what, twin, link = (inner.read(key, text, "") for key in ("what", "twin-bus", "private-link"))
        inner.finish("evidence", "sources", "note")
        return f"{what}: {twin} in a twin-bus slot, {link} in a private-link slot"
    if isinstance(node, Scalar) and node.text in (NONE, UNKNOWN):
        return node.text
    if node is not None:
        fields.say(node, "grant-jumpers: none, unknown or a mapping is expected")
    return UNKNOWN


def _settings(fields: Fields, jumpers: str) -> dict[str, SettingEntry]:
    """Switches and jumpers by name; grant jumpers, where a board may have some, can be stated on every such board."""
    settings = {setting.name: setting for setting in map(_setting, fields.blocks("settings"))}
    if jumpers != NONE:
        settings.setdefault(GRANT_JUMPERS.name, GRANT_JUMPERS)
    return settings


def _registers(item: Fields) -> RegistersEntry:
    """One `registers:` item."""
    device = item.read("device", text, "")
    at = _at(item, "at", item.need("at"), io_offset)
    one: tuple[int, ...] = (1,)
    lines = item.maybe("lines", listed(whole), one)
    level = item.take("level")
    levels = _levels(level)
    count, vectors_at, vector_evidence, by_software = _vectors(item)
    usual: Figure[str] = item.evidence_figure("at", "at")
    entry = RegistersEntry(
        device=device,
        words=_words(item),
        at=at,
        at_evidence=usual,
        vector_count=count,
        vector_at=vectors_at,
        vector_evidence=vector_evidence or usual,
        vector_by_software=by_software,
        level=item.record("level", level, _first_level) if level is not None else _missing_level(item),
        lines=lines[0] if lines else 1,
        levels=levels if len(levels) > 1 else (),
        lines_choices=lines if len(lines) > 1 else (),
        variant=item.maybe("variant", texts, {}),
    )
    item.finish()
    return entry


def _missing_level(item: Fields) -> Figure[int]:
    item.say(item.node, 'key "level" is missing')
    return _NOTHING


def _words(item: Fields) -> Figure[int]:
    """Registers of 16 bits from the base: a plain number, known as well as the place."""
    if item.is_unknown("words"):
        item.take("words")
        return Unknown(f"number of registers of {item.what}")
    return item.evidence_figure("words", item.read("words", whole, 0))


def _levels(node: Node | None) -> tuple[int, ...]:
    """The levels of a `level:` record that holds a list."""
    value = node.get("value") if isinstance(node, MappingNode) else None
    if not isinstance(value, Sequence):
        return ()
    return tuple(int(item.text) for item in value.items if isinstance(item, Scalar) and item.text in "4567")


def _first_level(node: Node) -> int:
    levels = listed(one_of(("4", "5", "6", "7")))(node)
    if not levels:
        raise BadValueError("a level, 4 to 7, is expected")
    return int(levels[0])


def _vectors(item: Fields) -> tuple[int, At, Figure[str] | None, bool]:
    """Count, place, evidence of its own where it has any, and whether software sets it."""
    node = item.need("vectors")
    if node is None or (isinstance(node, Scalar) and node.text == NONE):
        return 0, At(none=True), None, False
    if isinstance(node, Scalar) and node.text == UNKNOWN:
        return 0, At(unknown=True), None, False
    inner = item.inside("vectors", node)
    count = inner.read("count", whole, 1)
    at = _at(inner, "at", inner.need("at"), vector)
    evidence: Figure[str] | None = inner.evidence_figure("at", "at") if "evidence" in inner else None
    by_software = inner.maybe("set-by", one_of(("software",)), "") == "software"
    inner.finish("sources", "note")
    return count, at, evidence, by_software


def _at(fields: Fields, name: str, node: Node | None, convert: Callable[[Node], int]) -> At:
    """Where registers or vectors sit."""
    if node is None:
        return At(unknown=True)
    if isinstance(node, Scalar):
        if node.text not in (NONE, UNKNOWN):
            fields.say(node, f'{name}: "{node.text}" is neither none nor unknown nor a mapping')
        return At(none=node.text == NONE, unknown=node.text != NONE)
    inner = fields.inside(name, node)
    if sum(key in inner for key in ("fixed", "floating-rank", "choices")) != 1:
        inner.say(node, "exactly one of fixed, floating-rank and choices is expected")
    first = inner.take("first")
    at = At(
        fixed=inner.maybe("fixed", convert, None),
        choices=inner.maybe("choices", listed(convert), ()),
        rank=inner.maybe("floating-rank", whole, None),
        first=None if first is None else _first(inner, first, convert),
    )
    inner.finish()
    return at


def _first(inner: Fields, node: Node, convert: Callable[[Node], int]) -> int | None:
    """The fixed place of the first unit; none where every unit floats."""
    if isinstance(node, Scalar) and node.text == NONE:
        return None
    try:
        return convert(node)
    except BadValueError as bad:
        inner.say(node, f"first: {bad}")
        return None


def _memory(fields: Fields) -> MemoryEntry | None:
    block = fields.block("memory")
    if block is None:
        return None
    entry = MemoryEntry(
        kb=block.figure("kb", listed(whole)),
        start_step_kb=block.figure("start-step-kb", whole),
        parity=block.figure("parity", one_of((*YES_NO, "ecc"))),
        refreshes_itself=block.figure("refreshes-itself", one_of(YES_NO)),
    )
    block.finish()
    return entry


def _rom(fields: Fields) -> RomBlock | None:
    block = fields.block("rom")
    if block is None:
        return None
    figure: Figure[str] = block.evidence_figure("rom", "rom")
    known, each_known = not block.is_unknown("windows"), not block.is_unknown("words-each")
    windows, each = block.need("windows"), block.need("words-each")
    entry = RomBlock(
        windows=block.read("windows", listed(io_offset), ()) if known and windows is not None else (),
        words_each=_words_each(block) if each_known and each is not None else Unknown(f"words of {block.what}"),
        choose_one=block.maybe("choose", one_of(("one",)), "") == "one",
        sockets=tuple(_socket(item) for item in block.blocks("sockets")) if "sockets" in block else (),
        windows_known=known,
        figure=figure,
    )
    block.finish("sets")
    return entry


def _words_each(block: Fields) -> Figure[int]:
    return block.evidence_figure("words-each", block.read("words-each", whole, 0))


def _socket(item: Fields) -> tuple[int, int]:
    place = (item.read("at", io_offset, 0), item.read("words", whole, 0))
    item.finish()
    return place


def _processor(fields: Fields) -> ProcessorBlock | None:
    block = fields.block("processor")
    if block is None:
        return None
    profile = block.read("profile", text, "")
    options = block.inside("options", block.need("options") or MappingNode({}, block.file, 1, 1))
    extra = [key for key in _PROCESSOR_EXTRA if key in block]
    entry = ProcessorBlock(
        profile=profile,
        options={name: _option(options, name) for name in dict.fromkeys((*OPTIONS, *RARE_OPTIONS))},
        console_line=block.word("console-line", _PROCESSOR_WORDS),
        line_clock=block.word("line-clock", _PROCESSOR_WORDS),
        boot_rom=block.word("boot-rom", _PROCESSOR_WORDS),
        extra={key: block.word(key, _PROCESSOR_WORDS) for key in extra},
        boot_ps=block.maybe("boot-ps", octal_word, None),
        figure=block.evidence_figure("profile", profile),
        one_chip=block.maybe("one-chip", listed(one_of(OPTIONS)), ()),
    )
    options.finish()
    block.finish()
    return entry


def _option(options: Fields, name: str) -> str:
    """Where an option fits; a board that says nothing of a rare one never has it."""
    return "never" if name in RARE_OPTIONS and name not in options else options.word(name, BOARD_OPTION)


def _setting(item: Fields) -> SettingEntry:
    """One switch or jumper."""
    name, what = item.read("name", text, ""), item.read("what", text, "")
    node = item.need("values")
    values: tuple[str, ...] = ()
    kind = UNKNOWN
    if isinstance(node, MappingNode):
        ends = item.inside("values", node)
        values, kind = (ends.read("from", text, ""), ends.read("to", text, "")), "range"
        ends.finish()
    elif isinstance(node, Sequence):
        values, kind = item.read("values", words_of, ()), "list"
    elif node is not None:
        kind = item.word("values", _SETTING_WORDS)
    nothing: Mapping[str, str] = {}
    doubtful = item.maybe("doubtful", texts, nothing)
    switches = item.block("switches")
    entry = SettingEntry(name, what, values, kind, doubtful, _switches(switches) if switches else None)
    item.finish()
    return entry


def _switches(block: Fields) -> SwitchesEntry:
    """Which switches of which pack make a setting."""
    nothing: tuple[int, ...] = ()
    numbers, bits = block.read("numbers", listed(whole), nothing), block.maybe("bits", listed(whole), nothing)
    if bits and len(bits) != len(numbers):
        block.say(block.node, f"bits: one for each of the {len(numbers)} numbers is expected, there are {len(bits)}")
    opened, closed = (_position(block, position) for position in ("open", "closed"))
    entry = SwitchesEntry(block.read("pack", text, ""), block.evidence_figure("numbers", numbers), bits, opened, closed)
    block.finish()
    return entry


def _position(block: Fields, position: str) -> str:
    """What a switch in one position stands for; "" where it is unknown."""
    value = block.read(position, text, UNKNOWN)
    return "" if value == UNKNOWN else value
