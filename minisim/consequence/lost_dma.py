"""The DMA that never gets the bus: a disk behind a hole takes its function, and its words go by."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.consequence._asking import Moving, movers
from minisim.consequence._bench import IO_PAGE, SECTOR_WORD, Bench, shown
from minisim.consequence._framework import shows
from minisim.consequence._moving import read_sector
from minisim.consequence._places import base_of, beyond_the_model, cut_off_boards, name_of
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.wiring.model import GrantKind, Wired, WiredRegisters

BUFFER = 0o10000
MARK = 0o177777  # lies in the buffer before


@shows(
    "bus-grant-gap",
    "bus-user-behind-board-without-through-grant",
    "grant-jumpers-wrong-for-slot-kind",
    "dma-grant-open",
    "interrupt-grant-open",
)
def lost_dma(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Let a disk that no DMA grant reaches read a sector into memory, and look; then with the grants put right."""
    boards = cut_off_boards(finding, wired, GrantKind.DMA)
    victim = next(movers(wired, boards), None)
    if victim is None:
        why = "no board that is cut off from the DMA grant has a model that moves words by itself"
        raise NotShownError(why + (beyond_the_model(wired) if finding.slug == "dma-grant-open" else ""))
    registers, moving = victim
    ill, well = (_run(wired, catalogue, registers, moving, granted) for granted in (False, True))
    if _landed(well, moving.words) < moving.words:
        raise NotShownError(f"the program can't make {name_of(wired, registers)} move words, with grants or without")
    return _told(wired, registers, moving, ill, well)


def _run(wired: Wired, catalogue: Catalogue, registers: WiredRegisters, moving: Moving, granted: bool) -> Bench:
    bench = Bench(wired, catalogue, granted=granted)
    if bench.fitted(0) < BUFFER + 2 * moving.words:
        raise NotShownError("there is too little memory for a buffer")
    bench.load(read_sector(base_of(registers), moving, BUFFER))
    bench.machine.memory.put(BUFFER, *[MARK] * moving.words)
    bench.run()
    return bench


def _landed(bench: Bench, words: int) -> int:
    """How many words of the sector stand in the buffer."""
    memory = bench.machine.memory
    return sum(memory.word(BUFFER + 2 * n) == SECTOR_WORD + n & 0o177777 for n in range(words))


def ended(bench: Bench) -> bool:
    """Did the program get to its HALT, or does it still wait?"""
    return bool(bench.machine._raw.halted)


def _end(bench: Bench, errors: str) -> str:
    if not ended(bench):
        return "The program still waits for its end."
    return f"It ends with {bench.word('status'):06o} in its status and {bench.word('errors'):06o} at {errors}."


def _told(wired: Wired, registers: WiredRegisters, moving: Moving, ill: Bench, well: Bench) -> Shown:
    name, base = name_of(wired, registers), base_of(registers)
    errors = shown(IO_PAGE + base + moving.errors)
    landed, right = _landed(ill, moving.words), _landed(well, moving.words)
    ill.say(f"the buffer at {BUFFER:06o} holds {landed} words of the sector")
    return Shown(
        kind="the DMA that never gets the bus",
        does=f"The program lets the {name} read the first sector of a medium of ours into memory at {BUFFER:06o}.",
        expected=f"{right} words in the buffer and no error: so it ends with the same program once the grants arrive.",
        happened="The controller takes the function and answers its registers, but the bus never comes. Words in the "
        f"buffer: {landed}. {_end(ill, errors)}",
        trace=tuple(ill.trace),
        facts={
            "place": str(wired.boards[registers.board].place),
            "device": registers.device,
            "words_landed": landed,
            "words_landed_with_grants": right,
            "ended": int(ended(ill)),
            "errors_at": errors,
            "errors": f"{ill.word('errors'):06o}",
            "errors_with_grants": f"{well.word('errors'):06o}",
        },
        really="Whether a controller gives up with late data or waits for the bus for ever differs by its kind.",
        program=ill.source,
    )
