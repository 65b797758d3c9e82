"""Random tables for the engine of the devices: legal, and so narrow that everything meets everything."""

from __future__ import annotations

import random

from minisim.cpu._core import lib

from .engine_rules import Row

MASKS = (0, 1, 2, 4, 8, 3, 12, 15, 0o200, 0o377, 0o400, 0o177400, 0o177777)
REGISTER_OPS = (lib.MS_DO_SET, lib.MS_DO_CLEAR, lib.MS_DO_COPY, lib.MS_DO_STORE, lib.MS_DO_COUNT)
TIMER_OPS = (lib.MS_DO_ARM, lib.MS_DO_ARM_IDLE, lib.MS_DO_DISARM)
LINE_OPS = (lib.MS_DO_REQUEST, lib.MS_DO_CANCEL)


class Maker:
    """Tables from one source of chance.  `large`: dozens of everything."""

    def __init__(self, chance: random.Random, large: bool) -> None:
        self.chance = chance
        low, high = (8, 40) if large else (1, 5)
        self.registers, self.timers, self.lines = (chance.randint(low, high) for _ in range(3))
        self.rings, self.devices = 2, chance.randint(1, 3)
        self.effects: list[Row] = []

    def mask(self) -> int:
        return self.chance.choice(MASKS)

    def tables(self) -> dict[str, list[Row]]:
        """All rows; every field that the rules know of is there."""
        rows = {
            "registers": [self.register() for _ in range(self.registers)],
            "timers": [self.timer() for _ in range(self.timers)],
            "lines": [self.line() for _ in range(self.lines)],
            "rings": [self.ring() for _ in range(self.rings)],
            "devices": [self.device() for _ in range(self.devices)],
        }
        return {**rows, "effects": self.effects}

    def list_of_effects(self, name: str, most: int = 4) -> Row:
        """A list of effects under the two names that a row has for it."""
        first, count = len(self.effects), self.chance.choice((0, 1, 1, 2, most))
        self.effects += [self.effect() for _ in range(count)]
        return {name: first if count else -1, f"{name}_count": count}

    def effect(self) -> Row:
        chance = self.chance
        kinds = (REGISTER_OPS, REGISTER_OPS, TIMER_OPS, LINE_OPS, (lib.MS_DO_TAKE, lib.MS_DO_PUT), ())
        kind = chance.choices(kinds, weights=(4, 4, 6, 4, 2, 1))[0]
        op = chance.choice(kind or (lib.MS_DO_NOTHING, lib.MS_DO_HALT, lib.MS_DO_CALL))
        index, source = chance.randrange(self.registers), chance.randrange(self.registers)
        if op in TIMER_OPS:
            index = chance.randrange(self.timers)
        elif op in LINE_OPS:
            index = chance.randrange(self.lines)
        elif op == lib.MS_DO_PUT:
            index = chance.randrange(self.rings)
        elif op == lib.MS_DO_TAKE:
            source = chance.randrange(self.rings)
        guards = chance.choice((0, 0, 0, 1, 1, 2, 3))
        return {
            "op": op, "index": index, "from": source, "mask": self.mask(), "guards": guards,
            "guard": [self.guard() for _ in range(guards)],
        }  # fmt: skip

    def guard(self) -> Row:
        kind = self.chance.randint(lib.MS_IF_ALWAYS, lib.MS_IF_RING_EMPTY)
        of_ring = kind in (lib.MS_IF_RING_HAS, lib.MS_IF_RING_EMPTY)
        mask = self.mask()
        value = self.chance.choice((0, mask, mask & self.mask()))
        index = self.chance.randrange(self.rings if of_ring else self.registers)
        return {"kind": kind, "index": index, "mask": mask, "value": value}

    def register(self) -> Row:
        chance = self.chance
        return {
            "value": self.mask(), "power": self.mask(), "reset": self.mask(), "keep": self.mask(),
            "readable": chance.choice((0o177777, self.mask())), "writable": chance.choice((0o177777, self.mask())),
            "answers": chance.choice((3, 3, 3, 1, 2)), "device": chance.randrange(self.devices),
            "reads": 0, "writes": 0,
            **(self.list_of_effects("on_look") if chance.random() < 0.2 else {"on_look": -1, "on_look_count": 0}),
            **self.list_of_effects("on_read"), **self.list_of_effects("on_write"),
        }  # fmt: skip

    def timer(self) -> Row:
        chance, made = self.chance, self.list_of_effects("first")
        return {
            "due": chance.choice((lib.MS_NEVER, 100 * chance.randint(0, 30))),
            "delay": chance.choice((100, 200, 300, 500, 1000, chance.randint(100, 2000))),
            "period": chance.choice((0, 0, 100, 300, 1000, chance.randint(100, 2000))),
            "first": made["first"], "count": made["first_count"], "device": chance.randrange(self.devices),
            "survives_init": chance.randint(0, 1), "runs_at_power_up": chance.randint(0, 1),
        }  # fmt: skip

    def line(self) -> Row:
        chance = self.chance
        return {
            "flag_register": chance.randrange(self.registers), "flag_mask": chance.choice((0o377, self.mask())),
            "enable_register": chance.randrange(self.registers), "enable_mask": chance.choice((0, 0o377, self.mask())),
            "vector": 4 * chance.randrange(lib.MS_VECTORS), "device": chance.randrange(self.devices),
            "order": chance.choice((0, 1, 1, 2, 3, 65_535)), "level": chance.randint(4, 7),
            "granted": int(chance.random() < 0.8), "edge_only_request": int(chance.random() < 0.3),
            "condition": chance.randint(0, 1), "pending": chance.randint(0, 1), "taken": 0, "refused": 0,
            **self.list_of_effects("on_acknowledge", 2),
        }  # fmt: skip

    def ring(self) -> Row:
        return {"device": 0, "is_output": 0, "total": 0, "lost": 0, **self.list_of_effects("on_fill")}

    def device(self) -> Row:
        return {**self.list_of_effects("on_init", 2), **self.list_of_effects("on_power", 2)}
