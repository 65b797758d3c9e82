"""How much of what was compared in lock-step the fast core did; the sum stands in the last lines (tallies.py)."""

from __future__ import annotations

import pytest

from .pairs import TALLY


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """For each machine how much of it handlers of the fast core did."""
    for name, (instructions, by_fast) in sorted(TALLY.shares.items()):
        share = by_fast / max(instructions, 1)
        terminalreporter.write_line(f"lock-step of {name}: {instructions} instructions, {share:.0%} by the fast core")
