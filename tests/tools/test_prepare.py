"""A missing compiler, header, venv module or Python gives one clear line that says what to install, and exit code 2."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
TOOLS = ("sh", "dirname", "tail", "grep", "head", "sed", "env", "printf", "cat")


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A copy of tools/prepare, and a folder bin/ with ordinary tools but neither Python nor compiler."""
    (tmp_path / "tools").mkdir()
    shutil.copy(ROOT / "tools" / "prepare", tmp_path / "tools" / "prepare")
    (tmp_path / "bin").mkdir()
    for tool in TOOLS:
        found = shutil.which(tool)
        if found:
            (tmp_path / "bin" / tool).symlink_to(found)
    return tmp_path


def script(path: Path, text: str) -> None:
    path.write_text("#!/bin/sh\n" + text)
    path.chmod(0o755)


def prepare(bench: Path) -> tuple[int, str]:
    environment = {"PATH": str(bench / "bin"), "HOME": os.environ.get("HOME", "/")}
    done = subprocess.run(
        [str(bench / "tools" / "prepare")], env=environment, text=True, capture_output=True, timeout=60, check=False
    )
    return done.returncode, done.stderr + done.stdout


def one_line(text: str, *words: str) -> None:
    assert text.count("\n") == 1 and text.startswith("minisim: "), text
    assert all(word in text for word in words), text


def test_no_python_is_one_clear_line(bench: Path) -> None:
    code, said = prepare(bench)
    assert code == 2
    one_line(said, "Python 3.11", "install")


def test_no_compiler_is_one_clear_line(bench: Path) -> None:
    (bench / "bin" / "python3").symlink_to(sys.executable)
    code, said = prepare(bench)
    assert code == 2
    one_line(said, "C compiler", "install")


def test_a_missing_venv_module_is_one_clear_line(bench: Path) -> None:
    script(bench / "bin" / "python3", f'case "$*" in *ensurepip*) exit 1;; esac\nexec {sys.executable} "$@"\n')
    code, said = prepare(bench)
    assert code == 2
    one_line(said, "venv", "install")


def test_a_missing_header_is_one_clear_line(bench: Path) -> None:
    (bench / "bin" / "python3").symlink_to(sys.executable)
    script(bench / "bin" / "cc", "exit 1\n")
    code, said = prepare(bench)
    assert code == 2
    one_line(said, "Python.h", "install")
