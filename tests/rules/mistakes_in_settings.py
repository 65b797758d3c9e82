"""Mistakes in switches, jumpers, wires, cables and supplies; those in places are in `mistakes`, which finds these."""

from __future__ import annotations

from itertools import pairwise

from judge.book import plain
from judge.machine import Board, Machine, read, span
from judge.registers import CONSOLE, devices, io_page
from mistakes import Made, Said, Spot, Tree, a_place_for, changed, kind, put, settings, spots, take, units

# ---- addresses and vectors


@kind("re-address")
def re_address(tree: Tree) -> Made:
    """Address switches: onto others, odd, outside, over the end, two digits exchanged, out of order."""
    machine = read(tree)
    for spot in spots(tree):
        stated = spot.board.settings.get("address")
        if stated is None or not spot.board.kind or spot.board.memory:
            continue
        for what, address, aims in _addresses(machine, spot, stated):
            made = changed(tree)
            settings(spot.of(made))["address"] = address
            yield f"{spot.place} to {address}: {what}", made, aims


def _addresses(machine: Machine, spot: Spot, stated: str) -> list[tuple[str, str, list[Said] | None]]:
    place = spot.place
    found: list[tuple[str, str, list[Said] | None]] = [
        ("odd", f"{int(stated, 8) + 1:o}", None),
        ("no octal number", "778560", None),
        ("outside the I/O page", "700000", None),
    ]
    record = spot.board.registers[0]
    for one in devices(machine):
        if one.base not in (None, CONSOLE) and one.words and one.board.place != place and one.name != "memory-parity":
            found.append((f"onto {one.name} of {one.board.place}", f"{one.base:o}", []))
    order = "ADDR-003" if record["at"].get("first") == stated else "ADDR-002"
    if "floating-rank" in record["at"]:
        found.append(("out of the floating order", f"{int(stated, 8) + 0o40:o}", [(order, place)]))
    words = plain(record["words"])
    if isinstance(words, int) and words > 2:
        found.append(("over the end", "777774", [("ADDR-004", place)]))
    if record["device"] == "serial-line" and len(spot.board.registers) < 3 and stated != f"{CONSOLE:o}":
        found.append(
            (
                "two digits exchanged",
                "775600",
                [("ADDR-005", place)] if stated == "776500" and len(spot.board.registers) == 1 else [],
            )
        )
    first = record["at"].get("first")
    if first not in (None, "none") and spot.board.settings.get("address") == first:
        found.append(("off its fixed address", "760404", [("ADDR-003", place)]))
    return found


@kind("parity register")
def parity_register(tree: Tree) -> Made:
    """Two memories with one parity register."""
    holders = [spot for spot in spots(tree) if spot.board.memory and "address" in spot.board.settings]
    for first, second in pairwise(holders):
        made = changed(tree)
        settings(second.of(made))["address"] = first.board.settings["address"]
        yield f"{second.place} as {first.place}", made, [("MEM-003", second.place)]


@kind("vector")
def vector(tree: Tree) -> Made:
    """The vector switches of each board: shared, misaligned, no vector at all, below the floating space."""
    machine = read(tree)
    for spot in spots(tree):
        if "vector" not in spot.board.settings or not spot.board.kind:
            continue
        for what, value, aims in _vectors(machine, spot):
            made = changed(tree)
            settings(spot.of(made))["vector"] = value
            yield f"{spot.place} to {value}: {what}", made, aims


def _vectors(machine: Machine, spot: Spot) -> list[tuple[str, str, list[Said] | None]]:
    place = spot.place
    own = [one for one in devices(machine) if one.board.place == place and one.vectors]
    moved = next(one for one in own if one.vector == int(spot.board.settings["vector"], 8))
    found: list[tuple[str, str, list[Said] | None]] = [("beyond the vectors", "1000", None)]
    found.append(("no multiple of 4", f"{int(spot.board.settings['vector'], 8) + 2:o}", [("VECT-004", place)]))
    found.append(("the last places", "770", []))
    for one in devices(machine):
        if one.board.place != place and one.vector is not None and not one.soft and one.vector % 8 == 0:
            found.append((f"onto {one.name} of {one.board.place}", f"{one.vector:o}", []))
    if moved.vectors > 1:
        found.append(("misaligned", f"{int(spot.board.settings['vector'], 8) + 4:o}", [("VECT-002", place)]))
    if not moved.floats and moved.base == CONSOLE:
        found.append(("onto that of a trap", "240", [("VECT-005", place)]))
    if moved.floats:
        found.append(("below the floating space", "130", [("VECT-003", place)]))
    return found


