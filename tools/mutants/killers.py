"""What can tell a core with a defect: trial cases, our test programs, property tests.  All on the reference core.

Each gives None, or in a few words what told it.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from random import Random

from mutants.defects import ROOT, Defect

sys.path[:0] = [str(ROOT / "tests" / "trials"), str(ROOT / "tests")]

import oracle_samples  # noqa: E402  # puts tests/cpu on the path

import cis_cases  # noqa: E402  # isort: skip
from cis_beside_oracle import CommercialBench  # noqa: E402
from program_rig import rig  # noqa: E402

import minisim.cpu._core as core  # noqa: E402
from minisim.catalogue.reader import Catalogue  # noqa: E402
from minisim.compare.select import chosen_cases  # noqa: E402
from minisim.cpu.profile import named  # noqa: E402
from minisim.known import Known  # noqa: E402
from minisim.trials.goals import Watcher  # noqa: E402
from minisim.trials.model import Case  # noqa: E402
from minisim.trials.own import Verdict, run_program  # noqa: E402
from minisim.trials.programs import TestProgram, names, program  # noqa: E402
from minisim.trials.runner import Bench  # noqa: E402
from minisim.trials.running.fitted import lacking  # noqa: E402

# Processors that have all modules between them, and differ much; the programs need no others.
PROFILES = (
    *("late-ttl-commercial", "late-single-chip-22bit", "chipset-one-level", "fast-ttl-cache", "chipset-four-level"),
    *("first-hardwired", "two-board-ttl-mmu", "microcoded-mid"),
)
KILOBYTES = {16: 56, 18: 128, 22: 128}  # by address bits: more than a program reaches without memory management
MOST = 40_000_000  # instructions of a program; a healthy one takes a quarter of it

# What the samples of the property tests are about, so that the right one comes first.
SAMPLE_OF = {"eis": "integers", "fis": "small_floats", "fpp": "floats", "cis": "commercial", "mmu": "mapped"}

Killer = Callable[[Defect], str | None]


def loaded_from() -> Path:
    """The file of the core in use."""
    return Path(core.__file__).resolve()


def prepare() -> None:
    """What all children share: machines, plans, programs."""
    for bench in _benches():
        for case in _cases():
            bench.result(case)
    for name in names():
        program(name)


@cache
def _benches() -> list[Bench]:
    catalogue = Catalogue()
    rest = [name for name in catalogue.ids("profiles") if name not in PROFILES]
    return [Bench(catalogue.profile(name), core="reference") for name in (*PROFILES, *rest)]


@cache
def _cases() -> list[Case]:
    return list(chosen_cases([]))


def cases(defect: Defect) -> str | None:
    """The trial cases on all profiles, those of the defect's module first."""
    for own in (True, False):
        here = [case for case in _cases() if (case.module == defect.module) is own]
        for bench in _benches():
            for case in here:
                if bench.result(case).status.differs:
                    return f"{case.id} on {bench.profile.id}"
    return None


def programs(defect: Defect) -> str | None:
    """Our test programs of the processor, on machines with a console line and memory."""
    tests = [program(name) for name in names()]
    tests = [test for test in tests if not test.device and not test.person]
    for test in sorted(tests, key=lambda each: defect.module not in (*each.needs, each.name)):
        for profile in PROFILES:
            if _fails(test, profile):
                return f"{test.name} on {profile}"
    return None


def _fails(test: TestProgram, profile: str) -> bool:
    machine = rig(profile, None, kb=KILOBYTES[_bits(profile)])
    if lacking(machine, test):
        return False
    machine.core = "reference"
    return run_program(machine, test, passes=1, limit=MOST).verdict is not Verdict.PASS


@cache
def _bits(profile: str) -> int:
    bits = named(profile).address_bits
    return bits.peek if isinstance(bits, Known) else 16


def suspended(watcher: Watcher) -> None:
    """CIS strings, interrupted anywhere, against plain Python; the watcher sees nothing of it."""
    for name in sorted(cis_cases.STRINGS):
        rng, bench = Random(f"{name} suspended"), CommercialBench(fast=False)
        for _ in range(100):
            bench.check(cis_cases.case_of(rng, name))


def properties(defect: Defect) -> str | None:
    """Samples of the random cases that executable specification and oracles judge."""
    watcher = Watcher()
    for sample in _samples(defect):
        try:
            sample(watcher)
        except AssertionError:
            return sample.__name__
    return None


def _samples(defect: Defect) -> Iterator[Callable[[Watcher], None]]:
    first = SAMPLE_OF.get(defect.module)
    yield from sorted((*oracle_samples.SAMPLES, suspended), key=lambda each: each.__name__ != first)


KILLERS: dict[str, Killer] = {"cases": cases, "programs": programs, "properties": properties}
"""In the order in which they are tried."""
