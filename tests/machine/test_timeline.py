"""Back in time and forth again, bit for bit.

No document: the machine is compared with itself, state hash by state hash.
"""

from __future__ import annotations

import sys
import tracemalloc
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import pytest
from devices.workbench import Workbench
from hypothesis import given, settings
from hypothesis import strategies as st

import minisim
from machine.test_conditions import at_work
from minisim.catalogue import Catalogue
from minisim.devices._device import Placement
from minisim.machine.machine import Machine
from minisim.machine.session import FOR_EVER
from minisim.machine.timeline import Timeline, TimelineError
from minisim.media import Medium, open_medium
from minisim.media.overlay import MediumFullError, Overlay
from minisim.media.writing import Writing

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools"))

import boot_all

AT = 0o1000
INC_R0, BRANCH_BACK, WAIT, HALT = 0o005200, 0o000776, 1, 0
EARLY = 590_000  # instructions, before anything was written to a medium


@dataclass
class Clock:
    """Real time as the test wants it: it goes on by `step` at each look."""

    now: float = 0.0
    step: float = 1.0

    def __call__(self) -> float:
        self.now += self.step
        return self.now


def timeline(machine: Machine, step: float = 1.0, **options: float) -> Timeline:
    """With a clock that does not depend on this computer."""
    return Timeline(machine, clock=Clock(step=step), **options)


def bare(*words: int) -> Machine:
    """A program at 1000."""
    machine = minisim.bare()
    machine.memory.put(AT, *words)
    machine.cpu.pc, machine.cpu.sp = AT, 0o700
    return machine


def run(line: Timeline, count: int, **options: int) -> None:
    """So many instructions."""
    line.advance(line.machine.session(FOR_EVER), count, **options)


# --- instruction by instruction ---------------------------------------------------------------------------------------


def test_one_back_undoes_each_step() -> None:
    """A WAIT takes several steps until an interrupt comes: back is to the last of them."""
    line, states, where = timeline(minisim.thaw(at_work(3))), list[str](), dict[str, int]()
    for _ in range(120):
        states.append(line.machine.state_hash())
        where[states[-1]] = line.machine.instructions
        line.step()
    last, count = line.machine.state_hash(), line.machine.instructions
    for state in reversed(states):
        if where[state] == line.machine.instructions:
            continue  # an earlier step of a WAIT
        assert line.back(instructions=1).state_hash() == state
        assert line.in_the_past
    assert line.machine.instructions == count - len(set(where.values()))
    assert line.to_present().state_hash() == last
    assert not line.in_the_past


@settings(max_examples=25, deadline=None)
@given(pieces=st.lists(st.integers(1, 400), min_size=1, max_size=8), data=st.data())
def test_so_many_back_is_the_state_of_then(pieces: list[int], data: st.DataObject) -> None:
    line, seen = timeline(minisim.thaw(at_work(60))), {}
    beside = minisim.thaw(at_work(60))
    for piece in pieces:
        seen[line.machine.instructions] = beside.state_hash()
        run(line, piece)
        beside.run(line.machine.instructions - beside.instructions)
    present = line.machine.state_hash()
    for _ in range(4):
        count = data.draw(st.integers(1, sum(pieces)))
        here = line.machine.instructions
        if here - count < min(seen):
            with pytest.raises(TimelineError, match=r"not so far: it can go back \d+ instruction|nothing has run yet"):
                line.back(instructions=count)
            assert line.machine.instructions == here
            continue
        line.back(instructions=count)
        assert line.machine.instructions == here - count
    assert line.to_present().state_hash() == present


# --- random histories -------------------------------------------------------------------------------------------------


