"""Mistakes with boards and their places."""

from __future__ import annotations

from judge.book import Tree, entry, names, plain, slots_of
from judge.machine import HEIGHTS, Board, Machine, read, span
from judge.registers import CONSOLE, devices
from mistakes import Made, Said, changed, free_places, kind, place_of, put, spots, take, units

# ---- boards in places


@kind("move")
def move(tree: Tree) -> Made:
    """Each board to every other free place it physically fits, its cables with it."""
    for spot in spots(tree):
        count = len(spot.board.slots)
        rows = {spot.board.rows, *(("AB", "CD") if spot.board.rows in ("AB", "CD") else ())}
        without = changed(tree)
        take(without, spot, cables=False)
        for row in sorted(rows):
            for unit, key in free_places(without, row, count):
                if (unit, key) == (spot.unit, spot.key):
                    continue
                made = changed(without)
                put(made, unit, key, spot.of(tree))
                _rehang(made, spot.place, place_of(tree, unit, key))
                yield f"{spot.place} to {place_of(tree, unit, key)}", made, []


def _rehang(tree: Tree, old: str, new: str) -> None:
    for cable in tree["cables"]:
        if cable["from"] == old:
            cable["from"] = new


@kind("remove")
def remove(tree: Tree) -> Made:
    """Each board taken out, with what hangs on it."""
    for spot in spots(tree):
        made = changed(tree)
        take(made, spot)
        aims: list[Said] = []
        if spot.board.processor:
            aims.append(("SLOT-011", read(tree).first_box))
        if any(one.base == CONSOLE and one.board.place == spot.place for one in devices(read(tree))):
            aims.append(("CONSOLE-002", read(tree).first_box))
        if spot.board.memory and (spot.board.processor or spot.board.settings.get("start") == "0"):
            aims.append(("MEM-009", read(tree).first_box))
        if _is_only_far_end(read(tree), spot.board):
            aims.append(("TERM-001", _last_user_place(tree)))
        yield spot.place, made, aims


def _is_only_far_end(machine: Machine, board: Board) -> bool:
    """The terminator of the last backplane, whose wiring has none of its own."""
    ends = plain(board.about.get("terminates", "no"))
    last = len(machine.units) - 1
    built_in = plain(machine.units[last].about["termination"])
    return (
        ends in ("full", "weak")
        and not board.processor
        and board.unit == last
        and built_in == "none"
        and (machine.bus == "mux" or board.slots[0] == max(machine.units[last].slots))
    )


@kind("duplicate")
def duplicate(tree: Tree) -> Made:
    """Each board a second time, in a free place, set alike."""
    for spot in spots(tree):
        rows = spot.board.rows
        place = next(free_places(tree, rows, len(spot.board.slots)), None)
        if place is None and rows in ("AB", "CD"):
            place = next(free_places(tree, "CD" if rows == "AB" else "AB"), None)
        if place is None:
            continue
        made = changed(tree)
        put(made, *place, spot.of(tree))
        yield f"{spot.place} in {place_of(tree, *place)}", made, []


@kind("place twice")
def place_twice(tree: Tree) -> Made:
    """A second board written into rows that a board holds already."""
    bus = read(tree).bus
    for spot in spots(tree):
        slot, rows = spot.board.slots[0], spot.board.rows
        card, own = (
            ("grant-card", "AB" if "A" in rows else "CD") if bus == "mux" else ("sep-grant-card-interrupts", "D")
        )
        if not set(own) <= set(rows) or spot.key == f"{slot}{own}":
            continue
        made = changed(tree)
        put(made, spot.unit, f"{slot}{own}", {"board": card})
        yield f"{card} into {spot.place}", made, [("SLOT-009", place_of(tree, spot.unit, f"{slot}{own}"))]


@kind("swap")
def swap(tree: Tree) -> Made:
    """Two boards of one height exchanged."""
    all_spots = spots(tree)
    for index, one in enumerate(all_spots):
        for two in all_spots[:index]:
            same_shape = len(one.board.slots) == len(two.board.slots) and len(one.board.rows) == len(two.board.rows)
            if not same_shape or one.of(tree) == two.of(tree):
                continue
            made = changed(tree)
            put(made, one.unit, one.key, two.of(tree))
            put(made, two.unit, two.key, one.of(tree))
            for cable in made["cables"]:
                cable["from"] = {one.place: two.place, two.place: one.place}.get(cable["from"], cable["from"])
            yield f"{one.place} and {two.place}", made, []


@kind("wrong bus")
def wrong_bus(tree: Tree) -> Made:
    """A board of the other bus that fits the rows."""
    bus = read(tree).bus
    stranger = {
        "mux": {2: "sep-plain-terminator", 4: "sep-serial-line"},
        "sep": {2: "mos-memory-dual", 4: "cartridge-disk-quad"},
    }[bus]
    for spot in spots(tree):
        if len(spot.board.rows) in stranger and len(spot.board.slots) == 1:
            made = changed(tree)
            take(made, spot)
            put(made, spot.unit, spot.key, {"board": stranger[len(spot.board.rows)]})
            yield f"{stranger[len(spot.board.rows)]} in {spot.place}", made, [("SLOT-008", spot.place)]


