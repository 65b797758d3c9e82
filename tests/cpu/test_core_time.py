"""Guest time passes in everything the processor does, and a run can be cut anywhere without a trace."""

from __future__ import annotations

import pytest
from core_bench import AT, STACK, Bell, T, prepared

from minisim.cpu._core import ffi, lib
from minisim.cpu.handle import Core, Stop

TABLE = "chipset-four-level"  # 1700 ns and 1200 ns a memory cycle [wiki-chipset-four-level]
BASE, CYCLE = 1700, 1200
TRAP = 4 * CYCLE  # vector, two words; two pushes
WAIT, INC_R0, RESET, RTI = 0o000001, 0o005200, 0o000005, 0o000002


def spent(core: Core, instructions: int = 1) -> int:
    """Nanoseconds of so many instructions and what they lead to."""
    before = core.raw.time_ns
    core.run(instructions)
    return int(core.raw.time_ns - before)


@pytest.mark.parametrize(
    ("profile", "words", "ps"),
    [
        (TABLE, (0o000100,), 0),  # JMP R0
        (TABLE, (0o004000,), 0),  # JSR R0,R0
        (TABLE, (0o104000,), 0),  # EMT
        (TABLE, (0o007000,), 0),  # reserved
        (TABLE, (0o000000,), 0o140000),  # HALT in user mode
    ],
)
def test_every_way_into_a_trap_takes_the_time_of_its_four_cycles(profile: str, words: tuple[int, ...], ps: int) -> None:
    core = prepared(profile, *words, ps=ps)
    call = CYCLE if words == (0o004000,) else 0  # the push that the form of JSR counts
    assert spent(core) == BASE + TRAP + call


def test_a_reference_that_nobody_answers_takes_the_time_out_and_then_the_trap() -> None:
    """10 us, seen, [handbook-1969]; later machines 10 to 20 us (unconfirmed)."""
    core = prepared(TABLE, 0o005737, 0o160000)  # TST @#160000: two cycles, of which the second fails
    assert spent(core) == BASE + 2 * CYCLE + TRAP + 10_000


def test_an_odd_address_is_noticed_without_a_time_out() -> None:
    core = prepared("late-ttl-commercial", 0o005737, 0o1001)
    assert spent(core) < 10_000


def test_the_stack_trap_takes_time_as_the_trace_trap_does() -> None:
    plain = prepared("first-hardwired", 0o005046, sp=0o700)  # CLR -(SP)
    yellow = prepared("first-hardwired", 0o005046, sp=0o400)
    traced = prepared("first-hardwired", 0o005046, sp=0o700, ps=T)
    trap = 9900  # as EMT, seen [handbook-1969] p. 42; of other traps taken
    assert spent(traced) == spent(yellow) == spent(plain) + trap


