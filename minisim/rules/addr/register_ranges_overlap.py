"""Two register ranges overlap.

What is checked
    Whether any two devices of the machine, on one board or two, answer the same address of the I/O page, counting
    registers against registers, against ROM windows, and against the registers inside the processor (PS, memory
    management, switches) with the options fitted.

Why it matters
    Both boards answer: what is read is a mixture of both on the lines, what is written reaches both.

Example
    machine.yaml:14:43: fault ADDR-001 register-ranges-overlap [main/a/3AB]: 776500 to 776507 (serial-line) overlaps
    776500 to 776507 (serial-line) at main/a/2CD; every address must have one owner (common-practice).

Putting it right
    Set one of the two boards to another address.

Known limits
    Of the processor, only what its profile tells of is compared: no cache, error or maintenance registers.
    Two boards at the console's address are CONSOLE-001, two ROM windows are BOOT-001.  Two boards that both hold the
    line-clock register are graded doubt: they hold the same bits, and most can switch theirs off.

Sources
    common-practice: one address, one owner.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from minisim.findings import Mark, Severity
from minisim.known import Evidence, Figure, Known, Unknown
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule, same_as
from minisim.rules._facts import (
    CONSOLE,
    board_subject,
    device_name,
    known,
    octal18,
    only_by_order,
    registers_subject,
    short,
)
from minisim.rules._free import address_hint
from minisim.wiring.model import Wired, WiredBoard, WiredRegisters

SAME_BITS = "line clock"
PARITY = "memory parity"


@dataclass(frozen=True, slots=True)
class _Range:
    """Addresses one thing answers: offsets, end exclusive."""

    board: WiredBoard
    subject: Subject
    what: str
    start: int
    end: int
    figures: tuple[Figure[int], ...] = ()
    registers: WiredRegisters | None = None
    guessed: bool = False  # an unset board at the place the order of kinds would give it

    def __str__(self) -> str:
        return f"{octal18(self.start)} to {octal18(self.end - 1)} ({self.what})"


@rule(
    id="ADDR-001",
    slug="register-ranges-overlap",
    severity=Severity.FAULT,
    needs=("SLOT-008", "ADDR-004"),
    sources=("common-practice",),
)
def register_ranges_overlap(wired: Wired) -> Iterator[Result]:
    """Compare the range of each device with all before it."""
    seen: list[_Range] = []
    told: set[tuple[Mark, frozenset[int]]] = set()  # one switch moves all lines of a board onto another board
    for rom in wired.roms:
        board = wired.boards[rom.board]
        seen.append(_Range(board, board_subject(board), "ROM window", rom.base, rom.base + 2 * rom.words))
    seen += _of_the_processor(wired)
    for registers in wired.registers:
        subject, name = registers_subject(wired, registers), short(wired.boards[registers.board])
        base, words = known(registers.base, f"address of {name}"), known(registers.words, f"registers of {name}")
        if base is None or words is None:
            need = "address" if isinstance(registers.base, Unknown) else "number of registers"
            missing = isinstance(registers.base, Unknown) or isinstance(registers.words, Unknown)
            unsure = not_checked(subject, f"{need} of the {device_name(registers)} of {name}")
            yield unsure if missing else does_not_apply(subject)
            continue
        what, board = device_name(registers), wired.boards[registers.board]
        guessed_ = only_by_order(wired, registers, "address")
        mine = _Range(board, subject, what, base, base + 2 * words, (registers.base,), registers, guessed_)
        met = [other for other in seen if _overlap(mine, other)]
        others = [other for other in met if not other.guessed and not mine.guessed]
        switch = registers.mark, frozenset(other.board.index for other in others)
        if met and not others:
            guessed = [one for one in (mine, *met) if one.guessed]
            yield not_checked(subject, *(f"address of the {one.what} of {short(one.board)}" for one in guessed))
        else:
            yield _compared(wired, mine, others) if switch not in told else same_as(subject, subject)
        if others and registers.mark != board.mark:
            told.add(switch)
        seen.append(mine)


def _of_the_processor(wired: Wired) -> list[_Range]:
    """Registers that the processor answers by itself: PS, memory management, switches."""
    if not wired.processors:
        return []
    board = wired.boards[wired.processors[0].board]
    subject = board_subject(board)
    return [_Range(board, subject, own.what, own.base, own.base + 2 * own.words) for own in wired.processor_registers]


def _overlap(one: _Range, other: _Range) -> bool:
    if one.start == other.start == CONSOLE or one.what == other.what == PARITY:
        return False  # CONSOLE-001 and MEM-003 say these
    return one.start < other.end and other.start < one.end


def _stated(one: _Range) -> bool:
    return any(isinstance(figure, Known) and figure.evidence is Evidence.OWNER for figure in one.figures)


def _compared(wired: Wired, mine: _Range, others: list[_Range]) -> Result:
    if not others:
        return passed(mine.subject)
    first = others[0]
    for other in others:
        for figure in other.figures:
            known(figure, f"address of {short(other.board)}")
    settable = first if _stated(first) and not _stated(mine) else mine  # a fixed address has no switch
    hint = address_hint(wired, settable.registers) if settable.registers is not None else ""
    softer = all(SAME_BITS == one.what == mine.what for one in others)
    return failed(
        mine.subject,
        found=f"{mine} overlaps {first} of {short(first.board)}",
        limit="every address must have one owner",
        cause="both boards answer: data are mixed on the lines",
        fix=f"set {short(settable.board)} to another address{hint}"
        if not softer
        else "switch one of the two clocks off",
        next_measurement=_probe(mine, first),
        severity=Severity.DOUBT if softer else None,
        also=tuple(f"{one.what} of {short(one.board)} at line {one.subject.mark.line}" for one in others),
    )


def _probe(mine: _Range, first: _Range) -> str:
    if first.board.entry.processor is not None:
        return probe(
            f"with power off, read the address switches of {short(mine.board)}, and which position means 1",
            "the address printed here",
            "write the real setting into the loadout",
        )
    return probe(
        f"with power off, take out {short(first.board)} and compare the address switches of both boards",
        "the same setting",
        "write the real setting into the loadout",
    )
