"""Runs one killer after the other on each defect, in forked children that can hang or crash without harm."""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import BinaryIO

from mutants.defects import Defect

SECONDS = 120  # for all killers on one defect; a healthy core needs a quarter of it
NOTHING = Defect(0, "none", "", "base", "", "", "", "", "")


@dataclass(frozen=True, slots=True)
class Fate:
    """What became of one defect: the killer (empty: it survived) and what told it."""

    id: str
    killer: str
    told_by: str


class BaselineError(Exception):
    """The core without a defect is told too: nothing that the killers say means anything."""


def fates_of(
    defects: Sequence[Defect], names: Sequence[str], processes: int, tell: Callable[[Fate], None]
) -> list[Fate]:
    """The fates in the order of the defects, `processes` at once.  BaselineError: see there."""
    from mutants import killers

    killers.prepare()
    for fate in _forked([NOTHING] * len(names), [[name] for name in names], processes, lambda fate: None):
        if fate.killer:
            raise BaselineError(f"the core without a defect does not pass {fate.killer}: {fate.told_by}")
    return _forked(defects, [names] * len(defects), processes, tell)


def _forked(
    defects: Sequence[Defect], names: Sequence[Sequence[str]], processes: int, tell: Callable[[Fate], None]
) -> list[Fate]:
    fates: dict[int, Fate] = {}
    running: dict[int, tuple[int, BinaryIO]] = {}
    for number in range(len(defects)):
        if len(running) == processes:
            _wait(running, defects, names, fates, tell)
        running |= _child(number, defects[number], names[number])
    while running:
        _wait(running, defects, names, fates, tell)
    return [fates[number] for number in range(len(defects))]


def _child(number: int, defect: Defect, names: Sequence[str]) -> dict[int, tuple[int, BinaryIO]]:
    """Fork: the child looks, the parent gets its id and what it will say."""
    inlet, outlet = os.pipe()
    sys.stdout.flush()
    child = os.fork()
    if child:
        os.close(outlet)
        return {child: (number, os.fdopen(inlet, "rb"))}
    os.close(inlet)
    try:
        _look(defect, names, outlet)
    finally:
        os._exit(3)


def _look(defect: Defect, names: Sequence[str], outlet: int) -> None:
    """Plant the defect and look: a line before each killer, the last one has what told it."""
    from minisim.cpu._core import lib
    from mutants.killers import KILLERS

    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    signal.alarm(SECONDS)
    lib.ms_mutant = defect.number
    for name in names:
        os.write(outlet, _line(name, ""))
        try:
            found = KILLERS[name](defect)
        except Exception as error:  # whatever a broken core leads our own code to is told by it
            found = f"{type(error).__name__}: {error}".splitlines()[0][:200]
        if found is not None:
            os.write(outlet, _line(name, found))
            os._exit(1)
    os._exit(0)


def _line(killer: str, told_by: str) -> bytes:
    return json.dumps([killer, told_by]).encode("ascii") + b"\n"


def _wait(
    running: dict[int, tuple[int, BinaryIO]],
    defects: Sequence[Defect],
    names: Sequence[Sequence[str]],
    fates: dict[int, Fate],
    tell: Callable[[Fate], None],
) -> None:
    """Until a child ends: an end by a signal is a crash, or a hang that the alarm has ended."""
    child, status = os.wait()
    number, stream = running.pop(child)
    with stream:
        said = [json.loads(line) for line in stream.read().splitlines()]
    killer, told_by = said[-1] if said else (names[number][0], "")
    if os.waitstatus_to_exitcode(status) == 0:
        killer, told_by = "", ""
    elif not told_by:
        how = os.waitstatus_to_exitcode(status)
        told_by = "it hangs" if how == -signal.SIGALRM else f"it crashes ({how})"
    fates[number] = Fate(defects[number].id, killer, told_by)
    tell(fates[number])


class Progress:
    """How far it is: on a terminal one line that changes, else a line now and then."""

    def __init__(self, most: int) -> None:
        self.most, self.done, self.began = most, 0, time.monotonic()

    def __call__(self, fate: Fate) -> None:
        """One more."""
        self.done += 1
        seconds = time.monotonic() - self.began
        if sys.stderr.isatty():
            end = "" if self.done < self.most else "\n"
            print(f"\r{self.done} of {self.most} defects, {seconds:.0f} s ", end=end, file=sys.stderr, flush=True)
        elif self.done % 50 == 0 and self.done < self.most:
            print(f"... {self.done} of {self.most} defects, {seconds:.0f} s", file=sys.stderr, flush=True)
