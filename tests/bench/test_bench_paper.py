"""What the guest has printed: kept for a screen that opens late, and cut where the machine goes back to."""

from __future__ import annotations

from benches import done, planned, with_console
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.bench.bench import Bench
from minisim.bench.printed import KEPT, Printed
from minisim.bench.screen import BenchScene
from minisim.machine.records import Reason

ABC = (0o112100, 0o001406, 0o105737, 0o177564, 0o100375, 0o110037, 0o177566, 0o000770)
"""MOVB (R1)+,R0; BEQ 1020; TSTB @#177564; BPL .-4; MOVB R0,@#177566; BR 1000: prints what R1 points to."""


def printing(text: bytes) -> Bench:
    """A machine that prints a text and halts."""
    bench = with_console(*ABC, 0)
    bench.machine.memory[0o2000 : 0o2000 + len(text) + 1] = text + b"\0"
    bench.machine.cpu.r[1] = 0o2000
    return bench


def ran(bench: Bench, line: str) -> Bench:
    """A line, and the run that it begins."""
    done(bench, line)
    bench.finish()
    return bench


def shown(scene: BenchScene) -> str:
    scene.work()
    scene.enter("look ps")
    return scene.paper.text().strip()


def test_a_screen_that_opens_late_shows_what_was_printed_before() -> None:
    bench = ran(printing(b"HIGH WATER"), "until printed HIGH")
    assert bench.printed() == b"HIGH"  # the raw console had it
    assert shown(BenchScene(bench)) == "HIGH"


def test_the_paper_goes_back_and_forth_with_the_machine() -> None:
    scene = BenchScene(ran(printing(b"ABCDEFGH"), "until printed BCD"))
    ran(scene.bench, "until printed FG")
    assert shown(scene) == "ABCDEFG"
    for text in ("ABCDEFG", "ABCDEF", "ABCDE", "ABCD"):
        while scene.bench.paper.text().decode().strip() == text:
            done(scene.bench, "back 20.")
    assert scene.bench.past.in_the_past
    assert shown(scene) == "ABC"
    ran(scene.bench, "until printed E")
    assert shown(scene) == "ABCDE"
    done(scene.bench, "until now")
    assert shown(scene) == "ABCDEFG"
    ran(scene.bench, "run")
    assert shown(scene).startswith("ABCDEFGH") and shown(scene).count("A") == 1


def test_another_future_has_its_own_paper() -> None:
    scene = BenchScene(ran(printing(b"ABCDEFGHIJ"), "until printed FG"))
    while "C" in shown(scene):
        done(scene.bench, "back 20.")
    address = scene.bench.machine.cpu.r[1]
    done(scene.bench, f"change {address & ~1:06o} 054130 054130")  # XXXX, two letters a word
    ran(scene.bench, "until printed X")
    assert shown(scene).endswith("X") and "F" not in shown(scene)
    assert not scene.bench.past.in_the_past


def test_only_so_much_is_kept_and_what_came_behind_a_mark_is_found() -> None:
    bench, paper = printing(b""), Printed()
    for number in range(100):
        paper.put(b"%0500d" % number, bench.machine)
    assert KEPT <= len(paper.text()) < KEPT + 500
    mark = paper.mark()
    paper.put(b"tide", bench.machine)
    assert paper.since(mark) == b"tide" and paper.since(paper.mark()) == b""
    assert paper.new()[-4:] == b"tide" and paper.new() == b""


@settings(deadline=None, max_examples=15)
@given(st.lists(st.integers(1, 60), min_size=1, max_size=4), st.integers(1, 60))
def test_forth_again_the_paper_is_the_same_and_back_it_is_a_beginning_of_it(ways: list[int], more: int) -> None:
    bench = ran(printing(b"KITTIWAKE POINT"), "until printed POINT")
    bench.printed()
    whole = bench.paper.text()
    for way in ways:
        if bench.machine.instructions > way:
            done(bench, f"back {way}.")
            assert whole.startswith(bench.paper.text())
    done(bench, f"one {more}.")
    bench.printed()
    if bench.past.in_the_past:
        assert whole.startswith(bench.paper.text())
        done(bench, "until now")
    assert bench.paper.text().startswith(whole)


def test_forth_again_a_halted_machine_is_halted_at_its_console_processor() -> None:
    bench = ran(planned("ledger"), "run")
    assert bench.stop is not None and bench.stop.reason is Reason.HALTED and bench.waits_for_keys
    bench.printed()
    paper, told = bench.paper.text(), bench.steps
    done(bench, "back 3.")
    done(bench, "until now")
    assert bench.halted and bench.waits_for_keys and bench.steps == told
    bench.printed()
    assert bench.paper.text() == paper
    assert done(bench, "type E 1000") == ()  # the console processor answers
    assert b"1000" in bench.printed()
    bench.machine.close()
