"""The bench in a pseudo-terminal against kept screens, tests/ui/screens/*.txt.

The machines stand still when they are compared, and what
they did before is counted in instructions, so every screen is the same each time.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "tools"))

from seen import ROOT, Seen

from .comparing import compare

pytestmark = [pytest.mark.ui, pytest.mark.slow]
PROGRAM = str(Path(__file__).resolve().parent / "at_bench.py")
HALTED = "halted the processor after"


@pytest.fixture(scope="module")
def kittiwake(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(ROOT / "loadouts" / "kittiwake", tmp_path_factory.mktemp("ui") / "kittiwake"))


@pytest.fixture
def bench(kittiwake: Path) -> Iterator[type]:
    """Starts a bench; all are closed at the end."""
    started: list[Seen] = []

    def start(name: str, columns: int = 80, rows: int = 24, **more: str) -> Seen:
        seen = Seen([sys.executable, PROGRAM, str(kittiwake / f"{name}.yaml"), "full"], columns, rows, more)
        started.append(seen)
        return seen.wait("bench:" if columns >= 60 else "too small").settle(0.2)

    yield start  # type: ignore[misc]
    for seen in started:
        seen.__exit__(None, None, None)


def say(seen: Seen, line: str, answer: str) -> None:
    """Enter a line and wait for a text of its answer."""
    seen.type(f"{line}\r")
    seen.wait(answer).settle(0.3)


def run_and_step(seen: Seen, steps: str) -> None:
    """To the halt, then so many instructions, so that everything shown is counted."""
    say(seen, "run", HALTED)
    say(seen, f"one {steps}", "next ")
    seen.type("\x1b")
    seen.settle(0.3)


def test_everything_of_the_bench_is_on_one_small_screen(bench) -> None:  # type: ignore[no-untyped-def]
    seen = bench("desk")
    compare(seen, "desk-80x24-at-first")
    run_and_step(seen, "3.")
    compare(seen, "desk-80x24")


def test_a_large_screen_shows_all_side_by_side(bench) -> None:  # type: ignore[no-untyped-def]
    seen = bench("visitor", 200, 60)
    say(seen, "until printed tide:", "the text")
    say(seen, "one 40.", "40 instructions")
    seen.type("\x1b")
    compare(seen, "visitor-200x60")


def test_a_plain_terminal_gets_plain_characters(bench) -> None:  # type: ignore[no-untyped-def]
    seen = bench("ledger", LC_ALL="C", TERM="ansi")
    run_and_step(seen, "2.")
    assert seen.text().isascii()
    compare(seen, "ledger-80x24-plain")


def test_the_palette_the_panel_and_a_long_answer(bench) -> None:  # type: ignore[no-untyped-def]
    seen = bench("gauge")
    seen.type("\x10")
    compare(seen, "gauge-palette")
    seen.type("\x1b")
    say(seen, "panel load address 001000", "001000")
    say(seen, "panel deposit 012700", "012700")
    compare(seen, "gauge-panel")
    say(seen, "look 001000 300.", "lines;")
    seen.type("\x1b[6~")
    compare(seen, "gauge-long-answer")


def test_keys_go_to_the_guest_and_come_back(bench) -> None:  # type: ignore[no-untyped-def]
    seen = bench("visitor")
    say(seen, "until printed tide:", "tide:")
    seen.type("\x1d")
    seen.wait("keys go here")
    seen.type("list\r")
    seen.wait("welcome  104 bytes")
    seen.type("\x1d")
    seen.wait(lambda at: "keys go here" not in at.text())
    say(seen, "pause", "next ")
    assert "tides    62 bytes" in seen.text()


def test_the_size_may_change_while_it_runs(bench) -> None:  # type: ignore[no-untyped-def]
    seen = bench("visitor")
    say(seen, "run", "runs")
    for columns, rows in ((200, 60), (59, 20), (60, 16), (80, 24)):
        seen.resize(columns, rows)
        seen.wait(
            lambda at, small=columns < 60: ("too small" in at.text()) == small and ("registers" in at.text()) != small
        )
    seen.resize(20, 5)
    seen.take(0.3)
    seen.type("leave\r")
    seen.wait(lambda at: not at.child.isalive())


def test_few_bytes_go_over_the_line(bench) -> None:  # type: ignore[no-untyped-def]
    seen = bench("desk")
    before = seen.written
    seen.settle(1.0)
    assert seen.written == before  # nothing while nothing changes
    seen.type("o")
    seen.settle(0.3)
    assert seen.written - before < 120
