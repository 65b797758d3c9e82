"""The table of differences row by row, on every profile: instructions, operands, bus cycles.

Each test runs once for every profile to which its row applies; the name of the run says row, profile, word of the row
and how well the word is known ("model": not known, the model takes it).  Traps and modes: test_core_rows_traps.py.
"""

from __future__ import annotations

import pytest
from core_bench import AT, Bell, T, io_read, io_write, prepared, pushed, rows, trapped

from minisim.cpu.handle import READ, WRITE, Stop
from minisim.cpu.profile import named

DATA = 0o3000


@pytest.mark.parametrize(("profile", "word"), rows("same_register_source_value"))
def test_d01_a_register_that_its_own_destination_steps_is_taken_before_or_after(profile: str, word: str) -> None:
    up = prepared(profile, 0o010020, registers={0: DATA})  # MOV R0,(R0)+
    down = prepared(profile, 0o060040, registers={0: DATA})  # ADD R0,-(R0)
    assert up.run(1) is down.run(1) is Stop.LIMIT
    assert up.word(DATA) == (DATA + 2 if word == "after" else DATA)
    assert down.word(DATA - 2) == (DATA - 2 if word == "after" else DATA)
    assert (up[0], down[0]) == (DATA + 2, DATA - 2)


@pytest.mark.parametrize(("profile", "word"), rows("same_register_source_value"))
def test_d01_holds_for_bytes_which_step_by_one(profile: str, word: str) -> None:
    core = prepared(profile, 0o110020, registers={0: DATA})  # MOVB R0,(R0)+
    core.run(1)
    assert core.word(DATA) == (DATA + 1 if word == "after" else DATA) & 0o377
    assert core[0] == DATA + 1


@pytest.mark.parametrize(("profile", "word"), rows("same_register_source_value_deferred"))
def test_d02_the_same_for_deferred_modes(profile: str, word: str) -> None:
    up = prepared(profile, 0o010030, registers={0: DATA})  # MOV R0,@(R0)+
    down = prepared(profile, 0o010050, registers={0: DATA})  # MOV R0,@-(R0)
    up.put(DATA, DATA + 0o100)
    down.put(DATA - 2, DATA + 0o100)
    up.run(1)
    down.run(1)
    assert up.word(DATA + 0o100) == (DATA + 2 if word == "after" else DATA)
    assert down.word(DATA + 0o100) == (DATA - 2 if word == "after" else DATA)


@pytest.mark.parametrize(("profile", "word"), rows("pc_source_indexed_value"))
@pytest.mark.parametrize("code", [0o010761, 0o010767, 0o010771, 0o010777])
def test_d03_pc_as_source_of_an_indexed_destination(profile: str, word: str, code: int) -> None:
    core = prepared(profile, code, DATA - AT - 4 if code & 7 == 7 else 0, registers={1: DATA})
    core.put(DATA, DATA)  # deferred modes find the same place
    core.run(1)
    assert core.word(DATA) == AT + (4 if word == "plus4" else 2)


@pytest.mark.parametrize(("profile", "word"), rows("jump_autoincrement_target"))
@pytest.mark.parametrize("code", [0o000121, 0o004721])  # JMP (R1)+, JSR PC,(R1)+
def test_d04_a_jump_through_an_incremented_register(profile: str, word: str, code: int) -> None:
    core = prepared(profile, code, registers={1: DATA})
    core.run(1)
    assert (core.pc, core[1]) == (DATA + 2 if word == "after" else DATA, DATA + 2)


@pytest.mark.parametrize(("profile", "word"), rows("jump_register_trap"))
@pytest.mark.parametrize("code", [0o000101, 0o004701])  # JMP R1, JSR PC,R1
def test_d05_a_jump_to_a_register_traps(profile: str, word: str, code: int) -> None:
    core = prepared(profile, code)
    core.run(1)
    assert trapped(core) == int(word, 8)
    assert pushed(core)[0] == AT + 2


@pytest.mark.parametrize(("profile", "word"), rows("swab_v"))
def test_d06_swab_clears_v_or_leaves_it(profile: str, word: str) -> None:
    core = prepared(profile, 0o000300, ps=0o3, registers={0: 0o000401})
    core.run(1)
    assert core.ps & 0o17 == (0o2 if word == "unchanged" else 0)


