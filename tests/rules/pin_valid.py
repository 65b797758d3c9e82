"""Write anew what may be said of the valid loadouts, after somebody has read the differences and found them right.

.venv/bin/python tests/rules/pin_valid.py
"""

from __future__ import annotations

import sys
import textwrap
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from mistakes import valid

from minisim.checking import check
from minisim.findings import Report
from minisim.loadout.reader import read_loadout


def pinned(name: str, report: Report) -> str:
    """The text of one file of `valid/pinned/`."""
    lines = [f"# Everything that may be said of {name}, each thing once.", "not-known:"]
    for one in sorted(report.not_known):
        wrapped = textwrap.wrap(one, 112, break_long_words=False, break_on_hyphens=False)
        lines += ["  - >-", *(f"    {line}" for line in wrapped)]
    findings = [f"  - {{rule: {one.rule}, place: {one.place}, severity: {one.severity}}}" for one in report.findings]
    lines += ["findings:", *findings] if findings else ["findings: []"]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    for path in valid():
        text = pinned(path.name, check(read_loadout(path)))
        (path.parent / "pinned" / path.name).write_text(text, "utf-8")
