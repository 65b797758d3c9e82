"""What a machine needs is imported once: pytester forgets whatever a run inside imports, and would do it each time."""

from __future__ import annotations

import pytest
from plugin_rig import KITTIWAKE

import minisim


@pytest.fixture(autouse=True, scope="session")
def imported() -> None:
    """Read, check and build one loadout."""
    minisim.check(minisim.read_loadout(KITTIWAKE / "visitor.yaml"))
    minisim.bare()
