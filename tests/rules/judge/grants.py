"""The way of the grants, walked by hand (buses.md 4.2, 5.2)."""

from __future__ import annotations

from dataclasses import dataclass

from judge.book import plain
from judge.machine import Board, Machine, Unit
from judge.places import Said


@dataclass
class Stop:
    """One position in the order of the grants.  `passes` None: nobody knows."""

    place: str
    board: Board | None
    passes: bool | None
    joint: bool = False
    slot: int = 0
    unit: int = 0


def grants(machine: Machine) -> tuple[set[Said], set[Said]]:
    """What must and what may be said of the grants."""
    return _mux(machine) if machine.bus == "mux" else _sep(machine)


def _behind_processor(stops: list[Stop]) -> list[Stop]:
    """Positions behind the last one of the first processor; none without a processor: no grant ever starts."""
    first = next((stop.board for stop in stops if stop.board and stop.board.processor), None)
    if first is None:
        return stops
    last = max(number for number, stop in enumerate(stops) if stop.board is first)
    return stops[last + 1 :]


def _wants(board: Board | None, *kinds: str) -> bool | None:
    if board is None:
        return False
    answers = [board.is_(kind) for kind in kinds]
    return True if True in answers else None if None in answers else False


# ---- multiplexed bus


def mux_order(machine: Machine) -> list[Stop]:
    """Every position; both grants pass together."""
    stops: list[Stop] = []
    for number, unit in enumerate(machine.units):
        if not unit.joined:
            stops.append(Stop(f"{unit.box}/{unit.name}/{min(unit.slots)}", None, False, joint=True, unit=number))
        for slot, rows in unit.order:
            board = machine.at(number, slot, rows)
            passes = _mux_passes(machine, number, slot, rows, board)
            stops.append(Stop(f"{unit.box}/{unit.name}/{slot}{rows}", board, passes, slot=slot, unit=number))
    return stops


def _mux_passes(machine: Machine, number: int, slot: int, rows: str, board: Board | None) -> bool | None:
    unit = machine.units[number]
    if board is None:
        goes_on = number + 1 < len(machine.units) and machine.units[number + 1].joined
        cable_out = goes_on and (slot, rows) == unit.order[-1]
        cable_in = number > 0 and unit.joined and (slot, rows) == unit.order[0]
        return cable_out or cable_in
    if (
        rows == "CD"
        and board.rows != "CD"
        and board.settings.get("grant-jumpers") == "out"
        and "twin-bus" in board.kinds
    ):
        return False
    return True if board.processor else board.is_("passes-grant")


def _mux(machine: Machine) -> tuple[set[Said], set[Said]]:
    stops = _behind_processor(mux_order(machine))
    must, may = _jumpers(machine, stops), set[Said]()
    holes = [at for at, stop in enumerate(stops) if stop.board is None and not stop.passes]
    for at, stop in enumerate(stops):
        users = [
            one.board
            for one in stops[at + 1 :]
            if _wants(one.board, "interrupts", "dma") and one.board is not stop.board
        ]
        perhaps = [one.board for one in stops[at + 1 :] if _wants(one.board, "interrupts", "dma") is None]
        if holes and at == holes[0]:
            if users and users[0]:
                must.add(("GRANT-001", users[0].place))
            may |= {("GRANT-001", one.place) for one in perhaps if one}
        if stop.board and stop.passes is False and users and stop.board.is_("passes-grant") is False:
            must.add(("GRANT-002", stop.board.place))
    return must, may


def _jumpers(machine: Machine, stops: list[Stop]) -> set[Said]:
    """Out in a twin-bus slot with users behind them, in beside a user of the private link."""
    said = set()
    for board in machine.boards:
        stated = board.settings.get("grant-jumpers")
        if plain(board.about.get("rows")) != "ABCD" or stated is None:
            continue
        last = max((number for number, stop in enumerate(stops) if stop.board is board), default=-1)
        behind = any(_wants(stop.board, "interrupts", "dma") for stop in stops[last + 1 :])
        if (stated == "out" and "twin-bus" in board.kinds and behind) or (
            stated == "in" and "private-link" in board.kinds
        ):
            said.add(("GRANT-004", board.place))
    return said


# ---- separate-line bus


