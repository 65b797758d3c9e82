"""What can be said already: the real rules over every backplane it could be, and what all of them have in common."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field, replace
from decimal import Decimal
from math import prod

from minisim.catalogue.model import BoardEntry
from minisim.catalogue.reader import Catalogue
from minisim.checking import check_wired
from minisim.findings import Finding, Severity
from minisim.known import Known
from minisim.loadout.slot_list import Entry, UnitText
from minisim.loadout.slot_list_assembly import Assembly, Choice, is_bare
from minisim.loadout.slot_list_candidates import choices
from minisim.loadout.slot_list_sets import board_of
from minisim.problems import InputError
from minisim.wiring.model import GrantKind, Passes, Wired
from minisim.wiring.resolve import resolve

_SHOWN = (Severity.DAMAGE, Severity.FAULT, Severity.DOUBT)
Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Common:
    """A finding by rule and slot: `only` names the backplanes that have it, empty where all have it.

    `sometimes`: it depends on the half of the slot in which a board stands.
    """

    finding: Finding
    place: str
    only: tuple[str, ...] = ()
    sometimes: bool = False
    same_words: bool = True
    example: str = ""  # the backplane from which `finding` is taken


@dataclass(frozen=True, slots=True)
class Verdict:
    """Over all backplanes it could be: findings they share, findings of some, and the memory in all."""

    backplanes: tuple[str, ...]
    possible: int  # so many backplanes, or sets of them, it could be; more than were checked where they are many
    shared: tuple[Common, ...]
    others: tuple[Common, ...]
    kb: Decimal | None
    kb_unknown: tuple[str, ...]
    has_console: bool | None
    has_line: bool | None
    cut_off: tuple[str, ...] = ()  # boards that no grant reaches, in all of them: "main/a/8 M0000"


@dataclass(slots=True)
class _Tally:
    """How often a finding came up."""

    finding: Finding
    place: str
    example: str
    founds: set[str] = field(default_factory=set)
    in_all_ways: list[str] = field(default_factory=list)
    in_some_ways: list[str] = field(default_factory=list)


def verdict(assembly: Assembly, fitting: dict[str, tuple[str, ...]]) -> Verdict | None:
    """The verdict, or None where no backplane fits or no board is placed."""
    tallies: dict[Key, _Tally] = {}
    names: list[str] = []
    last: Wired | None = None
    cut_off: set[str] | None = None
    for ways in choices(assembly, fitting):
        seen: Counter[Key] = Counter()
        checked = 0
        for choice in ways:
            wired = _wired(assembly, choice)
            if wired is None:
                continue
            checked += 1
            last = wired
            dead = _cut_off(wired)
            cut_off = dead if cut_off is None else cut_off & dead
            found = _found(wired)
            seen.update(list(found))
            _note(tallies, found, " + ".join(choice.backplanes.values()))
        if checked:
            name = " + ".join(ways[0].backplanes.values())
            names.append(name)
            for key, count in seen.items():
                (tallies[key].in_all_ways if count == checked else tallies[key].in_some_ways).append(name)
    possible = prod(1 if unit.backplane else len(fitting.get(unit.name, ())) for unit in assembly.list.units)
    if last is None:
        return None
    return replace(_verdict(tallies, names, possible, last), cut_off=tuple(sorted(cut_off or ())))


def _wired(assembly: Assembly, choice: Choice) -> Wired | None:
    built = assembly.build(choice)
    if built is None or not any(unit.placed for box in built.loadout.boxes for unit in box.units):
        return None
    try:
        return resolve(built.loadout, assembly.catalogue)
    except InputError:
        return None  # it can't be this one


def _cut_off(wired: Wired) -> set[str]:
    """The boards that use the bus and that a grant they need does not reach."""
    dead = set()
    for board in wired.boards:
        needs = ((board.entry.interrupts, GrantKind.INTERRUPT), (board.entry.dma, GrantKind.DMA))
        kinds = [kind for figure, kind in needs if isinstance(figure, Known) and figure.peek == "yes"]
        if any(wired.reached(board.index, kind) is Passes.NO for kind in kinds):
            dead.add(f"{slot_of(str(board.place))} {board.name.split(',')[0]}")
    return dead


def _found(wired: Wired) -> dict[Key, Finding]:
    """The findings that count, one for each rule and slot."""
    found: dict[Key, Finding] = {}
    for one in check_wired(wired).findings:
        if one.severity in _SHOWN:
            found.setdefault((one.rule, slot_of(one.place)), one)
    return found


def slot_of(place: str) -> str:
    """A place without its rows: main/a/4 for main/a/4CD."""
    return re.sub(r"(?<=[0-9])[A-F]{1,6}$", "", place)


def _note(tallies: dict[Key, _Tally], found: dict[Key, Finding], backplane: str) -> None:
    for key, finding in found.items():
        tally = tallies.setdefault(key, _Tally(finding, key[1], backplane))
        tally.founds.add(finding.found)


def _verdict(tallies: dict[Key, _Tally], names: list[str], possible: int, wired: Wired) -> Verdict:
    shared, others = [], []
    for tally in sorted(
        tallies.values(), key=lambda one: (one.finding.severity.rank, one.finding.mark, one.finding.rule)
    ):
        same = len(tally.founds) == 1
        if len(tally.in_all_ways) == len(names):
            shared.append(Common(tally.finding, tally.place, same_words=same, example=tally.example))
        else:
            only = tuple(dict.fromkeys([*tally.in_all_ways, *tally.in_some_ways]))
            only = () if len(only) == len(names) else only
            others.append(Common(tally.finding, tally.place, only, bool(tally.in_some_ways), same, tally.example))
    kb, unknown = _memory(wired)
    lines = [one for one in wired.registers if one.device == "serial-line"]
    console = [one for one in lines if isinstance(one.base, Known) and one.base.peek == 0o17560]
    return Verdict(tuple(names), possible, tuple(shared), tuple(others), kb, unknown, bool(console), bool(lines))


def _memory(wired: Wired) -> tuple[Decimal | None, tuple[str, ...]]:
    """KB of memory in all, and the boards of which nobody knows how much they hold."""
    sizes = [one.size.peek for one in wired.memories if isinstance(one.size, Known)]
    unknown = tuple(
        f"{wired.boards[one.board].place} {wired.boards[one.board].name.split(',')[0]}"
        for one in wired.memories if not isinstance(one.size, Known)
    )  # fmt: skip
    return (Decimal(sum(sizes)) / 1024 if sizes else None), unknown


# ---- gaps


@dataclass(frozen=True, slots=True)
class Gap:
    """Empty slots between boards: in every backplane the grants go slot by slot, so they pass here."""

    unit: str
    slots: tuple[int, ...]
    listed: bool  # False: the list says nothing of them
    users: tuple[str, ...]  # boards behind it that interrupt or do DMA
    doubtful: tuple[str, ...]  # boards behind it of which nobody knows
    next_board: str


def gaps(unit: UnitText, catalogue: Catalogue) -> list[Gap]:
    """Every run of empty slots before a board."""
    standing = [one for one in unit.entries if not one.empty and not is_bare(one)]
    occupied = {slot for one in standing for slot in one.slots}
    listed = {slot for one in unit.entries if not is_bare(one) for slot in one.slots}
    found: list[Gap] = []
    run: list[int] = []
    for slot in range(1, max(occupied, default=0) + 1):
        if slot not in occupied:
            run.append(slot)
            continue
        if run:
            found.append(_gap(unit, tuple(run), listed, standing, catalogue))
        run = []
    return found


def _gap(unit: UnitText, run: tuple[int, ...], listed: set[int], standing: list[Entry], catalogue: Catalogue) -> Gap:
    behind = sorted((one for one in standing if one.slots[0] > run[-1]), key=lambda one: one.slots)
    users = [(one, uses(one, board_of(one, catalogue))) for one in behind]
    return Gap(
        unit.name, run, set(run) <= listed,
        tuple(f"slot {one.slots[0]} {name_of(one, catalogue)} ({how})" for one, how in users if how),
        tuple(f"slot {one.slots[0]} {name_of(one, catalogue)}" for one, how in users if how is None),
        f"slot {behind[0].slots[0]} {name_of(behind[0], catalogue)}" if behind else "",
    )  # fmt: skip


def uses(entry: Entry, board: BoardEntry | None) -> str | None:
    """`interrupts`, `does DMA`, both, "" where it uses neither; None where nobody knows."""
    if board is not None:
        words = [(board.interrupts, "interrupts"), (board.dma, "does DMA")]
        said = [word for figure, word in words if isinstance(figure, Known) and figure.peek == "yes"]
        known = all(not _unknown(figure) for figure, _ in words)
    else:
        facts = entry.described
        pairs = (("interrupts", "interrupts"), ("dma", "does DMA"))
        said = [word for key, word in pairs if facts.get(key) == "yes"]
        known = all(key in facts for key, _ in pairs)
    return " and ".join(said) if said or known else None


def _unknown(figure: object) -> bool:
    return type(figure).__name__ == "Unknown"


def name_of(entry: Entry, catalogue: Catalogue) -> str:
    """What to call a board in a sentence."""
    board = board_of(entry, catalogue)
    if board is None:
        return entry.number or entry.remark[:30] or "unknown board"
    return f"{entry.number or board.id}, {board.kind}" if entry.number else board.title
