"""The change of a file as a unified diff that `patch` takes, exact to the byte."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import unified_diff

_NO_END = "\\ No newline at end of file"


def unified(file: str, before: bytes, now: bytes) -> str:
    """The diff; empty where nothing differs.  Lines end where LF stands; a CR before it belongs to its line."""
    if before == now:
        return ""
    old, new = _lines(before), _lines(now)
    return "".join(_ended(line) for line in unified_diff(old, new, file, file))


def _lines(data: bytes) -> list[str]:
    parts = data.decode("utf-8").split("\n")
    return [f"{part}\n" for part in parts[:-1]] + ([parts[-1]] if parts[-1] else [])


def _ended(line: str) -> str:
    return line if line.endswith("\n") else f"{line}\n{_NO_END}\n"


def taken_out(diff: str) -> Iterator[str]:
    """The lines of a diff that go, without their sign."""
    return (line[1:] for line in diff.split("\n")[2:] if line.startswith("-"))
