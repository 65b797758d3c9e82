"""One page for each stage."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from minisim.sheet.blocks import BLANK, Block, ItemKind, Items, Page, Role, Table, Words
from minisim.sheet.bringup.answers import Answers
from minisim.sheet.bringup.console import console_blocks
from minisim.sheet.bringup.supply import rail_tables, supply_blocks
from minisim.sheet.bringup.tests_of_boards import board_tests
from minisim.sheet.messages import say
from minisim.sheet.numbers import handle
from minisim.staging import Stage, Staging

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.loadout.model import Loadout
    from minisim.wiring.model import Wired, WiredBoard


def bring_up_pages(loadout: Loadout, wired: Wired, catalogue: Catalogue) -> tuple[Page, ...]:
    """All stages of a loadout; `wired` is the whole machine."""
    staging = Staging(loadout, catalogue)
    return tuple(_page(stage, staging, catalogue) for stage in staging)


def stage_title(stage: Stage, last: int, added: tuple[WiredBoard, ...]) -> str:
    """`Stage 2 of 4: with M0000 (main/a/2AB)`."""
    if stage.number == 0:
        title = say("bringup-supply-alone")
    elif stage.number == 1:
        title = say("bringup-least")
    else:
        title = say("bringup-with", board=f"{handle(added[0].entry)} ({added[0].place})")
    return say("bringup-page", number=str(stage.number), last=str(last), title=title)


def _page(stage: Stage, staging: Staging, catalogue: Catalogue) -> Page:
    added = staging.groups[stage.number - 1] if stage.number else ()
    blocks = tuple(_blocks(stage, staging, catalogue, added))
    return Page(f"stage-{stage.number}", stage_title(stage, staging.last, added), blocks)


def _blocks(
    stage: Stage, staging: Staging, catalogue: Catalogue, added: tuple[WiredBoard, ...]
) -> Iterator[Block]:
    if stage.number == 0:
        yield from supply_blocks(stage, staging.stage(1) if staging.last else None)
        return
    yield Words(say("bringup-power-off"), Role.CAUTION)
    yield _boards_in(stage.number, added)
    if stage.cards:
        yield Words(say("bringup-cards", cards=", ".join(stage.cards)))
    if stage.number == 1:
        yield Items((say("bringup-halt-on"),), ItemKind.BOXES)
    yield from rail_tables(stage, staging.stage(stage.number - 1))
    answers = Answers(stage, catalogue)
    if stage.number == 1:
        yield from console_blocks(stage, answers, catalogue)
    else:
        yield from board_tests(stage, answers, added)
    if stage.waits:
        yield Words(say("bringup-waits", boards=", ".join(stage.waits)), Role.SMALL)


def _boards_in(number: int, added: tuple[WiredBoard, ...]) -> Table:
    head = tuple(say(f"bringup-in-{name}") for name in ("place", "handle", "item", "done"))
    rows = tuple((str(one.place), handle(one.entry), one.placed.item or BLANK, BLANK) for one in added)
    return Table(f"put-in-{number}", say("bringup-in-caption"), head, rows)
