"""For all tests: hypothesis tries the same examples in every run, so that a failure is not a matter of luck.

`HYPOTHESIS_PROFILE=searching` looks for new ones.  The last lines of a run say what it compared (tallies.py).
"""

from __future__ import annotations

import os
import signal
from typing import Any

import pytest
from hypothesis import settings
from remembered import remember
from tallies import add_data, as_data, lines

pytest_plugins = ["pytester"]  # of tests/pytest_plugin; only this conftest may name it

# Started in the background of a script, a process is told to ignore interrupts, and so would be what tests start.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("searching", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))

remember()


def pytest_sessionfinish(session: pytest.Session) -> None:
    """One of several processes sends what it counted to the first one."""
    sent = getattr(session.config, "workeroutput", None)
    if sent is not None:
        sent["tallies"] = as_data()


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    """What one of several processes has sent."""
    add_data(getattr(node, "workeroutput", {}).get("tallies", {"tallies": {}, "shares": {}}))


def pytest_unconfigure(config: pytest.Config) -> None:
    """Behind everything else that the run prints."""
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    if reporter is not None and not hasattr(config, "workeroutput"):
        for line in lines():
            reporter.write_line(line)