@pytest.mark.parametrize(("profile", "word"), rows("general_register_addresses"))
def test_d07_general_registers_in_the_io_page(profile: str, word: str) -> None:
    core = prepared(profile, 0o013705, 0o177702, registers={2: 0o123456})  # MOV @#177702,R5
    assert io_read(core, 0o177702) == (None if word == "nobody" else 0o123456)
    core.run(1)
    assert (trapped(core), core[5]) == ((None, 0o123456) if word == "program" else (4, 0))


@pytest.mark.parametrize(("profile", "word"), rows("general_register_addresses"))
def test_d07_general_registers_can_be_written_where_they_can_be_read(profile: str, word: str) -> None:
    core = prepared(profile, 0o012737, 0o54321, 0o177703)  # MOV #54321,@#177703: an odd address (unconfirmed)
    assert io_write(core, 0o177704, 0o111) is (word != "nobody")
    assert core[4] == (0 if word == "nobody" else 0o111)
    core.run(1)
    assert core[3] == (0o54321 if word == "program" else 0)


LATER = {"sob": 0o077001, "mark": 0o006400, "sxt": 0o006700, "xor": 0o074001}


@pytest.mark.parametrize(("profile", "facts"), rows("later_base_instructions"))
@pytest.mark.parametrize("name", LATER)
def test_d08_later_instructions_work_or_trap_to_10(profile: str, facts: dict[str, str], name: str) -> None:
    core = prepared(profile, LATER[name], registers={5: AT})
    core.run(1)
    assert trapped(core) == (None if facts[name] == "yes" else 0o10)


@pytest.mark.parametrize(("profile", "word"), rows("spl"))
def test_d12_spl_sets_the_priority_or_traps(profile: str, word: str) -> None:
    core = prepared(profile, 0o000235)
    core.run(1)
    assert (trapped(core), core.ps & 0o340) == ((None, 0o240) if word == "yes" else (0o10, 0o340))


@pytest.mark.parametrize("profile", ["fast-ttl-cache", "late-single-chip-quad"])
def test_d12_spl_does_nothing_outside_kernel_mode(profile: str) -> None:
    core = prepared(profile, 0o000235, ps=0o140000)
    core.sp = 0o700
    core.run(1)
    assert (trapped(core), core.ps) == (None, 0o140000)


@pytest.mark.parametrize(("profile", "word"), rows("rtt"))
def test_d14_rtt_works_or_traps_to_10(profile: str, word: str) -> None:
    core = prepared(profile, 0o000006)
    core.put(core.sp, DATA, 0)
    core.run(1)
    assert core.pc == (DATA if word == "yes" else 0o2010)


# --- interrupts and PS ---


@pytest.mark.parametrize(("profile", "word"), rows("register_sets"))
def test_d21_ps_bit_11_chooses_the_register_set(profile: str, word: str) -> None:
    core = prepared(profile)
    core[0] = 0o111
    core.ps = 0o4000
    assert core.ps == (0o4000 if word == "2" else 0)
    assert core[0] == (0 if word == "2" else 0o111)
    core[0] = 0o222
    core.ps = 0
    assert core[0] == (0o111 if word == "2" else 0o222)


@pytest.mark.parametrize(("profile", "word"), rows("ps_access"))
def test_d22_the_ps_is_reached_by_address_or_by_instructions(profile: str, word: str) -> None:
    by_address = prepared(profile, 0o013705, 0o177776, ps=0o340)  # MOV @#177776,R5
    by_instruction = prepared(profile, 0o106705, ps=0o340)  # MFPS R5
    by_address.run(1)
    by_instruction.run(1)
    assert trapped(by_address) == (4 if word == "instructions" else None)
    assert trapped(by_instruction) == (0o10 if word == "address" else None)
    if word != "instructions":
        assert by_address[5] == 0o340
    if word != "address":
        assert by_instruction[5] == 0o177740  # a byte into a register: sign-extended