@kind("console")
def console(tree: Tree) -> Made:
    """The console switched off, and a second one switched on."""
    for spot in spots(tree):
        own = spot.board.settings
        choices = [one for one in spot.board.registers if one["device"] == "serial-line" and "choices" in one["at"]]
        if not choices or not spot.board.kind:
            continue
        made = changed(tree)
        put_to = settings(spot.of(made))
        if own.get("console") == "yes":
            if len(choices) > 1:
                put_to["console"] = "no"
            else:
                put_to.update({"console": "no", "address": "776560", "vector": "360"})
            yield f"{spot.place} is none", made, [("CONSOLE-002", read(tree).first_box)]
        elif not any(other.board.processor for other in spots(tree) if _is_console(read(tree), other.place)):
            put_to.update({"console": "yes", "address": f"{CONSOLE:o}", "vector": "60"})
            yield (
                f"{spot.place} is one too",
                made,
                [("CONSOLE-001", max(_consoles(tree, spot.place), key=[spot.place for spot in spots(tree)].index))],
            )


def _is_console(machine: Machine, place: str) -> bool:
    return any(one.base == CONSOLE and one.board.place == place for one in devices(machine))


def _consoles(tree: Tree, more: str) -> list[str]:
    return [more, *(one.board.place for one in devices(read(tree)) if one.base == CONSOLE)]


# ---- memory


@kind("memory start")
def memory_start(tree: Tree) -> Made:
    """Start switches one step up or down, and at the top of the space."""
    for spot in spots(tree):
        if not spot.board.memory or "start" not in spot.board.settings:
            continue
        start = int(spot.board.settings["start"], 8)
        for what, value in (("up", start + 0o20000), ("down", start - 0o20000), ("far up", start + 0o1000000)):
            if value < 0 or value >= 1 << 22:
                continue
            made = changed(tree)
            settings(spot.of(made))["start"] = f"{value:o}"
            aims = [("MEM-009", read(tree).first_box)] if start == 0 and not _other_at_zero(tree, spot) else []
            if start and value > start and not _bridged(tree, spot, value):
                aims = [("MEM-001", spot.place)]
            yield f"{spot.place} {what} to {value:o}", made, aims


def _other_at_zero(tree: Tree, spot: Spot) -> bool:
    return any(
        one.board.memory and one.place != spot.place and (one.board.processor or one.board.settings.get("start") == "0")
        for one in spots(tree)
    )


def _bridged(tree: Tree, spot: Spot, start: int) -> bool:
    """Does the memory of another board end where this one now begins?"""
    others = [one.board for one in spots(tree) if one.board.memory and one.place != spot.place]
    return start in {_end_of(board) for board in others}


@kind("memory size")
def memory_size(tree: Tree) -> Made:
    """Every other size that the board can have."""
    for spot in spots(tree):
        sizes = plain(spot.board.memory["kb"]) if spot.board.memory else []
        for size in sizes if "kb" in spot.board.settings else []:
            if str(size) != spot.board.settings["kb"]:
                made = changed(tree)
                settings(spot.of(made))["kb"] = str(size)
                yield f"{spot.place} holds {size} KB", made, []


MORE_MEMORY: dict[str, list[tuple[str, str, dict[str, str]]]] = {
    "mux": [
        ("mos-memory-dual", "AB", {"kb": "64"}),
        ("early-memory-dual", "AB", {}),
        ("static-memory-dual-small", "AB", {}),
        ("mos-memory-parity-22bit-quad", "ABCD", {"kb": "512", "address": "772136"}),
        ("private-link-memory-one-mb", "ABCD", {"address": "772136"}),
    ],
    "sep": [
        ("mos-memory-hex-modified", "ABCDEF", {"kb": "256", "address": "772136"}),
        ("sep-mos-memory-hex-modified-small", "ABCDEF", {"kb": "32"}),
    ],
}


