"""What the core is asked to reach, as data; the report says beside each whether it did.  Nothing fails over them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Target:
    """One row: at least, or at most, `bound`; `value` is None where nothing was measured, and `why` says why.

    `later`: what is known of the next stage, said where this one does not reach the target.
    """

    what: str
    bound: float
    value: float | None
    at_least: bool = True
    unit: str = "x"
    why: str = ""
    later: str = ""

    @property
    def wanted(self) -> str:
        """The bound as text."""
        return f"{'at least' if self.at_least else 'at most'} {self.bound:g}{self.unit}"

    @property
    def measured(self) -> str:
        """The figure as text."""
        return "-" if self.value is None else f"{self.value:.2f}{self.unit}"

    @property
    def verdict(self) -> str:
        """Reached or not."""
        if self.value is None:
            return f"not measured: {self.why}"
        reached = self.value >= self.bound if self.at_least else self.value <= self.bound
        return "reached" if reached else f"not reached{'; ' if self.later else ''}{self.later}"


# What the spike of the next stage says (docs/design/dispatch.md, there measured): times as fast as the fast core.
BLOCKS = {"sieve": 1.85, "copy": 1.5, "rmw": 2.0, "mul": 1.7, "reg": 2.0, "mix": 1.4}
NO_PLAIN_INTERPRETER = "nor would a plain switch of 5.7 ns an instruction: some 75x"
ONLY_PYTHON = "what is left is the call from Python"


def spike(name: str) -> str:
    """What the spike says of a workload."""
    return f"the spike of decoded blocks: {BLOCKS[name]:g} times as fast as this core"


AGAINST_LIBRARY = {"sieve": 5.0, "copy": 2.5, "rmw": 5.0, "mul": 1.1, "reg": 0.4}  # times as fast
AGAINST_NATIVE = {"sieve": 15.0, "copy": 20.0, "rmw": 6.0, "mul": 30.0, "reg": 10.0}  # times as slow
MEAN_AGAINST_LIBRARY = 2.0
CALLS_AGAINST_LIBRARY = 10.0
REFERENCE_AGAINST_NATIVE = TABLE_AGAINST_NATIVE = 30.0  # sieve
TABLE_MIX, MIX = 2.5, 5.0  # against the reference core: of the handler table, and of what comes after it
CLOCK = 1.03
MAPPED = 1.3
START_MS, START_RATIO = 150.0, 3.0
CHECK_MS, CHECK_START_MS, CHECK_START_RATIO = 50.0, 150.0, 3.0
MEMORY_MB = 60.0
