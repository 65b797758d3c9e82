"""The octal console of a halted processor: what every key prints [wiki-terminal-debugger] [course-systems-lab]."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from program_rig import SWITCHES, rig

import minisim
from machine.octal_specification import OctalConsole
from minisim.machine.errors import NotFittedError
from minisim.machine.machine import Machine
from minisim.machine.records import Reason

PROFILES = (
    ("chipset-one-level", True, 16),
    ("chipset-four-level", False, 18),
    ("late-single-chip-22bit", False, 22),
    ("late-single-chip-quad", False, 22),
)
WITHOUT = ("first-hardwired", "fast-ttl-cache", "late-ttl-commercial", "small-single-chip")


def halted(profile: str, *, kb: int = 16) -> Machine:
    """A machine that stands halted at its octal console with PC 1002, what it printed thrown away."""
    machine = rig(profile, kb=kb)
    machine.octal_console = True
    machine.cpu.pc = 0o1000  # HALT
    machine.run()
    machine.console.take()
    return machine


def typed(machine: Machine, keys: str) -> str:
    """What comes back for these keys."""
    machine.console.feed(keys.encode("latin-1"))
    machine.run(100_000)
    return machine.console.take().decode("latin-1")


@pytest.mark.parametrize(("profile", "first", "bits"), PROFILES)
def test_on_a_halt_it_prints_where_the_program_would_go_on(profile: str, first: bool, bits: int) -> None:
    machine = rig(profile, kb=16)
    machine.octal_console = True
    machine.memory.put(0o1000, 0o240, 0)  # NOP, HALT
    machine.cpu.pc = 0o1000
    stop = machine.run()
    assert machine.console.take() == b"\r\n001004\r\n@"  # CR LF, PC (next instruction), CR LF, @ (seen)
    assert stop.reason is Reason.HALTED and machine.at_octal_console


@pytest.mark.parametrize(
    ("keys", "comes"),
    [
        ("1000/", "1000/ 000000 "),
        ("1000/12700\n", "1000/ 000000 12700\r\n00001002/ 000000 "),
        ("1000/\r", "1000/ 000000 \r\n@"),
        ("R3/17\r", "R3/ 000000 17\r\n@"),
        ("$3/\n", "$3/ 000000 \r\nR4/ 000000 "),
        ("R7/\n", "R7/ 001002 \r\nR0/ 000000 "),
        ("RS/", "RS/ 000000 "),
        ("17777560/", "17777560/ 000000 "),
        ("777560/", "777560/?\r\n@"),  # 22 bits: that is memory, and there is none so high
        ("8", "?\r\n@"),
        ("x", "?\r\n@"),
        ("17777000/", "17777000/?\r\n@"),  # nobody answers
    ],
)
def test_each_key_of_the_last_chip_echoes_as_documented(keys: str, comes: str) -> None:
    assert typed(halted("late-single-chip-22bit"), keys) == comes


@pytest.mark.parametrize(
    ("keys", "comes"),
    [
        ("1000/^", "1000/ 000000 ^\r\n000776/ 000000 "),
        ("1000/1234\r1000/@", "1000/ 000000 1234\r\n@1000/ 001234 @\r\n001234/ 000000 "),
        ("1000/10\r1000/_", "1000/ 000000 10\r\n@1000/ 000010 _\r\n001012/ 000000 "),
        ("M", "M000000\r\n@"),
        ("123\x7f/", "123\\/ 000000 "),
        ("177560/", "177560/ 000000 "),
    ],
)
def test_the_first_chip_set_has_further_keys(keys: str, comes: str) -> None:
    assert typed(halted("chipset-one-level"), keys) == comes


ALL_KEYS = "01234567" * 3 + "/\r\n$RSGPM^_@\x7f89xo \x00"


@settings(max_examples=60, deadline=None)
@given(
    profile=st.sampled_from(PROFILES),
    keys=st.text(ALL_KEYS, max_size=60),
    words=st.lists(st.integers(0, 0o177777), min_size=8, max_size=8),
)
def test_random_keys_print_what_the_table_of_keys_says(
    profile: tuple[str, bool, int], keys: str, words: list[int]
) -> None:
    """Against the executable reading of the table; G and P end the comparison of one line and are looked at."""
    name, first, bits = profile
    machine = halted(name, kb=8)
    machine.memory.put(0o1000, *words)
    memory = {at: machine.memory.word(at) for at in range(0, 8192, 2)}
    page = (1 << bits) - 0o20000
    console = OctalConsole(first, bits, memory, list(machine.cpu.r), machine.cpu.ps)
    for key in keys:
        if console.place and console.place[0] == "memory" and console.place[1] >= page - 2:
            return  # the I/O page changes by itself; it has tests of its own
        wanted = console.key(key)
        if console.last and console.last[0] == "memory" and console.last[1] >= page:
            return
        if console.ran_from is not None:
            runs_from(machine, key, console)
            return
        assert typed(machine, key) == wanted, (key, keys)
    assert list(machine.cpu.r) == console.registers
    assert {at: machine.memory.word(at) for at in range(0, 8192, 2)} == console.memory
    assert machine.cpu.ps == console.status


def runs_from(machine: Machine, key: str, console: OctalConsole) -> None:
    """After G or P the program runs from where the table says: its first instruction, whatever that is."""
    machine.press_halt()  # so that it is one; G stops before it
    before = machine.instructions
    said = typed(machine, key)
    assert said.startswith(key + "\r\n")
    assert machine.instructions - before == (key == "P")
    if key == "G":
        assert machine.cpu.pc == console.ran_from
    else:
        assert machine._raw.instruction_pc == console.ran_from or machine.cpu.pc & 1


@pytest.mark.parametrize(("profile", "first", "bits"), PROFILES)
def test_a_program_is_keyed_in_and_runs(profile: str, first: bool, bits: int) -> None:
    """MOV #123,R0; HALT: G initialises, sets PC, clears PS and runs; the halt prints the PC behind it."""
    machine = halted(profile)
    digits = 8 if bits == 22 else 6
    said = typed(machine, "1000/12700\n123\n0\r")
    assert said == (
        f"1000/ 000000 12700\r\n{0o1002:0{digits}o}/ 000000 123\r\n{0o1004:0{digits}o}/ 000000 0\r\n@"
    )
    assert typed(machine, "1000G") == "1000G\r\n001006\r\n@"
    assert typed(machine, "R0/") == "R0/ 000123 "
    assert machine.cpu.ps & 0o357 == 0


