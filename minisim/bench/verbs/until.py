"""until"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Refused, Words, said
from minisim.bench.conditions import KINDS, conditions_of, parse, shown
from minisim.bench.look import where
from minisim.bench.numbers import seconds
from minisim.bench.verbs._parts import still, wrong

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "run until a condition holds, for some seconds, or to the present"
USE = (
    "until pc 001000",
    "until r2 000000",
    "until read 177560",
    "until write 177564",
    "until trap 10",
    'until printed "tide:"',
    "until write 177566 and r0 000101 or trap 4",
    "until 10 seconds",
    "until now",
)
SECOND = 1_000_000_000


def do(bench: Bench, words: Words) -> Answer:
    """The machine runs from the next frame on; to the present it goes at once."""
    if not words:
        raise wrong(USE)
    if words == ("now",):
        return _to_present(bench)
    if len(words) == 2 and words[1] in ("seconds", "second"):
        time = seconds(words[0])
        still(bench)
        bench.start(ns=int(time * SECOND))
        return said(f"The machine runs for {words[0]} {words[1]} of its time.")
    tree = parse(words.text)
    still(bench)
    bench.start(conditions_of(tree))
    return said(f"The machine runs until {shown(tree)}.")


def _to_present(bench: Bench) -> Answer:
    if not bench.past.in_the_past:
        raise Refused("the machine is in the present; back goes back from there")
    still(bench)
    bench.go_forth()
    return said("The machine is where it was before it went back.", *where(bench))


def suggest(bench: Bench, words: Words) -> Suggested:
    """Kinds of conditions, the joints behind a whole one."""
    if not words or words[-1] in ("and", "or"):
        yield from KINDS.items()
    elif len(words) > 1 and words[-2] in KINDS:
        yield "and", "and this too, after the same instruction"
        yield "or", "or else this"
    if not words:
        yield "now", "forth again to the present, after back"
        yield "10 seconds", "for so many seconds of the machine's time, decimal"
