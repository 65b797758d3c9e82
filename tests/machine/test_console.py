"""The console at a terminal: keys, the bench in lines, and a terminal that is put back whatever happens."""

from __future__ import annotations

import os
import signal
import sys
import termios
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pexpect
import pytest

import minisim
from machine.octal_specification import OctalConsole
from minisim.terminal import visible

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"


@pytest.fixture
def shell() -> Iterator[Any]:
    """A shell on a terminal, which survives the command and shows what state it left."""
    child = pexpect.spawn(
        "/bin/sh", env={**os.environ, "PS1": "ready>", "TERM": "dumb"}, encoding="latin-1", timeout=20
    )
    child.expect("ready>")
    yield child
    child.close(force=True)


def start(shell: Any, *options: str) -> None:
    """Boot the desktop machine on the shell's terminal."""
    shell.sendline(f"{sys.executable} -m minisim boot {KITTIWAKE / 'desk.yaml'} --pace full {' '.join(options)}")
    shell.expect("opens the bench")


def modes(shell: Any) -> list[Any]:
    """The settings of the terminal."""
    return termios.tcgetattr(shell.child_fd)[:4]


def test_a_run_to_the_halt_leaves_the_terminal_as_it_was(shell: Any) -> None:
    before = modes(shell)
    start(shell)
    shell.expect("End of the table")
    shell.expect_exact("\r\n@")  # the octal console of the halted processor
    shell.send("\x1d")
    shell.expect("bench: ")
    shell.sendline("leave")
    shell.expect("halted the processor after")
    shell.expect("ready>")
    assert modes(shell) == before
    shell.sendline("echo $?")
    shell.expect("0\r\n")


def started(shell: Any, tmp_path: Path) -> list[Any]:
    """The machine in an endless echo, its terminal in raw mode; gives the settings before."""
    import shutil

    from minisim.cpu.assembler import assemble
    from minisim.tape import make_tape

    program = assemble(
        """
            . = 1000
            MOV  #'=,R0
            BR   2$
    1$:     TSTB @#177560
            BPL  1$
            MOVB @#177562,R0
    2$:     TSTB @#177564
            BPL  2$
            MOVB R0,@#177566
            BR   1$
    """
    )
    shutil.copytree(KITTIWAKE, tmp_path / "k")
    blocks = [(block.address, block.data) for block in program.blocks]
    (tmp_path / "k" / "media" / "tides.papertape").write_bytes(make_tape(blocks, 0o1000))
    before = modes(shell)
    shell.sendline(f"{sys.executable} -m minisim boot {tmp_path / 'k' / 'desk.yaml'} --pace full")
    shell.expect("opens the bench")
    shell.expect("=")
    assert modes(shell) != before
    return before


def test_keys_go_to_the_guest_and_the_bench_looks_gives_the_console_back_and_leaves(shell: Any, tmp_path: Path) -> None:
    before = started(shell, tmp_path)
    shell.send("tide")
    shell.expect("tide")
    shell.send("\x03")
    shell.expect("\x03")  # Ctrl-C is echoed by the guest
    shell.send("\x1d")
    shell.expect("bench: ")
    shell.sendline("look")
    shell.expect(r"next +[0-7]{6}  ")
    shell.expect(r"R0 [0-7]{6}")
    shell.sendline("jump")
    shell.expect('"jump" is no word of the bench')
    shell.sendline("console")
    shell.send("ebb")
    shell.expect("ebb")
    shell.send("\x1d")
    shell.expect("bench: ")
    shell.sendline("leave")
    shell.expect("stopped on request after")
    shell.expect("ready>")
    assert modes(shell) == before
    shell.sendline("echo =$?=")
    shell.expect("=0=")


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT])
def test_a_kill_signal_leaves_the_terminal_sane(shell: Any, number: signal.Signals, tmp_path: Path) -> None:
    before = started(shell, tmp_path)
    os.kill(child_of(shell.pid), number)
    shell.expect("ready>")
    assert modes(shell) == before
    shell.sendline("echo =$?=")
    shell.expect(f"={128 + number}=")


def test_a_process_killed_outright_leaves_the_terminal_sane(shell: Any, tmp_path: Path) -> None:
    before = started(shell, tmp_path)
    os.kill(child_of(shell.pid), signal.SIGKILL)
    shell.expect("ready>")
    for _ in range(100):  # the guard works beside the shell
        if modes(shell) == before:
            break
        time.sleep(0.05)
    assert modes(shell) == before


def child_of(parent: int) -> int:
    """The process that a shell is running."""
    for _ in range(100):
        children = Path(f"/proc/{parent}/task/{parent}/children").read_text(encoding="ascii").split()
        if children:
            return int(children[0])
        time.sleep(0.05)
    raise AssertionError("the shell runs nothing")