@pytest.mark.parametrize(("profile", "word"), rows("interrupt_levels"))
def test_d23_one_level_is_masked_by_ps_bit_7_alone(profile: str, word: str) -> None:
    for ps, level, goes_through in ((0o140, 4, True), (0o200, 4, False), (0o200, 5, word == "4"), (0o340, 7, False)):
        core = prepared(profile, 0o005200, ps=ps)  # INC R0
        Bell(core, (0o300, level)).ring(1)
        core.run(1)
        assert (core[0] == 0) is goes_through, (ps, level)


@pytest.mark.parametrize(("profile", "word"), rows("interrupt_levels"))
def test_d23_with_one_level_the_nearer_board_wins(profile: str, word: str) -> None:
    core = prepared(profile)
    Bell(core, (0o300, 4), (0o304, 5)).ring(3)
    core.run(0)
    assert trapped(core) == (0o300 if word == "1" else 0o304)


@pytest.mark.parametrize(("profile", "word"), rows("ps_write_sets_t"))
def test_d18_a_write_to_the_ps_sets_t_or_not(profile: str, word: str) -> None:
    if named(profile).model("ps_access") == "instructions":
        pytest.skip("the PS has no address there (D22)")
    core = prepared(profile, 0o012737, T, 0o177776)  # MOV #20,@#177776
    core.run(1)
    assert core.ps & T == (T if word == "can" else 0)


@pytest.mark.parametrize(("profile", "word"), rows("ps_write_sets_t"))
def test_d18_where_t_can_not_be_set_it_can_not_be_cleared(profile: str, word: str) -> None:
    if named(profile).model("ps_access") == "instructions":
        pytest.skip("the PS has no address there (D22)")
    core = prepared(profile, 0o005037, 0o177776, ps=T)  # CLR @#177776, traced
    core.run(1)
    assert trapped(core) == 0o14
    assert pushed(core)[1] & T == (0 if word == "can" else T)


# --- bus cycles ---


def cycles_at(profile: str, code: int, address: int) -> list[int]:
    """Kinds of the accesses that an instruction makes to one address."""
    core = prepared(profile, code, registers={1: address})
    core.step()
    return [access.kind for access in core.accesses if access.address == address]


@pytest.mark.parametrize(("profile", "word"), rows("mov_last_cycle"))
def test_d30_movb_to_memory_writes_or_reads_first(profile: str, word: str) -> None:
    expected = [READ, WRITE] if word == "read_write" else [WRITE]
    assert cycles_at(profile, 0o110011, DATA) == expected  # MOVB R0,(R1)
    words = [WRITE] if profile == "chipset-one-level" else expected  # the note of the row
    assert cycles_at(profile, 0o010011, DATA) == words  # MOV R0,(R1)


@pytest.mark.parametrize(("profile", "word"), rows("clr_sxt_last_cycle"))
def test_d35_clr_and_sxt_write_or_read_first(profile: str, word: str) -> None:
    expected = [READ, WRITE] if word == "read_write" else [WRITE]
    assert cycles_at(profile, 0o005011, DATA) == expected  # CLR (R1)
    assert cycles_at(profile, 0o105011, DATA + 1) == expected  # CLRB (R1)
    if named(profile).model("later_base_instructions")["sxt"] == "yes":  # type: ignore[index]
        assert cycles_at(profile, 0o006711, DATA) == expected  # SXT (R1)


@pytest.mark.parametrize(("profile", "word"), rows("fetch_error_pc"))
def test_d31_pc_after_a_fetch_from_nowhere(profile: str, word: str) -> None:
    core = prepared(profile)
    core.pc = 0o100000
    core.run(1)
    assert trapped(core) == 4
    assert pushed(core)[0] == (0o100002 if word == "incremented" else 0o100000)


@pytest.mark.parametrize(("profile", "word"), rows("fetch_error_pc"))
def test_d31_holds_for_an_odd_pc_where_odd_addresses_trap(profile: str, word: str) -> None:
    core = prepared(profile, 0o005200)
    core.pc = AT + 1
    core.run(1)
    if named(profile).model("odd_address_trap") == "no":
        assert (trapped(core), core[0]) == (None, 1)
    else:
        assert trapped(core) == 4
        assert pushed(core)[0] == (AT + 3 if word == "incremented" else AT + 1)


