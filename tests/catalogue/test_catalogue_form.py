"""Form of every catalogue file: counts, schemas, quoting, evidence, sources."""

from __future__ import annotations

import jsonschema
import pytest
import yaml
from trees import CATALOGUE, plain, trees, walk

from minisim.catalogue.schema import schema, schemas
from minisim.catalogue.words import EVIDENCE, KINDS
from minisim.sources import read_sources
from minisim.yamltext import Mapping, Scalar, Sequence

# Counts of the data this catalogue was made from; `terminal` among the drives is our own addition.
PUBLISHED = {
    "boards": 105,
    "backplanes": 25,
    "supplies": 23,
    "chassis": 14,
    "drives": 30 + 1,
    "cables": 27,
    "media": 24,
    "roms": 31,
    "profiles": 17,
}
OCTAL_KEYS = {"fixed", "choices", "first", "windows", "first-word", "expects-csr", "start", "entry", "at"}


def test_no_entry_was_lost() -> None:
    assert {kind: len(CATALOGUE.ids(kind)) for kind in KINDS if kind != "drives"} | {
        "drives": len(CATALOGUE.ids("drives"))
    } == PUBLISHED
    assert CATALOGUE.has("drives", "terminal")


@pytest.mark.parametrize("kind", KINDS)
def test_every_schema_is_a_schema(kind: str) -> None:
    jsonschema.Draft202012Validator.check_schema(schema(kind))


@pytest.mark.parametrize("kind", KINDS)
def test_every_file_fits_its_schema(kind: str) -> None:
    validator = jsonschema.Draft202012Validator(schemas()[kind])
    wrong = [
        f"{name}: {error.message}" for name, node in trees(kind).items() for error in validator.iter_errors(plain(node))
    ]
    assert wrong == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_file_fits_its_schema_when_another_reader_guesses_at_numbers(kind: str) -> None:
    validator = jsonschema.Draft202012Validator(schema(kind))
    wrong = []
    for name in CATALOGUE.ids(kind):
        data = yaml.load(CATALOGUE.path(kind, name).read_text("utf-8"), yaml.CSafeLoader)
        wrong += [f"{name}: {error.message}" for error in validator.iter_errors(data)]
    assert wrong == []


@pytest.mark.parametrize(
    ("key", "value", "seen"),
    [
        ("bus", "third", "third"),
        ("height", {"value": "double", "evidence": "seen"}, "double"),
        ("amperes", {}, "amperes"),
    ],
)
def test_a_wrong_board_does_not_fit_the_schema(key: str, value: object, seen: str) -> None:
    board = {**plain(trees("boards")["grant-card"]), key: value}
    messages = [str(error) for error in jsonschema.Draft202012Validator(schema("boards")).iter_errors(board)]
    assert messages and any(seen in message for message in messages)


@pytest.mark.parametrize("kind", KINDS)
def test_every_entry_is_read_without_a_problem(kind: str) -> None:
    for name in CATALOGUE.ids(kind):
        entry = CATALOGUE.entry(kind, name)
        assert getattr(entry, "id", None) == name


def _is_octal(path: tuple[str, ...], node: Scalar) -> bool:
    if not node.text.isdigit():
        return False
    return path[-1] in OCTAL_KEYS or (path[-1] == "value" and path[-2] in OCTAL_KEYS)


@pytest.mark.parametrize("kind", KINDS)
def test_addresses_and_vectors_are_quoted(kind: str) -> None:
    bare = [
        f"{name}: {'.'.join(path)} {node.text}"
        for name, top in trees(kind).items()
        for path, node in walk(top)
        if isinstance(node, Scalar) and path and _is_octal(path, node) and not node.quoted
    ]
    assert bare == []


@pytest.mark.parametrize("kind", KINDS)
def test_yes_and_no_are_quoted_and_nothing_is_left_empty(kind: str) -> None:
    bare = [
        f"{name}: {'.'.join(path)}"
        for name, top in trees(kind).items()
        for path, node in walk(top)
        if isinstance(node, Scalar) and not node.quoted and (node.empty or node.text in ("yes", "no", "on", "off"))
    ]
    assert bare == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_evidence_is_a_word_of_the_catalogue_and_what_was_seen_names_its_source(kind: str) -> None:
    wrong = []
    for name, top in trees(kind).items():
        for path, node in walk(top):
            word = node.get("evidence") if isinstance(node, Mapping) else None
            if not isinstance(word, Scalar):
                continue
            sources = node.get("sources")
            if word.text not in EVIDENCE:
                wrong.append(f"{name}: {'.'.join(path)} {word.text}")
            if word.text in ("seen", "seen-secondary") and not (isinstance(sources, Sequence) and sources.items):
                wrong.append(f"{name}: {'.'.join(path)} seen without a source")
    assert wrong == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_source_is_in_the_bibliography_and_what_was_seen_stands_in_one_that_was_read(kind: str) -> None:
    sources = read_sources()
    wrong = []
    for name, top in trees(kind).items():
        for _, node in walk(top):
            keys = node.get("sources") if isinstance(node, Mapping) else None
            words = [item.text for item in keys.items if isinstance(item, Scalar)] if isinstance(keys, Sequence) else []
            wrong += [f"{name}: no source {word}" for word in words if word not in sources]
            evidence = node.get("evidence") if isinstance(node, Mapping) else None
            if isinstance(evidence, Scalar) and evidence.text in ("seen", "seen-secondary"):
                known = {sources[word].known for word in words if word in sources}
                if not known & {"read", "quoted"}:
                    wrong.append(f"{name}: {evidence.text}, but {words} were not read")
    assert wrong == []


def test_no_file_says_what_was_found_where_nobody_else_can_look() -> None:
    """References to notes that are no part of the project would lead nowhere."""
    wrong = [
        f"{kind}/{name}: {node.text}"
        for kind in KINDS
        for name, top in trees(kind).items()
        for _, node in walk(top)
        if isinstance(node, Scalar) and ".md" in node.text
    ]
    assert wrong == []
