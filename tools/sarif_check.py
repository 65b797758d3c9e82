"""Holds `minisim check --format sarif` against the published schema of SARIF 2.1.0.

Without a file: the demo loadouts and the bad fixtures of the rules are checked, their log must be valid, and spoiled
copies of it must each be refused, so that a schema that accepts anything would be noticed.  With files: those are
validated.  Exit code 0 all as it should be, 1 not valid, 2 a file can't be read.
"""

from __future__ import annotations

import copy
import json
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from jsonschema import Draft4Validator

ROOT = Path(__file__).resolve().parent.parent
SCHEMA = ROOT / "tests" / "data" / "schemas" / "sarif-2.1.0.json"
GOOD = ("loadouts/kittiwake/*.yaml",)
BAD = ("tests/rules/*/bad-*.yaml",)


def problems_of(log: Any) -> list[str]:
    """What the schema, and what it can't say, has against a log; empty for a valid one."""
    validator = Draft4Validator(json.loads(SCHEMA.read_text("utf-8")))
    found = [f"{error.json_path}: {error.message[:200]}" for error in validator.iter_errors(log)]
    return found or list(_broken_links(log))


def _broken_links(log: Any) -> Iterator[str]:
    """Indexes and base names that point nowhere: the standard forbids them, a schema can't."""
    for run in log["runs"]:
        ids = [rule["id"] for rule in run["tool"]["driver"].get("rules", ())]
        files = [one["location"]["uri"] for one in run.get("artifacts", ())]
        for number, result in enumerate(run.get("results", ())):
            where, index = f"result {number}", result.get("ruleIndex", -1)
            if index >= 0 and (index >= len(ids) or ids[index] != result.get("ruleId")):
                yield f"{where}: ruleIndex {index} is not {result.get('ruleId')}"
            for location in result.get("locations", ()):
                yield from _broken_place(location["physicalLocation"]["artifactLocation"], files, run, where)


def _broken_place(place: dict[str, Any], files: list[str], run: dict[str, Any], where: str) -> Iterator[str]:
    index = place.get("index", -1)
    if index >= 0 and (index >= len(files) or files[index] != place["uri"]):
        yield f"{where}: index {index} is not {place['uri']}"
    base = place.get("uriBaseId")
    if base is not None and base not in run.get("originalUriBaseIds", {}):
        yield f"{where}: nothing says what {base} is"


# ---- spoiled copies, each of which must be refused


def _first(log: Any) -> Any:
    return log["runs"][0]["results"][0]


SPOILERS: dict[str, Callable[[Any], Any]] = {
    "another version": lambda log: log.update(version="2.0.0"),
    "no runs": lambda log: log.pop("runs"),
    "no name of the tool": lambda log: log["runs"][0]["tool"]["driver"].pop("name"),
    "a key nobody knows": lambda log: log["runs"][0].update(surplus=1),
    "a level that does not exist": lambda log: _first(log).update(level="damage"),
    "a result without a message": lambda log: _first(log).pop("message"),
    "a line 0": lambda log: _first(log)["locations"][0]["physicalLocation"]["region"].update(startLine=0),
    "a column as text": lambda log: _first(log)["locations"][0]["physicalLocation"]["region"].update(startColumn="7"),
    "a rule without an id": lambda log: log["runs"][0]["tool"]["driver"]["rules"][0].pop("id"),
    "a fingerprint that is no text": lambda log: _first(log).update(partialFingerprints={"subject/v1": 7}),
    "an index of another rule": lambda log: _first(log).update(ruleIndex=_first(log)["ruleIndex"] + 1),
    "a file that is not listed": lambda log: _first(log)["locations"][0]["physicalLocation"]["artifactLocation"].update(
        index=10_000
    ),
}


def not_refused(log: Any) -> list[str]:
    """Names of the spoiled copies that would pass."""
    passed = []
    for name, spoil in SPOILERS.items():
        spoiled = copy.deepcopy(log)
        spoil(spoiled)
        if not problems_of(spoiled):
            passed.append(name)
    return passed


# ---- the two ways to call it


def log_of(*patterns: str) -> Any:
    """The log that the command prints for these files."""
    from minisim.formatters import sarif
    from minisim.many import check_files

    files = [str(path) for pattern in patterns for path in sorted(ROOT.glob(pattern))]
    return json.loads(sarif(*check_files(files)))


def check_own() -> int:
    """Our own logs; says what it did."""
    code = 0
    for name, patterns in (("demo loadouts", GOOD), ("bad fixtures", BAD)):
        log = log_of(*patterns)
        found = problems_of(log)
        results = len(log["runs"][0]["results"])
        files = len(log["runs"][0]["artifacts"])
        print(f"{name}: {files} files, {results} results: {'not valid' if found else 'valid'}")
        code = _told(found) or code
    passed = not_refused(log)
    print(f"spoiled copies: {len(SPOILERS)}, refused {len(SPOILERS) - len(passed)}")
    return _told([f"not refused: {name}" for name in passed]) or code


def check_files(names: list[str]) -> int:
    """Files somebody gives."""
    code = 0
    for name in names:
        try:
            found = problems_of(json.loads(Path(name).read_text("utf-8")))
        except (OSError, ValueError) as error:
            print(f"{name}: {error}", file=sys.stderr)
            return 2
        print(f"{name}: {'not valid' if found else 'valid SARIF 2.1.0'}")
        code = _told(found) or code
    return code


def _told(found: list[str]) -> int:
    for one in found[:20]:
        print(f"  {one}", file=sys.stderr)
    return int(bool(found))


if __name__ == "__main__":
    sys.exit(check_files(sys.argv[1:]) if sys.argv[1:] else check_own())
