"""Loadouts thrown together: any boards in any places, any settings, wires, cables; right, wrong and absurd.

Enough of it is well formed that most piles get past the reader; what the rules then make of it is up to them.
"""

from __future__ import annotations

import random
from typing import Any

from judge.book import entry, names, plain

from minisim.catalogue import Catalogue

Tree = dict[str, Any]
CATALOGUE = Catalogue()
ROWS = ("", "AB", "CD", "D", "CF", "AF", "ABCD", "AB", "CD", "")
ADDRESSES = (
    *("777560", "776500", "772150", "760010", "760100", "777774", "773000", "17777560", "160010", "777776"),
    *("764000", "767770", "772100", "0o777546", "0", "888", "760011", "1000000", "-2", "yes"),
)
VECTORS = ("60", "300", "304", "302", "774", "776", "1000", "0", "170", "440", "x")
STARTS = ("0", "20000", "200000", "1000000", "17760000", "4000000", "177777", "77777777")
WORDS = (
    "on",
    "off",
    "yes",
    "no",
    "in",
    "out",
    "high",
    "2",
    "9600",
    "eia",
    "current-loop",
    "60-hz",
    "",
    "-1",
    "1e9",
    "\u00e9",
)
OPTIONS = ("eis", "fis", "fpp", "cis", "mmu", "map", "nothing")


