"""Mistakes in supplies, bus cables and what hangs on the boards."""

from __future__ import annotations

from judge.book import Tree, entry, plain
from judge.machine import Machine, read, span
from judge.supplies import amps_of, drives_of, supply_of
from mistakes import Made, Spot, a_place_for, changed, kind, put, spots, take, units

# ---- supplies


@kind("overload")
def overload(tree: Tree) -> Made:
    """A supply a little too weak on one rail, or in all, or with too much of a least load."""
    machine = read(tree)
    for number, box in enumerate(machine.boxes):
        rails, _ = supply_of(box["supply"])
        eaters = [amps_of(b, rails or {}) for b in machine.boards if machine.units[b.unit].box == box["id"]]
        eaters += drives_of(machine, box["id"])
        drawn = {rail: sum(amps.get(rail, 0) for amps in eaters) for rail in {r for amps in eaters for r in amps}}
        strong = {rail: f"{amps + 1:.3f}" for rail, amps in drawn.items()}
        for rail, amps in sorted(drawn.items()):
            if amps > 0.01:
                made = changed(tree)
                made["boxes"][number]["supply"] = {"describe": {"rails": {**strong, rail: f"{amps - 0.005:.3f}"}}}
                yield f"{box['id']} {rail} of {amps:.3f} A", made, [("POWER-002", f"{box['id']} {rail}")]
        watts = sum(amps * abs(int(rail.split()[0])) for rail, amps in drawn.items())
        if watts:
            made = changed(tree)
            made["boxes"][number]["supply"] = {"describe": {"rails": strong, "watts": f"{watts - 0.1:.2f}"}}
            yield f"{box['id']} of {watts:.2f} W", made, [("POWER-003", box["id"])]
        if drawn.get("+5") and _all_known(machine, box["id"]):
            made = changed(tree)
            made["boxes"][number]["supply"] = {
                "describe": {"rails": strong, "minimum": {"+5": f"{drawn['+5'] + 0.01:.3f}"}}
            }
            yield f"{box['id']} below its least load", made, [("POWER-004", f"{box['id']} +5")]


def _all_known(machine: Machine, box: str) -> bool:
    boards = [b for b in machine.boards if machine.units[b.unit].box == box]
    drives = [
        entry("drives", one["to"]).get("rails") for one in machine.cables if one["from"] in {b.place for b in boards}
    ]
    known = all(not b.kind or plain(b.about["amps"].get("+5", 0)) is not None for b in boards)
    return known and all(not isinstance(one, dict) or plain(one.get("+5", 0)) is not None for one in drives)


@kind("loads")
def loads(tree: Tree) -> Made:
    """A described board with far too much load, on each count."""
    machine = read(tree)
    rows, height = ("AB", "dual") if machine.bus == "mux" else ("CDEF", "quad")
    place = a_place_for(tree, rows) or a_place_for(tree, "CD")
    if place is None:
        return
    where = units(tree)[place[0]][0]
    box = where.split("/")[0]
    for word, aims in (("ac", [("LOAD-001", where)]), ("dc", []), ("amps", [("POWER-002", f"{box} +5")])):
        about = {
            "height": height,
            "interrupts": "no",
            "dma": "no",
            "passes-grant": "yes",
            "amps": {"+5": "0.1"},
            "ac": "0",
            "dc": "0",
        }
        about[word] = {"+5": "500"} if word == "amps" else "60"
        rails, _ = supply_of(next(one for one in machine.boxes if one["id"] == box)["supply"])
        if word == "amps" and (rails or {}).get("+5") is None:
            continue
        if word == "ac" and machine.bus == "sep":
            aims = []
        made = changed(tree)
        put(made, *place, {"board": {"describe": about}})
        yield f"{word} in {where}", made, aims


@kind("memory volts")
def memory_volts(tree: Tree) -> Made:
    """Measured on the memory pins: what the memory there does not take."""
    for spot in spots(tree):
        rails = {"+12", "+15"} & set(spot.board.about.get("amps", ()))
        if not spot.board.memory or len(rails) != 1 or "dedicated" in spot.board.about["slots"]:
            continue
        made = changed(tree)
        units(made)[spot.unit][1]["memory-volts"] = "15" if "+12" in rails else "12"
        if read(tree).bus == "sep":
            yield f"under {spot.place}", made, [("POWER-001", spot.place)]


