"""The one door through which YAML comes in: text with places, no tricks, every problem told."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim import yamltext
from minisim.problems import InputError
from minisim.yamltext import Mapping, Node, Scalar, Sequence, compose, parse


def _tree(text: str) -> Node:
    node, problems = parse(text.encode(), "a.yaml")
    assert problems == [] and node is not None
    return node


def _mapping(text: str) -> Mapping:
    node = _tree(text)
    assert isinstance(node, Mapping)
    return node


def _said(data: bytes) -> list[str]:
    _, problems = parse(data, "a.yaml")
    return [str(problem) for problem in problems]


@pytest.mark.parametrize(
    "text",
    ["177560", "0177560", "0o177560", "17777560", "888", "1e3", "yes", "on", "2026-03-01", "0x10", "1_000", "12:30:45"],
)
def test_nothing_is_guessed_at(text: str) -> None:
    value = _mapping(f"a: {text}").get("a")
    assert isinstance(value, Scalar)
    assert (value.text, value.quoted) == (text, False)


def test_every_node_knows_its_line_and_column() -> None:
    root = _mapping("a: 1\nlist:\n  - x\n  - {k: 'v'}\n")
    items = root.get("list")
    assert isinstance(items, Sequence)
    inner = items.items[1]
    assert isinstance(inner, Mapping)
    value, key = inner.get("k"), inner.key("k")
    assert isinstance(value, Scalar) and key is not None
    assert (str(root.mark), str(items.mark), str(inner.mark)) == ("a.yaml:1:1", "a.yaml:3:3", "a.yaml:4:5")
    assert (str(key.mark), str(value.mark), value.quoted) == ("a.yaml:4:6", "a.yaml:4:9", True)


def test_columns_count_characters_not_bytes() -> None:
    root = _mapping('{"äöü€": 1, b: 2}')
    key = root.key("b")
    assert key is not None and key.mark.column == 13


def test_keys_come_in_the_order_of_the_file() -> None:
    root = _mapping("b: 1\na: 2\n")
    assert root.names() == ["b", "a"]
    assert [key.text for key, _ in root] == ["b", "a"]
    assert "a" in root and "c" not in root and root.get("c") is None and len(root) == 2


def test_nothing_written_is_empty_and_a_quoted_nothing_is_not() -> None:
    root = _mapping("a:\nb: ~\nc: null\nd: ''\ne: text\n")
    empty = {key.text: isinstance(value, Scalar) and value.empty for key, value in root}
    assert empty == {"a": True, "b": True, "c": True, "d": False, "e": False}


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"a: &x 1\n", "a.yaml:1:4: anchor &x: anchors are not allowed; write the text out"),
        (b"a: *x\n", "a.yaml:1:4: alias *x: aliases are not allowed; write the text out, or quote it"),
        (b"a: !!int 1\n", "a.yaml:1:4: tag tag:yaml.org,2002:int: tags are not allowed; write plain text"),
        (b"a: !own {b: 1}\n", "a.yaml:1:4: tag !own: tags are not allowed; write plain text"),
        (b"a: 1\nb: 2\na: 3\n", 'a.yaml:3:1: key "a" stands twice, first in line 1'),
        (b"<<: {a: 1}\n", "a.yaml:1:1: merge key <<: not allowed; write the entries out"),
        (b"? [a]\n: b\n", "a.yaml:1:3: a list can't be a key; a key is one word"),
        (b"a: 1\n---\nb: 2\n", "a.yaml:2:1: a second document begins here; one file holds one"),
        (b"", "a.yaml:1:1: the file is empty"),
        (b"# only a remark\n", "a.yaml:1:1: the file is empty"),
        (b"ok: 1\nbad: \xff\n", "a.yaml:2:6: not UTF-8 text; save the file as UTF-8"),
        ("ü: 1\nä".encode() + b"\xe4", "a.yaml:2:2: not UTF-8 text; save the file as UTF-8"),
        (b"a: 1\nb: \x07\n", "a.yaml:2:4: a character that can't stand in YAML text (code 7 octal)"),
        (
            b"a:\n\tb: 1\n",
            "a.yaml:2:1: not valid YAML: found character that cannot start any token; indent with spaces",
        ),
        (b"a: b: c\n", 'a.yaml:1:5: not valid YAML: mapping values are not allowed in this context; a text with ": "'),
        (b"a: [1\nb: 2\n", "a.yaml:2:2: not valid YAML: did not find expected ',' or ']'; a bracket or brace"),
        (b"a: 'x\n", "a.yaml:2:1: not valid YAML: found unexpected end of stream; a quote is not closed"),
        (b"[" * 60 + b"]" * 60, "a.yaml:1:51: nested more than 50 deep"),
        (b"- " * 60 + b"a", "a.yaml:1:101: nested more than 50 deep"),
    ],
)
def test_what_is_refused_is_told_with_its_place(data: bytes, said: str) -> None:
    messages = _said(data)
    assert len(messages) == 1
    assert messages[0].startswith(said)


def test_all_problems_of_a_file_are_told_in_its_order() -> None:
    lines = [message.split(": ")[0] for message in _said(b"a: &x 1\nb: *x\nb: !t 2\n<<: 1\n")]
    assert lines == ["a.yaml:1:4", "a.yaml:2:4", "a.yaml:3:1", "a.yaml:3:4", "a.yaml:4:1"]


def test_the_tree_is_whole_beside_problems_that_do_not_break_it() -> None:
    node, problems = parse(b"a: !t 1\nb: 2\n", "a.yaml")
    assert isinstance(node, Mapping) and node.names() == ["a", "b"]
    assert len(problems) == 1


def test_aliases_can_not_blow_up() -> None:
    lines = ["a0: &a0 [x, x]"] + [f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}, *a{n - 1}]" for n in range(1, 40)]
    node, problems = parse("\n".join(lines).encode(), "a.yaml")
    assert isinstance(node, Mapping) and len(problems) == 40 + 39 * 3


@pytest.mark.parametrize("data", [b"[" * 200_000, b"{" * 200_000, b"- " * 200_000, b"? " * 100_000, b"{a: " * 100_000])
def test_deep_nesting_ends_in_a_problem(data: bytes) -> None:
    assert len(_said(data)) == 1


def test_a_file_with_too_many_pieces_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(yamltext, "MAX_NODES", 100)
    assert "more than 100 pieces" in _said(b"- a\n" * 200)[0]


def test_a_file_of_ten_megabytes_is_refused_without_reading_it_whole(tmp_path: Path) -> None:
    path = tmp_path / "large.yaml"
    with path.open("wb") as stream:
        stream.truncate(4_000_000_000)
    with pytest.raises(InputError, match="larger than 10 MB"):
        compose(path)


@pytest.mark.parametrize("ending", [b"\n", b"\r\n"])
def test_both_ends_of_line_and_a_byte_order_mark_are_read(ending: bytes) -> None:
    node, problems = parse(b"\xef\xbb\xbfa:" + ending + b"  b: 1" + ending, "a.yaml")
    assert problems == []
    assert isinstance(node, Mapping) and node.names() == ["a"]


@pytest.mark.parametrize(("name", "reason"), [("none.yaml", "no such file"), (".", "is a directory"), ("a\0b", "null")])
def test_a_file_that_can_not_be_read_is_told(tmp_path: Path, name: str, reason: str) -> None:
    with pytest.raises(InputError, match=reason):
        compose(tmp_path / name)


def test_marks_show_the_path_as_it_was_given(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("my.yaml").write_text("a: 1\n", "utf-8")
    assert compose("my.yaml").mark.file == "my.yaml"
    assert compose(str(tmp_path / "my.yaml")).mark.file == str(tmp_path / "my.yaml")


def _check(data: bytes) -> None:
    """Either a tree without problems, or problems with places inside the file."""
    node, problems = parse(data, "a.yaml")
    assert node is not None or problems
    lines = data.count(b"\n") + data.count(b"\r") + data.count(b"\xc2\x85") + 2 * data.count(b"\xe2\x80") + 2
    for problem in problems:
        assert 1 <= problem.mark.line <= lines and problem.mark.column >= 1 and problem.message


@given(st.binary(max_size=300))
def test_random_bytes_give_a_tree_or_problems(data: bytes) -> None:
    _check(data)


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


_PIECES = [
    "a",
    "b: ",
    "- ",
    "? ",
    ": ",
    "[",
    "]",
    "{",
    "}",
    ", ",
    "\n",
    "\n  ",
    "&x ",
    "*x",
    "!t ",
    "'",
    '"',
    "|\n",
    ">\n",
]
_MORE = ["#", "---\n", "...\n", "<<: ", "%YAML 1.1\n", "\t", "~", "\\", "\u2028", "\x85", "0o17", "@", "`"]


@given(st.lists(st.sampled_from(_PIECES + _MORE), max_size=40))
def test_random_pieces_of_yaml_give_a_tree_or_problems(pieces: list[str]) -> None:
    _check("".join(pieces).encode())


@given(
    st.dictionaries(
        st.from_regex("[a-z]{1,8}", fullmatch=True), st.text(st.characters(min_codepoint=32, max_codepoint=126))
    )
)
def test_what_is_written_in_quotes_comes_back(data: dict[str, str]) -> None:
    text = "\n".join(f"{key}: {_quoted(value)}" for key, value in data.items()) or "{}"
    root = _mapping(text)
    assert {key.text: value.text for key, value in root if isinstance(value, Scalar)} == data
