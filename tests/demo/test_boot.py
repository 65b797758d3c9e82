"""The boot ROMs: what they do with sound, damaged and odd tapes, on both machines."""

from __future__ import annotations

from pathlib import Path

import pytest

from minisim.cpu.assembler import assemble
from minisim.machine.records import Stop
from minisim.tape import block_frames, make_tape, read_tape

from .workshop import LIMIT, MEDIA, machine, tape_of

MACHINES = ["gauge", "desk"]
FEW = 400_000  # instructions; a small tape needs far less
WORD = b"checksum\n"

# Prints OK on the console and halts, so that a start that should not be is seen.
HELLO = assemble(
    """
        . = 1000
start:  MOV  #text,R0
1$:     TSTB @#177564
        BPL  1$
        MOVB (R0)+,@#177566
        BNE  1$
2$:     TSTB @#177564
        BPL  2$
        HALT
text:   .asciz /OK /
"""
)
SOUND = tape_of(HELLO)


def boot(name: str, folder: Path, tape: bytes, limit: int = FEW) -> tuple[Stop, bytes]:
    """How a run with this tape ended, and what it printed, without the fill characters."""
    demo = machine(name, folder, tape)
    stop = demo.run(limit)
    return stop, demo.console.take().replace(b"\0", b"")


@pytest.mark.parametrize("name", MACHINES)
def test_a_sound_tape_is_loaded_and_started(name: str, tmp_path: Path) -> None:
    stop, printed = boot(name, tmp_path, SOUND)
    assert (str(stop.reason), printed) == ("HALTED", b"OK ")


@pytest.mark.parametrize("name", MACHINES)
def test_what_is_loaded_is_what_the_tape_says(name: str, tmp_path: Path) -> None:
    frames = (MEDIA / "tides.papertape").read_bytes()
    demo = machine(name, tmp_path, frames[:-1] + bytes([frames[-1] ^ 1]))  # all loaded, not started
    demo.run(LIMIT)
    for block in read_tape(frames).blocks:
        assert demo.memory[block.address : block.address + len(block.data)] == block.data


@pytest.mark.parametrize("name", MACHINES)
def test_a_transfer_block_with_an_odd_address_halts(name: str, tmp_path: Path) -> None:
    tape = make_tape([(block.address, block.data) for block in HELLO.blocks], None)
    stop, printed = boot(name, tmp_path, tape)
    assert (str(stop.reason), printed) == ("HALTED", b"")
    assert 0o173000 <= stop.at <= 0o173776


@pytest.mark.parametrize("name", MACHINES)
@pytest.mark.parametrize("frame", [0, 100, 600, 1300])
def test_a_changed_data_frame_ends_in_the_word_checksum(name: str, frame: int, tmp_path: Path) -> None:
    frames = bytearray((MEDIA / "tides.papertape").read_bytes())
    data = [
        at for block in read_tape(bytes(frames)).blocks for at in range(block.frame + 6, block.frame + block.frames - 1)
    ]
    frames[min(each for each in data if each >= frame)] ^= 0o20
    stop, printed = boot(name, tmp_path, bytes(frames), LIMIT)
    assert printed == WORD
    assert str(stop.reason) == "HALTED"
    assert 0o173000 <= stop.at <= 0o173776


@pytest.mark.parametrize("name", MACHINES)
def test_no_changed_frame_of_a_block_lets_a_program_start(name: str, tmp_path: Path) -> None:
    """Every frame but the 001 of a block: without it the loader can't know that there was a block."""
    blocks = read_tape(SOUND).blocks
    for frame in (at for block in blocks for at in range(block.frame + 1, block.frame + block.frames)):
        damaged = SOUND[:frame] + bytes([SOUND[frame] ^ 0o44]) + SOUND[frame + 1 :]
        stop, printed = boot(name, tmp_path, damaged)
        assert b"OK" not in printed, frame
        assert printed in (WORD, b""), frame
        if not printed:  # out of tape in the middle of a block
            assert str(stop.reason) == "HALTED" if name == "gauge" else "LIMIT"


@pytest.mark.parametrize("name", MACHINES)
def test_a_tape_that_ends_too_soon_never_starts(name: str, tmp_path: Path) -> None:
    stop, printed = boot(name, tmp_path, SOUND[:-1])
    assert printed == b""
    assert str(stop.reason) == ("HALTED" if name == "gauge" else "LIMIT")  # only the fast reader reports ERROR


@pytest.mark.parametrize("name", MACHINES)
def test_a_count_below_six_is_taken_for_damage(name: str, tmp_path: Path) -> None:
    block = bytearray(block_frames(0o1000, b"\0\0"))
    block[2] = 3
    assert boot(name, tmp_path, bytes(5) + bytes(block) + bytes(8))[1] == WORD


@pytest.mark.parametrize("name", MACHINES)
def test_other_frames_before_a_block_are_passed_over(name: str, tmp_path: Path) -> None:
    assert boot(name, tmp_path, b"\0\377\7\0" + SOUND)[1] == b"OK "


@pytest.mark.parametrize("name", MACHINES)
def test_only_the_word_at_776_is_written_beside_the_tape(name: str, tmp_path: Path) -> None:
    tape = make_tape([(0o2000, b"\1\2\3")], None)
    demo = machine(name, tmp_path, tape)
    demo.run(FEW)
    written = {at for at, byte in enumerate(demo.memory[0:0o20000]) if byte}
    assert written <= {0o776, 0o777, 0o2000, 0o2001, 0o2002}
    assert demo.memory[0o2000:0o2003] == b"\1\2\3"
