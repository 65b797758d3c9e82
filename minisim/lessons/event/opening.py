"""Opens event mode: the lessons that are offered, the folder it keeps, the machine of the invitation."""

from __future__ import annotations

import os
import time
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast

from minisim.lessons.event.diary import Diary
from minisim.lessons.event.invitation import Invitation
from minisim.lessons.event.model import Event, Teaching
from minisim.lessons.event.screen import AtWork, lines_of_slip, start
from minisim.lessons.reader import MACHINES, all_lessons

if TYPE_CHECKING:
    from minisim.bench.bench import Bench

INVITES = "chart"
"""The machine of the invitation: it fits a tide to a day of readings and draws it."""
_SLIPS = "slips"
_KEPT_SLIPS = 200


def usual_folder() -> Path:
    """Where counters and slips are kept if nothing is said."""
    state = os.environ.get("XDG_STATE_HOME", "")
    return (Path(state) if state else Path.home() / ".local" / "state") / "minisim" / "event"


def open_event(folder: Path, made: date | None = None) -> tuple[Event, Invitation]:
    """Everything but the screen; `made` stands on the slips, else today.  InputError: a lesson can't be read."""
    lessons = all_lessons()

    def today() -> date:
        return made or date.today()

    event = Event(
        lessons,
        Diary(folder),
        lambda lesson: start(lesson, today()),
        slip_of=lambda teaching: lines_of_slip(teaching, today()),
        print_slip=lambda teaching: keep_slip(teaching, folder / _SLIPS, datetime.now()),
        clock=time.monotonic,
    )
    return event, Invitation(inviting_bench)


def inviting_bench() -> Bench:
    """The machine at work, as fast as the original."""
    from minisim.bench.bench import Bench
    from minisim.loadout.reader import read_loadout
    from minisim.machine.build import build

    loadout = read_loadout(MACHINES / f"{INVITES}.yaml")
    return Bench(build(loadout), loadout=loadout, pace="real", may_go_back=False)


def keep_slip(teaching: Teaching, folder: Path, at: datetime) -> str:
    """Write a slip as text and picture, for the volunteer to print; the oldest ones go.  Gives what is told of it.

    InputError: it can't be written.
    """
    from minisim.lessons.slip import slip_of, write_slip

    slip = slip_of(cast("AtWork", teaching).scene.teacher, at.date())
    folder.mkdir(parents=True, exist_ok=True)
    name = f"{at:%Y-%m-%d-%H%M%S}-{slip.lesson}"
    for ending in (".txt", ".svg"):
        write_slip(slip, folder / f"{name}{ending}")
    for old in sorted(folder.glob("*.*"))[: -2 * _KEPT_SLIPS]:
        old.unlink(missing_ok=True)
    return f"Your slip is kept. Ask for the one of {at:%H:%M:%S}."
