"""The harbour dues: every line that is printed, against Python's decimal, and what the processor did for it."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import minisim
from minisim import cpu
from minisim.cpu.assembler import assemble

from .ledger_oracle import MINUS, PLUS, ZONED_MINUS, ledger, texts
from .workshop import KITTIWAKE, machine, source, tape_of

LIMIT = 50_000_000
DUES = source("dues.s")[1]
CIS = {record.mnemonic for record in cpu.records() if record.module == "cis"}
WAITING = "put:    TSTB @#transmit\n        BPL  put\n"


def tape(dues: str) -> bytes:
    """The tape of the ledger with these dues."""
    return tape_of(assemble([source("ledger.s"), ("dues.s", dues)]))


def with_entries(entries: list[str]) -> str:
    """A dues.s with other entries."""
    lines = "".join(f'        .ascii "{entry}"<12>\n' for entry in entries)
    first, rest = DUES.index('        .ascii "M;'), DUES.index("dues_end:")
    return DUES[:first] + lines + DUES[rest:]


def printed(folder: Path, dues: str | None = None) -> list[str]:
    """The lines the machine prints, from the tape of the folder or one with other dues."""
    demo = booted(folder, dues)
    stop = demo.run(LIMIT)
    assert str(stop.reason) == "HALTED"
    return lines_of(demo)


def booted(folder: Path, dues: str | None = None) -> minisim.Machine:
    """The machine with its tape in the reader."""
    return machine("ledger", folder, None if dues is None else tape(dues), "dues.papertape")


def lines_of(demo: minisim.Machine) -> list[str]:
    """What the console got, line by line."""
    text = demo.console.take().decode("ascii").rstrip("\0")
    assert text.endswith("\r\n")
    return text[:-2].split("\r\n")


def test_every_line_of_the_ledger_is_the_one_of_decimal(tmp_path: Path) -> None:
    lines = printed(tmp_path)
    assert lines == ledger(DUES)
    assert len(texts(DUES)) == 24 and len(lines) > 40
    assert "TOTAL" in lines[-1] and not any("TOTAL" in line for line in lines[:-1])


CHANGES = {
    "days": ("M;Whimbrel;B;029", "M;Whimbrel;B;030"),
    "class": ("M;Merganser;C;001", "M;Merganser;D;001"),
    "overpunch": ("C;Whimbrel;shore power;0014H", "C;Whimbrel;shore power;0014Q"),
    "zoned": ("A;Old Margit;crane error;00133u", "A;Old Margit;crane error;001335"),
    "separate": ("R;Merganser;cash;+0001475", "R;Merganser;cash;-9999999"),
    "boats": ("S;Old Margit;night watch;004999+;7", "S;Old Margit;night watch;004999-;3"),
    "club": ("M;Patience;A;007", "M;Patience (club);A;007"),
}


@pytest.mark.parametrize("what", CHANGES)
def test_the_totals_follow_one_changed_entry(what: str, tmp_path: Path) -> None:
    old, new = CHANGES[what]
    assert DUES.count(old) == 1
    changed = DUES.replace(old, new)
    lines = printed(tmp_path, changed)
    assert lines == ledger(changed)
    assert lines[-1] != ledger(DUES)[-1] and lines[-4] != ledger(DUES)[-4]


def test_entries_of_an_unknown_kind_or_class_are_named_and_passed_over(tmp_path: Path) -> None:
    dues = with_entries(["M;Auk;A;003", "X;Auk;what is this;1", "M;Auk;E;002", "C;Auk;soap;0012E"])
    lines = printed(tmp_path, dues)
    assert lines == ledger(dues)
    assert sum("not understood" in line for line in lines) == 2


def test_a_tape_with_something_else_on_it_is_refused(tmp_path: Path) -> None:
    assert printed(tmp_path, DUES.replace('"DUES;', '"DATA;')) == ["", "the tape holds no dues"]


DIGITS = st.integers(0, 999999).map("{:06}".format)
NAMES = st.sampled_from(["Auk", "Sandpiper of Kittiwake", "Ruff (club)", "x"])
WHATS = st.sampled_from(["rope", "a very long description", ""])


def last_letter(letters: str) -> st.SearchStrategy[str]:
    """Digits whose last one is a letter."""
    return st.builds(lambda digits, letter: digits + letter, DIGITS, st.sampled_from(letters))


def entry(kind: str, number: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """An entry of a kind."""
    return st.builds(lambda name, what, text: f"{kind};{name};{what};{text}", NAMES, WHATS, number)


SIGNS = st.sampled_from("+-")
ENTRIES = st.one_of(
    st.builds(lambda n, c, d: f"M;{n};{c};{d:03}", NAMES, st.sampled_from("ABCD"), st.integers(0, 999)),
    entry("C", last_letter(PLUS + MINUS)),
    entry("A", last_letter("0123456789" + ZONED_MINUS)),
    entry("D", last_letter(PLUS + MINUS).map(lambda text: text[::-1])),
    entry("R", st.builds(str.__add__, SIGNS, DIGITS)),
    entry("S", st.builds(lambda d, s, n: f"{d}{s};{n}", DIGITS, SIGNS, st.integers(1, 99))),
)


@settings(max_examples=12, deadline=None)
@given(st.lists(ENTRIES, min_size=1, max_size=25))
def test_any_entries_give_the_ledger_of_decimal(tmp_path_factory: pytest.TempPathFactory, entries: list[str]) -> None:
    dues = with_entries(entries)
    assert printed(tmp_path_factory.mktemp("dues"), dues) == ledger(dues)


def stepped(folder: Path) -> tuple[Counter[str], Counter[str]]:
    """Mnemonics in user mode and in kernel mode, counted step by step; the printing does not wait for the line."""
    name, text = source("ledger.s")
    assert text.count(WAITING) == 1
    program = assemble([(name, text.replace(WAITING, "put:    NOP\n")), ("dues.s", DUES)])
    demo = machine("ledger", folder, tape_of(program), "dues.papertape")
    demo.run(LIMIT, until=minisim.Address(0o1000))
    counts: dict[bool, Counter[str]] = {True: Counter(), False: Counter()}
    texts_of: dict[tuple[int, ...], str] = {}
    while True:
        step = demo.step()
        if str(step.reason) == "HALTED":
            return counts[True], counts[False]
        if step.words not in texts_of:
            texts_of[step.words] = minisim.disassemble(list(step.words), 0)[0].text.split()[0]
        counts[step.before.ps >> 14 == 3][texts_of[step.words]] += 1


def test_the_ledger_runs_in_user_mode_and_executes_more_than_twelve_commercial_instructions(tmp_path: Path) -> None:
    user, kernel = stepped(tmp_path)
    used = {name for name in user if name in CIS}
    families = {name.removesuffix("I") for name in used}
    assert families >= {"MOVC", "MOVRC", "MOVTC", "LOCC", "SKPC", "SCANC", "CMPC", "MATC"}
    assert families >= {"ADDP", "SUBP", "MULP", "DIVP", "CMPP", "ASHP", "CVTNP", "CVTPN", "CVTLP"}
    assert user["EMT"] > 40 and kernel["MFPI"] > 2000 and kernel["RTI"] >= user["EMT"] - 1


def test_memory_management_keeps_the_ledger_in_its_pages(tmp_path: Path) -> None:
    demo = booted(tmp_path)
    demo.run(LIMIT)
    assert demo.read(0o17777572, space="bus") & 1 == 1
    assert not demo.counters().traps.get(0o250)
    program = assemble([source("ledger.s"), ("dues.s", DUES)])
    for block in program.blocks:
        if block.address >= 0o20000:
            at = block.address - 0o20000 + 0o200000
            assert demo.memory[at : at + len(block.data)] == block.data


@pytest.mark.parametrize("at", ["20000", "0", "157776", "100000"])
def test_a_write_outside_the_work_page_is_caught_by_the_kernel(at: str, tmp_path: Path) -> None:
    name, text = source("ledger.s")
    first = "ledger: MOV  #stack,SP\n"
    assert text.count(first) == 1
    program = assemble([(name, text.replace(first, f"{first}        CLR  @#{at}\n")), ("dues.s", DUES)])
    demo = machine("ledger", tmp_path, tape_of(program), "dues.papertape")
    demo.run(LIMIT)
    assert lines_of(demo) == ["", "the kernel stops: a trap that nobody expected"]
    assert demo.counters().traps[0o250] == 1


def test_the_loadout_has_no_finding() -> None:
    assert not minisim.check(minisim.read_loadout(KITTIWAKE / "ledger.yaml")).findings