@dataclass
class Journey:
    """A machine beside an untouched twin that gets the same and never goes back."""

    line: Timeline
    chance: Random
    states: dict[int, str] = field(default_factory=dict)  # by instructions: as it was seen last there

    def run(self, acts: int) -> None:
        """Type, run by count or by time, step, switch; what was seen is kept."""
        for _ in range(acts):
            self.chance.choice((self._advance, self._advance, self._pace, self._type, self._step, self._change))()
            self.note()

    def note(self) -> None:
        """The state here."""
        machine = self.line.machine
        self.states[machine.instructions] = machine.state_hash()

    def _advance(self) -> None:
        run(self.line, self.chance.choice((1, 30, 900, 20_000)))

    def _pace(self) -> None:
        run(self.line, 50_000, until_ns=self.line.machine.time_ns + self.chance.choice((1, 70_000, 30_000_000)))

    def _type(self) -> None:
        self.line.machine.console.feed(self.chance.choice((b"tide\r", b"a", b"P", b"1000G", b"R1/5\r")))

    def _step(self) -> None:
        for _ in range(self.chance.randrange(1, 5)):
            self.line.step()
            self.note()

    def _change(self) -> None:
        machine = self.line.machine
        address = 0o2000 + 2 * self.chance.randrange(8)
        self.chance.choice(
            (
                lambda: machine.memory.put(address, self.chance.randrange(0o200000)),
                lambda: machine.cpu.r.__setitem__(4, self.chance.randrange(0o200000)),
                lambda: machine.write(0o177564, 0o100),
                lambda: machine.read(0o177562),
                machine.console.send_break,
            )
        )()


def forth(line: Timeline, chance: Random) -> None:
    """To the present by running, in pieces."""
    pieces = (1, 50, 3000, 100_000)
    session = line.machine.session(FOR_EVER)
    while line.in_the_past:
        here = line.machine.instructions, line.machine.time_ns, line._index
        present = line._present
        assert present is not None
        most = min(chance.choice(pieces), max(present.place.at - sum_of(line), 1))
        until = min(line.machine.time_ns + chance.choice((900, 4_000_000, 1 << 60)), present.place.time_ns)
        may_step = not line.machine.octal_console and present.place.instructions > line.machine.instructions
        if may_step and chance.random() < 0.3:
            line.step()
        elif not line.advance(session, most, until_ns=until):
            session = line.machine.session(FOR_EVER)
        assert (line.machine.instructions, line.machine.time_ns, line._index) != here or not line.in_the_past


def sum_of(line: Timeline) -> int:
    """Where it stands, as it is counted."""
    return int(line.machine.instructions + line.machine._raw.naps)


def machines() -> dict[str, Callable[[], Machine]]:
    """Machines to go back and forth with."""
    halting = (INC_R0, 0o005301, HALT, 0o005302, WAIT, 0o000772)
    return {
        "at work": lambda: minisim.thaw(at_work(60)),
        "halts and waits": lambda: talking(*halting),
        "halts at priority 7": lambda: talking(*halting, ps=0o340),
        "octal console": lambda: at_octal_console(),
        "goes round for ever": lambda: talking(INC_R0, 0o000777),
    }


def talking(*words: int, ps: int = 0) -> Machine:
    """A program at 1000 on a machine with a console line."""
    machine = Workbench(Placement("serial-line", "main/a/2AB", vectors=((0o60, 4), (0o64, 4)))).machine
    machine.memory.put(AT, *words)
    machine.memory.put(0o60, 0o3000, 0o340)
    machine.memory.put(0o3000, 0o113737, 0o177562, 0o177566, 0o000002)  # MOVB @#177562,@#177566; RTI
    machine.memory.put(0o64, 0o3010, 0)
    machine.memory.put(0o3010, 0o000002)
    machine.write(0o177560, 0o100)
    machine.cpu.pc, machine.cpu.sp, machine.cpu.ps = AT, 0o700, ps
    return machine


@pytest.mark.parametrize("name", machines())
@settings(max_examples=4, deadline=None)
@given(seed=st.integers(0, 1 << 30))
def test_back_and_forth_again_by_running_or_at_once_ends_in_the_same_state(name: str, seed: int) -> None:
    _back_and_forth(name, seed)


