"""`minisim schema`: the JSON Schemas, for editors that complete and check while one types, and for programs."""

from __future__ import annotations

import argparse

HELP = "print a JSON Schema: of a loadout, of trial cases, of a comparison"
WHAT = ("loadout", "trials", "comparison")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """One operand: which schema; it goes to the standard output."""
    parser.epilog = (
        "Keep it with: minisim schema > loadout.schema.json, and name that file in the settings of your editor."
    )
    parser.add_argument(
        "what", nargs="?", choices=WHAT, default=WHAT[0],
        help="loadout (the usual) and trials: files you write; comparison: what minisim compare --json prints",
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
    if what == "comparison":
        from minisim.compare.as_json import compare_schema

        return compare_schema()
    from minisim.loadout.schema import loadout_schema

    return loadout_schema()
