"""The fast core beside the reference core: which one runs, threads, the stack of the host."""

from __future__ import annotations

import threading

import pytest
from machine.states import raw_state

import minisim
from minisim.cpu._core import lib

# Common practice, no source: a loop with a call, memory operands and a branch on the data.
LOOP = """
. = 1000
again:  MOV     #2000, R1
        MOV     #100., R2
1$:     ADD     R2, (R1)+
        JSR     PC, turn
        SOB     R2, 1$
        BR      again
turn:   ASL     -(R1)
        ROLB    (R1)+
        INC     R1
        RTS     PC
"""


def machine(core: str, source: str = LOOP) -> minisim.Machine:
    made = minisim.bare(memory=0o20000)
    for block in minisim.assemble(source).blocks:
        made.memory[block.address : block.address + len(block.data)] = block.data
    made.cpu.pc, made.cpu.sp = 0o1000, 0o1000
    made.core = core
    return made


def test_the_fast_core_runs_unless_the_other_one_is_asked_for() -> None:
    assert minisim.bare().core == "fast"
    assert machine("reference").core == "reference"


def test_an_unknown_core_is_refused() -> None:
    with pytest.raises(ValueError, match='"fast" or "reference", not \'quick\''):
        minisim.bare().core = "quick"


def test_both_cores_end_in_the_same_state_to_the_last_byte() -> None:
    fast, reference = machine("fast"), machine("reference")
    assert fast.run(limit=123_457) == reference.run(limit=123_457)
    assert raw_state(fast) == raw_state(reference)
    assert fast.freeze() == reference.freeze()


def test_what_is_written_from_outside_is_seen_by_both_cores() -> None:
    for core in ("fast", "reference"):
        made = machine(core)
        made.run(limit=1_000)
        made.memory[0o1000:0o1002] = (0).to_bytes(2, "little")  # HALT at `again`
        assert made.run().reason is minisim.Reason.HALTED
        assert made.cpu.pc == 0o1002


def test_a_million_handlers_fit_on_a_small_stack() -> None:
    """Handlers end in tail calls where the compiler carries them; else each one would stay on the stack."""
    stops: list[minisim.Stop] = []
    before = threading.stack_size(128 * 1024)
    try:
        thread = threading.Thread(target=lambda: stops.append(machine("fast").run(limit=3_000_000)))
        thread.start()
    finally:
        threading.stack_size(before)
    thread.join()
    assert stops[0].instructions == 3_000_000


def test_machines_run_side_by_side_in_threads_as_they_do_alone() -> None:
    alone = machine("fast")
    alone.run(limit=500_000)
    made = [machine("fast" if number % 2 else "reference") for number in range(6)]
    threads = [threading.Thread(target=each.run, kwargs={"limit": 500_000}) for each in made]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert {raw_state(each) for each in made} == {raw_state(alone)}


@pytest.mark.parametrize("core", ["fast", "reference"])
def test_the_interpreter_goes_on_while_the_core_runs(core: str) -> None:
    """One call of the core; were the interpreter's lock held, nobody could see it half-way, or stop it."""
    made, limit = machine(core), 300_000_000
    thread = threading.Thread(target=lib.ms_run, args=(made._raw, limit))
    thread.start()
    while thread.is_alive() and not made._raw.instructions:
        pass
    seen = made._raw.instructions
    lib.ms_request_stop(made._raw)
    thread.join()
    assert 0 < seen < limit
    assert made._raw.stop == lib.MS_STOP_REQUEST