@pytest.mark.slow
@pytest.mark.parametrize("name", machines())
@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 1 << 30))
def test_dozens_of_ways_back_and_forth_again_end_in_the_same_state(name: str, seed: int) -> None:
    _back_and_forth(name, seed)


def _back_and_forth(name: str, seed: int) -> None:
    chance = Random(seed)
    journey = Journey(timeline(machines()[name]()), chance)
    line = journey.line
    run(line, 1)
    journey.run(chance.randrange(1, 25))
    for _ in range(3):
        present = line.machine.state_hash()
        for count in chance.sample(sorted(journey.states), min(3, len(journey.states))):
            if count < line.machine.instructions:
                line.back(instructions=line.machine.instructions - count)
                assert line.machine.state_hash() == journey.states[count]
        assert line.to_present().state_hash() == present
        try:
            how = chance.choice(("instructions", "ns"))
            far = line.machine.instructions if how == "instructions" else line.machine.time_ns
            before = line.machine.time_ns
            by = chance.randrange(1, max(far, 2))
            line.back(**{how: by})
        except TimelineError:
            assert line.machine.state_hash() == present
            continue
        assert how != "ns" or line.machine.time_ns <= before - by
        if chance.random() < 0.5:
            forth(line, chance)
        else:
            line.to_present()
        assert line.machine.state_hash() == present
        if chance.random() < 0.5:
            journey.run(3)


@pytest.mark.parametrize("name", machines())
@settings(max_examples=8, deadline=None)
@given(seed=st.integers(0, 1 << 30))
def test_an_input_in_the_past_begins_another_way_that_can_be_gone_back_too(name: str, seed: int) -> None:
    chance = Random(seed)
    journey = Journey(timeline(machines()[name]()), chance)
    line = journey.line
    run(line, 1)
    journey.run(10)
    here = line.machine.instructions
    oldest = line._history.marks[0].place.instructions
    if here < oldest + 4:
        return
    line.back(instructions=chance.randrange(1, here - oldest))
    line.machine.console.feed(b"x")
    assert not line.in_the_past
    assert not line.branch()
    journey.run(5)
    present = line.machine.state_hash()
    count = line.machine.instructions
    if count > oldest + 2:
        line.back(instructions=chance.randrange(1, count - oldest))
        forth(line, chance)
        assert line.machine.state_hash() == present


# --- ends of runs, the octal console ----------------------------------------------------------------------------------


def test_back_over_a_halt_and_forth_again() -> None:
    line = timeline(talking(INC_R0, INC_R0, HALT, INC_R0, 0o000776))
    session = line.machine.session(FOR_EVER)
    assert not line.advance(session, 100)
    assert session.reason is minisim.Reason.HALTED
    halted = line.machine.state_hash()
    run(line, 50)
    after = line.machine.state_hash()
    line.back(instructions=50)
    assert line.machine.state_hash() == halted
    line.back(instructions=1)
    session = line.machine.session(FOR_EVER)
    assert not line.advance(session, 100)
    assert (session.reason, line.machine.state_hash()) == (minisim.Reason.HALTED, halted)
    assert line.in_the_past
    forth(line, Random(1))
    assert line.machine.state_hash() == after


def at_octal_console() -> Machine:
    """A program at 1000 that halts now and then, and a console for it."""
    placement = Placement("serial-line", "main/a/2AB", vectors=((0o60, 4), (0o64, 4)))
    machine = Workbench(placement, profile="chipset-four-level").machine
    machine.memory.put(AT, INC_R0, HALT, INC_R0, 0o000774)
    machine.cpu.pc, machine.cpu.sp = AT, 0o700
    machine.octal_console = True
    return machine


def test_a_machine_at_its_octal_console_goes_back_and_forth() -> None:
    line, states = timeline(at_octal_console()), list[tuple[int, str]]()
    for keys in (b"", b"R0/17\r", b"P", b"1000G", b"2000/123\r", b"P"):
        if keys:
            line.machine.console.feed(keys)
        session = line.machine.session(FOR_EVER)
        while line.advance(session, 1000):
            pass
        states.append((line.machine.instructions, line.machine.state_hash()))
    counts = [count for count, _ in states]
    assert counts[-1] > counts[0] > 0
    line.back(instructions=counts[-1] - counts[2])
    line.back(instructions=1)
    forth(line, Random(3))
    assert line.machine.state_hash() == states[-1][1]


