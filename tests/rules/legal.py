"""Random machines that keep every published limit: places in the order of the grants, addresses and vectors by rank.

The arithmetic of floating addresses and vectors is written here once more, from the facts (float-address-wiki,
float-vector-wiki, float-post-2016), apart from that of the project.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass
from typing import Any

from judge.book import entry, order_of, slots_of

Tree = dict[str, Any]

MODULI = dict.fromkeys(range(1, 33), 8) | dict.fromkeys((2, 12, 15, 24, 28, 29, 31, 32), 0o20)
MODULI |= {26: 4, 30: 4, 27: 0o40}
PLENTY = {"describe": {"rails": {"+5": "120", "+12": "40", "+15": "10", "-15": "10", "-12": "5", "+5 standby": "20"}}}


def addresses(counts: Counter[int]) -> dict[int, list[int]]:
    """Floating addresses by rank: each kind on its own modulus, one word of gap behind it, present or not."""
    at, found = 0o760010, {}
    for rank in range(1, 33):
        modulus = MODULI[rank]
        at = -(-at // modulus) * modulus
        found[rank] = [at + modulus * number for number in range(counts[rank])]
        at += modulus * counts[rank] + 2
    return found


@dataclass(frozen=True)
class Kind:
    """A board with its places in both orders; rank 0: nothing floats."""

    board: str
    most: int = 1
    address_rank: int = 0
    vector_rank: int = 0
    choices: tuple[str, ...] = ()
    settings: tuple[tuple[str, str], ...] = ()
    dma: bool = False
    hex: bool = False


EIA = (("baud", "9600"), ("wiring", "eia"))
MUX = (
    Kind("line-printer-interface"),
    Kind("disk-port-dual"),
    Kind("tape-port-dual-first"),
    Kind("parallel-16-bit", 3, 0, 9, ("767770", "767760", "767750")),
    Kind("serial-line-single", 3, 0, 2, ("776500", "776510", "776520"), EIA),
    Kind("serial-line-single-modem", 3, 0, 14, ("775610", "775620", "775630")),
    Kind("async-mux-four-line-dual", 3, 8, 27),
    Kind("sync-line-dual", 2, 22, 44),
)
SEP = (
    Kind("sep-line-printer"),
    Kind("sep-programmable-clock"),
    Kind("sep-floppy-double-density", dma=True),
    Kind("sep-parallel-16-bit", 3, 0, 9, ("767770", "767760", "767750")),
    Kind("sep-serial-line", 3, 0, 2, ("776500", "776510", "776520"), EIA),
    Kind("sep-async-mux-eight-line", 3, 8, 27, hex=True),
    Kind("sep-cartridge-disk", dma=True, hex=True),
)


def chosen(dice: random.Random, kinds: tuple[Kind, ...], most: int) -> list[tuple[Kind, Tree]]:
    """Boards with their switches, as many as there is room for, in any order."""
    wanted = [kind for kind in kinds for _ in range(dice.randint(0, kind.most))]
    wanted = dice.sample(wanted, min(len(wanted), most))
    floating = addresses(Counter(kind.address_rank for kind in wanted if kind.address_rank))
    vectors, made, seen = _vectors(wanted), [], Counter[str]()
    for kind in wanted:
        number = seen[kind.board]
        seen[kind.board] += 1
        switches = dict(kind.settings)
        if kind.choices:
            switches["address"] = kind.choices[number]
        if kind.address_rank:
            switches["address"] = f"{floating[kind.address_rank][number]:o}"
        if kind.vector_rank:
            switches["vector"] = f"{vectors[kind.vector_rank][number]:o}"
        made.append((kind, {"board": kind.board, **({"settings": switches} if switches else {})}))
    return made


def _vectors(wanted: list[Kind]) -> dict[int, list[int]]:
    """Two vectors for every unit here: by rank from 300, without gaps."""
    at, found = 0o300, {}
    counts = Counter(kind.vector_rank for kind in wanted if kind.vector_rank)
    for rank in sorted(counts):
        found[rank] = [at + 0o10 * number for number in range(counts[rank])]
        at += 0o10 * counts[rank]
    return found


def mux(dice: random.Random) -> Tree:
    """One box of the multiplexed bus: the chain is filled without a hole, the terminator stands last."""
    wide = dice.random() < 0.5
    backplane = dice.choice(
        ("mux-private-link-9-22bit", "mux-twin-4-22bit", "mux-mixed-8-22bit")
        if wide
        else ("mux-private-link-9-18bit", "mux-twin-4-18bit", "mux-twin-9-hex-18bit")
    )
    order = [f"{slot}{rows}" for slot, rows in order_of(entry("backplanes", backplane))]
    count = dice.randint(1, 3)
    boards: list[Tree] = [
        {"board": "mid-cpu-dual", "options": ["mmu"], "settings": {"power-up": "2", "event-line": "on"}}
    ]
    boards += [_memory(number, wide=wide) for number in range(count)]
    console = {"address": "777560", "vector": "60", "console": "yes", "baud": "9600", "wiring": "eia"}
    rest: list[Tree] = [{"board": "serial-line-single", "settings": console}, {"board": "floppy-single-density"}]
    rest += [board for _, board in chosen(dice, MUX, len(order) - len(boards) - 3)]
    dice.shuffle(rest)
    last = {"board": "boot-refresh-terminator-dual", "roms": {"773000": "rom-mux-small-refresh-terminator"}}
    return _machine(backplane, dict(zip(order, [*boards, *rest, last], strict=False)), {})


def _memory(number: int, *, wide: bool) -> Tree:
    if not wide:
        return {"board": "mos-memory-dual", "settings": {"start": f"{number * 64 * 1024:o}", "kb": "64"}}
    about = {"start": f"{number * 256 * 1024:o}", "kb": "256", "address": f"{0o772100 + 2 * number:o}"}
    return {"board": "mos-memory-parity-22bit-dual", "settings": about}


def sep(dice: random.Random) -> Tree:
    """One unit of the separate-line bus: every empty slot has its card, the wires are out beside DMA alone."""
    backplane = "sep-two-board-mmu-processor-unit"
    line = {
        "address": "777560",
        "vector": "60",
        "console": "yes",
        "clock": "on",
        "baud": "9600",
        "wiring": "current-loop",
    }
    boot = {"start-from": "high", "power-up-redirect": "on", "start": "173004", "low-window": "out"}
    slots: Tree = {
        "1-2": {"board": "sep-cpu-two-boards-mmu-later"},
        "3AB": {"board": "sep-boot-terminator", "settings": boot, "roms": {"773000": "rom-letters-pr"}},
        "3CF": {"board": "sep-serial-line-and-clock", "settings": line},
        "9AB": {"board": "sep-turnaround-terminator"},
    }
    free = list(range(4, 9))
    dice.shuffle(free)
    memory = {"start": "0", "kb": dice.choice(("64", "128", "192")), "address": "772100"}
    slots[str(free.pop())] = {"board": "mos-memory-hex-modified", "settings": memory}
    slots[f"{free.pop()}CF"] = {"board": "sep-paper-tape"}
    wires = {str(slot): "in" for slot in slots_of(entry("backplanes", backplane)) if slot > 2}
    for kind, board in chosen(dice, SEP, dice.randint(0, len(free))):
        slot = free.pop()
        slots[f"{slot}" if kind.hex else f"{slot}CF"] = board
        wires[str(slot)] = "out" if kind.dma else "in"
    slots |= {f"{slot}D": {"board": "sep-grant-card-interrupts"} for slot in (*free, 9)}
    return _machine(backplane, slots, {"wires": {"dma-grant": wires}})


def _machine(backplane: str, slots: Tree, more: Tree) -> Tree:
    unit = {"id": "a", "backplane": backplane, "slots": slots, **more}
    return {"loadout": "1", "name": "Legal", "boxes": [{"id": "main", "supply": PLENTY, "units": [unit]}], "cables": []}
