"""The JSON Schema of the list of stages."""

from __future__ import annotations

from typing import Any

from minisim.json_shapes import COUNT, TEXT, TEXTS, document, record, records, said


def stages_schema() -> dict[str, Any]:
    """The JSON Schema of `minisim check --stage list --json`."""
    number = {"type": "string", "pattern": r"^[0-9]+(\.[0-9]+)?$"}
    dummy = {"rail": TEXT, "amps": number, "ohms": number, "watts": said(number, "turned into heat")}
    box = {
        "box": TEXT,
        "supply": TEXT,
        "rails": said(TEXTS, "load and rating of each, with what is not known"),
        "watts": TEXT,
        "dummies": records(dummy),
        "unstated": said(TEXTS, "rails of which nobody knows the least load"),
    }
    stage = {
        "number": said(COUNT, "0 is the supply alone"),
        "title": TEXT,
        "added": said(TEXTS, "boards that go in at this stage"),
        "cards": said(TEXTS, "grant cards for the time being"),
        "waits": said(TEXTS, "boards of the plan that are not in yet"),
        "power": records(box),
    }
    machine = {"name": TEXT, "file": TEXT, "stages": records(stage)}
    root = record({"stages": {"const": 1}, "files": records(machine)}, about="Each machine with its stages, in order.")
    return document("minisim check --stage list", root)
