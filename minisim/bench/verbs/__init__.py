"""The words of the bench, one a file, found by walking this folder: `put_in.py` is `put in`.

A file has HELP (one line), USE (the forms of the line), `do(bench, words)` and `suggest(bench, words)`: which words may
stand behind these ones, each with a line about it.
"""

from __future__ import annotations

import importlib
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, cast

from minisim.bench.answer import Answer, Refused, Words
from minisim.problems import nearest

if TYPE_CHECKING:
    from minisim.bench.bench import Bench

Suggested = Iterable[tuple[str, str]]


class Verb(Protocol):
    """What a file offers."""

    HELP: str
    USE: tuple[str, ...]

    def do(self, bench: Bench, words: Words) -> Answer:
        """Do it.  Refused: it can't be done."""

    def suggest(self, bench: Bench, words: Words) -> Suggested:
        """Words that may stand next, each with a line about it."""


@lru_cache(maxsize=1)
def verbs() -> dict[str, Verb]:
    """Every word with its file."""
    stems = sorted(path.stem for path in Path(__file__).parent.glob("[a-z]*.py"))
    return {stem.replace("_", " "): cast(Verb, importlib.import_module(f"{__name__}.{stem}")) for stem in stems}


def no_word(word: str) -> Refused:
    """What is said of a word that the bench does not know."""
    return Refused(f'"{word}" is no word of the bench{nearest(word, verbs())}', f"The words are: {', '.join(verbs())}.")


def split(line: str) -> tuple[str, str]:
    """The verb at the front of a line (empty: none) and the rest behind one space."""
    text = line.lstrip()
    for length in (2, 1):
        front = text.split(None, length)
        name = " ".join(front[:length]).lower()
        if len(front) >= length and name in verbs():
            return name, front[length] if len(front) > length else ""
    return "", text
