"""Currents, watts, memory rails (buses.md 5.6, catalogue of supplies)."""

from __future__ import annotations

from judge.book import Tree, entry, plain
from judge.machine import Board, Machine
from judge.places import Said


def power(machine: Machine) -> set[Said]:
    """Sums of what is known, against what is known of the supply."""
    said = set()
    for box in machine.boxes:
        supply = box.get("supply")
        rails, watts = supply_of(supply)
        if rails is None:
            continue
        eaters = [
            amps_of(b, rails, _pins(machine, b)) for b in machine.boards if machine.units[b.unit].box == box["id"]
        ]
        eaters += drives_of(machine, box["id"])
        for rail in {rail for amps in eaters for rail in amps}:
            total = sum(amps.get(rail, 0) for amps in eaters)
            limit = rails.get(rail, 0 if rail != "+5 standby" else None)
            if limit is not None and total > limit + 1e-9:
                said.add(("POWER-002", f"{box['id']} {rail}"))
        said |= {("POWER-002", f"{box['id']} {rail}") for rail in _asked(machine, box) - set(rails) - {"+5 standby"}}
        drawn = sum(value * abs(int(rail.split()[0])) for amps in eaters for rail, value in amps.items())
        if watts is not None and drawn > watts + 1e-9:
            said.add(("POWER-003", box["id"]))
    return said


def supply_of(supply: Tree) -> tuple[dict[str, float | None] | None, float | None]:
    if supply is None:
        return None, None
    if isinstance(supply, dict):
        words = supply["describe"]
        watts = words.get("watts")
        return {rail: float(value) for rail, value in words["rails"].items()}, float(watts) if watts else None
    about = entry("supplies", supply)
    watts = plain(about["watts"])
    return {rail: plain(value) for rail, value in about["rails"].items()}, watts if isinstance(
        watts, int | float
    ) else None


def _asked(machine: Machine, box: Tree) -> set[str]:
    """Rails that boards need, however much of them; only where the catalogue knows every rail of the supply."""
    supply = box["supply"]
    if isinstance(supply, dict) or plain(entry("supplies", supply).get("regulators", "none")) not in (None, "none"):
        return set()
    boards = [board for board in machine.boards if machine.units[board.unit].box == box["id"]]
    written = [board.about["amps"] for board in boards if isinstance(board.about.get("amps"), dict)]
    asked = {rail for amps in written for rail, value in amps.items() if plain(value) is None}
    return asked - {rail for board in boards for group in board.about.get("either") or [] for rail in group}


def _pins(machine: Machine, board: Board) -> str:
    """The rail on the memory pins of the backplane, where it is known."""
    volts = machine.units[board.unit].volts
    return f"+{volts}" if volts else ""


def chips_at_risk(machine: Machine) -> set[Said]:
    """Memory in modified and extended slots that takes 12 V where there are 15, or the reverse (buses.md 5.6)."""
    said = set()
    for board in machine.boards:
        amps, pins = board.about.get("amps"), _pins(machine, board)
        wanted = {"+12", "+15"} & set(amps if isinstance(amps, dict) else ())
        if board.memory and pins and set(board.kinds) & {"modified", "extended"} and not board.about.get("either"):
            said |= {("POWER-001", board.place)} if wanted and pins not in wanted else set()
    return said


def amps_of(board: Board, rails: dict[str, float | None], pins: str = "") -> dict[str, float]:
    """Known amperes by rail; where a board takes one group of rails or another, those that its place feeds."""
    written = board.about.get("amps")
    amps = {rail: plain(value) for rail, value in written.items()} if isinstance(written, dict) else {}
    groups = board.about.get("either") or []
    if groups:
        fed = [group for group in groups if all(rail in rails for rail in group)]
        taken = [*(group for group in groups if group[0] == pins), *fed, *groups][0]
        amps = {
            rail: value for rail, value in amps.items() if rail in taken or all(rail not in group for group in groups)
        }
    return {rail: float(value) for rail, value in amps.items() if value is not None}


def drives_of(machine: Machine, box: str) -> list[dict[str, float]]:
    found: dict[tuple[str, str, int], dict[str, float]] = {}
    places = {board.place for board in machine.boards if machine.units[board.unit].box == box}
    for cable in machine.cables:
        if cable["from"] not in places:
            continue
        rails = entry("drives", cable["to"]).get("rails")
        if isinstance(rails, dict):
            unit = int(cable.get("unit", 0)) // (2 if cable["to"].endswith("-pair") else 1)
            known = {rail: plain(value) for rail, value in rails.items()}
            found[cable["from"], cable["to"], unit] = {rail: float(v) for rail, v in known.items() if v is not None}
    return list(found.values())
