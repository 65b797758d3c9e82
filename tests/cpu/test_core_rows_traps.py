"""The table of differences row by row, on every profile: trace, stack, modes, HALT (see test_core_rows.py)."""

from __future__ import annotations

import pytest
from core_bench import AT, STACK, Bell, T, io_write, prepared, pushed, rows, trapped

from minisim.cpu.handle import Core, Stop
from minisim.cpu.profile import available, named

NOWHERE = 0o100000  # no memory there
USER = 0o140000
INC_R0 = 0o005200


# --- trace ---


def returning(profile: str, code: int, *words: int) -> Core:
    """RTI or RTT at 1000 that goes to 1100 with T set, where `words` stand."""
    core = prepared(profile, code)
    core.put(core.sp, AT + 0o100, T)
    core.put(AT + 0o100, *words)
    return core


@pytest.mark.parametrize(("profile", "word"), rows("rti_sets_t"))
def test_d15_rti_that_sets_t_traps_at_once_or_after_the_next_instruction(profile: str, word: str) -> None:
    core = returning(profile, 0o000002, INC_R0)
    core.run(1 if word == "at_once" else 2)
    assert trapped(core) == 0o14
    assert (core[0], pushed(core)) == ((0, (AT + 0o100, T)) if word == "at_once" else (1, (AT + 0o102, T)))


@pytest.mark.parametrize(("profile", "word"), rows("rtt"))
def test_d14_rtt_always_lets_one_instruction_run_first(profile: str, word: str) -> None:
    if word == "no":
        pytest.skip("no RTT")
    core = returning(profile, 0o000006, INC_R0)
    core.run(1)
    assert (trapped(core), core.pc) == (None, AT + 0o100)
    core.run(1)
    assert (trapped(core), core[0], pushed(core)[0]) == (0o14, 1, AT + 0o102)


@pytest.mark.parametrize(("profile", "word"), rows("interrupt_with_trace"))
def test_d16_trace_or_interrupt_goes_first(profile: str, word: str) -> None:
    core = prepared(profile, 0o012737, 1, 0o160000, ps=T)  # MOV #1,@#160000: rings, traced
    Bell(core, (0o300, 5))
    core.run(1)
    assert trapped(core) == (0o14 if word == "trace_first" else 0o300)
    assert pushed(core) == (AT + 6, T)


@pytest.mark.parametrize(("profile", "word"), rows("trace_ends_wait"))
def test_d17_a_traced_wait_ends_or_goes_on(profile: str, word: str) -> None:
    core = prepared(profile, 0o000001, ps=T)
    stop = core.run(1)
    if word == "ends_wait":
        assert (stop, trapped(core), pushed(core)[0]) == (Stop.LIMIT, 0o14, AT + 2)
    else:
        assert (stop, core.run(10), core.pc) == (Stop.LIMIT, Stop.WAITING, AT + 2)


# --- stack ---


@pytest.mark.parametrize(("profile", "word"), rows("bad_stack_in_trap"))
def test_d19_a_stack_that_is_not_there_halts_or_moves_to_0(profile: str, word: str) -> None:
    core = prepared(profile, 0o000004, ps=0o3, sp=NOWHERE + 4)  # IOT
    stop = core.run(1)
    if word == "halt":
        assert stop is Stop.HALTED
        assert (core.word(0), core.word(2)) == (0o2000, 0o340)  # untouched
    else:
        assert (stop, trapped(core), core.sp) == (Stop.LIMIT, 4, 0)
        assert (core.word(0), core.word(2)) == (AT + 2, 0o3)


@pytest.mark.parametrize(("profile", "word"), rows("bad_stack_in_trap"))
def test_d19_an_odd_stack_is_as_bad_where_odd_addresses_trap(profile: str, word: str) -> None:
    core = prepared(profile, 0o000004, sp=0o701)
    stop = core.run(1)
    if named(profile).model("odd_address_trap") == "no":
        assert (stop, trapped(core), core.word(0o674)) == (Stop.LIMIT, 0o20, AT + 2)
    elif word == "halt":
        assert stop is Stop.HALTED
    else:
        assert (stop, trapped(core), core.word(0)) == (Stop.LIMIT, 4, AT + 2)


def push_below(profile: str, sp: int, ps: int = 0) -> Core:
    """MOV R0,-(SP) with SP at `sp`."""
    core = prepared(profile, 0o010046, ps=ps, sp=sp, registers={0: 0o123456})
    core.run(1)
    return core


