"""The facts a list still needs, as questions in order of importance, each with the ways to answer it."""

from __future__ import annotations

from collections.abc import Iterator

from minisim.catalogue.model import BoardEntry, SupplyEntry
from minisim.catalogue.reader import Catalogue
from minisim.known import Known
from minisim.loadout.slot_list import Entry, Question, SlotList, UnitText
from minisim.loadout.slot_list_assembly import Assembly, Built, Choice, is_bare, slots_text
from minisim.loadout.slot_list_candidates import ambiguous
from minisim.loadout.slot_list_sets import board_of, boards_in_set, bus_of

_FEW = 6


def questions(assembly: Assembly, fitting: dict[str, tuple[str, ...]], built: Built | None) -> list[Question]:
    """Every question, the most important first."""
    return [
        *_backplanes(assembly, fitting),
        *_boards(assembly),
        *_lines(assembly.list),
        *_rows(assembly, fitting),
        *_slots(assembly),
        *_left_out(built),
        *_supplies(assembly),
        *_joints(assembly.list),
        *_also(assembly.list),
        *_settings(assembly),
    ]


# ---- backplanes


def _backplanes(assembly: Assembly, fitting: dict[str, tuple[str, ...]]) -> Iterator[Question]:
    for unit in assembly.list.units:
        if not unit.backplane:
            yield _backplane(unit, fitting.get(unit.name, ()), assembly)
        if unit.guessed:
            yield Question(
                "unit", f"Line {unit.line}: the slots begin again at 1. Is this a second backplane?",
                f'write a line "Backplane {unit.id}:" above it, or put the number of the slot right',
                lines=(unit.line,),
            )  # fmt: skip


def _backplane(unit: UnitText, names: tuple[str, ...], assembly: Assembly) -> Question:
    catalogue = assembly.catalogue
    many = len(assembly.list.units) > 1
    answer = f'--backplane {f"{unit.name}=" if many else ""}ID, or a line "Backplane: ID" above the slots'
    if not names:
        why = "none of the catalogue has these places and may hold these boards"
        if not any(entry.board for one in assembly.list.units for entry in one.entries):
            why = "no board of the list is known, so it could be any"
        return Question("backplane", f"Which backplane is {unit.name}? ({why})", answer)
    what = "One fits" if len(names) == 1 else f"{len(names)} fit"
    return Question(
        "backplane", f"Which backplane is {unit.name}? {what} the boards and places seen:", answer,
        choices=tuple((name, thing_title(catalogue.backplane(name))) for name in names),
    )  # fmt: skip


def thing_title(entry: object) -> str:
    """Number etched on it, then what it is."""
    markings = getattr(entry, "markings", None)
    kind = str(getattr(entry, "kind", ""))
    return f"{'/'.join(markings.peek)}, {kind}" if isinstance(markings, Known) and markings.peek else kind


# ---- boards and lines


def _boards(assembly: Assembly) -> Iterator[Question]:
    for unit in assembly.list.units:
        for entry in unit.entries:
            if not entry.empty and not is_bare(entry) and not entry.copy:
                yield from _board(entry, assembly.catalogue, bus_of(unit, assembly.list, assembly.catalogue))


def _board(entry: Entry, catalogue: Catalogue, bus: str) -> Iterator[Question]:
    board = board_of(entry, catalogue)
    where = f"Line {entry.line}, slot {slots_text(entry.slots)}"
    count = boards_in_set(board)
    if board is not None and count > len(entry.slots) and entry.slots:
        markings = "/".join(board.markings.peek) if isinstance(board.markings, Known) else board.id
        here = f"{len(entry.slots)} stand here" if len(entry.slots) > 1 else "one stands here"
        text = f"{where}: {entry.number} is a set of {count} boards ({markings}), but {here}. Where are the others?"
        yield Question("board", text, "add their slots, or write a range such as 5-6", lines=(entry.line,))
    if board is not None:
        return
    options = entry.identified.candidates if entry.identified else ()
    boards = {one.entry: one for one in options if one.kind == "boards"}
    if boards:
        shown = tuple((one.marking, catalogue.board(name).kind) for name, one in list(boards.items())[:_FEW])
        text = f"{where}: which board is {entry.number}?"
        yield Question("board", text, "write the whole number as it is etched", lines=(entry.line,), choices=shown)
        return
    missing = [word for key, word in _WANTED.items() if key not in entry.described]
    if missing:
        what = f"the catalogue does not know {entry.number}" if entry.number else "no number that the catalogue knows"
        perhaps = tuple(_by_words(entry, catalogue, bus))[:_FEW]
        which = " One of these?" if perhaps else ""
        text = f"{where}: {what}.{which} {_sentence(missing)}?"
        yield Question("board", text, _DESCRIBE, lines=(entry.line,), choices=perhaps)


