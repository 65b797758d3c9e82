"""Recordings: what came in is done again at its place, on either core, and the state at the end is the same.

No document: the comparison is of the machine with itself, core against core and run against run.
"""

from __future__ import annotations

import io
import json
import random
import re
import shutil
import sys
from pathlib import Path

import pytest

import minisim
from minisim.cli import main
from minisim.machine.errors import RecordingError
from minisim.machine.machine import Machine
from minisim.machine.recording import RecordingWriter, read_recording, replay
from minisim.machine.session import Session
from minisim.problems import InputError

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools"))

import boot_all

LOADOUT = Path(__file__).parents[1] / "boot" / "mux-cartridge-disk-2mb.yaml"


@pytest.fixture
def disk_machine(tmp_path: Path) -> Path:
    """A loadout that boots the resident program from a small cartridge."""
    return boot_all.laid_out(LOADOUT, tmp_path)[0]


def talk(machine: Machine, chance: random.Random, session: Session) -> None:
    """Type at odd moments, in slices of odd lengths, by count and by time."""
    for text in (b"list\r", b"keep a\r", b"low 1030\r", b"\r", b"verify\r", b"print a\r"):
        for _ in range(chance.randrange(1, 5)):
            if chance.random() < 0.5:
                session.advance(chance.randrange(1, 400_000))
            else:
                session.advance(until_ns=machine.time_ns + chance.randrange(1, 400_000_000))
        machine.console.feed(text)
    for _ in range(4):
        session.advance(300_000)


def recorded(path: Path, core: str, seed: int) -> tuple[str, str]:
    """The text of a recording, and the hash of the state at its end."""
    stream = io.StringIO()
    with minisim.build(minisim.read_loadout(path)) as machine:
        machine.core = core
        writer = RecordingWriter(machine, stream)
        machine._inputs.recorder = writer
        session = machine.session(50_000_000)
        talk(machine, random.Random(seed), session)
        state = writer.end(session.stop())
    return stream.getvalue(), state


@pytest.mark.parametrize(("made", "again", "seed"), [("reference", "fast", 1), ("fast", "reference", 2)])
def test_a_recording_ends_in_the_same_state_on_the_other_core(
    disk_machine: Path, tmp_path: Path, made: str, again: str, seed: int
) -> None:
    text, state = recorded(disk_machine, made, seed)
    file = tmp_path / "run.rec"
    file.write_text(text)
    machine, _ = minisim.replay(minisim.read_loadout(disk_machine), file, core=again)
    assert machine.state_hash() == state
    assert b"low 1030" in machine.console.take()


def test_a_replay_leaves_the_media_alone(disk_machine: Path, tmp_path: Path) -> None:
    text, state = recorded(disk_machine, "fast", 3)
    (tmp_path / "run.rec").write_text(text)
    before = {path.name: path.read_bytes() for path in (tmp_path / "media").iterdir()}
    assert "system.disk.overlay" in before  # the recorded run wrote, so the medium is another one now
    for _ in range(2):
        machine, _ = minisim.replay(minisim.read_loadout(disk_machine), tmp_path / "run.rec")
        assert machine.state_hash() == state
    assert {path.name: path.read_bytes() for path in (tmp_path / "media").iterdir()} == before


def test_another_input_goes_another_way(disk_machine: Path, tmp_path: Path) -> None:
    """The hash can tell: otherwise the tests above would prove nothing."""
    text, state = recorded(disk_machine, "fast", 4)
    rows = [json.loads(line) for line in text.splitlines()]
    rows[-1]["end"]["state"] = "0" * 64
    (tmp_path / "run.rec").write_text("".join(json.dumps(row) + "\n" for row in rows))
    machine, _ = minisim.replay(minisim.read_loadout(disk_machine), tmp_path / "run.rec")
    assert machine.state_hash() == state
    fed = next(row for row in rows if row.get("input") == "feed")
    fed["bytes"] = fed["bytes"].upper()
    (tmp_path / "run.rec").write_text("".join(json.dumps(row) + "\n" for row in rows))
    with pytest.raises(RecordingError, match="the guest time is"):
        minisim.replay(minisim.read_loadout(disk_machine), tmp_path / "run.rec")


def test_a_recording_of_another_machine_is_refused(disk_machine: Path, tmp_path: Path) -> None:
    text, _ = recorded(disk_machine, "fast", 5)
    (tmp_path / "run.rec").write_text(text)
    disk_machine.write_text(disk_machine.read_text().replace("kb: 64", "kb: 32"))
    with pytest.raises(RecordingError, match="is not as it was"):
        minisim.replay(minisim.read_loadout(disk_machine), tmp_path / "run.rec")


def test_a_medium_that_was_changed_since_is_refused(disk_machine: Path, tmp_path: Path) -> None:
    text, _ = recorded(disk_machine, "fast", 6)
    (tmp_path / "run.rec").write_text(text)
    with (tmp_path / "media" / "system.disk").open("r+b") as stream:
        stream.seek(100_000)
        stream.write(b"other")
    with pytest.raises(minisim.LoadoutError, match="is not what it was then"):
        minisim.replay(minisim.read_loadout(disk_machine), tmp_path / "run.rec")


