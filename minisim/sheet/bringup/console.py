"""The first octal at the console: how this processor is spoken to, and what it must answer."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from minisim.cpu.disassembler import disassemble
from minisim.known import Known
from minisim.rules._facts import answers_console
from minisim.sheet.blocks import BLANK, Block, Heading, ItemKind, Items, Role, Table, Words
from minisim.sheet.bringup.answers import PROGRAM, PROGRAM_AT, Answers, Row
from minisim.sheet.messages import say
from minisim.sheet.numbers import how_sure

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.staging import Stage
    from minisim.wiring.model import Wired

_PATTERNS = (0o125252, 0o052525, 0o177777, 0)
_COMMERCIAL = "late-ttl-commercial"  # its terminal console is another one than the debugger (processor 7.5)


def console_blocks(stage: Stage, answers: Answers, catalogue: Catalogue) -> Iterator[Block]:
    """How to ask, what must come, a pattern to write and read back, three words to run."""
    kind = console_kind(answers)
    profile = answers.profile
    yield Heading(say("bringup-console"))
    if kind == "debugger":
        yield Words(say("bringup-console-debugger-up"), Role.STRONG)
    yield Words(_how(kind, stage))
    if profile is not None and isinstance(profile.console, Known):
        yield Words(say("bringup-console-sure", sure=_sure(profile.console)), Role.SMALL)
    yield from no_model(answers)
    rows = tuple(_rows(stage, answers))
    if rows:
        yield answers_table(stage.number, rows)
    if kind == "debugger":
        yield Words(say("bringup-console-own-line"), Role.SMALL)
    yield from _patterns(kind, answers)
    yield from _program(kind, stage, answers)
    yield Items((say("bringup-power-up", how=stage.wired.boot.how),), ItemKind.BOXES)


def console_kind(answers: Answers) -> str:
    """debugger, commercial, switches, none, or unknown."""
    profile = answers.profile
    if profile is None or not isinstance(profile.console, Known):
        return "unknown"
    if profile.id == _COMMERCIAL:
        return "commercial"
    kinds = {"terminal debugger": "debugger", "switches": "switches", "both": "switches"}
    return kinds.get(profile.console.peek, "none")


def answers_table(number: int, rows: tuple[Row, ...]) -> Table:
    """The table of expected answers of a stage."""
    head = tuple(say(f"bringup-answers-{name}") for name in ("address", "what", "expect", "sure", "found"))
    return Table(f"answers-{number}", say("bringup-answers-caption"), head, rows)


def no_model(answers: Answers) -> Iterator[Block]:
    """Why words of registers are missing from the answers; nothing where there is a model."""
    if answers.no_model:
        yield Words(say("bringup-no-model", why=answers.no_model), Role.STRONG)


def _how(kind: str, stage: Stage) -> str:
    if kind != "debugger":
        return say(f"bringup-console-{kind}")
    baud = _console_baud(stage.wired)
    speed = say("bringup-console-baud", baud=baud) if baud else say("bringup-console-any-baud")
    return say("bringup-console-debugger", speed=speed)


def _console_baud(wired: Wired) -> str:
    """Of the cable of the console, else of the board's own setting; "" where neither is stated."""
    lines = {number: one for number, one in enumerate(wired.registers) if answers_console(one)}
    for cable in wired.cables:
        if cable.registers in lines and cable.end.baud:
            return str(cable.end.baud)
    for one in lines.values():
        setting = wired.boards[one.board].placed.settings.get("baud")
        if setting is not None:
            return setting.text
    return ""


def _sure(figure: Known[str]) -> str:
    """`seen in print [key]`, or the evidence alone where no document is known."""
    return f"{how_sure(figure)} [{', '.join(figure.sources)}]" if figure.sources else how_sure(figure)


def _rows(stage: Stage, answers: Answers) -> Iterator[Row]:
    for rom in stage.wired.roms:
        yield from answers.rom(rom)
    for memory in stage.wired.memories:
        yield from answers.memory(memory)
    for registers in stage.wired.registers:
        yield from answers.registers(registers)


def _patterns(kind: str, answers: Answers) -> Iterator[Block]:
    if answers.ran is None:
        return
    names = ("answers-address", "deposit-write", "deposit-read", "answers-found")
    head = tuple(say(f"bringup-{name}") for name in names)
    rows = tuple((answers.shown(PROGRAM_AT), f"{word:06o}", f"{word:06o}", BLANK) for word in _PATTERNS)
    yield Table("patterns", say("bringup-deposit-caption"), head, rows)
    how = kind if kind in ("debugger", "switches") else "other"
    yield Words(say(f"bringup-deposit-how-{how}"), Role.SMALL)


def _program(kind: str, stage: Stage, answers: Answers) -> Iterator[Block]:
    if answers.ran is None:
        return
    head = tuple(say(f"bringup-{name}") for name in ("answers-address", "program-word", "program-text"))
    lines = disassemble(PROGRAM, PROGRAM_AT)
    rows = tuple(
        (answers.shown(PROGRAM_AT + 2 * number), f"{word:06o}", line.text)
        for number, (word, line) in enumerate(zip(PROGRAM, lines, strict=True))
    )
    yield Table("program", say("bringup-program-caption"), head, rows)
    yield from _clock_first(stage)
    words = {"start": f"{PROGRAM_AT:o}", "stop": f"{answers.ran.stop:06o}", "value": f"{answers.ran.value:06o}"}
    key = "bringup-program-start-debugger" if kind == "debugger" else "bringup-program-start-other"
    yield Words(say(key, **words), Role.STRONG)
    if kind == "debugger":
        yield Words(say("bringup-program-sure"), Role.SMALL)


def _clock_first(stage: Stage) -> Iterator[Block]:
    """A clock without a register can't be told to be quiet, and the program runs with PS 0 (devices 2)."""
    for one in stage.wired.registers:
        if one.device == "event-line" and isinstance(one.vector, Known):
            yield Words(say("bringup-program-clock", vector=f"{one.vector.peek:03o}"), Role.STRONG)
