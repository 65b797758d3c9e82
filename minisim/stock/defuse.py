"""Texts that a spreadsheet would take for a formula, made harmless so that reading them back restores them.

An apostrophe goes before what begins with = + - @, a tab or a line end, also behind blanks, and behind a semicolon
within a text, because a program may cut it there.  What began with an apostrophe itself gets another one.
"""

from __future__ import annotations

import re

_ACTS = "=+\\-@\uff1d\uff0b\uff0d\uff20'"
_WRITE = re.compile(rf"\A(?=[\t\r\n]|\s*[{_ACTS}])|(?<=;)(?=[{_ACTS}])")
_READ = re.compile(rf"\A'(?=[\t\r\n]|\s*[{_ACTS}])|(?<=;)'(?=[{_ACTS}])")


def defused(text: str) -> str:
    """The text as it may stand in a CSV file."""
    return _WRITE.sub("'", text)


def restored(text: str) -> str:
    """What `defused` was given."""
    return _READ.sub("", text)
