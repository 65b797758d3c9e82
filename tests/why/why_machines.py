"""Machines for the tests of symptoms: the demo loadouts, the fixtures of the rules, and texts written in place."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.checking import check_wired
from minisim.findings import Report
from minisim.loadout.reader import read_loadout
from minisim.why.diagnosis import Diagnosis, explain, recognised
from minisim.wiring.model import Wired
from minisim.wiring.resolve import resolve

DEMO = Path(__file__).parents[2] / "loadouts" / "kittiwake"
RULES = Path(__file__).parents[1] / "rules"
MACHINES = ("desk", "gauge", "chart", "ledger")
_CATALOGUE = Catalogue()


@cache
def machine(path: Path) -> tuple[Wired, Report, Catalogue]:
    """A loadout, wired and checked; a folder `catalogue` beside it adds entries."""
    own = path.parent / "catalogue"
    catalogue = Catalogue(extra=[own]) if own.is_dir() else _CATALOGUE
    wired = resolve(read_loadout(path, catalogue=catalogue), catalogue)
    return wired, check_wired(wired), catalogue


def asked(path: Path, words: str) -> Diagnosis:
    """What `minisim why` finds for a loadout and a symptom."""
    wired, report, catalogue = machine(path)
    return explain(wired, report, words, recognised(words), catalogue)


def demo(name: str, words: str) -> Diagnosis:
    """The same for a demo machine."""
    return asked(DEMO / f"{name}.yaml", words)


def ids(found: Diagnosis) -> list[str]:
    """The causes in order."""
    return [cause.id for cause in found.causes]


def fixtures() -> list[Path]:
    """Every fixture of every rule, good and bad."""
    return sorted(RULES.glob("[A-Z]*-[0-9]*/*.yaml"))
