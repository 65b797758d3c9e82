"""Modes, register sets, what only some processors have, power-up, and the processor's own words of the I/O page."""

from __future__ import annotations

import pytest
from core_bench import AT, Bell, T, io_read, io_write, prepared, pushed, trapped

from minisim.cpu._core import lib
from minisim.cpu.handle import Core, Stop

THREE, TWO_SETS = "late-ttl-commercial", "late-single-chip-quad"
SUPERVISOR, USER = 0o040000, 0o140000
INC_R0 = 0o005200


def stacks(core: Core) -> dict[int, int]:
    """Stack pointers by mode."""
    found = {}
    before = core.ps
    for mode in (0, SUPERVISOR, USER):
        core.ps = mode
        found[mode] = core.sp
    core.ps = before
    return found


def test_each_mode_has_its_stack_pointer() -> None:
    core = prepared(THREE)
    for mode, sp in ((0, 0o1000), (SUPERVISOR, 0o2000), (USER, 0o3000)):
        core.ps = mode
        core.sp = sp
    assert stacks(core) == {0: 0o1000, SUPERVISOR: 0o2000, USER: 0o3000}


def test_a_trap_out_of_user_mode_pushes_on_the_kernel_stack_and_remembers_the_mode() -> None:
    core = prepared(THREE, 0o000004, ps=USER)
    core.sp = 0o3000
    core.run(1)
    assert core.ps == 0o030340  # kernel, previous user, from the vector
    assert pushed(core) == (AT + 2, USER)
    assert stacks(core)[USER] == 0o3000


def test_the_previous_mode_is_the_old_current_one_whatever_the_vector_says() -> None:
    core = prepared(THREE, 0o000004, ps=SUPERVISOR)
    core.put(0o22, 0o030000)
    core.run(1)
    assert core.ps & 0o170000 == 0o010000


def test_a_processor_with_one_mode_has_no_mode_bits() -> None:
    core = prepared("chipset-one-level", 0o000002)
    core.put(core.sp, AT, 0o177757)
    core.run(1)
    assert core.ps == 0o357


@pytest.mark.parametrize("code", [0o000002, 0o000006])  # RTI, RTT
def test_a_return_in_user_mode_can_not_raise_privilege(code: int) -> None:
    """[list-user-mode-rti], seen: the mode bits are kept silently, no trap."""
    core = prepared(TWO_SETS, code, ps=USER | 0o030100)
    core.put(core.sp, 0o3000, 0o004353)  # kernel, set 1, priority 7, codes
    core.run(1)
    assert (trapped(core), core.pc) == (None, 0o3000)
    assert core.ps == USER | 0o030000 | 0o004000 | 0o100 | 0o13  # bits 15:11 can be set, 7:5 stay


def test_a_return_in_kernel_mode_takes_all_of_the_ps() -> None:
    core = prepared(TWO_SETS, 0o000002)
    core.put(core.sp, 0o3000, 0o174353)
    core.run(1)
    assert core.ps == 0o174353


def test_r6_and_r7_belong_to_both_register_sets() -> None:
    core = prepared(TWO_SETS)
    core.sp, core.pc = 0o2222, 0o3332
    core[5] = 0o111
    core.ps = 0o4000
    assert (core.sp, core.pc, core[5]) == (0o2222, 0o3332, 0)


def test_reset_reaches_the_bus_in_kernel_mode_only() -> None:
    for ps, silent in ((0, True), (USER, False)):
        core = prepared(THREE, 0o000005, ps=ps)
        bell = Bell(core, (0o300, 5))
        core.raw.registers[0].keep = 0
        core.ps = ps | 0o340
        bell.ring(1)
        core.run(1)
        assert (core.raw.registers[0].value == 0) is silent
        assert (core.raw.request_level == 0) is silent


@pytest.mark.parametrize(
    ("profile", "kind"),
    [(THREE, 1), ("chipset-four-level-sep", 3), ("small-single-chip", 4), (TWO_SETS, 5), ("fast-ttl-cache", None)],
)
def test_mfpt_gives_the_processor_type(profile: str, kind: int | None) -> None:
    """Codes from memory, firm (architecture-handbook-1983 not read)."""
    core = prepared(profile, 0o000007, registers={0: 0o177777}, ps=0o17)
    core.run(1)
    assert trapped(core) == (0o10 if kind is None else None)
    if kind is not None:
        assert (core[0], core.ps) == (kind, 0o17)


def test_tstset_gives_the_old_word_and_sets_bit_0() -> None:
    core = prepared(TWO_SETS, 0o007211, registers={1: 0o3000})
    core.put(0o3000, 0o100002)
    core.run(1)
    assert (core[0], core.word(0o3000), core.ps & 0o17) == (0o100002, 0o100003, 0o10)
    core.pc = AT
    core.run(1)
    assert (core[0], core.ps & 0o17) == (0o100003, 0o11)


