"""Specification and core side by side, step by step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from .adapter import CoreDriver, Driver, SpecDriver, State
from .codes import whole_table
from .outcomes import Step, Undefined


@dataclass
class Tally:
    """How much was compared."""

    steps: int = 0
    loose: int = 0
    undefined: int = 0
    stops: int = 0


class Pair:
    """Both machines of a profile."""

    def __init__(self, profile_id: str, size: int, *, core: Callable[[str, int], Driver] = CoreDriver) -> None:
        self.profile_id, self.size, self.make_core = profile_id, size, core
        self.spec = SpecDriver(profile_id, size)
        self.core = core(profile_id, size)
        self.tally = Tally()

    def run(self, start: State, limit: int, *, quick: bool = False) -> None:
        """Run both from one state.  AssertionError tells the first step that differs.

        Quick: memory is compared only at the end, and a difference is then looked for again step by step.
        """
        try:
            self._steps(start, limit, memory=not quick)
        except AssertionError:
            self.core = self.make_core(self.profile_id, self.size)
            if quick:
                self._steps(start, limit, memory=True)
            raise

    def _steps(self, start: State, limit: int, *, memory: bool) -> None:
        self.spec.put(start)
        self.core.put(start)
        spec_traps, core_traps = self.spec.traps(), self.core.traps()
        before = start
        for _ in range(limit):
            try:
                stop = self.spec.step()
            except Undefined:
                self.tally.undefined += 1
                if self.spec.last_step_wrote():
                    return
                break
            before = self._compare_step(before, stop, memory=memory)
            if stop:
                self._renew()
                if stop == "halted" and self.spec.last.traps:
                    return  # a stack that can't take a trap (D19): no document names what the halt leaves
                break
        assert self.spec.take().memory == self.core.take().memory, f"{self.profile_id}: memory at the end differs"
        assert self.spec.traps() - spec_traps == self.core.traps() - core_traps, (
            f"{self.profile_id}: traps by vector differ"
        )

    def _compare_step(self, before: State, stop: str, *, memory: bool) -> State:
        core_stop = self.core.step()
        if stop == "waiting" and not core_stop:
            core_stop = self.core.step()  # that nothing can end the wait shows when the machine is to go on
        last = self.spec.last
        for loose in last.loose:
            self.spec.adopt(loose, self.core)
        self.tally.steps += 1
        self.tally.loose += len(last.loose)
        expected, found = self.spec.take(memory=memory), self.core.take(memory=memory)
        settled = not (stop == "halted" and last.traps)
        if stop != core_stop or (settled and expected != found):
            raise AssertionError(told(self.profile_id, before, last, expected, found, stop, core_stop))
        return found

    def _renew(self) -> None:
        """A stopped core is used for its last comparison and not again."""
        self.tally.stops += 1


def octal(values: list[int]) -> str:
    """Registers in a row."""
    return " ".join(f"{value:06o}" for value in values)


def shown(state: State) -> str:
    """A state in two lines."""
    return (
        f"PC {state.pc:06o} PS {state.ps:06o} SP {octal(state.stacks)}\n"
        f"      set 0 {octal(state.sets[0])}  set 1 {octal(state.sets[1])}"
    )


def memory_differences(expected: bytes, found: bytes) -> str:
    """The first words of memory that differ."""
    if expected == found:
        return "memory equal"
    places = [at for at in range(0, min(len(expected), len(found)), 2) if expected[at : at + 2] != found[at : at + 2]]
    words = [
        f"{at:06o}: expected {int.from_bytes(expected[at : at + 2], 'little'):06o} "
        f"found {int.from_bytes(found[at : at + 2], 'little'):06o}"
        for at in places[:6]
    ]
    return "memory differs at " + "; ".join(words)


def words_at(state: State) -> str:
    """The instruction words at PC, and who owns the first."""
    at = state.pc & ~1
    words = [int.from_bytes(state.memory[at + n : at + n + 2], "little") for n in (0, 2, 4)]
    row = whole_table()[words[0]] if at < len(state.memory) else None
    return f"{octal(words)} ({row.name(words[0]) if row else 'nobody'})"


def told(profile_id: str, before: State, last: Step, expected: State, found: State, stop: str, core_stop: str) -> str:
    """A difference for a person."""
    return "\n".join(
        (
            f"{profile_id}: {words_at(before) if before.memory else ''} {last.name}",
            f"traps {[f'{v:o}' for v in last.traps]}  left open {last.loose}",
            f"before   {shown(before)}",
            f"expected {shown(expected)} {stop}",
            f"found    {shown(found)} {core_stop}",
            memory_differences(expected.memory, found.memory),
        )
    )
