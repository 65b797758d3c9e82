"""Every fixture gives exactly the findings written in it: nothing missing, nothing extra."""

from __future__ import annotations

from pathlib import Path

import pytest
from expectations import HERE, checked, expected, fixtures, found


@pytest.mark.parametrize("path", fixtures(), ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_fixture_gives_exactly_its_findings(path: Path) -> None:
    wanted = expected(path)
    assert found(checked(path).findings, wanted) == wanted


@pytest.mark.parametrize("path", fixtures(), ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_fixture_is_good_or_bad_for_its_own_rule(path: Path) -> None:
    own = {one.rule for one in expected(path)} & {path.parent.name}
    assert bool(own) == path.stem.startswith("bad-")
    assert path.stem.startswith(("bad-", "good-"))


def test_every_finding_names_its_place_its_act_and_its_next_measurement() -> None:
    for path in HERE.glob("*/bad-*.yaml"):
        for finding in checked(path).findings:
            assert finding.place and finding.found and finding.limit and finding.cause and finding.fix
            assert ", expect " in finding.next_measurement and "; if not, " in finding.next_measurement
            assert finding.mark.line > 1 and finding.mark.column > 0
