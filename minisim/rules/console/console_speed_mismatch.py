"""Line and terminal are set to different speeds or wirings.

What is checked
    For every cable to a terminal: whether the speed of the line (setting baud), that stated for the terminal and that
    of the terminal's kind agree; and whether current loop or voltage levels (setting wiring) agree between board,
    cable and terminal.

Why it matters
    Different speeds give garbage.  The wrong wiring gives silence, or output without input: the cable holds the wire
    that chooses one or the other.

Example
    machine.yaml:13:5: doubt CONSOLE-003 console-speed-mismatch [main/a/2CD]: the line is set to 9600 baud, the
    terminal to 300; both must be alike (common-practice, serial-notes-page).

Putting it right
    Set both alike; take the cable and the wiring of the terminal.

Known limits
    Character length, parity and stop bits can't be stated in a loadout: look at both when letters come out wrong at
    the right speed.  A board whose speed nobody states is asked for.

Sources
    common-practice: both ends alike.
    serial-notes-page: the wire in the cable that chooses current loop or voltage levels.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.catalogue.model import CableEntry
from minisim.findings import Severity
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import known, machine_subject, short
from minisim.wiring.model import Wired, WiredBoard, WiredCable

LOOP, LEVELS = "current-loop", "eia"
IN_THE_CATALOGUE = {"20 mA": LOOP, "EIA": LEVELS}  # its words for cables and terminals
WORDS = {LOOP: "current loop", LEVELS: "voltage levels"}
SOURCES = ("common-practice", "serial-notes-page")


@rule(
    id="CONSOLE-003",
    slug="console-speed-mismatch",
    severity=Severity.DOUBT,
    needs=("SLOT-008", "CABLE-001"),
    sources=SOURCES,
)
def console_speed_mismatch(wired: Wired) -> Iterator[Result]:
    """Compare both ends of every cable to a terminal."""
    if not wired.cables:
        yield does_not_apply(machine_subject(wired))
    for one in wired.cables:
        board = wired.boards[one.board] if one.board is not None else None
        if board is None or one.registers is None or not one.drive.line:
            yield does_not_apply(Subject(one.end.board, board.name if board else "", one.end.mark))
            continue
        yield _speeds(board, one)
        yield _wirings(board, one)


def _subject(board: WiredBoard, one: WiredCable) -> Subject:
    return Subject(str(board.place), board.name, one.end.mark)


def _speeds(board: WiredBoard, one: WiredCable) -> Result:
    subject, setting = _subject(board, one), board.placed.settings.get("baud")
    kind = one.drive.line.get("baud", "")
    line = (
        setting.value
        if setting is not None and isinstance(setting.value, int)
        else _number(setting.text if setting else "")
    )
    terminal = one.end.baud if one.end.baud is not None else _number(kind)
    if line is None and terminal is None:
        return does_not_apply(subject)
    if line is None:
        return not_checked(subject, f"speed of the line of {short(board)}")
    if terminal is None:
        return not_checked(subject, f"speed of the terminal at {board.place}")
    if line != terminal:
        return _finding(subject, f"the line is set to {line} baud, the terminal to {terminal}", "garbage on both sides")
    fixed = _number(kind)
    if fixed is not None and fixed != terminal:
        return _finding(
            subject, f"line and cable say {line} baud, this terminal works at {fixed} only", "garbage on both sides"
        )
    return passed(subject)


def _number(text: str) -> int | None:
    return int(text) if text.isdigit() else None


def _wirings(board: WiredBoard, one: WiredCable) -> Result:
    subject, setting = _subject(board, one), board.placed.settings.get("wiring")
    said = {
        "the line": setting.text if setting else "",
        "the cable": IN_THE_CATALOGUE.get(_loop_of(one.cable), ""),
        "the terminal": IN_THE_CATALOGUE.get(one.drive.line.get("loop", ""), ""),
    }
    stated = {who: word for who, word in said.items() if word}
    if len(set(stated.values())) > 1:
        text = ", ".join(f"{who} is for {WORDS[word]}" for who, word in stated.items())
        return _finding(subject, text, "silence, or output without input", SOURCES[1:])
    return passed(subject) if len(stated) > 1 else does_not_apply(subject)


def _loop_of(cable: CableEntry | None) -> str:
    return (known(cable.loop, f"wiring of {cable.id}") or "") if cable is not None else ""


def _finding(subject: Subject, found: str, cause: str, sources: tuple[str, ...] = SOURCES[:1]) -> Result:
    return failed(
        subject,
        found=found,
        limit="both must be alike",
        cause=cause,
        fix="set line and terminal alike, and take the cable for them",
        next_measurement=probe(
            "unplug the terminal and join its receive and transmit wires, then type",
            "what you type on its own screen or paper",
            "the terminal or its cable is at fault, not the line",
        ),
        sources=sources,
    )
