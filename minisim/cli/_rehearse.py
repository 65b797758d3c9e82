"""`minisim trial card --rehearse`: the owner keys the card into the emulated machine, at its panel or octal console."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from minisim.machine.machine import Machine
    from minisim.trials.running.bench import Bench
    from minisim.trials.toggling.card import Card
    from minisim.trials.toggling.paper import Hands
    from minisim.trials.toggling.rehearsal import Rehearsal

CHECK, LEAVE = "check", "leave"
LEAVE_KEY = 0o35  # Ctrl-]
_MOST = 100_000  # instructions between two looks at the octal console


def rehearse(bench: Bench, card: Card, hands: Hands) -> int:
    """0: all words were right and the machine did what the card says; 1: not, or left before; 2: no way to key in."""
    from minisim.machine.errors import NotFittedError
    from minisim.trials.toggling.paper import OCTAL, PANEL
    from minisim.trials.toggling.rehearsal import Rehearsal

    if hands.console not in (OCTAL, PANEL):
        what = f"the {hands.console} of this processor is not modelled so far" if hands.console else "it has no console"
        print(f"minisim trial card: {hands.machine}: words can't be keyed in here: {what}", file=sys.stderr)
        return 2
    with bench.machine() as machine:
        try:
            rehearsal = Rehearsal(machine, card)
            return _at_console(rehearsal, machine) if hands.console == OCTAL else _at_panel(rehearsal, machine)
        except NotFittedError as error:
            print(f"minisim trial card: {hands.machine}: {error}", file=sys.stderr)
            return 2


def _say(*lines: str) -> None:
    for line in lines:
        print(line, flush=True)


# --- at the panel -----------------------------------------------------------------------------------------------------


def _at_panel(rehearsal: Rehearsal, machine: Machine) -> int:
    """A line says what a hand does; after each one what is wrong is told."""
    from minisim.panel import HELP, PanelDialog
    from minisim.trials.toggling.rehearsal import run_card

    dialog = PanelDialog(machine)
    _say("", "The panel of the emulated machine. A line says what a hand does:", HELP, f"{CHECK:24} compare all words")
    for line in _lines():
        words = line.strip().lower()
        if words == CHECK:
            _say(rehearsal.state())
            continue
        if not words:
            continue
        answer = dialog.do(line)
        if answer:
            _say(answer)
        if dialog.left:
            return 1
        if dialog.runs:
            wrong = rehearsal.wrong()
            stop = run_card(machine)
            _say(dialog.halted())
            return _judged(rehearsal, [str(one) for one in wrong] or rehearsal.after(stop))
        _say(*(f"wrong: {news}" for news in rehearsal.news()))
    _say(rehearsal.state())
    return 1


def _lines() -> Iterator[str]:
    """Lines of the input, with a mark before each at a terminal."""
    while True:
        if sys.stdin.isatty():
            print("panel: ", end="", flush=True)
        line = sys.stdin.readline()
        if not line:
            return
        yield line


def _judged(rehearsal: Rehearsal, wrong: list[str]) -> int:
    if not wrong:
        _say(f"All {len(rehearsal.card.words)} words were right, and the machine did what the card says.")
        return 0
    _say(*(f"wrong: {line}" for line in wrong))
    return 1


# --- at the octal console ---------------------------------------------------------------------------------------------


def _at_console(rehearsal: Rehearsal, machine: Machine) -> int:
    """Key after key goes to the octal console; what it shows is shown."""
    from minisim.terminal import RawTerminal

    machine.octal_console = True
    machine.press_halt()
    machine.run(_MOST)
    machine.press_halt(False)
    _say("", "The octal console of the emulated machine. Ctrl-] leaves.")
    _show(machine)
    if not sys.stdin.isatty():
        return _keys(rehearsal, machine, sys.stdin.buffer.read())
    with RawTerminal(sys.stdin.fileno()):
        while True:
            keys = os.read(sys.stdin.fileno(), 64)
            if not keys or LEAVE_KEY in keys:
                code = 1
                break
            ended = _typed(rehearsal, machine, keys, "\r\n")
            if ended is not None:
                code = ended
                break
    return code


def _keys(rehearsal: Rehearsal, machine: Machine, keys: bytes) -> int:
    for key in keys:
        ended = _typed(rehearsal, machine, bytes([key]), "\n")
        if ended is not None:
            return ended
    _say("", rehearsal.state())
    return 1


def _show(machine: Machine) -> None:
    """What the console printed."""
    sys.stdout.write("".join(chr(byte & 0o177) for byte in machine.console.take()))
    sys.stdout.flush()


def _typed(rehearsal: Rehearsal, machine: Machine, keys: bytes, end: str) -> int | None:
    """One key or a few; the exit code when the card has run."""
    from minisim.machine.records import Reason

    before = machine.instructions
    wrong = rehearsal.wrong()
    machine.console.feed(keys)
    stop = machine.run(_MOST)
    _show(machine)
    for news in [] if machine.instructions > before else list(rehearsal.news()):
        sys.stdout.write(f"{end}wrong: {news}{end}")
    sys.stdout.flush()
    if machine.instructions == before:
        return None
    sys.stdout.write(end)
    told = [str(one) for one in wrong] or rehearsal.after(stop)
    if stop.reason is not Reason.HALTED:
        told = told or [f"it did not halt: {stop}"]
    return _judged(rehearsal, told)
