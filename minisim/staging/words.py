"""All stages of a machine: for a person's plan of the day, and as data."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from minisim.staging.budget import Budget, budgets
from minisim.staging.lines import stage_lines
from minisim.staging.plan import Stage, Staging


def all_stages(staging: Staging) -> str:
    """Every stage of one machine, the supply alone first."""
    loadout = staging.plan.loadout
    lines = [f"{loadout.file}: {loadout.name}: stages 0 to {staging.last}"]
    for stage, boxes in _with_budgets(staging):
        lines += ["", *stage_lines(stage, staging.last, boxes, "")]
    return "\n".join(lines) + "\n"


def as_json(machines: Iterable[Staging]) -> str:
    """One object: `stages: 1` and the machines, each with its stages; amperes, ohms and watts as decimal text."""
    data = {"stages": 1, "files": [_machine(one) for one in machines]}
    return json.dumps(data, indent=2, ensure_ascii=False, default="{:f}".format) + "\n"


def _with_budgets(staging: Staging) -> Iterable[tuple[Stage, tuple[Budget, ...]]]:
    first = staging.stage(1) if staging.last else None
    return ((stage, budgets(stage, first)) for stage in staging)


def _machine(staging: Staging) -> dict[str, Any]:
    loadout = staging.plan.loadout
    return {
        "name": loadout.name,
        "file": loadout.file,
        "stages": [_stage(stage, boxes) for stage, boxes in _with_budgets(staging)],
    }


def _stage(stage: Stage, boxes: Iterable[Budget]) -> dict[str, Any]:
    return {
        "number": stage.number,
        "title": stage.title,
        "added": list(stage.added),
        "cards": list(stage.cards),
        "waits": list(stage.waits),
        "power": [asdict(box) for box in boxes],
    }
