"""The generated page about the data that `minisim check --fix --json` prints."""

from __future__ import annotations

import json
from pathlib import Path

from minisim.fixing.forms import JSON_SHAPE

HEAD = """# The output of `minisim check --fix --json`

One object. `files` holds a proposal for each loadout that could be read.

- `steps`, the worst finding first: each has its `changes` and the findings it `puts_right`. Of a change, `words` is the
  act, `details` what is set where, and `kind` one of move, put, remove, set, set-described, option, order, wire, plug,
  regulator, cable, switch, accept. `not_known` names what a rule lacks to decide after the step and could before.
- `diff`: the unified diff of the file, empty where nothing changes; `written` says whether the file was.
- `left`: what stays, and why; `notes_left` counts notes that were left alone; `search_bounded` is true where the search
  ended at its bound.
- `worst`: the worst open severity after the changes.

`unusable` holds the errors of files. The JSON Schema:
"""


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    return {Path("reference/fix-json.md"): f"{HEAD}\n```json\n{json.dumps(JSON_SHAPE, indent=2)}\n```\n"}
