"""One trial case out of the set, without reading the whole set: the file is found by the name of the table."""

from __future__ import annotations

import re

from minisim.trials.model import Case as TrialCase
from minisim.trials.reader import FOLDER, NO_CASES, read_file
from minisim.why.case import Case

_BASE = ("base", "base-later")


def case_of(name: str) -> TrialCase | None:
    """The case with this id (table/row); None where there is none."""
    table = name.partition("/")[0]
    pattern = re.compile(rf"^\s*-?\s*id: {re.escape(table)}\s*$".encode(), re.MULTILINE)
    for path in sorted(FOLDER.glob("*.yaml")):
        if path.name != NO_CASES and pattern.search(path.read_bytes()):
            found = next((one for one in read_file(path).cases if one.id == name), None)
            if found is not None:
                return found
    return None


def needs_of(case: Case) -> tuple[str, ...]:
    """What the trial case in the words needs, as the set writes it."""
    found = case_of(case.text("case"))
    return found.lines[0].needs if found else ()


def missing_options(case: Case) -> tuple[str, ...]:
    """Options the trial case needs that the first processor can have and has not."""
    if not case.wired.processors:
        return ()
    processor = case.wired.processors[0]
    known = {one.name for one in processor.choices}
    return tuple(need for need in needs_of(case) if need in known and need not in processor.options)
