"""Event mode without a screen: pages, keys, time, counters, and whatever goes wrong."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.lessons.event.diary import Diary, Kind
from minisim.lessons.event.model import IDLE_SECONDS, Event, Stage, groups_of


@dataclass
class Lesson:
    """As much of a lesson as event mode looks at."""

    name: str
    minutes: Decimal = Decimal("0.5")
    order: int = 1
    event: bool = True


@dataclass
class Teaching:
    """Done by `yes`, broken by `crash`."""

    lesson: Lesson
    finished: bool = False
    closed: bool = False
    left: bool = False

    def do(self, line: str) -> None:
        if line == "crash":
            raise RuntimeError("a board fell out")
        self.finished, self.left = line == "yes", line == "leave"

    def close(self) -> None:
        self.closed = True


@dataclass
class Stand:
    """An event whose time is ours."""

    folder: Path
    time: float = 0.0
    taught: list[Teaching] = field(default_factory=list)

    def __post_init__(self) -> None:
        lessons: Any = [Lesson("count"), Lesson("octal", Decimal(3)), Lesson("traps", Decimal(12)),
                        Lesson("hidden", event=False)]  # fmt: skip
        self.event = Event(lessons, Diary(self.folder), self.teach, slip_of=lambda _: ("R0 000010",),
                           print_slip=lambda _: "slip 1", clock=lambda: self.time, now=self.now)  # fmt: skip

    def teach(self, lesson: Any) -> Any:
        self.taught.append(Teaching(lesson))
        return self.taught[-1]

    def now(self) -> datetime:
        return datetime(2026, 5, 30, 10) + timedelta(seconds=self.time)

    def kinds(self) -> list[Kind]:
        return [entry.kind for entry in Diary(self.folder).entries()]


@pytest.fixture
def stand(tmp_path: Path) -> Stand:
    return Stand(tmp_path)


def test_activities_are_grouped_by_length_and_each_has_its_key(stand: Stand) -> None:
    found = {group.title: [(one.key, one.lesson.name) for one in group.activities] for group in stand.event.groups}
    assert found == {"30 seconds": [("1", "count")], "3 minutes": [("2", "octal")], "15 minutes": [("3", "traps")]}


def test_more_activities_than_keys_are_left_out() -> None:
    many: Any = [Lesson(f"l{number:02}") for number in range(40)]
    assert [len(group.activities) for group in groups_of(many)] == [23, 0, 0]


def test_a_visitor_chooses_works_gets_a_slip_and_starts_over(stand: Stand) -> None:
    event = stand.event
    assert event.stage is Stage.INVITING
    event.touch()
    assert event.stage is Stage.CHOOSING
    assert not event.choose("9")
    assert event.choose("1")
    event.do("no")
    assert event.stage is Stage.AT_WORK
    event.do("yes")
    assert (event.stage, event.slip) == (Stage.DONE, ("R0 000010",))
    event.print_slip()
    assert event.said == ("slip 1",)
    event.start_over()
    assert event.stage is Stage.CHOOSING
    assert stand.taught[0].closed
    assert stand.kinds() == [Kind.OPENED, Kind.STARTED, Kind.FINISHED, Kind.SLIP]


def test_a_visitor_who_leaves_starts_over(stand: Stand) -> None:
    stand.event.touch()
    stand.event.choose("2")
    stand.event.do("leave")
    assert stand.event.stage is Stage.CHOOSING
    assert stand.kinds() == [Kind.OPENED, Kind.STARTED, Kind.GIVEN_UP]


@pytest.mark.parametrize("stage", [Stage.CHOOSING, Stage.AT_WORK, Stage.DONE, Stage.VOLUNTEER])
def test_after_a_minute_without_a_key_the_invitation_stands_there(stand: Stand, stage: Stage) -> None:
    event = stand.event
    event.touch()
    if stage in (Stage.AT_WORK, Stage.DONE):
        event.choose("1")
    if stage is Stage.DONE:
        event.do("yes")
    if stage is Stage.VOLUNTEER:
        event.to_volunteer()
    stand.time += IDLE_SECONDS - 0.5
    assert not event.tick()
    assert event.stage is stage
    assert event.warns is (stage is Stage.AT_WORK)
    stand.time += 1
    assert event.tick()
    assert event.stage is Stage.INVITING
    assert (Kind.WENT_AWAY in stand.kinds()) is (stage is Stage.AT_WORK)


def test_a_key_begins_the_minute_anew(stand: Stand) -> None:
    stand.event.touch()
    stand.time += 50
    stand.event.touch()
    stand.time += 50
    assert not stand.event.tick()


def test_what_goes_wrong_inside_brings_back_the_list_and_is_counted(stand: Stand) -> None:
    event = stand.event
    event.touch()
    event.choose("1")
    event.do("crash")
    assert event.stage is Stage.CHOOSING
    assert event.said == ("That went wrong on our side. Please choose again.",)
    assert "a board fell out" in event.last_upset
    assert [entry.what for entry in event.diary.entries() if entry.kind is Kind.UPSET] == [
        "RuntimeError: a board fell out"
    ]
    assert event.choose("1")


def test_the_counters_tell_days_apart_and_ends_without_a_volunteer(tmp_path: Path) -> None:
    first = Stand(tmp_path)
    first.event.touch()
    first.event.choose("1")
    first.event.do("yes")  # then the power goes
    second = Stand(tmp_path, time=86400.0)
    second.event.touch()
    second.event.choose("1")
    second.event.close()
    third = Stand(tmp_path, time=90000.0)
    all_time, today = third.event.diary.counts(), third.event.diary.counts(datetime(2026, 5, 31))
    assert (all_time.started["count"], all_time.finished["count"], all_time.cut_off) == (2, 1, 1)
    assert (today.started["count"], today.finished["count"]) == (1, 0)


@given(st.binary(max_size=400), st.integers(0, 200))
@settings(max_examples=50, deadline=None)
def test_a_torn_or_foreign_diary_loses_no_later_line(tmp_path_factory: Any, rubbish: bytes, cut: int) -> None:
    folder = tmp_path_factory.mktemp("diary")
    diary = Diary(folder)
    diary.note(Kind.STARTED, datetime(2026, 5, 30), "count")
    diary.close()
    diary.path.write_bytes(diary.path.read_bytes()[:cut] + rubbish)
    again = Diary(folder)
    again.note(Kind.FINISHED, datetime(2026, 5, 30), "last line")
    assert [entry.what for entry in again.entries()][-1] == "last line"
    again.close()


def test_an_event_goes_on_where_nothing_can_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    stand = Stand(tmp_path / "file" / "below")
    stand.event.touch()
    stand.event.choose("1")
    stand.event.do("yes")
    assert stand.event.stage is Stage.DONE
    assert "diary.jsonl" in stand.event.diary.trouble


KEYS = st.sampled_from(["touch", "choose 1", "choose 3", "choose x", "do yes", "do no", "do leave", "do crash", "over",
                        "volunteer", "wait 30", "wait 70"])  # fmt: skip


@given(st.lists(KEYS, max_size=40))
@settings(max_examples=60, deadline=None)
def test_whatever_is_done_there_is_a_page_and_never_two_machines(tmp_path_factory: Any, keys: list[str]) -> None:
    stand = Stand(tmp_path_factory.mktemp("stand"))
    for key in keys:
        word, _, rest = key.partition(" ")
        if word == "wait":
            stand.time += float(rest)
            stand.event.tick()
        else:
            acts = {"touch": stand.event.touch, "over": stand.event.start_over, "volunteer": stand.event.to_volunteer}
            acts[word]() if word in acts else getattr(stand.event, word)(rest)
        assert sum(not one.closed for one in stand.taught) == (stand.event.stage in (Stage.AT_WORK, Stage.DONE))
