"""`minisim trial card`: the card of a case, keyed in by a machine and by lines of a person; the rehearsal finds slips.

Words of instructions: [handbook-1969], as the assembler's own tests check them; that 2 + 3 is 5 needs no book.
"""

from __future__ import annotations

import io
import re
from pathlib import Path
from types import SimpleNamespace

import pytest

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.cli import main
from minisim.loadout.reader import read_loadout
from minisim.trials.own import restarts
from minisim.trials.reader import read_set
from minisim.trials.runner import Bench
from minisim.trials.running.bench import bench_of
from minisim.trials.toggling.card import Card, NotToggled, card_of
from minisim.trials.toggling.paper import keystrokes
from minisim.trials.toggling.rehearsal import Rehearsal, key_in, run_card

ROOT = Path(__file__).parents[2]
KITTIWAKE = ROOT / "loadouts" / "kittiwake"
GAUGE, CHART, LEDGER = (str(KITTIWAKE / f"{name}.yaml") for name in ("gauge", "chart", "ledger"))
OWN = """trials: 1
title: "Ours"
needs: [base]
source: null
evidence: derived
tables:
  - id: sums
    about: "ADD of two words"
    program: "ADD R0,R1"
    given: [r0, r1]
    then: [r1, nzvc]
    rows:
      - [right, "000002", "000003", "000005", "0000"]
      - [wrong, "000002", "000003", "000006", "0000"]
      - {id: also-wrong, given: {r0: "000001", r1: "000001", "word 001700": "000001"}, then: {r1: "000003"}}
"""
PICTURE = re.compile(r"(\d{6,8})   ([o. ]+?)(?:   |$)", re.M)


def run(capsys: pytest.CaptureFixture[str], *words: str | Path) -> tuple[int, str, str]:
    code = main(["trial", "card", *map(str, words)])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def typed(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    """What comes from the input: lines for a panel, bytes for a console."""
    stream = io.StringIO(text)
    fake = SimpleNamespace(
        isatty=lambda: False, readline=stream.readline, buffer=io.BytesIO(text.encode("ascii")), fileno=lambda: 0
    )
    monkeypatch.setattr("sys.stdin", fake)


@pytest.fixture
def own(tmp_path: Path) -> Path:
    path = tmp_path / "ours.yaml"
    path.write_text(OWN)
    return path


def card(name: str, profile: str) -> Card:
    case = next(case for case in read_set().cases if case.id == name)
    line = case.line_for(profile)
    assert line is not None
    return card_of(case, line)


# --- the card ---------------------------------------------------------------------------------------------------------


def test_a_card_for_a_panel_is_as_it_is_printed(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, own, "--loadout", GAUGE)
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[:3] == [
        "TRIAL sums/wrong: ADD of two words (derived)",
        "Source: derived from the rules",
        "2 cases fail on Tide gauge logger; this is the smallest.",
    ]
    assert "power off, plug out and in sight" in lines[4]
    begin = lines.index("[ ] Load address   000762   ... ... ... ooo oo. .o.")
    assert lines[begin + 1 : begin + 10] == [
        "[ ]   Deposit      012700   . ..o .o. ooo ... ...   at 000762  MOV #000002,R0",
        "[ ]   Deposit      000002   . ... ... ... ... .o.   at 000764",
        "[ ]   Deposit      012701   . ..o .o. ooo ... ..o   at 000766  MOV #000003,R1",
        "[ ]   Deposit      000003   . ... ... ... ... .oo   at 000770",
        "[ ]   Deposit      012706   . ..o .o. ooo ... oo.   at 000772  MOV #000700,SP",
        "[ ]   Deposit      000700   . ... ... ooo ... ...   at 000774",
        "[ ]   Deposit      000257   . ... ... .o. o.o ooo   at 000776  CCC",
        "[ ]   Deposit      060001   . oo. ... ... ... ..o   at 001000  ADD R0,R1",
        "[ ]   Deposit      000000   . ... ... ... ... ...   at 001002  HALT",
    ]
    assert lines[lines.index("Expected lamps") + 1] == "[ ] address        001004   ... ... ..o ... ... o.."
    assert "[ ] Load address   777701   ooo ooo ooo ooo ... ..o   R1" in lines
    assert "[ ] Examine: data           000006   . ... ... ... ... oo." in lines
    assert "[ ] Examine: data                    - --- --- --- --. ...   - is either   N=0 Z=0 V=0 C=0" in lines


def test_every_picture_shows_the_number_beside_it(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, own, "--loadout", GAUGE)
    found = PICTURE.findall(out)
    assert len(found) > 15
    for number, lamps in found:
        assert int(lamps.replace(" ", "").replace("o", "1").replace(".", "0"), 2) == int(number, 8)


def test_where_nothing_fails_the_smallest_case_is_printed_and_it_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "add", "--profile", "first-hardwired")
    assert code == 0
    assert re.search(r"^No case fails on first-hardwired; this is the smallest of \d+\.$", out, re.M)
    assert "no machine was named" in run(capsys, "add")[1]