def sep_order(machine: Machine, *, dma: bool) -> list[Stop]:
    """Every position: connector D for the interrupt grants, connector C and the wire beside it for the DMA grant."""
    stops: list[Stop] = []
    for number, unit in enumerate(machine.units):
        if not unit.joined:
            stops.append(
                Stop(f"{unit.box}/{unit.name}/{min(unit.slots, default=1)}", None, False, joint=True, unit=number)
            )
        if not unit.order:
            stops += _own_unit(machine, number, dma=dma)
        for slot, rows in unit.order:
            board = machine.at(number, slot, "C" if dma else "D")
            passes = _sep_passes(unit, slot, board, dma=dma)
            shown = rows if rows == "AB" else {"CDEF": "CF", "ABCDEF": ""}[rows]
            stops.append(Stop(f"{unit.box}/{unit.name}/{slot}{shown}", board, passes, slot=slot, unit=number))
    return stops


def _own_unit(machine: Machine, number: int, *, dma: bool) -> list[Stop]:
    """A unit made for one set: nobody knows its wiring, the set answers for it."""
    key = "passes-dma-grant" if dma else "passes-grant"
    sets = [board for board in machine.boards if board.unit == number]
    if not sets:
        return [Stop("", None, None, unit=number)]
    return [Stop(board.place, board, board.is_(key), unit=number) for board in sets]


def _sep_passes(unit: Unit, slot: int, board: Board | None, *, dma: bool) -> bool | None:
    kinds = unit.slots.get(slot, {})
    if dma and _wire(unit, slot):
        return True
    if board is None:
        return None if kinds == {"ABCDEF": "processor"} else False
    return True if board.processor else board.is_("passes-dma-grant" if dma else "passes-grant")


def _wire(unit: Unit, slot: int) -> bool:
    """Is the wire CA1-CB1 in?  Small-peripheral places have one, in as shipped unless the loadout says otherwise."""
    if slot in unit.wires:
        return unit.wires[slot]
    return "small-peripheral" in unit.slots.get(slot, {}).values() and plain(unit.about["dma-grant-wires"]) == "in"


def _sep(machine: Machine) -> tuple[set[Said], set[Said]]:
    must = _two_masters(machine)
    turns = [(b.unit, b.slots[0]) for b in machine.boards if plain(b.about.get("turnaround", "no")) == "yes"]
    interrupts = _behind_processor(sep_order(machine, dma=False))
    for at, stop in enumerate(interrupts):
        if stop.board and stop.passes is False and _users(interrupts[at + 1 :], stop, "interrupts"):
            must.add(("GRANT-002", stop.board.place))
    holes = [stop for stop in _open(interrupts, "interrupts", turns) if stop.board is None]
    told = {stop.unit for stop in holes if stop.joint}  # the same cable carries the other grant too
    dma = [stop for stop in _behind_processor(sep_order(machine, dma=True)) if not (stop.joint and stop.unit in told)]
    for rule, stops in (("GRANT-007", holes), ("GRANT-006", _open(dma, "dma", turns))):
        must |= {(rule, stop.board.place if stop.board else stop.place) for stop in stops[:1]}  # one finding a chain
    return must, set()


def _users(stops: list[Stop], stop: Stop, kind: str) -> list[Board]:
    return [one.board for one in stops if one.board and one.board is not stop.board and one.board.is_(kind)]


def _open(stops: list[Stop], kind: str, turns: list[tuple[int, int]]) -> list[Stop]:
    """Open positions that harm anybody: users behind them, or a terminator there that turns grants around."""
    return [
        stop
        for at, stop in enumerate(stops)
        if stop.passes is False
        and (any(turn >= (stop.unit, stop.slot) for turn in turns) or _users(stops[at + 1 :], stop, kind))
    ]


def _two_masters(machine: Machine) -> set[Said]:
    """A board with DMA, and the wire in at all its small-peripheral places."""
    said = set()
    for board in machine.boards:
        unit = machine.units[board.unit]
        own = [slot for slot, _ in unit.order if slot in board.slots and "C" in board.rows]
        if board.is_("dma") and own and all(_wire(unit, slot) for slot in own):
            said.add(("GRANT-005", board.place))
    return said
