"""Options in our words: --help as wide as the terminal, mistakes in one line."""

from __future__ import annotations

import argparse
import os
import re
import textwrap
from collections.abc import Iterator
from typing import Any, NoReturn

from minisim.problems import nearest

MEDIA_ROOT = "where media and ROM images are (else beside the loadout)"
_USUAL = 80
_MARGIN = 2
_WIDEST = 110  # longer lines are hard to read, however wide the terminal is


def width() -> int:
    """Columns for text: COLUMNS, else the terminal, else 80; a margin is kept free.

    argparse would find it out itself, and import the compression libraries for it.
    """
    asked = os.environ.get("COLUMNS", "")
    if asked.isascii() and asked.isdigit() and int(asked) > 0:
        columns = int(asked)
    else:
        try:
            columns = os.get_terminal_size(1).columns or _USUAL
        except OSError:
            columns = _USUAL
    return max(min(columns - _MARGIN, _WIDEST), 20)


def reflowed(text: str, columns: int) -> str:
    """A text of paragraphs, laid out again for a width: each keeps its indent, list items stand apart."""
    lines: list[str] = []
    for paragraph in _paragraphs(text):
        indent = " " * (len(paragraph) - len(paragraph.lstrip()))
        hanging = indent + ("  " if paragraph.startswith(f"{indent}- ") else "")
        lines += textwrap.wrap(
            " ".join(paragraph.split()), columns,
            initial_indent=indent, subsequent_indent=hanging, break_on_hyphens=False, break_long_words=False,
        ) or [""]  # fmt: skip
    return "\n".join(lines) + "\n"


def _paragraphs(text: str) -> Iterator[str]:
    """Lines that belong together, as one line; empty lines as they are."""
    together = ""
    for line in text.rstrip("\n").split("\n"):
        words = line.lstrip()
        indent = len(line) - len(words)
        continues = together and words and indent == len(together) - len(together.lstrip()) and words[:2] != "- "
        if continues or (together.lstrip()[:2] == "- " and words and words[:2] != "- "):
            together += f" {words}"
            continue
        if together:
            yield together
        together = line
        if not words:
            yield ""
            together = ""
    if together:
        yield together


class Help(argparse.HelpFormatter):
    """Texts are wrapped."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=width())


class AsWritten(Help, argparse.RawDescriptionHelpFormatter):
    """The text at the end keeps its lines."""


class Parser(argparse.ArgumentParser):
    """Options are whole words, and a mistake is told in one line."""

    def __init__(self, prog: str, **more: Any) -> None:
        more = {"formatter_class": Help, "allow_abbrev": False, **more}
        super().__init__(prog=prog, **more)

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the command line; exit code 2."""
        self.exit(2, f"{self.prog}: {self._worded(message)}\n{self.prog} --help tells the rest\n")

    def _worded(self, message: str) -> str:
        """argparse's message in our words, with the nearest option."""
        unknown = message.removeprefix("unrecognized arguments: ")
        if unknown == message:
            return re.sub("^argument (.*?): ", r"\1: ", message)
        word = unknown.split()[0]
        if not word.startswith("-"):
            return f'nothing more is expected at "{word}"'
        return f'there is no option "{word}"{nearest(word, self._option_string_actions)}'
