"""Polling loops are passed over exactly: whatever the loop, the limit and the due time, both cores end alike."""

from __future__ import annotations

import pytest
from core_bench import Bell, prepared
from hypothesis import given, settings
from hypothesis import strategies as st

from minisim.cpu._core import ffi, lib
from minisim.cpu.assembler import assemble
from minisim.cpu.handle import Core, Stop

PROFILE = "two-board-ttl-mmu"
VECTOR, SERVICE = 0o300, 0o4000

DEVICE = "1$: TST @#160000\n BEQ 1$\n HALT"
FLAG = "1$: TSTB @#3000\n BEQ 1$\n HALT"
LONG = "1$: BIT #2, @#160000\n BNE 2$\n MOV @#3000, R1\n CMP R1, R2\n BNE 1$\n NOP\n BR 1$\n2$: HALT"
NOWHERE = "1$: BR 1$"
COUNTING = "1$: INC R3\n TST @#160000\n BEQ 1$\n HALT"
WRITING = "1$: TST @#160000\n MOV R0, @#3002\n BEQ 1$\n HALT"
STORING = "1$: MOV @#160000, @#160000\n BR 1$"
STACK = "1$: JSR PC, 2$\n TST @#160000\n BEQ 1$\n HALT\n2$: RTS PC"


def waiting(core: int, source: str, due: int | None, *, ps: int = 0) -> Core:
    """A program that polls; the bell asks at `due` ns; its service routine sets the byte at 3000 and returns."""
    program = assemble(f". = 1000\n{source}\n. = {SERVICE:o}\n INCB @#3000\n RTI\n")
    made = prepared(PROFILE)
    for block in program.blocks:
        words = [int.from_bytes(block.data[at : at + 2], "little") for at in range(0, len(block.data), 2)]
        made.put(block.address, *words)
    made.put(VECTOR, SERVICE, 0o340)
    bell = Bell(made, (VECTOR, 4))
    if due is not None:
        bell.arm(0, due)
    made.raw.core = core
    made.ps = ps
    return made


def state(core: Core) -> tuple[object, ...]:
    """All that a program or an owner can see, and what a freeze keeps of the processor."""
    raw = core.raw
    skipped = {"passed_over", "core", "memory", "decoded", "handle", "call", "agenda", "present", "rom"}
    skipped |= {"windows", "registers", "effects", "timers", "lines", "rings", "devices", "io"}
    fields = [name for name, _ in ffi.typeof("ms_machine").fields if name not in skipped]
    plain = [bytes(ffi.buffer(ffi.addressof(raw, name))) for name in fields]
    registers = [(raw.registers[n].value, raw.registers[n].reads, raw.registers[n].writes) for n in range(1)]
    return plain, registers, bytes(ffi.buffer(raw.memory, raw.memory_bytes))


def both(source: str, due: int | None, limits: list[int], *, ps: int = 0) -> Core:
    """Runs both cores by the same limits and compares them after each; gives the fast one."""
    fast = waiting(lib.MS_CORE_FAST, source, due, ps=ps)
    reference = waiting(lib.MS_CORE_REFERENCE, source, due, ps=ps)
    for limit in limits:
        assert fast.run(limit) is reference.run(limit)
        assert state(fast) == state(reference)
    return fast


@pytest.mark.parametrize("source", [DEVICE, FLAG, LONG], ids=["device", "flag", "long"])
def test_a_loop_that_waits_is_passed_over_up_to_what_is_due(source: str) -> None:
    fast = both(source, 30_000_000, [100_000])
    assert fast.raw.passed_over > 0.9 * fast.raw.instructions > 8_000


@pytest.mark.parametrize("source", [NOWHERE, STACK], ids=["branch-to-itself", "stack"])
def test_loops_that_end_only_by_an_interrupt_or_write(source: str) -> None:
    fast = both(source, 5_000_000, [50_000])
    assert (fast.raw.passed_over > 0) == (source == NOWHERE)


@pytest.mark.parametrize("source", [COUNTING, WRITING, STORING], ids=["counting", "writing", "storing"])
def test_a_loop_that_changes_anything_is_run(source: str) -> None:
    assert both(source, 5_000_000, [20_000]).raw.passed_over == 0


def test_without_anything_due_the_limit_ends_the_loop() -> None:
    fast = both(DEVICE, None, [1_000_003])
    assert fast.raw.instructions == 1_000_003
    assert fast.raw.registers[0].reads == 500_002
    assert fast.raw.passed_over > 999_000


def test_a_read_that_has_an_effect_is_never_passed_over() -> None:
    fast = waiting(lib.MS_CORE_FAST, DEVICE, 30_000_000)
    fast.raw.registers[0].on_read, fast.raw.registers[0].on_read_count = 0, 1
    fast.raw.effects[0].op = lib.MS_DO_NOTHING
    assert fast.run(5_000) is Stop.LIMIT
    assert fast.raw.passed_over == 0


@pytest.mark.parametrize("limit", range(30, 75))
def test_every_limit_ends_the_loop_in_the_middle_of_a_round_too(limit: int) -> None:
    both(LONG, 10_000_000, [limit, limit, 1000])


READS = [
    "TST @#160000", "TSTB @#160000", "BIT #4, @#160000", "MOV @#160000, R0", "CMP R0, R1", "TST R2", "MOV @#3000, R1",
    "BITB @#3000, R0", "NOP", "CLR R4", "MOV #5, R5", "CMP @#160000, #7", "TST (R3)", "MOV 2(R3), R2", "SEC", "CLC",
    "MOV PC, R0", "BIC R0, R0", "SXT R1", "ROR R5", "XOR R4, R5", "NEG R2", "SWAB R0", "MOV SP, R4", "MFPT", "INC R4",
]  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(
    body=st.lists(st.sampled_from(READS), min_size=1, max_size=12),
    due=st.integers(1, 4_000_000),
    limits=st.lists(st.integers(1, 1500), min_size=1, max_size=4),
    ps=st.sampled_from([0, 0o340]),
)
def test_any_loop_of_reads_ends_alike_on_both_cores(body: list[str], due: int, limits: list[int], ps: int) -> None:
    loop = "1$: " + "\n ".join(body) + "\n TST @#3000\n BEQ 1$\n HALT"
    both(loop, due, limits, ps=ps)
