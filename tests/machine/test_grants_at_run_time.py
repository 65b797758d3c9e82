"""Interrupts and grants as the boards stand: behind a hole a board answers its registers and never interrupts."""

from __future__ import annotations

from pathlib import Path

import pytest

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.machine.build import machine_of
from minisim.wiring.resolve import resolve

TRANSMIT = 0o177564
# Order of the grants (mux-backplanes-wiki; of the mixed one from memory, firm: slot-order-posts-1999).
CHAINS = {
    "mux-twin-4-18bit": ["1AB", "1CD", "2CD", "2AB", "3AB", "3CD", "4CD", "4AB"],
    "mux-mixed-8-22bit": [
        "1AB", "2AB", "3AB", "4AB", "4CD", "5CD", "5AB", "6AB", "6CD", "7CD", "7AB", "8AB", "8CD",
    ],
}  # fmt: skip
SUPPLY = {"mux-twin-4-18bit": "mux-four-slot-box", "mux-mixed-8-22bit": "mux-eight-slot-box-later-supply"}
POSITIONS = [(plane, at) for plane, places in CHAINS.items() for at in range(len(places))]

PROGRAM = (  # enables the transmitter's interrupt and counts in R0 how often it comes
    0o012737, 0o2000, 0o64,          # MOV #2000,@#64
    0o005037, 0o66,                  # CLR @#66
    0o012737, 0o100, TRANSMIT,       # MOV #100,@#177564
    0o013701, TRANSMIT,              # MOV @#177564,R1
    0o000777,                        # BR .
)  # fmt: skip
SERVICE = (0o005200, 0o000002)  # INC R0; RTI


def loadout(folder: Path, plane: str, serial: int, hole: int | None) -> minisim.Loadout:
    """Processor first, the serial board at one position, grant cards before it but for one hole."""
    places = CHAINS[plane]
    boards = {places[0]: "{board: mid-cpu-dual, settings: {power-up: 2, event-line: off}}"}
    for at in range(1, serial):
        if at != hole:
            boards[places[at]] = "{board: grant-card}"
    line = "{board: serial-line-single, settings: {address: 777560, vector: 60, console: yes}}"
    boards[places[serial]] = line
    free = next((place for place in reversed(places) if place not in boards and place != places[hole or 0]), None)
    boards.setdefault(free or "none", "{board: mos-memory-dual, settings: {start: 0, kb: 32}}")
    slots = "".join(f"      {place}: {board}\n" for place, board in boards.items() if place != "none")
    head = f"loadout: 1\nname: Grants\nstate: planned\nboxes:\n  - id: main\n    supply: {SUPPLY[plane]}\n"
    file = folder / "grants.yaml"
    file.write_text(f"{head}    backplane: {plane}\n    slots:\n{slots}", encoding="utf-8")
    return minisim.read_loadout(file)


def interrupts(planned: minisim.Loadout) -> tuple[int, int, dict[str, int], int]:
    """How often the service ran, what the register read, requests never granted, interrupts through 64."""
    catalogue = Catalogue()
    machine = machine_of(resolve(planned, catalogue), catalogue)
    if not machine._raw.ram_top:  # no place was left for a memory board: lend it one
        pytest.skip("no room for memory")
    machine.memory.put(0o1000, *PROGRAM)
    machine.memory.put(0o2000, *SERVICE)
    machine.cpu.pc, machine.cpu.sp, machine.cpu.ps = 0o1000, 0o700, 0
    machine.run(limit=1000)
    counters = machine.counters()
    return machine.cpu.r[0], machine.cpu.r[1], dict(counters.refused), counters.interrupts.get(0o64, 0)


@pytest.mark.parametrize(("plane", "serial"), [p for p in POSITIONS if p[1]])
def test_a_board_with_no_hole_before_it_interrupts(plane: str, serial: int, tmp_path: Path) -> None:
    if serial == len(CHAINS[plane]) - 1:
        serial_loadout = loadout_with_memory_in_chain(tmp_path, plane, serial, None)
    else:
        serial_loadout = loadout(tmp_path, plane, serial, None)
    assert interrupts(serial_loadout) == (1, 0o300, {}, 1)


