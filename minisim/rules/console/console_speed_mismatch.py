"""Line and terminal are set to different speeds, character forms or wirings.

What is checked
    For every cable to a terminal: whether speed, character length, parity and stop bits of the line (settings baud,
    bits, parity, stop-bits) and of the terminal agree; whether current loop or voltage levels (wiring) agree between
    board, cable and terminal; of a current loop whether one side feeds it, and one only (loop); and whether a speed is
    one at which the board is said to fail.

Why it matters
    Different speeds give garbage, a different form wrong letters or none.  The wrong wiring gives silence, or output
    without input: the cable holds the wire that chooses.  A loop that nobody feeds is dead; one fed twice is overfed.

Example
    machine.yaml:13:5: doubt CONSOLE-003 console-speed-mismatch [main/a/2CD]: the line is set to 9600 baud, the
    terminal to 300; both must be alike (common-practice).

Putting it right
    Set both alike; take the cable and the wiring of the terminal.

Known limits
    What is set by program, on lines without switches, can't be stated in a loadout.  What one side states and the other
    does not is asked for.  That one side feeds a loop is from memory, firm.  The lowest speed of the four-line board is
    disputed (D16).

Sources
    common-practice: both ends alike.
    serial-notes-page: the wire in the cable that chooses current loop or voltage levels.
    line-and-clock-page: lines that feed their loop and lines that do not.
    serial-boards-wiki: speeds of the boards.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, Subject, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import machine_subject, short
from minisim.rules._lines import (
    FORM,
    LOOP,
    WORDS,
    Ends,
    form,
    number,
    setting,
    speeds,
    unstated,
    unstated_anywhere,
    wirings,
)
from minisim.rules._options import listed
from minisim.wiring.model import Wired, WiredBoard, WiredCable

SOURCES = ("common-practice", "serial-notes-page", "line-and-clock-page", "serial-boards-wiki")


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
        yield _form(wired, board, one)
        yield _wirings(board, one)


def _subject(board: WiredBoard, one: WiredCable) -> Subject:
    return Subject(str(board.place), board.name, one.end.mark)


def _speeds(board: WiredBoard, one: WiredCable) -> Result:
    subject, (line, terminal) = _subject(board, one), speeds(board, one)
    if line is None and terminal is None:
        return does_not_apply(subject)
    if line is None:
        return not_checked(subject, f"speed of the line of {short(board)}")
    if terminal is None:
        return not_checked(subject, f"speed of the terminal at {board.place}")
    fixed = number(one.drive.line.get("baud", ""))
    if line != terminal:
        found = f"the line is set to {line} baud, the terminal to {terminal}"
        act = f"set the line to {fixed} baud" if fixed is not None else f"set the terminal to {line} baud"
        return _finding(subject, found, "garbage on both sides", fix=act)
    if fixed is not None and fixed != terminal:
        found = f"line and cable say {line} baud, this terminal works at {fixed} only"
        return _finding(subject, found, "garbage on both sides", fix=f"set line and cable to {fixed} baud")
    entry = board.entry.settings.get("baud")
    if entry is not None and str(line) in entry.doubtful:
        return _doubtful(subject, line, entry.doubtful[str(line)])
    return passed(subject)


def _form(wired: Wired, board: WiredBoard, one: WiredCable) -> Result:
    """Character length, parity, stop bits; what is not stated is one thing to ask for, however many lines there are."""
    subject = _subject(board, one)
    ends = {word: form(board, one, name) for name, word in FORM.items()}
    wrong = [
        f"{word} {both.line} at the line and {both.terminal} at the terminal"
        for word, both in ends.items()
        if both.differ
    ]
    if wrong:
        return _finding(subject, listed(wrong), "wrong letters, or none", fix="set the terminal as the line is set")
    if unstated(board, one):
        return not_checked(subject, unstated_anywhere(wired))
    return passed(subject) if any(both.agree for both in ends.values()) else does_not_apply(subject)


def _wirings(board: WiredBoard, one: WiredCable) -> Result:
    subject, stated = _subject(board, one), wirings(board, one)
    if len(set(stated.values())) > 1:
        text = ", ".join(f"{who} is for {WORDS[word]}" for who, word in stated.items())
        return _finding(subject, text, "silence, or output without input", SOURCES[1:2])
    sides = Ends(setting(board, "loop"), one.end.loop)
    if LOOP in stated.values() and sides.agree:
        text = f"both sides of the current loop are {sides.line}"
        cause = "two supplies drive one loop" if sides.line == "active" else "no current flows: silence both ways"
        other = "passive" if sides.line == "active" else "active"
        return _finding(
            subject, text, cause, SOURCES[2:3], limit="one side must be active, the other passive",
            fix=f"make the board's side {other}",
        )  # fmt: skip
    return passed(subject) if len(stated) > 1 else does_not_apply(subject)


def _doubtful(subject: Subject, line: int, dispute: str) -> Result:
    return _finding(
        subject, f"the line is set to {line} baud, which one document has and another has not",
        "the board may not work at this speed", SOURCES[3:], limit="take a speed that both have", disputed=(dispute,),
        fix="set line and terminal to 150 baud or more",
    )  # fmt: skip


def _finding(
    subject: Subject,
    found: str,
    cause: str,
    sources: tuple[str, ...] = SOURCES[:1],
    limit: str = "both must be alike",
    disputed: tuple[str, ...] = (),
    fix: str = "set line and terminal alike, and take the cable for them",
) -> Result:
    return failed(
        subject,
        found=found,
        limit=limit,
        cause=cause,
        fix=fix,
        next_measurement=probe(
            "unplug the terminal and join its receive and transmit wires, then type",
            "what you type on its own screen or paper",
            "the terminal or its cable is at fault, not the line",
        ),
        sources=sources,
        also=(f"the line of {subject.board} at {subject.place}",),
        disputed=disputed,
    )
