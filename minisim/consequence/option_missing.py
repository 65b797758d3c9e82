"""The instruction that traps: a program counts on an option of the processor that is not there."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.consequence._bench import STACK, Bench
from minisim.consequence._framework import shows
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.wiring.model import Wired

TRIES = {  # option -> an instruction of it
    "eis": "mul r1, r0",
    "fis": ".word 075006            ; FADD R6",
    "fpp": "setf",
    "cis": ".word 076021            ; a move of characters",
    "mmu": "tst @#177572            ; its status",
}
PROGRAM = """
        mov #{sp:o}, sp
        mov #trap, @#4          ; nobody answers
        mov #trap, @#10         ; no such instruction
        {tries}
        inc worked              ; it went through
        halt
trap:   inc traps               ; the processor does not know it
        halt
worked: .word 0
traps:  .word 0
"""


@shows("option-without-its-board", "option-board-away-from-its-processor", "option-without-the-option-it-needs")
def option_missing(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Run one instruction of an option that is asked for, or whose board is there, and that does not work."""
    option = _option(wired)
    bench = Bench(wired, catalogue)
    bench.load(PROGRAM.format(sp=STACK, tries=TRIES[option]))
    bench.run()
    traps, worked = bench.word("traps"), bench.word("worked")
    if worked:
        raise NotShownError(f"the option {option} works in the model: its board is taken as fitted")
    vector = next((f"{at:03o}" for at in bench.machine.counters().traps), "")
    return Shown(
        kind="the instruction that traps",
        does=f"The program runs one instruction of the option {option}.",
        expected="It goes through, and the program goes on.",
        happened=f"Traps through {vector}: {traps}. The instruction does nothing else.",
        trace=tuple(bench.trace),
        facts={"place": finding.place, "option": option, "traps": traps, "vector": vector, "went_through": worked},
        program=bench.source,
    )


def _option(wired: Wired) -> str:
    """The first option that somebody counts on, that does not work, and of which an instruction is known here."""
    choices = wired.processors[0].choices if wired.processors else ()
    for one in choices:
        if not one.fitted and (one.asked or one.boards) and one.name in TRIES:
            return one.name
    raise NotShownError("no option that is asked for and missing has an instruction that could be tried")
