"""Draws the picture of the README from what the commands really print: docs/pictures/desk.svg.

A test compares the words in the picture with the output of today.
"""

from __future__ import annotations

import html
import io
import os
import re
import subprocess
from collections.abc import Iterable
from pathlib import Path

from rich.console import Console
from rich.terminal_theme import TerminalTheme
from rich.text import Text

ROOT = Path(__file__).resolve().parent.parent
PICTURE = ROOT / "docs" / "pictures" / "desk.svg"
COMMANDS = (
    ".venv/bin/minisim check loadouts/kittiwake/desk.yaml",
    ".venv/bin/minisim map loadouts/kittiwake/desk.yaml",
    ".venv/bin/minisim boot loadouts/kittiwake/desk.yaml --limit 50000000",
)
WIDTH = 104
BUTTONS = re.compile(r" *<circle [^>]*/>\n")  # nor pretend to be a window of some system
FONTS = re.compile(r" *@font-face \{.*?\n    \}\n", re.S)  # the picture must not reach for the network
TEXT = re.compile(r'<text ([^>]*) x="([0-9.]+)" y="([0-9.]+)" textLength="([0-9.]+)"([^>]*)>([^<]*)</text>')
PART = re.compile("{0}|[^ {0}]+(?: [^ {0}]+)*".format("\N{BOX DRAWINGS LIGHT VERTICAL}"))
# Black on white: it must print well.
THEME = TerminalTheme((255, 255, 255), (0, 0, 0), [(0, 0, 0)] * 8, [(0, 0, 0)] * 8)


def session() -> list[str]:
    """What a reader would see: each command and what it prints."""
    lines: list[str] = []
    for command in COMMANDS:
        done = subprocess.run(
            command.split(),
            cwd=ROOT,
            text=True,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
            check=True,
        )
        lines += [f"$ {command}", *done.stdout.replace("\r", "").splitlines(), ""]
    return lines


def svg(lines: Iterable[Text], width: int, title: str, name: str) -> str:
    """Lines of a terminal as a picture, black on white, that needs nothing from elsewhere."""
    console = Console(record=True, width=width, file=io.StringIO(), legacy_windows=False)
    for line in lines:
        console.print(line)
    drawn = console.export_svg(title=title, theme=THEME, unique_id=name)
    return TEXT.sub(_tight, BUTTONS.sub("", FONTS.sub("", drawn)))


def _tight(found: re.Match[str]) -> str:
    """A piece of text in parts without spaces around them, each at its own place.

    Some viewers leave such spaces out, or have a font that is not quite as wide.
    """
    front, x, y, length, rest, text = found.groups()
    shown = html.unescape(text).replace("\N{NO-BREAK SPACE}", " ")
    cell = float(length) / len(shown)
    parts = []
    for part in PART.finditer(shown):
        escaped = html.escape(part[0]).replace(" ", "&#160;")
        at, width = float(x) + cell * part.start(), cell * len(part[0])
        parts.append(f'<text {front} x="{at:g}" y="{y}" textLength="{width:g}"{rest}>{escaped}</text>')
    return "".join(parts)


def main() -> None:
    """Write the picture."""
    lines = (Text(line, style="bold" if line.startswith("$ ") else "") for line in session())
    PICTURE.parent.mkdir(parents=True, exist_ok=True)
    PICTURE.write_text(svg(lines, WIDTH, "the desktop machine of the tide station", "desk"), "utf-8")
    print(f"wrote {PICTURE.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
