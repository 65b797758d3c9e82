"""String instructions that an interrupt suspends: whatever the point, the result is the one without an interrupt."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from cis_bench import COUNTER, FIRST, PROFILE, RESULT, SECOND, SERVICE, TABLE, Bench
from core_bench import AT, STACK, prepared, run_to_halt

import minisim
from minisim.cpu._core import lib
from minisim.cpu.handle import Stop

SUSPENDED = 0o400
FRAME = 0o20  # bytes: six operands, how far, how far in the object
USER = 0o170000
CASES: list[tuple[str, Sequence[int]]] = [
    ("MOVC", [7, FIRST, 9, RESULT, 0o52]),
    ("MOVC", [9, FIRST, 5, RESULT, 0o52]),
    ("MOVC", [10, FIRST, 12, FIRST + 3, 0o52]),
    ("MOVC", [10, FIRST, 12, FIRST - 3, 0o52]),
    ("MOVRC", [7, FIRST, 9, RESULT, 0o52]),
    ("MOVRC", [10, FIRST, 12, FIRST - 1, 0o52]),
    ("MOVTC", [7, FIRST, 9, RESULT, 0o52, TABLE]),
    ("MOVTC", [7, FIRST, 9, FIRST + 1, 0o52, TABLE]),
    ("LOCC", [10, FIRST, 0, 0, ord("H")]),
    ("LOCC", [10, FIRST, 0, 0, ord("!")]),
    ("SKPC", [8, SECOND + 12, 0, 0, 0o40]),
    ("SCANC", [10, FIRST, 0, 0, 0o100, TABLE]),
    ("SPANC", [10, FIRST, 0, 0, 0o10, TABLE]),
    ("CMPC", [10, FIRST, 8, FIRST, 0o40]),
    ("CMPC", [4, SECOND, 10, SECOND, 0o40]),
    ("MATC", [12, SECOND, 6, SECOND + 20]),
    ("MATC", [12, SECOND, 4, FIRST]),
]


def in_line(name: str, registers: Sequence[int], bench: Bench) -> list[int]:
    """The words of the in-line form with the same operands."""
    o = [*registers, 0, 0, 0, 0]
    first, second, table = bench.lists((o[0], o[1]), (o[2], o[3]), (o[4], o[5]))
    return {
        "MOVTC": [first, second, o[4], o[5]], "LOCC": [first, o[4]], "SKPC": [first, o[4]], "SCANC": [first, table],
        "SPANC": [first, table], "MATC": [first, second],
    }.get(name, [first, second, o[4]])  # fmt: skip


class Outcome:
    """What a program can see after an instruction."""

    def __init__(self, bench: Bench) -> None:
        core = bench.core
        self.seen = [core[number] for number in range(8)], core.ps, bench.get(0o3100, 0o14000)
        self.interrupts = core.word(COUNTER)


def ready(name: str, registers: Sequence[int], follows: bool, ps: int = 0) -> Bench:
    """The instruction at PC, and a service routine that counts and spoils a register that it saves."""
    bench = Bench()
    bench.put(FIRST - 10, b"..........ABCDEFGHIJKLMNOPQRST")
    bench.put(SECOND, b"AABAABAABAAC      x AABAAC")
    bench.put(TABLE, bytes(range(255, -1, -1)))
    core = bench.core
    core.put(0o300, SERVICE, 0o340)
    # MOV R0,-(SP); CLR R0; INC @#3040; MOV (SP)+,R0; RTI
    core.put(SERVICE, 0o10046, 0o5000, 0o5237, COUNTER, 0o12600, 0o2)
    words = in_line(name, registers, bench) if follows else []
    bench.load(name + "I" * follows, *words, registers=() if follows else registers, ps=ps)
    if ps & 0o140000:
        core.raw.stack[0] = 0o600
    return bench


def finish(bench: Bench, every: int = 0) -> Outcome:
    """To the HALT behind it; with `every`, an interrupt so many ns after each begin of the instruction."""
    core = bench.core
    for _ in range(1000):
        if every and core.pc == AT:
            bench.bell.arm(0, core.raw.time_ns + every)
        core.run(1)
        if core.pc != AT and not SERVICE <= core.pc < COUNTER:
            return Outcome(bench)
    raise AssertionError("it does not end")


@pytest.mark.parametrize("follows", [False, True], ids=["registers", "in line"])
@pytest.mark.parametrize(("name", "registers"), CASES)
def test_an_interrupt_at_any_point_changes_nothing(name: str, registers: Sequence[int], follows: bool) -> None:
    plain = ready(name, registers, follows)
    begin = plain.core.raw.time_ns
    expected = finish(plain)
    whole = plain.core.raw.time_ns - begin
    points = set()  # where it was suspended: bytes done, of the source and of the object
    step = (plain.core.raw.base_ns + 2 * plain.core.raw.cycle_ns) // 16
    for due in range(1, whole, step):
        bench = ready(name, registers, follows)
        bench.bell.arm(0, begin + due)
        bench.core.run(1)
        if bench.core.sp == STACK - FRAME - 4:
            assert bench.core.word(STACK - FRAME - 2) & SUSPENDED
            points.add(bench.get(STACK - 4, 4))
        assert finish(bench).seen == expected.seen, due
    assert len(points) >= 4


@pytest.mark.parametrize("follows", [False, True], ids=["registers", "in line"])
@pytest.mark.parametrize(("name", "registers"), CASES)
@pytest.mark.parametrize("ps", [0, USER], ids=["kernel", "user"])
def test_an_interrupt_after_every_byte_changes_nothing(
    name: str, registers: Sequence[int], follows: bool, ps: int
) -> None:
    expected = finish(ready(name, registers, follows, ps))
    found = finish(ready(name, registers, follows, ps), every=1)
    assert found.seen == expected.seen
    assert found.interrupts >= 4


def suspended(bench: Bench) -> None:
    """Up to the first suspension; the interrupt is taken, its service about to begin."""
    bench.bell.arm(0, bench.core.raw.time_ns + 1)
    bench.core.run(1)
    assert bench.core.word(bench.core.sp + 2) & SUSPENDED


def test_the_state_lies_on_the_stack_and_pc_is_at_the_instruction() -> None:
    bench = ready("MOVC", [7, FIRST, 9, RESULT, 0o52], follows=False)
    core, before = bench.core, bench.registers()
    suspended(bench)
    assert (core.pc, core.sp, bench.registers()) == (SERVICE, STACK - FRAME - 4, before)
    assert (core.word(STACK - FRAME - 4), core.word(STACK - FRAME - 2) & SUSPENDED) == (AT, SUSPENDED)
    assert not core.ps & SUSPENDED


def test_the_vector_can_t_set_bit_8() -> None:
    bench = ready("MOVC", [7, FIRST, 9, RESULT, 0o52], follows=False)
    bench.core.put(0o302, 0o740)
    suspended(bench)
    assert bench.core.ps & 0o740 == 0o340


def test_a_decimal_instruction_is_not_suspended_the_interrupt_comes_behind_it() -> None:
    bench = ready("ADDN", [0o10003, FIRST, 0o10003, FIRST + 3, 0o10004, RESULT], follows=False)
    bench.put(FIRST, b"999001")
    bench.bell.arm(0, bench.core.raw.time_ns + bench.core.raw.base_ns + 1)
    bench.core.run(1)
    assert (bench.core.word(bench.core.sp), bench.core.word(bench.core.sp + 2)) == (AT + 2, 0)
    assert bench.get(RESULT, 4) == b"1000"


def test_an_interrupt_of_a_lower_level_suspends_nothing() -> None:
    bench = ready("MOVC", [7, FIRST, 9, RESULT, 0o52], follows=False, ps=0o200)
    bench.bell.arm(0, bench.core.raw.time_ns + 1)
    bench.core.run(1)
    assert (bench.core.pc, bench.core.ps & SUSPENDED) == (AT + 2, 0)


def test_a_trace_trap_comes_once_when_the_instruction_has_ended() -> None:
    bench = ready("MOVC", [7, FIRST, 9, RESULT, 0o52], follows=False, ps=0o20)
    bench.core.put(0o14, SERVICE + 0o20, 0o340)
    bench.core.put(SERVICE + 0o12, 6)  # RTT: RTI would let the trap come in front of the instruction
    bench.core.put(SERVICE + 0o20, 0)
    bench.bell.arm(0, bench.core.raw.time_ns + 1)
    assert bench.core.run(100) is Stop.HALTED
    assert (bench.core.pc, bench.core.word(COUNTER)) == (SERVICE + 0o22, 1)
    assert bench.core.word(bench.core.sp) == AT + 2
    assert bench.get(RESULT, 9) == b"ABCDEFG**"


def test_a_stack_that_nobody_answers_gives_the_suspension_up() -> None:
    given = [7, FIRST, 9, RESULT, 0o52]
    bench = ready("MOVC", given, follows=False, ps=USER)
    bench.core.sp = 0o150000
    bench.bell.arm(0, bench.core.raw.time_ns + 1)
    bench.core.run(1)
    assert bench.core.word(0o600 - 4) == AT + 2
    assert bench.core.raw.stack[3] == 0o150000
    assert bench.registers()[:5] == given


def test_what_fails_after_a_resumption_can_be_begun_again() -> None:
    bench = ready("MOVC", [7, FIRST, 7, 0o17776, 0o52], follows=False)
    core = bench.core
    suspended(bench)
    frame = bench.get(STACK - FRAME, FRAME)
    core.run(20)
    assert run_to_halt(core) == 0o4
    assert (core.sp, core.word(core.sp), core.word(core.sp + 2) & SUSPENDED) == (STACK - FRAME - 4, AT + 2, SUSPENDED)
    assert bench.get(STACK - FRAME, FRAME) == frame


def test_bit_8_exists_only_with_the_instructions() -> None:
    for options, bit in ((["cis"], SUSPENDED), (["fpp"], 0), ([], 0)):
        core = prepared(PROFILE, options=options)
        core.ps = 0o740
        assert core.ps & SUSPENDED == bit


def test_a_frozen_machine_goes_on_with_a_suspended_instruction() -> None:
    machine = minisim.bare(PROFILE, ["cis"])
    raw = machine._raw
    words = [0o76030]
    lib.ms_put_memory(raw, 0o1000, b"".join(word.to_bytes(2, "little") for word in [*words, 0]), 4)
    lib.ms_put_memory(raw, FIRST, b"ABCDE", 5)
    state = [5, FIRST, 6, RESULT, 0o52, 0, 2, 0]  # two bytes are done
    lib.ms_put_memory(raw, STACK - FRAME, b"".join(word.to_bytes(2, "little") for word in state), FRAME)
    lib.ms_set_ps(raw, SUSPENDED)
    raw.r[7], raw.r[6] = 0o1000, STACK - FRAME
    thawed = minisim.thaw(machine.freeze())._raw
    for each in (raw, thawed):
        lib.ms_run(each, 1)
        assert bytes(each.memory[RESULT + i] for i in range(6)) == b"\0\0CDE*"
        assert (each.r[6], lib.ms_get_ps(each) & SUSPENDED, each.r[0]) == (STACK, 0, 0)
