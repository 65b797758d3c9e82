"""General parallel interface, section 12 of the facts."""

import pytest

from minisim.devices._device import Placement

from .workbench import Workbench

STATUS, OUT, IN = 0o167770, 0o167772, 0o167774
REQUEST_B, REQUEST_A, ENABLE_A, ENABLE_B, CONTROL_1, CONTROL_0 = 0o100000, 0o200, 0o100, 0o40, 2, 1


def interface(loop_back: bool = True, granted: bool = True) -> Workbench:
    """An interface, with the loop-back cable or with nothing on its plugs."""
    bench = Workbench(Placement("parallel", "main/a/8CF", vectors=((0o300, 5), (0o304, 5)), granted=granted))
    bench.machine.put_on_loop_back(loop_back)
    return bench


@pytest.mark.parametrize("word", [0, 1, 0o125252, 0o052525, 0o177777, 0o100000])
def test_a49_with_the_loop_back_cable_the_input_is_the_output(word: int) -> None:
    bench = interface()
    bench.write(OUT, word)
    assert bench.read(IN) == word  # A49, firm


@pytest.mark.parametrize(
    ("written", "looped", "bare"),
    [
        (0, 0, 0),
        (CONTROL_0, CONTROL_0 | REQUEST_A, CONTROL_0),  # A49, firm
        (CONTROL_1, CONTROL_1 | REQUEST_B, CONTROL_1),  # A49, firm
        (ENABLE_A | ENABLE_B, ENABLE_A | ENABLE_B, ENABLE_A | ENABLE_B),  # parallel-wiki
        (REQUEST_A | REQUEST_B, 0, 0),  # parallel-wiki: read only
        (0o077434, 0, 0),  # parallel-wiki: bits that are not there
        (0o177777, 0o100343, 0o000143),
    ],
)
def test_every_bit_of_the_status(written: int, looped: int, bare: int) -> None:
    for loop_back, seen in ((True, looped), (False, bare)):
        bench = interface(loop_back)
        bench.write(STATUS, written)
        assert bench.read(STATUS) == seen
        bench.initialise()
        assert bench.read(STATUS) == 0  # firm


def test_initialise_clears_the_latch_and_leaves_the_cable_on() -> None:
    bench = interface()
    bench.write(OUT, 0o123456)
    bench.initialise()
    assert [bench.read(where) for where in (OUT, IN)] == [0, 0]  # firm
    bench.write(OUT, 0o123456)
    assert bench.read(IN) == 0o123456


def test_each_byte_of_the_output_can_be_written_alone() -> None:
    bench = interface()
    bench.write(OUT, 0o177777)
    bench.write_byte(OUT, 0o123)
    assert bench.read(IN) == 0o177523
    bench.write_byte(OUT + 1, 0)
    assert bench.read(IN) == 0o123


def test_the_input_can_not_be_written_and_is_0_without_the_cable() -> None:
    bench = interface()
    bench.write(OUT, 0o70707)
    bench.write(IN, 0o177777)
    assert bench.read(IN) == 0o70707  # parallel-wiki: the input is only sampled
    bench.machine.put_on_loop_back(False)
    assert (bench.read(IN), bench.read(OUT)) == (0, 0o70707)  # unconfirmed: open lines read as 0


def test_request_a_interrupts_through_the_base_vector_and_b_through_the_next() -> None:
    bench = interface()
    bench.write(STATUS, ENABLE_A | ENABLE_B)
    assert bench.grants() == []
    bench.write(STATUS, ENABLE_A | ENABLE_B | CONTROL_1 | CONTROL_0)
    assert bench.grant(priority=5) is None  # unconfirmed: level 5
    assert bench.grants(priority=4) == [0o300, 0o304]  # firm; that A goes first is unconfirmed
    bench.write(STATUS, ENABLE_A | ENABLE_B | CONTROL_1 | CONTROL_0)
    assert bench.grants() == []  # firm: the edge rule


@pytest.mark.parametrize(
    ("enable", "control", "vectors"),
    [
        (ENABLE_A, CONTROL_0, [0o300]), (ENABLE_A, CONTROL_1, []),
        (ENABLE_B, CONTROL_1, [0o304]), (ENABLE_B, CONTROL_0, []),
    ],
)  # fmt: skip
def test_each_request_has_its_own_enable(enable: int, control: int, vectors: list[int]) -> None:
    bench = interface()
    bench.write(STATUS, enable | control)
    assert bench.grants() == vectors  # parallel-wiki


def test_the_cable_that_is_put_on_raises_the_requests_and_a_missing_grant_holds_them_back() -> None:
    bench = interface(loop_back=False)
    bench.write(STATUS, ENABLE_A | CONTROL_0)
    assert bench.grants() == []
    bench.machine.put_on_loop_back()
    assert bench.grants() == [0o300]  # firm: control bit 0 to request A
    bench = interface(granted=False)
    bench.write(STATUS, ENABLE_A | CONTROL_0)
    assert bench.grants() == []
    assert bench.machine.counters().refused == {"main/a/8CF": 1}
