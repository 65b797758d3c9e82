"""The test record: every stage signed, and what is looked at before the machine is handed on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from minisim.sheet.blocks import BLANK, Page, Table
from minisim.sheet.bringup.pages import stage_title
from minisim.sheet.bringup.supply import limits_text
from minisim.sheet.messages import say
from minisim.sheet.numbers import handle
from minisim.staging import Staging

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.loadout.model import Loadout
    from minisim.wiring.model import Wired

_SIGNED = ("record-initials", "record-date")
_FINAL = ("rails", "fans", "boot", "log", "sheet")


def test_record(loadout: Loadout, wired: Wired, catalogue: Catalogue) -> Page:
    """Stages, rails, boards and last looks, with blanks for result, volts, initials and date."""
    staging = Staging(loadout, catalogue)
    head = tuple(say(f"record-{name}") for name in ("stage", "done", "result", "initials", "date"))
    titles = [
        stage_title(stage, staging.last, staging.groups[stage.number - 1] if stage.number else ()) for stage in staging
    ]
    stages = Table("stage-record", say("record-caption"), head, tuple((title, *[BLANK] * 4) for title in titles))
    words = {"how": wired.boot.how, "file": loadout.file}
    last = Table(
        "record-final",
        say("record-final-caption"),
        (say("record-final-what"), *head[1:]),
        tuple((say(f"record-final-{name}", **words), *[BLANK] * 4) for name in _FINAL),
    )
    return Page("record", say("record-title"), (stages, *_rails(wired), _boards(wired), last))


def _rails(wired: Wired) -> Iterator[Table]:
    names = ("bringup-rails-rail", "bringup-rails-limits", "record-alone", "record-full", *_SIGNED)
    head = tuple(say(name) for name in names)
    for box in wired.boxes:
        limited = ((rail.rail, limits_text(rail.rail)) for rail in box.rails)
        rows = tuple((*cells, *[BLANK] * 4) for cells in limited)
        yield Table(f"record-rails-{box.id}", say("record-rails", box=box.id), head, rows)


def _boards(wired: Wired) -> Table:
    head = tuple(say(name) for name in ("bringup-in-place", "bringup-in-handle", "record-done", *_SIGNED))
    rows = tuple((str(board.place), handle(board.entry), *[BLANK] * 3) for board in wired.boards)
    return Table("record-boards", say("record-boards"), head, rows)
