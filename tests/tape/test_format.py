"""The absolute format: worked blocks, and every kind of damage is found where it is."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from minisim.tape import Damage, block_frames, make_tape, memory_of, read_tape, stretches

DATA = Path(__file__).parents[1] / "data" / "worked-examples.yaml"
EXAMPLES = {
    example["id"]: example for example in yaml.load(DATA.read_text(encoding="utf-8"), yaml.CBaseLoader)["examples"]
}


def octal_bytes(text: str) -> bytes:
    """Frames as devices.md prints them."""
    return bytes(int(part, 8) for part in text.split())


# A leader of three, MOV #5,R0 and HALT at 1000, start at 1000, a trailer of three.
SMALL = make_tape([(0o1000, bytes([0o300, 0o25, 5, 0, 0, 0]))], 0o1000, leader=3, trailer=3)


def test_the_worked_data_block_comes_out() -> None:
    example = EXAMPLES["tape-data-block"]  # derived
    words = [int(word, 8) for word in example["setup"]["words"]]
    data = b"".join(word.to_bytes(2, "little") for word in words)
    frames = [int(frame, 8) for frame in example["expect"]["frames"]]
    assert list(block_frames(int(example["setup"]["address"], 8), data)) == frames


def test_the_worked_start_block_comes_out() -> None:
    example = EXAMPLES["tape-start-block"]  # derived
    frames = [int(frame, 8) for frame in example["expect"]["frames"]]
    assert list(block_frames(int(example["setup"]["start"], 8), b"")) == frames


def test_the_blocks_worked_out_with_the_device_facts_come_out() -> None:
    # devices.md 16, derived from [absolute-loader-wiki]
    assert block_frames(0o1000, octal_bytes("005 000 000 000")) == octal_bytes(
        "001 000 012 000 000 002 005 000 000 000 356"
    )
    assert block_frames(0o1000, b"") == octal_bytes("001 000 006 000 000 002 367")


def test_the_bootstrap_loader_assembles_to_its_printed_words() -> None:
    from minisim.cpu.assembler import assemble, words_of

    source = """
        . = 17744
start:  MOV  reader,R1
1$:     MOV  #352,R2
        INC  (R1)
2$:     TSTB (R1)
        BPL  2$
        MOVB 2(R1),17400(R2)
        INC  1$+2
        BR   1$
