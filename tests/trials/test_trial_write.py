"""Our programs get into a bare machine the ways a person has: paper tape, octal console, words, hands at the panel."""

from __future__ import annotations

from pathlib import Path

import pytest
from few import few
from program_rig import SWITCHES, rig

import minisim
from minisim.cli import main
from minisim.machine.machine import Machine
from minisim.machine.panel import Panel
from minisim.trials.programs import FOLDER, header, keystrokes, names, program
from minisim.words_text import parse_words

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"
SHORT = ("first", "rtt", "spl")


def memory_kb(name: str) -> int:
    """What a program needs, without assembling it."""
    return int(header((FOLDER / f"{name}.s").read_text("ascii")).get("memory", "8"))


def content(machine: Machine, name: str) -> list[bytes]:
    """What lies where the program should."""
    return [machine.memory[one.address : one.address + len(one.data)] for one in program(name).program.blocks]


@pytest.mark.parametrize("name", few([one for one in names() if memory_kb(one) <= 28], 3))
def test_a_tape_of_each_program_starts_it_by_the_boot_rom_of_the_logger(name: str, tmp_path: Path) -> None:
    """The boot ROM reads blocks and sums by the published form of the absolute tape [absolute-loader-wiki]."""
    tape = tmp_path / f"{name}.papertape"
    assert main(["trial", "write", name, "-o", str(tape)]) == 0
    machine = minisim.build(minisim.read_loadout(KITTIWAKE / "gauge.yaml"))
    with machine:
        machine.take_out_tape()
        machine.put_in_tape(tape.read_bytes())
        start = program(name).program.start
        assert start is not None
        stop = machine.run(60_000_000, until=minisim.Address(start))
        assert stop.reason is minisim.Reason.REACHED, str(stop)
        assert content(machine, name) == [block.data for block in program(name).program.blocks]


@pytest.mark.parametrize("profile", ["chipset-one-level", "chipset-four-level", "late-single-chip-22bit"])
def test_the_octal_console_takes_a_program_and_runs_it(profile: str) -> None:
    machine = rig(profile)
    machine.octal_console = True
    machine.press_halt()
    machine.run()
    machine.press_halt(False)
    machine.console.take()
    machine.console.feed(keystrokes(program("first")))
    machine.run(10_000_000)
    assert machine.console.take().decode("ascii").endswith(f"\r\n{program('first').at('done') + 2:06o}\r\n@")


def test_hands_at_the_panel_put_the_first_program_in() -> None:
    machine = rig("first-hardwired", None, SWITCHES)
    panel = Panel(machine)
    (block,) = [one for one in program("first").program.blocks if one.data]
    panel.load_address(block.address)
    for at in range(0, len(block.data), 2):
        panel.deposit(int.from_bytes(block.data[at : at + 2], "little"))
    panel.load_address(0o1000)
    panel.start()
    machine.run(100_000)
    assert panel.halted().address == program("first").at("done") + 2


def test_words_and_listing_hold_every_word(tmp_path: Path) -> None:
    for ending in ("words", "listing"):
        assert main(["trial", "write", "first", "-o", str(tmp_path / f"first.{ending}")]) == 0
    (block,) = [one for one in program("first").program.blocks if one.data]
    words = [int.from_bytes(block.data[at : at + 2], "little") for at in range(0, len(block.data), 2)]
    memory = parse_words((tmp_path / "first.words").read_text("ascii"), "first.words")
    assert memory.start == 0o1000
    assert memory.words == {0o1000 + 2 * number: word for number, word in enumerate(words)}
    listing = (tmp_path / "first.listing").read_text("ascii")
    assert "HALT" in listing and all(f"{word:06o}" in listing for word in words)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["frist", "-o", "x.papertape"], 'there is no program "frist"'),
        (["first", "-o", "x.floppy"], "the ending is one of .papertape, .keys, .words, .listing"),
    ],
)
def test_what_can_not_be_written_is_said(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trial", "write", *words]) == 2
    assert said in capsys.readouterr().err
