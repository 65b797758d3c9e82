"""`minisim check --stage`: the machine as built so far in the bring-up, and the list of its stages."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.problems import Problem

STAGE = """check the machine as built so far: 0 the supply alone, 1 processor, memory and console, then board by board;
without N, or with list: the stages with their boards and power"""


def is_stage(word: str) -> bool:
    """Is it a number of a stage, or the word list?"""
    return word == "list" or (word.isascii() and word.isdigit())


def stage_number(word: str | None) -> int | None:
    """The number; None where no single stage is asked for."""
    return int(word) if word is not None and word != "list" else None


def show_stages(files: Sequence[str], media_root: str | None, problems: list[Problem], *, as_data: bool) -> int:
    """Every stage of each machine."""
    from minisim.catalogue import Catalogue
    from minisim.loadout.reader import read_loadout
    from minisim.problems import InputError
    from minisim.staging import Staging
    from minisim.staging.words import all_stages, as_json

    catalogue = Catalogue()
    found: list[Staging] = []
    for file in files:
        try:
            found.append(Staging(read_loadout(file, catalogue=catalogue, media_root=media_root), catalogue))
        except InputError as error:
            problems += error.problems
    if as_data:
        print(as_json(found), end="")
    else:
        print("\n".join(map(all_stages, found)), end="")
    for problem in problems:
        print(problem, file=sys.stderr)
    return 2 if problems else 0
