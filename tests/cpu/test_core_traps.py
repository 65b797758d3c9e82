"""Traps and aborts beyond the rows of differences: the sequence, the vectors, the rules of trace.

Sources: [handbook-1969] pp. 42-44 for vectors, order of the pushes and the rules of trace.
"""

from __future__ import annotations

import pytest
from core_bench import AT, STACK, Bell, T, io_read, io_write, prepared, pushed, trapped

from minisim.cpu.handle import WRITE, Stop

ANY = "late-ttl-commercial"
FIRST = "first-hardwired"
NOWHERE = 0o100000
INC_R0 = 0o005200


@pytest.mark.parametrize(
    ("code", "vector"),
    [
        (0o000003, 0o14),
        (0o000004, 0o20),
        (0o104000, 0o30),
        (0o104377, 0o30),
        (0o104400, 0o34),
        (0o104777, 0o34),
        (0o000007, 0o10),
    ],
)
def test_trap_instructions_go_through_their_vectors(code: int, vector: int) -> None:
    core = prepared(FIRST, code, ps=0o357)
    core.run(1)
    assert trapped(core) == vector
    assert core.ps == 0o340  # all of the new PS, codes too
    assert pushed(core) == (AT + 2, 0o357)
    assert core.raw.traps_by_vector[vector // 4] == 1


def test_the_old_ps_is_pushed_before_the_old_pc() -> None:
    core = prepared(ANY, 0o000004, ps=0o11)
    core.step()
    writes = [(access.address, access.data) for access in core.accesses if access.kind == WRITE]
    assert writes == [(STACK - 2, 0o11), (STACK - 4, AT + 2)]


def test_reserved_words_trap_to_10_with_the_pc_past_the_word() -> None:
    for code in (0o000010, 0o000227, 0o007000, 0o107000):
        core = prepared(FIRST, code)
        core.run(1)
        assert (trapped(core), pushed(core)[0]) == (0o10, AT + 2)


@pytest.mark.parametrize("address", [NOWHERE, 0o160000, 0o177600])
def test_an_address_where_nobody_answers_traps_to_4(address: int) -> None:
    for code in (0o013700, 0o113700, 0o010037, 0o110037, 0o005237):
        core = prepared(FIRST, code, address)
        core.run(1)
        assert (trapped(core), pushed(core)[0]) == (4, AT + 4)


def test_a_byte_at_an_odd_address_is_no_error() -> None:
    core = prepared(FIRST, 0o113700, 0o3001)  # MOVB @#3001,R0
    core.put(0o3000, 0o100000 | 0o177)
    core.run(1)
    assert (trapped(core), core[0]) == (None, 0o177600)


def test_an_instruction_that_is_given_up_leaves_the_condition_codes() -> None:
    for code in (0o005037, 0o010037, 0o112737):  # CLR, MOV and MOVB to nowhere
        core = prepared(FIRST, code, NOWHERE, NOWHERE, ps=0o12)
        core.run(1)
        assert (trapped(core), pushed(core)[1]) == (4, 0o12)


def test_vectors_without_memory_halt_the_processor() -> None:
    core = prepared(FIRST, 0o000004)
    core.raw.present[0] = 0
    core.raw.ram_top = 0
    core.pc = 0o4000
    core.put(0o4000, 0o000004)
    assert core.run(3) is Stop.HALTED


def test_the_emergency_stack_without_memory_halts_too() -> None:
    core = prepared(ANY, sp=0o4000)
    core.raw.present[0] = 0
    core.raw.ram_top = 0
    core.pc = 0o4000
    core.put(0o4000, 0o000004)
    assert core.run(3) is Stop.HALTED


def test_services_that_lie_nowhere_trap_for_ever_but_each_trap_counts() -> None:
    core = prepared(FIRST, 0o000004)
    core.put(0o20, NOWHERE, 0)
    core.put(0o4, NOWHERE, 0)
    assert core.run(5) is Stop.LIMIT
    assert core.raw.instructions == 5


# --- error register (bits: unconfirmed) ---


@pytest.mark.parametrize(
    ("words", "bits"),
    [((0o013700, 0o3001), 0o100), ((0o013700, NOWHERE), 0o40), ((0o013700, 0o160000), 0o20)],
)
def test_the_error_register_tells_the_kind_of_bus_error(words: tuple[int, int], bits: int) -> None:
    core = prepared("fast-ttl-cache", *words)
    core.run(1)
    assert (trapped(core), io_read(core, 0o177766)) == (4, bits)
    assert io_write(core, 0o177766, 0o177777)
    assert io_read(core, 0o177766) == 0  # any write clears it


def test_the_error_register_tells_stack_traps_and_an_illegal_halt() -> None:
    yellow, red = prepared(ANY, 0o010046, sp=0o400), prepared(ANY, 0o010046, sp=0o340)
    halt = prepared(ANY, 0, ps=0o140000)
    for core, bits in ((yellow, 0o10), (red, 0o4), (halt, 0o200)):
        core.run(1)
        assert (trapped(core), io_read(core, 0o177766)) == (4, bits)


def test_a_processor_without_an_error_register_answers_nothing_there() -> None:
    assert io_read(prepared("chipset-four-level"), 0o177766) is None


# --- trace: the rules of the first book ---


def test_the_instruction_after_the_one_that_set_t_is_completed_then_traps() -> None:
    core = prepared(FIRST, 0o000002)  # RTI to 1100 with T
    core.put(core.sp, AT + 0o100, T)
    core.put(AT + 0o100, INC_R0, INC_R0)
    core.run(2)
    assert (trapped(core), core[0], pushed(core)) == (0o14, 1, (AT + 0o102, T))


def test_a_traced_instruction_that_sets_t_again_changes_nothing() -> None:
    core = prepared(FIRST, 0o052737, T, 0o177776, ps=T)  # BIS #20,@#177776
    core.run(1)
    assert (trapped(core), core.raw.traps_by_vector[3]) == (0o14, 1)
    assert pushed(core)[1] & ~0o17 == T  # the codes are those of the instruction or those written: open


def test_a_traced_trap_instruction_runs_and_the_instruction_after_rti_is_traced() -> None:
    core = prepared(FIRST, 0o000004, INC_R0, ps=T)
    core.put(0o2020, 0o000002)
    core.run(2)  # IOT, RTI
    assert core.raw.traps_by_vector[3] == 0
    core.run(1)
    assert (trapped(core), core[0], pushed(core)[0]) == (0o14, 1, AT + 4)


def test_a_traced_instruction_that_overflows_the_stack_traps_for_t_first() -> None:
    core = prepared(FIRST, 0o010046, ps=T, sp=0o400)
    core.run(1)
    assert trapped(core) == 4
    assert pushed(core)[0] == 0o2014  # the trace service was entered, then the stack trap came
    assert core.word(core.sp + 4) == AT + 2
    assert (core.raw.traps_by_vector[3], core.raw.traps_by_vector[1]) == (1, 1)


def test_an_interrupt_between_setting_t_and_the_fetch_is_serviced_first() -> None:
    core = prepared(FIRST, 0o000002, ps=0o340)
    core.put(core.sp, AT + 0o100, T)  # RTI to priority 0 with T
    core.put(AT + 0o100, INC_R0)
    core.put(0o2300, 0o000002)  # the service returns at once
    Bell(core, (0o300, 5)).ring(1)
    core.run(1)
    assert trapped(core) == 0o300
    core.run(2)  # RTI, INC
    assert (trapped(core), core[0]) == (0o14, 1)


def test_a_traced_halt_halts_and_the_trap_comes_after_the_instruction_that_follows() -> None:
    core = prepared(FIRST, 0, INC_R0, ps=T)
    assert core.run(5) is Stop.HALTED
    assert (trapped(core), core.pc) == (None, AT + 2)
    core.run(1)
    assert (trapped(core), core[0], pushed(core)[0]) == (0o14, 1, AT + 4)


def test_an_instruction_that_is_given_up_is_not_traced() -> None:
    core = prepared(FIRST, 0o005037, NOWHERE, ps=T)
    core.run(1)
    assert (trapped(core), core.raw.traps_by_vector[3], pushed(core)[1]) == (4, 0, T)


def test_t_in_the_new_ps_of_a_vector_traces_the_first_instruction_of_the_service() -> None:
    core = prepared(ANY, 0o000004)
    core.put(0o20, 0o2020, T)
    core.put(0o2020, INC_R0)
    core.run(2)
    assert (trapped(core), core[0], pushed(core)[0]) == (0o14, 1, 0o2022)
