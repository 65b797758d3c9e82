"""`minisim schema`: the JSON Schemas, for editors that complete and check while one types, and for programs."""

from __future__ import annotations

import argparse

HELP = "print a JSON Schema: of loadouts, trial cases, symptoms, outputs"
SCHEMAS = {
    "loadout": ("minisim.loadout.schema", "loadout_schema"),
    "trials": ("minisim.trials.schema", "trials_schema"),
    "trial-image": ("minisim.trials.running.sheet_schema", "sheet_schema"),
    "trial-report": ("minisim.trials.running.as_json", "report_schema"),
    "comparison": ("minisim.compare.as_json", "compare_schema"),
    "symptom": ("minisim.why.schema", "symptom_schema"),
    "why": ("minisim.why.as_json", "why_schema"),
    "stock": ("minisim.stock.as_json", "stock_schema"),
    "stock-merge": ("minisim.stock.as_json", "merge_schema"),
    "stock-identify": ("minisim.stock.as_json", "identify_schema"),
    "catalogue-show": ("minisim.catalogue.as_json", "show_schema"),
    "catalogue-gaps": ("minisim.catalogue.as_json", "gaps_schema"),
    "slot-list": ("minisim.loadout.slot_list_schema", "slot_list_schema"),
    "log": ("minisim.logbook.as_json", "log_schema"),
    "since-worked": ("minisim.logbook.as_json", "since_worked_schema"),
    "medium": ("minisim.media.report", "medium_schema"),
    "check": ("minisim.formatters.json_form", "check_schema"),
    "check-stages": ("minisim.staging.schema", "stages_schema"),
    "check-show": ("minisim.consequence.forms", "show_schema"),
    "wishes": ("minisim.plan.schema", "wishes_schema"),
    "plan": ("minisim.plan.schema", "plan_schema"),
    "trace": ("minisim.trace.schema", "trace_schema"),
}
"""Where each schema is made; imported when it is asked for."""
WHAT = tuple(SCHEMAS)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """One operand: which schema; it goes to the standard output."""
    parser.epilog = (
        "Keep it with: minisim schema > loadout.schema.json, and name that file in the settings of your editor."
    )
    parser.add_argument(
        "what", nargs="?", choices=WHAT, default=WHAT[0], metavar="WHAT",
        help="loadout (the usual), trials, trial-image, symptom and wishes: files you write; the others are what "
        "commands print with --json: check, check-stages (check --stage list), check-show, comparison (compare), "
        "trial-report (trial run), why, stock (stock read), stock-merge, stock-identify, catalogue-show, "
        "catalogue-gaps, slot-list (loadout read-text), since-worked and log (loadout log), medium (media inspect), "
        "plan; trace: a line of what boot --trace writes",
    )  # fmt: skip


def run(arguments: argparse.Namespace) -> int:
    """Print the schema."""
    import json

    print(json.dumps(_schema(arguments.what), indent=2, ensure_ascii=False))
    return 0


def _schema(what: str) -> object:
    from importlib import import_module

    module, name = SCHEMAS[what]
    made: object = getattr(import_module(module), name)()
    return made
