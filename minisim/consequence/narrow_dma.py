"""The words that land too low: a board with few address lines, and a buffer above their reach."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.consequence._asking import Moving, movers
from minisim.consequence._bench import SECTOR_WORD, Bench, kb, spans
from minisim.consequence._framework import shows
from minisim.consequence._moving import read_sector
from minisim.consequence._places import base_of, board_at, name_of
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.known import Known
from minisim.machine.controllers import DevicePorts
from minisim.machine.layout import DeviceLayout
from minisim.wiring.model import Wired, WiredRegisters

OFFSET = 0o10000  # of the buffer above what the board reaches
WORDS = 8
WIDEST = 22  # the rule rests on boards and backplane, where a processor profile may state fewer lines
MARK, MARK_WORDS = 0o177777, 256  # lie in both places before


@shows("narrow-dma-in-large-memory")
def narrow_dma(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Let the board put words into a buffer above its reach, and look where they are."""
    board = board_at(wired, finding.place)
    entry = wired.boards[board].entry if board is not None else None
    if board is None or entry is None or not isinstance(entry.dma_bits, Known):
        raise NotShownError(f"how many address lines the board at {finding.place} drives is not known")
    bits = entry.dma_bits.value
    buffer = _buffer(wired, bits)
    low = buffer & (1 << bits) - 1
    bench = Bench(wired, catalogue, granted=True, lines=WIDEST)
    for start in (buffer, low):
        bench.machine.memory.put(start, *[MARK] * MARK_WORDS)
    mover = next(movers(wired, (board,)), None)
    does = _by_program(bench, wired, *mover, buffer) if mover else _by_itself(bench, finding.place, bits, buffer)
    return _told(bench, finding, bits, buffer, low, does)


def _buffer(wired: Wired, bits: int) -> int:
    """An address above the reach of the board where there is memory, and below it too."""
    reach = 1 << bits
    for start, end in sorted(spans(wired)):
        wanted = max(start, reach) + OFFSET
        if wanted + 2 * MARK_WORDS <= end and any(first <= wanted % reach < last for first, last in spans(wired)):
            return wanted
    raise NotShownError(f"no memory lies above {reach:o} that has memory in the same place below")


def _by_program(bench: Bench, wired: Wired, registers: WiredRegisters, moving: Moving, buffer: int) -> str:
    """The registers of the controller hold 18 bits of the address."""
    bench.load(read_sector(base_of(registers), moving, buffer))
    bench.run()
    return f"The program lets the {name_of(wired, registers)} read a sector into a buffer at {buffer:o}."


def _by_itself(bench: Bench, place: str, bits: int, buffer: int) -> str:
    """One transfer as the address lines give it, without the registers of the board."""
    layout = DeviceLayout("", place, {}, {}, {}, {}, dma_bits=bits)
    ports = DevicePorts(bench.machine._raw, layout, lambda _: None)
    bench.say(f"the board at {place} is told to move {WORDS} words to {buffer:o}")
    done = ports.to_memory(buffer, [SECTOR_WORD + n for n in range(WORDS)])
    bench.say(
        f"it drives {bits} address lines, so its words go to {buffer & (1 << bits) - 1:o}; {done} are taken there"
    )
    return (
        f"Without its registers, one transfer as the board at {place} makes it: {WORDS} words to {buffer:o} with the "
        f"{bits} address lines it drives."
    )


def _words_at(bench: Bench, start: int) -> int:
    """How many words of ours stand there."""
    memory = bench.machine.memory
    return sum(memory.word(start + 2 * n) == SECTOR_WORD + n & 0o177777 for n in range(MARK_WORDS))


def _told(bench: Bench, finding: Finding, bits: int, buffer: int, low: int, does: str) -> Shown:
    there, below = _words_at(bench, buffer), _words_at(bench, low)
    bench.say(f"at {buffer:o}: {there} words of the data; at {low:o}: {below}")
    return Shown(
        kind="the words that land too low",
        does=does,
        expected=f"The data at {buffer:o}.",
        happened=f"Words of the data at {buffer:o}: {there}. At {low:o}, {kb(buffer - low)} lower: {below}. What stood "
        "there is overwritten, and no error is shown.",
        trace=tuple(bench.trace),
        facts={
            "place": finding.place,
            "address_lines": bits,
            "buffer": f"{buffer:o}",
            "landed_at": f"{low:o}",
            "lower_by": buffer - low,
            "words_at_the_buffer": there,
            "words_landed": below,
        },
        really="A driver that knows of it reads into low memory and copies.",
        program=bench.source,
    )
