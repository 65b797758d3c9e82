"""Running: limits, stops, WAIT, time, interrupts by level, recorded accesses."""

from __future__ import annotations

import pytest
from core_bench import AT, Bell, T, prepared, pushed, trapped

from minisim.cpu._core import ffi, lib
from minisim.cpu.handle import FETCH, READ, WRITE, Access, Core, Stop, new_machine

ANY = "late-ttl-commercial"
INC_R0, WAIT, LOOP, HALT = 0o005200, 0o000001, 0o000776, 0
BRANCH_SELF = 0o000777


def test_the_limit_counts_instructions_exactly() -> None:
    core = prepared(ANY, INC_R0, LOOP)
    for limit in (0, 1, 2, 7, 1000):
        before = core.raw.instructions
        assert core.run(limit) is Stop.LIMIT
        assert core.raw.instructions - before == limit


def state(core: Core) -> tuple[object, ...]:
    """All that a program can tell."""
    return (list(core.raw.r), core.ps, core.raw.time_ns, core.raw.instructions, list(core.raw.taken_by_vector))


def ticking(limit_each: int) -> Core:
    """A program with two rings during its run, in slices."""
    core = prepared(ANY, INC_R0, 0o010046, 0o012600, WAIT, 0o000773)
    core.put(0o2300, 0o005201, 0o000002)
    core.put(0o2304, 0o005202, 0o000002)
    bell = Bell(core, (0o300, 5), (0o304, 6))
    bell.arm(0, 20_000)
    bell.arm(1, 20_100)
    done = 0
    while done < 60 and core.run(limit_each) is Stop.LIMIT:
        done += limit_each
    return core


def test_a_run_in_slices_is_the_same_as_a_run_in_one() -> None:
    whole = ticking(60)
    assert (whole[1], whole[2]) == (1, 1)
    assert state(whole) == state(ticking(1)) == state(ticking(7))


def test_halt_stops_behind_itself_and_the_run_can_go_on() -> None:
    core = prepared(ANY, HALT, INC_R0, HALT)
    assert (core.run(), core.pc, core[0]) == (Stop.HALTED, AT + 2, 0)
    assert (core.run(), core.pc, core[0]) == (Stop.HALTED, AT + 6, 1)


def test_the_halt_line_stops_after_one_instruction() -> None:
    core = prepared(ANY, INC_R0, INC_R0, INC_R0)
    core.raw.halt_switch = 1
    assert (core.run(), core[0]) == (Stop.HALTED, 1)
    assert (core.run(), core[0]) == (Stop.HALTED, 2)


def test_a_request_to_stop_is_obeyed_once() -> None:
    core = prepared(ANY, INC_R0, LOOP)
    lib.ms_request_stop(core.raw)
    assert core.run(10) is Stop.REQUEST
    assert core.run(10) is Stop.LIMIT


def test_an_instruction_that_is_given_up_for_ever_still_reaches_the_limit() -> None:
    core = prepared("first-hardwired")
    core.put(4, 0o100000, 0)  # the service of bus errors is not there
    core.pc = 0o100000
    assert core.run(1000) is Stop.HALTED  # the stack runs down until it is gone: double bus error
    assert core.raw.instructions < 1000


# --- WAIT and loops ---


def test_wait_goes_straight_to_what_is_due() -> None:
    core = prepared(ANY, WAIT, INC_R0)
    Bell(core, (0o300, 5)).arm(0, 5_000_000)
    core.put(0o2300, 0o000002)
    assert core.run(3) is Stop.LIMIT  # WAIT, RTI, INC
    assert core[0] == 1
    assert core.raw.time_ns > 5_000_000
    assert core.raw.instructions == 3


def test_an_interrupt_out_of_wait_returns_behind_it() -> None:
    core = prepared(ANY, WAIT)
    Bell(core, (0o300, 5)).arm(0, 5_000_000)
    core.run(2)
    assert pushed(core)[0] == AT + 2


def test_wait_with_nothing_that_could_end_it_says_so() -> None:
    core = prepared(ANY, WAIT)
    assert (core.run(), core.raw.waiting) == (Stop.WAITING, 1)
    assert core.run() is Stop.WAITING


def test_wait_at_priority_7_is_never_ended() -> None:
    core = prepared(ANY, WAIT, ps=0o340)
    Bell(core, (0o300, 7)).arm(0, 1000)
    assert core.run() is Stop.WAITING


def test_the_host_can_end_a_wait() -> None:
    core = prepared(ANY, WAIT, INC_R0)
    bell = Bell(core, (0o300, 5))
    assert core.run() is Stop.WAITING
    bell.ring(1)
    core.run(0)
    assert trapped(core) == 0o300


