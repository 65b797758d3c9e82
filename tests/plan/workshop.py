"""Stocks and wishes for tests, and a checker of plans that knows nothing of how they are made."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.findings import Mark, Severity
from minisim.known import Known
from minisim.plan.outfit import Machine
from minisim.plan.planner import Plan
from minisim.plan.wishes import BootWish, Wish, Wishes
from minisim.stock.model import Candidate, Condition, Identified, Row, Stock
from minisim.wiring.model import Wired
from minisim.wiring.resolve import resolve

KITTIWAKE = Path(__file__).resolve().parents[2] / "loadouts" / "kittiwake"
CATALOGUE = Catalogue()
MARK = Mark("test", 1, 1)
TERMINAL = BootWish("serial-line", "rom-ours", "media/boot-terminal.rom", "media/tides.papertape", MARK)
READER = BootWish("paper-tape", "rom-ours", "media/boot-reader.rom", "media/tides.papertape", MARK)

DESK = {
    ("backplanes", "mux-twin-4-18bit"): 1,
    ("supplies", "mux-four-slot-box"): 1,
    ("boards", "mid-cpu-dual"): 1,
    ("boards", "mos-memory-dual"): 1,
    ("boards", "serial-line-single"): 1,
    ("boards", "boot-diagnostic-terminator-quad"): 1,
}
"""The desktop machine of the demo, piece by piece."""


def row(number: int, kind: str, entry: str, count: int = 1, condition: Condition = Condition.UNTESTED) -> Row:
    """A row that is certainly this thing."""
    what = Identified(entry, (Candidate(kind, entry, entry, 1.0, "exact", "seen"),), sure=True)
    return Row(number, Mark("stock", number, 1), {}, entry, count, condition, understood=what)


def stock(pieces: Mapping[tuple[str, str], int], condition: Condition = Condition.UNTESTED) -> Stock:
    """A stock of these pieces."""
    rows = [row(number, *thing, count, condition) for number, (thing, count) in enumerate(pieces.items(), 1) if count]
    return Stock("stock", "", tuple(rows))


def wish(name: str = "desk", priority: int = 1, **needs: object) -> Wish:
    """A wish that boots from the terminal's tape."""
    return Wish(**{"id": name, "name": name, "priority": priority, "mark": MARK, "boot": TERMINAL, **needs})  # type: ignore[arg-type]


def wishes(*many: Wish) -> Wishes:
    """Wishes beside the demo's media."""
    return Wishes("wishes", tuple(sorted(many, key=lambda one: one.priority)), KITTIWAKE)


def wired(machine: Machine) -> Wired:
    """What is connected to what in a planned machine."""
    return resolve(machine.loadout, CATALOGUE)


def problems(plan: Plan, given: Stock) -> list[str]:
    """Everything wrong with a plan: pieces used twice or not there, faulty ones, needs not met, machines that fail."""
    return [*_counted(plan, given), *(problem for made in plan.machines for problem in _unmet(made))]


def _counted(plan: Plan, given: Stock) -> Iterable[str]:
    have: Counter[tuple[str, str]] = Counter()
    for one in given.rows:
        if one.condition.usable and one.understood.entry is not None:
            have[one.understood.entry.kind, one.understood.entry.entry] += one.count
    used: Counter[tuple[str, str]] = Counter()
    for made in plan.machines:
        used.update(_in_file(made))
    for thing, count in used.items():
        if count > have[thing]:
            yield f"{count} x {thing} are used, {have[thing]} are there"
    for thing, count in plan.left.items():
        if have[thing.kind, thing.entry] - used[thing.kind, thing.entry] != count:
            yield f"{count} x {thing} are said to be left"


def _in_file(made: Machine) -> Counter[tuple[str, str]]:
    """What the loadout itself names, but for terminals."""
    found: Counter[tuple[str, str]] = Counter()
    for box in made.loadout.boxes:
        found["supplies", str(box.supply)] += 1
        for unit in box.units:
            found["backplanes", unit.backplane] += 1
            if unit.joined_by is not None:
                found["cables", unit.joined_by.cable] += 1
            for placed in unit.placed:
                found["boards", str(placed.board)] += 1
                found.update(("roms", rom.rom) for rom in placed.roms if rom.rom != "rom-ours")
    for end in made.loadout.cables:
        if end.to != "terminal":
            found["drives", end.to] += 1
        if end.cable:
            found["cables", end.cable] += 1
    return found


def _unmet(made: Machine) -> Iterable[str]:
    """Needs of the wish that the resolved machine does not meet, and findings that forbid it."""
    want, machine = made.selection.wish, wired(made)
    worst = made.report.worst
    if worst is not None and worst.rank <= Severity.FAULT.rank:
        yield f"{want.id}: check finds {worst}"
    kb = sum(one.size.peek for one in machine.memories if isinstance(one.size, Known)) // 1024
    if kb < want.memory_kb:
        yield f"{want.id}: {kb} KB instead of {want.memory_kb}"
    lines = sum(one.lines for one in machine.registers if one.device.startswith("serial-line"))
    if lines < want.serial_lines:
        yield f"{want.id}: {lines} lines instead of {want.serial_lines}"
    fitted = set(machine.processors[0].options)
    if missing := set(want.options) - fitted:
        yield f"{want.id}: without {missing}"
    devices = {one.device for one in machine.registers}
    if missing := set(want.devices) - devices:
        yield f"{want.id}: without {missing}"
    if want.bus and machine.bus != want.bus:
        yield f"{want.id}: on the wrong bus"
    if want.slots is not None and any(len(unit.entry.slots) > want.slots for unit in machine.units):
        yield f"{want.id}: more slots than {want.slots}"
    if len(made.loadout.boxes) != want.boxes:
        yield f"{want.id}: {len(made.loadout.boxes)} boxes"
    if machine.boot.rom is None or machine.boot.device is None:
        yield f"{want.id}: boots from nothing"
