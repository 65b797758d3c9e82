"""What decides most comes first: the order of the gaps, and the rules said to use each figure against what rules do."""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from minisim.catalogue import Catalogue
from minisim.catalogue.gap_advice import every_advice
from minisim.catalogue.gaps import NO_RULE, STATES, everything, gaps, named_by, of_loadout, of_stock, severities
from minisim.catalogue.reader import HERE
from minisim.checking import check
from minisim.cli import main
from minisim.cli.catalogue import ORDER
from minisim.findings import Severity
from minisim.loadout.reader import read_loadout
from minisim.problems import InputError
from minisim.stock.reader import read_stock

ROOT = Path(__file__).parents[2]
LOADOUTS = ROOT / "loadouts" / "kittiwake"


def test_things_stand_by_outcomes_then_severity_then_how_well_known_then_how_much_hangs_on_them() -> None:
    """The sentence of ORDER, worked out anew from the gaps."""
    gravity = [*(one.value for one in Severity), NO_RULE]
    path = LOADOUTS / "ledger.yaml"
    loadout = read_loadout(path)
    catalogue = Catalogue()
    yours = of_loadout(loadout, catalogue)
    for things in (
        gaps(catalogue, everything(catalogue)),
        gaps(catalogue, yours, [check(loadout, catalogue)], yours=yours),
    ):
        told = [
            (-one.gaps[0].holds_up, gravity.index(one.gaps[0].decides), STATES.index(one.gaps[0].state),
             -yours[one.kind, one.entry] if one.yours else 0, -one.named_by)
            for one in things
        ]  # fmt: skip
        assert told == sorted(told)
        for thing in things:
            order = [(-gap.holds_up, gravity.index(gap.decides), STATES.index(gap.state)) for gap in thing.gaps]
            assert order == sorted(order)


def test_what_decides_damage_comes_before_what_decides_a_fault() -> None:
    catalogue = Catalogue()
    first = gaps(catalogue, everything(catalogue))[0].gaps[0]
    assert (first.decides, first.state) == ("damage", "unknown")
    assert first.advice.rules == ("POWER-001",)  # memory chips at the wrong volts: facts/rules.md says damage


def test_an_entry_is_counted_where_others_name_it() -> None:
    """The terminal of the catalogue against the texts of the files, without comments and the words for people."""
    catalogue = Catalogue()
    count = named_by(catalogue)
    for kind, name in (("boards", "sep-boot-terminator"), ("supplies", "sep-large-box"), ("media", "cartridge-5mb")):
        files = [path for path in HERE.glob("*/*.yaml") if path.parent.name != "profiles" and path.stem != name]
        names = sum(name in set(words(yaml.load(path.read_text("utf-8"), yaml.CSafeLoader))) for path in files)
        assert count[name] == names > 0, kind


def words(node: Any) -> Iterator[str]:
    if isinstance(node, dict):
        for value in node.values():
            yield from words(value)
    elif isinstance(node, list):
        for value in node:
            yield from words(value)
    else:
        yield str(node)


def test_pieces_and_places_are_counted() -> None:
    catalogue = Catalogue()
    pieces = of_stock(LOADOUTS / "pile" / "stock.csv", catalogue)
    rows = read_stock(LOADOUTS / "pile" / "stock.csv").rows
    assert sum(pieces.values()) == sum(row.count for row in rows if row.understood.entry is not None)
    assert max(pieces.values()) > 1
    placed = of_loadout(read_loadout(LOADOUTS / "ledger.yaml"), catalogue)
    assert placed["roms", "rom-ours"] == 1
    assert placed["boards", "sep-cpu-late-ttl"] == 1


def test_the_answer_says_how_it_is_sorted(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["catalogue", "gaps"]) == 1
    assert " ".join(ORDER.split()) in " ".join(capsys.readouterr().out.split())
    assert main(["catalogue", "gaps", "--in", str(LOADOUTS / "pile" / "stock.csv"), "--kind", "boards"]) == 1
    assert "in what --in names" in " ".join(capsys.readouterr().out.split())


def test_every_rule_that_is_named_is_a_rule() -> None:
    assert {rule for advice in every_advice().values() for rule in advice.rules} <= set(severities())


