"""type"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words, said

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "type a line at the machine's console, with Return; or send a break"
USE = ("type TEXT", 'type "TEXT"', "type break")


def do(bench: Bench, words: Words) -> Answer:
    """A text between quotes goes without them, so the word break can be typed too."""
    text = words.text.strip()
    if words == ("break",):
        bench.send_break()
        return said("A break was sent on the console line.", *_note(bench))
    if len(text) > 1 and text[0] == text[-1] == '"':
        text = text[1:-1]
    bench.type(text.encode("utf-8", "replace") + b"\r")
    return said(*_note(bench))


def _note(bench: Bench) -> tuple[str, ...]:
    return () if bench.running or bench.waits_for_keys else ("The machine stands; it finds this when it runs.",)


def suggest(bench: Bench, words: Words) -> Suggested:
    """The break; what else is typed nobody knows."""
    return () if words else (("break", "hold the line in break for longer than a character"),)
