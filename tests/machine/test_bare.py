"""A bare machine: registers, memory, options, time."""

from __future__ import annotations

import gc
import subprocess
import sys
import weakref

import pytest

import minisim

MOV_HALT = bytes([0xC0, 0x15, 0x2A, 0, 0, 0])  # MOV #52,R0; HALT
PROFILES = [
    "cached-mid-writable-store", "chipset-four-level", "chipset-four-level-quad", "chipset-four-level-sep",
    "chipset-one-level", "fast-ttl-cache", "fast-ttl-three-mode", "first-hardwired", "late-single-chip-22bit",
    "late-single-chip-quad", "late-single-chip-sep", "late-ttl-commercial", "microcoded-mid", "one-board-ttl-basic",
    "small-single-chip", "two-board-ttl-basic", "two-board-ttl-mmu",
]  # fmt: skip


def test_the_first_program_halts_with_42() -> None:
    m = minisim.bare()
    m.memory[0o1000:0o1006] = MOV_HALT
    m.cpu.pc = 0o1000
    s = m.run(limit=100)
    assert f"{s.reason} {m.cpu.r[0]}" == "HALTED 42"
    assert (s.pc, s.at, s.instructions, s.time_ns) == (0o1006, 0o1004, 2, 6000)
    assert str(s) == "the instruction at 001004 halted the processor after 2 instructions; next would be 001006"


@pytest.mark.parametrize("profile", PROFILES)
def test_every_profile_runs_it(profile: str) -> None:
    m = minisim.bare(profile=profile)
    m.memory[0o1000:0o1006] = MOV_HALT
    m.cpu.pc = 0o1000
    assert (str(m.run(limit=100).reason), m.cpu.r[0], m.profile) == ("HALTED", 42, profile)


def test_the_time_of_an_instruction_is_documented_or_said_to_be_assumed() -> None:
    average = minisim.bare("one-board-ttl-basic").timing
    assert (average.base_ns, average.basis) == (4043, "average")  # tradeoffs-1978
    printed = minisim.bare("first-hardwired").timing
    assert (printed.base_ns, printed.basis) == (3529, "instruction table")  # tradeoffs-1978: instructions not printed
    assert dict(printed.strength) == {"seen": 16, "unconfirmed": 2, "model": 8}
    assert "16 seen, 2 unconfirmed, 8 model" in printed.text
    table = minisim.bare("chipset-four-level").timing
    assert (table.base_ns, table.cycle_ns, table.basis) == (1700, 1200, "cycle table")  # wiki-chipset-four-level
    assumed = minisim.bare("late-ttl-commercial").timing
    assert (assumed.base_ns, assumed.basis) == (3000, "assumed")
    assert "assumed" in assumed.text


def test_naming_a_standard_option_is_no_error_and_an_impossible_one_is() -> None:
    assert "eis" in minisim.bare("two-board-ttl-mmu", options=["eis"]).layout.options
    with pytest.raises(minisim.ProfileError, match="can't have option 'fis'"):
        minisim.bare("two-board-ttl-mmu", options=["fis"])
    with pytest.raises(minisim.ProfileError, match="no processor profile"):
        minisim.bare("two-board-ttl-mm")


@pytest.mark.parametrize("memory", [-2, 3, 0o200000000, 1.5])
def test_impossible_memory_is_refused(memory: int) -> None:
    with pytest.raises(ValueError, match="memory is an even number"):
        minisim.bare(memory=memory)


def test_memory_is_read_and_written_by_slices_of_bytes() -> None:
    m = minisim.bare(memory=0o1000)
    m.memory[0o100:0o104] = b"tide"
    assert m.memory[0o100:0o104] == b"tide"
    assert (m.memory[0o101], m.memory.word(0o102), len(m.memory)) == (ord("i"), 0o62544, 0o1000)
    m.memory.put(0o200, 1, 0o177777)
    assert m.memory[0o200:0o204] == b"\1\0\xff\xff"
    for wrong in (slice(0o776, 0o1002), slice(-2, 0), slice(4, 2)):
        with pytest.raises(minisim.NotFittedError):
            m.memory[wrong]
    with pytest.raises(ValueError, match="4 bytes are needed"):
        m.memory[0:4] = b"abc"
    with pytest.raises(ValueError, match="without steps"):
        m.memory[0:4:2]


