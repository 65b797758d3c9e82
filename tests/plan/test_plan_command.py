"""`minisim plan` on the pile of the demo, and everything wrong that a user can write."""

from __future__ import annotations

import contextlib
import io
import json
import shutil
import subprocess
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from minisim.cli import main
from minisim.plan.offer import groups
from minisim.plan.pile import Thing
from minisim.plan.schema import plan_schema, wishes_schema
from minisim.plan.wishes import read_wishes
from minisim.plan.words import words_of
from minisim.problems import InputError
from minisim.stock.reader import read_stock

from .workshop import CATALOGUE, KITTIWAKE

PILE = KITTIWAKE / "pile"
STOCK, WISHES = str(PILE / "stock.csv"), str(PILE / "wishes.yaml")


def planned(capsys: pytest.CaptureFixture[str], *options: str) -> tuple[int, str]:
    """Exit code and output of the command on the demo."""
    code = main(["plan", STOCK, WISHES, *options])
    return code, capsys.readouterr().out


@dataclass(frozen=True)
class Done:
    """What one run on the demo printed and wrote."""

    code: int
    out: str
    folder: Path

    @property
    def data(self) -> dict[str, Any]:
        """Read anew, so that nobody changes what the others look at."""
        found: dict[str, Any] = json.loads(self.out)
        return found


@pytest.fixture(scope="module")
def once(tmp_path_factory: pytest.TempPathFactory) -> Done:
    """One run that writes all there is: working out the plan of the demo takes longest."""
    folder, printed = tmp_path_factory.mktemp("plan"), io.StringIO()
    wanted = ["--write", str(folder), "--html", str(folder / "plan.html"), "--offer", str(folder / "offer.txt")]
    with contextlib.redirect_stdout(printed):
        code = main(["plan", STOCK, WISHES, "--json", *wanted])
    return Done(code, printed.getvalue(), folder)


def test_the_pile_of_the_demo_is_as_large_as_it_is_said_to_be() -> None:
    stock = read_stock(STOCK, catalogue=CATALOGUE)
    known = {row.understood.entry.entry for row in stock.rows if row.understood.entry is not None}
    assert sum(row.count for row in stock.rows) >= 240 and len(known) >= 60


def test_at_least_four_of_six_machines_come_out_and_pass(once: Done) -> None:
    data = once.data
    assert once.code == 0 and data["proven"] and all(goal["proven"] for goal in data["goals"])
    assert len(data["machines"]) >= 4 and len(data["machines"]) + len(data["open"]) == 6
    files = sorted(str(path) for path in once.folder.glob("*.yaml"))
    assert len(files) == len(data["machines"])
    assert main(["check", *files]) == 0


def test_both_schemas_accept_what_the_demo_has(once: Done) -> None:
    jsonschema.validate(once.data, plan_schema())
    wishes = yaml.safe_load(Path(WISHES).read_text("utf-8"))
    jsonschema.validate(wishes, wishes_schema())
    wishes["machines"][0]["neds"] = {}
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(wishes, wishes_schema())


def test_two_runs_give_the_same_bytes(capsys: pytest.CaptureFixture[str], once: Done) -> None:
    assert planned(capsys, "--json") == (once.code, once.out)


def test_stock_without_what_is_used_is_what_is_left(once: Done) -> None:
    """Counted by rows, from the file itself: each usable piece stands in one machine or is left over, none in two."""
    data = once.data
    used = Counter(row for machine in data["machines"] for piece in machine["pieces"] for row in piece["rows"])
    left = {row for one in data["left"] for row in one["rows"]}
    stock = read_stock(STOCK, catalogue=CATALOGUE)
    counts = {row.number: row.count for row in stock.rows}
    assert all(times + (row in left) <= counts[row] for row, times in used.items())
    aside = {one["row"] for one in data["set_aside"]}
    loose = {row.number for row in stock.rows} - set(used) - set(left) - aside
    parts = {row.marking for row in stock.rows if row.number in loose}
    assert parts <= {mark for name in CATALOGUE.ids("boards") for mark in _set_of(name)}  # boards of incomplete sets
    assert sum(data["left_by_box"].values()) == sum(one["count"] for one in data["left"])


def _set_of(name: str) -> tuple[str, ...]:
    entry = CATALOGUE.board(name)
    markings = getattr(entry.markings, "peek", ()) or ()
    return markings if len(markings) > 1 else ()