# --- what is kept -----------------------------------------------------------------------------------------------------


def test_it_says_how_far_one_can_go_back() -> None:
    line = timeline(bare(INC_R0, BRANCH_BACK))
    with pytest.raises(TimelineError, match="nothing has run yet"):
        line.back(instructions=1)
    run(line, 10)
    with pytest.raises(TimelineError, match=r"not so far: it can go back 10 instructions, 0\.000 s of guest time"):
        line.back(instructions=11)
    for wrong in ({}, {"instructions": -1}, {"instructions": 1, "ns": 1}):
        with pytest.raises(ValueError, match="back takes"):
            line.back(**wrong)


def test_ten_seconds_can_be_gone_back_and_memory_stays_flat() -> None:
    line = timeline(minisim.thaw(at_work(60)))
    session = line.machine.session(FOR_EVER)

    def on(seconds: int) -> int:
        for _ in range(seconds * 4):
            line.machine.console.feed(b"a")
            line.advance(session, FOR_EVER, until_ns=line.machine.time_ns + 250_000_000)
            line.machine.console.take()
        return tracemalloc.get_traced_memory()[0]

    tracemalloc.start()
    try:
        on(20)
        before = on(5)
        assert on(40) - before < 100_000  # bytes; one state is 10,000 to 70,000
    finally:
        tracemalloc.stop()
    assert len(line._history.marks) <= 16
    assert line.machine.time_ns - line._history.marks[0].place.time_ns < 14_000_000_000
    here = line.machine.time_ns
    line.back(ns=10_000_000_000)
    assert here - 10_100_000_000 < line.machine.time_ns <= here - 10_000_000_000


def test_a_machine_that_stands_still_fills_nothing() -> None:
    line = timeline(talking(INC_R0, WAIT, ps=0o340))
    session = line.machine.session(FOR_EVER)
    for _ in range(1000):
        line.advance(session, 100, until_ns=line.machine.time_ns + 50_000_000)
    assert session.reason is minisim.Reason.WAITING
    assert line._history.end < 10
    state = line.machine.state_hash()
    line.back(instructions=1)
    forth(line, Random(1))
    assert line.machine.state_hash() == state


def test_states_cost_at_most_a_part_of_the_real_time() -> None:
    """Freezing takes 1 s on this clock: the next one comes 9 s later."""
    line = timeline(bare(INC_R0, BRANCH_BACK), step=1.0)
    for _ in range(40):
        run(line, 1_000_000)
    looks = line._clock.now  # type: ignore[attr-defined]
    assert 2 <= len(line._history.marks) <= looks / 10 + 1


def test_a_run_that_is_recorded_can_not_go_back() -> None:
    class Nobody:
        seen = 0

        def note(self, *_: object, **__: object) -> None:
            self.seen += 1

    machine, writer = talking(INC_R0, BRANCH_BACK), Nobody()
    machine._inputs.recorder = writer
    line = timeline(machine)
    run(line, 10)
    machine.console.feed(b"a")
    assert writer.seen == 2
    with pytest.raises(TimelineError, match="a run that is recorded can't go back"):
        line.back(instructions=1)
    other = timeline(talking(INC_R0, BRANCH_BACK))
    run(other, 10)
    other.machine._inputs.recorder = writer
    with pytest.raises(TimelineError, match="a run that is recorded can't go back"):
        other.back(instructions=1)


def test_a_machine_that_somebody_else_ran_has_no_past() -> None:
    line = timeline(bare(INC_R0, BRANCH_BACK))
    run(line, 10)
    line.machine.run(5)
    with pytest.raises(TimelineError, match="nothing has run yet"):
        line.back(instructions=1)
    run(line, 10)
    assert line.back(instructions=3).instructions == 22


