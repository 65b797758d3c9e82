"""A machine as a list of boards in places, read from the tree of a loadout."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from judge.book import Tree, entry, order_of, plain, slots_of

ALL = "ABCDEF"
HEIGHTS = {"single": 1, "dual": 2, "quad": 4, "hex": 6}


@dataclass(eq=False)
class Board:
    """One board (or set) in its place."""

    kind: str  # id of the catalogue; "" for a board described in place
    about: dict[str, Tree]
    unit: int
    slots: tuple[int, ...]
    rows: str
    place: str
    settings: dict[str, str]
    roms: dict[str, str]
    options: tuple[str, ...]
    kinds: tuple[str, ...] = ()
    by_slot: tuple[tuple[str, ...], ...] = ()

    def is_(self, key: str) -> bool | None:
        """A yes/no word of the catalogue; None where nobody knows."""
        value = plain(self.about.get(key, "no"))
        return None if value is None else value in ("yes", True)

    @property
    def processor(self) -> dict[str, Tree] | None:
        cpu = self.about.get("processor", "none")
        return cpu if isinstance(cpu, dict) else None

    @property
    def registers(self) -> list[dict[str, Tree]]:
        found = self.about.get("registers")
        return found if isinstance(found, list) else []

    @property
    def memory(self) -> dict[str, Tree] | None:
        found = self.about.get("memory", "none")
        return found if isinstance(found, dict) else None


@dataclass
class Unit:
    """One backplane."""

    box: str
    name: str
    about: dict[str, Tree]
    joined: bool
    wires: dict[int, bool]
    slots: dict[int, dict[str, str]]
    order: list[tuple[int, str]]
    volts: int | None = None  # on the memory pins of the separate-line bus, as wired or as measured


@dataclass
class Machine:
    """Everything the judge looks at."""

    bus: str
    units: list[Unit]
    boards: list[Board]
    boxes: list[dict[str, Any]]
    cables: list[dict[str, str]]
    without: frozenset[str] = field(default_factory=frozenset)

    @property
    def first_box(self) -> str:
        return str(self.boxes[0]["id"])

    def processors(self) -> list[Board]:
        return [board for board in self.boards if board.processor]

    def at(self, unit: int, slot: int, rows: str) -> Board | None:
        """The board in a position: the processor before others, else the one written first."""
        here = [b for b in self.boards if b.unit == unit and slot in b.slots and set(b.rows) & set(rows)]
        return next((b for b in here if b.processor), here[0] if here else None)


def span(text: str) -> tuple[int, ...]:
    """`3-5` as slot numbers."""
    first, _, last = text.partition("-")
    return tuple(range(int(first), int(last or first) + 1))


def read(tree: Tree) -> Machine:
    """The machine of a loadout."""
    units: list[Unit] = []
    boards: list[Board] = []
    for box in tree["boxes"]:
        for written in box.get("units", [box]):
            unit = _unit(box, written, first=not units)
            boards += [_board(unit, len(units), key, one) for key, one in (written.get("slots") or {}).items()]
            units.append(unit)
    return Machine(str(plain(units[0].about["bus"])), units, boards, tree["boxes"], tree.get("cables", []))


def _unit(box: Tree, written: Tree, *, first: bool) -> Unit:
    about = entry("backplanes", written["backplane"])
    wires: dict[int, bool] = {}
    for slots, state in written.get("wires", {}).get("dma-grant", {}).items():
        wires.update(dict.fromkeys(span(slots), state == "in"))
    joint = written.get("joined-by")
    joined = first or (joint is not None and joint.get("connected", "yes") == "yes")
    name = written["id"] if written is not box else "a"
    wired = plain(about.get("memory-rail", "none"))
    volts = int(written["memory-volts"]) if "memory-volts" in written else wired if wired in (12, 15) else None
    return Unit(box["id"], name, about, joined, wires, slots_of(about), order_of(about), volts)


def _board(unit: Unit, index: int, key: str, written: Tree) -> Board:
    numbers, rows = key.rstrip(ALL), key.lstrip("0123456789-")
    if len(rows) == 2 and ord(rows[1]) - ord(rows[0]) > 1:
        rows = ALL[ALL.index(rows[0]) : ALL.index(rows[1]) + 1]
    kind = written["board"] if isinstance(written["board"], str) else ""
    about = entry("boards", kind) if kind else _described(written["board"]["describe"], unit)
    own = about.get("rows")
    covers = rows or (own if own not in (None, "unknown") else "".join(r for r in ALL if r in _there(unit, numbers)))
    shown = rows if len(rows) <= 2 else rows[0] + rows[-1]
    slots = span(numbers)
    settings = {name: str(value) for name, value in written.get("settings", {}).items()}
    roms = {at: rom if isinstance(rom, str) else rom["rom"] for at, rom in written.get("roms", {}).items()}
    place = f"{unit.box}/{unit.name}/{slots[0]}" + (f"-{slots[-1]}" if len(slots) > 1 else "") + shown
    board = Board(kind, about, index, slots, covers, place, settings, roms, tuple(written.get("options", ())))
    board.by_slot = tuple(tuple(_kinds(unit, slot, covers)) for slot in slots)
    board.kinds = tuple(kind for kinds in board.by_slot for kind in kinds)
    return board


def _there(unit: Unit, numbers: str) -> set[str]:
    return {row for slot in span(numbers) for rows in unit.slots.get(slot, {}) for row in rows} or set(ALL)


def _kinds(unit: Unit, slot: int, rows: str) -> list[str]:
    """What a board may call its slot: a hex board goes by rows A-B, others by the finest entry beneath them."""
    kinds = unit.slots.get(slot, {})
    if len(rows) == len(ALL):
        return [kind for own, kind in kinds.items() if "A" in own]
    beneath = {own: kind for own, kind in kinds.items() if set(own) & set(rows)}
    return [kind for own, kind in beneath.items() if own != ALL] or list(beneath.values())


def _described(words: Tree, unit: Unit) -> dict[str, Tree]:
    """A board nobody knows, in the words of the catalogue."""
    rows = {"mux": {"dual": "AB", "quad": "ABCD"}, "sep": {"dual": "AB", "quad": "CDEF", "hex": ALL}}
    bus = str(plain(unit.about["bus"]))
    about = {
        "bus": bus,
        "slots": [],
        "height": words.get("height", "unknown"),
        "boards": 1,
        "rows": rows[bus].get(words.get("height", ""), "unknown"),
        "amps": {rail: float(amps) for rail, amps in words.get("amps", {}).items()},
        "interrupts": words.get("interrupts", "unknown"),
        "dma": words.get("dma", "unknown"),
        "passes-grant": words.get("passes-grant", "unknown"),
        "passes-dma-grant": words.get("passes-grant", "unknown"),
        "address-bits": "none",
        "terminates": "no",
    }
    if "address" in words:
        vectors = (
            {"count": int(words.get("vectors", 1)), "at": {"fixed": words["vector"]}} if "vector" in words else "none"
        )
        about["registers"] = [
            {
                "device": "described",
                "words": int(words.get("words", 1)),
                "at": {"fixed": words["address"]},
                "vectors": vectors,
            }
        ]
    return about
