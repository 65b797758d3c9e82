"""The front panel: switches, lamps, keys [console-chapter-1969]; its registers [addressing-faq]."""

from __future__ import annotations

from pathlib import Path

import pytest
from program_rig import SWITCHES, rig

from minisim.machine.errors import BusTimeout, NotFittedError
from minisim.machine.machine import Machine
from minisim.machine.panel import Panel
from minisim.machine.recording import RecordingWriter, read_recording, replay
from minisim.machine.records import Reason, Stop
from minisim.panel import PanelDialog, picture

ADD_UP = (0o012700, 0o000002, 0o060000, 0o000000)  # MOV #2,R0; ADD R0,R0; HALT


def machine_with_panel(profile: str = "first-hardwired") -> Machine:
    return rig(profile, None, SWITCHES)


@pytest.mark.parametrize("profile", ["first-hardwired", "two-board-ttl-mmu", "fast-ttl-cache", "microcoded-mid"])
def test_a_program_is_toggled_in_and_runs(profile: str) -> None:
    machine = machine_with_panel(profile)
    panel = Panel(machine)
    panel.load_address(0o1000)
    for word in ADD_UP:
        panel.deposit(word)
    assert panel.lamps.address == 0o1006
    panel.load_address(0o1000)
    assert [panel.examine().data for _ in ADD_UP] == list(ADD_UP)
    panel.load_address(0o1000)
    assert panel.start().running
    assert machine.run().reason is Reason.HALTED
    assert panel.halted().address == 0o1010  # the next instruction
    assert machine.cpu.r[0] == 4


def test_only_a_key_pressed_twice_steps_to_the_next_word() -> None:
    """That a change between examine and deposit does not step is from memory (unconfirmed)."""
    panel = Panel(machine_with_panel())
    panel.load_address(0o1000)
    acts = (panel.examine, panel.examine, lambda: panel.deposit(7), lambda: panel.deposit(7))
    addresses = [act().address for act in acts]
    assert addresses == [0o1000, 0o1002, 0o1002, 0o1004]


def test_general_registers_step_by_one() -> None:
    machine = machine_with_panel("two-board-ttl-mmu")
    machine.cpu.r[0], machine.cpu.r[1], machine.cpu.r[2] = 0o11, 0o22, 0o33
    panel = Panel(machine)
    panel.load_address(0o777700)
    assert [panel.examine().data for _ in range(3)] == [0o11, 0o22, 0o33]


def test_start_initialises_and_continue_does_not() -> None:
    for act, after in (("start", 0), ("proceed", 0o100)):
        machine = machine_with_panel()
        machine.write(0o177560, 0o100)  # receiver interrupt enable
        machine.cpu.pc = 0o1000
        panel = Panel(machine)
        panel.load_address(0o1000)
        getattr(panel, act)()
        assert machine.read(0o177560) & 0o100 == after


def test_with_the_halt_switch_on_start_only_initialises() -> None:
    """From memory (unconfirmed)."""
    machine = machine_with_panel()
    panel = Panel(machine)
    panel.halt()
    panel.load_address(0o1000)
    assert not panel.start().running and machine.cpu.pc == 0o1000


def test_where_nobody_answers_the_panel_says_so() -> None:
    panel = Panel(machine_with_panel())
    panel.load_address(0o160010)
    with pytest.raises(BusTimeout, match="nobody answers examine at 160010"):
        panel.examine()
    with pytest.raises(BusTimeout, match="nobody answers deposit at 160010"):
        panel.deposit(1)
    with pytest.raises(ValueError, match="16 switches"):
        panel.deposit(0o200000)
    with pytest.raises(NotFittedError, match="no front panel"):
        Panel(rig("chipset-four-level"))


def test_the_dialog_does_what_hands_do() -> None:
    machine = machine_with_panel()
    dialog = PanelDialog(machine)
    bits = machine.address_bits
    assert dialog.do("load address 1000").splitlines()[0] == f"address 001000  {picture(0o1000, bits)}"
    assert dialog.do("deposit 12700 2 60000 0").splitlines()[1].startswith("data    000000  . ... ... ... ... ...")
    assert dialog.do("load address 1000").startswith("address 001000")
    assert "data    012700  . ..o .o. ooo ... ..." in dialog.do("examine")
    assert dialog.do("start") == "" and dialog.runs
    machine.run()
    assert dialog.halted().startswith("address 001010") and machine.cpu.r[0] == 4
    assert "R0 000004" in dialog.do("look")
    assert dialog.do("switches 17").startswith("switches") and machine.read(0o177570) == 0o17
    assert dialog.do("halt") and dialog.panel.halt_switch and dialog.do("enable") and not dialog.panel.halt_switch


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("jump", '"jump" is no key here; there are: switches, load address'),
        ("deposit 9", '"9" is not octal'),
        ("deposit 200000", "a word has six digits up to 177777, not 200000"),
        ("examine 12", "no number belongs to this key"),
        ("switches", "the switches take one number"),
        ("load address 7777777777", "switches; 7777777777 needs more"),
        ("12", '"" is no key here'),
    ],
)
def test_what_no_hand_can_do_is_said(line: str, said: str) -> None:
    assert said in PanelDialog(machine_with_panel()).do(line)


def test_single_instructions_leave_the_halt_switch_as_it_was() -> None:
    machine = machine_with_panel()
    machine.memory.put(0o1000, *ADD_UP)
    machine.cpu.pc = 0o1000
    dialog = PanelDialog(machine)
    assert dialog.do("single instruction").startswith("address 001004")
    assert not dialog.panel.halt_switch
    assert dialog.do("single instruction").startswith("address 001006") and machine.cpu.r[0] == 4


def test_what_was_done_at_the_processor_is_recorded_and_repeated(tmp_path: Path) -> None:
    """Panel and octal console: the replay ends in the same state."""
    for profile, act in (("first-hardwired", at_panel), ("chipset-four-level", at_octal_console)):
        machine, path = rig(profile, None, SWITCHES), tmp_path / f"{profile}.rec"
        with path.open("w", encoding="ascii") as stream:
            writer = RecordingWriter(machine, stream)
            machine._inputs.recorder = writer
            stop = act(machine)
            state = writer.end(stop)
        again = rig(profile, None, SWITCHES)
        replay(again, read_recording(path))
        assert again.state_hash() == state


def at_panel(machine: Machine) -> Stop:
    dialog = PanelDialog(machine)
    for line in ("load address 1000", "deposit 12700 2 60000 0", "switches 1000", "load address", "start"):
        dialog.do(line)
    return machine.run()


def at_octal_console(machine: Machine) -> Stop:
    machine.press_halt()
    machine.enter_octal_console()
    machine.run()
    machine.console.feed(b"1000/12700\n2\n60000\n0\r")
    machine.run()
    machine.press_halt(False)
    machine.console.feed(b"1000G")
    return machine.run()
