"""Runs cases on profiles."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from minisim.catalogue.model import Profile
from minisim.catalogue.reader import Catalogue
from minisim.compare.report import Comparison
from minisim.trials.model import Case, Result
from minisim.trials.reader import read_set
from minisim.trials.runner import Bench

Progress = Callable[[int, int], None]
"""Called with how many results there are, and how many there will be."""


def compare(
    cases: Iterable[Case] | None = None,
    profiles: Iterable[Profile | str] | None = None,
    options: Iterable[str] | None = None,
    *,
    catalogue: Catalogue | None = None,
    core: str = "fast",
    progress: Progress | None = None,
) -> Comparison:
    """Run cases (None: all that come with the project) on profiles (None: all of the catalogue).

    A profile is an id of the catalogue or a profile itself, which need not stand in it.  `options` are fitted as far as
    a profile can have them; None: every one.  `core` is "fast" or "reference".  InputError: the cases can't be read;
    NotInCatalogueError: there is no such profile.
    """
    catalogue = catalogue or Catalogue()
    chosen = tuple(read_set().cases if cases is None else cases)
    found = [_profile(each, catalogue) for each in (catalogue.ids("profiles") if profiles is None else profiles)]
    wanted = None if options is None else tuple(sorted(set(options)))
    columns: list[Sequence[Result]] = []
    for number, profile in enumerate(found):
        bench = Bench(profile, wanted, core=core)
        columns.append([bench.result(case) for case in chosen])
        if progress is not None:
            progress((number + 1) * len(chosen), len(found) * len(chosen))
    results = {case.id: tuple(column[row] for column in columns) for row, case in enumerate(chosen)}
    return Comparison(chosen, tuple(profile.id for profile in found), wanted, results)


def _profile(profile: Profile | str, catalogue: Catalogue) -> Profile:
    return catalogue.profile(profile) if isinstance(profile, str) else profile
