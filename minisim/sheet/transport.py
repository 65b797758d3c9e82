"""The check list after transport: what the exhibitor looks at before the plug goes in, at power on, and at the end.

It names every board, cable and drive of the loadout.  What the rails and the console must show is that of the last
stage of the bring-up.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from minisim.sheet.blocks import BLANK, Block, Fields, Heading, ItemKind, Items, Page, Role, Table, Words
from minisim.sheet.bringup.answers import Answers
from minisim.sheet.bringup.console import answers_table
from minisim.sheet.bringup.supply import rail_tables
from minisim.sheet.cautions import general_cautions, is_disk
from minisim.sheet.messages import say
from minisim.sheet.numbers import handle
from minisim.staging import Staging

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.wiring.model import Wired, WiredCable

_BEFORE = ("warm", "stand", "marks", "foam", "mains", "fans", "covers", "screens")
_DAY = ("twin", "spares", "people")
_HOME = ("off", "heads", "cards", "lift", "log")


def transport_pages(wired: Wired, catalogue: Catalogue, first: tuple[Words, ...]) -> Iterator[Page]:
    """Three pages, to be worked through from top to bottom; `first` are damage findings the owner has taken on."""
    yield Page("before", say("transport-before"), (*first, *_before()), starts_sheet=False)
    yield Page("seated", say("transport-seated"), tuple(_seated(wired)))
    yield Page("power", say("transport-power"), tuple(_power(wired, catalogue)))


def _before() -> Iterator[Block]:
    yield Words(say("cautions-codes"), Role.CAUTION)
    yield Words(say("transport-how"))
    yield Fields(tuple((say(f"transport-{name}"), BLANK) for name in ("where", "date", "initials")))
    yield Items(_texts("before", _BEFORE), ItemKind.BOXES)
    yield Heading(say("cautions-title"))
    yield Items(general_cautions())


def _texts(part: str, names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(say(f"transport-{part}-{name}") for name in names)


# --- boards, cables, drives -------------------------------------------------------------------------------------------


def _seated(wired: Wired) -> Iterator[Block]:
    yield Words(say("transport-seated-how"), Role.CAUTION)
    rows = tuple((str(one.place), handle(one.entry), one.entry.kind, BLANK, BLANK) for one in wired.boards)
    yield _table("seated", "transport-boards-caption", ("place", "handle", "what", "done", "by"), rows)
    yield from _cables(wired)
    yield Heading(say("transport-drives"))
    drives = tuple(dict.fromkeys(_drive(one) for one in wired.cables))
    yield Items((*drives, say("transport-media")), ItemKind.BOXES)


def _table(name: str, caption: str, head: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> Table:
    return Table(f"transport-{name}", say(caption), tuple(say(f"transport-{one}") for one in head), rows)


def _cables(wired: Wired) -> Iterator[Block]:
    rows = tuple(_cable(one) for one in wired.cables)
    if not rows:
        yield Words(say("transport-no-cables"))
    else:
        yield _table("cables", "transport-cards-caption", ("from", "through", "to", "tight", "by"), rows)
    joints = tuple(
        (f"{one.box}/{one.id}", one.cable or say("joints-direct"), BLANK, BLANK) for one in wired.units if one.index
    )
    if joints:
        yield _table("joints", "transport-joints-caption", ("unit", "cable", "tight", "by"), joints)


def _cable(one: WiredCable) -> tuple[str, ...]:
    kinds = ([one.cable.kind] if one.cable else []) + [part.kind for part in one.through]
    return str(one.end.board), "; ".join(kinds) or say("figure-unknown"), one.drive.kind, BLANK, BLANK


def _drive(one: WiredCable) -> str:
    kind = one.drive.id
    if "terminal" in kind or "teleprinter" in kind:
        form = "terminal"
    elif is_disk(one.drive):
        form = "locked"
    else:
        form = "reader" if "reader" in kind or "printer" in kind else "door"
    return say(f"transport-drive-{form}", drive=one.drive.kind, place=str(one.end.board))


# --- power on ---------------------------------------------------------------------------------------------------------


def _power(wired: Wired, catalogue: Catalogue) -> Iterator[Block]:
    yield Items(_texts("power", ("halt", "on", "rails")), ItemKind.BOXES)
    staging = Staging(wired.loadout, catalogue)
    whole = staging.stage(staging.last)
    yield from rail_tables(whole)
    yield Words(say("bringup-rails-why"), Role.SMALL)
    answers = Answers(whole, catalogue)
    rows = tuple(row for one in wired.memories for row in answers.memory(one))
    rows += tuple(row for one in wired.registers for row in answers.registers(one))
    yield Heading(say("transport-answers"))
    if answers.no_model:
        yield Words(say("transport-answers-none", why=answers.no_model))
    if rows:
        yield answers_table(whole.number, rows)
    words = {"how": wired.boot.how, "file": wired.loadout.file}
    yield Items(tuple(say(f"transport-power-{name}", **words) for name in ("run", "boot")), ItemKind.BOXES)
    yield Heading(say("transport-day"))
    yield Items(_texts("day", _DAY), ItemKind.BOXES)
    yield Heading(say("transport-home"))
    yield Items(_texts("home", _HOME), ItemKind.BOXES)
