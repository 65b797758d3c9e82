"""`minisim trial run` with an owner's images: tapes, listings, media, the sheet beside them, and `--learn`.

The programs are made here, so what they print and where they halt is known; the trap catcher (word n holds n + 2, word
n + 2 a HALT) and the hook in word 42 are from memory, firm (devices 17 of the facts).
"""

from __future__ import annotations

import hashlib
import re
import sys
from pathlib import Path

import jsonschema
import pytest
import yaml

import minisim
from minisim.cli import main
from minisim.tape import make_tape
from minisim.trials.running.images import tidied
from minisim.trials.running.sheet_schema import sheet_schema
from minisim.trials.running.sheets import read_sheets

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools"))

import boot_all

ROOT = Path(__file__).parents[2]
GAUGE = str(ROOT / "loadouts" / "kittiwake" / "gauge.yaml")

ADDER = """
        . = 200
start:  MOV #1000,SP
        MOV #ask,R0
        JSR PC,print
1$:     TSTB @#177560
        BPL 1$
        MOVB @#177562,R1
        CLR count
loop:   MOV #1000.,R2
2$:     DEC R2
        BNE 2$
        INC count
        CMP count,#3
        BNE good
        TST bad
        BEQ good
        MOV #eror,R0
        JSR PC,print
error:  HALT
good:   MOV #endp,R0
        JSR PC,print
        MOV count,R0
        ADD #'0,R0
        JSR PC,letter
        MOV #crlf,R0
        JSR PC,print
passed: TST @#42
        BEQ loop
        JSR PC,@42
        BR loop
print:  TSTB (R0)
        BEQ 9$
        MOV R0,-(SP)
        MOVB (R0),R0
        JSR PC,letter
        MOV (SP)+,R0
        INC R0
        BR print
9$:     RTS PC
letter: TSTB @#177564
        BPL letter
        MOVB R0,@#177566
        RTS PC
bad:    .word 0
count:  .word 0
ask:    .asciz <15><12>/SET SWITCHES: /
endp:   .asciz <15><12><7>/ADDER DONE /
eror:   .asciz <15><12>/SUM IS WRONG/<15><12>
crlf:   .asciz <15><12>
        .even
"""
REPLIES = '    replies: [{when-printed: "SET SWITCHES: ", reply: "\\r"}]\n'
SYMBOLS = minisim.assemble(ADDER).symbols


def tape(folder: Path, source: str = ADDER, name: str = "adder.papertape") -> Path:
    program = minisim.assemble(source)
    path = folder / name
    path.write_bytes(make_tape([(block.address, block.data) for block in program.blocks], program.start))
    return path


def with_sheet(image: Path, text: str, version: str = "") -> Path:
    version = version or hashlib.sha256(image.read_bytes()).hexdigest()
    path = image.with_name(f"{image.name}.trial.yaml")
    path.write_text(f'trial-image: 1\ntitle: "Adder"\nversions:\n  {version}:\n    called: B0\n{text}')
    return image


def run(capsys: pytest.CaptureFixture[str], *words: str | Path, loadout: str = GAUGE) -> tuple[int, str, str]:
    code = main(["trial", "run", loadout, *map(str, words)])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def verdict(out: str) -> str:
    """What stands behind the name of the image, without counts."""
    return re.sub(r" \(\d+ pass.*\)$", "", out.splitlines()[1].partition("papertape: ")[2])


