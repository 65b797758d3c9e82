"""The generated pages: docs/reference/symptoms/<name>.md, their index with all words of the files, the JSON shape."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from minisim.why.as_json import why_schema
from minisim.why.facts import FACTS
from minisim.why.lists import BOARDS, LISTS
from minisim.why.model import Cause, Condition, Symptom
from minisim.why.numbers import KINDS
from minisim.why.reader import read_symptom, symptom_files
from minisim.why.sayings import SAYINGS

FOLDER = Path("reference/symptoms")
JSON_PAGE = Path("reference/why-json.md")


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    symptoms = [read_symptom(path) for path in symptom_files()]
    made = {FOLDER / f"{one.head.id}.md": symptom_page(one) for one in symptoms}
    made[FOLDER / "index.md"] = index_page(symptoms)
    made[JSON_PAGE] = json_page()
    return made


# ---- one symptom


def symptom_page(symptom: Symptom) -> str:
    """How to say it, what is asked, and each cause with its probe."""
    head = symptom.head
    lines = [f"# {head.title[:1].upper()}{head.title[1:]}", "", "Said as:", ""]
    lines += [f"- `{example}`" for example in head.examples]
    if symptom.tells:
        lines += ["", "## What the words tell", ""]
        lines += [f"- {one.say}{_only(one.when, one.unless)}" for one in symptom.tells]
    if symptom.ask:
        lines += ["", "## Look first", ""]
        lines += [f"- {one.look} *Yes:* {one.yes}. *No:* {one.no}.{_only(one.when, one.unless)}" for one in symptom.ask]
    lines += ["", "## Causes", "", _INTRODUCTION, ""]
    for cause in sorted(symptom.causes, key=lambda one: -one.weight):
        lines += _cause(cause)
    lines += ["## Where no cause is left", "", symptom.otherwise]
    return "\n".join(lines) + "\n"


_INTRODUCTION = """By weight, before a machine is known. Words in braces are filled in for the machine that is
asked about. *Expect* tells what is seen if this is the cause."""


def _cause(cause: Cause) -> Iterator[str]:
    yield f"### {cause.cause}"
    yield ""
    yield f"Weight {cause.weight}.{_only(cause.when, cause.unless)}{_rules(cause)}{_unconfirmed(cause)}"
    yield ""
    if cause.mind:
        yield f"- Mind: {cause.mind}."
    yield f"- Measure: {cause.measure}." + (" (A hand goes in.)" if cause.hand else "")
    yield f"- Expect: {cause.expect}."
    yield f"- If not: {cause.if_not}."
    if cause.look_at:
        yield f"- Places: {_doc(LISTS[cause.look_at])}"
    yield f"- Sources: {', '.join(f'[{key}](../../sources.md)' for key in cause.sources)}"
    yield ""


def _unconfirmed(cause: Cause) -> str:
    return " Unconfirmed." if cause.unconfirmed else ""


def _rules(cause: Cause) -> str:
    if not cause.rules:
        return ""
    links = ", ".join(f"[{rule}](../rules/{rule}.md)" for rule in cause.rules)
    about = f" at: {_doc(BOARDS[cause.about]).lower().rstrip('.')}" if cause.about else ""
    return f" A finding of {links}{about} brings it up."


def _only(when: Iterable[Condition], unless: Iterable[Condition]) -> str:
    """Which machines it is about, in the words of the facts."""
    parts = [f"`{one.text}`" for one in when] + [f"not `{one.text}`" for one in unless]
    return f" Only where {', '.join(parts)}." if parts else ""


def _doc(function: object) -> str:
    return (function.__doc__ or "").strip().split("\n", 1)[0]


# ---- index

_INDEX = """# Symptoms

`minisim why LOADOUT SYMPTOM` knows these. Made from the files under `minisim/why/symptoms/`, one file a symptom; causes
that several share stand in `minisim/why/causes.yaml`, words that mean the same in `minisim/why/words.yaml`.

| Symptom | Say |
|---|---|
"""

_KEYS = """
## The keys of a symptom file

`minisim schema symptom` prints the JSON Schema. `why: 1`, `title`, `examples` and `phrases` stand first, then `tells`,
`ask`, `causes` and `otherwise`.

"""

_ORDER = """
The order of the causes of one machine: weight; plus 400, 300, 200 or 10 for a finding of damage, fault, doubt or note;
less 10 where a fact is not known.
"""


_MEANINGS = {
    "examples": "how people say it; each must be recognised as this symptom and no other",
    "phrases": "words that must all be there, in any order; `!word` must not; `{kind}` or `{name=kind}` is a number "
    "or a name, which stands behind the word before it",
    "tells": "sentences on what the words say: `say`, `when`, `unless`",
    "ask": "what to look at from outside first: `look`, `if-yes`, `if-no`, `when`, `unless`",
    "causes": "own ones with an `id`, or `use` of a shared one with its `weight`",
    "cause": "the cause, as a sentence without its full stop",
    "measure": "the probe that halves the problem",
    "expect": "what is seen if this is the cause",
    "if-not": "what it means if that is not seen",
    "weight": "0 to 100: how likely before the machine is known, and how cheap the probe is",
    "when": "facts that must hold; where the loadout does not tell, the cause stays and says so",
    "unless": "facts that must not hold",
    "rules": "rules whose findings bring the cause up",
    "about": "boards at which such a finding must be",
    "look-at": "a list of places printed with the cause",
    "hand": "yes: the probe sends a hand into the machine, so the cautions are printed",
    "mind": "what to mind at exactly this step, for instance where power stays on",
    "sources": "keys of the [sources](../../sources.md), or `common-practice`",
    "unconfirmed": "yes: nobody has seen it printed",
    "otherwise": "what to measure where no cause is left",
}


def index_page(symptoms: Iterable[Symptom]) -> str:
    """All symptoms by name, then every word that a file may use."""
    rows = [f"| [{one.head.title}]({one.head.id}.md) | `{one.head.examples[0]}` |" for one in symptoms]
    facts = {f"{name}: ..." if fact.takes_argument else name: fact.doc for name, fact in FACTS.items()}
    parts = [
        _table("Facts", "fact", facts),
        _table("Numbers and names in phrases", "kind", {name: kind.what for name, kind in KINDS.items()}),
        _table("Words in braces", "word", {f"{{{name}}}": _doc(one) for name, one in SAYINGS.items()}),
        _table("Lists of places", "look-at", {name: _doc(one) for name, one in LISTS.items()}),
        _table("Boards that findings may be about", "about", {name: _doc(one) for name, one in BOARDS.items()}),
    ]
    return _INDEX + "\n".join(rows) + "\n" + _KEYS + _rows("key", _MEANINGS) + _ORDER + "".join(parts)


def _table(title: str, head: str, rows: Mapping[str, str]) -> str:
    return f"\n## {title}\n\n{_rows(head, rows)}"


def _rows(head: str, rows: Mapping[str, str]) -> str:
    body = "\n".join(f"| `{name}` | {text} |" for name, text in rows.items())
    return f"| {head} | meaning |\n|---|---|\n{body}\n"


_JSON_HEAD = """# The output of `minisim why --json`

One object. `causes` stand in order, the first to look at first; `ruled-out` names causes that this machine can't have,
with the reason. Numbers that the owner gave stand under `values`, in octal. The JSON Schema:
"""


def json_page() -> str:
    """The shape of `minisim why --json`."""
    return f"{_JSON_HEAD}\n```json\n{json.dumps(why_schema(), indent=2)}\n```\n"