def _by_words(entry: Entry, catalogue: Catalogue, bus: str) -> Iterator[tuple[str, str]]:
    """Boards that a word such as `terminator` or `boot` may mean, where no number is written."""
    words = entry.remark.lower()
    if entry.number or not bus:
        return
    for board in (catalogue.board(name) for name in catalogue.ids("boards")):
        ends = isinstance(board.terminates, Known) and board.terminates.peek not in ("no", "none")
        meant = ("terminator" in words and ends) or ("boot" in words and board.rom is not None)
        if meant and board.bus == bus and board.processor is None:
            marking = board.markings.peek[0] if isinstance(board.markings, Known) and board.markings.peek else board.id
            yield marking, board.kind


_WANTED = {
    "height": "its height",
    "interrupts": "does it interrupt",
    "dma": "does it do DMA",
    "passes-grant": "does it pass the grants",
}
_DESCRIBE = 'add words to its line, such as "dual, interrupts yes, DMA no, passes grants yes", or its number'


def _sentence(words: list[str]) -> str:
    text = ", ".join(words)
    return f"{text[:1].upper()}{text[1:]}"


def _lines(slot_list: SlotList) -> Iterator[Question]:
    bad = slot_list.not_understood
    if bad:
        numbers = tuple(one.line.number for one in bad)
        yield Question(
            "line", f"{_numbered('Line', numbers)}: not understood. What is meant?",
            'begin a line with its slot, such as "slot 3: ...", or leave it out', lines=numbers,
        )  # fmt: skip


def _numbered(word: str, numbers: tuple[int, ...]) -> str:
    return f"{word}{'s' if len(numbers) > 1 else ''} {slots_text(numbers)}"


# ---- rows and slots


def _rows(assembly: Assembly, fitting: dict[str, tuple[str, ...]]) -> Iterator[Question]:
    for unit in assembly.list.units:
        names = (unit.backplane,) if unit.backplane else fitting.get(unit.name, ())
        backplanes = [assembly.catalogue.backplane(name) for name in names]
        found = {id(one): one for backplane in backplanes for one in ambiguous(unit, backplane, assembly.catalogue)}
        if found:
            entries = sorted(found.values(), key=lambda one: one.line)
            yield _row_question(unit, entries, sure=bool(unit.backplane))
        sides = [one for one in unit.entries if one.side and id(one) not in found and not one.empty]
        if sides:
            text = f"{_numbered('Line', tuple(one.line for one in sides))}: which rows are meant by {_sides(sides)}?"
            yield Question("rows", text, _ROW_ANSWER, needed=False, lines=tuple(one.line for one in sides))


_ROW_ANSWER = "write the rows behind the slot, such as 2AB or 2CD"


def _row_question(unit: UnitText, entries: list[Entry], *, sure: bool) -> Question:
    lines = tuple(dict.fromkeys(one.line for one in entries))
    numbers = slots_text(tuple(one.slots[0] for one in entries))
    slots = f"slot{'s' if len(entries) > 1 else ''} {numbers}"
    when = "" if sure else " It matters where the bus runs over both halves of a slot."
    sides = f" The catalogue does not say which rows are {_sides(entries)}." if any(one.side for one in entries) else ""
    asked = f"in which rows, A-B or C-D, stand the boards in {slots} of {unit.name}?"
    text = f"{_numbered('Line', lines)}: {asked}{when}{sides} Until then A-B is taken."
    return Question("rows", text, _ROW_ANSWER, lines=lines)


def _sides(entries: list[Entry]) -> str:
    return " and ".join(dict.fromkeys(f'"{one.side}"' for one in entries if one.side))


def _slots(assembly: Assembly) -> Iterator[Question]:
    for unit in assembly.list.units:
        said = {slot for entry in unit.entries if not is_bare(entry) for slot in entry.slots}
        bare = {slot for entry in unit.entries if is_bare(entry) for slot in entry.slots} - said
        last = max(said | bare, default=0)
        silent = () if unit.rest_empty else tuple(slot for slot in range(1, last + 1) if slot not in said)
        silent = tuple(sorted(bare | set(silent)))
        if silent:
            yield Question(
                "slots", f"{_numbered('Slot', silent)} of {unit.name}: the list says nothing. Empty, or a grant card?",
                f'a line "{slots_text(silent[:1])} empty", or "rest empty"; until then they are taken as empty',
            )  # fmt: skip


