"""The log beside a loadout.  Oracle for what stands in it: PyYAML, which knows nothing of the project."""

from __future__ import annotations

import random
import shutil
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.catalogue import Catalogue
from minisim.cli import main
from minisim.loadout.reader import read_loadout
from minisim.logbook import Entry, Kind, changes_since_worked, read_log
from minisim.logbook.as_json import changes_as_json, log_as_json, log_schema, since_worked_schema
from minisim.logbook.changes import differences
from minisim.logbook.reader import log_of
from minisim.logbook.summary import KINDS, summary_of
from minisim.logbook.writer import add_entry, line_of
from minisim.problems import InputError

STATION = Path(__file__).parents[2] / "loadouts" / "kittiwake"
HEAD = "log: 1\nentries:\n"
ALL_BUT_BOARDS = tuple(kind for kind in KINDS if kind != "board")
TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=60).filter(str.strip)


@pytest.fixture
def gauge(tmp_path: Path) -> Path:
    """The tide gauge in a folder of its own."""
    shutil.copytree(STATION, tmp_path / "kittiwake")
    return tmp_path / "kittiwake" / "gauge.yaml"


def plain(path: Path) -> list[dict[str, Any]]:
    entries: list[dict[str, Any]] = yaml.load(path.with_suffix(".log").read_text(), yaml.CBaseLoader)["entries"]
    return entries


def log(*words: str | Path) -> int:
    return main(["loadout", "log", *map(str, words)])


def test_a_measurement_stands_in_the_file_as_it_was_given(gauge: Path) -> None:
    assert log(gauge, "--by", "MK", "--date", "2026-05-30", "--measured", "+5 4,98 V", "--at", "main") == 0
    assert plain(gauge) == [
        {"date": "2026-05-30", "by": "MK", "measured": "+5", "at": "main", "value": "4.98", "unit": "V"}
    ]


def test_what_stands_there_is_kept_byte_for_byte(gauge: Path) -> None:
    path = gauge.with_suffix(".log")
    path.write_text(f"# our own words\n{HEAD}  # first day\n  - {{date: 2026-05-01, by: A.B, remark: dry}}   # ok\n")
    before = path.read_bytes()
    assert log(gauge, "--by", "MK", "--remark", "mouse nest in the fan") == 0
    assert path.read_bytes().startswith(before)
    assert [entry["by"] for entry in plain(gauge)] == ["A.B", "MK"]


@settings(max_examples=200)
@given(TEXTS, TEXTS, TEXTS, st.decimals(-999, 999, places=3))
def test_what_is_written_is_what_is_read(what: str, at: str, text: str, value: Decimal) -> None:
    for entry in (
        Entry("2026-05-30", "MK", Kind.MEASURED, what, at, value, "mV", text),
        Entry("2026-05-30", "MK", Kind.CLOSED, what, at, text=text),
        Entry("2026-05-30", "MK", Kind.WORKED, what, machine={f"item {what}": text}),
    ):
        line = line_of(entry)
        (found,) = log_of((HEAD + line).encode(), "x.log").entries
        assert (found.what, found.at, found.text, found.value) == (entry.what, entry.at, entry.text, entry.value)
        assert dict(found.machine) == dict(entry.machine)
        (read,) = yaml.load(HEAD + line, yaml.CBaseLoader)["entries"]
        assert read[str(entry.kind)] == entry.what


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("  - {date: 2026-02-30, by: MK, remark: x}", ':3:12: entry: date: "2026-02-30" is no date'),
        ("  - {date: 2026-05-30, by: 7, remark: x}", ':3:28: entry: by: "7" are no initials'),
        ("  - {date: 2026-05-30, by: MK, remark: x, closed: Y}", ":3:5: entry: an entry has one of the keys"),
        ("  - {date: 2026-05-30, by: MK, said: x}", ":3:5: entry: an entry has one of the keys"),
        ("  - {date: 2026-05-30, by: MK, measured: '+5', value: 5}", ':3:5: entry: key "unit" is missing'),
        ("  - {date: 2026-05-30, by: MK, measured: '+5', value: 5, unit: kV}", ':3:64: entry: unit: "kV" is none of'),
        ("  - {date: 2026-05-30, by: MK, remark: x, at: main, colour: red}", ":3:53: "),
        ('  - {date: 2026-05-30, by: MK, worked: a, machine: {"colour main": red}}', ':3:52: entry: machine: "colour'),
    ],
)
def test_a_mistake_made_by_hand_is_told_with_its_place(gauge: Path, line: str, said: str) -> None:
    gauge.with_suffix(".log").write_text(HEAD + line + "\n")
    with pytest.raises(InputError) as caught:
        read_log(gauge)
    assert any(said in str(problem) for problem in caught.value.problems), [str(one) for one in caught.value.problems]


