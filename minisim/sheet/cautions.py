"""The cautions: those for every machine, and those that this machine adds (its boxes, supplies, drives, lines)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from minisim.known import Known
from minisim.sheet.blocks import Block, Items, Page, Role, Words
from minisim.sheet.messages import say
from minisim.sheet.numbers import figure_text, how_sure

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.catalogue.model import ChassisEntry, DriveEntry
    from minisim.wiring.model import Wired, WiredBox

# In the order of the hand: before the box is open, supply, cards, lifting, cleaning, lines.
GENERAL = (
    "plug", "fuse", "charge", "rings", "dummy", "second", "static", "key", "weight", "rack", "dust", "lines",
)  # fmt: skip


def general_cautions() -> tuple[str, ...]:
    """The list that holds for every machine."""
    return tuple(say(f"caution-{name}") for name in GENERAL)


def cautions_text() -> str:
    """The same as a page of plain text: a title, what comes first, the list."""
    rows = "\n".join(f"- {row}" for row in general_cautions())
    return f"{say('cautions-title')}\n\n{say('cautions-codes')}\n\n{rows}\n"


def cautions_page(wired: Wired, catalogue: Catalogue, first: Iterable[Words]) -> Page:
    """The first page: what must stand `first`, what this machine adds, then the general list."""
    own = tuple(_own(wired, catalogue))
    blocks: list[Block] = [*first, Words(say("cautions-codes"), Role.CAUTION)]
    if own:
        blocks.append(Items(own))
    return Page("cautions", say("cautions-title"), (*blocks, Items(general_cautions())), starts_sheet=False)


def _own(wired: Wired, catalogue: Catalogue) -> Iterator[str]:
    for box in wired.boxes:
        yield from _of_box(box, catalogue)
    drives = {(one.drive.id, one.end.board): one for one in wired.cables}
    for one in drives.values():
        if weight := _weight(one.drive):
            yield say("caution-drive-heavy", drive=one.drive.kind, place=one.end.board, weight=weight)
    if any(is_disk(one.drive) for one in wired.cables):
        yield say("caution-drive-heads")
    for one in wired.cables:
        if one.end.wiring == "current-loop":
            yield say("caution-current-loop", place=one.end.board)


def is_disk(drive: DriveEntry) -> bool:
    """Has it heads that must be locked for a journey?  A floppy's lie on the medium only while its door is shut."""
    return "disk" in drive.id and "floppy" not in drive.id


def _of_box(box: WiredBox, catalogue: Catalogue) -> Iterator[str]:
    if box.supply is not None:
        rails = [f"{figure_text(rail.rating)} A at {rail.rail}" for rail in box.rails if isinstance(rail.rating, Known)]
        if rails:
            yield say("caution-supply", box=box.id, supply=box.supply.id, rails=", ".join(rails))
    kinds = [catalogue.chassis(name) for name in (box.supply.serves if box.supply else ()) if name != "any"]
    if len(kinds) != 1:
        yield say("caution-box-unknown", box=box.id)
        return
    yield from _of_chassis(box.id, kinds[0])


def _of_chassis(box: str, chassis: ChassisEntry) -> Iterator[str]:
    words = {"box": box, "chassis": chassis.kind}
    if isinstance(chassis.kg, Known):
        yield say("caution-box-kg", **words, kg=figure_text(chassis.kg), evidence=how_sure(chassis.kg))
    else:
        yield say("caution-box-no-kg", **words)
    if isinstance(chassis.people, Known) and str(chassis.people.peek) != "1":
        yield say("caution-box-people", **words, people=chassis.people.peek, evidence=how_sure(chassis.people))
    if isinstance(chassis.slides, Known):
        yield say("caution-box-slides", **words, slides=chassis.slides.peek, evidence=how_sure(chassis.slides))


def _weight(drive: DriveEntry) -> str:
    known = []
    if isinstance(drive.kg, Known):
        known.append(f"{figure_text(drive.kg)} kg")
    if isinstance(drive.people, Known) and str(drive.people.peek) != "1":
        known.append(f"{drive.people.peek} people")
    return ", ".join(known)
