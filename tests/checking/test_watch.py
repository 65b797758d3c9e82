"""`minisim check --watch`: each save is checked; what is half written, gone or replaced is told and recovers."""

from __future__ import annotations

import os
import queue
import re
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pexpect
import pytest

TESTS = Path(__file__).parents[1]
GOOD = TESTS / "rules" / "GRANT-001" / "good-serpentine.yaml"
HOLE = TESTS / "rules" / "GRANT-001" / "bad-serpentine.yaml"
DEMO = TESTS.parent / "loadouts" / "kittiwake"
PATIENCE_S = 60
SEPARATOR = re.compile(r"^---- \d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d$")


class Watching:
    """The command in a pipe, its two streams in one; `until` waits for a line and gives all before it."""

    def __init__(self, *words: str | Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "minisim", "check", "--watch", *map(str, words)],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        self.lines: queue.Queue[str | None] = queue.Queue()
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.lines.put(line.rstrip("\n"))
        self.lines.put(None)

    def until(self, pattern: str) -> list[str]:
        seen: list[str] = []
        while True:
            line = self.lines.get(timeout=PATIENCE_S)
            assert line is not None, f"ended before {pattern!r}: {seen}"
            seen.append(line)
            if re.search(pattern, line):
                return seen

    def stop(self) -> int:
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(timeout=PATIENCE_S)


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    file = tmp_path / "machine.yaml"
    shutil.copy(GOOD, file)
    return file


@pytest.fixture
def watching(machine: Path) -> Iterator[Watching]:
    one = Watching(machine)
    try:
        yield one
    finally:
        one.process.kill()
        one.process.wait()


def test_a_save_is_checked_again_and_an_interrupt_leaves_130(watching: Watching, machine: Path) -> None:
    first = watching.until("consistent on paper")
    assert SEPARATOR.match(first[0])
    machine.write_bytes(HOLE.read_bytes())
    second = watching.until("1 fault")
    assert any(SEPARATOR.match(line) for line in second)
    assert any("GRANT-001 bus-grant-gap" in line for line in second)
    assert watching.stop() == 130


def test_a_replaced_file_a_deleted_one_and_one_that_comes_back(watching: Watching, machine: Path) -> None:
    watching.until("consistent on paper")
    other = machine.with_name("other.yaml")
    other.write_bytes(HOLE.read_bytes())
    other.replace(machine)
    watching.until("1 fault")
    machine.unlink()
    watching.until(rf"^{re.escape(str(machine))}:1:1: ")
    machine.write_bytes(GOOD.read_bytes())
    watching.until("consistent on paper")


def test_a_half_written_file_is_told_as_an_error_and_recovers(watching: Watching, machine: Path) -> None:
    watching.until("consistent on paper")
    whole = machine.read_bytes()
    machine.write_bytes(whole[: len(whole) // 2] + b"\n  {half")
    watching.until(rf"^{re.escape(str(machine))}:\d+:\d+: ")
    machine.write_bytes(whole)
    watching.until("consistent on paper")


def test_a_medium_that_goes_and_comes_is_noticed(tmp_path: Path) -> None:
    folder = tmp_path / "station"
    shutil.copytree(DEMO, folder)
    text = (folder / "desk.yaml").read_text("utf-8")
    for name in re.findall(r"media/[\w.-]+", text):  # those that are made by the demo may not be there yet
        (folder / "media").mkdir(exist_ok=True)
        if not (folder / name).exists():
            (folder / name).write_bytes(b"\0" * 64)
    medium = folder / "media" / "tides.papertape"
    one = Watching(folder / "desk.yaml")
    try:
        one.until("consistent on paper")
        kept = medium.read_bytes()
        medium.unlink()
        one.until("the medium is missing")
        medium.write_bytes(kept)
        one.until("consistent on paper")
    finally:
        one.process.kill()
        one.process.wait()


def test_a_new_loadout_of_a_watched_folder_is_found(tmp_path: Path, machine: Path) -> None:
    one = Watching(tmp_path)
    try:
        one.until("machine.yaml: consistent on paper")
        shutil.copy(HOLE, tmp_path / "a.yaml")  # before the other by name
        lines = one.until("machine.yaml: consistent on paper")
        assert any("a.yaml: 1 fault" in line for line in lines)
        with pytest.raises(queue.Empty):  # and not again and again
            one.lines.get(timeout=1)
            one.lines.get(timeout=1)
        (tmp_path / "a.yaml").unlink()
        lines = one.until("machine.yaml: consistent on paper")
        assert not any("GRANT-001" in line for line in lines)
    finally:
        one.process.kill()
        one.process.wait()


def test_a_stage_can_be_watched(machine: Path) -> None:
    one = Watching(machine, "--stage", "1")
    try:
        one.until("stage 1 of ")
        machine.write_text(machine.read_text("utf-8") + "# saved\n", "utf-8")
        one.until("stage 1 of ")
    finally:
        one.process.kill()
        one.process.wait()


def test_on_a_terminal_the_screen_is_cleared_and_the_last_line_says_how_it_ends(machine: Path) -> None:
    environment = {**os.environ, "TERM": "xterm"}
    words = ["-m", "minisim", "check", "--watch", str(machine)]
    child = pexpect.spawn(sys.executable, words, env=environment, timeout=PATIENCE_S, encoding="utf-8")  # type: ignore[arg-type]
    child.expect_exact("\x1b[H\x1b[2J")
    child.expect(r"watching 1 file and what they name\. Ctrl-C ends\.")
    machine.write_bytes(HOLE.read_bytes())
    child.expect_exact("\x1b[H\x1b[2J")
    child.expect("GRANT-001")
    child.expect("Ctrl-C ends")
    child.sendintr()
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 130
    assert "----" not in (child.before or "") and "Traceback" not in (child.before or "")
