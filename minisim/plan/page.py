"""The generated pages about plans: the file of wishes, and the output of `minisim plan --json`."""

from __future__ import annotations

import json
from pathlib import Path

from minisim.plan.schema import plan_schema, wishes_schema

_WISHES = """# The file of wishes

What the keys mean, with an example: [plan machines](../how-to/plan-machines.md). For editors, `minisim schema wishes`
prints this JSON Schema:
"""
_PLAN = """# The output of `minisim plan --json`

One object. `goals` tell how each goal came out and what nobody could beat; `machines` are the complete ones with every
piece and the rows of the list it comes from; `open` are the wishes that are not complete; `left` is what no machine
takes. `minisim schema plan` prints this JSON Schema:
"""


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    return {
        Path("reference/wishes-format.md"): _page(_WISHES, wishes_schema()),
        Path("reference/plan-json.md"): _page(_PLAN, plan_schema()),
    }


def _page(head: str, schema: object) -> str:
    return f"{head}\n```json\n{json.dumps(schema, indent=2)}\n```\n"
