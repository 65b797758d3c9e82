"""The floating point processor: published examples, exceptions and instructions line by line [fpp-manuals, to be looked
up there; the table of exceptions is unconfirmed], addressing, and what differs between units."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.cpu.assembler import assemble, words_of
from minisim.cpu.disassembler import disassemble
from minisim.cpu.profile import named
from minisim.known import Known, NotApplicable
from minisim.machine.errors import NotFittedError
from minisim.problems import InputError

EXAMPLES = yaml.load((Path(__file__).parents[1] / "data" / "worked-examples.yaml").read_text("utf-8"), yaml.CBaseLoader)
FLOATING = [each for each in EXAMPLES["examples"] if each["id"].startswith("fpp-")]
DOUBLE, LONG, CHOP = 0o200, 0o100, 0o040
FIUV, FIU, FIV, FIC, FID, FER = 0o4000, 0o2000, 0o1000, 0o400, 0o40000, 0o100000
SERVICE, AT, DATA, STACK = 0o3000, 0o5000, 0o2000, 0o1000

ONE = [0o040200, 0, 0, 0]
TWO = [0o040400, 0, 0, 0]
THREE = [0o040500, 0, 0, 0]
MINUS_SEVEN_AND_A_QUARTER = [0o140750, 0, 0, 0]
LARGEST = [0o077777, 0o177777, 0, 0]
SMALLEST = [0o000200, 0, 0, 0]
ZERO = [0, 0, 0, 0]
UNDEFINED = [0o100000, 1, 0, 0]


def number(words: list[int]) -> int:
    """Four words as an accumulator."""
    return sum(word << 48 - 16 * index for index, word in enumerate(words))


def words(value: int) -> list[int]:
    """An accumulator as four words."""
    return [value >> shift & 0o177777 for shift in (48, 32, 16, 0)]


def prepared(text: str, fps: int = 0, profile: str = "late-ttl-commercial", **given: list[int]) -> minisim.Machine:
    """A machine before one instruction (or several, by lines) at 5000, traps through 244 led to 3000."""
    machine = minisim.bare(profile)
    machine.cpu.sp, machine.cpu.pc, machine.cpu.ps = STACK, AT, 0
    machine.memory.put(0o244, SERVICE, 0o340)
    (block,) = assemble(f". = {AT:o}\n{text}\n").blocks
    machine.memory.put(AT, *words_of(block))
    machine.cpu.fps = fps
    for name, value in given.items():
        machine.cpu.ac[int(name[2])] = number(value)
    return machine


def ran(text: str, fps: int = 0, *, memory: list[int] | None = None, r0: int = DATA, **given: Any) -> minisim.Machine:
    """The same after it; memory: words at 2000, to which R0 points."""
    machine = prepared(text, fps, **given)
    machine.memory.put(DATA, *(memory or ZERO))
    machine.cpu.r[0] = r0
    machine.step()
    return machine


def trapped(machine: minisim.Machine) -> bool:
    """Did it go through 244?"""
    return machine.cpu.pc == SERVICE


def status(machine: minisim.Machine) -> str:
    """FN FZ FV FC."""
    return f"{machine.cpu.fps & 0o17:04b}"


def psw(machine: minisim.Machine) -> str:
    """N Z V C."""
    return f"{machine.cpu.ps & 0o17:04b}"


# --- published and derived examples ---------------------------------------------------------------------------------


@pytest.mark.parametrize("example", FLOATING, ids=[each["id"] for each in FLOATING])
def test_worked_examples_hold(example: dict[str, Any]) -> None:
    machine = minisim.bare()
    setup, expect, masked = example["setup"], example["expect"], example.get("mask", [])
    machine.cpu.ps, machine.cpu.pc = 0, int(example["program"]["at"], 8)
    machine.memory.put(machine.cpu.pc, *(int(word, 8) for word in example["program"]["words"]))
    for name, value in setup.get("registers", {}).items():
        machine.cpu.r[6 if name == "sp" else int(name[1])] = int(value, 8)
    for at, word in setup.get("memory", {}).items():
        machine.memory.put(int(at, 8), int(word, 8))
    machine.cpu.fps = int(setup["fps"], 8)
    for name, given in setup["accumulators"].items():
        machine.cpu.ac[int(name[2])] = number([int(word, 8) for word in given])
    for _ in range(int(example.get("steps", 1))):
        machine.step()
    hidden = 0o10 * ("fps.fn" in masked) | 0o4 * ("fps.fz" in masked)
    if "fps" in expect:
        assert machine.cpu.fps & ~hidden == int(expect["fps"], 8) & ~hidden
    for name, wanted in expect.get("accumulators", {}).items():
        assert words(machine.cpu.ac[int(name[2])]) == [int(word, 8) for word in wanted]
    for name, value in expect.get("registers", {}).items():
        assert machine.cpu.r[6 if name == "sp" else int(name[1])] == int(value, 8)
    if "nzvc" in expect and "nzvc" not in masked:
        assert psw(machine) == expect["nzvc"]
    if "fec" in expect:
        assert machine.cpu.fec == int(expect["fec"], 8)
    if "pc" in expect:
        assert machine.cpu.pc == int(expect["pc"], 8)


# --- exceptions: each enabled, not enabled, and with traps disabled --------------------------------------------------

EXCEPTIONS = [
    # text, enable bit, code, AC0 enabled, FV enabled, AC0 not enabled, FV not enabled; AC0 and AC1 given
    ("MULF AC1,AC0", FIV, 0o10, [0o000177, 0o177777, 0, 0], 1, ZERO, 1, LARGEST, TWO),
    ("DIVF AC1,AC0", FIU, 0o12, ZERO, 0, ZERO, 0, SMALLEST, TWO),  # 2^-129: field 0
    ("MULF AC1,AC0", FIU, 0o12, [0o040200, 0, 0, 0], 0, ZERO, 0, SMALLEST, SMALLEST),  # 2^-256: field 201
]


@pytest.mark.parametrize(("text", "enable", "code", "on", "on_v", "off", "off_v", "ac0", "ac1"), EXCEPTIONS)
def test_overflow_and_underflow_wrap_and_trap_if_enabled_else_give_exact_zero(
    text: str, enable: int, code: int, on: list[int], on_v: int, off: list[int], off_v: int,
    ac0: list[int], ac1: list[int],
) -> None:  # fmt: skip
    machine = ran(text, enable, ac0=ac0, ac1=ac1)
    assert trapped(machine) and machine.cpu.fec == code and machine.cpu.fea == AT
    assert words(machine.cpu.ac[0]) == on and machine.cpu.fps & FER and machine.cpu.fps >> 1 & 1 == on_v
    assert machine.memory.word(STACK - 4) == AT + 2
    quiet = ran(text, 0, ac0=ac0, ac1=ac1)
    assert not trapped(quiet) and quiet.cpu.fec == 0 and not quiet.cpu.fps & FER
    assert words(quiet.cpu.ac[0]) == off and status(quiet) == f"01{off_v}0"
    disabled = ran(text, enable | FID, ac0=ac0, ac1=ac1)
    assert not trapped(disabled) and disabled.cpu.fec == code and disabled.cpu.fps & FER
    assert words(disabled.cpu.ac[0]) == on


@pytest.mark.parametrize("name", ["LDF", "ADDF", "SUBF", "MULF", "DIVF", "MODF", "CMPF"])
def test_an_undefined_variable_in_memory_traps_before_it_is_used_if_enabled(name: str) -> None:
    machine = ran(f"{name} (R0),AC0", FIUV | 0o17, memory=UNDEFINED, ac0=ONE, ac1=THREE)
    assert trapped(machine) and machine.cpu.fec == 0o14 and machine.cpu.fps == FIUV | FER | 0o17
    assert list(machine.cpu.ac)[:2] == [number(ONE), number(THREE)]


@pytest.mark.parametrize("name", ["ABSF", "NEGF"])
def test_a_sign_is_not_changed_in_an_undefined_variable(name: str) -> None:
    machine = ran(f"{name} (R0)", FIUV, memory=UNDEFINED)
    assert trapped(machine) and machine.memory.word(DATA) == 0o100000
    quiet = ran(f"{name} (R0)", memory=UNDEFINED)
    assert not trapped(quiet) and status(quiet) == "0100"
    assert [quiet.memory.word(DATA), quiet.memory.word(DATA + 2)] == [0, 0]


def test_tstf_sets_the_codes_before_it_traps() -> None:
    machine = ran("TSTF (R0)", FIUV | 0o3, memory=UNDEFINED)
    assert trapped(machine) and status(machine) == "1100"
    assert status(ran("TSTF (R0)", memory=UNDEFINED)) == "0100"


def test_an_undefined_variable_counts_as_zero_where_it_does_not_trap() -> None:
    assert ran("LDF (R0),AC0", memory=UNDEFINED, ac0=ONE).cpu.ac[0] == 0
    assert ran("ADDF (R0),AC0", memory=UNDEFINED, ac0=ONE).cpu.ac[0] == number(ONE)
    in_accumulator = ran("ADDF AC1,AC0", FIUV, ac0=ONE, ac1=UNDEFINED)
    assert not trapped(in_accumulator) and in_accumulator.cpu.ac[0] == number(ONE)


def test_an_integer_that_does_not_fit_is_stored_as_zero_and_traps_if_enabled() -> None:
    for fps, traps in ((0, False), (FIC, True), (FIC | FID, False)):
        machine = ran("STCFI AC0,R1", fps, ac0=[0o044000, 0, 0, 0])  # 32768
        assert trapped(machine) == traps and machine.cpu.r[1] == 0 and status(machine) == "0101"
        assert machine.cpu.fec == (0o6 if fps else 0)
    fits = ran("STCFI AC0,R1", FIC, ac0=[0o144000, 0, 0, 0])  # -32768
    assert not trapped(fits) and fits.cpu.r[1] == 0o100000 and psw(fits) == "1000"


@pytest.mark.parametrize("fps", [0o17, FID | 0o17])
def test_division_by_zero_changes_nothing_but_the_error(fps: int) -> None:
    machine = ran("DIVF AC1,AC0", fps, ac0=ONE)
    assert trapped(machine) == (not fps & FID) and machine.cpu.fec == 0o4 and machine.cpu.ac[0] == number(ONE)
    assert machine.cpu.fps == fps | FER


@pytest.mark.parametrize("word", [0o170003, 0o170007, 0o170010, 0o170013, 0o170077, 0o170406, 0o172407, 0o176006])
def test_an_illegal_code_or_accumulator_is_error_2(word: int) -> None:
    machine = ran(f".word {word:o}", 0o17, ac0=ONE)
    assert trapped(machine) and (machine.cpu.fec, machine.cpu.fea) == (2, AT)
    assert machine.cpu.fps == FER | 0o17 and machine.cpu.ac[0] == number(ONE)
    quiet = ran(f".word {word:o}", FID)
    assert not trapped(quiet) and quiet.cpu.pc == AT + 2 and quiet.cpu.fec == 2


# --- instructions, line by line ---------------------------------------------------------------------------------------

IN_REGISTERS = [
    # text, FPS, AC0, AC1 -> AC0, codes
    ("LDF AC1,AC0", 0o17, THREE, TWO, TWO, "0000"),
    ("LDD AC1,AC0", DOUBLE, THREE, [0o140200, 1, 2, 3], [0o140200, 1, 2, 3], "1000"),
    ("LDF AC1,AC0", 0, THREE, [0o040200, 1, 2, 3], [0o040200, 1, 0, 0], "0000"),
    ("ADDF AC1,AC0", 0, ONE, TWO, THREE, "0000"),
    ("SUBF AC1,AC0", 0, THREE, TWO, ONE, "0000"),
    ("SUBF AC1,AC0", 0, TWO, TWO, ZERO, "0100"),
    ("SUBF AC1,AC0", 0, ONE, TWO, [0o140200, 0, 0, 0], "1000"),
    ("MULF AC1,AC0", 0, ONE, THREE, THREE, "0000"),
    ("DIVF AC1,AC0", 0, ONE, THREE, [0o037652, 0o125253, 0, 0], "0000"),  # 1/3, derived
    ("DIVF AC1,AC0", CHOP, ONE, THREE, [0o037652, 0o125252, 0, 0], "0000"),
    ("DIVD AC1,AC0", DOUBLE, ONE, THREE, [0o037652, 0o125252, 0o125252, 0o125253], "0000"),
    ("CMPF AC1,AC0", 0, TWO, ONE, TWO, "1000"),
    ("CMPF AC1,AC0", 0, ONE, TWO, ONE, "0000"),
    ("CMPF AC1,AC0", 0, TWO, TWO, TWO, "0100"),
    ("CMPF AC1,AC0", 0, MINUS_SEVEN_AND_A_QUARTER, ONE, MINUS_SEVEN_AND_A_QUARTER, "0000"),
    ("CMPF AC1,AC0", 0, [0o000100, 5, 5, 5], ZERO, ZERO, "0100"),
    ("TSTF AC0", 0o17, MINUS_SEVEN_AND_A_QUARTER, ZERO, MINUS_SEVEN_AND_A_QUARTER, "1000"),
    ("ABSF AC0", 0, MINUS_SEVEN_AND_A_QUARTER, ZERO, [0o040750, 0, 0, 0], "0000"),
    ("NEGF AC0", 0, ONE, ZERO, [0o140200, 0, 0, 0], "1000"),
    ("NEGF AC0", 0, [0o000100, 5, 5, 5], ZERO, ZERO, "0100"),
    ("CLRF AC0", 0o13, ONE, ZERO, ZERO, "0100"),
    ("LDCDF AC1,AC0", 0, ZERO, [0o040200, 0, 0o100000, 0], [0o040200, 1, 0, 0], "0000"),
    ("LDCDF AC1,AC0", CHOP, ZERO, [0o040200, 0, 0o177777, 0], ONE, "0000"),
    ("LDCDF AC1,AC0", 0, ONE, [0o077777, 0o177777, 0o100000, 0], ZERO, "0110"),  # rounding overflows
    ("LDCFD AC1,AC0", DOUBLE, ZERO, [0o040200, 1, 2, 3], [0o040200, 1, 0, 0], "0000"),
    ("MODF AC1,AC0", 0, [0o040750, 0, 0, 0], ONE, [0o037600, 0, 0, 0], "0000"),
    ("LDEXP #177776,AC0", 0, THREE, ZERO, [0o037500, 0, 0, 0], "0000"),  # fraction 0.75 x 2^-2
    ("LDEXP #000200,AC0", 0, THREE, ZERO, ZERO, "0110"),
    ("LDEXP #177600,AC0", 0, THREE, ZERO, ZERO, "0100"),
    ("LDEXP #177601,AC0", 0, THREE, ZERO, [0o000300, 0, 0, 0], "0000"),
    ("LDCIF #177771,AC0", 0, ZERO, ZERO, [0o140740, 0, 0, 0], "1000"),  # -7
    ("LDCIF #000000,AC0", 0, ONE, ZERO, ZERO, "0100"),
    ("LDCLF #000001,AC0", LONG, ZERO, ZERO, [0o044200, 0, 0, 0], "0000"),  # the word is the high half: 65536
]  # fmt: skip


@pytest.mark.parametrize(("text", "fps", "ac0", "ac1", "result", "codes"), IN_REGISTERS)
def test_what_an_instruction_does_to_its_accumulator(
    text: str, fps: int, ac0: list[int], ac1: list[int], result: list[int], codes: str
) -> None:
    machine = ran(text, fps, ac0=ac0, ac1=ac1)
    assert words(machine.cpu.ac[0]) == result and status(machine) == codes
    assert machine.cpu.fps & ~0o17 == fps & ~0o17 and psw(machine) == "0000"


def test_long_integers_are_rounded_or_chopped_to_the_short_format() -> None:
    assert words(ran("LDCLF (R0),AC0", LONG, memory=[0o400, 1, 0, 0]).cpu.ac[0]) == [0o046200, 1, 0, 0]  # 2^24 + 1
    assert words(ran("LDCLF (R0),AC0", LONG | CHOP, memory=[0o400, 1, 0, 0]).cpu.ac[0]) == [0o046200, 0, 0, 0]
    assert words(ran("LDCLF (R0),AC0", LONG, memory=[0o100000, 0, 0, 0]).cpu.ac[0]) == [0o150000, 0, 0, 0]  # -2^31


def test_stcfl_stores_both_halves_in_memory_and_the_high_one_in_a_register() -> None:
    machine = ran("STCFL AC0,(R0)", LONG, ac0=[0o144200, 0o200, 0, 0])  # -65537
    assert [machine.memory.word(DATA), machine.memory.word(DATA + 2)] == [0o177776, 0o177777]
    assert status(machine) == psw(machine) == "1000"
    register = ran("STCFL AC0,R1", LONG, ac0=[0o044200, 0, 0, 0])  # 65536
    assert register.cpu.r[1] == 1


def test_stcfd_and_stcdf_store_the_other_precision() -> None:
    longer = ran("STCFD AC0,(R0)", memory=[7, 7, 7, 7], ac0=[0o040200, 1, 2, 3])
    assert [longer.memory.word(DATA + 2 * i) for i in range(4)] == [0o040200, 1, 0, 0]
    shorter = ran("STCDF AC0,(R0)", DOUBLE, memory=[7, 7, 7, 7], ac0=[0o040200, 1, 0o100000, 0])
    assert [shorter.memory.word(DATA + 2 * i) for i in range(4)] == [0o040200, 2, 7, 7]
    assert status(shorter) == "0000"


def test_stf_stores_without_rounding_and_leaves_the_codes() -> None:
    machine = ran("STF AC0,(R0)", 0o17, memory=[7, 7, 7, 7], ac0=[0o040200, 1, 0o177777, 0])
    assert [machine.memory.word(DATA + 2 * i) for i in range(4)] == [0o040200, 1, 7, 7] and status(machine) == "1111"


def test_stexp_copies_its_codes_to_the_ps() -> None:
    machine = ran("STEXP AC0,R1", 0o17, ac0=SMALLEST)
    assert machine.cpu.r[1] == 0o177601 and status(machine) == psw(machine) == "1000"


def test_modf_through_an_odd_accumulator_keeps_the_fraction_only() -> None:
    machine = ran("MODF AC2,AC1", ac1=MINUS_SEVEN_AND_A_QUARTER, ac2=ONE)
    assert words(machine.cpu.ac[1]) == [0o137600, 0, 0, 0] and machine.cpu.ac[0] == 0


def test_modf_leaves_no_fraction_of_an_integer_wider_than_the_format() -> None:
    machine = ran("MODF AC2,AC0", ac0=[0o077600, 1, 0, 0], ac2=THREE)
    assert machine.cpu.ac[0] == 0 and words(machine.cpu.ac[1]) == ZERO and status(machine) == "0110"  # overflow
    machine = ran("MODF AC2,AC0", ac0=[0o067600, 1, 0, 0], ac2=ONE)
    assert machine.cpu.ac[0] == 0 and words(machine.cpu.ac[1]) == [0o067600, 1, 0, 0] and status(machine) == "0100"


def test_modf_that_overflows_and_traps_wraps_the_integer_part() -> None:
    machine = ran("MODF AC2,AC0", FIV, ac0=LARGEST, ac2=TWO)
    assert trapped(machine) and machine.cpu.ac[0] == 0 and words(machine.cpu.ac[1]) == [0o000177, 0o177777, 0, 0]
    assert machine.cpu.fec == 0o10 and status(machine) == "0110"


def test_status_is_set_bit_by_bit_and_as_a_word() -> None:
    machine = prepared("SETD\nSETL\nSETF\nSETI\nLDFPS #177777\nCFCC\nSTFPS R1")
    seen = []
    for _ in range(7):
        machine.step()
        seen.append(machine.cpu.fps)
    assert seen == [DOUBLE, DOUBLE | LONG, LONG, 0, 0o147757, 0o147757, 0o147757]
    assert machine.cpu.r[1] == 0o147757 and psw(machine) == "1111"


def test_stst_gives_code_and_address_and_in_a_register_the_code() -> None:
    machine = prepared(".word 170010\nSTST R1\nSTST (R0)+", FID)
    machine.cpu.r[0] = DATA
    for _ in range(3):
        machine.step()
    assert machine.cpu.r[1] == 2 and machine.cpu.r[0] == DATA + 4
    assert [machine.memory.word(DATA), machine.memory.word(DATA + 2)] == [2, AT]


# --- addressing -------------------------------------------------------------------------------------------------------

STEPS = [
    ("LDF", 0, ",AC0", 4), ("LDD", DOUBLE, ",AC0", 8), ("LDCDF", 0, ",AC0", 8), ("LDCFD", DOUBLE, ",AC0", 4),
    ("LDCIF", 0, ",AC0", 2), ("LDCLF", LONG, ",AC0", 4), ("LDEXP", DOUBLE, ",AC0", 2), ("LDFPS", DOUBLE, "", 2),
    ("STFPS", DOUBLE, "", 2), ("STST", DOUBLE, "", 4), ("CLRF", 0, "", 4), ("CLRD", DOUBLE, "", 8),
]  # fmt: skip


@pytest.mark.parametrize(("name", "fps", "rest", "size"), STEPS)
def test_modes_2_and_4_step_by_the_whole_operand(name: str, fps: int, rest: str, size: int) -> None:
    assert ran(f"{name} (R0)+{rest}", fps, memory=ONE).cpu.r[0] == DATA + size
    assert ran(f"{name} -(R0){rest}", fps, memory=ONE).cpu.r[0] == DATA - size
    assert ran(f"{name} @(R0)+{rest}", fps, memory=[DATA, 0, 0, 0]).cpu.r[0] == DATA + 2


def test_an_immediate_operand_is_one_word() -> None:
    machine = ran("LDD #40500,AC0", DOUBLE)
    assert words(machine.cpu.ac[0]) == THREE and machine.cpu.pc == AT + 4
    stored = ran("STD AC0,#7\n.word 7", DOUBLE, ac0=[0o040200, 1, 2, 3])
    assert stored.memory.word(AT + 2) == 0o040200 and stored.memory.word(AT + 4) == 7 and stored.cpu.pc == AT + 4


def test_all_six_accumulators_are_reached_in_mode_0() -> None:
    machine = prepared("STF AC0,AC5\nLDF AC5,AC3", ac0=TWO)
    machine.step(), machine.step()
    assert machine.cpu.ac[5] == machine.cpu.ac[3] == number(TWO)


def test_an_instruction_that_is_given_up_leaves_accumulators_and_status() -> None:
    machine = ran("ADDD (R0)+,AC0", DOUBLE | 0o17, r0=0o157776, ac0=ONE)  # its second word is no memory
    assert machine.cpu.ac[0] == number(ONE) and machine.cpu.fps == DOUBLE | 0o17 and machine.cpu.fec == 0
    assert machine.cpu.sp == STACK - 4


# --- units ------------------------------------------------------------------------------------------------------------


def test_a_parallel_unit_traps_at_the_next_floating_instruction() -> None:
    machine = prepared("DIVF AC1,AC0\nINC R1\nSTFPS R2", profile="fast-ttl-cache", ac0=ONE)
    machine.step(), machine.step()
    assert machine.cpu.r[1] == 1 and machine.cpu.fps & FER
    machine.step()
    assert trapped(machine) and machine.memory.word(STACK - 4) == AT + 4
    assert machine.cpu.fea == AT and machine.cpu.r[2] == 0


def test_maintenance_codes_do_nothing_on_a_parallel_unit_and_are_illegal_elsewhere() -> None:
    assert ran(".word 170004", profile="fast-ttl-three-mode").cpu.fec == 0
    assert ran(".word 170004").cpu.fec == 2


def test_the_maintenance_bit_exists_on_parallel_units_only() -> None:
    assert ran("LDFPS #177777", profile="fast-ttl-cache").cpu.fps == 0o147777
    assert ran("LDFPS #177777").cpu.fps == 0o147757


@pytest.mark.parametrize("name", Catalogue().ids("profiles"))
def test_a_profile_has_a_unit_exactly_if_it_can_have_the_option(name: str) -> None:
    profile = named(name)
    option = profile.options["fpp"]
    assert isinstance(option, Known)
    assert isinstance(profile.fpp_unit, NotApplicable) == (option.peek == "never")


# --- around -----------------------------------------------------------------------------------------------------------


def test_without_the_unit_there_is_nothing_to_see() -> None:
    machine = minisim.bare("late-ttl-commercial", options=[])
    with pytest.raises(NotFittedError, match="no floating point processor"):
        _ = machine.cpu.fps
    with pytest.raises(NotFittedError, match="no floating point processor"):
        _ = machine.cpu.ac


def test_accumulators_are_set_one_by_one_or_all() -> None:
    cpu = minisim.bare().cpu
    cpu.ac = [1, 2, 3, 4, 5, 6]
    cpu.ac[5] = 7
    assert cpu.ac == [1, 2, 3, 4, 5, 7]
    with pytest.raises(ValueError, match="64 bits"):
        cpu.ac[0] = 1 << 64
    with pytest.raises(IndexError):
        cpu.ac[6] = 0
    with pytest.raises(ValueError, match="six"):
        cpu.ac = [1]


def test_reset_leaves_the_unit_alone() -> None:
    machine = prepared("RESET", DOUBLE, ac0=ONE)
    machine.step()
    assert machine.cpu.fps == DOUBLE and machine.cpu.ac[0] == number(ONE)


def test_a_frozen_machine_keeps_accumulators_and_what_is_due() -> None:
    machine = prepared("DIVF AC1,AC0\nSETF", profile="fast-ttl-cache", ac0=ONE)
    machine.step()
    other = minisim.thaw(machine.freeze())
    assert other.cpu.ac == machine.cpu.ac and other.cpu.fps == machine.cpu.fps
    other.step()
    assert other.cpu.pc == SERVICE


def test_a_loop_that_only_counts_in_an_accumulator_is_run_and_not_passed_over() -> None:
    machine = prepared(f"ADDF AC1,AC0\nBR {AT:o}", ac1=ONE)
    machine.run(limit=2000)
    assert words(machine.cpu.ac[0]) == [0o042572, 0, 0, 0]  # 1000


def test_both_names_of_a_code_give_the_same_word_and_the_first_is_shown() -> None:
    for one, two in (("ADDF", "ADDD"), ("LDCIF", "LDCLD"), ("STCFI", "STCDL"), ("STCFD", "STCDF"), ("LDCDF", "LDCFD")):
        text = "AC1,(R2)" if one.startswith("ST") else "(R2),AC1"
        codes = [assemble(f"{name} {text}").blocks[0].data for name in (one, two)]
        assert codes[0] == codes[1]
        assert disassemble([int.from_bytes(codes[0], "little")])[0].text == f"{one} {text}"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("ADDF AC0,AC4", "AC0 to AC3"),
        ("ADDF R1,AC0", "AC0 to AC5"),
        ("ADDF (R1),R0", "AC0 to AC3"),
        ("AC2: HALT", "accumulator"),
    ],
)
def test_what_is_no_accumulator_is_refused(text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        assemble(text)