def test_a_card_for_an_octal_console_is_keystrokes(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, f"{own}", "--loadout", CHART)
    lines = out.splitlines()
    assert "[ ] 000762/012700<LF>      at 000762  MOV #000002,R0" in lines
    assert "[ ] 000000<CR>             at 001002  HALT" in lines
    assert "[ ] 000762G" in lines
    assert "[ ] R1/          shows  000006   . ... ... ... ... oo." in lines


def test_a_program_that_stands_alone_is_a_card_as_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from minisim.trials import programs

    (tmp_path / "alone.s").write_text((ROOT / "tests" / "data" / "programs" / "alone.s").read_text())
    monkeypatch.setattr(programs, "FOLDER", tmp_path)
    programs.program.cache_clear()
    code, out, _ = run(capsys, "alone", "--loadout", GAUGE)
    programs.program.cache_clear()
    assert code == 0
    assert "at 001000  start: MOV #5,R0" in out
    assert "[ ] address        001012   " in out
    told = "The whole program, which halts at its end where all is well; it passes on Tide gauge logger."
    assert told in out.splitlines()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["ad"], 'there is no case, table or file "ad"'),
        (["add", "--profile", "late"], 'there is no profile "late"'),
        (["add", "--profile", "first-hardwired", "--loadout", GAUGE], "name the machine once"),
        (["formats-of-numbers-nowhere"], "there is no case, table or file"),
        (["fpp"], 'no case of "fpp" can be keyed in: '),
        (["add", "--profile", "small-single-chip"], "starts again at a HALT instead of halting"),
        (["eis", "--profile", "two-board-ttl-basic"], 'no case of "eis" can be keyed in: '),
    ],
)
def test_what_can_t_be_a_card_is_told(words: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, *words)
    assert (code, out) == (2, "")
    assert err.startswith("minisim trial card: ")
    assert told in err


# --- keyed in by a machine --------------------------------------------------------------------------------------------


def disagreeing(profile: str, every: int) -> tuple[int, list[tuple[str, list[str]]]]:
    """Cards of cases that agree on a profile, keyed in among fillers and run: how many, and which end otherwise."""
    bench, found, count = Bench(Catalogue().profile(profile)), [], 0
    with minisim.bare(profile) as machine:
        for case in read_set().cases[::every]:
            line = case.line_for(profile)
            status = bench.result(case).status
            if line is None or not status.compared or status.differs:
                continue
            try:
                made = card_of(case, line)
            except NotToggled:
                continue
            machine.power_up(0, 0)
            rehearsal = Rehearsal(machine, made)
            key_in(machine, made)
            count += 1
            if differences := rehearsal.after(run_card(machine)):
                found.append((case.id, differences))
    return count, found


@pytest.mark.parametrize("profile", ["first-hardwired", "chipset-one-level", "two-board-ttl-mmu"])
def test_a_sample_of_cards_does_on_the_machine_what_it_says(profile: str) -> None:
    count, found = disagreeing(profile, 10)
    assert count > 50
    assert found == []


@pytest.mark.slow
@pytest.mark.parametrize("profile", [name for name in Catalogue().ids("profiles") if not restarts(minisim.bare(name))])
def test_every_card_does_on_the_machine_what_it_says(profile: str) -> None:
    """But for commercial strings, whose cases rest on memory that holds zeros: `choose` leaves their cards out."""
    count, found = disagreeing(profile, 1)
    strings = [name for name, _ in found if name.startswith(("scan", "span", "moves-of-a-longest-string"))]
    assert count > 1000
    assert [one for one in found if one[0] not in strings] == []


