"""Samples of the random cases that the oracles judge, with somebody watching each instruction of the core.

The cases are those of the tests themselves, from a fixed seed; a difference fails here as it does there.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from pathlib import Path
from random import Random
from types import ModuleType
from typing import Any
from unittest.mock import patch

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE / "cpu")]

import cis_cases  # noqa: E402
import fpp_cases  # noqa: E402
import mmu_cases  # noqa: E402
import test_eis  # noqa: E402
import test_fis  # noqa: E402
from cis_beside_oracle import CommercialBench  # noqa: E402
from mmu_facts import MANAGED  # noqa: E402
from specification.adapter import CoreDriver  # noqa: E402
from specification.compare import Pair  # noqa: E402
from specification.generate import machine_state  # noqa: E402
from specification.profiles import profile_ids  # noqa: E402

from minisim.cpu import handle  # noqa: E402
from minisim.cpu._core import lib  # noqa: E402
from minisim.trials.goals import Watcher  # noqa: E402

SIZE = 0o20000
STATES, EIS, FIS, FPP, CIS, MAPPED = 1200, 1000, 300, 300, 400, 500  # cases of each sample, decimal


class Watched:
    """The compiled core, but that it runs one instruction at a time under a watcher, on the reference core."""

    def __init__(self, watcher: Watcher) -> None:
        self.watcher = watcher

    def __getattr__(self, name: str) -> Any:
        return getattr(lib, name)

    def ms_one_ahead(self, raw: Any) -> int:
        """Nothing is left to the handlers of the fast core."""
        return 0

    def ms_run(self, raw: Any, limit: int) -> int:
        """As the core's, for the few instructions of a case."""
        stop = int(lib.MS_STOP_LIMIT)
        for _ in range(limit):
            stop = self.watcher.step(raw)
            if stop != lib.MS_STOP_LIMIT:
                break
        return stop


@contextmanager
def watching(watcher: Watcher, *modules: ModuleType) -> Iterator[None]:
    """These modules run the core under the watcher."""
    with ExitStack() as stack:
        for module in modules:
            stack.enter_context(patch.object(module, "lib", Watched(watcher)))
        yield


def specification(watcher: Watcher, states: int = STATES) -> None:
    """Single instructions of every profile from random states, against the executable specification."""

    class Driver(CoreDriver):
        def step(self) -> str:
            names = {lib.MS_STOP_HALTED: "halted", lib.MS_STOP_WAITING: "waiting"}
            stop = names.get(watcher.step(self.machine._raw), "")
            self.stopped = bool(stop)
            return stop

    for name in profile_ids():
        pair = Pair(name, SIZE, core=Driver)
        for number in range(states):
            rng = Random(f"{name} goals {number}")
            pair.run(machine_state(rng, pair.spec.profile, SIZE), 1, quick=True)


def integers(watcher: Watcher, count: int = EIS) -> None:
    """EIS against exact integers."""
    with watching(watcher, test_eis):
        for code in test_eis.NAMES:
            test_eis.random_cases(test_eis.Bench(lib.MS_CORE_REFERENCE), code, count, seed=code)
            test_eis.test_extremes_with_extremes(code, lib.MS_CORE_REFERENCE)
            test_eis.test_the_operand_is_found_in_every_mode(code, lib.MS_CORE_REFERENCE)


def small_floats(watcher: Watcher, count: int = FIS) -> None:
    """FIS against exact fractions."""
    with watching(watcher, handle):
        for act in range(len(test_fis.NAMES)):
            test_fis.random_cases(act, count, seed=act)


def floats(watcher: Watcher, count: int = FPP) -> None:
    """FPP against exact fractions, with the unit that traps at once and with a parallel one."""
    with watching(watcher, fpp_cases):
        for profile in (fpp_cases.PROFILE, fpp_cases.PARALLEL[0]):
            bench = fpp_cases.FloatBench(profile)
            for act in range(len(fpp_cases.KINDS)):
                rng = Random(f"{profile} goals {act}")
                for _ in range(count):
                    bench.check(fpp_cases.case_of(rng, act))


def mapped(watcher: Watcher, count: int = MAPPED) -> None:
    """Memory management against its oracle."""
    with watching(watcher, mmu_cases):
        for profile in MANAGED:
            for kind in (mmu_cases.REFERENCES, mmu_cases.WHOLE_INSTRUCTIONS):
                mmu_cases.run_cases(profile, count, f"{profile} goals", kind)


def commercial(watcher: Watcher, count: int = CIS) -> None:
    """CIS against plain Python, uninterrupted: the watcher looks at whole instructions."""
    with watching(watcher, handle):
        for name in cis_cases.NAMES:
            rng, bench = Random(f"{name} goals"), CommercialBench()
            for number in range(count):
                bench.check(replace(cis_cases.case_of(rng, name, number % 2 > 0), dues=()))


SAMPLES = (specification, integers, small_floats, floats, mapped, commercial)


def watch_all(watcher: Watcher) -> None:
    """Every sample."""
    for sample in SAMPLES:
        sample(watcher)
