"""Where the decimal instructions promise no result, they still keep to their strings: no trap, nothing else written."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

import minisim
import minisim.cpu

FIRST, SECOND, THIRD, SPAN = 0o2000, 0o2100, 0o2200, 0o1000
NUMERIC, PACKED = range(6), (6, 7)


def decimals() -> list[minisim.cpu.Record]:
    """The register forms of the decimal instructions: 07605x numeric, 07607x packed [cis-users-guide]."""
    return [one for one in minisim.cpu.records() if one.module == "cis" and one.value & 0o177750 == 0o076050]


def strings(word: int, kinds: tuple[int, int, int], lengths: tuple[int, int, int], spare: int) -> tuple[int, ...]:
    """R0 to R5: three descriptors; a shift has its count and rounding digit where the third one would begin."""
    of_type = PACKED if word & 0o20 else NUMERIC
    descriptors = [of_type[kind % len(of_type)] << 12 | length for kind, length in zip(kinds, lengths, strict=True)]
    fifth = spare if word & 7 == 6 else descriptors[2]
    return descriptors[0], FIRST, descriptors[1], SECOND, fifth, THIRD


@given(
    st.sampled_from(decimals()),
    st.binary(min_size=SPAN, max_size=SPAN),
    st.tuples(*[st.integers(0, 5)] * 3),
    st.tuples(*[st.integers(0, 31)] * 3),
    st.integers(0, 0o7777),
)
def test_wrong_digits_and_rounding_digits_above_9_touch_nothing_but_the_strings(
    record: minisim.cpu.Record, memory: bytes, kinds: tuple[int, int, int], lengths: tuple[int, int, int], spare: int
) -> None:
    """Wrong digits: unpredictable results without a trap (from memory, unconfirmed); so are rounding digits above 9."""
    made = minisim.bare(profile="late-ttl-commercial", memory=0o160000)
    made.memory.put(0o1000, record.value)
    made.memory[FIRST - 0o100 : FIRST - 0o100 + SPAN] = memory
    for number, word in enumerate(strings(record.value, kinds, lengths, spare)):
        made.cpu.r[number] = word
    made.cpu.pc, made.cpu.sp = 0o1000, 0o1000
    before = made.memory[0:0o160000]
    step = made.step()
    after = made.memory[0:0o160000]
    changed = {at for at, (old, new) in enumerate(zip(before, after, strict=True)) if old != new}
    written = {access.address for access in step.accesses if access.kind == "write"}
    limits = {FIRST: lengths[0], SECOND: lengths[1], THIRD: lengths[2]}
    allowed = {at + place for at, digits in limits.items() for place in range(-1, digits + 1)}
    assert changed <= written <= allowed
    assert (made.cpu.pc, made.cpu.sp) == (0o1002, 0o1000)


def test_all_sixteen_decimal_instructions_are_tried() -> None:
    assert len(decimals()) == 16, sorted(one.mnemonic for one in decimals())
