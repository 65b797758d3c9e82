"""recall"""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.bench.answer import Answer, Words, said
from minisim.bench.kept import recalled
from minisim.bench.look import where
from minisim.bench.verbs._parts import still, wrong

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.bench.verbs import Suggested

HELP = "bring a kept machine back onto the bench"
USE = ("recall FILE",)


def do(bench: Bench, words: Words) -> Answer:
    """A machine of the same name; the one that stands here is gone then."""
    file = words.text.strip()
    if not file:
        raise wrong(USE)
    still(bench)
    machine, notes = recalled(bench, file)
    old = bench.machine
    machine.core = old.core
    bench.put_on(machine)
    old.close()
    return said(f"The machine stands as {file} has it.", *notes, *where(bench))


def suggest(bench: Bench, words: Words) -> Suggested:
    """The name is the user's."""
    return ()
