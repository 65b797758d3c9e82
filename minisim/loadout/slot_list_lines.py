"""From the bytes of a mail to clean lines: encodings, quoted mail, dashes and quotes of word processors."""

from __future__ import annotations

import re

from minisim.findings import Mark
from minisim.loadout.slot_list import TextLine
from minisim.problems import InputError, Problem, printable

MOST_BYTES = 200_000
MOST_LINES = 2_000
MOST_IN_LINE = 500
"""A slot list is a page or two; what is longer is something else."""

_ALIKE = {
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\u00ad\u2500\u2501\ufe58\ufe63\uff0d", "-"),
    **dict.fromkeys("\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000", " "),
    **dict.fromkeys("\u2018\u2019\u201a\u2032\u00b4", "'"),
    **dict.fromkeys("\u201c\u201d\u201e\u2033\u00ab\u00bb", '"'),
    **dict.fromkeys("\u2022\u2023\u25cf\u25aa\u00b7", "*"),
    **dict.fromkeys("\u2502\u2503\uff5c", "|"),
    "\u00d7": "x",
    "\u2026": "...",
    "\u200b": "",
    "\u200c": "",
    "\u200d": "",
    "\u2060": "",
    "\ufeff": "",
}
_TABLE = str.maketrans(_ALIKE)
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069]")
_QUOTE = re.compile(r"^(?:[ \t]{0,8}>)+ ?")
_EMPHASIS = re.compile(r"\*\*|__|`")


def decode(data: bytes, file: str) -> tuple[str, str]:
    """The text, and a note where its encoding was guessed.  InputError where it is far too long or no text."""
    if len(data) > MOST_BYTES:
        raise _unusable(file, f"more than {MOST_BYTES} bytes: a slot list is a page or two")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace"), ""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace"), "not UTF-8: read as Western European text"
    if text.count("\x00") * 10 > len(text) > 0:
        raise _unusable(file, "this is no text")
    return text, ""


def clean_lines(text: str, file: str) -> list[TextLine]:
    """Every line with its number, also the blank ones."""
    lines = re.split(r"\r\n|\n|\r", text)
    if len(lines) > MOST_LINES:
        raise _unusable(file, f"more than {MOST_LINES} lines: a slot list is a page or two")
    return [_line(number, raw) for number, raw in enumerate(lines, 1)]


def _line(number: int, raw: str) -> TextLine:
    text = _CONTROL.sub(" ", raw[:MOST_IN_LINE].translate(_TABLE))
    text = _EMPHASIS.sub("", _QUOTE.sub("", text)).rstrip()
    bare = text.lstrip()
    indent = len(text.expandtabs()) - len(bare.expandtabs()) if bare else 0
    return TextLine(number, printable(raw.rstrip()).replace("\\011", "\t"), bare, max(indent, 0))


def plain(text: str) -> str:
    """Text in plain ASCII characters, for a mail."""
    return text.translate(_TABLE).encode("ascii", "replace").decode()


def _unusable(file: str, message: str) -> InputError:
    return InputError([Problem(Mark(file, 1, 1), message)])
