"""The reference page of the lines of a trace, made from its schema."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from minisim.json_shapes import Shape
from minisim.trace.schema import trace_schema

PAGE = Path("reference/trace-format.md")
_HEAD = """# A trace

What `minisim boot --trace FILE` writes: one JSON object a line (JSON lines, ASCII). Addresses and words are octal text
of six digits (eight for an address of a bus of 22 bits), a byte has three; counts are numbers, times are nanoseconds of
the machine's own time. A run that was killed has no last line, and perhaps half a line at its end. `minisim schema
trace` prints the JSON Schema of a line. How to make one and read it: [trace a run](../how-to/trace-a-run.md).
"""
_TITLES = {"head": "The first line", "instruction": "An instruction", "end": "The last line"}


def pages() -> dict[Path, str]:
    """One page."""
    return {PAGE: "\n".join(_lines())}


def _lines() -> Iterator[str]:
    shapes = trace_schema()["$defs"]
    yield _HEAD
    for name, title in _TITLES.items():
        shape = shapes[name]["properties"]["end"] if name == "end" else shapes[name]
        under = " (all under the key `end`)" if name == "end" else ""
        yield from _table(f"## {title}{under}", shape)
    parts = shapes["instruction"]["properties"]
    yield from _table("## An access", parts["accesses"]["items"])
    yield from _table("## A trap or an interrupt", parts["taken"]["items"])


def _table(title: str, shape: Shape) -> Iterator[str]:
    yield f"{title}\n\n| key | what |\n|---|---|"
    for key, value in shape["properties"].items():
        may = "" if key in shape["required"] else " (only where it is so)"
        yield f"| `{key}` | {_said(value)}{may} |"
    yield ""


def _said(value: Shape) -> str:
    """The description, and the words that are allowed."""
    allowed = value.get("enum") or ([value["const"]] if "const" in value else [])
    words = ", ".join(f"`{'true' if word is True else word}`" for word in allowed)
    return ": ".join(part for part in (value.get("description", ""), words) if part) or "text"
