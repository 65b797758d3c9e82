"""The give-away list of a plan: what each thing is, its condition, how heavy, ship or hand over, what stays together.

A region is named and no place; items keep their names to themselves unless that is asked for.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from minisim.files import read_at_most
from minisim.findings import Mark
from minisim.known import Known
from minisim.problems import InputError, Problem
from minisim.sheet.blocks import Block, Document, Fields, Heading, Items, Page, Role, Table, Words
from minisim.sheet.messages import say
from minisim.sheet.numbers import figure_text, how_sure

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue

_MOST_BYTES = 50_000_000
_SHIPPED_KG = 20
"""Heavier things are handed over: what a parcel service takes from one person (common practice)."""
_CLASSES = {
    "boards": ("board", "ship"), "cables": ("small", "ship"), "roms": ("small", "ship"), "media": ("small", "ship"),
    "backplanes": ("parcel", "ship"), "supplies": ("parcel", "ship"), "chassis": ("heavy", "hand-over"),
    "drives": ("heavy", "hand-over"),
}  # fmt: skip
_CAUTIONS = ("lift", "heads", "static", "charge", "crumbs")


def surplus_document(path: Path, *, region: str, numbers: bool, catalogue: Catalogue, made: date) -> Document:
    """The list as a document.  `path`: what `minisim plan --json` printed; InputError where it is anything else."""
    from minisim.cli import version

    data = read_at_most(path, _MOST_BYTES, "a plan")
    plan = _plan(data, path)
    where = region or say("surplus-region-unstated")
    digest = hashlib.sha256(data).hexdigest()
    facts = {"file": str(path), "sha256": digest, "version": version(), "date": made.isoformat()}
    foot = say("surplus-foot", region=where, version=version(), date=facts["date"], hash=facts["sha256"][:12])
    blocks = tuple(_blocks(plan, where, numbers, catalogue))
    page = Page("surplus", say("surplus-title"), blocks, starts_sheet=False)
    return Document(say("surplus-title"), foot, (page,), facts=facts)


def _plan(data: bytes, path: Path) -> dict[str, Any]:
    """The parts that are needed, each of the right shape."""
    try:
        plan = json.loads(data)
    except (ValueError, RecursionError) as error:
        place = (error.lineno, error.colno) if isinstance(error, json.JSONDecodeError) else (1, 1)
        message = "not JSON: what minisim plan --json prints is wanted"
        raise InputError([Problem(Mark(str(path), *place), message)]) from None
    if not isinstance(plan, dict) or plan.get("plan") != 1 or not _is_whole(plan):
        message = "no plan: what minisim plan STOCK WISHES --json prints (version 1) is wanted"
        raise InputError([Problem(Mark(str(path), 1, 1), message)])
    return plan


def _is_whole(plan: dict[str, Any]) -> bool:
    left, together = plan.get("left"), plan.get("together")
    return (
        isinstance(left, list)
        and isinstance(together, list)
        and all(_is_left(one) for one in left)
        and all(_is_group(one) for one in together)
    )


def _is_thing(one: object) -> bool:
    if not isinstance(one, dict) or not isinstance(one.get("count"), int) or isinstance(one.get("count"), bool):
        return False
    return one.get("kind") in tuple(_CLASSES) and all(isinstance(one.get(name), str) for name in ("id", "title"))


def _is_left(one: Any) -> bool:
    texts = _is_thing(one) and isinstance(one.get("group"), str)
    return texts and _are_texts(one, "conditions") and _are_texts(one, "items")


def _is_group(one: object) -> bool:
    if not isinstance(one, dict) or not isinstance(one.get("because"), str) or not isinstance(one.get("things"), list):
        return False
    return all(map(_is_thing, one["things"]))


def _are_texts(one: dict[str, Any], name: str) -> bool:
    found = one.get(name)
    return isinstance(found, list) and all(isinstance(text, str) for text in found)


# ---- the page


def _blocks(plan: dict[str, Any], region: str, numbers: bool, catalogue: Catalogue) -> Iterator[Block]:
    yield Fields(((say("surplus-region"), region),))
    yield Words(say("surplus-condition-note"))
    yield Words(say("surplus-weight-note"))
    if not plan["left"]:
        yield Words(say("surplus-nothing"), Role.STRONG)
    for group in dict.fromkeys(one["group"] for one in plan["left"]):
        yield from _group(group, [one for one in plan["left"] if one["group"] == group], numbers, catalogue)
    if plan["together"]:
        yield Heading(say("surplus-together"))
        yield Items(tuple(_together(one) for one in plan["together"]))
    yield Heading(say("surplus-cautions"))
    yield Items(tuple(say(f"surplus-caution-{name}") for name in _CAUTIONS))


def _group(group: str, things: list[dict[str, Any]], numbers: bool, catalogue: Catalogue) -> Iterator[Block]:
    boards = any(one["kind"] == "boards" for one in things)
    caption = say("surplus-by-height" if boards else "surplus-other", group=group)
    names = ["what", "count", "condition", "weight", "how", *(["items"] if numbers else [])]
    head = tuple(say(f"surplus-{name}") for name in names)
    rows = tuple(_row(one, numbers, catalogue) for one in things)
    yield Table(f"surplus-{'-'.join(group.split())}", caption, head, rows)


def _row(one: dict[str, Any], numbers: bool, catalogue: Catalogue) -> tuple[str, ...]:
    weight, how = _weight(one["kind"], one["id"], catalogue)
    items = (", ".join(one["items"]),) if numbers else ()
    return one["title"], str(one["count"]), ", ".join(one["conditions"]), weight, say(f"surplus-{how}"), *items


def _weight(kind: str, name: str, catalogue: Catalogue) -> tuple[str, str]:
    """How heavy in words, and whether it is shipped: by the catalogue's figures, else by its kind."""
    entry = catalogue.entry(kind, name) if catalogue.has(kind, name) else None
    kg, people = getattr(entry, "kg", None), getattr(entry, "people", None)
    said = [say("surplus-weight-kg", kg=figure_text(kg), evidence=how_sure(kg))] if isinstance(kg, Known) else []
    if isinstance(people, Known):
        key = "surplus-weight-people" if people.peek.isdecimal() else "surplus-weight-movers"
        said.append(say(key, people=people.peek, evidence=how_sure(people)))
    usual, how = _CLASSES.get(kind, ("parcel", "ship"))
    if isinstance(kg, Known):
        how = "hand-over" if Decimal(kg.peek) > _SHIPPED_KG else "ship"
    if isinstance(people, Known) and people.peek != "1":
        how = "hand-over"
    return ", ".join(said) or say(f"surplus-weight-{usual}"), how


def _together(group: dict[str, Any]) -> str:
    things = [say("surplus-together-thing", count=str(one["count"]), title=one["title"]) for one in group["things"]]
    return say("surplus-together-line", because=group["because"], things="; ".join(things))
