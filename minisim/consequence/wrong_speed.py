"""Garbage at the terminal: what it makes of the bits that a line of another speed sends."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from minisim.catalogue.reader import Catalogue
from minisim.consequence._bench import IO_PAGE, STACK, Bench, shown
from minisim.consequence._framework import shows
from minisim.consequence._places import base_of
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.known import Known
from minisim.machine.rings import drain
from minisim.rules._lines import speeds
from minisim.wiring.model import Wired, WiredRegisters

TEXT = "TIDE 0123"
BITS = 8

PROGRAM = """
        mov #{sp:o}, sp
        mov #text, r1
next:   movb (r1)+, r0          ; the next character
        beq done
ready:  tstb @#{status:o}       ; may it be sent?
        bpl ready
        movb r0, @#{data:o}     ; sends it
        br next
done:   mov #30000., r1
last:   dec r1                  ; the last one leaves
        bne last
        halt
text:   .asciz "{text}"
        .even
"""


@shows("console-speed-mismatch")
def wrong_speed(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Print a text at the speed of the line, and listen at the speed of the terminal."""
    registers, line, terminal = _ends(finding, wired)
    bench = Bench(wired, catalogue)
    base = base_of(registers)
    at = IO_PAGE + base
    bench.load(PROGRAM.format(sp=STACK, status=at + 4, data=at + 6, text=TEXT))
    bench.run()
    device = bench.device(finding.place, registers.device, base)
    bench.run_on(200_000)
    sent = drain(bench.machine._raw, device.rings["printer"])
    heard = listen(sent, line, terminal)
    letters, errors = bytes(code for code, _ in heard), sum(not whole for _, whole in heard)
    bench.say(f"the line has sent {len(sent)} characters at {line} baud")
    bench.say(f"at {terminal} baud these bits are {len(heard)} characters, {errors} of them without a stop bit")
    return Shown(
        kind="garbage at the terminal",
        does=f'The program prints "{TEXT}" through {shown(at + 6)}. The line sends at {line} baud, the terminal '
        f"listens at {terminal}.",
        expected=f'"{TEXT}" at the terminal.',
        happened=f"The line sends {len(sent)} characters; the terminal makes {len(heard)} of their bits: "
        f"{' '.join(f'{code:03o}' for code in letters) or 'none'}, {errors} of them without a stop bit.",
        trace=tuple(bench.trace),
        facts={
            "place": finding.place,
            "line_baud": line,
            "terminal_baud": terminal,
            "sent": sent.decode("ascii", "replace"),
            "received": tuple(f"{code:03o}" for code in letters),
            "framing_errors": errors,
        },
        really="The machine and its line are emulated; what the terminal makes of the bits is worked out from them, "
        "bit by bit. A real terminal may show a mark for what has no stop bit, or nothing.",
        program=bench.source,
    )


def _ends(finding: Finding, wired: Wired) -> tuple[WiredRegisters, int, int]:
    """The line of the finding with both speeds.  NotShownError: they do not differ."""
    for one in wired.cables:
        if one.board is None or one.registers is None or str(wired.boards[one.board].place) != finding.place:
            continue
        line, terminal = speeds(wired.boards[one.board], one)
        if line and terminal and line != terminal:
            registers = wired.registers[one.registers]
            if isinstance(registers.base, Known):
                return registers, line, terminal
    raise NotShownError(
        "speeds that differ can be shown; character forms, wirings and the feeding of a current loop are not modelled"
    )


def listen(sent: Sequence[int], line: int, terminal: int) -> list[tuple[int, bool]]:
    """What a receiver at one speed makes of characters sent at another: (character, is its stop bit there?).

    Each character is a start bit 0, eight bits from the lowest, a stop bit 1; one follows at once on the other, and
    the line rests at 1.  The receiver waits for a 0, then looks at the middle of each bit by its own clock.
    """
    wire = [level for code in sent for level in (0, *(code >> n & 1 for n in range(BITS)), 1)]
    sender, own = Fraction(1, line), Fraction(1, terminal)

    def level(at: Fraction) -> int:
        place = int(at / sender)
        return wire[place] if place < len(wire) else 1

    heard: list[tuple[int, bool]] = []
    now, end = Fraction(0), len(wire) * sender
    while now < end:
        if level(now):
            now = (int(now / sender) + 1) * sender  # edges lie between bits of the sender
            continue
        if level(now + own / 2):  # too short for a start bit
            now += own / 2
            continue
        code = sum(level(now + own * (Fraction(3, 2) + n)) << n for n in range(BITS))
        stop = now + own * (Fraction(3, 2) + BITS)
        heard.append((code, bool(level(stop))))
        now = stop
        while now < end and not level(now):  # without a stop bit it waits for the line to rest
            now = (int(now / sender) + 1) * sender
    return heard
