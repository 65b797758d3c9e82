"""The examples of the how-to page run as they stand there, and fail as it shows."""

from __future__ import annotations

import re

import pytest
from plugin_rig import ROOT, copy_kittiwake

from minisim.cli import main

PAGE = (ROOT / "docs" / "how-to" / "test-with-pytest.md").read_text("utf-8")
FILE = re.compile(r"`([a-z_]+\.(?:s|py))`:\n\n```\w+\n(.*?)^```", re.M | re.S)
FILES = dict(FILE.findall(PAGE))
SHOWN = re.search(r"^```text\n(.*?)^```", PAGE, re.M | re.S)
ROM_LINE = re.search(r"^```yaml\n(.*?)\n```", PAGE, re.M | re.S)
TESTS = {"test_multiply.py": 7, "test_hello.py": 3, "test_ticks.py": 2}


def write(pytester: pytest.Pytester, *names: str) -> None:
    for name in names:
        (pytester.path / name).write_text(FILES[name], "utf-8")


def pattern_of(text: str) -> re.Pattern[str]:
    """`...` on a line of its own stands for any lines."""
    lines = [r"(?:.*\n)*?" if line == "..." else re.escape(line) + "\n" for line in text.splitlines()]
    return re.compile("".join(lines))


def test_the_page_has_three_examples() -> None:
    assert set(FILES) == {"multiply.s", "hello.s", "ticks.s", "test_wrong.py", *TESTS}


def test_the_routine_of_the_page_passes_its_tests(pytester: pytest.Pytester) -> None:
    write(pytester, "multiply.s", "test_multiply.py")
    pytester.runpytest_inprocess("-p", "no:cacheprovider").assert_outcomes(passed=TESTS["test_multiply.py"])


def test_the_rom_of_the_page_passes_its_tests(pytester: pytest.Pytester, capsys: pytest.CaptureFixture[str]) -> None:
    write(pytester, "hello.s", "test_hello.py")
    copy_kittiwake(pytester.path, "desk.yaml")
    command = re.search(r"^\$ minisim (asm .*)$", PAGE, re.M)
    assert command is not None
    assert main(command[1].split()) == 0
    loadout = pytester.path / "desk.yaml"
    assert ROM_LINE is not None
    changed, count = re.subn(r"^ +773000: .*$", ROM_LINE[1], loadout.read_text("utf-8"), flags=re.M)
    assert count == 1
    loadout.write_text(changed, "utf-8")
    pytester.runpytest_inprocess("-p", "no:cacheprovider").assert_outcomes(passed=TESTS["test_hello.py"])


def test_the_device_of_the_page_passes_its_tests(pytester: pytest.Pytester) -> None:
    write(pytester, "ticks.s", "test_ticks.py")
    copy_kittiwake(pytester.path, "gauge.yaml")
    pytester.runpytest_inprocess("-p", "no:cacheprovider").assert_outcomes(passed=TESTS["test_ticks.py"])


def test_the_failure_of_the_page_looks_as_it_shows(pytester: pytest.Pytester) -> None:
    write(pytester, "multiply.s", "test_wrong.py")
    result = pytester.runpytest_inprocess("-p", "no:cacheprovider")
    result.assert_outcomes(failed=1)
    assert SHOWN is not None
    assert pattern_of(SHOWN[1]).search("\n".join(result.outlines) + "\n"), result.outlines