def _left_out(built: Built | None) -> Iterator[Question]:
    for entry, why in built.left_out if built else ():
        name = entry.number or "the board"
        yield Question(
            "place", f"Line {entry.line}: {name} has no place: {why}. Where does it stand?",
            "put the slot or the rows right; it is left out until then", lines=(entry.line,),
        )  # fmt: skip


# ---- around the boards


def _supplies(assembly: Assembly) -> Iterator[Question]:
    for box in assembly.list.boxes:
        units = assembly.list.units_of(box.id)
        if box.supply or box.supply_unknown or not units:
            continue
        which = f"{box.id}=" if len(assembly.list.boxes) > 1 else ""
        yield Question(
            "supply", f"Which supply feeds box {box.id}?",
            f'--supply {which}ID, or a line "Supply: ID"; --supply {which}unknown if nobody can tell',
            choices=tuple((one.id, thing_title(one)) for one in _supplies_for(units, assembly)),
        )  # fmt: skip


def _supplies_for(units: list[UnitText], assembly: Assembly) -> list[SupplyEntry]:
    """Supplies that come with these backplanes first; none to choose from while no backplane is known."""
    backplanes = {unit.backplane for unit in units if unit.backplane}
    if not backplanes:
        return []
    catalogue = assembly.catalogue
    bus = bus_of(units[0], assembly.list, catalogue)
    entries = [catalogue.supply(name) for name in catalogue.ids("supplies")]
    may_be = next(box.may_be for box in assembly.list.boxes if box.id == units[0].box)
    if may_be:
        return [one for one in entries if one.id in may_be]
    fitting = [one for one in entries if one.bus == bus and "regulator" not in one.id.removesuffix("-regulator-box")]
    return sorted(fitting, key=lambda one: not (isinstance(one.units, Known) and backplanes & set(one.units.peek)))


def _joints(slot_list: SlotList) -> Iterator[Question]:
    for before, unit in zip(slot_list.units, slot_list.units[1:], strict=False):
        if not unit.joint:
            yield Question(
                "joint", f"By which cable does {unit.name} hang on {before.name}, and how long is it?",
                'a line "Joined by: CABLE-ID, 0.6 m" under its heading',
            )  # fmt: skip


def _also(slot_list: SlotList) -> Iterator[Question]:
    """Boards that a remark names: perhaps one that stood there, perhaps one whose place was not understood."""
    for reading in slot_list.readings:
        if reading.also:
            names = " and ".join(dict.fromkeys(reading.also))
            text = f"Line {reading.line.number}: the remark names {names}. Does it stand somewhere?"
            yield Question("line", text, "if so, give it a line of its own", needed=False, lines=(reading.line.number,))


# ---- settings: good to know, not needed


def _settings(assembly: Assembly) -> Iterator[Question]:
    for unit in assembly.list.units:
        for entry in unit.entries:
            board = board_of(entry, assembly.catalogue)
            if board is not None and (wanted := _wanted(entry, board)):
                name = f"Line {entry.line}, {entry.number or board.id}"
                yield Question("settings", f"{name}: {wanted}?", _SETTING_ANSWER, needed=False, lines=(entry.line,))


_SETTING_ANSWER = 'add it to the line: "start 0", "32 KB", "CSR 776500 vector 300", "console", "9600 baud"'


def _wanted(entry: Entry, board: BoardEntry) -> str:
    """The settings that decide most and that the list does not give."""
    has = board.settings
    words = []
    if entry.size_text:
        words.append(f"is {entry.size_text} meant in words or in bytes")
    elif "kb" in has and "kb" not in entry.settings:
        words.append("how much memory is on it")
    if board.memory is not None and "start" in has and "start" not in entry.settings:
        words.append("at which address does its memory start")
    serial = any(one.device == "serial-line" for one in board.registers)
    if serial and "address" in has and not {"address", "console"} & set(entry.settings):
        words.append("address and vector, or is it the console")
    if board.rom is not None and not entry.roms:
        words.append("which ROM stands in it")
    return ", and ".join(words)


def complete(asked: list[Question]) -> bool:
    """Is nothing needed any more?"""
    return not any(one.needed for one in asked)


def rows_choice(assembly: Assembly) -> Choice:
    """The choice that is written as long as rows are not known: A-B."""
    return Choice({unit.name: unit.backplane for unit in assembly.list.units if unit.backplane})