def test_a_planned_machine_boots(once: Done) -> None:
    command = [sys.executable, "-m", "minisim", "boot", str(once.folder / "ledger.yaml"), "--until", "TOTAL"]
    command += ["--limit", "200000000"]
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, check=False)
    assert done.returncode == 0 and b"TOTAL" in done.stdout


def test_one_more_supply_and_backplane_complete_the_travelling_machine(capsys: pytest.CaptureFixture[str]) -> None:
    _, before = planned(capsys)
    assert "van, priority 3): 2 things short" in before
    code, after = planned(capsys, "--what-if", "+1 H9270-A", "--what-if", "+1 H780")
    assert code == 0 and "6 of 6 machines complete; proven" in after


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("one more", "is no change"),
        ("+1 M9999", "is not certain to be one thing"),
        ("-99 M8186", "the stock has only"),
    ],
)
def test_a_change_that_can_not_be_is_refused(capsys: pytest.CaptureFixture[str], change: str, said: str) -> None:
    assert main(["plan", STOCK, WISHES, "--what-if", change]) == 2
    assert said in capsys.readouterr().err


def test_a_loadout_that_somebody_wrote_is_not_written_over(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    shutil.copy(KITTIWAKE / "desk.yaml", tmp_path / "desk.yaml")
    before = (tmp_path / "desk.yaml").read_bytes()
    assert main(["plan", STOCK, WISHES, "--write", str(tmp_path)]) == 2
    assert (tmp_path / "desk.yaml").read_bytes() == before
    assert "was not written by a plan" in capsys.readouterr().err


def test_the_page_stands_alone(once: Done) -> None:
    text = (once.folder / "plan.html").read_text("utf-8")
    assert "5 of 6 machines complete" in text and "Worth testing first" in text
    assert "http" not in text and "<script" not in text


def test_the_list_to_send_names_no_place_and_no_piece(once: Done) -> None:
    text = (once.folder / "offer.txt").read_text("ascii")
    assert max(map(len, text.splitlines())) <= 72
    assert text.startswith("WANTED\n  1 x H") and "TO GIVE AWAY OR SWAP" in text
    assert "K-0" not in text and "shelf" not in text


def test_a_drive_that_is_left_stays_with_its_board_and_cable() -> None:
    left = {
        Thing("drives", "floppy-8-inch-double-pair"): 1, Thing("boards", "floppy-double-density"): 2,
        Thing("cables", "floppy-cable"): 1, Thing("boards", "mos-memory-dual"): 1,
    }  # fmt: skip
    (group,) = groups(left, CATALOGUE)
    names = {thing.entry for thing, _ in group.things}
    assert names == {"floppy-8-inch-double-pair", "floppy-double-density", "floppy-cable"}


WRONG = {
    "no version": ("machines: []", 'key "wishes" is missing'),
    "a version to come": ("wishes: 2\nmachines: []", "this program reads version 1"),
    "two of a name": ("wishes: 1\nmachines: [{id: a}, {id: a}]", 'the id "a" stands twice, also at line 2'),
    "an unknown key": ("wishes: 1\nmachines: [{id: a, need: {}}]", 'unknown key "need"'),
    "an unknown need": ("wishes: 1\nmachines: [{id: a, needs: {memory: 3}}]", 'unknown key "memory"'),
    "an unknown device": ("wishes: 1\nmachines: [{id: a, needs: {devices: [flopy]}}]", '"flopy" is none of'),
    "octal guesses": ("wishes: 1\nmachines: [{id: a, needs: {memory-kb: 0x20}}]", "is no whole decimal number"),
    "two boxes without a cable": ("wishes: 1\nmachines: [{id: a, needs: {boxes: 2}}]", "two boxes need joined-by"),
    "a preference of two things": (
        "wishes: 1\nmachines: [{id: a, likes: [{memory-kb: 3, line-clock: yes}]}]", "one preference names one of"),
    "a file that is not there": (
        "wishes: 1\nmachines: [{id: a, needs: {boot: {from: serial-line, rom: rom-ours, image: no.rom}}}]",
        'there is no file "no.rom"',
    ),
    "a list": ("[1, 2]", "stands where a mapping is expected"),
    "nothing": ("", ""),
}  # fmt: skip


@pytest.mark.parametrize("case", list(WRONG))
def test_wishes_that_can_not_be_used_say_why_and_where(tmp_path: Path, case: str) -> None:
    text, said = WRONG[case]
    path = tmp_path / "wishes.yaml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputError) as error:
        read_wishes(path, words_of(CATALOGUE))
    assert said in str(error.value) and str(path) in str(error.value)