def test_a_recording_that_was_cut_off_replays_as_far_as_it_goes(disk_machine: Path, tmp_path: Path) -> None:
    text, _ = recorded(disk_machine, "fast", 7)
    file = tmp_path / "run.rec"
    lines = text.splitlines(keepends=True)
    file.write_text("".join(lines[:-2]) + lines[-2][:10])  # killed in the middle of a line
    read = read_recording(file)
    assert read.end is None
    assert len(read.inputs) == len(lines) - 3
    machine, _ = minisim.replay(minisim.read_loadout(disk_machine), file)
    assert (machine.instructions + machine._raw.naps, machine.time_ns) == (read.inputs[-1].at, read.inputs[-1].time_ns)


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda rows: [{"recording": 2}], "no recording of form 1"),
        (lambda rows: [], "no recording of form 1"),
        (lambda rows: [rows[0], {"at": 1}], "no input and no end"),
        (lambda rows: [rows[0], {**rows[1], "at": -1}], "a count is expected"),
        (lambda rows: [rows[0], {**rows[1], "at": True}], "a count is expected"),
        (lambda rows: [rows[0], rows[2], {**rows[1], "at": 0, "time_ns": 0}], "not in the order of time"),
        (lambda rows: [*rows, rows[1]], "something behind the end"),
        (lambda rows: [{**rows[0], "media": 5}], "the first line lacks something"),
        (lambda rows: [[]], "this is no recording"),
    ],
)  # fmt: skip
def test_what_is_no_recording_is_said_with_its_line(disk_machine: Path, tmp_path: Path, spoil, said) -> None:  # type: ignore[no-untyped-def]
    text, _ = recorded(disk_machine, "fast", 8)
    rows = spoil([json.loads(line) for line in text.splitlines()])
    (tmp_path / "run.rec").write_text("".join(json.dumps(row) + "\n" for row in rows))
    with pytest.raises(InputError) as caught:
        read_recording(tmp_path / "run.rec")
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"input": "wish"}, '"wish" that is not known'),
        ({"device": 99}, "this machine has fewer"),
        ({"part": "nowhere"}, "can't be repeated"),
    ],
)
def test_an_input_that_this_machine_can_not_take_is_said(
    disk_machine: Path, tmp_path: Path, change: dict[str, object], said: str
) -> None:
    text, _ = recorded(disk_machine, "fast", 9)
    rows = [json.loads(line) for line in text.splitlines()]
    (tmp_path / "run.rec").write_text("".join(json.dumps(row) + "\n" for row in (rows[0], rows[1] | change)))
    with pytest.raises(RecordingError, match=re.escape(said)):
        minisim.replay(minisim.read_loadout(disk_machine), tmp_path / "run.rec")


def test_drives_are_recorded_too(disk_machine: Path, tmp_path: Path) -> None:
    """A medium that is put in stands in the recording by its path and its sum; what lay apart, with its sectors."""
    other = tmp_path / "other.disk"
    shutil.copy(tmp_path / "media" / "system.disk", other)
    stream = io.StringIO()
    with minisim.build(minisim.read_loadout(disk_machine)) as machine:
        machine._inputs.recorder = writer = RecordingWriter(machine, stream)
        (place,) = machine.drives
        session = machine.session(10_000_000)
        session.advance(100_000)
        machine.drives.protect(place)
        machine.drives.take_out(place)
        machine.drives.put_in(place, other)
        session.advance(1_000_000)
        state = writer.end(session.stop())
    (tmp_path / "run.rec").write_text(stream.getvalue())
    again, _ = minisim.replay(minisim.read_loadout(disk_machine), tmp_path / "run.rec")
    assert again.state_hash() == state
    assert again.drives[place].protected


# --- the command ------------------------------------------------------------------------------------------------------


def boot(*words: str | Path) -> int:
    return main(["boot", *map(str, words)])


def test_the_command_records_and_replays(
    disk_machine: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "run.rec"
    typed = ("--type", r"print harbour\r", "--until", "rung at six")
    assert boot(disk_machine, *typed, "--record", file, "--core", "reference") == 0
    said = capfd.readouterr()
    state = re.search(r"state ([0-9a-f]{64})", said.err)
    assert state is not None
    assert boot(disk_machine, "--replay", file, "--limit", "100000000") == 0
    again = capfd.readouterr()
    assert f"ended as recorded, state {state[1]}" in again.err
    assert "rung at six" in again.out
    assert boot(disk_machine, "--replay", file, "--json") == 0
    data = json.loads(capfd.readouterr().out)
    assert (data["state"], data["exit"]) == (state[1], 0)
    assert boot(disk_machine, "--replay", file, "--limit", "1000") == 1
    assert "the limit came before" in capfd.readouterr().err


def test_a_recording_is_never_written_over(
    disk_machine: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "run.rec"
    file.write_text("mine")
    assert boot(disk_machine, "--limit", "1000", "--record", file) == 2
    assert "is there already" in capfd.readouterr().err
    assert file.read_text() == "mine"


def test_nothing_is_typed_beside_a_replay(disk_machine: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert boot(disk_machine, "--replay", "none.rec", "--type", "x") == 2
    assert "nothing can be typed" in capfd.readouterr().err


def test_replay_needs_a_fresh_machine(disk_machine: Path, tmp_path: Path) -> None:
    text, _ = recorded(disk_machine, "fast", 10)
    (tmp_path / "run.rec").write_text(text)
    with minisim.build(minisim.read_loadout(disk_machine)) as machine:
        machine.run(10)
        with pytest.raises(RecordingError, match="is not as it was"):
            replay(machine, read_recording(tmp_path / "run.rec"))
