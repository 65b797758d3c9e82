"""minisim tape, asm and dis, from the files they are given to what they print and write."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from minisim.cli import main
from minisim.tape import make_tape

SOURCE = "; a small program\n        . = 1000\nstart:  MOV #5,R0\n        HALT\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to work in, with one source."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "small.s").write_text(SOURCE)
    return tmp_path


Said = tuple[int, str, str]
Say = Callable[..., Said]


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Say:
    """Run a command: exit code, output, errors."""

    def run(*words: str) -> Said:
        code = main(words)
        out, err = capsys.readouterr()
        return code, out, err

    return run


def test_make_writes_a_tape_and_lists_it(folder: Path, say: Say) -> None:
    code, out, _ = say("tape", "make", "small.s", "-o", "small.papertape", "--leader", "3", "--trailer", "2")
    assert code == 0
    assert out == (
        "small.papertape: 25 frames, leader 3, trailer 2; frames are counted from 0\n"
        "  frame  address  bytes  checksum\n"
        "      3   001000      6  027 agrees\n"
        "     16   001000      0  367 agrees; starts here\n"
        "sound: 2 blocks, 6 bytes, starts at 001000\n"
    )
    frames = make_tape([(0o1000, bytes([0o300, 0o25, 5, 0, 0, 0]))], 0o1000, leader=3, trailer=2)
    assert (folder / "small.papertape").read_bytes() == frames
    assert say("tape", "list", "small.papertape")[:2] == (0, out)


def test_a_damaged_tape_is_listed_with_the_place(folder: Path, say: Say) -> None:
    say("tape", "make", "small.s", "-o", "small.papertape", "--leader", "3")
    frames = bytearray((folder / "small.papertape").read_bytes())
    frames[9] ^= 1
    (folder / "small.papertape").write_bytes(frames)
    code, out, _ = say("tape", "list", "small.papertape")
    assert code == 1
    assert "      3   001000      6  027 is wrong, 026 is wanted\n" in out
    assert out.endswith(
        "small.papertape: damaged at frame 15: checksum 026 of the block that begins at frame 3 is wanted here, "
        "027 found\n"
    )
    code, out, _ = say("tape", "list", "small.papertape", "--json")
    record = json.loads(out)
    assert (code, record["sound"]) == (1, False)
    assert record["damages"] == [
        {"frame": 15, "wanted": "checksum 026 of the block that begins at frame 3", "found": "027"}
    ]


@pytest.mark.parametrize("frames", [bytes(50), b"this is no tape", b"\1"], ids=["zeros", "text", "cut"])
def test_a_file_that_is_no_tape_is_unusable(folder: Path, say: Say, frames: bytes) -> None:
    (folder / "x.papertape").write_bytes(frames)
    code, out, err = say("tape", "list", "x.papertape")
    assert (code, out) == (2, "")
    assert err.startswith("x.papertape:1:1: no absolute paper tape: frame ")


def test_an_empty_file_is_said_to_be_empty(folder: Path, say: Say) -> None:
    (folder / "x.papertape").write_bytes(b"")
    assert say("tape", "list", "x.papertape") == (2, "", "x.papertape:1:1: no paper tape: the file is empty\n")


@pytest.mark.parametrize(
    "words", [["asm", "-o", "x.words"], ["asm", "-o", "x.papertape"], ["tape", "make", "-o", "x.papertape"]]
)
def test_a_program_that_places_nothing_is_not_written(folder: Path, say: Say, words: list[str]) -> None:
    (folder / "none.s").write_text("; only a remark\n")
    assert say(*words, "none.s") == (2, "", "none.s:1:1: the program places no bytes\n")
    assert not list(folder.glob("x.*"))


def test_one_block_and_one_byte_are_singular(folder: Path, say: Say) -> None:
    (folder / "one.s").write_text(". = 1000\n.byte 5\n")
    assert say("asm", "one.s")[1].startswith("1 block, 1 byte, no start\n")


def test_a_missing_tape_is_unusable(folder: Path, say: Say) -> None:
    code, _, err = say("tape", "list", "none.papertape")
    assert (code, err) == (2, "none.papertape:1:1: can't read the file: no such file or directory\n")


def test_nothing_is_written_when_a_source_is_wrong(folder: Path, say: Say) -> None:
    (folder / "wrong.s").write_text("MOX R0\n")
    for words in (["tape", "make", "wrong.s", "-o", "w.papertape"], ["asm", "wrong.s", "-o", "w.words"]):
        code, out, err = say(*words)
        assert (code, out) == (2, "")
        assert err == 'wrong.s:1:1: there is no instruction MOX; did you mean "MOV"?\n'
    assert sorted(path.name for path in folder.iterdir()) == ["small.s", "wrong.s"]


def test_a_tape_can_be_cut_anew(folder: Path, say: Say) -> None:
    say("tape", "make", "small.s", "-o", "one.papertape")
    code, out, _ = say("tape", "make", "one.papertape", "-o", "two.papertape", "--block-size", "2", "--json")
    record = json.loads(out)
    assert (code, record["start"]) == (0, "001000")
    assert [(block["address"], block["bytes"]) for block in record["blocks"]] == [
        ("001000", 2),
        ("001002", 2),
        ("001004", 2),
        ("001000", 0),
    ]


def test_words_go_out_and_come_back(folder: Path, say: Say) -> None:
    assert say("asm", "small.s", "-o", "small.words")[0] == 0
    assert (folder / "small.words").read_text() == "001000: 012700 000005 000000\nstart 001000\n"
    say("tape", "make", "small.s", "-o", "one.papertape")
    say("tape", "make", "small.words", "-o", "two.papertape")
    assert (folder / "one.papertape").read_bytes() == (folder / "two.papertape").read_bytes()


def test_a_rom_image_has_its_description_beside_it(folder: Path, say: Say) -> None:
    words = ["asm", "small.s", "-o", "small.rom", "--boots", "paper-tape", "--expects", "177550", "--start", "1000"]
    assert say(*words)[0] == 0
    assert (folder / "small.rom").read_bytes() == bytes([0o300, 0o25, 5, 0, 0, 0])
    lines = (folder / "small.rom.yaml").read_text().splitlines()
    assert lines[:5] == ["rom: 1", "boots: paper-tape", "expects: 777550", "start: 1000", "words: 3"]
    assert lines[6] == "source: small.s"
    code, out, _ = say("dis", "small.rom")
    assert (code, out) == (0, "001000  012700 000005         MOV #000005,R0\n001004  000000                HALT\n")


def test_a_rom_image_of_another_hash_is_refused(folder: Path, say: Say) -> None:
    say("asm", "small.s", "-o", "small.rom", "--boots", "paper-tape")
    (folder / "small.rom").write_bytes(bytes(6))
    code, _, err = say("dis", "small.rom")
    assert code == 2 and "small.rom.yaml:" in err and "sha256" in err


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["asm", "small.s", "-o", "x.bin"], 'x.bin:1:1: the ending ".bin" is not known here'),
        (["asm", "small.s", "-o", "x.rom"], "x.rom:1:1: a ROM image needs --boots WORD"),
        (["asm", "none.s"], "none.s:1:1: can't read the file: no such file or directory"),
        (["asm", "small.s", "-o", "no/x.words"], "no/x.words:1:1: can't write the file: there is no folder /"),
        (["tape", "make", "small.s", "-o", "x.tape"], "x.tape:1:1: a tape's file name ends with .papertape"),
        (["dis", "12700", "8"], 'words:1:2: word 2: "8" is no octal word'),
        (["dis", "200000"], 'words:1:1: word 1: "200000" is no octal word'),
        (["dis", "small.s"], 'small.s:1:1: the ending ".s" is not known here'),
        (["dis", "nothing"], 'words:1:1: word 1: "nothing" is no octal word (000000 to 177777), and there is no file'),
        (["dis", "5", "small.s"], "small.s:1:1: a file stands alone"),
        (["dis", "."], ".:1:1: a folder; a .papertape, .rom or .words file is wanted"),
        (["dis", "none.words", "--at", "2000"], "none.words:1:1: --at is for words and ROM images"),
    ],
)
def test_wrong_use_is_told_in_one_line(folder: Path, say: Say, words: list[str], message: str) -> None:
    code, out, err = say(*words)
    assert (code, out) == (2, "")
    assert err.startswith(message) and err.count("\n") == 1
    assert [path.name for path in folder.iterdir()] == ["small.s"]


def test_a_source_that_is_not_utf_8_is_told_with_its_place(folder: Path, say: Say) -> None:
    (folder / "latin.s").write_bytes(b"NOP\nHALT ; caf\xe9\n")
    assert say("asm", "latin.s")[::2] == (2, "latin.s:2:11: the file is not text in UTF-8\n")


def test_words_are_taken_from_the_input(folder: Path, say: Say, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"005211 105711\n100376\n")))
    code, out, _ = say("dis", "--at", "1000", "--json")
    assert code == 0
    assert json.loads(out) == [
        {"at": "001000", "words": ["005211"], "text": "INC (R1)"},
        {"at": "001002", "words": ["105711"], "text": "TSTB (R1)"},
        {"at": "001004", "words": ["100376"], "text": "BPL 001002"},
    ]


def test_the_sound_part_of_a_damaged_tape_is_disassembled(folder: Path, say: Say) -> None:
    say("tape", "make", "small.s", "-o", "small.papertape", "--leader", "0", "--block-size", "4")
    frames = bytearray((folder / "small.papertape").read_bytes())
    frames[-1] ^= 1
    (folder / "small.papertape").write_bytes(frames)
    code, out, err = say("dis", "small.papertape")
    assert code == 1 and "MOV #000005,R0" in out and "damaged at frame" in err


def test_asm_prints_a_listing_or_json(folder: Path, say: Say) -> None:
    code, out, _ = say("asm", "small.s", "--listing")
    assert code == 0 and "    3 001000 012700 000005         start:  MOV #5,R0\n" in out
    code, out, _ = say("asm", "small.s", "--json")
    assert json.loads(out) == {
        "start": "001000",
        "blocks": [{"at": "001000", "bytes": ["300", "025", "005", "000", "000", "000"]}],
        "symbols": {"start": "001000"},
    }
