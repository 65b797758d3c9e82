"""A step in words: operands, the numbers floating words stand for, the digits of decimal strings, traps."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

import minisim

Setup = Callable[[minisim.Machine], None]


def machine(source: str, prepare: Setup | None = None, **options: str) -> minisim.Machine:
    """A processor with this program at 1000."""
    made = minisim.bare(**{"profile": "late-ttl-commercial", **options}, memory=0o160000)
    for block in minisim.assemble(f"        . = 1000\n{source}\n").blocks:
        made.memory[block.address : block.address + len(block.data)] = block.data
    made.cpu.pc, made.cpu.sp = 0o1000, 0o1000
    if prepare is not None:
        prepare(made)
    return made


def told(source: str, prepare: Setup | None = None, **options: str) -> list[str]:
    """The lines of the first step, without the instruction itself."""
    return list(machine(source, prepare, **options).step().explanation[1:])


def with_floats(made: minisim.Machine) -> None:
    """1.5 in AC0, 2.25 at 2000: excess 200 octal, hidden bit [processor-handbooks-1972-81]."""
    made.cpu.ac[0] = 0o040300 << 48
    made.cpu.r[1] = 0o2000
    made.memory.put(0o2000, 0o040420, 0)


def test_an_addition_tells_the_three_numbers() -> None:
    assert told(" ADDF (R1),AC0", with_floats) == [
        "reads 2.25 (040420 000000) from 002000",
        "AC0: 1.5 (040300 000000) becomes 3.75 (040560 000000)",
    ]


def test_a_store_and_a_conversion_tell_what_they_write() -> None:
    assert told(" STF AC0,@#2100", with_floats) == ["writes 1.5 (040300 000000) to 002100"]
    assert told(" STCFI AC0,R2", with_floats) == ["writes 1. (000001) to R2", "R2: 000000 becomes 000001"]
    assert told(" LDCIF #-3,AC2", with_floats) == [
        "reads -3. (177775) from 001002",
        "AC2: 0 (000000 000000) becomes -3 (140500 000000)",
        "FPS: 000000 becomes 000010, codes N=1 Z=0 V=0 C=0",
    ]


LONG_INTEGERS = [
    # FPS with FL=1: of a long integer in a register, or an immediate one, the one word is the high half
    # [processor-handbooks-1972-81]
    (" LDCLF R2,AC0", "reads 196608. (000003, the high half of a long integer) from R2"),
    (" LDCLF R3,AC0", "reads -131072. (177776, the high half of a long integer) from R3"),
    (" LDCLF #1,AC0", "reads 65536. (000001, the high half of a long integer) from 001002"),
    (" LDCLF (R1),AC0", "reads 65538. (000001 000002) from 002000"),
    (" STCFL AC0,R2", "writes 65536. (000001, the high half of a long integer) to R2"),
    (" STCFL AC0,(R1)", "writes 65538. (000001 000002) to 002000"),
]


@pytest.mark.parametrize(("source", "line"), LONG_INTEGERS)
def test_a_register_holds_the_high_half_of_a_long_integer_alone(source: str, line: str) -> None:
    def prepare(made: minisim.Machine) -> None:
        made.cpu.fps = 0o100
        made.cpu.ac[0] = (0o044200 << 16 | 0o000400) << 32  # 65538 = 2 to the 16th x 1.000030517578125
        made.cpu.r[1], made.cpu.r[2], made.cpu.r[3] = 0o2000, 3, 0o177776
        made.memory.put(0o2000, 1, 2)

    step = machine(source, prepare).step()
    assert line in step.explanation
    assert step.operands[0].length == len(step.operands[0].words) == (1 if "half" in line else 2)


def test_double_precision_has_four_words() -> None:
    def prepare(made: minisim.Machine) -> None:
        with_floats(made)
        made.cpu.fps = 0o200

    assert told(" LDD (R1),AC3", prepare) == [
        "reads 2.25 (040420 000000 000000 000000) from 002000",
        "AC3: 0 (000000 000000 000000 000000) becomes 2.25 (040420 000000 000000 000000)",
    ]


def test_a_division_by_zero_tells_its_exception_and_its_trap() -> None:
    def prepare(made: minisim.Machine) -> None:
        with_floats(made)
        made.memory.put(0o244, 0o3000, 0)

    assert told(" DIVF AC5,AC0", prepare) == [
        "reads 0 (000000 000000) from AC5",
        "floating exception 4: division by zero",
        "FPS: 000000 becomes 100000, codes N=0 Z=0 V=0 C=0",
        "SP: 001000 becomes 000774",
        "trap or interrupt through 000244: PS and PC are pushed, it goes on at 003000",
    ]


def test_an_old_exception_is_not_told_again() -> None:
    made = machine(" DIVF AC5,AC0\n ADDF AC0,AC0", with_floats)
    made.cpu.fps = 0o40000  # no trap
    assert "floating exception 4: division by zero" in made.step().explanation
    assert not [line for line in made.step().explanation if "exception" in line]


def test_the_small_floating_set_tells_both_operands_and_the_result() -> None:
    """FADD: A at (R)+4, B at (R) [processor-handbooks-1972-81]; 1.5 + 2.25."""

    def prepare(made: minisim.Machine) -> None:
        made.cpu.r[1] = 0o2000
        made.memory.put(0o2000, 0o040420, 0, 0o040300, 0)

    assert told(" FADD R1", prepare, profile="microcoded-mid") == [
        "reads 1.5 (040300 000000) from 002004",
        "reads 2.25 (040420 000000) from 002000",
        "writes 3.75 (040560 000000) to 002004",
        "R1: 002000 becomes 002004",
    ]


def packed(number: int, digits: int) -> bytes:
    """Signed packed: two digits a byte, the sign last: 14 plus, 15 minus in octal [cis-users-guide], unconfirmed."""
    text = f"{abs(number):0{digits}d}{'D' if number < 0 else 'C'}"
    return bytes.fromhex(text if len(text) % 2 == 0 else f"0{text}")


@given(st.integers(-99999, 99999), st.integers(-99999, 99999))
def test_decimal_strings_are_told_by_their_digits(first: int, second: int) -> None:
    def prepare(made: minisim.Machine) -> None:
        made.memory[0o2000:0o2003] = packed(first, 5)
        made.memory[0o2010:0o2013] = packed(second, 5)
        for register, word in enumerate((0o060005, 0o2000, 0o060005, 0o2010, 0o060007, 0o2020)):
            made.cpu.r[register] = word

    lines = [line for line in told(" ADDP", prepare) if "packed" in line]
    numbers = [Decimal(line.split()[1].rstrip(",")) for line in lines]
    assert [line.split()[0] for line in lines] == ["reads", "reads", "writes"]
    assert numbers == [first, second, Decimal(first) + Decimal(second)]
    assert [line.split()[-1] for line in lines] == ["002000", "002010", "002020"]


def test_the_longest_decimal_strings_are_kept_whole() -> None:
    """31 digits with a separate sign: 32 bytes each."""
    digits = b"+" + b"1234567890" * 3 + b"1"

    def prepare(made: minisim.Machine) -> None:
        made.memory[0o2000:0o2040] = made.memory[0o2100:0o2140] = digits
        made.memory.put(0o3000, 0o050037, 0o2001, 0o050037, 0o2101, 0o050037, 0o2201)

    step = machine(" ADDNI 3000,3004,3010", prepare).step()
    assert not step.cut
    assert [operand.told for operand in step.operands] == [
        "+1234567890123456789012345678901, leading separate",
        "+1234567890123456789012345678901, leading separate",
        "+2469135780246913578024691357802, leading separate",
    ]


def test_a_long_integer_is_told_in_registers_and_in_memory() -> None:
    def prepare(made: minisim.Machine) -> None:
        made.memory[0o2000:0o2003] = packed(-70000, 5)
        made.memory.put(0o2100, 0o060005, 0o2000)
        made.cpu.r[0], made.cpu.r[1] = 0o060005, 0o2000

    # -70000 = 177776 167220 in two words, worked out by hand
    assert "writes -70000. (177776 167220) to R2,R3" in told(" CVTPL", prepare)
    assert "writes -70000. (177776 167220) to 002300" in told(" CVTPLI 2100,2300", prepare)


def test_strings_are_told_by_their_bytes() -> None:
    def prepare(made: minisim.Machine) -> None:
        made.memory[0o2400:0o2405] = b"TIDE\7"
        made.memory.put(0o2200, 5, 0o2400, 8, 0o2500)

    lines = told(" MOVCI 2200,2204,40", prepare)
    assert 'reads 5 bytes "TIDE\\007" from 002400' in lines
    assert 'writes 8 bytes "TIDE\\007   " to 002500' in lines


def test_of_a_long_string_only_the_first_accesses_are_told() -> None:
    def prepare(made: minisim.Machine) -> None:
        made.memory[0o4000:0o4200] = b"x" * 128
        made.memory.put(0o2200, 0o200, 0o4000, 0o200, 0o5000)

    step = machine(" MOVCI 2200,2204,40", prepare).step()
    assert step.cut
    assert "of its accesses only the first 128 are kept" in step.explanation
    assert f'"{"x" * 40}" ...' in "".join(step.explanation)


def test_plain_instructions_tell_accesses_registers_codes_and_where_they_go() -> None:
    def prepare(made: minisim.Machine) -> None:
        made.cpu.r[1] = 0o2000
        made.memory.put(0o2000, 0o100001)

    made = machine(" MOV (R1)+,@#2100\n BR .+10", prepare)
    assert made.step().explanation == (
        "001000: MOV (R1)+,@#002100",
        "reads 100001 from 002000",
        "writes 100001 to 002100",
        "R1: 002000 becomes 002002",
        "condition codes: N=0 Z=0 V=0 C=0 become N=1 Z=0 V=0 C=0",
    )
    assert made.step().explanation == ("001004: BR 001014", "goes on at 001014")


def test_a_trap_is_told_without_its_own_accesses() -> None:
    def prepare(made: minisim.Machine) -> None:
        made.memory.put(0o4, 0o3000, 0o340)

    assert told(" CLR @#3", prepare) == [
        "SP: 001000 becomes 000774",
        "PS: 000000 becomes 000340",
        "trap or interrupt through 000004: PS and PC are pushed, it goes on at 003000",
    ]
    assert told(" HALT") == ["the processor halts"]


@given(st.lists(st.integers(0, 0o177777), min_size=8, max_size=8), st.integers(0, 0o177777))
def test_every_word_has_an_explanation(words: list[int], register: int) -> None:
    def prepare(made: minisim.Machine) -> None:
        made.memory.put(0o1000, *words)
        made.cpu.r[0] = made.cpu.r[2] = register & 0o37
        made.cpu.r[1] = made.cpu.r[3] = register

    made = machine(" NOP", prepare)
    for _ in range(3):
        step = made.step()
        lines = step.explanation
        assert lines and all(line and line == line.strip() for line in lines)
        assert lines[0].startswith(f"{step.pc:06o}: ") or not step.words


@pytest.mark.parametrize("core", ["fast", "reference"])
def test_explaining_changes_nothing(core: str) -> None:
    plain, explained = (machine(" ADDF (R1),AC0\n STF AC0,@#2100\n HALT", with_floats) for _ in range(2))
    plain.core = core
    plain.run(limit=2)
    for _ in range(2):
        assert explained.step().explanation
    assert list(plain.cpu.ac) == list(explained.cpu.ac)
    assert plain.memory[0:0o4000] == explained.memory[0:0o4000] and plain.time_ns == explained.time_ns
