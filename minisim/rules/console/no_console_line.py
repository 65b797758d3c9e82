"""No board answers as the console.

What is checked
    Whether any serial line, on a board or on the processor, answers at 777560.

Why it matters
    The machine runs, but can say nothing and takes no keys: it looks dead.

Example
    machine.yaml:8:7: fault CONSOLE-002 no-console-line [main]: no line answers at 777560; one serial line must be the
    console (common-practice).

Putting it right
    Fit a serial board that can be the console, or set one of those present to 777560 and vector 60.

Known limits
    Machines that are worked from a panel of switches alone can do without; accept the finding for these.

Sources
    common-practice: everything else is tried from the console.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Unknown
from minisim.rules import Result, failed, not_checked, passed, probe, rule
from minisim.rules._facts import CONSOLE, answers_console, known, machine_subject, short
from minisim.wiring.describe import DESCRIBED_DEVICE
from minisim.wiring.model import Wired, WiredBoard

LINE = "serial-line"


@rule(id="CONSOLE-002", slug="no-console-line", severity=Severity.FAULT, sources=("common-practice",))
def no_console_line(wired: Wired) -> Iterator[Result]:
    """Look for a line at the console's address."""
    subject = machine_subject(wired)
    if any(answers_console(one) for one in wired.registers if one.device in (LINE, DESCRIBED_DEVICE)):
        yield passed(subject)
        return
    lines = [registers for registers in wired.registers if registers.device == LINE]
    unsure = [short(wired.boards[one.board]) for one in lines if isinstance(one.base, Unknown)]
    switches = dict.fromkeys(one.board for one in lines if _is_switched(wired.boards[one.board]))
    if switches:
        yield not_checked(subject, *(f"console switch of {short(wired.boards[one])}" for one in switches))
        return
    if unsure:
        yield not_checked(subject, *(f"address of the serial line of {name}" for name in unsure))
        return
    hidden = [board for board in wired.boards if board.entry.processor and board.entry.processor.console_line != "no"]
    if hidden:
        yield not_checked(subject, f"console line of {short(hidden[0])}")
        return
    for one in lines:
        known(one.base, f"address of the {LINE} of {short(wired.boards[one.board])}")
    able = next((board for one in lines if _can_be_console(board := wired.boards[one.board])), None)
    there = ", ".join(dict.fromkeys(short(wired.boards[one.board]) for one in lines))
    yield failed(
        subject,
        found="no line answers at 777560" + (f"; serial lines: {there}" if there else " and there is no serial board"),
        limit="one serial line must be the console",
        cause="the machine runs but can say nothing",
        fix=f"set {short(able)} to 777560 and vector 60" if able else "fit a serial board that can be the console",
        next_measurement=probe(
            "with power off, read the address switches of every board with a serial line",
            "none set to 777560",
            "put that board into the loadout as it is set",
        ),
    )


def _is_switched(board: WiredBoard) -> bool:
    """Does a switch of its own make one of several lines the console, and nobody says how it stands?"""
    lines = [entry for entry in board.entry.registers if entry.device == LINE and entry.at.choices]
    return len(lines) > 1 and _can_be_console(board) and "console" not in board.placed.settings


def _can_be_console(board: WiredBoard) -> bool:
    """Has the board a line with the console's address among those it can be set to?"""
    return any(entry.device == LINE and CONSOLE in entry.at.choices for entry in board.entry.registers)
