"""Files that are no loadout, or no file at all: one clear message a problem, with its place."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from minisim import cli
from minisim.catalogue.reader import HERE
from minisim.loadout.model import LoadoutError
from minisim.loadout.reader import read_loadout

Said = Callable[[bytes | str], list[str]]


def problems(path: Path) -> list[str]:
    """What is wrong, as printed, without the folder."""
    with pytest.raises(LoadoutError) as caught:
        read_loadout(path)
    return [str(problem).removeprefix(f"{path}:") for problem in caught.value.problems]


@pytest.fixture
def said(tmp_path: Path) -> Said:
    """Write the bytes as a file, read it, give the messages."""

    def write_and_read(data: bytes | str) -> list[str]:
        path = tmp_path / "machine.yaml"
        path.write_bytes(data if isinstance(data, bytes) else data.encode())
        return problems(path)

    return write_and_read


KINDS = [
    ("stock: 1\nboards: []\n", "this is a stock list, not a loadout; "),
    ("wishes: 1\nmachines: []\n", "this is a file of wishes, not a loadout; "),
    ("trial: 1\nsteps: []\n", "this is a trial, not a loadout; "),
    ("cases: []\n", "this is a table of trial cases, not a loadout; "),
    ("rom: 1\nboots: paper-tape\n", "this describes a ROM image, not a machine"),
    (
        "id: x\nkind: a board\nbus: mux\n",
        "this is an entry of the catalogue, not a loadout; ",
    ),
    ("- id: x\n  kind: a board\n", "this is an entry of the catalogue, not a loadout"),
    ("- 1\n- 2\n", "a list; a loadout is a mapping that begins with loadout: 1"),
    ("just some words\n", "no loadout: the file holds plain text"),
    ("colour: green\n", "no loadout; a loadout is a mapping that begins with loadout: 1"),
    ("{}\n", "no loadout; a loadout is a mapping that begins with loadout: 1"),
]


@pytest.mark.parametrize(("text", "part"), KINDS, ids=[text.split(":")[0].strip() for text, _ in KINDS])
def test_a_file_of_another_kind_is_said_to_be_that_and_nothing_else_is_said(text: str, part: str, said: Said) -> None:
    (message,) = said(text)
    assert message.startswith("1:1: ")
    assert part in message


def test_a_file_of_the_catalogue_itself_is_recognised() -> None:
    (message,) = problems(HERE / "boards" / "mid-cpu-dual.yaml")
    assert "this is an entry of the catalogue" in message


def test_a_forgotten_first_line_is_told_with_everything_else(said: Said) -> None:
    messages = said("name: x\nboxes: [{id: main, backplane: mux-twin-4}]\n")
    assert 'the key "loadout" is missing: a loadout needs it' in messages[0]
    assert 'backplane "mux-twin-4": there is no such backplane' in messages[1]


def test_another_version_is_refused(said: Said) -> None:
    messages = said("loadout: 2\nname: x\nboxes: [{id: main, backplane: mux-dual-straight-4}]\n")
    assert messages == ['1:10: loadout "2": not one of 1']


@pytest.mark.parametrize(
    ("data", "part"),
    [
        (b"", "1:1: the file is empty"),
        (b"# nothing yet\n", "the file is empty"),
        (b"loadout: 1\nname: \xff\xfe\n", "2:7: not UTF-8 text"),
        ("loadout: 1\nname: x\n".encode("utf-16"), "1:1: not UTF-8 text"),
        (b"\x00\x01\x02\x03binary\x00", "1:1: a character that can't stand in YAML text"),
        (b"\x7fELF\x02\x01\x01", "1:1: a character that can't stand in YAML text"),
        (b"loadout: 1\n\tname: x\n", "2:1: not valid YAML"),
        (b"loadout: 1\nname: 'x\n", "not valid YAML"),
        (b"loadout: 1\nname: [x\n", "not valid YAML"),
        (b"loadout: 1\nname: &n x\n", "2:7: anchor &n: anchors are not allowed"),
        (b"loadout: 1\nname: *n\n", "2:7: alias *n: aliases are not allowed"),
        (b"loadout: 1\nname: !!str x\n", "2:7: tag tag:yaml.org,2002:str: tags are not allowed"),
        (b"loadout: 1\n<<: {name: x}\n", "2:1: merge key <<: not allowed"),
        (b"loadout: 1\nname: x\nname: y\n", '3:1: key "name" stands twice, first in line 2'),
        (b"loadout: 1\n---\nloadout: 1\n", "a second document begins here"),
        (b"loadout: " + b"[" * 10_000, "exceeded maximum nesting depth"),
        (b"loadout: " + b"[" * 60, "nested more than 50 deep"),
        (b"? [a]\n: 1\nloadout: 1\n", "1:3: a list can't be a key"),
    ],
    ids=lambda value: "" if isinstance(value, bytes) else value,
)
def test_what_is_wrong_with_the_text_is_told_with_its_place(data: bytes, part: str, said: Said) -> None:
    assert any(part in message for message in said(data))


@pytest.mark.parametrize("megabytes", [2, 10, 11])
def test_a_file_far_too_large_is_refused_at_once(megabytes: int, said: Said) -> None:
    begin = time.monotonic()
    (message,) = said(b"# padding\n" * (megabytes * 100_000 + 1))
    assert "MB" in message
    assert time.monotonic() - begin < 5  # not parsed at all


def test_a_file_that_is_not_there_a_folder_and_a_name_no_file_can_have(tmp_path: Path) -> None:
    assert "no such file" in problems(tmp_path / "machine.yaml")[0]
    assert "is a directory" in problems(tmp_path)[0]
    assert "name too long" in problems(tmp_path / ("x" * 5000))[0]
    assert problems(Path("a\x00b"))


def test_a_file_without_permission_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_arguments: object, **_options: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refused)  # root may read everything, so taking rights away proves nothing
    assert "permission denied" in problems(tmp_path / "machine.yaml")[0]


def test_the_media_root_must_be_a_folder(tmp_path: Path) -> None:
    path = tmp_path / "machine.yaml"
    path.write_text("loadout: 1\nname: x\nboxes: [{id: main, backplane: mux-dual-straight-4}]\n")
    with pytest.raises(LoadoutError, match="the media root is no folder"):
        read_loadout(path, media_root=tmp_path / "none")


@pytest.mark.parametrize("have", [True, False])
def test_a_command_that_this_version_has_not_is_said_to_come_later(
    have: bool, said: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cli, "command_names", lambda: ["check", *(["stock"] if have else [])])
    (message,) = said("stock: 1\nboards: []\n")
    later = "a later version will have minisim stock for it, this one has no command that reads it"
    assert message.endswith("; minisim stock reads it" if have else f"; {later}")


def test_a_message_never_carries_what_a_terminal_would_act_on(said: Said) -> None:
    messages = said('loadout: 1\nname: x\n"sw\\e[31mitches\\nhalt": {}\nboxes: [{id: main, backplane: "\\e]0;x\\a"}]\n')
    assert len(messages) == 2
    assert '3:1: unknown key "sw\\033[31mitches halt"' in messages[0]
    assert 'backplane "\\033]0;x\\007"' in messages[1]


def test_a_file_of_nothing_but_mistakes_ends_after_some_hundred(said: Said) -> None:
    begin = time.monotonic()
    messages = said("loadout: 1\nname: x\nboxes: []\ncables:\n" + "  - {from: x, to: y}\n" * 40_000)
    assert len(messages) == 501
    assert "reading ends here, after 500 problems; there may be more" in messages[-1]
    assert time.monotonic() - begin < 10
