"""Fixtures of the rules: whole loadouts that carry their expectation on the guilty line.

`# expect: GRANT-001 main/a/2AB` at the end of a line, a severity before the id if that matters, several divided by `;`.
A folder `catalogue` beside a fixture holds entries that only the fixtures of its rule use.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from minisim.catalogue import Catalogue
from minisim.checking import check
from minisim.findings import Finding, Report
from minisim.loadout.reader import read_loadout

HERE = Path(__file__).parent
_EXPECT = re.compile(r"#\s*expect:\s*(.+)$")
_ONE = re.compile(r"(?:(damage|fault|doubt|note)\s+)?([A-Z]+-\d{3})\s+(\S.*)\Z")
_CATALOGUE = Catalogue()


@dataclass(frozen=True, order=True)
class Expected:
    """Where a rule must speak; severity "" where the fixture does not say."""

    rule: str
    place: str
    line: int
    severity: str = ""


def fixtures() -> list[Path]:
    """Every fixture, by rule and name."""
    return sorted(HERE.glob("[A-Z]*-[0-9]*/*.yaml"))


def expected(path: Path) -> list[Expected]:
    """The expectations written in a fixture."""
    found = []
    for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
        match = _EXPECT.search(line)
        for text in match[1].split(";") if match else ():
            one = _ONE.match(text.strip())
            assert one, f"{path}:{number}: not an expectation: {text!r}"
            found.append(Expected(one[2], one[3], number, one[1] or ""))
    return sorted(found)


@cache
def _checked_fixture(path: Path) -> Report:
    """Of a file that no test writes."""
    return _checked(path)


def checked(path: Path) -> Report:
    """Read and check a fixture."""
    return _checked_fixture(path) if HERE in path.parents else _checked(path)


def _checked(path: Path) -> Report:
    own = path.parent / "catalogue"
    catalogue = Catalogue(extra=[own]) if own.is_dir() else _CATALOGUE
    return check(read_loadout(path, catalogue=catalogue), catalogue)


def written(folder: Path, slots: str, *, supply: str = "mux-four-slot-box", backplane: str = "mux-twin-4-18bit",
            more: str = "") -> Path:  # fmt: skip
    """A loadout of one box, written in place; `more` follows its slots."""
    file = folder / "x.yaml"
    head = f"loadout: 1\nname: X\nboxes:\n  - id: main\n    supply: {supply}\n    backplane: {backplane}\n    slots:\n"
    file.write_text(head + slots + more, "utf-8")
    return file


def found(findings: tuple[Finding, ...], like: list[Expected]) -> list[Expected]:
    """The findings in the form of expectations, with the severity only where the fixture names one."""
    named = {(one.rule, one.place, one.line) for one in like if one.severity}
    return sorted(Expected(*_key(one), str(one.severity) if _key(one) in named else "") for one in findings)


def _key(finding: Finding) -> tuple[str, str, int]:
    return finding.rule, finding.place, finding.mark.line