def _end_of(board: Board) -> int:
    """Where the memory of a board ends, by its switches; by its first size where it has none for that."""
    assert board.memory
    kb = int(board.settings.get("kb", plain(board.memory["kb"])[0]))
    return int(board.settings.get("start", "0"), 8) + 1024 * kb


@kind("memory added")
def memory_added(tree: Tree) -> Made:
    """Memory of another kind behind what is there: narrow, without refresh, beyond the width, on the wrong side."""
    machine = read(tree)
    top = max(_end_of(board) for board in machine.boards if board.memory)
    for board, rows, more_settings in MORE_MEMORY[machine.bus]:
        place = a_place_for(tree, rows)
        if place is None:
            continue
        made = changed(tree)
        put(made, *place, {"board": board, "settings": {"start": f"{top:o}", **more_settings}})
        yield f"{board} at {top:o}", made, []


# ---- wires, jumpers, switches


@kind("wire")
def wire(tree: Tree) -> Made:
    """Each wire CA1-CB1 the other way."""
    for number, (name, unit) in enumerate(units(tree)):
        about = read(tree).units[number]
        for slot, kinds in about.slots.items():
            if "small-peripheral" not in kinds.values() or plain(about.about["dma-grant-wires"]) != "in":
                continue
            wired = {
                one: state for key, state in unit.get("wires", {}).get("dma-grant", {}).items() for one in span(key)
            }
            state = "out" if wired.get(slot, "in") == "in" else "in"
            made = changed(tree)
            units(made)[number][1]["wires"] = {"dma-grant": {**{str(k): v for k, v in wired.items()}, str(slot): state}}
            yield f"{name}/{slot} {state}", made, []


@kind("jumpers")
def jumpers(tree: Tree) -> Made:
    """Grant jumpers of quad boards the other way."""
    for spot in spots(tree):
        stated = spot.board.settings.get("grant-jumpers")
        if stated is not None:
            made = changed(tree)
            settings(spot.of(made))["grant-jumpers"] = "in" if stated == "out" else "out"
            yield f"{spot.place} {'in' if stated == 'out' else 'out'}", made, []


@kind("switches")
def switches(tree: Tree) -> Made:
    """Halt switch, clock, event line, an acceptance of nothing."""
    box = read(tree).first_box
    made = changed(tree)
    made["switches"] = {"halt": "on"}
    yield "halt", made, [("CONSOLE-004", box)]
    made = changed(tree)
    made["accept"] = [{"rule": "GRANT-001", "at": f"{box}/a/1", "because": "nobody remembers"}]
    yield "an acceptance of nothing", made, [("INT-002", f"{box}/a/1")]
    for spot in spots(tree):
        if spot.board.settings.get("start-from") == "high" and "773000" in spot.board.roms:
            made = changed(tree)
            settings(spot.of(made))["start-from"] = "low"
            yield f"power-up from the other window of {spot.place}", made, [("BOOT-002", box)]
        if spot.board.settings.get("baud") == "9600" and spot.board.kind == "sep-serial-line":
            made = changed(tree)
            settings(spot.of(made))["crystal"] = "844.8"  # gives 1760 baud at most [serial-notes-page]
            yield f"the crystal of {spot.place}", made, [("CONSOLE-005", spot.place)]
        for name in ("event-line", "clock"):
            if spot.board.settings.get(name) == "on":
                made = changed(tree)
                settings(spot.of(made))[name] = "off"
                yield f"{name} of {spot.place} off", made, [("CLOCK-001", box)]


