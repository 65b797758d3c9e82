"""Memory, the map, cables and drives, options of the processor (buses.md 4.4, 5.5)."""

from __future__ import annotations

from dataclasses import dataclass

from judge.book import Tree, entry, plain
from judge.machine import Board, Machine
from judge.places import Said

KB = 1024
LINES = ("serial-line", "serial-line-modem", "multiplexer", "multiplexer-dma", "multiplexer-16-dma")


@dataclass
class Span:
    """Bytes that one board answers, end exclusive."""

    board: Board
    start: int
    end: int


def memory(machine: Machine) -> tuple[set[Said], set[Said]]:
    """Gaps, overlaps, ceilings, widths."""
    spans, unsure = _spans(machine)
    must: set[Said] = set()
    may: set[Said] = set()
    if not any(span.start == 0 for span in spans):
        (may if unsure else must).add(("MEM-009", machine.first_box))
    written = {id(board): number for number, board in enumerate(machine.boards)}
    for span in spans:
        before = [one for one in spans if written[id(one.board)] < written[id(span.board)]]
        if any(one.start < span.end and span.start < one.end for one in before):
            must.add(("MEM-002", span.board.place))
        if span.start and not any(one.start < span.start <= one.end for one in spans if one is not span):
            # Without anything at 0 the lowest board stands behind no gap but in the place of the missing one.
            lowest = not any(one.start < span.start for one in spans)
            (may if unsure or lowest else must).add(("MEM-001", span.board.place))
        must |= _widths(machine, span)
    wide = {place for rule, place in must if rule == "MEM-005"}
    for said in _ceiling(machine, spans):
        (may if said[1] in wide else must).add(said)  # the backplane's width is told first
    for one in _narrow(machine, spans):
        (may if one.place in wide else must).add(("MEM-006", one.place))
    must |= _no_refresh(machine)
    return must, may


def _spans(machine: Machine) -> tuple[list[Span], bool]:
    spans, unsure = [], False
    for board in machine.boards:
        if not board.memory:
            continue
        sizes = plain(board.memory["kb"])
        kb = int(board.settings["kb"]) if "kb" in board.settings else sizes[0] if len(sizes) == 1 else None
        start = int(board.settings["start"], 8) if "start" in board.settings else 0 if board.processor else None
        if kb is None or start is None:
            unsure = True
            continue
        spans.append(Span(board, start, start + kb * KB))
    return sorted(spans, key=lambda span: (span.start, span.end)), unsure


def _bits(value: Tree) -> int | None:
    return value if isinstance(value, int) else None


def _widths(machine: Machine, span: Span) -> set[Said]:
    """Address lines of every backplane between processor and memory; only extended slots of the other bus have 22."""
    if machine.bus == "sep":
        home = machine.units[span.board.unit]
        wide = "extended" in span.board.kinds and plain(home.about["address-bits"]) == 22
        return {("MEM-005", span.board.place)} if not wide and span.end > 1 << 18 else set()
    between = machine.units[: span.board.unit + 1]
    known = [bits for unit in between if (bits := _bits(plain(unit.about["address-bits"])))]
    return {("MEM-005", span.board.place)} if known and span.end > 1 << min(known) else set()


def _ceiling(machine: Machine, spans: list[Span]) -> set[Said]:
    """MEM-004 is a fault on the separate-line bus only; DMA-003 speaks of memory beyond 248 KB without the map."""
    cpus = machine.processors()
    if machine.bus != "sep" or not cpus or not cpus[0].processor:
        return set()
    bits, options = plain(cpus[0].about["address-bits"]), cpus[0].processor["options"]
    mapped = options.get("map") == "standard" or any(_adds(board) == "map" for board in machine.boards)
    said: set[Said] = set()
    top = max((span.end for span in spans), default=0)
    if bits == 22 and not mapped and top > 0o760000:
        return {("DMA-003", machine.first_box)}
    limit = {16: 0o160000, 18: 0o760000, 22: 3840 * KB}[bits or 22]
    for span in spans:
        if span.end > limit:
            said.add(("MEM-004", span.board.place))
    return said


