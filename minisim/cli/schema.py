"""`minisim schema`: the JSON Schema of a loadout, for editors that complete and check while one types."""

from __future__ import annotations

import argparse

HELP = "print the JSON Schema of a loadout, for your editor"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """No options: the schema goes to the standard output."""
    parser.epilog = (
        "Keep it with: minisim schema > loadout.schema.json, and name that file in the settings of your editor."
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the schema."""
    import json

    from minisim.loadout.schema import loadout_schema

    print(json.dumps(loadout_schema(), indent=2, ensure_ascii=False))
    return 0
