"""The test of each board that a later stage adds, and what to measure where it fails."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from minisim.known import Known
from minisim.sheet.blocks import Block, Heading, Items, Words
from minisim.sheet.bringup.answers import Answers, Row
from minisim.sheet.bringup.console import answers_table, no_model
from minisim.sheet.messages import say
from minisim.sheet.numbers import handle, kilo
from minisim.wiring.model import GrantKind, Passes

if TYPE_CHECKING:
    from minisim.staging import Stage
    from minisim.wiring.model import Wired, WiredBoard, WiredMemory, WiredRegisters

_TRANSMIT_STATUS, _TRANSMIT_DATA = 4, 6  # offsets in the registers of a serial line (devices 1.1)
_MOST_HOPS = 6  # more of them are told by the first and the last


def board_tests(stage: Stage, answers: Answers, added: tuple[WiredBoard, ...]) -> Iterator[Block]:
    """Answers of all that is new, then board by board what to do."""
    places = {str(board.place) for board in added}  # indexes count the boards of a stage, places stay
    yield from no_model(answers)
    rows = tuple(_rows(stage.wired, answers, places))
    if rows:
        yield answers_table(stage.number, rows)
    for board in stage.wired.boards:
        if str(board.place) in places:
            yield Heading(say("bringup-test", board=f"{handle(board.entry)} ({board.place})"))
            yield from _test(stage.wired, answers, board)


def _rows(wired: Wired, answers: Answers, places: set[str]) -> Iterator[Row]:
    for rom in wired.roms:
        if str(wired.boards[rom.board].place) in places:
            yield from answers.rom(rom)
    for memory in wired.memories:
        if str(wired.boards[memory.board].place) in places:
            yield from answers.memory(memory)
    for registers in wired.registers:
        if str(wired.boards[registers.board].place) in places:
            yield from answers.registers(registers)


def _test(wired: Wired, answers: Answers, board: WiredBoard) -> Iterator[Block]:
    lines = [*_memory_lines(wired, answers, board), *_register_lines(wired, answers, board)]
    if not lines:
        yield Words(say("bringup-test-none"))
        return
    yield Items((*lines, say("bringup-test-silent")))


def _memory_lines(wired: Wired, answers: Answers, board: WiredBoard) -> Iterator[str]:
    for one in wired.memories:
        if one.board == board.index and isinstance(one.start, Known) and isinstance(one.size, Known):
            yield _memory_line(answers, board, one, one.start.peek, one.size.peek)


def _memory_line(answers: Answers, board: WiredBoard, one: WiredMemory, start: int, size: int) -> str:
    words = {"place": str(board.place), "size": kilo(size)}
    ends = answers.ends(start, size)
    if ends is None:
        return say("bringup-test-memory-beyond", **words, first=f"{start:08o}", bits=str(answers.bits))
    return say("bringup-test-memory", **words, first=answers.shown(ends[0]), last=answers.shown(ends[1]))


def _register_lines(wired: Wired, answers: Answers, board: WiredBoard) -> Iterator[str]:
    own = [one for one in wired.registers if one.board == board.index]
    for one in own:
        yield from _device_line(answers, board, one)
    vectors = [vector.vector for one in own for vector in one.vectors]
    if vectors:
        shown = ", ".join(f"{vector:03o}" for vector in vectors)
        yield say("bringup-test-interrupts", vectors=shown, stops=", ".join(f"{vector + 4:06o}" for vector in vectors))
        yield from _grant_lines(wired, board)


def _device_line(answers: Answers, board: WiredBoard, one: WiredRegisters) -> Iterator[str]:
    base = one.base.peek if isinstance(one.base, Known) else None
    if one.device == "serial-line" and base is not None:
        address, status = answers.in_page(base + _TRANSMIT_DATA), answers.in_page(base + _TRANSMIT_STATUS)
        yield say("bringup-test-line", place=str(board.place), address=address, status=status)
    if one.device == "line-clock" and base is not None and answers.word(base) is not None:
        yield say("bringup-test-clock", place=str(board.place), address=answers.in_page(base))
    if one.device == "event-line":
        vector = f"{one.vector.peek:03o}" if isinstance(one.vector, Known) else "100"
        yield say("bringup-test-clock-none", place=str(board.place), vector=vector)


def _grant_lines(wired: Wired, board: WiredBoard) -> Iterator[str]:
    """The way of the grant to the board, hop by hop."""
    chain = wired.chain(GrantKind.INTERRUPT)
    own = chain.hop_of(board.index)
    if own is None:
        return
    hops = [str(hop.place) for hop in chain.hops if hop.number < own.number]
    if own.reached is Passes.NO:
        yield say("bringup-test-grant-open", hop=str(own.broken_at))
    elif own.reached is Passes.UNKNOWN:
        yield say("bringup-test-grant-doubtful", hop=str(own.broken_at))
    if hops:
        told = hops if len(hops) <= _MOST_HOPS else [*hops[:2], "...", *hops[-2:]]
        yield say("bringup-test-grant", hops=", ".join(told))
