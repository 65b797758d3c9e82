"""What the tests of the plugin share: a folder with tests in it, and the demo loadouts."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import minisim.testing.loadouts
import minisim.testing.needs
import minisim.testing.programs
import minisim.testing.shown  # noqa: F401  pytester forgets what a run inside imports; so it stays

ROOT = Path(__file__).parents[2]
KITTIWAKE = ROOT / "loadouts" / "kittiwake"


def outcome_of(pytester: pytest.Pytester, source: str, *options: str) -> pytest.RunResult:
    """Run tests of this source inside."""
    pytester.makepyfile(source)
    return pytester.runpytest_inprocess("-p", "no:cacheprovider", "-p", "no:hypothesispytest", *options)


def copy_kittiwake(folder: Path, *names: str) -> None:
    """Demo loadouts with all their media."""
    for name in names:
        shutil.copy(KITTIWAKE / name, folder)
    shutil.copytree(KITTIWAKE / "media", folder / "media")


def lines_of(result: pytest.RunResult, start: str = "E ") -> list[str]:
    """The lines that explain a failure, without their margin."""
    return [line.removeprefix("E").strip() for line in result.outlines if line.startswith(start)]
