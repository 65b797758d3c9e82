"""`minisim schema`: the JSON Schemas, for editors that complete and check while one types, and for programs."""

from __future__ import annotations

import argparse

HELP = "print a JSON Schema: of loadouts, trial cases, symptoms, outputs"
WHAT = ("loadout", "trials", "comparison", "symptom", "why", "stock", "stock-merge", "slot-list", "check")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """One operand: which schema; it goes to the standard output."""
    parser.epilog = (
        "Keep it with: minisim schema > loadout.schema.json, and name that file in the settings of your editor."
    )
    parser.add_argument(
        "what", nargs="?", choices=WHAT, default=WHAT[0], metavar="WHAT",
        help="loadout (the usual), trials and symptom: files you write; "
        "check, comparison, why, stock, stock-merge, slot-list: what minisim check, compare, why, stock read, "
        "stock merge, loadout read-text print with --json",
    )  # fmt: skip


def run(arguments: argparse.Namespace) -> int:
    """Print the schema."""
    import json

    print(json.dumps(_schema(arguments.what), indent=2, ensure_ascii=False))
    return 0


def _schema(what: str) -> object:
    if what == "trials":
        from minisim.trials.schema import trials_schema

        return trials_schema()
    if what == "check":
        from minisim.formatters import JSON_SHAPE

        return {"$schema": "https://json-schema.org/draft/2020-12/schema", **JSON_SHAPE}
    if what == "comparison":
        from minisim.compare.as_json import compare_schema

        return compare_schema()
    if what == "symptom":
        from minisim.why.schema import symptom_schema

        return symptom_schema()
    if what == "why":
        from minisim.why.as_json import why_schema

        return why_schema()
    if what == "stock-merge":
        from minisim.stock.as_json import merge_schema

        return merge_schema()
    if what == "stock":
        from minisim.stock.as_json import stock_schema

        return stock_schema()
    if what == "slot-list":
        from minisim.loadout.slot_list_schema import slot_list_schema

        return slot_list_schema()
    from minisim.loadout.schema import loadout_schema

    return loadout_schema()