def test_another_machine_begins_without_a_past() -> None:
    line = timeline(bare(INC_R0, BRANCH_BACK))
    session = line.machine.session(FOR_EVER)
    line.advance(session, 10)
    first, other = line.machine, bare(INC_R0, INC_R0, BRANCH_BACK - 1)
    line.restart(other)
    assert (line.machine, first._inputs.recorder) == (other, None)
    with pytest.raises(TimelineError, match="this run is of a machine that is no more"):
        line.advance(session, 10)
    run(line, 5)
    assert line.back(instructions=2).instructions == 3


def test_the_new_machine_has_what_the_host_set() -> None:
    line = timeline(minisim.thaw(at_work(60)))
    line.machine.core = "reference"
    run(line, 5000)
    line.machine.console.take()
    printed = line.printed
    machine = line.back(instructions=4000)
    assert machine.core == "reference"
    assert (machine.console.take(), line.printed < printed) == (b"", True)
    before = line.printed
    forth(line, Random(2))
    assert len(line.machine.console.take()) == printed - before


# --- media ------------------------------------------------------------------------------------------------------------


@pytest.fixture
def floppy(tmp_path: Path) -> Path:
    """A loadout with a floppy in its drive, and another floppy beside it."""
    path = boot_all.laid_out(boot_all.LOADOUTS / "mux-floppy-single.yaml", tmp_path)[0]
    image = next((tmp_path / "media").glob("*.floppy"))
    image.with_name("other.floppy").write_bytes(bytes(image.stat().st_size))
    return path


def talk(line: Timeline, keys: bytes, text: str, limit: int = 20_000_000) -> None:
    """Type, and run until it has answered."""
    line.machine.console.feed(keys)
    session = line.machine.session(limit, minisim.Text(text))
    while line.advance(session, 200_000):
        pass
    assert session.reason is minisim.Reason.REACHED


def content(machine: Machine) -> list[bytes]:
    """What lies on the media in the drives."""
    media = [drive.medium for drive in machine.drives.values() if drive.medium is not None]
    return [medium.read(0, medium.geometry.sectors) for medium in media]


@pytest.mark.parametrize("through", [False, True])
def test_what_was_written_comes_and_goes_with_the_time(floppy: Path, through: bool) -> None:
    with minisim.build(minisim.read_loadout(floppy), write_through=through) as built:
        line = timeline(built, seconds=600)
        run(line, 600_000)
        states = []
        for name in ("a", "b"):
            states.append((line.machine.instructions, line.machine.state_hash(), content(line.machine)))
            talk(line, f"keep {name}\rone line\r\r".encode(), "kept")
        written, present = content(line.machine), line.machine.state_hash()
        medium = next(drive.medium for drive in line.machine.drives.values() if drive.medium is not None)
        for count, state, before in reversed(states):
            line.back(instructions=line.machine.instructions - count)
            assert content(line.machine) == before
            del state
        assert states[0][2] != written
        assert any(drive.medium is medium for drive in line.machine.drives.values())
        assert line.to_present().state_hash() == present
        assert content(line.machine) == written
        line.back(instructions=line.machine.instructions - states[1][0] + 1)  # in front of what was typed there
        talk(line, b"keep c\rother\r\r", "kept")
        other = content(line.machine)
        assert other != written
        line.machine.close()
    with minisim.build(minisim.read_loadout(floppy)) as again:
        assert content(again) == other


@pytest.fixture
def swapped(floppy: Path) -> Iterator[Timeline]:
    """First a floppy is in and written to, then the other one; each was in its place at a known count."""
    with minisim.build(minisim.read_loadout(floppy)) as built:
        line = timeline(built, seconds=600)
        run(line, 600_000)
        talk(line, b"keep a\rone line\r\r", "kept")
        place = next(iter(line.machine.drives))
        line.machine.drives.put_in(place, floppy.parent / "media" / "other.floppy")
        run(line, 1000)
        medium = line.machine.drives[place].medium
        assert medium is not None
        yield line
        line.machine.close()