@pytest.mark.parametrize(("profile", "word"), rows("stack_limit"))
def test_d24_at_400_there_is_no_trap(profile: str, word: str) -> None:
    assert trapped(push_below(profile, 0o402)) is None


@pytest.mark.parametrize(("profile", "word"), rows("stack_limit"))
def test_d24_below_400_the_instruction_ends_and_then_traps_to_4(profile: str, word: str) -> None:
    core = push_below(profile, 0o400)
    assert core.word(0o376) == 0o123456
    if word == "none":
        assert (trapped(core), core.sp) == (None, 0o376)
    else:
        assert (trapped(core), core.sp, pushed(core)) == (4, 0o372, (AT + 2, 0o10))  # N of the moved word


@pytest.mark.parametrize(("profile", "word"), rows("stack_limit"))
def test_d24_below_340_most_give_the_instruction_up_and_move_the_stack(profile: str, word: str) -> None:
    core = push_below(profile, 0o340)
    if word == "none":
        assert (trapped(core), core.word(0o336)) == (None, 0o123456)
    elif word == "fixed_400_yellow" or profile == "first-hardwired":  # [handbook-1969] p. 43
        assert (trapped(core), core.sp, core.word(0o336)) == (4, 0o332, 0o123456)
    else:
        assert (trapped(core), core.sp, core.word(0), core.word(2)) == (4, 0, AT + 2, 0)
        assert core.word(0o336) == 0o340  # not written: what the vectors held


@pytest.mark.parametrize(("profile", "word"), rows("stack_limit"))
def test_d24_the_limit_register_moves_both_zones(profile: str, word: str) -> None:
    core = prepared(profile, 0o010046, sp=0o2400)
    if word not in ("register", "fixed_400_register_option"):
        assert io_write(core, 0o177774, 0o2000) is False
        return
    assert io_write(core, 0o177774, 0o2377)  # the low byte is not there
    assert core.raw.stack_limit == 0o2000
    core.run(1)
    assert (trapped(core), core.sp) == (4, 0o2372)
    core = prepared(profile, 0o010046, sp=0o2340)
    io_write(core, 0o177774, 0o2000)
    core.run(1)
    assert (trapped(core), core.sp) == (4, 0)


def test_d24_the_optional_limit_register_is_not_there_unless_fitted() -> None:
    core = prepared("microcoded-mid", options=["eis"])
    assert io_write(core, 0o177774, 0o2000) is False


def test_d24_user_mode_has_the_fixed_limit_on_one_profile_and_none_on_the_others() -> None:
    """[wiki-stacks], seen."""
    three_mode = push_below("fast-ttl-three-mode", 0o400, ps=USER)
    cache = push_below("fast-ttl-cache", 0o400, ps=USER)
    assert (trapped(three_mode), trapped(cache)) == (4, None)


def test_d24_the_pushes_of_the_stack_trap_bring_no_further_one() -> None:
    core = push_below("late-ttl-commercial", 0o400)
    assert core.raw.traps_by_vector[1] == 1
    assert core.sp == 0o372


def test_d24_an_interrupt_whose_pushes_reach_the_yellow_zone_is_followed_by_the_stack_trap() -> None:
    core = prepared("late-ttl-commercial", INC_R0, sp=0o402)
    Bell(core, (0o300, 5)).ring(1)
    core.run(0)
    assert (trapped(core), core.sp) == (4, 0o372)
    assert core.word(0o372) == 0o2300  # the interrupt's service was entered first


@pytest.mark.parametrize("code", [0o004767, 0o005746, 0o005756, 0o000004])  # JSR, TST -(SP), TST @-(SP), IOT
def test_d24_every_reference_that_steps_sp_down_is_checked(code: int) -> None:
    core = prepared("late-ttl-commercial", code, 0o100, sp=0o400)
    core.run(1)
    assert (trapped(core), core.raw.traps_by_vector[1]) == (4, 1)


@pytest.mark.parametrize("code", [0o010016, 0o010066, 0o005026])  # MOV R0,(SP); MOV R0,10(SP); CLR (SP)+
def test_d24_a_reference_that_does_not_step_sp_down_is_not_checked(code: int) -> None:
    core = prepared("late-ttl-commercial", code, 0o10, sp=0o350)
    core.run(1)
    assert trapped(core) is None