@pytest.mark.parametrize("name", ["modes-of-words/mode-3", "add/077777-and-000001", "eis-overlap/ash-by-itself"])
def test_keystrokes_put_the_card_into_an_emulated_machine(name: str) -> None:
    """The octal console of the core takes them; nothing is put into memory but by its keys."""
    made = card(name, "chipset-four-level")
    with bench_of(read_loadout(CHART)).machine() as machine:
        rehearsal = Rehearsal(machine, made)
        machine.octal_console = True
        machine.press_halt()
        machine.run(100_000)
        machine.press_halt(False)
        for step, keys in keystrokes(made):
            machine.console.feed(keys.replace("<LF>", "\n").replace("<CR>", "\r").encode("ascii"))
            machine.run(100_000)
            assert machine.memory.word(step.address) == step.word
        assert rehearsal.wrong() == []
        machine.console.feed(f"{made.start:06o}G".encode("ascii"))
        assert rehearsal.after(machine.run(100_000)) == []


# --- rehearsed by a person --------------------------------------------------------------------------------------------

RIGHT = "load address 762\ndeposit 12700 2 12701 3 12706 700 257 60001 0\n"
START = "load address 762\nstart\n"


def rehearse(
    text: str, own: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> tuple[int, list[str]]:
    typed(monkeypatch, text)
    code, out, err = run(capsys, f"{own}", "--rehearse", GAUGE)
    assert err == ""
    return code, out[out.index("The panel of the emulated machine") :].splitlines()


@pytest.fixture
def right_only(tmp_path: Path) -> Path:
    path = tmp_path / "right.yaml"
    path.write_text("\n".join(line for line in OWN.splitlines() if "wrong" not in line) + "\n")
    return path


def test_a_card_keyed_in_without_a_slip_ends_with_0(
    right_only: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, lines = rehearse(f"{RIGHT}check\n{START}", right_only, monkeypatch, capsys)
    assert code == 0
    assert "all 9 words are as the card has them" in lines
    assert lines[-1] == "All 9 words were right, and the machine did what the card says."
    assert not any(line.startswith("wrong") for line in lines)


def test_a_wrong_word_is_told_at_once_with_address_expected_found_and_xor(
    right_only: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = f"{RIGHT.replace(' 12701', ' 12702')}check\n{START}"
    code, lines = rehearse(text, right_only, monkeypatch, capsys)
    wrong = "000766: 012701 is wanted, 012702 found, xor 000003"
    assert code == 1
    assert lines.count(f"wrong: {wrong}") == 2  # when it is keyed in, and when the machine is started with it
    assert f"8 of 9 words are right; the first that is not: {wrong}" in lines


def test_a_word_left_out_and_a_word_too_many_are_told(
    right_only: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The HALT at the end is 000000, which an empty machine would hold by chance: here it holds something else."""
    text = RIGHT.replace(" 0\n", "\n") + "load address 2000\ndeposit 7\ncheck\n"
    code, lines = rehearse(text, right_only, monkeypatch, capsys)
    assert code == 1
    assert "wrong: 002000: the card has no word there; 000007 was keyed in" in lines
    assert lines[-1] == "8 of 9 words are right; the first that is not: 001002: not keyed in yet; 000000 is wanted"


def test_a_machine_that_fails_the_trial_is_told_though_every_word_was_right(
    own: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, lines = rehearse(f"{RIGHT}{START}", own, monkeypatch, capsys)
    assert code == 1
    assert lines[-1] == "wrong: R1: 000006 is wanted, 000005 found, xor 000003"


def test_at_the_octal_console_a_wrong_word_is_told_and_put_right(
    right_only: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    keys = "000762/012700\n2\n12702\n3\n12706\n700\n257\n60001\n0\r766/12701\r762G"
    typed(monkeypatch, keys)
    code, out, _ = run(capsys, right_only, "--rehearse", CHART)
    assert code == 0
    assert out.count("wrong: ") == 1
    assert "wrong: 000766: 012701 is wanted, 012702 found, xor 000003" in out
    assert out.splitlines()[-1] == "All 9 words were right, and the machine did what the card says."


def test_where_words_can_t_be_keyed_in_it_says_why(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, own, "--rehearse", LEDGER)
    assert code == 2
    assert "the console processor of this processor is not modelled so far" in err
    assert "How words are keyed in by way of its console processor is not known here" in out