def test_the_eighth_bit_and_fill_characters_are_not_shown() -> None:
    assert visible(b"\xf4\xe9\x64\0\xe5") == b"tide"
    assert visible(b"\xf4\0", eight_bits=True) == b"\xf4\0"


# --- the halted processor ---------------------------------------------------------------------------------------------

KEYED = "1000/12700\n123\n5200\n0\r1000/\n\n\n\rR0/7\rRS/\r1000G"
"""MOV #123,R0; INC R0; HALT: keyed in, looked at, run."""


def test_a_program_is_keyed_into_the_halted_chart_machine_and_every_character_is_the_documented_one(shell: Any) -> None:
    """Each key is typed when the last one is answered; what comes back is what the table of keys says
    ([wiki-terminal-debugger] [course-systems-lab], octal_specification.py; 18 address bits, [micronote-006])."""
    before = modes(shell)
    shell.sendline(f"{sys.executable} -m minisim boot {KITTIWAKE / 'chart.yaml'} --pace full")
    shell.expect("opens the bench")
    shell.expect_exact("RMS ERROR 15.520 MM")  # the program has drawn its curve
    shell.expect("\r\n([0-7]{6})\r\n@")
    machine = minisim.build(minisim.read_loadout(KITTIWAKE / "chart.yaml"))
    machine.run(10_000_000)
    memory = {at: machine.memory.word(at) for at in range(0, 0o2000, 2)}
    console = OctalConsole(False, 18, memory, list(machine.cpu.r), machine.cpu.ps)
    assert console.enter() == f"\r\n{shell.match.group(1)}\r\n@"
    for key in KEYED:
        shell.send(key)
        wanted = console.key(key)
        assert read_exactly(shell, len(wanted)) == wanted, key
    console.registers[0], console.registers[7] = 0o124, 0o1010
    assert read_exactly(shell, len(console.enter())) == "\r\n001010\r\n@"
    for key in "R0/":
        shell.send(key)
        wanted = console.key(key)
        assert read_exactly(shell, len(wanted)) == wanted
    shell.send("\x1d")
    shell.expect("bench: ")
    shell.sendline("leave")
    shell.expect("ready>")
    assert modes(shell) == before


def read_exactly(shell: Any, count: int) -> str:
    """So many characters as they come."""
    found = ""
    while len(found) < count:
        found += shell.read_nonblocking(count - len(found), timeout=10)
    return found


def test_the_bench_halts_a_running_program_and_p_lets_it_go_on(shell: Any, tmp_path: Path) -> None:
    started(shell, tmp_path)
    shell.send("\x1d")
    shell.expect("bench: ")
    shell.sendline("halt")
    shell.expect("\r\n[0-7]{6}\r\n@")
    shell.expect("bench: ")
    shell.sendline("console")
    shell.send("P")
    shell.expect("P")
    shell.send("flood")
    shell.expect("flood")  # the echo program again
    shell.send("\x1d")
    shell.sendline("leave")
    shell.expect("ready>")


def test_the_console_processor_halts_and_continues(shell: Any) -> None:
    """[console-manual-page]: control-P enters it without stopping the processor; prompt >>>; H halts, C continues."""
    before = modes(shell)
    shell.sendline(f"{sys.executable} -m minisim boot {KITTIWAKE / 'ledger.yaml'} --pace real")
    shell.expect("opens the bench")
    shell.send("\x10")
    shell.expect_exact("\r\n>>>")
    shell.send("H\r")
    shell.expect_exact("H\r\n>>>")
    shell.send("C\r")
    shell.expect_exact("C\r\n")
    shell.send("\x1d")
    shell.expect("bench: ")
    shell.sendline("leave")
    shell.expect("ready>")
    assert modes(shell) == before


def test_the_front_panel_takes_over_where_the_program_has_halted(shell: Any) -> None:
    before = modes(shell)
    shell.sendline(f"{sys.executable} -m minisim boot {KITTIWAKE / 'gauge.yaml'} --pace full")
    shell.expect("opens the bench")
    shell.expect_exact("the front panel is yours")
    shell.expect_exact("panel: ")
    for line, answer in (
        ("load address 1000", "address 001000"),
        ("deposit 12700 321 0", "data    000000"),
        ("load address 1000", "data"),
        ("examine", "data    012700"),
        ("examine", "address 001002"),
        ("load address 1000", "address 001000"),
        ("start", "address 001006"),  # it has run to the HALT behind
        ("ebb", '"ebb" is no key here'),
        ("load address 8", '"8" is not octal'),
    ):
        shell.sendline(line)
        shell.expect_exact(answer)
        shell.expect_exact("panel: ")
    shell.sendline("look")
    shell.expect_exact("R0 000321")
    shell.sendline("leave")
    shell.expect("ready>")
    assert modes(shell) == before