@pytest.mark.parametrize(("profile", "word"), rows("first_service_instruction"))
def test_d20_the_first_instruction_of_a_service_goes_before_an_interrupt_or_not(profile: str, word: str) -> None:
    core = prepared(profile, 0o012737, 1, 0o160000, 0o104000, ps=0o340)  # rings at priority 7, then EMT
    core.put(0o30, 0o2030, 0)  # whose service runs at priority 0
    core.put(0o2030, INC_R0, INC_R0)
    Bell(core, (0o300, 7))
    core.run(3 if word == "always" else 2)
    assert trapped(core) == 0o300
    assert (core[0], pushed(core)[0]) == ((1, 0o2032) if word == "always" else (0, 0o2030))


# --- odd addresses, modes, HALT ---


@pytest.mark.parametrize(("profile", "word"), rows("odd_address_trap"))
@pytest.mark.parametrize("code", [0o013700, 0o010137, 0o005237])  # read, write, change
def test_d25_a_word_at_an_odd_address_traps_or_loses_its_low_bit(profile: str, word: str, code: int) -> None:
    core = prepared(profile, code, 0o3001, registers={1: 0o111})
    core.put(0o3000, 0o222)
    core.run(1)
    if word == "yes":
        assert (trapped(core), core.word(0o3000), core[0]) == (4, 0o222, 0)
        assert pushed(core)[0] == AT + 4
    else:
        assert trapped(core) is None
        found = {0o013700: (0o222, 0o222), 0o010137: (0, 0o111), 0o005237: (0, 0o223)}
        assert (core[0], core.word(0o3000)) == found[code]


@pytest.mark.parametrize(("profile", "word"), rows("halt_not_kernel"))
def test_d36_halt_outside_kernel_mode_traps(profile: str, word: str) -> None:
    core = prepared(profile, 0, ps=USER)
    assert core.run(1) is Stop.LIMIT
    assert trapped(core) == int(word, 8)
    assert pushed(core) == (AT + 2, USER)


@pytest.mark.parametrize(("profile", "word"), rows("halt_kernel"))
def test_d37_halt_in_kernel_mode_halts_unless_the_board_is_strapped(profile: str, word: str) -> None:
    core = prepared(profile, 0)
    if word == "see_d38":
        assert core.run(1) is Stop.LIMIT
        return
    assert (core.run(5), core.pc) == (Stop.HALTED, AT + 2)
    strapped = prepared(profile, 0)
    strapped.raw.halt_traps = 1
    stop = strapped.run(1)
    assert (stop, trapped(strapped)) == ((Stop.LIMIT, 4) if word == "halts_or_trap_4" else (Stop.HALTED, None))


@pytest.mark.parametrize(("profile", "word"), rows("halt_without_mmu"))
def test_d38_halt_restarts_one_processor_behind_its_start_address(profile: str, word: str) -> None:
    core = prepared(profile, 0, ps=0o3)
    core.raw.start_pc = 0o3000
    stop = core.run(1)
    if word == "halts":
        assert stop is Stop.HALTED
    else:
        assert (stop, core.pc, pushed(core), core.sp) == (Stop.LIMIT, 0o3004, (AT + 2, 0o3), STACK - 4)


@pytest.mark.parametrize(("profile", "word"), rows("modes_without_mmu"))
def test_d44_without_memory_management_the_mode_bits_are_there_or_not(profile: str, word: str) -> None:
    if available(named(profile)).get("mmu") == "standard":
        pytest.skip("memory management is always there")
    core = prepared(profile, options=[])
    core.ps = USER
    assert core.ps == (USER if word == "yes" else 0)


@pytest.mark.parametrize(("profile", "word"), rows("illegal_mode"))
def test_d45_the_illegal_mode_uses_the_user_stack_on_some(profile: str, word: str) -> None:
    core = prepared(profile)
    core.ps = USER
    core.sp = 0o444
    core.ps = 0o100000
    assert core.sp == (0o444 if word == "abort_r6_user" else 0)


@pytest.mark.parametrize(("profile", "word"), rows("mtps_user"))
def test_d46_mtps_in_user_mode_changes_the_codes_only_or_the_priority_too(profile: str, word: str) -> None:
    core = prepared(profile, 0o106400, ps=USER, registers={0: 0o353})  # MTPS R0
    core.run(1)
    assert core.ps == USER | (0o13 if word == "cc_only" else 0o353)
    kernel = prepared(profile, 0o106400, ps=T, registers={0: 0o353})
    kernel.run(1)
    assert pushed(kernel)[1] == 0o353 | T  # T can't be touched, and traced it stays


@pytest.mark.parametrize(("profile", "word"), rows("execute_from_registers"))
def test_d47_the_ps_can_not_be_executed(profile: str, word: str) -> None:
    core = prepared(profile)
    core.pc = 0o177776
    core.run(1)
    assert word == "impossible"
    assert trapped(core) == 4