def test_a_rule_that_misses_a_figure_is_named_with_it() -> None:
    """The words of the outcomes of the demo machines and of the fixtures of the rules."""
    heard = 0
    for path in (*sorted(LOADOUTS.glob("*.yaml")), *sorted((ROOT / "tests" / "rules").glob("*/good-*.yaml"))):
        for outcome in check(read_loadout(path)).outcomes:
            for said in outcome.missing:
                for sort, advice in every_advice().items():
                    if advice.phrase and all(part in said for part in advice.phrase.split("{}")):
                        heard += 1
                        assert outcome.rule in advice.rules, (sort, said)
    assert heard > 100


# ---- the rules said to use a figure, against what happens when it is taken away

BY_HAND = {"slots", "grant-order", "height", "rows"}
"""Without these no loadout can be read, or a board has no place at all: the rules are those of facts/rules.md."""
NOT_IN_FIXTURES = {"line-clock", "dma-buffered", "lengths-m", "turnaround"}


@pytest.mark.slow
@pytest.mark.parametrize("sort", sorted(key for key, advice in every_advice().items() if key not in BY_HAND))
def test_the_rules_named_are_those_that_change_without_the_figure(sort: str, tmp_path: Path) -> None:
    """Those that miss the figure must be named; those named must end otherwise, somewhere."""
    root = tmp_path / "without"
    shutil.copytree(HERE, root, ignore=shutil.ignore_patterns("*.py", "__pycache__"))
    for path in root.glob("*/*.yaml"):
        entry = yaml.load(path.read_text("utf-8"), yaml.CSafeLoader)
        if path.parent.name != "profiles" and take_away(entry, sort):
            path.write_text(yaml.safe_dump(entry, sort_keys=False), "utf-8")
    missed: set[str] = set()
    changed: set[str] = set()
    whole, less = Catalogue(), Catalogue(root)
    for path in (*sorted((ROOT / "tests" / "rules").glob("*/*.yaml")), *sorted(LOADOUTS.glob("*.yaml"))):
        try:
            with_it, without = (check(read_loadout(path, catalogue=one), one).outcomes for one in (whole, less))
        except InputError:
            continue
        missed |= {one.rule for one in without if one.missing} - {one.rule for one in with_it if one.missing}
        new, old = (Counter((one.rule, one.place, one.state) for one in each) for each in (without, with_it))
        changed |= {rule for rule, _, _ in (new - old) + (old - new)}
    named = set(every_advice()[sort].rules)
    assert missed <= named
    assert named <= changed or sort in NOT_IN_FIXTURES


def take_away(node: Any, sort: str) -> bool:
    """Make every figure of that name unknown; was there one?"""
    if isinstance(node, list):
        return sum(take_away(each, sort) for each in node) > 0
    if not isinstance(node, dict):
        return False
    found = False
    for key, value in node.items():
        if key != sort:
            found |= take_away(value, sort)
        elif isinstance(value, dict | list) and value:
            found = True
            node[key] = unknown(sort, value)
    return found


def unknown(sort: str, value: Any) -> Any:
    if isinstance(value, list):
        return [unknown_registers(each) for each in value]
    if "value" in value:
        return {
            "value": "unknown" if value["value"] != "none" else "none",
            **{k: v for k, v in value.items() if k == "end"},
        }
    if sort == "memory":
        return {**value, "kb": {"value": "unknown"}}
    if sort == "rom":
        rest = {key: each for key, each in value.items() if key != "sockets"}
        return {**rest, "windows": "unknown", "words-each": "unknown"}
    if sort == "processor":
        ways = {name: way if way == "never" else "unknown" for name, way in value["options"].items()}
        plain = {key: "unknown" for key, each in value.items() if each in ("yes", "no", "register-only")}
        return {**value, "options": ways, **plain}
    return {rail: {"value": "unknown"} for rail in value}


def unknown_registers(group: dict[str, Any]) -> dict[str, Any]:
    places = {key: "unknown" for key in ("at", "vectors") if group.get(key) not in ("none", None)}
    return group if group.get("device") == "event-line" else {**group, **places}