@kind("wrong height")
def wrong_height(tree: Tree) -> Made:
    """A board written into more or fewer rows than it has."""
    for spot in spots(tree):
        height, slot = _heights(spot.board), spot.board.slots[0]
        if height is None or len(spot.board.slots) > 1:
            continue
        there = {row for own in read(tree).units[spot.unit].slots.get(slot, {}) for row in own}
        for rows in ("AB", "ABCD", "CDEF"):
            free = all(not (b := read(tree).at(spot.unit, slot, row)) or b.place == spot.place for row in rows)
            if len(rows) == height or not free or not set(rows) <= there:
                continue
            made = changed(tree)
            key = f"{slot}{rows if len(rows) == 2 else rows[0] + rows[-1]}"
            put(made, spot.unit, key, take(made, spot, cables=False))
            _rehang(made, spot.place, place_of(tree, spot.unit, key))
            yield f"{spot.place} as {key}", made, [("SLOT-007", place_of(tree, spot.unit, key))]


@kind("split set")
def split_set(tree: Tree) -> Made:
    """A set written over two places, as if its boards stood apart."""
    for spot in spots(tree):
        count = plain(spot.board.about.get("boards", 1))
        if count != 2 or spot.board.processor:
            continue
        other = next((key for unit, key in free_places(tree, spot.board.rows) if unit == spot.unit), None)
        if other is None:
            continue
        made, first = changed(tree), str(spot.board.slots[0])
        written = take(made, spot, cables=False)
        put(made, spot.unit, first, written)
        put(made, spot.unit, other, written)
        _rehang(made, spot.place, place_of(tree, spot.unit, first))
        yield f"{spot.place} over {first} and {other}", made, [("SLOT-006", place_of(tree, spot.unit, first))]


@kind("wrong backplane")
def wrong_backplane(tree: Tree) -> Made:
    """The same boards in another backplane with places of the same names."""
    for number, (name, unit) in enumerate(units(tree)):
        own = entry("backplanes", unit["backplane"])
        for other in names("backplanes"):
            about = entry("backplanes", other)
            if other == unit["backplane"] or about["bus"] != own["bus"] or not slots_of(about):
                continue
            made = changed(tree)
            units(made)[number][1]["backplane"] = other
            if "wires" in unit or "regulators" in unit:
                last = max(
                    span(key)[-1]
                    for words in (*unit.get("wires", {}).values(), unit.get("regulators", {}))
                    for key in words
                )
                if last > max(slots_of(about)):
                    continue
            yield f"{name} is a {other}", made, [] if _all_there(tree, number, about) else None


def _all_there(tree: Tree, number: int, backplane: Tree) -> bool:
    """Has the backplane every slot, and every row that is written out, of the boards of a unit?"""
    there = slots_of(backplane)
    for spot in spots(tree):
        rows = spot.key.lstrip("0123456789-")
        for slot in spot.board.slots if spot.unit == number else ():
            if slot not in there or (rows and not set(spot.board.rows) <= {row for own in there[slot] for row in own}):
                return False
    return True


@kind("strange board")
def strange_board(tree: Tree) -> Made:
    """Each board exchanged for another one of its bus and height, set as plainly as can be."""
    bus = read(tree).bus
    for spot in spots(tree):
        for other in names("boards"):
            about = entry("boards", other)
            fits = plain(about["height"]) == plain(spot.board.about["height"]) and about.get("boards", 1) == len(
                spot.board.slots
            )
            if plain(about["bus"]) != bus or other == spot.board.kind or not fits:
                continue
            made = changed(tree)
            take(made, spot)
            put(made, spot.unit, spot.key, _plainly(about, other))
            yield f"{other} for {spot.place}", made, []


def _plainly(about: Tree, board: str) -> Tree:
    """A board with its first choices set."""
    can = {one["name"]: one.get("values") for one in about.get("settings", [])}
    wanted = {"kb": "first", "start": "0", "address": "first", "vector": "400"}
    made = {}
    for name, value in wanted.items():
        choices = can.get(name)
        if name in can and value == "first":
            choices = _choices(about) if choices == "choices" else choices
            if isinstance(choices, list):
                made[name] = str(choices[0])
        elif name in can:
            made[name] = value
    if "rom" in about and isinstance(about["rom"], dict):
        made.pop("start", None)
    return {"board": board, "settings": made} if made else {"board": board}


def _choices(about: Tree) -> list[str]:
    return next((one["at"]["choices"] for one in about["registers"] if "choices" in one["at"]), [])


def _heights(board: Board) -> int | None:
    height = plain(board.about["height"])
    return HEIGHTS[height] if height else None


def _last_user_place(tree: Tree) -> str:
    return units(tree)[-1][0]