class Pile:
    """One pile; every choice comes from the same dice."""

    def __init__(self, dice: random.Random) -> None:
        self.dice = dice
        self.bus = dice.choice(("mux", "sep"))
        kept = [one for one in CATALOGUE.ids("boards") if CATALOGUE.board(one).bus == self.bus]
        self.boards = kept if dice.random() < 0.9 else list(CATALOGUE.ids("boards"))
        self.places: list[str] = []
        self.wild = dice.random() < 0.2  # whether the reader will hardly take it

    def tree(self) -> Tree:
        """The loadout."""
        boxes_of = ("main", "middle", "lower", "attic")[: self.dice.choice((1, 1, 1, 2, 3, 4))]
        boxes = [self.box(name, first=name == boxes_of[0]) for name in boxes_of]
        tree: Tree = {"loadout": "1", "name": "Pile", "boxes": boxes}
        if self.dice.random() < 0.6:
            tree["cables"] = [self.cable() for _ in range(self.dice.randint(1, 6))]
        if self.dice.random() < 0.2:
            tree["accept"] = [{"rule": self.dice.choice(("GRANT-001", "no-boot-path", "POWER-002")),
                               "at": self.dice.choice([*self.places, "main +5"]), "because": "why not"}]  # fmt: skip
        if self.dice.random() < 0.2:
            tree["switches"] = {"halt": self.dice.choice(("on", "off")), "register": "173000"}
        return tree

    def box(self, name: str, *, first: bool) -> Tree:
        """A box with up to three units."""
        count = self.dice.choice((1, 1, 2, 3))
        units = [self.unit(name, f"u{number}", first=first and number == 0) for number in range(count)]
        return {"id": name, "supply": self.supply(), "units": units}

    def supply(self) -> Any:
        """Of the catalogue, or as somebody measured it."""
        if self.dice.random() < 0.8:
            return self.dice.choice(CATALOGUE.ids("supplies"))
        rails = self.dice.sample(("+5", "+5 standby", "+12", "-12", "+15", "-15"), self.dice.randint(1, 5))
        about: Tree = {"rails": {rail: str(self.dice.choice((0, 0.1, 6, 40, 500))) for rail in rails}}
        if self.dice.random() < 0.5:
            about |= {"watts": self.dice.choice(("0", "41", "1350")), "minimum": {rails[0]: "2"}}
        return {"describe": about}

    def unit(self, box: str, name: str, *, first: bool) -> Tree:
        """A backplane, with boards thrown into it."""
        of_bus = [one for one in CATALOGUE.ids("backplanes") if CATALOGUE.backplane(one).bus == self.bus]
        backplane = self.dice.choice(of_bus)
        about = CATALOGUE.backplane(backplane)
        slots = sorted(about.slots) or list(range(1, 5))
        made: Tree = {"id": name, "backplane": backplane, "slots": self.slots(f"{box}/{name}", slots, about.rows)}
        if self.bus == "sep" and about.slots and self.dice.random() < 0.5:
            made["wires"] = {"dma-grant": {str(slot): self.dice.choice(("in", "out")) for slot in slots}}
        if self.bus == "sep" and about.slots and self.dice.random() < 0.3:
            made["regulators"] = {str(slot): self.dice.choice(("first", "second")) for slot in slots}
        if not first or (self.wild and self.dice.random() < 0.5):
            made["joined-by"] = self.joint()
        return made

    def joint(self) -> Tree:
        """A cable between units."""
        kinds = ("mux-extension-cable-first", "mux-extension-cable-22bit") if self.bus == "mux" else (
            "sep-bus-cable", "sep-bus-jumper-short")  # fmt: skip
        joint = {"cable": self.dice.choice(kinds), "connected": self.dice.choice(("yes", "yes", "no"))}
        if self.dice.random() < 0.7:
            joint["length-m"] = self.dice.choice(("0", "0.61", "1.83", "20", "1000000"))
        return joint

    def slots(self, unit: str, slots: list[int], there: str) -> Tree:
        """Boards in places."""
        made: Tree = {}
        for _ in range(self.dice.randint(0, 14)):
            board = self.board()
            about = board["board"] if isinstance(board["board"], str) else ""
            slot = self.dice.choice(slots)
            count = plain(entry("boards", about).get("boards")) if about and self.dice.random() < 0.8 else None
            last = slot + (count or self.dice.choice((1, 1, 1, 2, 5))) - 1
            span = f"{slot}-{last}" if last != slot and last <= max(slots) else str(slot)
            key = span + self.rows(about, there)
            if key not in made:
                self.places.append(f"{unit}/{key}")
            made[key] = board
        return made

    def rows(self, board: str, there: str) -> str:
        """Rows as they are written behind a slot: often those of the board, else any that the backplane has."""
        if self.wild:
            return self.dice.choice(ROWS)
        own = entry("boards", board).get("rows") if board else None
        choices = ["", *(rows for rows in ("AB", "CD", "D", "CF", "CD") if set(rows) <= set(there))]
        if own in ("AB", "CD") and self.dice.random() < 0.7:
            choices = [rows for rows in ("AB", "CD") if set(rows) <= set(there)] or choices
        return self.dice.choice(choices)

    def board(self) -> Tree:
        """One of the catalogue with some settings, or one described."""
        if self.dice.random() < 0.1:
            return {"board": {"describe": self.described()}}
        name = self.dice.choice(self.boards)
        about = entry("boards", name)
        made: Tree = {"board": name}
        known = about.get("settings") or []
        settings = {one["name"]: self.value(about, one) for one in known if self.dice.random() < 0.6}
        if self.wild and self.dice.random() < 0.1:
            settings["unheard-of"] = "777560"
        if settings := {key: value for key, value in settings.items() if value is not None}:
            made["settings"] = settings
        cpu = about.get("processor")
        if isinstance(cpu, dict) and self.dice.random() < 0.5:
            able = [name for name, how in cpu["options"].items() if how != "never" or self.wild]
            made["options"] = self.dice.sample(able, self.dice.randint(0, len(able)))
        if isinstance(about.get("rom"), dict) and self.dice.random() < 0.5:
            windows = plain(about["rom"]["windows"]) or ["773000"]
            roms = [one for one in names("roms") if self.wild or name in entry("roms", one)["boards"]]
            if roms:
                made["roms"] = {self.dice.choice(windows): self.dice.choice(roms)}
        return made

    def value(self, about: Tree, setting: Tree) -> str | None:
        """A value for a setting, mostly of the right type; None where only a wrong one comes to mind."""
        name, values = setting["name"], setting.get("values")
        if self.wild and self.dice.random() < 0.3:
            return self.dice.choice((*ADDRESSES, *VECTORS, *STARTS, *WORDS))
        if name == "start":
            return self.dice.choice(STARTS[:5] if isinstance(about.get("memory"), dict) else STARTS[:2])
        if isinstance(values, list):
            return str(self.dice.choice(values))
        usual = {"address": ADDRESSES[:10], "vector": VECTORS[:4], "baud": ("300", "9600")}
        if isinstance(about.get("rom"), dict) and name == "address":
            return None
        return self.dice.choice(usual[name]) if name in usual else None

    def described(self) -> Tree:
        """A board that nobody knows, more or less completely."""
        whole = {"height": self.dice.choice(("dual", "quad", "hex", "single")), "interrupts": "yes", "dma": "no",
                 "passes-grant": self.dice.choice(("yes", "no")), "amps": {"+5": self.dice.choice(("0", "1.5", "99"))},
                 "ac": "2", "dc": "1", "address": self.dice.choice(ADDRESSES[:8]), "words": "2",
                 "vector": self.dice.choice(VECTORS[:4]), "vectors": "2", "level": "4"}  # fmt: skip
        return {key: value for key, value in whole.items() if key == "height" or self.dice.random() < 0.7}

    def cable(self) -> Tree:
        """Something on a board, or on none."""
        there = self.places or ["main/u0/1"]
        made: Tree = {"from": self.dice.choice(there if not self.wild else [*there, "attic/z/9"]),
                      "to": self.dice.choice(("terminal", *CATALOGUE.ids("drives")))}  # fmt: skip
        if made["to"].startswith("term"):
            made |= {"line": str(self.dice.randint(0, 4)), "baud": self.dice.choice(("110", "9600"))}
        elif self.dice.random() < 0.7:
            made["unit"] = str(self.dice.randint(0, 9))
        if self.dice.random() < 0.5:
            made["cable"] = self.dice.choice(CATALOGUE.ids("cables"))
        return made
