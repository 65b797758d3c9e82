"""What hangs on the boards: the place a cable leaves, the drive it leads to, the medium put in."""

from __future__ import annotations

from minisim.catalogue.model import BoardEntry
from minisim.findings import Mark
from minisim.loadout.build import Index, Standing
from minisim.loadout.context import Context
from minisim.loadout.convert import Got, Value, quoted
from minisim.loadout.declarations import TERMINAL
from minisim.loadout.fields import FieldError, listed
from minisim.loadout.model import CableEnd
from minisim.loadout.places import PlaceText, read_place
from minisim.problems import nearest

_FORM = "a place is box/unit/slot, such as main/a/2AB"


def cables(context: Context, got: Got, index: Index) -> tuple[CableEnd, ...]:
    """Every cable of the file."""
    made: list[CableEnd] = []
    seen: dict[tuple[object, ...], Mark] = {}
    for item in got.records("cables"):
        end = _cable(context, item, index)
        _refuse_twice(context, end, seen)
        made.append(end)
    return tuple(made)


def _cable(context: Context, got: Got, index: Index) -> CableEnd:
    standing = _from(context, got, index)
    board = got.text("from")
    if standing is not None:
        board = f"{board.rsplit('/', 1)[0]}/{standing.where}"
        _check_line(context, got, standing)
    media = got.parts.get("media")
    if isinstance(media, Value):
        _check_takes_media(context, got, media)
    return CableEnd(
        board=board,
        line=got.value("line", int),
        unit=got.value("unit", int),
        to=got.text("to"),
        cable=got.value("cable", str),
        baud=got.value("baud", int),
        media=context.file(media, "media", "the medium") if isinstance(media, Value) else None,
        media_text=got.text("media"),
        write_protect=got.value("write-protect", bool) is True,
        mark=got.mark,
        media_mark=got.at("media"),
        bits=got.text("bits"),
        parity=got.text("parity"),
        stop_bits=got.text("stop-bits"),
        wiring=got.text("wiring"),
        loop=got.text("loop"),
        through=got.texts("through"),
    )


def _refuse_twice(context: Context, end: CableEnd, seen: dict[tuple[object, ...], Mark]) -> None:
    """From one line, or for one unit number, there is one cable."""
    source = (end.board, end.line, end.unit)
    first = seen.setdefault(source, end.mark)
    if first is end.mark or not end.board:
        return
    numbers = (("line", end.line), ("unit", end.unit))
    which = "".join(f" {name} {number}" for name, number in numbers if number is not None)
    context.say(end.mark, f"{end.board}{which}: a second cable from there; the first stands in line {first.line}")


# ---- the place it leaves


def _from(context: Context, got: Got, index: Index) -> Standing | None:
    """What stands at the place, or None with a problem written down (unless the places themselves are not whole)."""
    text, mark = got.text("from"), got.at("from")
    if not text:
        return None
    parts = text.split("/")
    if len(parts) != 3:
        context.say(mark, f"from {quoted(text)}: {_FORM}")
        return None
    try:
        where = read_place(parts[2])
    except FieldError as error:
        context.say(mark, f"from {quoted(text)}: {error}")
        return None
    return _standing(context, (parts[0], parts[1]), where, index, Value(text, text, mark))


def _standing(
    context: Context, name: tuple[str, str], where: PlaceText, index: Index, written: Value
) -> Standing | None:
    why = _no_such_unit(name, index)
    if not why:
        standings = index.units[name]
        found = next((standing for standing in standings if standing.where == where), None)
        if found is not None:
            return found
        why = _empty(name, where, standings)
    if index.whole:
        context.say(written.mark, f"from {quoted(written.text)}: {why}")
    return None


def _no_such_unit(name: tuple[str, str], index: Index) -> str:
    box, unit = name
    if box not in index.boxes:
        return f"there is no box {quoted(box)}; this machine has {_all(list(index.boxes))}{nearest(box, index.boxes)}"
    units = [of for in_box, of in index.units if in_box == box]
    if unit not in units:
        return f"there is no unit {quoted(unit)} in {box}; it has {_all(units)}{nearest(unit, units)}"
    return ""


def _empty(name: tuple[str, str], where: PlaceText, standings: list[Standing]) -> str:
    near = next((s.text for s in standings if set(s.where.slots) & set(where.slots)), "")
    place = "/".join(name)
    if near:
        return f'nothing stands in {place}/{where} as written; did you mean "{place}/{near}"?'
    texts = [standing.text for standing in standings]
    return f"nothing stands in {place}/{where}; boards stand in {_all(texts) or 'no place'}"


# ---- line and medium


def _check_line(context: Context, got: Got, standing: Standing) -> None:
    line = got.value("line", int)
    board = standing.board.board if standing.board else None
    entry = context.catalogue.board(board) if isinstance(board, str) else None
    lines = _lines(entry) if entry else 0
    if entry and lines and line is not None and line >= lines:
        has = "one line: 0" if lines == 1 else f"lines 0 to {lines - 1}"
        context.say(got.at("line"), f"line {quoted(str(line))}: {entry.id} has {has}")


def _lines(entry: BoardEntry) -> int:
    """The most lines one kind of device has on this board (a board may list its lines in several items)."""
    lines: dict[str, int] = {}
    for registers in entry.registers:
        most = max(registers.lines, *registers.lines_choices, 0)
        lines[registers.device] = lines.get(registers.device, 0) + most
    return max(lines.values(), default=0)


def _check_takes_media(context: Context, got: Got, media: Value) -> None:
    to = got.text("to")
    if not to or to == TERMINAL:
        return
    kinds = context.catalogue.drive(to).media
    if not [kind for kind in kinds if kind != "none"]:
        context.say(media.mark, f"media {quoted(media.text)}: a {to} takes no medium")


def _all(words: list[str]) -> str:
    return listed(words).replace(" or ", " and ")