def test_g_initialises_the_bus_and_p_does_not() -> None:
    for key, after in (("P", 0o100), ("1002G", 0)):  # receiver interrupt enable stands, or is cleared by initialise
        machine = halted("late-single-chip-quad")
        machine.memory.put(0o1002, 0)
        machine.write(0o177560, 0o100)
        typed(machine, key)
        assert machine.read(0o177560) & 0o100 == after


def test_g_clears_ps_memory_management_and_floating_status() -> None:
    machine = halted("late-single-chip-22bit")
    machine.cpu.ps, machine.cpu.fps = 0o340, 0o7
    machine.write(0o172516, 0o20)
    machine.write(0o177572, 1)
    typed(machine, "1000G")
    assert (machine.cpu.ps, machine.cpu.fps, machine.read(0o177572), machine.read(0o172516)) == (0, 0, 0, 0)


def test_with_the_halt_line_on_g_stops_at_once_and_prints_pc() -> None:
    machine = halted("chipset-four-level")
    machine.memory.put(0o1000, 0o240)
    machine.press_halt()
    before = machine.instructions
    assert typed(machine, "1000G") == "1000G\r\n001000\r\n@"
    assert machine.instructions == before
    assert typed(machine, "P") == "P\r\n001002\r\n@"  # one instruction (unconfirmed)
    assert machine.instructions == before + 1


def test_pressing_halt_gives_the_console_a_running_program() -> None:
    machine = rig("chipset-four-level")
    machine.octal_console = True
    machine.memory.put(0o1000, 0o240, 0o776)  # NOP, BR 1000
    machine.cpu.pc = 0o1000
    assert machine.run(1000).reason is Reason.LIMIT
    machine.press_halt()
    assert machine.run(1000).reason is Reason.HALTED
    assert machine.console.take().decode()[:2] == "\r\n" and machine.at_octal_console
    machine.press_halt(False)
    machine.console.feed(b"P")
    assert machine.run(1000).reason is Reason.LIMIT
    assert not machine.at_octal_console


def test_the_first_chip_set_needs_memory_at_0_to_get_in() -> None:
    """Seen, [wiki-terminal-debugger]; the later ones do not need it."""
    for profile, said in (("chipset-one-level", b""), ("chipset-four-level", b"\r\n004002\r\n@")):
        machine = rig(profile, kb=16)
        machine.octal_console = True
        machine._raw.ram_top = machine._raw.plain_top = machine._raw.present[0] = 0
        machine.cpu.pc = 0o4000  # HALT, in a bank that is there
        assert machine.run().reason is Reason.HALTED
        assert machine.console.take() == said


def test_a_double_bus_error_tells_itself_in_the_last_digit_of_m() -> None:
    machine = rig("chipset-one-level", kb=16)
    machine.octal_console = True
    machine.memory.put(0o1000, 0o104000)  # EMT with a stack that is not there
    machine.memory.put(0o30, 0o2000, 0)
    machine.cpu.pc, machine.cpu.sp = 0o1000, 0o150000
    assert machine.run().reason is Reason.HALTED
    machine.console.take()
    assert typed(machine, "M") == "M000003\r\n@"  # 3: double bus error (unconfirmed)


@pytest.mark.parametrize("profile", WITHOUT)
def test_processors_without_one_say_so(profile: str) -> None:
    machine = rig(profile)
    with pytest.raises(NotFittedError, match="no octal console"):
        machine.octal_console = True


def test_a_bare_machine_has_no_line_for_it() -> None:
    with pytest.raises(NotFittedError, match="no console line"):
        minisim.bare("chipset-four-level").octal_console = True


@pytest.mark.parametrize("core", ["fast", "reference"])
def test_the_run_is_the_same_however_it_is_cut_and_frozen(core: str) -> None:
    keys = b"1000/12700\n123\n5200\n776\r1000G"

    def ended(slices: int) -> str:
        machine = halted("late-single-chip-quad")
        machine.core = core
        machine.console.feed(keys)
        for _ in range(slices):
            machine.run(20_000 // slices)
            machine = minisim.thaw(machine.freeze()) if slices > 1 else machine
            machine.core = core
        return machine.state_hash()

    assert ended(1) == ended(10) == ended(50)


def test_a_frozen_console_goes_on_in_the_middle_of_a_number() -> None:
    machine = halted("chipset-four-level")
    assert typed(machine, "10") == "10"
    again = minisim.thaw(machine.freeze())
    assert typed(again, "00/") == "00/ 000000 "
    assert again.memory[0:16] == machine.memory[0:16]


def test_the_switches_profile_rig_has_a_panel_instead() -> None:
    assert rig("first-hardwired", None, SWITCHES).console_kind == "panel"
    assert rig("late-ttl-commercial").console_kind == "console processor"
    assert rig("chipset-one-level").console_kind == "octal console"
    assert rig("small-single-chip").console_kind == ""
