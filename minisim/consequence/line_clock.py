"""The clock that does not tick, or ticks twice: interrupts through 100 in one second of the machine's time."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.consequence._bench import STACK, Bench
from minisim.consequence._framework import shows
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.wiring.model import Wired

SECOND = 1_000_000_000
MOST = 3_000_000  # instructions; the fastest processor does fewer in a second
RIGHT = (50, 60)

PROGRAM = """
        mov #{sp:o}, sp
        mov #tick, @#100        ; the handler of the clock
        mov #none, @#4
        mov #100, @#177546      ; lets the clock interrupt, where it has a register
        br loop
none:   inc silent              ; no such register answers
        mov #{sp:o}, sp
loop:   br loop                 ; waits a second
tick:   inc ticks               ; one tick
        rti
ticks:  .word 0
silent: .word 0
"""


@shows("line-clock-missing-or-doubled")
def line_clock(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Count the ticks of one second."""
    bench = Bench(wired, catalogue)
    bench.load(PROGRAM.format(sp=STACK))
    began = bench.machine.time_ns
    bench.run(12)
    session = bench.machine.session(MOST)
    while bench.machine.time_ns < began + SECOND and session.advance(until_ns=began + SECOND):
        pass
    ticks, silent = bench.word("ticks"), bench.word("silent")
    if abs(ticks - RIGHT[0]) <= 1 or abs(ticks - RIGHT[1]) <= 1:
        raise NotShownError(
            f"the model ticks {ticks} times a second: it has one source of pulses, however many drive it"
        )
    bench.say(f"in one second: {ticks} interrupts through 100")
    register = "no register answers at 777546" if silent else "a register answers at 777546"
    return Shown(
        kind="the clock that does not tick" if not ticks else "the clock that ticks too often",
        does="The program lets the line clock interrupt and counts for one second of the machine's time.",
        expected="50 or 60 interrupts through 100.",
        happened=f"Interrupts through 100: {ticks}; {register}."
        + ("" if ticks else " What waits for a time waits for ever."),
        trace=tuple(bench.trace),
        facts={"ticks": ticks, "register_answers": int(not silent)},
        program=bench.source,
    )
