"""Memory management seen from outside: whose address is meant, freezing, and devices behind the bus map."""

from __future__ import annotations

import pytest

import minisim

MMR0, MMR3 = 0o777572, 0o772516
WHOLE_PAGE = 0o77406  # read and write, 8 KB


def register(machine: minisim.Machine, address: int) -> int:
    """An I/O-page register at its address on the machine's bus."""
    return (0o17_000_000 if machine._raw.address_bits == 22 else 0) | address


def map_pages(machine: minisim.Machine, bases: dict[int, int]) -> None:
    """Kernel pages with these bases, the I/O page where it is, and memory management on."""
    top = 0o177600 if machine._raw.address_bits == 22 else 0o7600
    for page, base in {**{page: 0o200 * page for page in range(7)}, 7: top, **bases}.items():
        machine.write(register(machine, 0o772300 + 2 * page), WHOLE_PAGE, space="bus")
        machine.write(register(machine, 0o772340 + 2 * page), base, space="bus")
    if machine._raw.address_bits == 22:
        machine.write(register(machine, MMR3), 0o20, space="bus")
    machine.write(register(machine, MMR0), 1, space="bus")


PROFILES = ("two-board-ttl-mmu", "fast-ttl-three-mode", "fast-ttl-cache", "late-single-chip-22bit")


@pytest.mark.parametrize("profile", PROFILES)
def test_the_program_and_the_bus_see_different_addresses(profile: str) -> None:
    """facts of the table: physical = (PAR + block) x 100 + byte [os-commentary]."""
    machine = minisim.bare(profile, memory=0o400000)
    map_pages(machine, {1: 0o1460})
    machine.write(0o146146, 0o123456, space="bus")
    assert machine.read(0o20146) == 0o123456
    machine.write(0o20200, 0o111)
    assert machine.read(0o146200, space="bus") == 0o111
    assert machine.read(0o177572) & 1  # the I/O page through page 7


def test_a_page_that_is_not_there_answers_a_host_with_a_time_out() -> None:
    machine = minisim.bare("two-board-ttl-mmu")
    map_pages(machine, {})
    machine.write(0o772304, 0, space="bus")  # page 2: non-resident
    with pytest.raises(minisim.BusTimeout, match="memory management gives the running program no access at 040000"):
        machine.read(0o40000)
    assert machine.read(0o777572, space="bus") == 1  # looking leaves no trace


def test_a_frozen_machine_keeps_its_mapping_and_goes_on_the_same() -> None:
    machine = minisim.bare("late-single-chip-22bit", memory=0o1000000)
    map_pages(machine, {2: 0o4000})
    for block in minisim.assemble("  . = 1000\n MOV #40000, R1\n1$: INC (R1)\n SOB R0, 1$\n HALT\n").blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data
    machine.cpu.pc, machine.cpu.r[0] = 0o1000, 1000
    machine.run(limit=500)
    other = minisim.thaw(machine.freeze())
    other.core = "reference"
    for each in (machine, other):
        assert each.run(limit=5000).reason is minisim.Reason.HALTED
        assert each.read(0o400000, space="bus") == 1000
    assert machine.freeze() == other.freeze()


def test_a_device_reaches_22_bits_through_the_map() -> None:
    """Bus address bits 17 to 13 choose a register, whose base is added to bits 12 to 0 [wiki-mmu]."""
    machine = minisim.bare("fast-ttl-cache", memory=0o2000000)
    machine.write(0o17000000 | 0o770204, 0o3456 & ~1, space="bus")  # register 1, low word
    machine.write(0o17000000 | 0o770206, 0o5, space="bus")
    base = 0o5 << 16 | 0o3456
    machine.memory[base + 0o100 : base + 0o102] = b"\x2a\x00"
    assert machine.read(0o020100, space="dma") == 0  # the map is off: the address as it is
    machine.write(0o17000000 | MMR3, 0o40, space="bus")
    assert machine.read(0o020100, space="dma") == 0o52
    machine.write(0o020100, 0o77, space="dma")
    assert machine.read(base + 0o100, space="bus") == 0o77
    assert machine.read(0o17020100, space="bus") == 0o77  # the window of the program leads there too


def test_without_the_option_there_are_no_registers_and_no_mapping() -> None:
    machine = minisim.bare("microcoded-mid", options=())
    with pytest.raises(minisim.BusTimeout):
        machine.read(0o177572)


def test_the_next_instruction_is_read_through_the_mapping() -> None:
    machine = minisim.bare("two-board-ttl-mmu", memory=0o400000)
    map_pages(machine, {0: 0o2000})
    machine.write(0o201000, 0o005201, space="bus")
    machine.cpu.pc = 0o1000
    assert machine.next_text() == "INC R1"