@kind("ROM")
def rom(tree: Tree) -> Made:
    """A ROM for a device that is not there, and a second ROM board in the window."""
    machine = read(tree)
    for spot in spots(tree):
        if not spot.board.roms:
            continue
        made = changed(tree)
        stranger = "rom-letters-db" if machine.bus == "sep" else "rom-letters-dt"
        spot.of(made)["roms"] = {"773000": stranger}
        yield f"{stranger} in {spot.place}", made, [("BOOT-001", machine.first_box)]
    board, rows = ("boot-refresh-terminator-dual", "AB") if machine.bus == "mux" else ("sep-diode-rom", "CDEF")
    place = a_place_for(tree, rows)
    if place:
        made = changed(tree)
        put(made, *place, {"board": board, **({"settings": {"address": "773000"}} if machine.bus == "sep" else {})})
        yield f"{board} as well", made, []


@kind("terminator")
def terminator(tree: Tree) -> Made:
    """One more, inside the bus."""
    machine = read(tree)
    for spot in spots(tree):
        inside = spot.board.kind in ("grant-card", "sep-grant-card-interrupts")
        if inside and machine.bus == "mux":
            made = changed(tree)
            take(made, spot)
            put(made, spot.unit, spot.key, {"board": "terminator-dual"})
            yield f"in {spot.place}", made, [("TERM-002", spot.place)]
        elif inside and "modified" in slots_at(machine, spot):
            made = changed(tree)
            put(made, spot.unit, f"{spot.board.slots[0]}AB", {"board": "sep-turnaround-terminator"})
            yield f"beside {spot.place}", made, [("SLOT-002", f"{units(tree)[spot.unit][0]}/{spot.board.slots[0]}AB")]


def slots_at(machine: Machine, spot: Spot) -> list[str]:
    """Kinds of the slot a board stands in."""
    return list(machine.units[spot.unit].slots[spot.board.slots[0]].values())


@kind("options")
def options(tree: Tree) -> Made:
    """Options asked for that need a board, half of a chip."""
    for spot in spots(tree):
        cpu = spot.board.processor
        if not cpu:
            continue
        boards = {b.about["option"]["adds"] for b in read(tree).boards if isinstance(b.about.get("option"), dict)}
        for option, how in cpu["options"].items():
            if how == "board" and option not in boards:
                made = changed(tree)
                spot.of(made)["options"] = [*spot.board.options, option]
                yield f"{option} without its board", made, [("OPT-001", spot.place)]
        for option in spot.board.options:
            brings = [one for one in spots(tree) if (one.board.about.get("option") or {}).get("adds") == option]
            if brings:
                made = changed(tree)
                for one in brings:
                    take(made, one)
                spot.of(made)["options"] = [one for one in spot.board.options if one != option]
                yield f"{option} neither there nor asked for", made, []
        if "one-chip" in cpu:
            made = changed(tree)
            spot.of(made)["options"] = [cpu["one-chip"][0]]
            yield "half of a chip", made, [("OPT-005", spot.place)]


@kind("forget")
def forget(tree: Tree) -> Made:
    """One switch not written down, or all of a board: what nobody says is no fault by itself."""
    for spot in spots(tree):
        stated = spot.of(tree).get("settings", {})
        for name in (*stated, *(["all"] if len(stated) > 1 else [])):
            made = changed(tree)
            if name == "all" or len(stated) == 1:
                del spot.of(made)["settings"]
            else:
                del settings(spot.of(made))[name]
            yield f"{name} of {spot.place}", made, []
        if "roms" in spot.of(tree):
            made = changed(tree)
            del spot.of(made)["roms"]
            yield f"ROMs of {spot.place}", made, []
    for number, (name, unit) in enumerate(units(tree)):
        for what in {"wires", "regulators"} & set(unit):
            made = changed(tree)
            del units(made)[number][1][what]
            yield f"{what} of {name}", made, []
    for number, box in enumerate(tree["boxes"]):
        made = changed(tree)
        del made["boxes"][number]["supply"]
        yield f"supply of {box['id']}", made, []


@kind("address form")
def address_form(tree: Tree) -> Made:
    """Addresses in their 16- and 22-bit forms: the same register, so no mistake at all."""
    made = changed(tree)
    for spot in spots(tree):
        if "address" in spot.board.settings and io_page(spot.board.settings["address"]) >= 0o760000:
            settings(spot.of(made))["address"] = f"{io_page(spot.board.settings['address']) + 0o17000000:o}"
    yield "22 bits", made, []
