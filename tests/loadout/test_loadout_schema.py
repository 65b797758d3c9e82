"""The published schema accepts what the reader accepts, as editors see it, and refuses the plain mistakes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from minisim.cli import main
from minisim.loadout.declarations import LOADOUT
from minisim.loadout.schema import loadout_schema
from minisim.loadout.shape import ListOf, MapOf, Record, Shape, TextOr

WRONG = sorted((Path(__file__).parent / "data" / "wrong").glob("*.yaml"))
GOOD = ["gauge.yaml", "desk.yaml", "everything.yaml", "station-gauge.yaml", "station-desk.yaml"]


@pytest.fixture(scope="module")
def validator() -> jsonschema.Draft202012Validator:
    schema = loadout_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def as_editors_see(text: str, loader: Any) -> Any:
    """YAML's own guess at every scalar, with keys as text as JSON has them."""
    return json.loads(json.dumps(yaml.load(text, loader)))


@pytest.mark.parametrize("loader", [yaml.SafeLoader, yaml.BaseLoader], ids=["guessing", "all-text"])
@pytest.mark.parametrize("name", GOOD)
def test_good_loadouts_are_accepted_quoted_or_not(
    name: str, loader: Any, folder: Path, validator: jsonschema.Draft202012Validator
) -> None:
    data = as_editors_see((folder / name).read_text(), loader)
    assert [error.message for error in validator.iter_errors(data)] == []


@pytest.mark.parametrize("file", [file for file in WRONG if file.stem != "cables"], ids=lambda path: path.stem)
def test_wrong_loadouts_are_refused(file: Path, validator: jsonschema.Draft202012Validator) -> None:
    text = file.read_text().replace("      4AB: {board: grant-card}          # expect: key", "      # expect: key")
    assert list(validator.iter_errors(as_editors_see(text, yaml.SafeLoader)))


def machine(**changes: Any) -> dict[str, Any]:
    board = {"board": "serial-line-single", "settings": {"address": "777560", "baud": 9600, "console": True}}
    box = {"id": "main", "backplane": "mux-twin-4-18bit", "slots": {"2CD": {**board, **changes.pop("board", {})}}}
    return {"loadout": 1, "name": "x", "boxes": [{**box, **changes.pop("box", {})}], **changes}


@pytest.mark.parametrize(
    "changes",
    [
        {"loadout": 2},
        {"name": ""},
        {"sate": "planned"},
        {"boxes": {}},
        {"switches": {"register": "888"}},
        {"box": {"backplane": "mux-twin-4"}},
        {"box": {"units": []}},
        {"box": {"slots": {"2ab": {"board": "grant-card"}}}},
        {"board": {"board": "serial-line"}},
        {"board": {"settings": {"colour": "even"}}},
        {"board": {"settings": {"address": "17756 0"}}},
        {"board": {"settings": {"baud": 19200}}},
        {"board": {"settings": {"wiring": "loop"}}},
        {"cables": [{"from": "main/a/2CD", "to": "nothing"}]},
        {"accept": [{"rule": "GRANT-001", "at": "main/a/3", "because": " "}]},
    ],
    ids=str,
)
def test_one_mistake_is_enough(changes: dict[str, Any], validator: jsonschema.Draft202012Validator) -> None:
    assert list(validator.iter_errors(machine())) == []
    assert list(validator.iter_errors(machine(**changes)))


def records(shape: Shape) -> list[Record]:
    if isinstance(shape, ListOf):
        return records(shape.item)
    if isinstance(shape, MapOf):
        return records(shape.value)
    if isinstance(shape, TextOr):
        return records(shape.record)
    if isinstance(shape, Record):
        return [shape, *(one for key in shape for one in records(key.shape))]
    return []


def test_every_declared_key_stands_in_the_schema_with_a_line_about_it() -> None:
    schema = loadout_schema()
    for record in records(LOADOUT):
        part = schema if record is LOADOUT else schema["$defs"][record.name.replace(" ", "-")]
        assert set(part["properties"]) == {key.name for key in record}
        assert all(part["properties"][key.name]["description"] == key.what for key in record)


def test_records_have_names_of_their_own() -> None:
    names = {record.name: record for record in records(LOADOUT)}
    assert all(names[record.name] is record for record in records(LOADOUT))


def test_the_command_prints_the_schema(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out) == loadout_schema()
