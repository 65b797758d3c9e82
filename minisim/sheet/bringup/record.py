"""The test record: every stage signed, and what is looked at before the machine is handed on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.sheet.blocks import BLANK, Page, Table
from minisim.sheet.bringup.pages import stage_title
from minisim.sheet.messages import say
from minisim.staging import Staging

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.loadout.model import Loadout
    from minisim.wiring.model import Wired

_FINAL = ("rails", "fans", "boot", "log", "sheet")


def test_record(loadout: Loadout, wired: Wired, catalogue: Catalogue) -> Page:
    """Stages and last looks, with blanks for result, initials and date."""
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
    return Page("record", say("record-title"), (stages, last))
