"""Which boards a finding is about, and what to call them."""

from __future__ import annotations

from minisim.findings import Finding
from minisim.known import Known
from minisim.wiring.model import GrantKind, Passes, Wired, WiredRegisters


def cut_off_boards(finding: Finding, wired: Wired, kind: GrantKind) -> tuple[int, ...]:
    """Boards that no grant reaches: the one of the finding first, then those it names, then the others."""
    cut = [
        board
        for board in wired.boards
        if board.entry.processor is None
        and wired.reached(board.index, kind) is Passes.NO
        and wired.on_bus(board.index)  # behind a cable that is not plugged in nothing answers at all
    ]
    named = " ".join(finding.also)

    def rank(place: str) -> int:
        return 0 if place == finding.place else 1 if place in named else 2

    return tuple(board.index for board in sorted(cut, key=lambda board: rank(str(board.place))))


def base_of(registers: WiredRegisters) -> int:
    """Its offset in the I/O page; only for registers of which that is known."""
    assert isinstance(registers.base, Known)
    return registers.base.value


def board_at(wired: Wired, place: str) -> int | None:
    """The board at a place."""
    return next((board.index for board in wired.boards if str(board.place) == place), None)


def name_of(wired: Wired, registers: WiredRegisters) -> str:
    """`serial line at main/a/3CD`."""
    return f"{registers.device.replace('-', ' ')} at {wired.boards[registers.board].place}"


def beyond_the_model(wired: Wired) -> str:
    """More half a sentence: why the cut-off boards of this machine are not all there is to it; "" where they are."""
    off = next((board for board in wired.boards if not wired.on_bus(board.index)), None)
    if off is not None:
        return f"; {off.place} is behind a cable that is not plugged in, so that nothing of it answers"
    if any(isinstance(one.entry.turnaround, Known) and one.entry.turnaround.peek == "yes" for one in wired.boards):
        return "; that the turnaround terminator makes a lasting acknowledge of an open grant is not modelled"
    return ""
