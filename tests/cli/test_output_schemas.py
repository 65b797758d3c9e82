"""The JSON outputs against their published schemas, by the jsonschema library; spoiled copies are refused."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from minisim.cli import main
from minisim.cli.schema import SCHEMAS

LOADOUTS = Path(__file__).parents[2] / "loadouts" / "kittiwake"
EVERY = [str(path) for path in sorted(LOADOUTS.glob("*.yaml"))]
OUTPUTS = [
    # which schema; the command; its exit code
    ("stock-identify", ["stock", "identify", "M8O43"], 0),
    ("stock-identify", ["stock", "identify", "H777"], 1),
    ("stock-identify", ["stock", "identify", "no such thing"], 1),
    ("stock-identify", ["stock", "identify", "042130"], 0),
    ("stock-identify", ["stock", "identify", "--height", "dual", "--rows", "AB", "--grants", "loop"], 1),
    ("catalogue-show", ["catalogue", "show", "H777"], 1),
    ("catalogue-show", ["catalogue", "show", "chipset-four-level"], 0),
    ("catalogue-show", ["catalogue", "show", "sep-boot-terminator"], 0),
    ("catalogue-gaps", ["catalogue", "gaps"], 1),
    ("catalogue-gaps", ["catalogue", "gaps", "--in", EVERY[0]], 1),
    ("catalogue-gaps", ["catalogue", "gaps", "--in", str(LOADOUTS / "pile" / "stock.csv")], 1),
    ("check-stages", ["check", "--stage", "list", *EVERY], 0),
]


def printed(words: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, Any]:
    code = main(words)
    return code, json.loads(capsys.readouterr().out)


def validator(name: str, capsys: pytest.CaptureFixture[str]) -> jsonschema.Draft202012Validator:
    schema = printed(["schema", name], capsys)[1]
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


@pytest.mark.parametrize(("name", "words", "code"), OUTPUTS)
def test_what_is_printed_has_the_published_shape(
    name: str, words: list[str], code: int, capsys: pytest.CaptureFixture[str]
) -> None:
    schema = validator(name, capsys)
    exit_code, data = printed([*words, "--json"], capsys)
    assert exit_code == code
    assert [error.message for error in schema.iter_errors(data)] == []


@pytest.mark.parametrize(("name", "words", "code"), OUTPUTS[::3])
def test_a_copy_with_a_key_too_few_or_too_many_is_refused(
    name: str, words: list[str], code: int, capsys: pytest.CaptureFixture[str]
) -> None:
    schema = validator(name, capsys)
    assert code in (0, 1)
    data = printed([*words, "--json"], capsys)[1]
    for spoiled in spoilt(data):
        assert not schema.is_valid(spoiled)


def spoilt(data: Any) -> Iterator[Any]:
    """One key taken out of, or put into, the first record of each depth."""
    depth = 0
    while (place := record_at(data, depth)) is not None:
        for key in place:
            copied = copy.deepcopy(data)
            del record_at(copied, depth)[key]
            yield copied
        copied = copy.deepcopy(data)
        record_at(copied, depth)["further"] = 1
        yield copied
        depth += 1


def record_at(data: Any, depth: int) -> Any:
    """The first record inside the first record, and so on; None where there is none so deep."""
    if depth == 0:
        return data
    inner = (value for value in data.values() if isinstance(value, list) and value and isinstance(value[0], dict))
    first = next(inner, None)
    return None if first is None else record_at(first[0], depth - 1)


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_every_schema_is_one_and_is_listed_in_the_help(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert validator(name, capsys).schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    main(["schema", "--help"])
    assert name in re.split(r"[\s,.:;()]+", capsys.readouterr().out)