@kind("regulators")
def regulators(tree: Tree) -> Made:
    """One slot of a set on another regulator."""
    for spot in spots(tree):
        unit = units(tree)[spot.unit][1]
        if len(spot.board.slots) > 1 and "regulators" in unit:
            made = changed(tree)
            wired = {slot: name for key, name in unit["regulators"].items() for slot in span(key)}
            wired[spot.board.slots[-1]] = "another"
            units(made)[spot.unit][1]["regulators"] = {str(slot): name for slot, name in wired.items()}
            yield f"{spot.place} over two", made, [("POWER-005", spot.place)]


# ---- cables and joints


@kind("unplug")
def unplug(tree: Tree) -> Made:
    """Joints open, terminals and drives off, media out."""
    for number, (name, unit) in enumerate(units(tree)):
        if "joined-by" in unit:
            made = changed(tree)
            units(made)[number][1]["joined-by"]["connected"] = "no"
            yield f"joint of {name}", made, []
            made = changed(tree)
            del units(made)[number][1]["joined-by"]
            yield f"no cable to {name}", made, []
    for number, cable in enumerate(tree["cables"]):
        made = changed(tree)
        del made["cables"][number]
        yield f"cable {number}, {cable['to']}", made, []
        if "media" in cable:
            made = changed(tree)
            del made["cables"][number]["media"]
            yield f"medium of cable {number}, {cable['to']}", made, []


@kind("left hanging")
def left_hanging(tree: Tree) -> Made:
    """A board is out of the list and its cable still in it."""
    for place in dict.fromkeys(cable["from"] for cable in tree["cables"]):
        spot = next(one for one in spots(tree) if one.place == place)
        made = changed(tree)
        take(made, spot, cables=False)
        yield place, made, None


@kind("bus cable")
def bus_cable(tree: Tree) -> Made:
    """Joints of wrong length."""
    long_ones = {"mux": "5.5", "sep": "20"}[read(tree).bus]
    for number, (name, unit) in enumerate(units(tree)):
        if "length-m" in unit.get("joined-by", {}):
            made = changed(tree)
            units(made)[number][1]["joined-by"]["length-m"] = long_ones
            later = units(tree)[number:]  # all cables as far as a repeater are added up, told of the last unit there
            where = next((name for name, one in later if one["backplane"] == "sep-repeater-unit"), later[-1][0])
            yield f"{name} on {long_ones} m", made, [("LOAD-003", where)]


@kind("wrong cable")
def wrong_cable(tree: Tree) -> Made:
    """Drives on other boards, on strange cables, with numbers too high, and lines of another speed or wiring."""
    machine = read(tree)
    for number, cable in enumerate(tree["cables"]):
        place = cable["from"]
        for other in spots(tree):
            taken = any(one["from"] == other.place and one.get("unit") == cable.get("unit") for one in tree["cables"])
            if other.place != place and other.board.kind and not taken and not _serves(other, cable["to"]):
                made = changed(tree)
                made["cables"][number].pop("line", None)
                made["cables"][number]["from"] = other.place
                yield f"{cable['to']} on {other.place}", made, [("CABLE-001", other.place)]
        if "cable" in cable and "through" not in cable:
            made = changed(tree)
            made["cables"][number]["cable"] = "fixed-disk-control-cable"
            yield f"{cable['to']} of {place} on a strange cable", made, [("CABLE-002", place)]
        for piece in cable.get("through", ()):
            made = changed(tree)
            made["cables"][number]["through"] = [one for one in cable["through"] if one != piece]
            yield f"{cable['to']} of {place} without its {piece}", made, [("CABLE-004", place)]
        if "unit" in cable:
            made = changed(tree)
            made["cables"][number]["unit"] = str(plain(entry("drives", cable["to"])["units-per-controller"]))
            yield f"{cable['to']} of {place} with a number too high", made, [("CABLE-003", place)]
        board = next(b for b in machine.boards if b.place == place)
        if "baud" in cable and "baud" in board.settings:
            made = changed(tree)
            made["cables"][number]["baud"] = "2400"
            yield f"{place} and its terminal at two speeds", made, [("CONSOLE-003", place)]


def _serves(spot: Spot, drive: str) -> bool:
    about = entry("drives", drive)
    wanted = about.get("needs", {}).get("device") or about["controller"]
    lines = ("serial-line", "serial-line-modem", "multiplexer", "multiplexer-dma", "multiplexer-16-dma")
    there = {one["device"] for one in spot.board.registers}
    return bool(there & set(lines if wanted == "serial-line" else (wanted,)))
