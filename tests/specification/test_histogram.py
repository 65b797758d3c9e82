"""The histogram of the worked examples: printed p. 26, [handbook-1969]; the code here is our own.

1000 inputs, 100 bins (decimal); values outside 1 to 100 are ignored.  The words come from our assembler; they run on
core and specification.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from random import Random

import pytest

import minisim

from .adapter import CoreDriver, Driver, SpecDriver, State
from .profiles import profile_ids

SIZE, START, BINS, INPUTS = 0o20000, 0o1000, 0o2000, 0o4000
SOURCE = """
bins = 2000
inputs = 4000
. = 1000
        MOV     #bins, R0
        MOV     #100., R1
1$:     CLR     (R0)+
        DEC     R1
        BNE     1$
        MOV     #inputs, R2
        MOV     #1000., R1
2$:     MOV     (R2)+, R3
        BLE     3$              ; below 1
        CMP     R3, #100.
        BGT     3$
        ASL     R3
        INC     bins-2(R3)
3$:     DEC     R1
        BNE     2$
        BR      .
"""


def start() -> tuple[State, list[int]]:
    """The program with 1000 inputs in memory, among them the ends of the range and negative numbers."""
    rng = Random(26)
    inputs = [rng.choice((rng.randrange(1, 101), 0, 1, 100, 101, -1, -32768, 32767)) for _ in range(1000)]
    memory = bytearray(SIZE)
    for block in minisim.assemble(SOURCE).blocks:
        memory[block.address : block.address + len(block.data)] = block.data
    for number, value in enumerate(inputs):
        memory[INPUTS + 2 * number : INPUTS + 2 * number + 2] = (value & 0o177777).to_bytes(2, "little")
    return State([[0] * 6, [0] * 6], [0o1000, 0, 0, 0], START, 0, bytes(memory)), inputs


def check_bins(memory: bytes, inputs: list[int]) -> None:
    """Each bin holds the exact count."""
    bins = [int.from_bytes(memory[BINS + 2 * n : BINS + 2 * n + 2], "little") for n in range(100)]
    counts = Counter(inputs)
    assert bins == [counts[value] for value in range(1, 101)]


@pytest.mark.parametrize("profile_id", profile_ids())
def test_the_histogram_of_the_first_handbook_counts_exactly(profile_id: str) -> None:
    state, inputs = start()
    driver = CoreDriver(profile_id, SIZE)
    driver.put(state)
    stop = driver.machine.run(limit=100_000)
    assert stop.reason is minisim.Reason.STUCK, "it ends in a jump to itself"
    check_bins(driver.take().memory, inputs)


def test_the_specification_counts_the_histogram_alike() -> None:
    state, inputs = start()
    maker: Callable[[str, int], Driver] = SpecDriver
    driver, before = maker("first-hardwired", SIZE), -1
    driver.put(state)
    while (now := driver.take(memory=False).pc) != before:
        before = now
        driver.step()
    check_bins(driver.take().memory, inputs)
