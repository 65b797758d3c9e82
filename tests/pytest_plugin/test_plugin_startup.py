"""The plugin costs nothing where it is not used, and can be left away; other plugins get on with it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from plugin_rig import copy_kittiwake

HEAVY = {"_cffi_backend", "yaml", "cbor2", "lxml", "jinja2", "openpyxl", "highspy", "minisim.cpu._core"}
PROBE = """
import json, sys

def pytest_unconfigure(config):
    with open("modules.json", "w") as out:
        json.dump(sorted(sys.modules), out)
"""


def pytest_run(folder: Path, *options: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", *options]
    return subprocess.run(command, cwd=folder, text=True, capture_output=True, timeout=120, check=False)


def modules_after(folder: Path, *options: str) -> set[str]:
    """What a run of one test that asks for no machine has imported; without the plugins of others."""
    (folder / "conftest.py").write_text(PROBE, "utf-8")
    (folder / "test_plain.py").write_text("def test_it(): assert 1 + 1 == 2", "utf-8")
    done = pytest_run(folder, "-p", "no:hypothesispytest", "-p", "no:xdist", *options)
    assert done.returncode == 0, done.stdout + done.stderr
    return set(json.loads((folder / "modules.json").read_text("utf-8")))


def test_an_unused_plugin_imports_nothing_but_itself(tmp_path: Path) -> None:
    copy_kittiwake(tmp_path, "desk.yaml")
    used = modules_after(tmp_path, "--minisim-loadout", "desk.yaml")
    assert {one for one in used if one.split(".")[0] == "minisim"} == {"minisim", "minisim.pytest_plugin"}
    assert not HEAVY & used


def test_the_probe_sees_what_a_used_plugin_imports(tmp_path: Path) -> None:
    """So that the test above can fail."""
    copy_kittiwake(tmp_path, "desk.yaml")
    (tmp_path / "test_used.py").write_text("def test_it(machine): assert machine.name", "utf-8")
    assert {"_cffi_backend", "yaml", "minisim.cpu._core"} <= HEAVY & modules_after(
        tmp_path, "--minisim-loadout", "desk.yaml"
    )  # fmt: skip


def test_without_the_plugin_its_option_is_unknown(tmp_path: Path) -> None:
    done = pytest_run(tmp_path, "-p", "no:minisim", "--minisim-core", "fast")
    assert done.returncode == 4 and "--minisim-core" in done.stderr


def test_its_markers_are_registered(tmp_path: Path) -> None:
    done = pytest_run(tmp_path, "--markers")
    for marker in ("loadout(file, ", "bare(profile=", "needs(module, "):
        assert f"@pytest.mark.{marker}" in done.stdout


def test_its_options_are_in_the_help(tmp_path: Path) -> None:
    done = pytest_run(tmp_path, "--help")
    for word in ("--minisim-loadout=FILE", "--minisim-core={fast,reference}", "minisim_loadout (", "minisim_limit ("):
        assert word in done.stdout


@pytest.mark.slow
def test_several_processes_share_an_image(tmp_path: Path) -> None:
    copy_kittiwake(tmp_path, "visitor.yaml")
    source = """
import pytest

@pytest.mark.parametrize("turn", range(6))
def test_it(console, machine, turn):
    assert any(drive.medium is not None for drive in machine.drives.values())
    machine.run(limit=1_000_000)
"""
    (tmp_path / "test_many.py").write_text(source, "utf-8")
    done = pytest_run(tmp_path, "-n", "2", "--strict-markers", "--minisim-loadout", "visitor.yaml")
    assert "6 passed" in done.stdout, done.stdout
