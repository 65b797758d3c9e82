"""Memory sized short: a program that counts upward until nobody answers finds less than the boards hold."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.consequence._bench import STACK, Bench, kb, spans
from minisim.consequence._framework import shows
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.machine.errors import BusTimeout
from minisim.wiring.model import Wired

TOP_16 = 0o160000  # what 16 bits reach below the I/O page
STEP = 0o4000  # bytes: the grain of memory
BLOCK = 0o100  # bytes: the unit of page addresses

PLAIN = """
        mov #{sp:o}, sp
        mov #none, @#4          ; a time-out ends the count
        clr r1
next:   tst (r1)                ; does anybody answer?
        add #{step:o}, r1       ; 2 KB further
        cmp r1, #{top:o}        ; the I/O page
        blo next
none:   mov r1, size            ; so much memory
        halt
size:   .word 0
"""

MAPPED = """
        mov #{sp:o}, sp
        mov #none, @#4          ; a time-out ends the count
        mov #172340, r0         ; memory management: pages 0 to 6 as they are
        clr r1
        mov #7, r2
page:   mov #77406, -40(r0)
        mov r1, (r0)+
        add #200, r1
        dec r2
        bne page
        mov #77406, @#172316
        mov #{io:o}, @#172356   ; page 7 is the I/O page
{wide}        mov #1, @#177572        ; on
        clr r1
next:   mov r1, @#172354        ; page 6 looks at the next 2 KB
        tst @#140000            ; does anybody answer?
        add #40, r1
        cmp r1, #{top:o}        ; the I/O page
        blo next
none:   mov r1, size            ; so many blocks of 64 bytes
        clr @#177572
        halt
size:   .word 0
"""
WIDE = "        mov #20, @#172516       ; 22 address bits\n"


@shows(
    "memory-gap",
    "memory-overlap",
    "memory-over-io-page",
    "memory-beyond-backplane-width",
    "map-missing-for-large-memory",
)
def memory_sizing(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Let a program size the memory, and compare with what the boards hold."""
    held = sum(end - start for start, end in spans(wired))
    bench = Bench(wired, catalogue)
    sized, how = _sized(bench)
    if sized >= held:
        raise NotShownError(f"a program finds {kb(sized)}, and the boards hold {kb(held)}: nothing is missing")
    bench.say(f"{kb(sized)} are found, {kb(held)} are fitted")
    return Shown(
        kind="memory sized short",
        does=how,
        expected=f"{kb(held)}: so much the memory boards of the machine hold.",
        happened=f"The count ends at {sized:06o}: {kb(sized)}, {kb(held - sized)} less than is fitted."
        + _higher(wired, sized),
        trace=tuple(bench.trace),
        facts={
            "place": finding.place,
            "sized": sized,
            "fitted": held,
            "first_address_without_an_answer": f"{sized:06o}",
            "boards": tuple(f"{start:06o} to {end - 1:06o}" for start, end in sorted(spans(wired))),
        },
        really=_REALLY.get(finding.slug, ""),
        program=bench.source,
    )


_REALLY = {
    "memory-overlap": "On the real bus both boards drive the lines where they overlap: what is read is the OR of two "
    "words, with parity errors on boards that have parity. The model keeps one word in each place.",
    "memory-over-io-page": "On the separate-line bus the memory there answers together with registers; the model "
    "leaves it out.",
    "memory-beyond-backplane-width": "On the real bus the addresses repeat: the part above overwrites low memory. The "
    "model leaves it out.",
}


def _higher(wired: Wired, sized: int) -> str:
    """What lies above and is never looked for."""
    above = [f"{start:06o} to {end - 1:06o}" for start, end in sorted(spans(wired)) if start > sized]
    return f" What answers at {', '.join(above)} is never found." if above else ""


def _sized(bench: Bench) -> tuple[int, str]:
    """Bytes that a program finds, and how it looked for them; at full width only with memory management."""
    together = bench.fitted(0)
    if together < TOP_16:
        bench.load(PLAIN.format(sp=STACK, step=STEP, top=TOP_16))
        bench.run()
        return bench.word("size"), "The program looks at every 2 KB from 0 on until nobody answers."
    if bench.has_memory_management():
        wide = bench.machine.address_bits == 22
        io = 0o177600 if wide else 0o7600
        bench.load(MAPPED.format(sp=STACK, io=io, top=io, wide=WIDE if wide else ""))
        bench.run()
        how = "The program looks at every 2 KB from 0 on through memory management, until nobody answers."
        return bench.word("size") * BLOCK, how
    return _by_hand(bench), "Somebody at the console looks at every 2 KB from 0 on until nobody answers."


def _by_hand(bench: Bench) -> int:
    """A processor without memory management reaches 56 KB; the bus reaches further."""
    at, top = 0, (1 << bench.machine.address_bits) - 0o20000
    try:
        while at < top:
            bench.machine.read(at, space="bus")
            at += STEP
    except BusTimeout:
        bench.say(f"nobody answers at {at:06o}")
        return at
    bench.say(f"the I/O page begins at {at:06o}")
    return at
