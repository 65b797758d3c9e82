"""run"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words, said
from minisim.bench.verbs._parts import halt_note, no_more, nothing

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "let the machine run until it stops, or until pause"
USE = ("run",)


def do(bench: Bench, words: Words) -> Answer:
    """From where it stands."""
    no_more(words, USE)
    if bench.running:
        return said("The machine runs already.")
    bench.start()
    return said("The machine runs.", *halt_note(bench))


def suggest(bench: Bench, words: Words) -> Suggested:
    """Nothing stands behind it."""
    return nothing(words)