def test_wait_beside_a_clock_that_never_asks_ends_at_the_limit() -> None:
    core = prepared(ANY, WAIT)
    bell = Bell(core, (0o300, 5))
    core.raw.lines[0].granted = 0  # behind a hole of the grant chain
    core.raw.timers[0].period = 1000
    bell.arm(0, 1000)
    assert core.run(500) is Stop.LIMIT
    assert core.raw.instructions == 1
    assert core.raw.lines[0].refused > 0
    assert core.run(500) is Stop.LIMIT


def test_a_stop_by_limit_inside_wait_can_be_resumed() -> None:
    core = prepared(ANY, WAIT, INC_R0)
    Bell(core, (0o300, 5)).arm(0, 1_000_000)
    assert (core.run(1), core.raw.waiting) == (Stop.LIMIT, 1)
    core.put(0o2300, 0o000002)
    assert core.run(2) is Stop.LIMIT
    assert core[0] == 1


@pytest.mark.parametrize("words", [(BRANCH_SELF,), (0o000137, AT), (0o100377,)])  # BR ., JMP @#., BPL .
def test_a_jump_to_itself_that_nothing_can_leave_is_stuck(words: tuple[int, ...]) -> None:
    assert prepared(ANY, *words).run() is Stop.STUCK


def test_a_jump_to_itself_through_a_register_is_stuck() -> None:
    assert prepared(ANY, 0o000111, registers={1: AT}).run() is Stop.STUCK


def test_a_jump_to_itself_is_not_stuck_while_something_can_come() -> None:
    core = prepared(ANY, BRANCH_SELF)
    Bell(core, (0o300, 5)).arm(0, 1_000_000)
    assert core.run(10) is Stop.LIMIT
    assert core.run(1000) is Stop.HALTED
    assert core.pc == 0o2302


def test_at_priority_7_the_same_jump_is_stuck() -> None:
    core = prepared(ANY, BRANCH_SELF, ps=0o340)
    Bell(core, (0o300, 5)).arm(0, 1_000_000)
    assert core.run() is Stop.STUCK


def test_a_traced_jump_to_itself_is_not_stuck() -> None:
    core = prepared(ANY, BRANCH_SELF, ps=T)
    assert core.run() is Stop.HALTED
    assert trapped(core) == 0o14


def test_a_loop_that_counts_is_not_stuck() -> None:
    core = prepared(ANY, 0o077001, HALT, registers={0: 5})  # SOB R0,.
    assert (core.run(), core[0]) == (Stop.HALTED, 0)


# --- until ---


def until_term(core: Core, **fields: int) -> None:
    """One condition of one term, from here on."""
    until = core.raw.until
    for name, value in fields.items():
        setattr(until.term[0], name, value)
    until.count, until.first = 1, core.raw.instructions
    lib.ms_until_settle(core.raw)


def test_until_an_address_stops_before_its_instruction_but_not_where_the_run_begins() -> None:
    core = prepared(ANY, INC_R0, INC_R0, 0o000775)
    until_term(core, kind=lib.MS_TERM_PC, value=AT)
    assert (core.run(), core.pc, core[0]) == (Stop.REACHED, AT, 2)
    core.raw.until.first = core.raw.instructions
    assert (core.run(), core[0]) == (Stop.REACHED, 4)


@pytest.mark.parametrize(
    ("kinds", "low", "high", "after"),
    [
        (WRITE, 0o3000, 0o3001, 2),
        (WRITE, 0o3001, 0o3001, 2),  # the upper half of the word
        (READ, 0o3000, 0o3001, 3),
        (FETCH, AT + 6, AT + 6, 3),
        (READ | WRITE, 0o3000, 0o3000, 2),
    ],
)
def test_until_an_access_stops_after_the_instruction_that_made_it(kinds: int, low: int, high: int, after: int) -> None:
    core = prepared(ANY, INC_R0, 0o010037, 0o3000, 0o013701, 0o3000, HALT)  # INC R0; MOV R0,@#3000; MOV @#3000,R1
    until_term(core, kind=lib.MS_TERM_ACCESS, access_kinds=kinds, low=low, high=high)
    assert (core.run(), core.raw.instructions) == (Stop.REACHED, after)


def test_until_an_access_that_never_comes_does_not_stop() -> None:
    core = prepared(ANY, INC_R0, HALT)
    until_term(core, kind=lib.MS_TERM_ACCESS, access_kinds=WRITE, low=0o4000, high=0o4777)
    assert core.run() is Stop.HALTED


# --- time ---


def test_time_is_base_plus_cycles() -> None:
    """[wiki-chipset-four-level]: registers 1.7 us, 1.2 us for each memory cycle."""
    core = prepared("chipset-four-level", 0o010001, 0o011102, 0o011112, registers={1: 0o3000, 2: 0o3000})
    core.run(1)
    assert core.raw.time_ns == 1700
    core[1] = 0o3000
    core.run(1)
    assert core.raw.time_ns == 2 * 1700 + 1200


def test_time_without_a_table_is_the_average_of_an_instruction() -> None:
    """[tradeoffs-1978]."""
    core = prepared("one-board-ttl-basic", 0o010001, 0o060000)
    core.run(2)
    assert core.raw.time_ns == 2 * 4043