def paths(line: Timeline) -> list[str]:
    """What is in the drives."""
    return [Path(drive.medium.path).name for drive in line.machine.drives.values() if drive.medium is not None]


def test_media_that_were_changed_come_back_and_go_again(swapped: Timeline) -> None:
    line = swapped
    present, last = line.machine.state_hash(), paths(line)
    line.back(instructions=1001)
    before, first = line.machine.state_hash(), paths(line)
    assert (first != last, line.in_the_past) == (True, True)
    assert all(isinstance(drive.medium, Medium) for drive in line.machine.drives.values() if drive.medium is not None)
    assert line.to_present().state_hash() == present
    line.back(instructions=1001)
    assert line.machine.state_hash() == before
    forth(line, Random(5))
    assert (line.machine.state_hash(), paths(line)) == (present, last)
    line.back(instructions=line.machine.instructions - EARLY)
    assert paths(line) == first
    line.back(instructions=100)
    assert line.to_present().state_hash() == present


def test_what_was_written_later_to_a_medium_that_is_out_is_there_again_in_the_present(swapped: Timeline) -> None:
    """It is in no drive of the present; back, forth, and its contents are as they were when it was taken out."""
    line = swapped
    first = next(iter((Path(paths_of(line)[0]).parent).glob("*.floppy.overlay"))).with_suffix("")
    written = whole(first)
    line.back(instructions=line.machine.instructions - EARLY)
    line.to_present()
    assert whole(first) == written
    line.back(instructions=line.machine.instructions - EARLY)
    line.machine.cpu.r[0] = 1  # another way from here: what it had then
    assert not line.in_the_past
    assert content(line.machine)[0] != written


def paths_of(line: Timeline) -> list[str]:
    """Whole paths."""
    return [str(drive.medium.path) for drive in line.machine.drives.values() if drive.medium is not None]


def whole(image: Path) -> bytes:
    """What lies on a medium that nobody has."""
    with open_medium(image, Catalogue(), writing=Writing.NEVER) as medium:
        return medium.read(0, medium.geometry.sectors)


@pytest.mark.parametrize("how", ["in use", "gone", "changed"])
def test_a_medium_that_can_not_be_had_again_leaves_all_as_it_is(swapped: Timeline, how: str) -> None:
    line = swapped
    state, machine = line.machine.state_hash(), line.machine
    folder = Path(paths_of(line)[0]).parent
    first = next(iter(folder.glob("*.floppy.overlay"))).with_suffix("")
    said = {"in use": "in use", "gone": "can't be read", "changed": "was changed"}[how]
    other = open_medium(first, Catalogue()) if how in ("in use", "changed") else None
    if how == "gone":
        first.rename(folder / "elsewhere")
    if how == "changed":
        assert other is not None
        other.write(0, b"\1" * other.geometry.bytes_each)
        other.close()
    try:
        with pytest.raises(TimelineError, match=said):
            line.back(instructions=1001)
    finally:
        if how == "in use" and other is not None:
            other.close()
    assert (line.machine, line.in_the_past, line.machine.state_hash()) == (machine, False, state)
    run(line, 100)


def test_a_full_host_in_the_middle_leaves_all_as_it_is(floppy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with minisim.build(minisim.read_loadout(floppy)) as built:
        line = timeline(built, seconds=600)
        run(line, 600_000)
        talk(line, b"keep a\rone line\r\r", "kept")
        state, write, seen = line.machine.state_hash(), Overlay.write, []

        def full(self: Overlay, sectors: dict[int, bytes]) -> None:
            seen.append(len(sectors))
            if len(seen) == 2:
                raise MediumFullError("no room")
            write(self, sectors)

        monkeypatch.setattr(Overlay, "write", full)
        with pytest.raises(TimelineError, match="can't be written"):
            line.back(instructions=line.machine.instructions - EARLY)
        monkeypatch.undo()
        assert len(seen) >= 2
        assert line.machine.state_hash() == state
        line.machine.close()
