"""Which whole words may stand where the line ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Suggestion, words_of
from minisim.bench.verbs import split, verbs

if TYPE_CHECKING:
    from minisim.bench.bench import Bench


def complete(bench: Bench, line: str) -> list[Suggestion]:
    """Verbs at the front, behind one what the verb suggests; of each only those that begin with what stands there."""
    front = line.lstrip()
    at = len(line) - len(front)
    found = [
        Suggestion(name, at, verb.HELP)
        for name, verb in verbs().items()
        if name.startswith(front.lower()) and name != front.lower().strip()
    ]
    name, rest = split(line)
    if not name or not (rest or line[-1:].isspace()):
        return found
    partial = "" if line[-1:].isspace() else rest.split()[-1] if rest.split() else ""
    behind = words_of(rest[: len(rest) - len(partial)] if partial else rest)
    start = len(line) - len(partial)
    return found + [
        Suggestion(text, start, what)
        for text, what in verbs()[name].suggest(bench, behind)
        if text.lower().startswith(partial.lower())
    ]
