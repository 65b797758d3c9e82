"""The generated page of the sheet beside an image, docs/reference/trial-image.md, from the keys the reader knows."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from minisim.trials.running.sheet_schema import END_WHAT, HANG_WHAT, WHAT
from minisim.trials.running.sheets import ENDING, VERSION, VERSION_KEYS

PAGE = Path("reference/trial-image.md")

EXAMPLE = """\
trial-image: 1
title: "Sums and carries, first part"
versions:
  9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08:
    called: "second issue, patch 1"
    start: "000200"
    switches: "000000"
    memory: {"000176": "000000"}          # its switches in memory
    replies:
      - when-printed: "SWITCHES ? "
        reply: "0\\r"
    end-of-pass: {text: "END OF PASS"}
    passes: 2
    errors: ["ERROR"]
    halts:
      "003412": "page 14: the carry into bit 15 is lost"
    hang: {seconds: 600}
"""
"""Stands on the page; a test reads it."""

_HEAD = f"""# The sheet beside an image of a test program, version {VERSION}

`minisim trial run LOADOUT IMAGE` looks for `IMAGE{ENDING}`: how the program starts, and what its end, its errors and
its hangs look like. `--learn` drafts one from a first run. Made from the keys that the reader itself uses; `minisim
schema trial-image` prints the same as JSON Schema.

```yaml
{EXAMPLE}```

- A sheet holds for one exact version: entry points and error halts move from one to the next, so everything is keyed by
  the SHA-256 of the image (`sha256sum IMAGE`). Of a version that is not there nothing is believed.
- Addresses and words are octal, counts decimal. In double quotes, `\\r` is the return key, `\\a` a bell.
- Every HALT that is not the end of a pass is an error. One in the trap catcher (word n holds n + 2, word n + 2 a HALT)
  is told as an unexpected trap.
"""


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    parts = [
        _HEAD,
        "## Keys of a version\n\n" + _table({name: WHAT[name] for name in VERSION_KEYS}),
        "## Kinds of end-of-pass\n\n" + _table(END_WHAT),
        "## Keys of hang\n\n" + _table(HANG_WHAT),
    ]
    return {PAGE: "\n".join(parts)}


def _table(rows: Mapping[str, str]) -> str:
    return "| key | what it is |\n|---|---|\n" + "".join(f"| `{name}` | {what} |\n" for name, what in rows.items())
