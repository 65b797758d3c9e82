"""Sentences: worked ones, and what holds of all of them, for every instruction in every mode on several profiles."""

from __future__ import annotations

import sys
from collections import Counter
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.cpu import Decoder, Record, aliases, records
from minisim.cpu._core import lib
from minisim.machine.sentences import RESERVED, meaning
from minisim.machine.telling.wording import record_of, wording
from minisim.trials.goals import Watcher
from minisim.trials.reader import read_set
from minisim.trials.runner import Bench

from .sentence_checks import check, step_of

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import oracle_samples

# Every instruction is an option or a standard of one of them; the last reads early and has one interrupt level.
PROFILES = ("late-single-chip-sep", "late-ttl-commercial", "microcoded-mid", "first-hardwired", "chipset-one-level")
MEMORY, CODE, SMALL = 0o20000, 0o1000, (0, 1, 2, 0o77777, 0o100000, 0o177777, 0o177, 0o200, 0o377)
MOST = 300  # sentences of one instruction in a sample: some loops are long


class Listener(Watcher):
    """Tells every step of a sample and looks at the sentence."""

    def __init__(self) -> None:
        super().__init__()
        self.told: Counter[str] = Counter()

    def step(self, raw: Any) -> int:
        stop, step = step_of(raw)
        record = record_of(step.words[0]) if step.words else None
        name = record.mnemonic if record else ""
        self.told[name] += 1
        if self.told[name] <= MOST:
            check(step, step.sentence)
        return stop


# --- the table --------------------------------------------------------------------------------------------------------


def test_every_record_says_what_it_does() -> None:
    for record in records():
        assert record.does and record.does == record.does.strip(), record.mnemonic
        assert record.does.count("{") == record.does.count("}"), record.mnemonic
        assert wording(record, record.value).reasons.keys() <= set("NZVC"), record.mnemonic


def test_a_second_name_says_what_its_owner_says() -> None:
    by_name = {record.mnemonic: record.does for record in records()}
    assert all(alias.does == by_name[alias.of] for alias in aliases())


def test_a_reason_is_given_only_for_codes_that_the_result_decides() -> None:
    for record in records():
        effects = dict(zip("NZVC", record.codes, strict=True))
        for code in wording(record, record.value).reasons:
            # the errors of the small floating set say V and C, which are 0 where all is well
            assert effects[code] == "*" or record.module == "fis", record.mnemonic


def test_every_first_word_has_a_meaning_or_is_reserved() -> None:
    owned = Decoder(PROFILES[1]).owner
    for word in range(0o200000):
        told = meaning((word, 0o1234, 0o100, 0, 4), CODE)
        assert told and "{" not in told and told == told.strip()
        assert told != RESERVED or owned(word) is None