@pytest.mark.parametrize(
    ("plane", "serial", "hole"), [(plane, at, hole) for plane, at in POSITIONS if at > 1 for hole in range(1, at)]
)
def test_a_board_behind_a_hole_answers_and_never_interrupts(plane: str, serial: int, hole: int, tmp_path: Path) -> None:
    if serial == len(CHAINS[plane]) - 1:
        planned = loadout_with_memory_in_chain(tmp_path, plane, serial, hole)
    else:
        planned = loadout(tmp_path, plane, serial, hole)
    place = f"main/a/{CHAINS[plane][serial]}"
    assert interrupts(planned) == (0, 0o300, {place: 1}, 0)


@pytest.mark.parametrize("plane", CHAINS)
def test_the_first_position_is_the_processor_whose_own_event_line_interrupts(plane: str, tmp_path: Path) -> None:
    planned = loadout(tmp_path, plane, 2, 1)
    text = planned.path.read_text(encoding="utf-8").replace("event-line: off", "event-line: on")
    planned.path.write_text(text, encoding="utf-8")
    catalogue = Catalogue()
    machine = machine_of(resolve(minisim.read_loadout(planned.path), catalogue), catalogue)
    machine.memory.put(0o1000, 0o000777)
    machine.memory.put(0o100, 0o2000, 0)
    machine.memory.put(0o2000, *SERVICE)
    machine.cpu.pc, machine.cpu.sp, machine.cpu.ps = 0o1000, 0o700, 0
    machine.run(limit=100_000)
    assert machine.counters().interrupts[0o100] == machine.cpu.r[0] >= 9


def loadout_with_memory_in_chain(folder: Path, plane: str, serial: int, hole: int | None) -> minisim.Loadout:
    """The same with the memory board in the place of a grant card, where the last position is taken."""
    planned = loadout(folder, plane, serial, hole)
    text = planned.path.read_text(encoding="utf-8")
    memory = "{board: mos-memory-dual, settings: {start: 0, kb: 32}}"
    if memory not in text:
        text = text.replace("{board: grant-card}", memory, 1)
        planned.path.write_text(text, encoding="utf-8")
    return minisim.read_loadout(planned.path)


def test_a_request_that_no_grant_reaches_does_not_hold_up_others(tmp_path: Path) -> None:
    planned = loadout(tmp_path, "mux-twin-4-18bit", 3, 2)
    text = planned.path.read_text(encoding="utf-8")
    second = "      1CD: {board: serial-line-single, settings: {address: 776500, vector: 300}}\n"
    planned.path.write_text(text.replace("      1CD: {board: grant-card}\n", second), encoding="utf-8")
    catalogue = Catalogue()
    machine = machine_of(resolve(minisim.read_loadout(planned.path), catalogue), catalogue)
    machine.memory.put(0o1000, *PROGRAM[:-1], 0o012737, 0o100, 0o176504, 0o000777)
    machine.memory.put(0o304, 0o2000, 0)
    machine.memory.put(0o2000, *SERVICE)
    machine.cpu.pc, machine.cpu.sp, machine.cpu.ps = 0o1000, 0o700, 0
    machine.run(limit=1000)
    assert machine.counters().interrupts == {0o304: 1}


def test_among_boards_of_one_level_the_nearer_goes_first(tmp_path: Path) -> None:
    planned = loadout(tmp_path, "mux-twin-4-18bit", 3, None)
    text = planned.path.read_text(encoding="utf-8")
    second = "      1CD: {board: serial-line-single, settings: {address: 776500, vector: 300}}\n"
    planned.path.write_text(text.replace("      1CD: {board: grant-card}\n", second), encoding="utf-8")
    catalogue = Catalogue()
    machine = machine_of(resolve(minisim.read_loadout(planned.path), catalogue), catalogue)
    for address in (0o177564, 0o176504):
        machine.write(address, 0o100)
    raw = machine._raw
    assert [raw.lines[raw.request_line].vector, raw.request_level] == [0o304, 4]
