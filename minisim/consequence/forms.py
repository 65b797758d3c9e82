"""A consequence as text for a person and as data."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from minisim.consequence.model import Shown
from minisim.findings import Finding, Report
from minisim.formatters.json_form import finding_data
from minisim.json_shapes import COUNT, TEXT, TEXTS, record, records

INDENT = "  "


def text(finding: Finding, told: Sequence[Shown], others: Sequence[Finding], columns: int) -> str:
    """The finding, then each consequence: what the program does, what was expected, what happened, the steps."""
    head = f"{finding.mark}: {finding.severity} {finding.rule} {finding.slug} [{finding.place}]: {finding.found}."
    lines = [*_wrapped(head, columns, "")]
    for one in told:
        lines += ["", *_one(one, columns)]
    if others:
        places = ", ".join(dict.fromkeys(other.place for other in others))
        lines += ["", *_wrapped(f"The same is found at {places}; --at PLACE shows it.", columns, "")]
    return "\n".join(lines) + "\n"


def _one(one: Shown, columns: int) -> Iterator[str]:
    yield f"{one.kind[0].upper()}{one.kind[1:]}"
    yield from _wrapped(one.does, columns, INDENT)
    yield from _wrapped(f"Expected: {one.expected}", columns, INDENT)
    yield from _wrapped(f"Happened: {one.happened}", columns, INDENT)
    if one.really:
        yield from _wrapped(f"Beyond the model: {one.really}", columns, INDENT)
    yield ""
    yield f"{INDENT}Step by step, with the time of the machine:"
    yield from (f"{INDENT}{line}" for line in one.trace)


def _wrapped(words: str, columns: int, indent: str) -> list[str]:
    return textwrap.wrap(
        words, columns, initial_indent=indent, subsequent_indent=indent or INDENT,
        break_on_hyphens=False, break_long_words=False,
    )  # fmt: skip


def data(
    report: Report, finding: Finding, told: Sequence[Shown], others: Sequence[Finding], not_shown: str = ""
) -> dict[str, Any]:
    """The same as plain data; its shape is `JSON_SHAPE`."""
    return {
        "show": 1,
        "name": report.name,
        "file": report.file,
        "finding": finding_data(finding),
        "others": [other.place for other in others],
        "not_shown": not_shown,
        "consequences": [
            {
                "kind": one.kind,
                "does": one.does,
                "expected": one.expected,
                "happened": one.happened,
                "really": one.really,
                "facts": {
                    name: list(value) if isinstance(value, tuple) else value for name, value in one.facts.items()
                },
                "trace": list(one.trace),
                "program": one.program.splitlines(),
            }
            for one in told
        ],
    }


JSON_SHAPE = record(
    {
        "show": COUNT,
        "name": TEXT,
        "file": TEXT,
        "finding": {"type": "object"},
        "others": TEXTS,
        "not_shown": TEXT,
        "consequences": records(
            {
                **dict.fromkeys(("kind", "does", "expected", "happened", "really"), TEXT),
                "facts": {"type": "object"},
                "trace": TEXTS,
                "program": TEXTS,
            }
        ),
    }
)


def show_schema() -> dict[str, Any]:
    """The JSON Schema of `check --show --json`."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **JSON_SHAPE}