def test_missing_words_have_a_meaning_too() -> None:
    for record in records():
        for word in list(record.words())[:: max(1, (~record.mask & 0o177777) // 64)]:
            assert meaning((word,), 0o177776)


@pytest.mark.parametrize("words", [(), (0o200000,), (-1,)])
def test_what_is_no_word_is_refused(words: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="0 to 177777 octal"):
        meaning(words, CODE)


# --- all instructions -------------------------------------------------------------------------------------------------


@cache
def machine_of(profile: str) -> minisim.Machine:
    return minisim.bare(profile, memory=MEMORY)


def prepared(rng: Random, profile: str, record: Record) -> minisim.Machine:
    """A machine before one instruction of a record, its registers and memory mostly good addresses."""
    made = machine_of(profile)
    raw: Any = made._raw
    lib.ms_power_up(raw, CODE, 0)
    addresses = [rng.choice((rng.randrange(0o400, MEMORY - 8, 2), rng.choice(SMALL))) for _ in range(512)]
    made.memory.put(0, *(each for vector in range(0, 0o400, 4) for each in (0o3000 + vector, rng.randrange(16))))
    made.memory.put(0o400, *addresses)
    word = rng.randrange(0o200000) & ~record.mask | record.value
    made.memory.put(CODE, word, *(rng.choice((*addresses[:8], 2, 4, 0o177776)) for _ in range(4)))
    lib.ms_set_ps(raw, rng.randrange(16) | rng.choice((0, 0, 0, 0, 0o20, 0o340, 0o140000)))
    raw.r = [*addresses[8:14], rng.choice((0o1000, 0o1000, 0o776, 0o402, 0o340, rng.choice(addresses))), CODE]
    for number in range(6):
        raw.ac[number] = rng.randrange(1 << 64)
    raw.fps = rng.randrange(0o200000) & 0o7757
    return made


@given(st.sampled_from(PROFILES), st.sampled_from(records()), st.integers(0, 1 << 32))
def test_what_a_sentence_says_is_what_happened(profile: str, record: Record, seed: int) -> None:
    rng = Random(seed)
    for _ in range(8):
        made = prepared(rng, profile, record)
        for _ in range(2):
            step = made.step()
            check(step, step.sentence)


@pytest.mark.parametrize("times", [1, pytest.param(10, marks=pytest.mark.slow)])
def test_what_is_said_of_the_random_cases_of_the_oracles_is_what_happened(times: int) -> None:
    listener = Listener()
    for sample, count in (
        (oracle_samples.specification, 3),
        (oracle_samples.integers, 3),
        (oracle_samples.small_floats, 5),
        (oracle_samples.floats, 3),
        (oracle_samples.mapped, 3),
        (oracle_samples.commercial, 2),
    ):
        sample(listener, times * count)  # type: ignore[operator]
    assert listener.told.total() > 2000


def test_what_is_said_of_the_trial_cases_is_what_happened() -> None:
    listener, catalogue = Listener(), Catalogue()
    bench = Bench(catalogue.profile(PROFILES[1]), watcher=listener)
    for case in read_set().cases:
        bench.result(case)
    assert not {record.mnemonic for record in records() if record.module == "base"} - set(listener.told)


# --- worked ones ------------------------------------------------------------------------------------------------------

WORKED = Path(__file__).resolve().parents[1] / "data" / "sentences.txt"


def machine_after(source: str, setup: str) -> minisim.Machine:
    """A machine with one instruction at 1000 and what the setup says: `r1=2000 2000=5 ps=1 : profile`."""
    numbers, _, profile = setup.partition(":")
    made = minisim.bare(profile.strip() or "late-ttl-commercial", memory=0o160000)
    for block in minisim.assemble(f"        . = 1000\n        {source}\n").blocks:
        made.memory[block.address : block.address + len(block.data)] = block.data
    made.cpu.pc = CODE
    for name, _, number in (pair.partition("=") for pair in numbers.split()):
        value = int(number, 8)
        if name in ("ps", "sp"):
            setattr(made.cpu, name, value)
        elif name == "kernel":
            made._raw.stack[0] = value
        elif name.isdigit():
            made.memory.put(int(name, 8), value)
        elif name.startswith("ac"):
            made.cpu.ac[int(name[2:])] = value << 48
        else:
            made.cpu.r[int(name[1:])] = value
    return made


def worked() -> list[tuple[str, str, str, str]]:
    """Source, setup, what it did, what it will do."""
    text = "\n".join(line for line in WORKED.read_text("ascii").splitlines() if not line.startswith("#"))
    found = []
    for part in text.strip().split("\n\n"):
        first, did, will = part.split("\n")
        source, _, setup = first.partition("|")
        found.append((source.strip(), setup.strip(), did.strip(), will.strip().removeprefix("> ")))
    return found


@pytest.mark.parametrize(("source", "setup", "did", "will"), worked())
def test_a_worked_sentence(source: str, setup: str, did: str, will: str) -> None:
    made = machine_after(source, setup)
    words = [int.from_bytes(made.memory[at : at + 2], "little") for at in range(CODE, CODE + 10, 2)]
    assert meaning(words, CODE) == will
    step = made.step()
    assert step.sentence == did
    check(step, did)


def test_sentences_of_the_plain_set_are_short() -> None:
    lengths = [len(did) for source, _, did, _ in worked() if "trap" not in did and "decimal" not in did]
    assert sorted(lengths)[len(lengths) * 9 // 10] <= 160


def test_an_interrupt_that_waited_is_told_first() -> None:
    """A program request at level 1 [processor-handbooks-1972-81]: it waits while the priority is 7."""
    made = machine_after("MOV #1000,@#177772\n INC R1", "ps=340 sp=1000 240=3000 242=340 3000=5205 r2=7")
    assert made.step().sentence == "moves the word 001000 in the instruction to the word at 177772"
    made.cpu.ps = 0
    assert made.step().sentence == (
        "first the interrupt through 000240: PS 000000 and PC 001006 are pushed, goes on at 003000; "
        "then it adds 1 to R5: 000000 + 1 = 000001"
    )


def test_a_refusal_of_memory_management_names_the_address() -> None:
    """Page 1 does not exist: its access field is 0 [processor-handbooks-1972-81]; pages 0 and 7 are where memory is."""
    made = machine_after("TST @#20000", "kernel=1000 sp=1000 250=3000 252=340")
    raw: Any = made._raw
    for page, base in ((0, 0), (7, 0o7600)):
        raw.par[0][0][page], raw.pdr[0][0][page] = base, 0o77406
    raw.mmr = [1, 0, 0, 0]
    lib.ms_mapping_changed(raw)
    assert made.step().sentence == (
        "is given up: memory management refuses 020000, so it traps through 000250: "
        "PS 000000 and PC 001004 are pushed, goes on at 003000"
    )


def test_a_fetch_that_fails_is_told() -> None:
    made = machine_after("NOP", "sp=1000 4=3000 6=340")
    made.cpu.pc = 0o160000
    assert made.step().sentence == (
        "the word at 160000 can't be fetched, so it traps through 000004: "
        "PS 000000 and PC 160002 are pushed, goes on at 003000"
    )


def test_of_a_long_string_with_a_trap_behind_it_no_code_is_told() -> None:
    """Its accesses are not all kept; the codes afterwards are those of the trap."""
    numbers = "ps=20 sp=1000 14=3000 16=17 2200=200 2202=4000 2204=200 2206=5000"
    told = machine_after("MOVCI 2200,2204,40", numbers).step().sentence
    assert told.endswith("; a trap or an interrupt came behind it, goes on at 003000")
    assert " is set" not in told and " are set" not in told
