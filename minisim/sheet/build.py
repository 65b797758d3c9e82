"""From a loadout to its sheet: which pages there are, and in which order."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import TYPE_CHECKING

from minisim.checking import check_wired
from minisim.sheet.blocks import Document, Page
from minisim.sheet.bringup import bring_up_pages, test_record
from minisim.sheet.cautions import cautions_page
from minisim.sheet.drawing.backplane import backplane_drawing
from minisim.sheet.drawing.pins import pin_drawings
from minisim.sheet.messages import say
from minisim.sheet.sections.addresses import addresses_page
from minisim.sheet.sections.boards import Where, boards_page
from minisim.sheet.sections.cables import cables_page
from minisim.sheet.sections.findings import accepted_damage, findings_page, open_damage, warning_page
from minisim.sheet.sections.log import log_page
from minisim.sheet.sections.machine import machine_page
from minisim.sheet.sections.power import power_page
from minisim.sheet.sections.settings import settings_page
from minisim.sheet.sections.sources import sources_page
from minisim.sheet.transport import transport_pages
from minisim.wiring.resolve import resolve

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.findings import Report
    from minisim.loadout.model import Loadout
    from minisim.logbook import Log
    from minisim.wiring.model import Wired


def sheet_of(
    loadout: Loadout, catalogue: Catalogue, *, made: date, log: Log, where: Where = lambda item: ""
) -> Document:
    """The sheet of a loadout; with damage that nobody has taken on, the warning page alone.

    `made` is the date on it, `log` what was written down of the machine, `where` gives the shelf of an item.
    """

    def pages(wired: Wired, report: Report, catalogue: Catalogue, facts: dict[str, str]) -> Iterator[Page]:
        return _pages(wired, report, catalogue, log, where, facts)

    return _document(("sheet-title", "sheet-foot"), loadout, catalogue, made, pages)


def transport_list_of(loadout: Loadout, catalogue: Catalogue, *, made: date) -> Document:
    """The check list after transport; with damage that nobody has taken on, the warning page alone."""

    def pages(wired: Wired, report: Report, catalogue: Catalogue, _: dict[str, str]) -> Iterator[Page]:
        return transport_pages(wired, catalogue, tuple(accepted_damage(report)))

    return _document(("transport-title", "transport-foot"), loadout, catalogue, made, pages)


_Pages = Callable[["Wired", "Report", "Catalogue", dict[str, str]], Iterator[Page]]


def _document(keys: tuple[str, str], loadout: Loadout, catalogue: Catalogue, made: date, pages: _Pages) -> Document:
    """A document; `keys` are of the texts of its title and its foot; nothing but the warning where damage is open."""
    from minisim.cli import version

    catalogue = catalogue.beside(loadout.path)
    wired = resolve(loadout, catalogue)
    report = check_wired(wired)
    facts = {
        "file": loadout.file,
        "sha256": loadout.sha256,
        "version": version(),
        "date": made.isoformat(),
        "state": loadout.state,
    }
    damage = open_damage(report)
    shown = (warning_page(damage),) if damage else tuple(pages(wired, report, catalogue, facts))
    title, foot = keys
    words = {"name": loadout.name, "version": facts["version"], "date": facts["date"], "hash": loadout.sha256[:12]}
    return Document(say(title, name=loadout.name), say(foot, **words), shown, facts=facts)


def _pages(
    wired: Wired, report: Report, catalogue: Catalogue, log: Log, where: Where, facts: dict[str, str]
) -> Iterator[Page]:
    yield cautions_page(wired, catalogue, accepted_damage(report))
    yield machine_page(wired, report)
    for unit in wired.units:
        title = say("backplane-title", unit=f"{unit.box}/{unit.id}")
        yield Page(f"unit-{unit.box}-{unit.id}", title, (backplane_drawing(wired, unit.index),))
    if pins := pin_drawings(wired):
        yield Page("pins", say("pins-title"), pins)
    yield boards_page(wired, where)
    yield settings_page(wired)
    yield cables_page(wired)
    yield addresses_page(wired)
    yield power_page(wired)
    yield findings_page(report)
    yield from bring_up_pages(wired.loadout, wired, catalogue)
    yield test_record(wired.loadout, wired, catalogue)
    if page := log_page(wired, log):
        yield page
    yield sources_page(wired, report, facts)
