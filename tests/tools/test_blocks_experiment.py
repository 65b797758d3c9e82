"""The experiment with decoded blocks is built by hand only (make blocks); here: it still fits the rest of the core."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tools"))

from bench.engines import compiler  # noqa: E402


def test_the_experiment_still_compiles() -> None:
    command = compiler()
    if command is None:
        pytest.skip("no C compiler here")
    flags = ["-O2", "-std=c11", "-fsyntax-only", "-DMS_BLOCKS=5", "-DMS_DISPATCH=MS_TAIL"]
    flags += ["-Icpu", "-Icpu/core", "-Ibuild/generated", "cpu/core/blocks.c"]
    done = subprocess.run([*command, *flags], cwd=ROOT, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr[:2000]