# --- verdicts by the sheet --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "end",
    [
        '{text: "ADDER DONE"}',
        "{bells: 1}",
        f'{{address: "{SYMBOLS["passed"]:06o}"}}',
        '{returns-to: "037700"}',
    ],
)
def test_each_way_to_see_the_end_of_a_pass_counts_two(
    end: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    image = with_sheet(tape(tmp_path), f"{REPLIES}    end-of-pass: {end}\n")
    code, out, err = run(capsys, image)
    assert (code, err) == (0, "")
    assert verdict(out) == "pass"
    assert out.splitlines()[-1] == "1 program passed, 0 failed, 0 not run; 0 cases, 2 passes"


def test_bells_may_make_one_pass_together(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    image = with_sheet(tape(tmp_path), f"{REPLIES}    end-of-pass: {{bells: 2}}\n    passes: 3\n")
    code, out, _ = run(capsys, image, "--json")
    assert code == 0
    assert out.count("\\u0007") == 6


def test_a_halt_may_be_the_end_of_a_pass(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = "\t. = 200\nstart:\tINC R1\nend:\tHALT\n\tBR start\n"
    image = with_sheet(tape(tmp_path, source), '    end-of-pass: {halt: "000202"}\n    passes: 3\n')
    code, out, _ = run(capsys, image)
    assert (code, verdict(out)) == (0, "pass")


def test_an_error_text_fails_with_the_line_that_was_printed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = f'    memory: {{"{SYMBOLS["bad"]:06o}": "000001"}}\n    errors: ["SUM IS"]\n    passes: 5\n'
    image = with_sheet(tape(tmp_path), f'{REPLIES}    end-of-pass: {{text: "ADDER DONE"}}\n{bad}')
    code, out, _ = run(capsys, image)
    assert (code, verdict(out)) == (1, f"fail: it printed: SUM IS WRONG; it halted at {SYMBOLS['error']:06o}")
    assert "    ADDER DONE 2\n" in out.replace("\\007", "")


def test_an_error_halt_is_told_with_the_words_of_the_owners_listing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    halt = f"{SYMBOLS['error']:06o}"
    bad = (
        f'    memory: {{"{SYMBOLS["bad"]:06o}": "1"}}\n    halts: {{"{halt}": "p. 12: the third sum"}}\n    passes: 5\n'
    )
    image = with_sheet(tape(tmp_path), f'{REPLIES}    end-of-pass: {{text: "ADDER DONE"}}\n{bad}')
    code, out, _ = run(capsys, image)
    assert (code, verdict(out)) == (1, f"fail: it halted at {halt}: p. 12: the third sum")
    last = out[out.index("The last instructions:") : out.index("The code there:")].splitlines()
    assert len(last) == 18
    assert last[-2] == f"    {halt}: HALT ; the processor halts"
    assert f"    > {halt}  000000                HALT\n" in out
    assert "JSR PC,000" in out[out.index("The code there:") :]


def test_any_other_halt_is_an_error_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    image = with_sheet(tape(tmp_path, "\t. = 200\nstart:\tHALT\n"), "    end-of-pass: {bells: 1}\n")
    code, out, _ = run(capsys, image)
    assert (code, verdict(out)) == (1, "fail: it halted at 000200")


def test_a_halt_in_the_trap_catcher_is_an_unexpected_trap(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = "\t. = 4\n\t.word 6, 0, 12, 0\n\t. = 200\nstart:\tMOV #700,SP\n\tTST @#163776\n"
    image = with_sheet(tape(tmp_path, source), "    end-of-pass: {bells: 1}\n")
    code, out, _ = run(capsys, image)
    assert (code, verdict(out)) == (1, "fail: unexpected trap through 000004: it halted in the trap catcher")


@pytest.mark.parametrize(
    ("source", "hang", "told"),
    [
        ("start: BR .", "", "the instruction at 000200 jumps to itself for ever"),
        ("start: WAIT", "", "the WAIT at 000200 can't end"),
        ("start: TST R0\n BR start", "{instructions: 5000}", "it is not at its end after 5000 instructions"),
        ("start: TST R0\n BR start", "{seconds: 1}", "it is not at its end after 1 s of its own time"),
        (
            "start: TST R0\nerr: TST R1\n BR err",
            '{address: "000202"}',
            "it came to 000202, where the sheet says it hangs",
        ),
    ],
)
def test_a_hang_is_told_apart(
    source: str, hang: str, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    image = with_sheet(
        tape(tmp_path, f"\t. = 200\n{source}\n"), f"    end-of-pass: {{bells: 1}}\n    hang: {hang or 'null'}\n"
    )
    code, out, _ = run(capsys, image)
    assert (code, verdict(out)) == (1, f"fail: it hangs: {told}; 0 of 2 passes were made")


def test_switches_and_switches_in_memory_reach_the_program(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = (
        "\t. = 200\nstart:\tCMP @#177570,#123456\n\tBNE bad\n\tCMP @#176,#54321\n\tBNE bad\nend:\tHALT\nbad:\tHALT\n"
    )
    end = minisim.assemble(source).symbols["end"]
    sheet = f'    end-of-pass: {{halt: "{end:06o}"}}\n    passes: 1\n    memory: {{"000176": "054321"}}\n'
    image = with_sheet(tape(tmp_path, source), f'{sheet}    switches: "123456"\n')
    assert run(capsys, image)[0] == 0
    assert run(capsys, image, "--switches", "123457")[0] == 1


def test_what_a_person_must_do_first_keeps_it_from_running(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    image = with_sheet(tape(tmp_path), f"{REPLIES}    end-of-pass: {{bells: 1}}\n    person: put the plug on\n")
    code, out, _ = run(capsys, image)
    assert (code, verdict(out)) == (1, "needs a person: put the plug on")
    assert run(capsys, image, "--person-ready")[0] == 0


# --- without a sheet, or with another version's -----------------------------------------------------------------------


def test_without_a_sheet_a_person_judges_and_sees_the_account(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = run(capsys, tape(tmp_path, "\t. = 200\nstart:\tMOV #5,R1\n\tHALT\n"))
    assert code == 1
    wanted = "needs a person: it halted at 000204; no sheet beside it says what its end looks like (--learn drafts one)"
    assert verdict(out) == wanted
    assert "    000200: MOV #000005,R1 ; R1: 000000 becomes 000005\n" in out


def test_a_question_nobody_answers_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    image = with_sheet(tape(tmp_path), "    end-of-pass: {bells: 1}\n    hang: {instructions: 100000}\n")
    code, out, _ = run(capsys, image)
    assert code == 1
    assert verdict(out).endswith("; it waits for a key: what is typed stands under replies: in its sheet")


def test_a_sheet_of_another_version_is_not_believed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A halt address means something only with the exact version."""
    image = with_sheet(tape(tmp_path, "\t. = 200\nstart:\tHALT\n"), '    end-of-pass: {halt: "000200"}\n', "0" * 64)
    code, out, _ = run(capsys, image)
    assert code == 1
    assert "its sheet speaks of other versions: 000000000000 (B0); addresses mean something only with " in verdict(out)


def test_two_images_are_two_rows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    good = with_sheet(tape(tmp_path), f"{REPLIES}    end-of-pass: {{bells: 1}}\n")
    bad = tape(tmp_path, "\t. = 200\nstart:\tHALT\n", "other.papertape")
    code, out, _ = run(capsys, good, bad)
    assert code == 1
    assert out.splitlines()[-1] == "1 program passed, 0 failed, 0 not run, 1 needs a person; 0 cases, 2 passes"


# --- kinds of images --------------------------------------------------------------------------------------------------


def test_a_listing_as_people_type_it_is_read() -> None:
    typed = "; from the manual\n001000 012700 000005\n001004/ 005300\n1006: 001376, 0\nstart 1000\n  7\n"
    assert tidied(typed).splitlines() == [
        "", "001000: 012700 000005", "001004: 005300", "1006: 001376 0", "start 1000", "001012: 7",
    ]  # fmt: skip


def test_a_listing_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    image = tmp_path / "count.words"
    image.write_text("001000 012700 000005   ; MOV #5,R0\n005300 \n001006: 001376 000000\nstart 1000\n")
    code, out, _ = run(capsys, with_sheet(image, '    end-of-pass: {halt: "001010"}\n    passes: 1\n'))
    assert (code, out.splitlines()[-1]) == (0, "1 program passed, 0 failed, 0 not run; 0 cases, 1 pass")


def test_a_medium_is_booted_from_a_copy(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The boot ROM of the loadout reads the first block to 0 and jumps there: the block prints and halts."""
    loadout, _ = boot_all.laid_out(ROOT / "tests" / "boot" / "sep-cartridge-disk-2mb.yaml", tmp_path)
    program = minisim.assemble(
        "\t. = 0\nstart:\tNOP\n\tMOV #text,R0\n1$:\tTSTB @#177564\n\tBPL 1$\n\tMOVB (R0)+,@#177566\n"
        "\tTSTB (R0)\n\tBNE 1$\n2$:\tTSTB @#177564\n\tBPL 2$\n\tHALT\ntext:\t.asciz /DISK TEST OK/\n\t.even\n"
    )
    image = tmp_path / "owner.disk"
    whole = (tmp_path / "media" / "system.disk").stat().st_size
    image.write_bytes(program.blocks[0].data.ljust(whole, b"\0"))
    before = image.read_bytes()
    with_sheet(image, '    end-of-pass: {text: "DISK TEST OK"}\n    passes: 1\n')
    code, out, err = run(capsys, image, loadout=str(loadout))
    assert (code, err) == (0, ""), out
    assert image.read_bytes() == before
    assert {one.name for one in tmp_path.glob("owner*")} == {"owner.disk", "owner.disk.trial.yaml"}


@pytest.mark.parametrize("name", ["mux-floppy-double", "sep-floppy-single", "mux-serial-block-tape"])
def test_floppies_and_block_tapes_boot_and_answer(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Our resident program stands for an owner's: its prompt is the end of a pass, `list` makes it come again."""
    loadout, _ = boot_all.laid_out(ROOT / "tests" / "boot" / f"{name}.yaml", tmp_path)
    medium = next((tmp_path / "media").glob("system.[fb]*[ype]"))
    image = tmp_path / f"owner{medium.suffix}"
    image.write_bytes(medium.read_bytes())
    before = sorted(one.name for one in tmp_path.rglob("*"))
    with_sheet(image, '    replies: [{when-printed: "tide:", reply: "list\\r"}]\n    end-of-pass: {text: "tide:"}\n')
    code, out, err = run(capsys, image, loadout=str(loadout))
    assert (code, err) == (0, ""), out
    assert image.read_bytes() == medium.read_bytes()
    assert sorted(one.name for one in tmp_path.rglob("*")) == sorted([*before, f"{image.name}.trial.yaml"])


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("a.papertape", b"", "no absolute paper tape: the file is empty"),
        ("a.papertape", b"\x01\x00\x08\x00\x80\x00\x12\x34\x00", "the tape is damaged at frame 8: checksum "),
        ("a.disk", b"12345", "5 bytes: no image of bare sectors; its size is that of no medium"),
        ("a.words", b"001000 8\n", '"8" is no octal word (000000 to 177777)'),
        ("a.words", b"\xff\xfe", "a listing is text in UTF-8"),
        ("a.exe", b"MZ", "no image: its name ends with .exe; images end with .papertape, "),
        ("a.words", b"001000: 0\n", "nothing says where it starts: name it with --start, or as start: in its sheet"),
        ("a.words", b"157776: 0 0\nstart 1000\n", "it reaches beyond 160000, where the device registers begin"),
    ],
)
def test_an_image_that_can_t_be_used_is_told_and_nothing_runs(
    name: str, content: bytes, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    code, out, err = run(capsys, path)
    assert (code, out) == (2, "")
    assert err.startswith(f"{path}:1:1: {told}")


def test_a_medium_no_drive_takes_is_told_with_the_drives(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "a.floppy"
    path.write_bytes(bytes(256256))
    code, _, err = run(capsys, path)
    assert code == 2
    assert (
        "no drive of this machine takes floppy-8-inch-single; there are: main/a/6CF:0:0 takes block-tape-cartridge, "
        in err
    )


# --- the sheet itself -------------------------------------------------------------------------------------------------


def test_everything_wrong_with_a_sheet_is_told_at_once_with_its_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    image = with_sheet(
        tape(tmp_path),
        '    strat: "200"\n    start: "201"\n    switches: "8"\n    end-of-pass: {text: "a", bells: 1}\n'
        "    passes: 0\n    looked-at: maybe\n    replies: [{when-printed: x}]\n    hang: {minutes: 3}\n",
    )
    code, out, err = run(capsys, image)
    path = f"{image}.trial.yaml"
    assert (code, out) == (2, "")
    told = [line.removeprefix(f"{path}:") for line in err.splitlines()]
    assert [line.split(": ")[0] for line in told] == ["6:5", "7:12", "8:15", "9:18", "10:13", "11:16", "12:15", "13:12"]
    assert 'unknown key "strat"; did you mean "start"?' in told[0]
    assert "000201 is odd" in told[1]
    assert "exactly one of text, bells, address, halt, returns-to is expected" in told[3]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("loadout: 1\n", "this is a loadout; minisim check reads it"),
        ("- 1\n", 'a sheet of an image begins with "trial-image: 1"'),
        ("trial-image: 2\nversions: {a: {}}\n", "trial-image: version 1 is the only one there is"),
        ("trial-image: 1\n", "versions: a mapping from the SHA-256 of an image to its sheet is expected"),
    ],
)
def test_a_file_of_another_kind_is_said_to_be_one(
    text: str, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    image = tape(tmp_path)
    image.with_name(f"{image.name}.trial.yaml").write_text(text)
    code, _, err = run(capsys, image)
    assert code == 2
    assert told in err.splitlines()[0]


def test_the_schema_takes_what_the_reader_takes(tmp_path: Path) -> None:
    image = with_sheet(
        tape(tmp_path),
        f'{REPLIES}    looked-at: yes\n    start: "000200"\n    ps: "000340"\n    switches: "000000"\n'
        '    memory: {"000176": "000000"}\n    end-of-pass: {returns-to: "037700"}\n    passes: 2\n'
        '    errors: ["ERR"]\n    halts: {"001234": "p. 3"}\n    hang: {seconds: 60}\n    note: "ours"\n',
    )
    path = image.with_name(f"{image.name}.trial.yaml")
    sheets = read_sheets(path)
    schema = jsonschema.Draft202012Validator(sheet_schema())
    data = yaml.load(path.read_text(), yaml.CBaseLoader)
    assert [error.message for error in schema.iter_errors(data)] == []
    assert len(sheets.versions) == 1
    next(iter(data["versions"].values()))["strat"] = "200"
    assert not schema.is_valid(data)


# --- learning ---------------------------------------------------------------------------------------------------------


def test_learn_drafts_a_sheet_that_passes_once_a_person_has_looked_at_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    image = tape(tmp_path)
    path = tmp_path / "adder.papertape.trial.yaml"
    code, out, err = run(capsys, image, "--learn")
    assert (code, out, err) == (0, f"{path}: drafted; look at every line marked so, then say looked-at: yes\n", "")
    text = path.read_text()
    sheet = next(iter(read_sheets(path).versions.values()))
    assert [one.when_printed for one in sheet.replies] == ["SET SWITCHES: "]
    assert sheet.end is not None
    assert (sheet.end.kind, sheet.end.text, sheet.start) == ("text", "ADDER DONE ", 0o200)
    drafted = ("title:", "called:", "start:", "switches:", "replies:", "end-of-pass:", "hang:")
    lines = [line for line in text.splitlines() if line.strip().startswith(drafted)]
    assert len(lines) == len(drafted)
    assert all("# drafted" in line for line in lines)
    code, out, _ = run(capsys, image)
    assert (code, verdict(out).partition(":")[0]) == (1, "needs a person")
    path.write_text(text.replace("looked-at: no", "looked-at: yes"))
    assert run(capsys, image)[0] == 0


def test_learn_never_writes_over_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    image = with_sheet(tape(tmp_path), "    note: mine\n")
    path = image.with_name(f"{image.name}.trial.yaml")
    before = path.read_bytes()
    code, _, err = run(capsys, image, "--learn")
    assert code == 2
    assert "the file is there already, and a draft replaces nothing; --output names another" in err
    assert path.read_bytes() == before
    other = tmp_path / "draft.yaml"
    assert run(capsys, image, "--learn", "-o", other)[0] == 0
    assert read_sheets(other).versions


def test_learn_of_a_silent_program_names_its_halt(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    image = tape(tmp_path, "\t. = 200\nstart:\tMOV #5,R1\n\tHALT\n")
    assert run(capsys, image, "--learn")[0] == 0
    path = image.with_name(f"{image.name}.trial.yaml")
    sheet = next(iter(read_sheets(path).versions.values()))
    assert (list(sheet.halts), sheet.end) == ([0o204], None)
    assert '(end-of-pass: {halt: "000204"})' in path.read_text()


def test_learn_counts_bells(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = (". = 200", "start: MOV #1000.,R0", "1$: DEC R0", " BNE 1$", "2$: TSTB @#177564", " BPL 2$",
             " MOV #7,@#177566", " BR start")  # fmt: skip
    source = "".join(f"{line}\n" for line in lines)
    image = tape(tmp_path, source)
    assert run(capsys, image, "--learn")[0] == 0
    sheet = next(iter(read_sheets(image.with_name(f"{image.name}.trial.yaml")).versions.values()))
    assert sheet.end is not None
    assert (sheet.end.kind, sheet.end.number) == ("bells", 1)