@pytest.mark.parametrize(("profile", "word"), rows("autoincrement_nonexistent"))
@pytest.mark.parametrize(("code", "by"), [(0o005721, 2), (0o105721, 1), (0o012100, 2), (0o010021, 2)])
def test_d32_a_step_over_memory_that_is_not_there(profile: str, word: str, code: int, by: int) -> None:
    core = prepared(profile, code, registers={1: 0o100000})  # TST, TSTB (R1)+; MOV (R1)+,R0; MOV R0,(R1)+
    core.run(1)
    assert trapped(core) == 4
    assert core[1] == 0o100000 + (by if word == "incremented" else 0)


@pytest.mark.parametrize(("profile", "word"), rows("autoincrement_nonexistent"))
def test_d32_speaks_of_the_reference_not_of_a_push_that_fails_at_the_same_address(profile: str, word: str) -> None:
    core = prepared(profile, 0o004326, sp=0o20000)  # JSR R3,(SP)+ at the end of memory: the step is no reference
    core.run(1)
    assert (trapped(core), core.sp) == (4, 0o17774)


def test_d32_speaks_of_the_reference_that_fails_not_of_one_that_went_well_before() -> None:
    """MOV (R1)+,(R2) where both registers point to a word that can be read and not written."""
    core = prepared("chipset-one-level", 0o012112, registers={1: 0o160000, 2: 0o160000})
    Bell(core, (0o300, 4))
    core.raw.registers[0].answers = 1
    core.run(1)
    assert (trapped(core), core[1]) == (4, 0o160002)


@pytest.mark.parametrize(("profile", "word"), rows("autoincrement_odd"))
def test_d33_a_step_over_an_odd_address(profile: str, word: str) -> None:
    core = prepared(profile, 0o005721, registers={1: DATA + 1})
    core.run(1)
    assert trapped(core) == 4
    assert core[1] == DATA + (3 if word == "incremented" else 1)


# --- reserved codes ---


@pytest.mark.parametrize(("profile", "word"), rows("code_075040_075377"))
def test_d39_some_read_memory_before_they_trap_to_10(profile: str, word: str) -> None:
    plain = prepared(profile, 0o075041, registers={1: DATA})
    nowhere = prepared(profile, 0o075041, registers={1: 0o100000})
    plain.step()
    nowhere.run(1)
    reads = [access.address for access in plain.accesses if access.kind == READ]
    assert trapped(plain) == 0o10
    assert (DATA in reads) is (word == "read_then_trap_10")
    assert trapped(nowhere) == (4 if word == "read_then_trap_10" else 0o10)


def test_d39_without_the_arithmetic_part_nothing_is_read() -> None:
    core = prepared("chipset-one-level", 0o075041, registers={1: 0o100000}, options=[])
    core.run(1)
    assert trapped(core) == 0o10


@pytest.mark.parametrize(("profile", "word"), rows("code_000210_000217"))
def test_d40_the_maintenance_codes_trap_to_10_or_not(profile: str, word: str) -> None:
    for code in range(0o210, 0o220):
        core = prepared(profile, code)
        core.run(1)
        assert trapped(core) == (None if word == "maintenance" else 0o10)


@pytest.mark.parametrize(("profile", "word"), rows("code_0754_to_0767"))
def test_d41_codes_without_an_owner_trap_to_10(profile: str, word: str) -> None:
    for code in (0o075400, 0o075777, 0o076000, 0o076600, 0o076777):
        core = prepared(profile, code, options=[])
        core.run(1)
        assert trapped(core) == 0o10


@pytest.mark.parametrize(("profile", "word"), rows("code_17_without_fpp"))
def test_d42_floating_codes_without_the_unit_trap_to_10(profile: str, word: str) -> None:
    if named(profile).options["fpp"].peek == "standard":  # type: ignore[union-attr]
        pytest.skip("the unit is always there")
    for code in (0o170000, 0o172467, 0o177777):
        core = prepared(profile, code, options=[])
        core.run(1)
        assert trapped(core) == 0o10