def test_a_timed_action_comes_at_the_first_instruction_end_after_it_is_due() -> None:
    core = prepared("one-board-ttl-basic", *[INC_R0] * 10)
    Bell(core, (0o300, 5)).arm(0, 4043 * 3 - 1)
    core.run(5)
    assert pushed(core)[0] == AT + 6


# --- interrupts ---


@pytest.mark.parametrize("priority", range(8))
def test_a_request_is_accepted_if_its_level_is_above_the_priority(priority: int) -> None:
    for level in (4, 5, 6, 7):
        core = prepared(ANY, INC_R0, ps=priority << 5)
        Bell(core, (0o300, level)).ring(1)
        core.run(0)
        assert (trapped(core) == 0o300) is (level > priority)


def test_the_highest_level_goes_first_and_a_lower_one_follows_when_it_may() -> None:
    core = prepared(ANY, INC_R0)
    core.put(0o304, 0o2304, 0o240)
    core.put(0o2304, 0o000002)
    core.put(0o2300, 0o000002)
    Bell(core, (0o300, 4), (0o304, 5)).ring(3)
    core.run(0)
    assert trapped(core) == 0o304
    core.run(3)  # RTI, RTI, INC
    assert (core[0], core.raw.taken_by_vector[0o300 // 4], core.raw.taken_by_vector[0o304 // 4]) == (1, 1, 1)


def test_interrupts_that_nest_without_end_let_the_program_run_on() -> None:
    core = prepared(ANY, INC_R0, sp=0o7000)
    core.put(0o300, AT, 0)  # the service runs at priority 0 ...
    bell = Bell(core, (0o300, 5))
    core.raw.lines[0].edge_only_request = 1  # ... and the device asks again as soon as it is served
    core.raw.effects[1].op, core.raw.effects[1].index = lib.MS_DO_REQUEST, 0
    core.raw.lines[0].pending = 1
    bell.ring(1)
    assert core.run(3) is Stop.LIMIT
    assert core[0] >= 1


# --- steps and misuse ---


def test_a_step_records_every_access_in_order() -> None:
    core = prepared(ANY, 0o062737, 5, 0o3000)  # ADD #5,@#3000
    core.put(0o3000, 7)
    assert core.step() is Stop.LIMIT
    assert core.accesses == (
        Access(AT, 0o062737, FETCH, False),
        Access(AT + 2, 5, FETCH, False),
        Access(AT + 4, 0o3000, FETCH, False),
        Access(0o3000, 7, READ, False),
        Access(0o3000, 12, WRITE, False),
    )


def test_a_step_records_bytes_and_forgets_the_step_before() -> None:
    core = prepared(ANY, INC_R0, 0o112137, 0o3001, registers={1: 0o3003})  # MOVB (R1)+,@#3001
    core.put(0o3002, 0o252 << 8)
    core.step()
    core.step()
    assert core.accesses[1:] == (
        Access(0o3003, 0o252, READ, True),
        Access(AT + 4, 0o3001, FETCH, False),
        Access(0o3001, 0o252, WRITE, True),
    )


def test_stepping_and_running_do_the_same() -> None:
    words = (0o012701, 0o3000, 0o010021, 0o060137, 0o3000, 0o005337, 0o3000, 0o000003)
    stepped, ran = prepared(ANY, *words), prepared(ANY, *words)
    for _ in range(5):
        stepped.step()
    ran.run(5)
    assert state(stepped) == state(ran)
    assert bytes(ffi.buffer(stepped.raw.memory, 0o4000)) == bytes(ffi.buffer(ran.raw.memory, 0o4000))


def test_a_machine_without_a_processor_does_not_run() -> None:
    raw = new_machine(0o1000, 16)
    assert lib.ms_run(raw, 10) == lib.MS_STOP_NONE


def test_the_processor_can_not_be_started_from_inside_a_run() -> None:
    core = prepared(ANY, 0o012737, 1, 0o160000, INC_R0, HALT)
    Bell(core, (0o300, 5))
    inside: list[int] = []

    @ffi.callback("void(void *, int, int, int, int)")
    def call(handle: object, device: int, code: int, reg: int, data: int) -> None:
        inside.append(lib.ms_run(core.raw, 5))

    core.ps = 0o340
    core.raw.call = call
    core.raw.effects[0].op = lib.MS_DO_CALL
    core.raw.registers[0].on_write, core.raw.registers[0].on_write_count = 0, 1
    assert core.run() is Stop.HALTED
    assert inside == [lib.MS_STOP_NONE]
    assert core[0] == 1


@pytest.mark.parametrize(("memory", "bits"), [(0o200000, 16), (3, 18), (-2, 16), (0o1000, 20)])
def test_impossible_memory_is_refused(memory: int, bits: int) -> None:
    with pytest.raises(ValueError, match="address bits"):
        new_machine(memory, bits)
