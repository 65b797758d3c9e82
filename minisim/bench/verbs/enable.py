"""enable"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words, said
from minisim.bench.verbs._parts import no_more, nothing

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "let go of the halt switch"
USE = ("enable",)


def do(bench: Bench, words: Words) -> Answer:
    """The processor may run then; it does not by itself."""
    no_more(words, USE)
    bench.press_halt(False)
    return said("The halt switch is off.")


def suggest(bench: Bench, words: Words) -> Suggested:
    """Nothing stands behind it."""
    return nothing(words)
