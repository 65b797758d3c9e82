"""The register that answers twice: two boards at one address, of which the model lets one answer."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.consequence._bench import IO_PAGE, STACK, Bench, shown
from minisim.consequence._framework import shows
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.machine.layout import DeviceLayout
from minisim.wiring.model import Wired

FIRST, SECOND = ord("A"), ord("B")  # what the two lines hear; on one bus 101 OR 102 is 103, a C
LINE = "serial-line"

LINES = """
        mov #{sp:o}, sp
        mov #2000., r1
loop:   tstb @#{status:o}       ; has a character come?
        bmi take
        dec r1
        bne loop
take:   mov @#{data:o}, got     ; takes it
        mov #110, @#{send:o}    ; sends an H
        mov #2000., r1
wait:   dec r1
        bne wait
        mov @#{status:o}, after ; is another one there?
        halt
got:    .word 0
after:  .word 0
"""

OTHERS = """
        mov #{sp:o}, sp
{reads}        mov #{word:o}, @#{at:o} ; writes it
        halt
got:    .word 0
"""
READS = "        mov @#{at:o}, got       ; reads the register\n"


@shows("register-ranges-overlap", "two-console-lines")
def two_at_one_address(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Use the register that two devices have, and count what each of them saw."""
    bench = Bench(wired, catalogue, granted=True)
    first, second, shared = _pair(bench, finding.place)
    if first.id == second.id == LINE and min(shared) == min(_offsets(first)):
        return _lines(bench, first, second, min(shared))
    return _others(bench, first, second, min(shared))


def _offsets(device: DeviceLayout) -> set[int]:
    return {offset for _, offset in device.registers.values() if offset >= 0}


def _pair(bench: Bench, place: str) -> tuple[DeviceLayout, DeviceLayout, set[int]]:
    """Two devices with a common register, one of them at the place of the finding, as the model ranks them."""
    devices = bench.machine.layout.devices
    for number, second in enumerate(devices):
        for first in devices[:number]:
            shared = _offsets(first) & _offsets(second)
            if shared and place in (first.place, second.place):
                return first, second, shared
    raise NotShownError(f"one of the two that answer at {place} is not modelled: it is ROM, processor or another board")


def _register(device: DeviceLayout, offset: int) -> int:
    return next(number for number, at in device.registers.values() if at == offset)


def _lines(bench: Bench, first: DeviceLayout, second: DeviceLayout, base: int) -> Shown:
    """Two serial lines: each hears its own character, and the program sends one."""
    at = IO_PAGE + base
    bench.load(LINES.format(sp=STACK, status=at, data=at + 2, send=at + 6))
    for device, code in ((first, FIRST), (second, SECOND)):
        bench.machine._inputs.feed(device, "keyboard", bytes([code]))
    _until_both_hear(bench, (first, second), base)
    bench.run()
    got = bench.word("got") & 0o377
    left = int(bench.machine._raw.registers[_register(second, base + 2)].value) & 0o377
    sent = tuple(bench.machine._raw.rings[device.rings["printer"]].count for device in (first, second))
    bench.say(f"{first.place} has printed {sent[0]} character, {second.place} {sent[1]}; {second.place} still holds B")
    return Shown(
        kind="the register that answers twice",
        does=f"The terminal at {first.place} sends an A, the one at {second.place} a B. The program takes what stands "
        f"at {shown(at + 2)} and sends an H to {shown(at + 6)}.",
        expected="One line of the two, by an address of its own: A or B, and the H on that line alone.",
        happened=f"In the model the board that was found first keeps the address: the program gets {chr(got)}, the H "
        f"comes out at {first.place}, and {second.place} is never heard nor spoken to.",
        trace=tuple(bench.trace),
        facts={
            "address": shown(at),
            "answers_in_the_model": first.place,
            "silent_in_the_model": second.place,
            "read": f"{got:03o}",
            "held_by_the_other": f"{left:03o}",
            "or_of_both": f"{got | left:03o}",
            "printed_by_the_first": sent[0],
            "printed_by_the_other": sent[1],
        },
        really=f"On the real bus both boards drive the lines: A ({FIRST:03o}) and B ({SECOND:03o}) are read together "
        f"as {chr(got | left)} ({got | left:03o}), both take the character as read, and the H comes out on both.",
        program=bench.source,
    )


def _until_both_hear(bench: Bench, devices: tuple[DeviceLayout, DeviceLayout], base: int) -> None:
    """Both characters arrive before the program looks: let guest time pass without it."""
    raw = bench.machine._raw
    bench.settle(400_000_000)  # a character at 50 baud
    for device in devices:
        if not raw.registers[_register(device, base)].value & 0o200:
            raise NotShownError(f"nothing arrives at the line of {device.place}")
    bench.say("a character has arrived at each of the two boards")


def _others(bench: Bench, first: DeviceLayout, second: DeviceLayout, offset: int) -> Shown:
    """Any two devices: one register, read, written, read again."""
    at, raw = IO_PAGE + offset, bench.machine._raw
    mine, other = (raw.registers[_register(device, offset)] for device in (first, second))
    word = 0o100 if other.writable & 0o100 else int(other.writable) & 0o177
    reads = READS.format(at=at) if mine.answers & 1 else ""
    bench.load(OTHERS.format(sp=STACK, at=at, word=word, reads=reads))
    before = tuple(int(one.value) & int(one.readable) for one in (mine, other))
    bench.run()
    counts = tuple(int(one.reads) + int(one.writes) for one in (mine, other))
    bench.say(f"{first.id} at {first.place} saw {counts[0]} accesses, {second.id} at {second.place} saw {counts[1]}")
    return Shown(
        kind="the register that answers twice",
        does=f"The program {'reads and writes' if reads else 'writes'} {shown(at)}, which {first.id} at {first.place} "
        f"and {second.id} at {second.place} both have.",
        expected="One board answers, and it alone is written to.",
        happened=f"In the model the board that was found first keeps the address: {first.place} saw {counts[0]} "
        f"accesses, {second.place} {counts[1]}. A driver of {second.id} works on the registers of {first.id}.",
        trace=tuple(bench.trace),
        facts={
            "address": shown(at),
            "answers_in_the_model": first.place,
            "silent_in_the_model": second.place,
            "read": f"{bench.word('got'):06o}" if reads else "",
            "held_by_the_other": f"{before[1]:06o}",
            "or_of_both": f"{before[0] | before[1]:06o}",
            "accesses_of_the_first": counts[0],
            "accesses_of_the_other": counts[1],
        },
        really=f"On the real bus both boards drive the lines: {before[0]:06o} and {before[1]:06o} are read together as "
        f"{before[0] | before[1]:06o}, and the word {word:06o} is written to both.",
        program=bench.source,
    )
