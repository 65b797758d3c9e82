"""Findings of small loadouts, and what is shown of them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.checking import check_wired
from minisim.consequence import Shown, show
from minisim.findings import Finding, Report
from minisim.loadout.reader import read_loadout
from minisim.wiring.model import Wired
from minisim.wiring.resolve import resolve

HERE = Path(__file__).parent
RULES = HERE.parent / "rules"
_CATALOGUE = Catalogue()


@cache
def machine(path: Path) -> tuple[Wired, Report, Catalogue]:
    """A loadout, wired and checked; a folder `catalogue` beside it adds entries."""
    own = path.parent / "catalogue"
    catalogue = Catalogue(extra=[own]) if own.is_dir() else _CATALOGUE
    wired = resolve(read_loadout(path, catalogue=catalogue), catalogue)
    return wired, check_wired(wired), catalogue


def findings(path: Path, rule: str) -> list[Finding]:
    """The findings of one rule in a loadout."""
    return [one for one in machine(path)[1].findings if one.rule == rule]


def shown(path: Path, rule: str, at: str | None = None) -> tuple[Shown, ...]:
    """What is shown of the first finding of a rule, or of that at a place.  NotShownError: nothing."""
    wired, report, catalogue = machine(path)
    finding = next(one for one in findings(path, rule) if at in (None, one.place))
    return show(finding, wired, report, catalogue)


def fixture(rule: str, name: str) -> Path:
    """A bad loadout of a rule."""
    return RULES / rule / f"bad-{name}.yaml"
