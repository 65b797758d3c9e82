"""Lessons and event mode in a pseudo-terminal against kept screens, tests/ui/screens/*.txt.

MINISIM_UI_WRITE=1 writes them anew; look before you commit.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "tools"))

from seen import Seen

from .comparing import compare

pytestmark = [pytest.mark.ui, pytest.mark.slow]
LEARN = (sys.executable, "-m", "minisim", "learn", "--date", "2026-05-30")


@pytest.fixture
def learn() -> Iterator[type]:
    """Starts `minisim learn`; all are closed at the end."""
    started: list[Seen] = []

    def start(*words: str, columns: int = 80, rows: int = 24) -> Seen:
        started.append(Seen([*LEARN, *words], columns, rows))
        return started[-1]

    yield start  # type: ignore[misc]
    for seen in started:
        seen.__exit__(None, None, None)


def test_a_lesson_is_learned_on_a_small_screen(learn) -> None:  # type: ignore[no-untyped-def]
    seen = learn("dues").wait("The first boat")
    compare(seen, "lesson-80x24-first-step")
    seen.type("change r1 000005\r")
    seen.wait("Not yet")
    seen.type("hint\r")
    seen.settle(0.3)
    compare(seen, "lesson-80x24-hint")
    for line in ("change r0 000005", "change r1 000014", "one"):
        seen.type(f"{line}\r")
        seen.settle(0.2)
    seen.wait("The lesson is finished")
    compare(seen, "lesson-80x24-finished")
    seen.type("leave\r")
    seen.wait(lambda at: not at.child.isalive())
    assert seen.child.exitstatus == 0


def test_a_console_step_on_a_large_screen(learn) -> None:  # type: ignore[no-untyped-def]
    seen = learn("key-in", columns=200, rows=60).wait("Three words")
    for line in ("1000/12700", "1002/7", "1004/0"):
        seen.type(f"{line}\r")
        seen.settle(0.3)
    seen.wait("Start it")
    compare(seen, "lesson-200x60-console")


def test_who_leaves_before_the_end_is_told_so(learn) -> None:  # type: ignore[no-untyped-def]
    seen = learn("dues").wait("The first boat")
    seen.type("leave\r")
    seen.wait(lambda at: not at.child.isalive())
    assert seen.child.exitstatus == 1


def test_a_visitor_at_the_event(learn, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    seen = learn("--event", "--folder", str(tmp_path)).wait("Press any key")
    seen.type(" ")
    seen.wait("30 seconds")
    compare(seen, "event-80x24-list")
    seen.type("1")
    seen.wait("Count eight boats")
    compare(seen, "event-80x24-activity")
    seen.type("one 8.\r")
    seen.wait("This is what you did")
    compare(seen, "event-80x24-slip")
    seen.type("p")
    seen.wait("Your slip is kept")
    assert len(list((tmp_path / "slips").iterdir())) == 2
    seen.type("\x1d")
    seen.wait("For the volunteer")
    seen.type("\x03\x04leave\r\x1dend the event\r")
    seen.wait(lambda at: not at.child.isalive())
    assert seen.child.exitstatus == 0


def test_the_invitation_shows_a_machine_at_work(learn, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    seen = learn("--event", "--folder", str(tmp_path), columns=200, rows=60)
    seen.wait("metres above chart datum" if "tides" in seen.text() else "mean level", 60)
    seen.wait("what it is doing")
    assert "Press any key" in seen.text()


def test_event_mode_works_on_the_smallest_screen(learn, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    seen = learn("--event", "--folder", str(tmp_path), columns=60, rows=16).wait("Press any key")
    seen.type(" ")
    seen.wait("30 seconds")
    seen.type("6")
    seen.wait("Look at a word")
    for line in ("load address 001000", "examine"):
        seen.type(f"{line}\r")
        seen.settle(0.3)
    seen.wait("Three words")