reader: .word 177550
"""
    expected = EXAMPLES["tape-bootstrap"]["expect"]  # [bootstrap-article], seen
    (block,) = assemble(source).blocks
    assert block.address == int(expected["at"], 8)
    assert [f"{word:06o}" for word in words_of(block)] == expected["words"]


def test_a_tape_reads_back_what_was_put_on_it() -> None:
    tape = read_tape(SMALL)
    assert tape.sound and tape.start == 0o1000
    assert (tape.frames, tape.leader, tape.trailer) == (len(SMALL), 3, 3)
    assert [(b.frame, b.address, len(b.data), b.is_transfer) for b in tape.blocks] == [
        (3, 0o1000, 6, False),
        (16, 0o1000, 0, True),
    ]


def test_a_tape_without_a_start_ends_with_an_odd_address() -> None:
    tape = read_tape(make_tape([(0, b"\1\2")], None))
    assert tape.sound and tape.start is None and tape.blocks[-1].address & 1


@given(
    st.lists(st.tuples(st.integers(0, 0o170000), st.binary(min_size=1, max_size=200)), max_size=4),
    st.one_of(st.none(), st.integers(0, 0o77777).map(lambda half: 2 * half)),
    st.integers(1, 80),
    st.integers(0, 5),
)
def test_any_program_survives_the_tape(
    blocks: list[tuple[int, bytes]], start: int | None, block_size: int, leader: int
) -> None:
    expected = {address + offset: byte for address, data in blocks for offset, byte in enumerate(data)}
    tape = read_tape(make_tape(blocks, start, block_size=block_size, leader=leader))
    assert tape.sound and tape.start == start
    assert all(len(block.data) <= block_size for block in tape.blocks)
    assert memory_of(tape) == expected
    assert {at + i: byte for at, data in stretches(expected) for i, byte in enumerate(data)} == expected


@pytest.mark.parametrize("frame", range(len(SMALL)))
def test_any_change_of_any_frame_is_found(frame: int) -> None:
    for code in set(range(256)) - {SMALL[frame]}:
        damaged = SMALL[:frame] + bytes([code]) + SMALL[frame + 1 :]
        assert not read_tape(damaged).sound, f"{code:03o} at frame {frame}"


@pytest.mark.parametrize("length", range(len(SMALL) - 3))
def test_a_tape_cut_anywhere_is_found(length: int) -> None:
    assert not read_tape(SMALL[:length]).sound


def damages(frames: bytes) -> list[Damage]:
    """What is wrong with a tape."""
    return list(read_tape(frames).damages)


def changed(frame: int, code: int) -> bytes:
    """The small tape with one frame changed."""
    return SMALL[:frame] + bytes([code]) + SMALL[frame + 1 :]


def test_a_frame_of_the_leader_or_trailer_is_named() -> None:
    assert damages(changed(1, 0o200)) == [Damage(1, "000 or 001", "200")]
    assert damages(changed(len(SMALL) - 2, 7)) == [Damage(len(SMALL) - 2, "000", "007")]


def test_a_changed_data_frame_shows_in_the_checksum_of_its_block() -> None:
    wanted = "checksum 026 of the block that begins at frame 3"
    assert damages(changed(9, 0o301)) == [Damage(15, wanted, "027")]


def test_a_changed_second_frame_is_named() -> None:
    assert damages(changed(4, 5))[0] == Damage(4, "000", "005")


def test_a_count_below_six_is_named() -> None:
    assert damages(changed(5, 5))[0] == Damage(5, "a count of at least 6.", "000005")


def test_a_truncated_block_says_how_much_is_missing() -> None:
    assert damages(SMALL[:12]) == [
        Damage(12, "4 more frames of the block that begins at frame 3", "the end of the tape")
    ]
    assert str(damages(SMALL[:12])[0]) == (
        "frame 12: the tape ends here, before 4 more frames of the block that begins at frame 3"
    )
    assert damages(SMALL[:15])[0].wanted == "1 more frame of the block that begins at frame 3"
    assert damages(SMALL[:5]) == [Damage(5, "the rest of the block that begins at frame 3", "the end of the tape")]


def test_a_tape_that_ends_inside_a_block_is_one_damage_whatever_the_block_holds() -> None:
    """001 among the data of the block that is cut is no block that begins there."""
    whole = make_tape([(0o1000, bytes([1, 0o340, 1, 0, 9, 0, 1, 7, 3, 3, 1, 0]))], None, leader=3)
    for length in range(10, 21):
        assert [damage.frame for damage in damages(whole[:length])] == [length]


def test_frames_of_a_block_that_is_cut_are_no_trailer() -> None:
    assert read_tape(SMALL[:12]).trailer == 0
    assert read_tape(SMALL + bytes(7)).trailer == read_tape(SMALL).trailer + 7


def test_a_tape_without_its_last_block_is_damaged() -> None:
    assert damages(SMALL[:16]) == [Damage(16, "a transfer block", "the end of the tape")]


def test_blocks_behind_the_damage_are_still_read() -> None:
    tape = read_tape(changed(4, 5))
    assert [block.frame for block in tape.blocks] == [16]
    assert tape.blocks[0].sound


@given(st.lists(st.sampled_from([0, 1, 2, 6, 7, 0o377]), max_size=60).map(bytes))
def test_any_frames_are_read_without_a_crash(frames: bytes) -> None:
    tape = read_tape(frames)
    assert tape.sound == (not tape.damages)
    assert all(frames[block.frame] == 1 and block.frame + block.frames <= len(frames) for block in tape.blocks)
    assert all(0 <= damage.frame <= len(frames) for damage in tape.damages)


def test_a_file_full_of_damage_is_not_listed_to_its_end() -> None:
    assert len(damages((b"\7" + block_frames(0o1000, b"xy")) * 10_000)) == 100