def _narrow(machine: Machine, spans: list[Span]) -> list[Board]:
    """Boards that can't tell the memory of others, as far as the processor addresses it, from their own."""
    if machine.bus != "mux":
        return []
    abouts = [*(cpu.about for cpu in machine.processors()), *(unit.about for unit in machine.units)]
    widths = [_bits(plain(about["address-bits"])) or 22 for about in abouts]
    found = []
    for board in machine.boards:
        bits = _bits(plain(board.about["address-bits"])) if board.memory else None
        top = min(max((s.end for s in spans if s.board is not board), default=0), 1 << min(widths, default=22))
        if bits and bits < 22 and top > 1 << bits:
            found.append(board)
    return found


def _no_refresh(machine: Machine) -> set[Said]:
    needing = [b for b in machine.boards if b.memory and plain(b.memory["refreshes-itself"]) == "no"]
    helpers = [plain(b.about.get("refreshes-others", "no")) for b in machine.boards]
    return set() if "yes" in helpers or None in helpers else {("MEM-008", board.place) for board in needing}


# ---- cables


def cables(machine: Machine) -> set[Said]:
    """A drive hangs on its controller, with a unit number that the controller has."""
    said = set()
    boards = {board.place: board for board in machine.boards}
    for cable in machine.cables:
        board = boards.get(cable["from"])
        if board is None or not board.kind:
            continue
        drive = entry("drives", cable["to"])
        wanted = drive.get("needs", {}).get("device") or drive["controller"]
        able = LINES if wanted == "serial-line" else (wanted,)
        there = {record["device"] for record in board.registers}
        if not there & set(able) or board.kind not in (plain(drive.get("boards")) or [board.kind]):
            said.add(("CABLE-001", board.place))
            continue
        most = plain(drive["units-per-controller"])
        if isinstance(most, int) and wanted != "serial-line" and int(cable.get("unit", 0)) >= most:
            said.add(("CABLE-003", board.place))
    return said


# ---- options


def _adds(board: Board) -> str:
    option = board.about.get("option")
    return option["adds"] if isinstance(option, dict) else ""


def options(machine: Machine) -> tuple[set[Said], set[Said]]:
    """Boards that add an option, and options asked for (catalogue README: processor, option)."""
    must: set[Said] = set()
    may: set[Said] = set()
    cpus = machine.processors()
    profiles = {cpu.processor["profile"]: cpu for cpu in cpus if cpu.processor}
    seen: dict[str, Board] = {}
    for board in machine.boards:
        if not _adds(board):
            continue
        cpu = next((profiles[name] for name in board.about["option"]["to"] if name in profiles), None)
        fits = cpu.processor["options"].get(_adds(board), "never") if cpu and cpu.processor else "never"
        if fits == "unknown":
            continue
        if cpu is None or fits == "never" or _adds(board) in seen:
            (must if cpus else may).add(("OPT-002", board.place))
        else:
            seen[_adds(board)] = board
            if board.unit != cpu.unit:
                must.add(("OPT-003", board.place))
            elif "processor" not in board.kinds:
                may.add(("OPT-003", board.place))  # a doubt where it may stand in such a slot
    for board in seen.values():
        needs = board.about["option"].get("needs")
        if needs and needs not in seen:
            must.add(("OPT-004", board.place))
    for cpu in cpus:
        assert cpu.processor
        for option in cpu.options:
            if cpu.processor["options"].get(option) == "board" and not (
                seen.get(option) and seen[option].unit == cpu.unit
            ):
                (may if option in seen else must).add(("OPT-001", cpu.place))
            if cpu.processor["options"].get(option, "never") == "never":
                may.add(("OPT-001", cpu.place))
    return must, may
