"""help"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words, said
from minisim.bench.verbs import no_word, split, verbs

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "the words of the bench, or the forms of one of them"
USE = ("help", "help look")


def do(bench: Bench, words: Words) -> Answer:
    """One line each, or all about one."""
    if not words:
        width = max(map(len, verbs()))
        return said(*(f"{name:{width}}  {verb.HELP}" for name, verb in verbs().items()), "help WORD  its forms")
    name, rest = split(words.text)
    if not name or rest.strip():
        raise no_word(" ".join(words))
    return said(f"{name}: {verbs()[name].HELP}", *(f"  {form}" for form in verbs()[name].USE))


def suggest(bench: Bench, words: Words) -> Suggested:
    """Any word."""
    return () if words else ((name, verb.HELP) for name, verb in verbs().items())
