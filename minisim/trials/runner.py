"""Runs trial cases: one machine for each profile, set of options and size of memory, set up anew for every case."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from minisim.catalogue.model import Profile
from minisim.cpu._core import ffi, lib
from minisim.cpu.profile import Configuration, available, configuration, unbuilt
from minisim.known import Known
from minisim.trials.goals import Watcher
from minisim.trials.model import Case, Difference, Evidence, Line, Result, Status
from minisim.trials.plan import Plan
from minisim.trials.rig import NotFitted, Rig
from minisim.trials.scope import LATER_BASE
from minisim.trials.static import static_differences

LATER = ("sob", "mark", "sxt", "xor", "rtt")
USUAL_KB = {16: 56, 18: 248, 22: 256}
"""Memory where a case does not say how much, by address bits; more where it names more."""

MOST_BYTES = {16: 0o160000, 18: 0o760000, 22: 0o17760000}


@lru_cache(maxsize=8192)
def plan_of(line: Line) -> Plan:
    """The plan of a line, made once."""
    return Plan(line)


class Bench:
    """All machines of one profile.

    `options` are those fitted, as far as the profile can have them; None: all that it can have, less those that a case
    must do without.  A `watcher` sees every instruction, which then run one by one.
    """

    def __init__(
        self,
        profile: Profile,
        options: Iterable[str] | None = None,
        *,
        core: str = "fast",
        watcher: Watcher | None = None,
    ) -> None:
        self.profile = profile
        self.core, self.watcher = core, watcher
        self.options = None if options is None else frozenset(options) & frozenset(available(profile))
        self._configurations: dict[frozenset[str], Configuration] = {}
        self._unbuilt: dict[frozenset[str], tuple[str, ...]] = {}
        self._machines: dict[tuple[frozenset[str], int], Rig] = {}

    def result(self, case: Case) -> Result:
        """Run one case, or say why it can't be run."""
        line = case.line_for(self.profile.id)
        plan = plan_of(line or case.lines[0])
        try:
            chosen = self._configuration(plan)
            if line is None:
                return Result(case, self.profile.id, Status.NOT_DOCUMENTED)
            differences = static_differences(plan) if plan.is_static else self._rig(chosen, plan).run(plan)
        except NotFitted as lacking:
            return Result(case, self.profile.id, Status.NOT_FITTED, line, reason=str(lacking))
        return Result(case, self.profile.id, _status(line, differences), line, differences)

    def _configuration(self, plan: Plan) -> Configuration:
        """The processor with what the case wants fitted.  NotFitted: it can't be had."""
        possible = available(self.profile)
        wanted = plan.options
        if wanted is None:
            wanted = self.options if self.options is not None else frozenset(possible) - set(plan.line.without)
        if lacking := wanted - set(possible):
            raise NotFitted(f"{self.profile.id} can't have {', '.join(sorted(lacking))}")
        chosen = self._configurations.get(wanted)
        if chosen is None:
            chosen = self._configurations[wanted] = configuration(self.profile, wanted)
            self._unbuilt[wanted] = unbuilt(chosen)
        self._check(plan.line, chosen, self._unbuilt[wanted])
        return chosen

    def _check(self, line: Line, chosen: Configuration, missing: tuple[str, ...]) -> None:
        fitted = fitted_modules(chosen.modules)
        for module in _plain(line.needs):
            if module in missing:
                raise NotFitted(f"{module} is not built in this version")
            if module not in fitted and module not in chosen.options:
                raise NotFitted(f"{module} is not fitted")
        for module in _plain(line.without):
            if module in fitted:
                raise NotFitted(f"{module} is always fitted" if module not in chosen.options else f"{module} is fitted")

    def _rig(self, chosen: Configuration, plan: Plan) -> Rig:
        size = self._size(plan)
        rig = self._machines.get((chosen.options, size))
        if rig is None:
            rig = self._machines[chosen.options, size] = Rig(
                chosen, self._bits, size, self.core, self.watcher
            )
        return rig

    @property
    def _bits(self) -> int:
        bits = self.profile.address_bits
        return bits.peek if isinstance(bits, Known) else 16

    def _size(self, plan: Plan) -> int:
        most, bits = MOST_BYTES[self._bits], self._bits
        if plan.memory_kb is not None:
            if plan.memory_kb * 1024 > most:
                raise NotFitted(f"{plan.memory_kb} KB of memory can't be fitted")
            return plan.memory_kb * 1024
        usual = min(USUAL_KB[bits] * 1024, most)
        return usual if plan.top <= usual else most


def _plain(modules: Iterable[str]) -> list[str]:
    return [name for module in modules for name in (LATER if module == LATER_BASE else (module,))]


@lru_cache(maxsize=256)
def fitted_modules(bits: int) -> frozenset[str]:
    """The names of the modules in a bit set."""
    names: list[str] = []
    while (name := lib.ms_module_name(len(names))) != ffi.NULL:
        names.append(ffi.string(name).decode("ascii").lower().replace("_", "-"))
    return frozenset(name for number, name in enumerate(names) if bits >> number & 1)


def _status(line: Line, differences: tuple[Difference, ...]) -> Status:
    if line.evidence is Evidence.UNCONFIRMED:
        return Status.DIFFERS_UNCONFIRMED if differences else Status.AGREES_UNCONFIRMED
    return Status.DIFFERS if differences else Status.AGREES
