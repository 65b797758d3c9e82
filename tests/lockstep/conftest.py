"""What was compared in lock-step, as the last line of a test run that compared anything."""

from __future__ import annotations

import pytest

from .pairs import TALLY


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """For each machine how much of it handlers of the fast core did."""
    for name, (instructions, by_fast) in sorted(TALLY.shares.items()):
        share = by_fast / max(instructions, 1)
        terminalreporter.write_line(f"lock-step of {name}: {instructions} instructions, {share:.0%} by the fast core")


def pytest_unconfigure(config: pytest.Config) -> None:
    """Behind everything else that the run prints."""
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    if reporter is not None and (TALLY.instructions or TALLY.differences):
        reporter.write_line(f"lock-step: {TALLY.instructions} instructions run, {TALLY.differences} differences")