def test_an_emergency_stack_is_counted_as_a_trap_through_4() -> None:
    core = prepared("late-ttl-commercial", 0o104000, sp=0o20)  # EMT with SP in the red zone
    core.run(1)
    assert core.raw.traps_by_vector[1] == 1
    assert core.raw.traps_by_vector[0o30 // 4] == 1


@pytest.mark.parametrize(
    ("profile", "ns"),
    [
        ("first-hardwired", 10_000_000),  # unconfirmed: 10 to 20 ms on older machines
        ("two-board-ttl-mmu", 10_000_000),
        ("chipset-one-level", 100_000),  # unconfirmed: 10 us, and a pause of 90 us
        ("chipset-four-level", 100_000),
    ],
)
def test_reset_takes_the_time_of_bus_initialise(profile: str, ns: int) -> None:
    core, other = prepared(profile, RESET), prepared(profile, 0o000240)
    assert spent(core) == spent(other) + ns


def test_reset_outside_kernel_mode_does_nothing_and_takes_no_time() -> None:
    core, other = prepared(TABLE, RESET, ps=0o140000), prepared(TABLE, 0o000240, ps=0o140000)
    assert spent(core) == spent(other)


def test_a_clock_that_ticks_through_reset_does_not_ask_before_reset_has_ended() -> None:
    core = prepared(TABLE, 0o012737, 1, 0o160000, RESET, INC_R0)
    bell = Bell(core, (0o300, 5))
    core.raw.registers[0].keep = 0  # bus initialise clears the flag
    bell.arm(0, 20_000)  # falls due in the middle of RESET
    core.ps = 0o340
    core.run(2)
    assert core.raw.time_ns > 100_000
    assert core.raw.lines[0].pending == 0
    assert core.raw.timers[0].due == lib.MS_NEVER


# --- WAIT ---


def napping(limits: list[int]) -> tuple[Core, int]:
    """WAIT beside a clock that never asks, run in pieces; the sum of the pieces."""
    core = prepared("late-ttl-commercial", WAIT, INC_R0, 0o000775)
    bell = Bell(core, (0o300, 5), (0o304, 5))
    core.raw.lines[0].granted = 0
    core.raw.timers[0].period = 1000
    bell.arm(0, 1000)
    bell.arm(1, 20_500)
    core.put(0o2304, RTI)
    for limit in limits:
        assert core.run(limit) is Stop.LIMIT
    return core, sum(limits)


@pytest.mark.parametrize("limits", [[1] * 15, [5, 10], [15], [14, 0, 1], [1] * 30, [30], [25, 5]])
def test_the_limit_counts_what_wait_passes_so_that_pieces_add_up(limits: list[int]) -> None:
    core, count = napping(limits)
    whole, _ = napping([count])
    assert bytes(ffi.buffer(core.raw.r)) == bytes(ffi.buffer(whole.raw.r))
    assert (core.raw.time_ns, core.raw.instructions, core.raw.naps) == (
        whole.raw.time_ns, whole.raw.instructions, whole.raw.naps,
    )  # fmt: skip
    assert core.raw.instructions + core.raw.naps == count


def test_a_timed_action_taken_back_leaves_no_time_behind() -> None:
    core = prepared("late-ttl-commercial", 0o005737, 0o160000, WAIT)
    bell = Bell(core, (0o300, 5), (0o304, 5))
    core.raw.effects[1].op, core.raw.effects[1].index = lib.MS_DO_DISARM, 0  # a read takes the action back
    core.raw.registers[0].on_read, core.raw.registers[0].on_read_count = 1, 1
    bell.arm(0, 1_000_000)
    assert core.run(10) is Stop.WAITING
    assert core.raw.next_due == lib.MS_NEVER
    assert core.raw.time_ns < 1_000_000


def test_bus_initialise_leaves_no_due_time_of_an_action_it_takes_back() -> None:
    core = prepared("late-ttl-commercial", RESET, WAIT)
    bell = Bell(core, (0o300, 5))
    core.raw.timers[0].survives_init = 0
    bell.arm(0, 1_000_000_000)
    assert core.run(10) is Stop.WAITING
    assert core.raw.next_due == lib.MS_NEVER
    assert core.raw.time_ns < 1_000_000_000


def test_an_action_armed_anew_for_later_is_not_waited_for_at_its_old_time() -> None:
    core = prepared("late-ttl-commercial", 0o005737, 0o160000, WAIT)
    bell = Bell(core, (0o300, 5), delay=5_000_000)
    core.raw.effects[1].op, core.raw.effects[1].index = lib.MS_DO_ARM, 0
    core.raw.registers[0].on_read, core.raw.registers[0].on_read_count = 1, 1
    bell.arm(0, 1_000_000)
    core.run(2)
    assert core.raw.next_due == core.raw.timers[0].due > 5_000_000


def test_the_end_of_64_bit_time_is_no_trap_for_the_host() -> None:
    core = prepared("late-ttl-commercial", WAIT)
    bell = Bell(core, (0o300, 5))
    core.raw.lines[0].granted = 0
    core.raw.timers[0].period = 1 << 63
    bell.arm(0, 1 << 63)
    assert core.run(100) in (Stop.WAITING, Stop.LIMIT)
    assert core.raw.time_ns < lib.MS_NEVER


# --- order ---


def test_an_equal_priority_does_not_end_a_wait_and_a_higher_request_does() -> None:
    core = prepared("late-ttl-commercial", WAIT, ps=0o240)
    bell = Bell(core, (0o300, 5), (0o304, 6))
    bell.arm(0, 10_000)
    bell.arm(1, 20_000)
    core.run(1)
    core.run(1)
    assert (core.raw.waiting, core.raw.lines[0].pending) == (1, 1)
    assert core.run(1) is Stop.HALTED  # the first instruction of its service
    assert core.pc == 0o2306


def test_a_traced_return_that_clears_t_still_brings_the_trap_where_the_fetch_decides() -> None:
    """D15 after_next: the fetch of a traced instruction decides; the stacked PS has T clear (unconfirmed)."""
    core = prepared("first-hardwired", RTI, ps=T, sp=STACK)
    core.put(STACK, 0o3000, 0o0)
    core.run(1)
    assert core.pc == 0o2014
    assert (core.word(core.sp), core.word(core.sp + 2)) == (0o3000, 0)


def test_a_traced_return_that_clears_t_brings_no_trap_where_the_new_ps_decides() -> None:
    core = prepared("late-ttl-commercial", RTI, ps=T, sp=STACK)
    core.put(STACK, 0o3000, 0o0)
    core.run(1)
    assert core.pc == 0o3000


def test_a_byte_of_a_general_register_in_the_io_page_is_read_where_it_is_written() -> None:
    """D07, unconfirmed: one register at each byte address, so its low byte answers there."""
    core = prepared("first-hardwired", 0o113700, 0o177701, 0o110037, 0o177702, registers={1: 0o123456})
    core.run(2)  # MOVB @#177701,R0; MOVB R0,@#177702
    assert (core[0], core[2]) == (0o056, 0o056)
    assert core.pc == AT + 8


@pytest.mark.parametrize("new", [0, T])
def test_a_traced_rtt_is_not_followed_by_the_trap_itself(new: int) -> None:
    """RTT always lets one instruction run first (row D15)."""
    core = prepared("late-ttl-commercial", 0o000006, ps=T, sp=STACK)
    core.put(STACK, 0o3000, new)
    core.put(0o3000, INC_R0, INC_R0)
    core.run(1)
    assert core.pc == 0o3000
    core.run(1)
    assert (core[0], core.pc) == (1, 0o2014 if new else 0o3002)


@pytest.mark.parametrize("words", [(WAIT,), (0o000777,)])
def test_at_priority_7_a_clock_that_goes_on_for_ever_is_not_waited_for(words: tuple[int, ...]) -> None:
    core = prepared("late-ttl-commercial", *words, ps=0o340)
    bell = Bell(core, (0o300, 7))
    core.raw.timers[0].period = 1_000_000
    bell.arm(0, 1_000_000)
    assert core.run(1000) in (Stop.WAITING, Stop.STUCK)
    assert (core.raw.instructions, core.raw.naps) == (1, 0)
    assert core.raw.time_ns < 1_000_000


def test_reset_clears_the_stack_limit_and_the_requests_of_the_program() -> None:
    """Unconfirmed."""
    core = prepared("fast-ttl-three-mode", 0o012737, 0o400, 0o177774, 0o012737, 0o2000, 0o177772, RESET, ps=0o340)
    core.sp = 0o1700
    core.run(2)
    assert (core.raw.stack_limit, core.raw.program_request) == (0o400, 0o2000)
    core.run(1)
    assert (core.raw.stack_limit, core.raw.program_request) == (0, 0)


def test_an_emergency_stack_takes_the_time_of_a_second_trap() -> None:
    core = prepared("late-ttl-commercial", 0o104000, sp=0o20)  # EMT with SP in the red zone
    core.raw.cycle_ns = CYCLE
    assert spent(core) == core.raw.base_ns + 2 * TRAP
