"""one"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words
from minisim.bench.look import sentence, where
from minisim.bench.numbers import count, counted
from minisim.bench.verbs._parts import still, wrong
from minisim.machine.records import Reason

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "one instruction, told in a sentence; or so many"
USE = ("one", "one 10.")
MOST = 100_000
SHOWN = 16


def do(bench: Bench, words: Words) -> Answer:
    """An interrupt that waits goes first, as it would in a run."""
    if len(words) > 1:
        raise wrong(USE, f'"{words[1]}" can\'t stand there.')
    wanted = count(words[0], MOST) if words else 1
    still(bench)
    steps = bench.take_steps(wanted)
    lines = [sentence(step) for step in steps[-SHOWN:]]
    if len(steps) > SHOWN:
        lines.insert(0, f"{counted(len(steps), 'instruction')}; the last {SHOWN} of them:")
    if bench.stop is not None and (not steps or bench.stop.reason not in (Reason.LIMIT, Reason.REQUEST)):
        lines.append(f"{bench.stop}")
    return Answer((*lines, *where(bench)))


def suggest(bench: Bench, words: Words) -> Suggested:
    """A count."""
    return () if words else (("10.", "so many instructions, decimal with a dot"),)
