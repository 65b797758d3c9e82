"""Addresses, vectors, ROM windows and the console (buses.md 1 to 3)."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from judge.book import Tree, entry, plain
from judge.machine import Board, Machine
from judge.places import Said

CONSOLE, CLOCK = 0o777560, 0o777546
USERS_OWN = (0o170, 0o174, 0o270, 0o274)
TRAPS = frozenset({0o4, 0o10, 0o14, 0o20, 0o24, 0o30, 0o34, 0o114, 0o240, 0o244, 0o250})
LINE = 0o10


@dataclass
class Device:
    """One device of one board.  Addresses and vectors are None where the loadout alone does not say."""

    board: Board
    number: int  # place of the board in the loadout
    name: str
    base: int | None
    words: int | None
    vector: int | None
    vectors: int
    floats: bool  # its vector is given by rank, unless it is the first of its kind
    first: int | None
    soft: bool
    rank: int | None


def io_page(text: str) -> int:
    """An address in any of its three lengths, as 18 bits."""
    value = int(text.removeprefix("0o"), 8)
    return 0o760000 + (value & 0o17777) if value >= 0o160000 else value


def devices(machine: Machine) -> list[Device]:
    """Every device; a board of several lines has one for each."""
    found: list[Device] = []
    for number, board in enumerate(machine.boards):
        for record, line in [(each, line) for each in board.registers for line in range(_lines(each))]:
            if (
                board.settings.get({"line-clock": "clock", "event-line": "event-line"}.get(record["device"], ""), "")
                == "off"
            ):
                continue
            found.append(_device(board, number, record, line, found))
    return found


def _lines(record: Tree) -> int:
    lines = record.get("lines")
    return lines if record["device"] == "serial-line" and isinstance(lines, int) else 1


def _device(board: Board, number: int, record: Tree, line: int, before: list[Device]) -> Device:
    group = [one for one in board.registers if one["device"] == "serial-line" and "choices" in one["at"]]
    base = _base(board, record, line, len(group) > 1)
    words = plain(record.get("words"))
    each = words // _lines(record) if isinstance(words, int) else None
    vectors = plain(record.get("vectors"))
    count = vectors.get("count", 0) if isinstance(vectors, dict) else 0
    at = vectors["at"] if count else {}
    first = at.get("first")
    rank = record["at"].get("floating-rank") if isinstance(record["at"], dict) else None
    earlier = [one for one in before if one.name == record["device"] or (rank and one.rank == rank)]
    vector = _vector(board, record, line, base, count, at, earlier=bool(earlier))
    own = record["at"].get("first") if isinstance(record["at"], dict) else None
    return Device(
        board, number, record["device"], base, each, vector, count // _lines(record) if count else 0,
        "floating-rank" in at and not _at_first(record, base, vector, first),
        int(own, 8) if own not in (None, "none", "unknown") else None,
        isinstance(vectors, dict) and vectors.get("set-by") == "software", rank,
    )  # fmt: skip


def _at_first(record: Tree, base: int | None, vector: int | None, first: Tree) -> bool:
    """Is it the first unit of its kind, with the fixed vector?  Of the console-type lines only the console is."""
    if record["device"] == "serial-line":
        return base == CONSOLE
    return first not in (None, "none") and vector == int(first, 8)


def _base(board: Board, record: Tree, line: int, group: bool) -> int | None:
    at, stated = record["at"], board.settings.get("address")
    if not isinstance(at, dict):
        return None
    if "fixed" in at:
        return io_page(at["fixed"]) + LINE * line
    if record["device"] == "serial-line" and "777560" in at["choices"]:
        if group:  # a switch of its own makes the last line the console
            if board.settings.get("console", "yes") == "yes":
                return CONSOLE if "console" in board.settings else None
            return io_page(stated) + 3 * LINE if stated else None
        if stated is None:
            return CONSOLE if board.settings.get("console") == "yes" else None
    if stated is not None:
        return io_page(stated) + LINE * line
    return None


def _vector(
    board: Board, record: Tree, line: int, base: int | None, count: int, at: Tree, *, earlier: bool
) -> int | None:
    if not count:
        return None
    stated = board.settings.get("vector")
    if "fixed" in at:
        return int(at["fixed"], 8) if stated is None or len(board.registers) > 1 else int(stated, 8)
    shared = (
        len(board.registers) > 1
        and record["device"] == "serial-line"
        and _lines(record) == 1
        and "choices" in record["at"]
    )
    if (
        record["device"] == "serial-line"
        and base == CONSOLE
        and ((shared and not any(one["device"] != "serial-line" for one in board.registers)) or stated is None)
    ):
        return 0o60
    if stated is not None:
        return int(stated, 8) + LINE * (
            line if _lines(record) > 1 else 3 * (_group(board) and record is board.registers[-1])
        )
    first = at.get("first")
    return int(first, 8) if first not in (None, "none") and not earlier and record["device"] != "serial-line" else None


def _group(board: Board) -> bool:
    return len([one for one in board.registers if one["device"] == "serial-line" and "choices" in one["at"]]) > 1


# ---- what is said


def registers(machine: Machine) -> tuple[set[Said], set[Said]]:
    """What must and may be said of addresses, vectors and the console."""
    found = devices(machine)
    must: set[Said] = set()
    may: set[Said] = set()
    for one in found:
        must |= _alone(one)
    for earlier, later in combinations(found, 2):
        _pair(earlier, later, must, may)
    must |= _off_fixed(found)
    shared = {place for rule, place in must if rule == "VECT-001"} | _sharers(found)
    low = {one for one in must if one[0] == "VECT-003" and one[1] in shared}  # told as shared already
    must, may = must - low, may | low
    consoles = [one for one in found if one.name in ("serial-line", "described") and one.base == CONSOLE]
    if not consoles:
        unknown = any(one.name == "serial-line" and one.base is None for one in found)
        (may if unknown else must).add(("CONSOLE-002", machine.first_box))
    _inside_processor(machine, found, must, may)
    return must, may


def _sharers(found: list[Device]) -> set[str]:
    """Boards that share a vector with another."""
    live = [one for one in found if one.vector is not None and one.vectors and not one.soft]
    pairs_of = [pair for pair in combinations(live, 2) if set(_all_vectors(pair[0])) & set(_all_vectors(pair[1]))]
    return {one.board.place for pair in pairs_of for one in pair}


def _alone(one: Device) -> set[Said]:
    said = set()
    if one.base is not None and one.words and not 0o760000 <= one.base <= one.base + 2 * one.words <= 0o1000000:
        said.add(("ADDR-004", one.board.place))
    if one.vector is None or one.soft:
        return said
    if one.vector % 4 or one.vector + 4 * (one.vectors - 1) > 0o774 or not one.vector:
        return said | {("VECT-004", one.board.place)}
    if one.vectors > 1 and one.vector % 8:
        said.add(("VECT-002", one.board.place))
    if not one.floats and one.name != "memory-parity" and TRAPS & set(_all_vectors(one)):
        said.add(("VECT-005", one.board.place))
    if one.floats and one.vector < 0o300 and one.vector not in USERS_OWN:
        said.add(("VECT-003", one.board.place))
    return said


def _pair(earlier: Device, later: Device, must: set[Said], may: set[Said]) -> None:
    same_place = _meet(earlier, later)
    twin_lines = earlier.base == later.base == CONSOLE
    twin_clocks = earlier.name == later.name == "line-clock"
    parity = earlier.name == later.name == "memory-parity"
    if twin_lines and earlier.board is not later.board:
        must.add(("CONSOLE-001", later.board.place))
    elif same_place and not twin_clocks and not parity:
        must.add(("ADDR-001", later.board.place))
    if not earlier.vectors or not later.vectors or earlier.soft or later.soft or twin_lines or twin_clocks:
        return
    if "event-line" in (earlier.name, later.name) and "line-clock" in (earlier.name, later.name):
        return  # the processor takes the tick of the clock
    if earlier.vector is None or later.vector is None:
        may |= {("VECT-001", later.board.place), ("VECT-001", earlier.board.place)}
        return
    if set(_all_vectors(earlier)) & set(_all_vectors(later)):
        two_processors = earlier.board.processor and later.board.processor
        (may if two_processors else must).add(("VECT-001", later.board.place))
        if later.vector % 4 or earlier.vector % 4:
            must.discard(("VECT-001", later.board.place))
            may.add(("VECT-001", later.board.place))
    if same_place:
        may.add(("VECT-001", later.board.place))


def _meet(one: Device, two: Device) -> bool:
    if one.base is None or two.base is None or not one.words or not two.words:
        return False
    return one.base < two.base + 2 * two.words and two.base < one.base + 2 * one.words


def _all_vectors(one: Device) -> list[int]:
    assert one.vector is not None
    return [one.vector + 4 * index for index in range(one.vectors)]


def _off_fixed(found: list[Device]) -> set[Said]:
    """Kinds whose first unit has a fixed address, with none standing there."""
    said = set()
    for name in dict.fromkeys(one.name for one in found if one.first):
        kind = [one for one in found if one.name == name]
        if all(one.base not in (None, one.first) for one in kind):
            said.add(("ADDR-003", kind[0].board.place))
    return said


def _inside_processor(machine: Machine, found: list[Device], must: set[Said], may: set[Said]) -> None:
    """Memory management answers by itself where it is fitted; what else does differs from one processor to the next."""
    cpu = machine.processors()
    profile = cpu[0].processor if cpu else None
    mmu = profile is not None and (profile["options"]["mmu"] == "standard" or "mmu" in cpu[0].options)
    certain = [(0o777572, 3), (0o777600, 8), (0o777640, 8), (0o772300, 8), (0o772340, 8)]
    for one in found:
        if one.base is None or not one.words or one.board.processor or "parity" in one.name:
            continue
        end = one.base + 2 * one.words
        if mmu and any(one.base < at + 2 * words and at < end for at, words in certain):
            must.add(("ADDR-001", one.board.place))
        elif (
            (one.base >= 0o777560 + 8 and end > 0o777570)
            or 0o772200 <= one.base < 0o772400
            or one.base <= 0o772516 < end
        ):
            may.add(("ADDR-001", one.board.place))


# ---- ROMs


def boot(machine: Machine) -> tuple[set[Said], set[Said]]:
    """A ROM at 773000 or 765000 that knows a device of the machine; no two boards in one window."""
    must: set[Said] = set()
    may: set[Said] = set()
    holders = [board for board in machine.boards if isinstance(board.about.get("rom"), dict)]
    for one in devices(machine):
        if one.base is not None and one.words:
            meets = [b for b in holders if any(one.base < d and c < one.base + 2 * one.words for c, d in _windows(b))]
            must |= {("ADDR-001", one.board.place) for board in meets if board is not one.board}
    for later_at, later in enumerate(holders):
        for earlier in holders[:later_at]:
            if any(a < d and c < b for a, b in _windows(earlier) for c, d in _windows(later)):
                must.add(("BOOT-001", later.place))
    certain, unsure = _boots(machine, holders)
    if not certain:
        (may if unsure else must).add(("BOOT-001", machine.first_box))
    start = _first_fetch(machine)
    answers = [_answers(board, start) for board in holders] if start is not None else []
    if answers and True not in answers:
        (may if None in answers else must).add(("BOOT-002", machine.first_box))
    return must, may


def _first_fetch(machine: Machine) -> int | None:
    """Where the first instruction is fetched, if power-up goes to a ROM and the switches are told (buses.md 4.8)."""
    cpus = machine.processors()
    if machine.bus == "mux":
        return 0o773000 if cpus and cpus[0].settings.get("power-up") == "2" else None
    for board in machine.boards if cpus else ():
        if board.settings.get("power-up-redirect") == "on" and {"start", "start-from"} <= set(board.settings):
            window = 0o765000 if board.settings["start-from"] == "low" else 0o773000
            return window + (int(board.settings["start"], 8) & 0o776)  # eight switches: bits 1 to 8
    return None


def _answers(board: Board, start: int) -> bool | None:
    """Does a ROM stand in a socket of the board at this address?  None: its windows or sizes are not known."""
    if not _windows(board):
        return None
    if not any(begin <= start < end for begin, end in _windows(board)):
        return False
    words = {int(at, 8): plain(entry("roms", rom).get("words")) for at, rom in board.roms.items()}
    open_ended = [at for at, size in words.items() if not isinstance(size, int)]
    inside = any(isinstance(size, int) and at <= start < at + 2 * size for at, size in words.items())
    return inside or not words or (None if any(at <= start for at in open_ended) else False)


def _windows(board: Board) -> list[tuple[int, int]]:
    rom = board.about["rom"]
    starts, words = plain(rom["windows"]), plain(rom["words-each"])
    if not isinstance(starts, list) or not isinstance(words, int):
        return []
    if "address" in board.settings:  # one ROM of a few, put where its switches say
        starts = [board.settings["address"]]
    low_out = board.settings.get("low-window") == "out"
    return [(int(at, 8), int(at, 8) + 2 * words) for at in starts if not (low_out and at == "765000")]


def _boots(machine: Machine, holders: list[Board]) -> tuple[bool, bool]:
    found, certain, unsure = devices(machine), False, False
    for board in holders:
        if not board.roms:
            unsure = True
        for rom in board.roms.values():
            about = entry("roms", rom)
            boots, wanted = plain(about["boots"]), plain(about.get("expects-csr"))
            able = [one for one in found if one.name in ([boots] if isinstance(boots, str) else boots or [])]
            at_home = [one for one in able if wanted in (None, "none") or one.base in (None, int(wanted, 8))]
            alone = len({one.board.place for one in found if one.rank and one.rank in {o.rank for o in able}}) < 2
            certain |= bool(at_home) and alone
            unsure |= boots is None or rom == "rom-ours" or bool(at_home)
    return certain, unsure or any(p.processor and p.processor.get("boot-rom") != "no" for p in machine.processors())
