"""Wrong loadouts: the expectation stands on the guilty line, and the whole set is compared both ways."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from minisim.catalogue.reader import Catalogue
from minisim.loadout.model import LoadoutError
from minisim.loadout.reader import read_loadout

WRONG = sorted((Path(__file__).parent / "data" / "wrong").glob("*.yaml"))


def expected(text: str) -> list[tuple[int, str]]:
    """(line, part of the message) for every `# expect: part` of a file."""
    parts = ((line, piece) for line, row in enumerate(text.splitlines(), 1) for piece in row.split("# expect: ")[1:])
    return [(line, piece.strip()) for line, piece in parts]


def found(path: Path, catalogue: Catalogue) -> list[tuple[int, str]]:
    with pytest.raises(LoadoutError) as caught:
        read_loadout(path, catalogue=catalogue)
    assert all(problem.mark.file == str(path) and problem.mark.column >= 1 for problem in caught.value.problems)
    return [(problem.mark.line, problem.message) for problem in caught.value.problems]


@pytest.mark.parametrize("file", WRONG, ids=lambda path: path.stem)
def test_every_fault_of_a_file_is_told_on_its_line_and_nothing_else_is(
    file: Path, folder: Path, catalogue: Catalogue
) -> None:
    path = folder / file.name
    shutil.copy(file, path)
    missing = expected(file.read_text(encoding="utf-8"))
    extra = []
    for line, message in found(path, catalogue):
        hit = next((one for one in missing if one[0] == line and one[1] in message), None)
        if hit is None:
            extra.append((line, message))
        else:
            missing.remove(hit)
    assert (missing, extra) == ([], [])


def test_there_are_expectations_in_every_wrong_file() -> None:
    assert len(WRONG) >= 7
    assert all(len(expected(file.read_text(encoding="utf-8"))) >= 5 for file in WRONG)
