"""`minisim stock add`: entries, undo, the box that stays; in a pipe and in a real terminal; killed at any moment."""

from __future__ import annotations

import os
import random
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pexpect
import pytest

from minisim.cli import main
from minisim.problems import InputError
from minisim.stock.adding import OwnList, entry
from minisim.stock.dialogue import Dialogue
from minisim.stock.header import Header
from minisim.stock.model import Condition, Identified
from minisim.stock.reader import read_stock

HEAD = "item,marking,count,condition,box,what,notes,photo,history,conflict\n"


def sit(path: Path, typed: str) -> list[str]:
    """One sitting without a terminal; gives what was said."""
    answers = iter(typed.splitlines())
    said: list[str] = []

    def ask(label: str, default: str, *, markings: bool) -> str | None:
        return next(answers, None)

    Dialogue(OwnList(path), ask, said.append, lambda text: f"{text}: looked up").run()
    return said


def lines(path: Path) -> list[str]:
    """The rows of the file."""
    text = path.read_text("utf-8")
    assert text.startswith(HEAD)
    return [line.rstrip(",") for line in text.removeprefix(HEAD).splitlines()]


def test_entries_are_added_with_count_and_the_box_that_stays(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    said = sit(path, "M8043\n2\nA1\n3x M8186\n\nM7940\n\nB 2\ndone\nM9999\n")
    assert lines(path) == [",M8043,2,untested,A1", ",M8186,3,untested,A1", ",M7940,1,untested,B 2"]
    assert "  kept, row 2: 2 M8043, untested, box A1" in said


def test_an_entry_that_was_not_finished_is_not_kept(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    for typed in ("M8043", "M8043\n2", ""):
        sit(path, typed)
        assert not path.exists()


def test_undo_takes_entries_of_this_sitting_back_and_no_others(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    sit(path, "M1\n\nA\n")
    said = sit(path, "M2\n\n\nM3\n\n\nundo\nM4\nundo\nM5\n\nundo\nundo 5\n")
    assert lines(path) == [",M1,1,untested,A"]
    assert said[-1] == "  nothing more to take back; entries of earlier sittings stay"
    assert said.count("  not kept") == 2


def test_words_change_the_last_entry_or_those_that_follow(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    sit(
        path,
        "works\nM1\n\nA\nfaulty\nnote burnt = at C7\nitem K-1\nphoto a.jpg\n"
        "condition ok\nbox C\nM2\n\n\nbox -\nM3\n\n\ncondition purple\nM4\n\n-\n",
    )
    assert lines(path) == [
        "K-1,M1,1,faulty,A,,burnt = at C7,a.jpg",
        ",M2,1,works,C",
        ",M3,1,works",
        ",M4,1,works",
    ]


def test_no_two_pieces_get_the_same_name(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    said = sit(path, "M1\n\nA\nitem K-1\nM2\n\n\nitem K-1\n")
    assert lines(path) == ["K-1,M1,1,untested,A", ",M2,1,untested,A"]
    assert said[-1] == "  K-1 is the name of another piece already"


def test_a_count_that_is_none_is_asked_again(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    said = sit(path, "M1\nmany\n2?\n2\nA\n")
    assert lines(path) == [",M1,2,untested,A"]
    assert sum("is no count" in each for each in said) == 2


def test_help_last_and_an_empty_line_change_nothing(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    said = sit(path, "\nhelp\n?\nlast\nM1\n\nA\nlast\n")
    assert lines(path) == [",M1,1,untested,A"]
    assert any(each.startswith("Type the number") for each in said)
    assert said[-2:] == ["  row 2: 1 M1, untested, box A", "  1 row, 1 piece"]


@pytest.mark.parametrize(
    "typed", ["=1+1", "-5 supply", "'x", "a,b", 'a"b', "\u00e9\u4e2d", "a\x07\x1b[2Jb", "x" * 3000]
)
def test_any_text_can_be_a_marking(typed: str, tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    sit(path, f"{typed}\n2\nA\n")
    (row,) = read_stock(path, identify=Identified).rows
    assert row.marking == " ".join(re.sub(r"[\x00-\x1f]", " ", typed[:500]).split())
    assert (row.count, row.box) == (2, "A")


def test_further_columns_of_the_owner_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    path.write_text(HEAD.rstrip("\n") + ",Colour\nK-1,M1,1,works,A,,,,,,red\n")
    sit(path, "M2\n\n\n")
    assert path.read_text().splitlines()[1:] == ["K-1,M1,1,works,A,,,,,,red", ",M2,1,untested,,,,,,,"]


@pytest.mark.parametrize(
    "data",
    [b"marking,count\nM1,2\n", HEAD.replace(",", ";").encode(), b"Board\nM1\n", HEAD.encode("utf-16")],
)
def test_a_list_of_the_owner_s_is_never_rewritten(
    data: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "mine.csv"
    path.write_bytes(data + b"")
    assert main(["stock", "add", str(path)]) == 2
    assert "is never rewritten; new entries can go to" in capsys.readouterr().err
    assert f"{tmp_path / 'mine-added.csv'}" in offer_of(path)
    assert path.read_bytes() == data
    assert [each.name for each in tmp_path.iterdir()] == ["mine.csv"]


def offer_of(path: Path) -> str:
    """What is said about such a list."""
    with pytest.raises(InputError) as caught:
        OwnList(path)
    return str(caught.value)


def test_what_was_typed_into_our_list_by_hand_and_is_not_understood_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    path.write_text(f"{HEAD},M1,ca. 5,half dead maybe,A,,,,,\n")
    assert 'count "ca. 5"' in offer_of(path)


@pytest.mark.parametrize("name", ["pile.xlsx", "pile", "none/pile.csv", "."])
def test_a_file_that_can_not_be_a_list_of_ours_is_refused(name: str, tmp_path: Path) -> None:
    assert offer_of(tmp_path / name)


def test_two_sittings_on_one_file_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    one, two = OwnList(path), OwnList(path)
    first = one.add(entry("M1", 1, "A"))
    two.add(entry("M2", 1, "A"))
    one.add(entry("M3", 1, "A"))
    assert two.put(first)
    assert not one.put(first)
    assert lines(path) == [",M2,1,untested,A", ",M3,1,untested,A"]


# --- the command ------------------------------------------------------------------------------------------------------


def test_the_command_works_in_a_pipe(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    ended = subprocess.run(
        [sys.executable, "-m", "minisim", "stock", "add", str(path), "--box", "Z", "--condition", "works"],
        input=b"M8043\n2\n\n\xff\xfe\n\nY\ndone\n", capture_output=True, timeout=60, check=False,
    )  # fmt: skip
    assert (ended.returncode, ended.stderr) == (0, b"")
    assert lines(path) == [",M8043,2,works,Z", ",\ufffd\ufffd,1,works,Y"]
    assert ended.stdout.decode().splitlines()[-1] == f"{path}: 2 added, 2 rows, 3 pieces"


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[pexpect.spawn]:
    """The command in a real terminal of 80 columns."""
    child = pexpect.spawn(
        sys.executable, ["-m", "minisim", "stock", "add", str(tmp_path / "pile.csv")],
        env={**os.environ, "TERM": "xterm", "COLUMNS": "80", "PROMPT_TOOLKIT_NO_CPR": "1"},
        dimensions=(24, 80), timeout=10, encoding="utf-8",
    )  # fmt: skip
    yield child
    child.close(force=True)


def test_the_command_works_in_a_terminal_with_completion(terminal: pexpect.spawn, tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    terminal.expect("marking:")
    terminal.send("m8186")
    terminal.expect("M8186")  # the menu shows it as the catalogue writes it
    terminal.send("\t\r")
    terminal.expect("count")
    terminal.send("2\r")
    terminal.expect("box")
    terminal.send("A1\r")
    terminal.expect("kept, row 2: 2 M8186, untested, box A1")
    terminal.send("M7940\r")
    terminal.expect("count")
    terminal.send("\r")
    terminal.expect("box")
    terminal.send("\r")
    terminal.expect("kept, row 3")
    assert lines(path) == [",M8186,2,untested,A1", ",M7940,1,untested,A1"]
    terminal.send("undo\r")
    terminal.expect("taken back")
    assert lines(path) == [",M8186,2,untested,A1"]
    terminal.send("\x04")
    terminal.expect("1 added, 1 row, 2 pieces")
    terminal.expect(pexpect.EOF)
    terminal.close()
    assert terminal.exitstatus == 0


def test_an_interrupt_in_a_terminal_ends_with_everything_kept(terminal: pexpect.spawn, tmp_path: Path) -> None:
    terminal.expect("marking:")
    terminal.send("M1\r")
    terminal.expect("count")
    terminal.send("\r")
    terminal.expect("box")
    terminal.send("A\r")
    terminal.expect("kept, row 2")
    terminal.send("\x03")
    terminal.expect("1 added, 1 row, 1 piece")
    terminal.expect(pexpect.EOF)
    assert lines(tmp_path / "pile.csv") == [",M1,1,untested,A"]


# --- killed -----------------------------------------------------------------------------------------------------------


def typed_ahead(random_: random.Random, start: int) -> bytes:
    """A thousand entries, each with a marking of its own; every sixth is taken back."""
    entries = []
    for number in range(start, start + 1000):
        entries.append(f"M{number}\n{random_.randint(1, 9)}\n{random_.choice(['A', 'B', ''])}\n")
        if random_.random() < 1 / 6:
            entries.append("undo\n")
    return "".join(entries).encode()


def follow(said: bytes, before: list[str]) -> list[str]:
    """The markings that were confirmed to be in the list."""
    there = list(before)
    for line in said.decode("utf-8", "replace").splitlines(keepends=True):
        if not line.endswith("\n"):
            continue  # the kill came within the line
        if found := re.search(r"kept, row \d+: \d+ (M\d+)", line):
            there.append(found[1])
        elif found := re.search(r"taken back: \d+ (M\d+)", line):
            assert there.pop() == found[1]
    return there


def in_the_file(path: Path) -> list[str]:
    """The markings in the list; none where there is no file yet."""
    if not path.exists():
        return []
    stock = read_stock(path, identify=Identified, header=Header())
    assert stock.ours
    assert not stock.open_doubts
    return [row.marking for row in stock.rows]


def kill_many(path: Path, times: int, seed: int, start: Callable[[Path], tuple[int, int, int]]) -> None:
    """Begin sittings on one file and kill each at a random moment; the file holds what was confirmed.

    At most one step that was not confirmed yet may have reached the disk besides.
    """
    random_ = random.Random(seed)
    before: list[str] = []
    for number in range(times):
        pid, feed, take = start(path)
        typed = typed_ahead(random_, 100_000 + number * 1000)
        os.write(feed, typed[:60_000])
        said, wanted = b"", random_.randint(0, 25)
        while said.count(b"kept, row") < wanted:
            said += os.read(take, 4096)
        time.sleep(random_.random() * 0.004)
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        os.close(feed)
        while more := os.read(take, 65536):
            said += more
        os.close(take)
        confirmed, found = follow(said, before), in_the_file(path)
        one_more, one_less = found[:-1] == confirmed and len(found) > len(confirmed), found == confirmed[:-1]
        assert found == confirmed or one_more or one_less, (seed, number)
        before = found
    left = [each.name for each in path.parent.iterdir() if each != path]
    assert all(name.startswith(f".{path.name}.") for name in left)  # half-written copies, never the list itself


def say(out: int, text: str) -> None:
    """A line into a pipe."""
    os.write(out, f"{text}\n".encode())


def start_in_a_fork(path: Path) -> tuple[int, int, int]:
    """A sitting in a copy of this process: quick to begin."""
    (ask_in, feed), (take, say_out) = os.pipe(), os.pipe()
    pid = os.fork()
    if pid == 0:
        try:
            os.close(feed)
            answers = os.fdopen(ask_in)
            Dialogue(
                OwnList(path),
                lambda label, default, *, markings: answers.readline() or None,
                lambda text: say(say_out, text),
                lambda text: text,
            ).run()
        finally:
            os._exit(0)
    os.close(ask_in)
    os.close(say_out)
    return pid, feed, take


def start_the_command(path: Path) -> tuple[int, int, int]:
    """The command itself."""
    (ask_in, feed), (take, say_out) = os.pipe(), os.pipe()
    child = subprocess.Popen(
        [sys.executable, "-m", "minisim", "stock", "add", str(path)], stdin=ask_in, stdout=say_out, close_fds=True
    )
    os.close(ask_in)
    os.close(say_out)
    child.returncode = 0  # it is waited for by its number
    return child.pid, feed, take


def test_a_kill_at_twenty_random_moments_loses_nothing(tmp_path: Path) -> None:
    kill_many(tmp_path / "pile.csv", 20, 8, start_in_a_fork)


@pytest.mark.slow
def test_a_kill_at_two_hundred_random_moments_loses_nothing(tmp_path: Path) -> None:
    kill_many(tmp_path / "pile.csv", 200, 88, start_in_a_fork)


@pytest.mark.slow
def test_a_kill_of_the_command_at_forty_random_moments_loses_nothing(tmp_path: Path) -> None:
    kill_many(tmp_path / "pile.csv", 40, 888, start_the_command)


def test_copies_that_a_kill_left_are_taken_away_after_an_hour(tmp_path: Path) -> None:
    path = tmp_path / "pile.csv"
    old, new, other = (tmp_path / name for name in (f".pile.csv.{'a' * 16}", f".pile.csv.{'b' * 16}", ".pile.csv.note"))
    for each in (old, new, other):
        each.write_text("half")
    for each in (old, other):
        os.utime(each, (time.time() - 4000,) * 2)
    sit(path, "M1\n\nA\n")
    assert sorted(each.name for each in tmp_path.iterdir()) == sorted([new.name, other.name, path.name])


def test_a_disk_that_is_full_confirms_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "pile.csv"
    sit(path, "M1\n\nA\n")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="can't write the file: no space left"):
        sit(path, "M2\n\nA\n")
    assert lines(path) == [",M1,1,untested,A"]


def test_conditions_of_the_command_are_those_of_the_model() -> None:
    from minisim.cli.stock import CONDITIONS

    assert tuple(CONDITIONS) == tuple(each.value for each in Condition)