def test_wrtlck_writes_r0() -> None:
    core = prepared(TWO_SETS, 0o007311, registers={0: 0, 1: 0o3000}, ps=0o3)
    core.put(0o3000, 0o111)
    core.run(1)
    assert (core.word(0o3000), core.ps & 0o17) == (0, 0o5)


@pytest.mark.parametrize("code", [0o007201, 0o007301])
def test_the_locked_instructions_do_not_take_a_register(code: int) -> None:
    core = prepared(TWO_SETS, code)
    core.run(1)
    assert trapped(core) == 0o10


def test_mfps_to_memory_is_a_byte_and_its_codes_follow_the_old_ps() -> None:
    core = prepared(TWO_SETS, 0o106711, ps=0o352, registers={1: 0o3001})
    core.put(0o3000, 0o177)
    core.run(1)
    assert (core.word(0o3000), core.ps & 0o17) == (0o352 << 8 | 0o177, 0o10)


def test_the_high_byte_of_the_ps_can_be_written_alone() -> None:
    core = prepared(THREE, 0o112737, 0o300, 0o177777, ps=0o340)  # MOVB #300,@#177777: user mode
    core.sp = 0o700
    core.run(1)
    assert core.ps & 0o177760 == USER | 0o340


def test_a_write_to_the_ps_wins_over_the_codes_of_the_instruction() -> None:
    """Which of the two stays is told nowhere (unconfirmed)."""
    core = prepared(THREE, 0o012737, 0o345, 0o177776)
    core.run(1)
    assert core.ps == 0o345


# --- program interrupt request, 777772 (which processors have it: unconfirmed) ---


def test_the_program_can_ask_for_an_interrupt_at_each_level() -> None:
    core = prepared(THREE, 0o012737, 0o012000, 0o177772, ps=0o340)  # levels 2 and 4
    core.run(1)
    assert io_read(core, 0o177772) == 0o012000 | 4 << 5 | 4 << 1
    core.ps = 0o200
    core.run(0)
    assert trapped(core) is None
    core.ps = 0o140
    core.run(0)
    assert (trapped(core), core.raw.taken_by_vector[0o240 // 4]) == (0o240, 1)


@pytest.mark.parametrize(("level", "vector"), [(4, 0o240), (5, 0o240), (6, 0o300)])
def test_at_the_same_level_the_program_goes_before_the_bus(level: int, vector: int) -> None:
    core = prepared(THREE, ps=0o340)
    Bell(core, (0o300, level)).ring(1)
    io_write(core, 0o177772, 0o020000)  # level 5
    core.ps = 0
    core.run(0)
    assert trapped(core) == vector


def test_a_processor_without_spl_has_no_program_request() -> None:
    assert io_read(prepared("two-board-ttl-mmu"), 0o177772) is None


# --- console view of the general registers (unconfirmed) ---


def test_the_console_sees_both_sets_and_all_stack_pointers() -> None:
    core = prepared("fast-ttl-cache")
    for ps, base in ((0, 0o100), (0o4000, 0o200)):
        core.ps = ps
        for register in range(6):
            core[register] = base + register
    for mode, sp in ((SUPERVISOR, 0o2000), (USER, 0o3000), (0, 0o1000)):
        core.ps = mode
        core.sp = sp
    assert [io_read(core, 0o177700 + n) for n in range(6)] == [0o100 + n for n in range(6)]
    assert [io_read(core, 0o177710 + n) for n in range(6)] == [0o200 + n for n in range(6)]
    assert [io_read(core, 0o177700 + n) for n in (6, 7, 0o16, 0o17)] == [0o1000, AT, 0o2000, 0o3000]


def test_the_console_finds_nothing_where_there_is_one_set_and_one_mode() -> None:
    core = prepared("one-board-ttl-basic")
    assert io_read(core, 0o177705) == 0
    assert [io_read(core, 0o177710 + n) for n in range(8)] == [None] * 8


# --- power-up ---


def test_power_up_clears_the_registers_and_starts_where_it_is_told() -> None:
    core = prepared(TWO_SETS, ps=USER | T | 0o4000)
    core[0], core.raw.halted, core.raw.waiting = 0o111, 1, 1
    lib.ms_power_up(core.raw, 0o173000, 0o340)
    assert (core.pc, core.ps, [core[n] for n in range(7)]) == (0o173000, 0o340, [0] * 7)
    assert stacks(core) == {0: 0, SUPERVISOR: 0, USER: 0}
    assert (core.raw.waiting, core.raw.halted, core.raw.start_pc) == (0, 0, 0o173000)


def test_power_up_can_start_in_user_mode_without_losing_the_other_modes() -> None:
    core = prepared(THREE)
    lib.ms_power_up(core.raw, AT, USER)
    core.put(AT, INC_R0)
    assert core.run(1) is Stop.LIMIT
    assert (core.ps, core[0]) == (USER, 1)
