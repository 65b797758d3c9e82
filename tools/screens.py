"""Takes pictures of the full-screen views as a person sees them: build/screens/*.svg, and .png where a tool is there.

`--readme` copies three of them into docs/pictures/; `--only NAME` takes one.  A picture is one entry of SHOTS: what is
started, which keys are pressed, and which text must be on the screen before the next key.
"""

from __future__ import annotations

import argparse
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

import pyte
from picture import svg
from rich.text import Text
from seen import ROOT, Seen

OUT = ROOT / "build" / "screens"
README = {"bench-80x24": "screen-bench", "lesson-80x24": "screen-lesson", "event-80x24": "screen-event"}
MINISIM = (sys.executable, "-m", "minisim")


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture: `{kittiwake}` in the command is a copy of the demo folder; `steps` are (text to wait for, keys)."""

    name: str
    title: str
    command: Sequence[str]
    steps: Sequence[tuple[str, str]]
    last: str  # must be on the screen when the picture is taken
    columns: int = 80
    rows: int = 24


BENCH = (*MINISIM, "boot", "{kittiwake}/visitor.yaml", "--bench", "--pace", "full")
BENCH_STEPS = (
    ("bench:", "until printed tide:\r"),
    ("the text", "type list\r"),
    ("next", "until printed tide:\r"),
    ("62 bytes", "one 20.\r"),
    ("next ", "\x1b"),
)
LEARN = (*MINISIM, "learn", "--date", "2026-05-30")
EVENT = (*LEARN, "--event", "--folder", "{kittiwake}")
SHOTS = (
    Shot("bench-80x24", "the bench with the travelling machine", BENCH, BENCH_STEPS, "tide:"),
    Shot("bench-200x60", "the bench with the travelling machine", BENCH, BENCH_STEPS, "tide:", 200, 60),
    Shot("lesson-80x24", "a lesson", (*LEARN, "dues"), (("The first boat", "change r1 000005\r"),), "Not yet"),
    Shot("event-80x24", "event mode: what a visitor can do", EVENT, (("Press any key", " "),), "15 minutes"),
    Shot("event-200x60", "event mode: the invitation", EVENT, (), "what it is doing", 200, 60),
)


def taken(shot: Shot, kittiwake: Path) -> pyte.Screen:
    """Start it, press the keys, and give the screen."""
    command = [part.format(kittiwake=kittiwake) for part in shot.command]
    with Seen(command, shot.columns, shot.rows) as seen:
        for text, keys in shot.steps:
            seen.wait(text)
            seen.type(keys)
        seen.wait(shot.last).settle()
        return seen.screen


def lines(screen: pyte.Screen) -> list[Text]:
    """Its rows with their emphasis; the cursor as a cell in reverse."""
    found = []
    for y in range(screen.lines):
        row = [(screen.buffer[y][x].data, _style(screen, x, y)) for x in range(screen.columns)]
        text = Text(no_wrap=True, overflow="crop", end="\n")
        for style, cells in groupby(row, key=lambda cell: cell[1]):
            text.append("".join(data for data, _ in cells), style)
        found.append(text)
    return found


def _style(screen: pyte.Screen, x: int, y: int) -> str:
    cell = screen.buffer[y][x]
    here = (screen.cursor.x, screen.cursor.y) == (x, y) and not screen.cursor.hidden
    names = {"bold": cell.bold, "reverse": cell.reverse != here, "underline": cell.underscore}
    return " ".join(name for name, on in names.items() if on)


def as_png(drawn: Path) -> None:
    """Beside the SVG, if a tool that can is there."""
    if tool := shutil.which("rsvg-convert"):
        subprocess.run([tool, "-o", str(drawn.with_suffix(".png")), str(drawn)], check=True)


def main(arguments: Sequence[str] | None = None) -> int:
    """Take all pictures, or one."""
    parser = argparse.ArgumentParser(description="pictures of the full-screen views")
    parser.add_argument("--readme", action="store_true", help="copy three into docs/pictures/")
    parser.add_argument("--only", choices=[shot.name for shot in SHOTS], help="take this one only")
    wanted = parser.parse_args(arguments)
    OUT.mkdir(parents=True, exist_ok=True)
    for shot in SHOTS:
        if wanted.only in (None, shot.name):
            _take(shot, wanted.readme)
    return 0


def _take(shot: Shot, for_readme: bool) -> None:
    with tempfile.TemporaryDirectory() as folder:
        kittiwake = Path(shutil.copytree(ROOT / "loadouts" / "kittiwake", Path(folder) / "kittiwake"))
        screen = taken(shot, kittiwake)
    drawn = OUT / f"{shot.name}.svg"
    drawn.write_text(svg(lines(screen), shot.columns, shot.title, shot.name), "utf-8")
    (OUT / f"{shot.name}.txt").write_text("\n".join(row.rstrip() for row in screen.display) + "\n", "utf-8")
    as_png(drawn)
    print(f"wrote {drawn.relative_to(ROOT)}")
    if for_readme and shot.name in README:
        shutil.copy(drawn, ROOT / "docs" / "pictures" / f"{README[shot.name]}.svg")


if __name__ == "__main__":
    sys.exit(main())