def test_the_view_is_read_only_sees_every_write_and_outlives_the_machine() -> None:
    m = minisim.bare(memory=0o10000)
    view = m.memory.view()
    assert (view.readonly, view.nbytes) == (True, 0o10000)
    m.memory[0:4] = b"tide"
    assert bytes(view[0:4]) == b"tide"
    del m
    gc.collect()
    assert bytes(view[0:4]) == b"tide"


def test_a_machine_is_freed_when_it_is_dropped() -> None:
    m = minisim.bare()
    gone = weakref.ref(m)
    raw = weakref.ref(m._raw)
    del m
    gc.collect()
    assert gone() is None
    assert raw() is None


def test_many_machines_live_beside_each_other() -> None:
    machines = [minisim.bare(memory=0o4000) for _ in range(50)]
    for number, m in enumerate(machines):
        m.memory[0:6] = MOV_HALT[:2] + number.to_bytes(2, "little") + bytes(2)
    assert [m.run(limit=10).reason for m in machines] == [minisim.Reason.HALTED] * 50
    assert [m.cpu.r[0] for m in machines] == list(range(50))


def test_registers_take_words_only() -> None:
    m = minisim.bare()
    m.cpu.r[3] = 0o177777
    m.cpu.sp, m.cpu.pc = 0o776, 0o1000
    assert list(m.cpu.r) == [0, 0, 0, 0o177777, 0, 0, 0o776, 0o1000]
    for wrong in (-1, 0o200000, "1"):
        with pytest.raises(ValueError, match="takes a word"):
            m.cpu.r[0] = wrong  # type: ignore[assignment]
    with pytest.raises(IndexError):
        m.cpu.r[8]


def test_stack_pointers_belong_to_modes_and_registers_to_sets() -> None:
    m = minisim.bare("fast-ttl-three-mode")
    for mode, sp in ((3, 0o300), (1, 0o100), (0, 0o400)):
        m.cpu.ps = mode << 14
        m.cpu.sp = sp
    assert [m.cpu.stack_pointer(mode) for mode in (0, 1, 3)] == [0o400, 0o100, 0o300]
    m.cpu.r[2] = 5
    m.cpu.ps = 1 << 11
    m.cpu.r[2] = 6
    assert (m.cpu.register(0, 2), m.cpu.register(1, 2)) == (5, 6)
    with pytest.raises(IndexError):
        m.cpu.register(0, 6)
    one = minisim.bare("first-hardwired")
    for asked in (lambda: one.cpu.register(1, 0), lambda: one.cpu.stack_pointer(3), lambda: one.cpu.fps):
        with pytest.raises(minisim.NotFittedError):
            asked()


def test_without_a_console_line_the_console_says_so() -> None:
    m = minisim.bare()
    for ask in (lambda: m.console.feed(b"x"), lambda: m.console.take()):
        with pytest.raises(minisim.NotFittedError, match="no console line"):
            ask()
    with pytest.raises(minisim.NotFittedError, match="no console line"):
        m.run(until=minisim.Text("x"))


def test_a_bus_cycle_that_nobody_answers_is_a_time_out() -> None:
    m = minisim.bare("two-board-ttl-mmu", memory=0o4000)
    m.write(0o100, 0o123456)
    assert m.read(0o100) == m.read(0o100, space="bus") == 0o123456
    m.write_byte(0o101, 0)
    assert m.read(0o100) == 0o56
    for address, space in ((0o4000, "program"), (0o177560, "program"), (0o777560, "bus"), (0o700000, "bus")):
        with pytest.raises(minisim.BusTimeout, match=f"{address:06o}"):
            m.read(address, space=space)
    with pytest.raises(minisim.BusTimeout):
        m.write(0o4000, 0)
    assert m.read(0o777776, space="bus") == m.read(0o177776) == m.cpu.ps
    for address in (1, -2, 0o200000):
        with pytest.raises(ValueError, match="word address"):
            m.read(address)


def test_memory_under_the_io_page_is_hidden() -> None:
    m = minisim.bare("first-hardwired")
    assert len(m.memory) == 0o160000
    with pytest.raises(ValueError, match="memory is an even number"):
        minisim.bare("first-hardwired", memory=0o200000)


def test_importing_the_facade_imports_nothing_heavy() -> None:
    code = "import sys, minisim; print([m for m in sys.modules if m.startswith('minisim.')], 'yaml' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] False"


def test_every_name_of_the_facade_can_be_had() -> None:
    assert all(getattr(minisim, name) is not None for name in minisim.__all__)
    with pytest.raises(AttributeError):
        minisim.no_such_thing  # noqa: B018
