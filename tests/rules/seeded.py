"""Whether the checker says of a mistake what its maker and the facts want, and nothing else that is grave."""

from __future__ import annotations

from pathlib import Path

from judge import verdict
from mistakes import VALID, Mistake

from minisim.catalogue import Catalogue
from minisim.checking import check
from minisim.findings import Finding
from minisim.loadout.reader import read_loadout
from minisim.problems import InputError

CATALOGUE = Catalogue()
GRAVE = ("fault", "damage")


def findings(mistake: Mistake, folder: Path) -> tuple[Finding, ...] | None:
    """What the checker says of it; None where the reader refuses it."""
    file = folder / "mistake.yaml"
    file.write_text(mistake.text(), "utf-8")
    try:
        return check(read_loadout(file, catalogue=CATALOGUE, media_root=VALID), CATALOGUE).findings
    except InputError:
        return None


def wrong(mistake: Mistake, found: tuple[Finding, ...] | None) -> str:
    """How the report differs from what it must be; nothing where it doesn't."""
    if found is None or mistake.refused:
        in_order = found is None and mistake.refused
        return "" if in_order else f"\n{mistake}: {'not ' * mistake.refused}refused by the reader"
    said = {(one.rule, one.place) for one in found}
    grave, opinion = {(one.rule, one.place) for one in found if one.severity in GRAVE}, verdict(mistake.tree)
    differences = {
        "not said, and its maker wants it": set(mistake.aims) - said,
        "not said, and the facts want it": opinion.missed(grave),
        "said without a cause": opinion.beyond(grave),
    }
    return "".join(f"\n{mistake}: {what}: {sorted(some)}" for what, some in differences.items() if some)
