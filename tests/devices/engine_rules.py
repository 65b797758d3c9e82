"""The rules of the engine of the devices in plain Python, written from what machine.h and engine.c say they are.

Nothing is kept in order here and nothing is remembered: for each question all timed actions and all lines are looked
at, so that this and the core have no short cut in common.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from minisim.cpu._core import lib

Row = dict[str, Any]
WORD = 0o177777


@dataclass(frozen=True, slots=True)
class Cycle:
    """The bus cycle that sets effects off; outside of a cycle there is no register, and nothing is written."""

    register: int | None = None
    before: int = 0
    data: int = 0
    lanes: int = 0


OUTSIDE = Cycle()


class Rules:
    """One machine.  The rows are those of the core's tables and are changed as the machine changes."""

    def __init__(self, tables: dict[str, list[Row]], one_level: bool, call: Callable[[Rules, int, int], None]) -> None:
        self.registers, self.effects, self.timers = tables["registers"], tables["effects"], tables["timers"]
        self.lines, self.rings, self.devices = tables["lines"], tables["rings"], tables["devices"]
        self.contents: list[list[int]] = [[] for _ in self.rings]
        self.one_level, self.call = one_level, call
        self.time, self.serving, self.pause = 0, lib.MS_NEVER, lib.MS_NEVER
        self.halted = self.paused = False
        self.request_line, self.request_level = -1, 0

    # --- requests ---

    def enabled(self, line: Row) -> bool:
        """No mask means always."""
        return not line["enable_mask"] or bool(self.registers[line["enable_register"]]["value"] & line["enable_mask"])

    def ask(self, line: Row) -> None:
        """The line waits for a grant; where none can come, that is counted."""
        line["pending"] = 1
        line["refused"] += not line["granted"]

    def settle(self) -> None:
        """The rising edge of flag and enable asks; without them there is no request; the best of all is chosen."""
        for line in self.lines:
            enabled = self.enabled(line)
            flag = bool(self.registers[line["flag_register"]]["value"] & line["flag_mask"])
            stands = enabled if line["edge_only_request"] else enabled and flag
            if not line["edge_only_request"]:
                if stands and not line["condition"]:
                    self.ask(line)
                line["condition"] = int(stands)
            if not stands:
                line["pending"] = 0
        self.choose()

    def choose(self) -> None:
        """The highest level, then the place nearest the processor, then the lower number; with one level the place."""
        waiting = [n for n, line in enumerate(self.lines) if line["pending"] and line["granted"]]
        key = {n: (0 if self.one_level else -self.lines[n]["level"], self.lines[n]["order"], n) for n in waiting}
        self.request_line = min(waiting, key=key.__getitem__, default=-1)
        self.request_level = 0
        if self.request_line >= 0:
            self.request_level = 4 if self.one_level else self.lines[self.request_line]["level"]

    # --- effects ---

    def holds(self, guard: Row, cycle: Cycle) -> bool:
        """One condition of an effect."""
        mask, value, kind = guard["mask"], guard["value"], guard["kind"]
        now = 0 if cycle.register is None else self.registers[cycle.register]["value"]
        before = 0 if cycle.register is None else cycle.before
        if kind in (lib.MS_IF_VALUE, lib.MS_IF_NOT_VALUE):
            is_so = bool(self.registers[guard["index"]]["value"] & mask == value)
            return is_so if kind == lib.MS_IF_VALUE else not is_so
        if kind in (lib.MS_IF_RING_HAS, lib.MS_IF_RING_EMPTY):
            return bool(self.contents[guard["index"]]) is bool(kind == lib.MS_IF_RING_HAS)
        held: dict[int, bool] = {
            lib.MS_IF_ALWAYS: True,
            lib.MS_IF_WRITTEN: cycle.lanes & mask == mask and cycle.data & mask == value,
            lib.MS_IF_TOUCHED: bool(cycle.lanes & mask),
            lib.MS_IF_ROSE: bool(now & ~before & mask),
            lib.MS_IF_FELL: bool(before & ~now & mask),
        }
        return held[kind]

    def run(self, first: int, count: int, cycle: Cycle = OUTSIDE) -> None:
        """Effects in their order; each sees what the earlier ones did."""
        for effect in self.effects[first : first + count]:
            if all(self.holds(guard, cycle) for guard in effect["guard"][: effect["guards"]]):
                self.perform(effect, cycle)

    def perform(self, effect: Row, cycle: Cycle) -> None:
        """One act."""
        op, index, source, mask = effect["op"], effect["index"], effect["from"], effect["mask"]
        if op in (lib.MS_DO_ARM, lib.MS_DO_ARM_IDLE, lib.MS_DO_DISARM):
            self.start_or_stop(op, self.timers[index])
        elif op == lib.MS_DO_REQUEST:
            if self.enabled(self.lines[index]):
                self.ask(self.lines[index])
        elif op == lib.MS_DO_CANCEL:
            self.lines[index]["pending"] = 0
        elif op == lib.MS_DO_PUT:
            self.contents[index].append(self.registers[source]["value"] & mask & 0o377)
            self.rings[index]["total"] += 1
        elif op == lib.MS_DO_HALT:
            self.halted = True
        elif op == lib.MS_DO_CALL:
            self.call(self, index, cycle.data)
        elif op != lib.MS_DO_NOTHING:
            self.change(op, index, source, mask, cycle)

    def change(self, op: int, index: int, source: int, mask: int, cycle: Cycle) -> None:
        """An act on the bits of a register."""
        bits = {lib.MS_DO_SET: WORD, lib.MS_DO_CLEAR: 0, lib.MS_DO_STORE: cycle.data}.get(op)
        if op == lib.MS_DO_COPY:
            bits = self.registers[source]["value"]
        elif op == lib.MS_DO_TAKE:
            bits = self.contents[source].pop(0) if self.contents[source] else 0
        elif op == lib.MS_DO_STORE:
            mask &= cycle.lanes
        elif op == lib.MS_DO_COUNT:
            bits, mask = self.merged_sum(index, mask), WORD
        assert bits is not None
        self.merge(self.registers[index], mask, bits)

    def merged_sum(self, index: int, amount: int) -> int:
        """A register after it counted."""
        return int(self.registers[index]["value"] + amount) % (WORD + 1)

    def start_or_stop(self, op: int, timer: Row) -> None:
        """An act on a timed action; `now` is the due time of the action being served, if there is one."""
        now = self.time if self.serving == lib.MS_NEVER else self.serving
        if op == lib.MS_DO_DISARM:
            timer["due"] = lib.MS_NEVER
        elif op == lib.MS_DO_ARM or timer["due"] == lib.MS_NEVER:
            timer["due"] = min(now + timer["delay"], lib.MS_NEVER)

    @staticmethod
    def merge(register: Row, mask: int, bits: int) -> None:
        """Bits of a mask become those of `bits`."""
        register["value"] = (register["value"] & ~mask | bits & mask) & WORD

    # --- what comes from outside ---

    def read(self, index: int) -> int | None:
        """A read cycle; None: no answer."""
        register = self.registers[index]
        if not register["answers"] & 1:
            return None
        if register["on_look_count"]:
            self.run(register["on_look"], register["on_look_count"], Cycle(index, register["value"]))
            self.settle()
        seen = int(register["value"] & register["readable"])
        register["reads"] += 1
        if register["on_read_count"]:
            self.run(register["on_read"], register["on_read_count"], Cycle(index, register["value"]))
            self.settle()
        return seen

    def write(self, index: int, data: int, lanes: int) -> bool:
        """A write cycle of a word or of a byte in its place."""
        register = self.registers[index]
        if not register["answers"] & 2:
            return False
        cycle = Cycle(index, register["value"], data, lanes)
        self.merge(register, register["writable"] & lanes, data)
        register["writes"] += 1
        self.run(register["on_write"], register["on_write_count"], cycle)
        self.settle()
        return True

    def do(self, first: int, count: int) -> None:
        """Effects that the host sets off."""
        if 0 <= first <= len(self.effects) - count and count >= 0:
            self.run(first, count)
            self.settle()

    def feed(self, ring: int, data: bytes) -> None:
        """Bytes from the host; the first ones in an empty ring set its effects off."""
        empty, row = not self.contents[ring], self.rings[ring]
        self.contents[ring] += data
        row["total"] += len(data)
        if data and empty:
            self.do(row["on_fill"], row["on_fill_count"])

    def serve(self) -> None:
        """All that is due, in the order of the due times; of equal times the lower number first."""
        while (due := min((t["due"] for t in self.timers), default=lib.MS_NEVER)) <= self.time and due != lib.MS_NEVER:
            timer = next(t for t in self.timers if t["due"] == due)
            timer["due"] = min(due + timer["period"], lib.MS_NEVER) if timer["period"] else lib.MS_NEVER
            self.serving = due
            self.run(timer["first"], timer["count"])
            self.serving = lib.MS_NEVER
            self.settle()
        if self.time >= self.pause:
            self.pause, self.paused = lib.MS_NEVER, True

    def next_due(self) -> int:
        """When something comes, if only the pause of the host."""
        due: list[int] = [self.pause, *(timer["due"] for timer in self.timers)]
        return min(due)

    def acknowledge(self, index: int) -> int:
        """The grant arrives: the vector."""
        line = self.lines[index]
        line["pending"], line["taken"] = 0, line["taken"] + 1
        self.run(line["on_acknowledge"], line["on_acknowledge_count"])
        self.settle()
        return int(line["vector"])

    def initialise(self) -> None:
        """Registers to their reset values, actions that do not survive it stopped, requests taken back."""
        for register in self.registers:
            self.merge(register, WORD & ~register["keep"], register["reset"])
        for timer in self.timers:
            if not timer["survives_init"]:
                timer["due"] = lib.MS_NEVER
        for line in self.lines:
            line["pending"] = 0
        for device in self.devices:
            self.run(device["on_init"], device["on_init_count"])
        self.settle()

    def power_up(self) -> None:
        """Power-up values, initialise, and what runs from power-up on."""
        for register in self.registers:
            register["value"] = register["power"]
        for timer in self.timers:
            timer["due"] = lib.MS_NEVER
        for line in self.lines:
            line["condition"] = 0
        self.initialise()
        for timer in self.timers:
            if timer["runs_at_power_up"]:
                timer["due"] = min(self.time + (timer["period"] or timer["delay"]), lib.MS_NEVER)
        for device in self.devices:
            self.run(device["on_power"], device["on_power_count"])
        self.settle()
