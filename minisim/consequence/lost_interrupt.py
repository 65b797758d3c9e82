"""The interrupt that never comes: the registers of a board behind a hole answer, its request is never granted."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.consequence._asking import Asking, askers, writes_text
from minisim.consequence._bench import IO_PAGE, Bench, shown
from minisim.consequence._framework import shows
from minisim.consequence._places import base_of, beyond_the_model, cut_off_boards, name_of
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.wiring.model import GrantKind, Wired, WiredRegisters

PROGRAM = """
        mov #{sp:o}, sp         ; a stack
        mov #handler, @#{vector:o}      ; the handler of {vector:03o}
{writes}
        mov @#{shows:o}, seen   ; does the register answer?
        mov #1000., r1
wait:   dec r1                  ; waits
        bne wait
        halt                    ; the wait is over
handler: inc count              ; the handler counts
        rti
count:  .word 0
seen:   .word 0
"""


@shows(
    "bus-grant-gap",
    "bus-user-behind-board-without-through-grant",
    "grant-jumpers-wrong-for-slot-kind",
    "interrupt-grant-open",
)
def lost_interrupt(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Let a board that no grant reaches ask for an interrupt, and count; then with the grants put right."""
    boards = cut_off_boards(finding, wired, GrantKind.INTERRUPT)
    victim = next(askers(wired, boards), None)
    if victim is None:
        why = "no board that is cut off from the interrupt grants has a model that can be made to ask"
        raise NotShownError(why + beyond_the_model(wired))
    registers, asking = victim
    ill, well = (_run(Bench(wired, catalogue, granted=granted), registers, asking) for granted in (False, True))
    if not well.word("count"):
        raise NotShownError(f"the program can't make {name_of(wired, registers)} interrupt, with grants or without")
    return _told(wired, registers, asking, ill, well)


def _run(bench: Bench, registers: WiredRegisters, asking: Asking) -> Bench:
    base, vector = base_of(registers), registers.vectors[asking.vector].vector
    writes = writes_text(base, asking)
    bench.load(PROGRAM.format(sp=0o2000, vector=vector, writes=writes, shows=IO_PAGE + base + asking.shows))
    bench.settle(asking.settles_ns)
    bench.run()
    return bench


def _told(wired: Wired, registers: WiredRegisters, asking: Asking, ill: Bench, well: Bench) -> Shown:
    name, vector = name_of(wired, registers), registers.vectors[asking.vector].vector
    address = shown(IO_PAGE + base_of(registers) + asking.shows)
    device = ill.device(str(wired.boards[registers.board].place), registers.device, base_of(registers))
    count, refused, right = ill.word("count"), ill.refused(device), well.word("count")
    ill.say(f"its request waits: {refused} asked for, {count} granted")
    return Shown(
        kind="the interrupt that never comes",
        does=f"The program lets the {name} ask for an interrupt through {vector:03o}, reads its register and waits.",
        expected=f"{right} interrupt through {vector:03o}: so many come with the same program once the grants arrive.",
        happened=f"The register at {address} answers with {ill.word('seen'):06o}, so the board looks alive. "
        f"Interrupts: {count}. It asked {refused} time{'' if refused == 1 else 's'}, and no grant ever reached it.",
        trace=tuple(ill.trace),
        facts={
            "place": str(wired.boards[registers.board].place),
            "device": registers.device,
            "vector": f"{vector:03o}",
            "register": address,
            "register_reads": f"{ill.word('seen'):06o}",
            "interrupts": count,
            "refused": refused,
            "interrupts_with_grants": right,
        },
        really="A processor can also be left hanging by a request whose grant nobody takes; the model goes on.",
        program=ill.source,
    )
