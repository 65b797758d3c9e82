"""What a user asks for, found: cases by id, table, file of the set or a file of their own; profiles; options."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from minisim.catalogue.reader import Catalogue
from minisim.cpu.profile import available
from minisim.problems import InputError, nearest
from minisim.trials.model import Case
from minisim.trials.reader import CaseSet, read_file, read_set

NONE = "none"
_ENDINGS = (".yaml", ".yml")


class SelectionError(ValueError):
    """There is no such case, profile or option; the message names the nearest."""


def chosen_cases(words: Sequence[str], of: CaseSet | None = None) -> tuple[Case, ...]:
    """The cases that words name, each once, in the order of the words; no words: all of them.

    InputError: a file can't be used.  SelectionError: there is no such case.
    """
    known = read_set() if of is None else of
    if not words:
        return known.cases
    found: dict[str, Case] = {}
    for word in words:
        for case in _cases(word, known):
            if found.setdefault(case.id, case) is not case:
                raise SelectionError(f'two files have a case "{case.id}"; compare one after the other')
    return tuple(found.values())


def _cases(word: str, known: CaseSet) -> tuple[Case, ...]:
    if word.endswith(_ENDINGS) and Path(word).is_file():
        return read_file(word).cases
    stem = Path(word).stem if word.endswith(_ENDINGS) else word
    for file in known.files:
        if file.name == stem:
            return file.cases
    cases = [case for file in known.files for case in file.cases]
    found = tuple(case for case in cases if word in (case.id, case.table))
    if found:
        return found
    broken = [problem for problem in known.problems if Path(problem.mark.file).stem == stem]
    if broken or known.problems:
        raise InputError(broken or known.problems)
    names = [*(file.name for file in known.files), *dict.fromkeys(case.table for case in cases)]
    near = nearest(word, [case.id for case in cases] if "/" in word else names)
    raise SelectionError(f'there is no case, table or file "{word}"{near}')


def chosen_profiles(words: Iterable[str], catalogue: Catalogue) -> tuple[str, ...]:
    """The profiles named, each once; none named: all.  SelectionError: there is no such profile."""
    known = catalogue.ids("profiles")
    wanted = tuple(dict.fromkeys(words))
    for word in wanted:
        if word not in known:
            near, all_of_them = nearest(word, known), ", ".join(known)
            raise SelectionError(f'there is no profile "{word}"{near} (profiles are {all_of_them})')
    return wanted or known


def chosen_options(
    words: Sequence[str] | None, profiles: Iterable[str], catalogue: Catalogue
) -> tuple[str, ...] | None:
    """The options named; `none` stands for no option.  SelectionError: none of the profiles can have it."""
    if not words:
        return None
    possible = sorted({name for profile in profiles for name in available(catalogue.profile(profile))})
    wanted = [] if list(words) == [NONE] else words
    for word in wanted:
        if word not in possible:
            near, can = nearest(word, [*possible, NONE]), ", ".join(possible) or NONE
            raise SelectionError(f'none of these profiles can have option "{word}"{near} (possible: {can})')
    return tuple(wanted)
