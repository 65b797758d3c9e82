"""The generated pages of the rules: docs/reference/rules/<ID>.md, their index, the cautions and the JSON shape."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path

from minisim.formatters import JSON_SHAPE
from minisim.rules._disputes import DISPUTES, Dispute
from minisim.rules._framework import HEADINGS, Rule, all_rules
from minisim.sheet.cautions import cautions_text
from minisim.sources import Source, read_sources

FOLDER = Path("reference/rules")
_KEY = re.compile(r"^([a-z0-9-]+): ", re.MULTILINE)


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    sources, rules = read_sources(), sorted(all_rules(), key=lambda rule: rule.id)
    made = {FOLDER / f"{rule.id}.md": rule_page(rule, sources) for rule in rules}
    made[FOLDER / "index.md"] = index_page(rules)
    made[FOLDER / "disputes.md"] = disputes_page()
    made[FOLDER / "cautions.md"] = f"# {cautions_text()}"
    made[Path("reference/check-json.md")] = json_page()
    return made


def sections(doc: str) -> dict[str, str]:
    """The parts of a rule's documentation by heading; "" holds what stands before the first one."""
    parts: dict[str, list[str]] = {"": []}
    current = ""
    for line in doc.splitlines():
        if line in HEADINGS:
            current = line
            parts[current] = []
        else:
            parts[current].append(line.removeprefix("    "))
    return {heading: "\n".join(lines).strip() for heading, lines in parts.items()}


def rule_page(rule: Rule, sources: Mapping[str, Source]) -> str:
    """One page: severity, what it needs, then the documentation under its headings."""
    parts = sections(rule.doc)
    head = f"# {rule.id} {rule.slug}\n\n{parts['']}\n\nSeverity: **{rule.severity}**."
    if rule.needs:
        head += f" Asked only where these hold: {', '.join(f'[{need}]({need}.md)' for need in rule.needs)}."
    if rule.explains:
        head += f" Explains [{rule.explains}]({rule.explains}.md) and never stands alone."
    body = [head]
    for heading in HEADINGS:
        text = parts[heading]
        if heading == "Example":
            text = _indented(text)
        elif heading == "Sources":
            text = _sources(rule, text, sources)
        body.append(f"## {heading}\n\n{text}")
    return "\n\n".join(body) + "\n"


def _indented(text: str) -> str:
    return "\n".join(f"    {line}" if line else "" for line in text.splitlines())


def _sources(rule: Rule, text: str, sources: Mapping[str, Source]) -> str:
    """The remarks of the documentation as a list; titles stay on the page of sources, the only one that holds them."""
    said = remarks(text)
    return "\n".join(f"- [{key}](../../sources.md) ({sources[key].known}): {said[key]}" for key in rule.sources)


def remarks(text: str) -> dict[str, str]:
    """What a rule's documentation says of each source key."""
    return {key: " ".join(said.split()) for key, said in zip(_KEY.findall(text), _KEY.split(text)[2::2], strict=True)}


_INDEX_HEAD = """# The rules of `minisim check`

Made from the rule files under `minisim/rules/`. An id is never used again.

Points on which sources differ: [disputes](disputes.md). Before a hand goes in: [cautions](cautions.md).

| Rule | Name | Severity | What it says |
|---|---|---|---|
"""


def index_page(rules: list[Rule]) -> str:
    """All rules by id."""
    rows = [f"| [{rule.id}]({rule.id}.md) | {rule.slug} | {rule.severity} | {rule.title} |" for rule in rules]
    return _INDEX_HEAD + "\n".join(rows) + "\n"


_DISPUTES_HEAD = """# Points on which documents differ

A finding that rests on one of these names it with both readings and the test that tells them apart. The keys in
brackets are those of the [sources](../../sources.md).
"""


def disputes_page() -> str:
    """The questions on which sources differ, each with its readings and the test that decides."""
    return "\n".join([_DISPUTES_HEAD, *(_dispute(one) for one in DISPUTES.values())])


def _dispute(one: Dispute) -> str:
    question = one.question[0].upper() + one.question[1:]
    return (
        f"## {one.number}\n\n{question}.\n\n- Taken here: {one.taken}.\n- Otherwise: {one.other}.\n"
        f"- What decides: {one.test}.\n"
    )


_JSON_HEAD = """# The output of `minisim check --json`

One object. `files` holds a report for each loadout that could be read: `worst` is the worst severity the owner has not
accepted (null where there is none), `findings` stand worst first, `outcomes` tell how every rule ended for every
subject, `not_known` names what is missing, each thing once; `disputes` holds every point on which documents differ that
one of these rests on: both readings, which one is taken, and the test that decides. `state` and `modifications` are
those of the loadout, `head` holds the lines that stand above the findings of one stage (`--stage`). `unusable` holds
the errors of files that could not be read. The JSON Schema:
"""


def json_page() -> str:
    """The shape of `minisim check --json`."""
    return f"{_JSON_HEAD}\n```json\n{json.dumps(JSON_SHAPE, indent=2)}\n```\n"