def test_a_log_that_can_not_be_read_is_left_alone(gauge: Path) -> None:
    path = gauge.with_suffix(".log")
    path.write_text("log: 1\nentries: [\n")
    assert log(gauge, "--by", "MK", "--remark", "x") == 2
    assert path.read_text() == "log: 1\nentries: [\n"


def test_an_entry_is_not_hung_behind_another_key(gauge: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = gauge.with_suffix(".log")
    path.write_text("entries:\n  - {date: 2026-05-01, by: AB, remark: dry}\nlog: 1\n")
    before = path.read_bytes()
    assert log(gauge, "--by", "MK", "--remark", "x") == 2
    assert path.read_bytes() == before
    assert "put `entries:` last" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--remark", "x"], "--by is missing"),
        (["--by", "MK", "--remark", " "], "--remark: a text is missing"),
        (["--by", "MK", "--remark", "x", "--date", "2999-01-01"], "still to come"),
        (["--by", "MK", "--remark", "x", "--date", "yesterday"], "is no date"),
        (["--by", "MK", "--measured", "+5 4.98"], "a name, a figure and a unit"),
        (["--by", "MK", "--measured", "+5 high V"], "a name, a figure and a unit"),
        (["--by", "MK", "--remark", "x", "--at", "mian"], 'did you mean "main"'),
        (["--by", "MK", "--closed", "GRANT-01", "--at", "main", "--because", "x"], 'did you mean "GRANT-001"'),
        (["--by", "MK", "--closed", "GRANT-001", "--at", "main"], "--because: a text is missing"),
        (["--by", "MK", "--replaced", "main/a/77", "--with", "x"], "is no place"),
        (["--by", "MK", "--replaced", "main/a/4"], "--with: a text is missing"),
        (["--by", "M K", "--remark", "x"], '"M K" are no initials'),
        (["--by", "MK", "--remark", "x", "--note", "y"], "--note does not go with --remark"),
        (["--by", "MK", "--closed", "GRANT-001", "--because", "x", "--with", "y"], "--with does not go with --closed"),
        (["--by", "MK", "--closed", "GRANT-001", "--because", "x"], "--at is missing: the place of the finding"),
        (["--by", "MK", "--at", "main"], "--at, --by without an entry"),
        (["--by", "MK", "--measured", "+51 4.98 V"], 'there is no rail "+51"; rails are +5,'),
        (["--by", "MK", "--remark", "x", "--at", "main/a/3CF ZZ9"], "is no place"),
        (["--by", "MK", "--remark", "x", "--at", "main/a/3CF AG1"], "is no place"),
        (["--by", "MK", "--remark", "x", "--at", "main/a/3CF:7"], "is no place"),
        (["--by", "MK", "--remark", "x", "--at", "main/a/9GH"], "is no place"),
        (["--by", "MK", "--remark", "x", "--at", "main\x1b[31m"], "is no place"),
        (["--by", "MK", "--measured", "+5 5 V", "--note", "\x1b[31m"], "--note: at most 2000 characters"),
    ],
)
def test_an_entry_that_can_not_be_made_leaves_no_file(
    gauge: Path, words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert log(gauge, *words) == 2
    err = capsys.readouterr().err
    assert said in err and "\x1b" not in err
    assert not gauge.with_suffix(".log").exists()


def test_a_rail_outside_its_limits_is_written_down_and_told(gauge: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """4.75 to 5.25 V: data sheets of the 74 series; -11.4 to -12.6 V: common practice."""
    assert log(gauge, "--by", "MK", "--measured", "+5 4.74V") == 0
    assert "outside 4.75 to 5.25 V" in capsys.readouterr().err
    assert log(gauge, "--by", "MK", "--measured", "-12 -12.7 V") == 0
    assert "outside -12.6 to -11.4 V" in capsys.readouterr().err
    assert log(gauge, "--by", "MK", "--measured", "+5 4.75 V") == 0
    assert not capsys.readouterr().err
    assert len(plain(gauge)) == 3


# ---- nothing is lost


def test_two_at_once_lose_nothing(gauge: Path) -> None:
    def write(number: int) -> None:
        add_entry(gauge, Entry("2026-05-30", "MK", Kind.REMARK, f"remark {number}"))

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(write, range(24)))
    assert sorted(entry["remark"] for entry in plain(gauge)) == sorted(f"remark {number}" for number in range(24))


_LOOP = """
import sys
from minisim.logbook import Entry, Kind
from minisim.logbook.writer import add_entry
for number in range(10000):
    add_entry(sys.argv[1], Entry("2026-05-30", "MK", Kind.REMARK, f"remark {number}"))
    print(number, flush=True)
"""


@pytest.mark.parametrize("seed", [*range(4), *(pytest.param(seed, marks=pytest.mark.slow) for seed in range(4, 60))])
def test_a_kill_loses_nothing_that_was_confirmed(gauge: Path, seed: int) -> None:
    with subprocess.Popen([sys.executable, "-c", _LOOP, str(gauge)], stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(random.Random(seed).uniform(0, 0.15))
        process.send_signal(signal.SIGKILL)
        confirmed = 1 + sum(1 for line in process.stdout if line.endswith("\n"))
    found = [entry["remark"] for entry in plain(gauge)]
    assert found[:confirmed] == [f"remark {number}" for number in range(confirmed)]
    assert confirmed <= len(found) <= confirmed + 1


# ---- since it last worked


def changed(gauge: Path, *pairs: tuple[str, str]) -> list[tuple[str, str, str, str]]:
    """Say that it worked, change the file, and ask."""
    assert log(gauge, "--by", "MK", "--worked", "--date", "2026-05-30") == 0
    text = gauge.read_text()
    for old, new in pairs:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    gauge.write_text(text)
    found = changes_since_worked(read_log(gauge), read_loadout(gauge, catalogue=Catalogue()))
    assert found is not None
    return [(one.kind, one.where, one.before, one.after) for one in found.changes]


def test_nothing_is_said_to_have_changed_where_nothing_did(gauge: Path) -> None:
    assert changed(gauge) == []
    assert changed(gauge, ("loadout: 1", "# a remark\nloadout: 1")) == []


@pytest.mark.parametrize(
    ("kind", "old", "new", "where"),
    [
        ("setting", "address: 777560", "address: 776500", "main/a/3CF address"),
        ("setting", "vector: 60", "vector: 300", "main/a/3CF vector"),
        ("setting", "start: 0", "start: 100000", "main/a/4 start"),
        ("setting", "kb: 64", "kb: 128", "main/a/4 kb"),
        ("supply", "sep-large-box", "sep-four-regulator-box", "main"),
        ("medium", "media/tides.papertape", "media/dues.papertape", "main/a/5CF"),
        ("cable", "baud: 9600", "baud: 300", "main/a/6CF unit 0"),
    ],
)
def test_a_change_is_found_and_nothing_else(gauge: Path, kind: str, old: str, new: str, where: str) -> None:
    found = changed(gauge, (old, new)) if kind != "cable" else changed(gauge, (old, old), *_last(gauge, old, new))
    assert [(one[0], one[1]) for one in found] == [(kind, where)]


def _last(gauge: Path, old: str, new: str) -> list[tuple[str, str]]:
    """Change the last place of a text alone: that of the cable."""
    before, _, after = gauge.read_text().rpartition(old)
    return [(before + old + after, before + new + after)]


def test_a_medium_of_another_content_has_changed(gauge: Path) -> None:
    assert log(gauge, "--by", "MK", "--worked", "--date", "2026-05-30") == 0
    tape = gauge.parent / "media" / "tides.papertape"
    tape.write_bytes(tape.read_bytes() + b"\0")
    found = changes_since_worked(read_log(gauge), read_loadout(gauge, catalogue=Catalogue()))
    assert found is not None
    assert [(one.kind, one.where) for one in found.changes] == [("medium", "main/a/5CF")]
    assert found.same_file


def test_everything_a_loadout_says_of_its_hardware_is_kept() -> None:
    """Fields of the records, one by one: what is not in the summary is named here with its reason."""
    from dataclasses import fields

    from minisim.loadout import model

    left_out = {
        model.Box: {"id", "units", "mark", "supply_mark"},  # the name, what is below, places in the file
        model.Unit: {"id", "placed", "mark", "backplane_mark", "wires_marks", "regulators_marks"},
        model.Placed: {"place", "slots", "rows", "mark"},  # they are the name of the fact
        model.CableEnd: {"board", "line", "unit", "mark", "media_mark"},
    }
    source = (Path(model.__file__).parents[1] / "logbook" / "summary.py").read_text()
    for record, names in left_out.items():
        for field in fields(record):
            assert field.name in names or f".{field.name}" in source, (record.__name__, field.name)


def test_a_board_that_went_elsewhere_has_moved_and_takes_along_what_hangs_on_it(gauge: Path) -> None:
    before = dict(summary_of(read_loadout(gauge, catalogue=Catalogue())))
    after = {name.replace("main/a/3CF", "main/a/7CF"): value for name, value in before.items()}
    found = [(one.kind, one.where, one.before, one.after) for one in differences(before, after)]
    assert found == [("moved", "sep-serial-line-and-clock", "main/a/3CF", "main/a/7CF")]


@settings(max_examples=100)
@given(st.data())
def test_changes_are_those_of_two_plain_tables(data: st.DataObject) -> None:
    """Oracle: the difference of two dicts, without moves."""
    keys = st.sampled_from([f"{kind} {where}" for kind in ALL_BUT_BOARDS for where in "abc"])
    tables = st.dictionaries(keys, st.sampled_from(["1", "2", "3"]))
    before, after = data.draw(tables), data.draw(tables)
    wanted = {
        (name, before.get(name, ""), after.get(name, ""))
        for name in before.keys() | after.keys()
        if before.get(name) != after.get(name)
    }
    assert {(f"{one.kind} {one.where}", one.before, one.after) for one in differences(before, after)} == wanted


def test_what_was_entered_after_it_worked_is_told(gauge: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert log(gauge, "--by", "MK", "--remark", "before", "--date", "2026-05-01") == 0
    assert log(gauge, "--by", "MK", "--worked", "--date", "2026-05-30") == 0
    assert log(gauge, "--by", "AB", "--remark", "after", "--date", "2026-06-01") == 0
    capsys.readouterr()
    assert log(gauge, "--since-worked") == 0
    out = capsys.readouterr().out
    assert "nothing changed since 2026-05-30 (MK)" in out
    assert "2026-06-01 AB remark after" in out and "before" not in out


def test_without_such_an_entry_it_says_so(gauge: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert log(gauge, "--since-worked") == 0
    assert "no entry says that it worked" in capsys.readouterr().out


def test_the_json_is_what_its_schema_says(gauge: Path) -> None:
    """Oracle: the jsonschema library."""
    changed(gauge, ("address: 777560", "address: 776500"))
    log(gauge, "--by", "AB", "--measured", "ripple 40mV", "--note", "at no load")
    found = read_log(gauge)
    jsonschema.validate(log_as_json(found), log_schema())
    loadout = read_loadout(gauge, catalogue=Catalogue())
    for changes in (changes_since_worked(found, loadout), None):
        jsonschema.validate(changes_as_json(changes, "gauge.yaml"), since_worked_schema())
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**log_as_json(found), "log": 2}, log_schema())


def test_the_sheet_shows_the_log(gauge: Path) -> None:
    changed(gauge, ("address: 777560", "address: 776500"))
    log(gauge, "--by", "AB", "--measured", "+5 4.98V", "--at", "main")
    out = gauge.with_suffix(".txt")
    assert main(["sheet", str(gauge), "-o", str(out)]) in (0, 1)
    said = " ".join(out.read_text().split())
    assert "when it worked, the loadout changed" in said
    assert "4.98 V" in said and "776500" in said
