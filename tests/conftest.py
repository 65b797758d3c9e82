"""For all tests: hypothesis tries the same examples in every run, so that a failure is not a matter of luck.

`HYPOTHESIS_PROFILE=searching` looks for new ones.  The last lines of a run say what it compared (tallies.py).
"""

from __future__ import annotations

import os

import pytest
from hypothesis import settings
from tallies import lines

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("searching", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))


def pytest_unconfigure(config: pytest.Config) -> None:
    """Behind everything else that the run prints."""
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    if reporter is not None:
        for line in lines():
            reporter.write_line(line)
