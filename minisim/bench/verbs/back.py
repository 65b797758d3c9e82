"""back"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words, said
from minisim.bench.look import where
from minisim.bench.numbers import count, counted, is_count, seconds
from minisim.bench.verbs._parts import still, wrong

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "go back in time: one instruction, so many, or some seconds"
USE = ("back", "back 10.", "back 10 seconds")
SECOND = 1_000_000_000


def do(bench: Bench, words: Words) -> Answer:
    """What comes from outside then makes another future; until now goes forth again, as long as nothing came."""
    timed = len(words) == 2 and words[1] in ("seconds", "second")
    if len(words) > 1 and not timed:
        raise wrong(USE)
    if timed:
        ns, instructions = int(seconds(words[0]) * SECOND), 0
    elif words and not is_count(words[0]):
        raise wrong(USE)
    else:
        ns, instructions = 0, count(words[0]) if words else 1
    still(bench)
    bench.go_back(instructions=instructions, ns=ns)
    what = f"{words[0]} {words[1]} of the machine's time" if timed else counted(instructions, "instruction")
    return said(f"The machine is {what} earlier.", *where(bench))


def suggest(bench: Bench, words: Words) -> Suggested:
    """A count or a time."""
    if not words:
        yield "10.", "so many instructions, decimal with a dot"
        yield "10 seconds", "so many seconds of the machine's time, decimal"
    elif len(words) == 1 and not is_count(words[0]):
        yield "seconds", "of the machine's time"
