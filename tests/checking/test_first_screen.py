"""The first screen holds five lines about findings, worst first; a dispute is named, and nothing is lost with --all."""

from __future__ import annotations

from pathlib import Path

import pytest
from few import few

from minisim.checking import check
from minisim.formatters import text
from minisim.loadout.reader import read_loadout

RULES = Path(__file__).resolve().parent.parent / "rules"
BAD = sorted(RULES.glob("*/bad-*.yaml"))


@pytest.mark.parametrize("path", few(BAD, 3), ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_at_most_five_lines_stand_before_the_last_ones(path: Path) -> None:
    report = check(read_loadout(path))
    lines = text([report]).splitlines()
    about = [line for line in lines if line.startswith("    ") or (line.startswith(f"{path}:") and "[" in line[:400])]
    findings = [line for line in about if not line.startswith(f"{path}: ")]
    assert 1 <= len(findings) <= 5
    assert findings[0].startswith(str(report.findings[0].mark)) or report.findings[0].accepted
    for finding in report.findings[:5]:
        shown = next((line for line in lines if line.startswith(str(finding.mark)) and f" {finding.rule} " in line), "")
        if shown:
            assert all(number in "\n".join(lines) for number in finding.disputed)


@pytest.mark.parametrize("path", BAD[:20], ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_with_all_everything_is_there(path: Path) -> None:
    report = check(read_loadout(path))
    whole = text([report], whole=True)
    assert all(f"Measure next: {finding.next_measurement}." in whole for finding in report.findings)
