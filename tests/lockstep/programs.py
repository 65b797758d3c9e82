"""Random programs: all instructions of a processor in all modes, with operands that mostly lead into memory."""

from __future__ import annotations

import sys
from array import array
from functools import cache
from random import Random
from typing import Any

from minisim.cpu._core import ffi, lib

from .pairs import BELLS_AT, WORDS, Pair
from .trials import MENDERS, Maker

WRITES = 3  # from here on a use of an operand changes it (record.h)
SELDOM = ("HALT", "WAIT", "RESET", "BPT", "IOT", "EMT", "TRAP", "RTI", "RTT", "SPL", "MTPS", "JMP", "RTS", "MARK")
FREQUENT = (0o27, 0o37, 0o67, 0o77, 0o46)  # operands that programs use more than chance does: through PC, pushes
STANDING = (0o777, 0o117, 0o137, 0o160)  # jumps and branches to themselves, some of them
OFFSETS = (*range(-0o40, 0o100, 2), -0o200, 0o200, 1, -3)
FLAGS = (BELLS_AT, 0o177560, 0o177564)  # what a program may wait for
LENGTH = 12  # words of fresh program in a trial

Words = list[int]


class Writer:
    """Writes programs of instructions picked from `seldom` now and then, else from all others alike.

    `gentle`: most that gives a register another value is left out, so that programs stay in memory for long.
    """

    def __init__(self, maker: Maker, modules: int, *, gentle: bool, phrases: int = 20_000) -> None:
        self.maker, self.rng = maker, maker.rng
        often, seldom = vocabulary(modules, gentle)
        self.phrases = [self._phrase(modules, often) for _ in range(phrases)]
        self.phrases += [self._phrase(modules, seldom) for _ in range(phrases // (100 if gentle else 15))]
        self.phrases += [array("H", (self.rng.choice(STANDING),)) for _ in range(phrases // 200)]
        self.phrases += [self._waiting_loop() for _ in range(phrases // 100)]

    def _phrase(self, modules: int, groups: list[Words]) -> array[int]:
        """An instruction: its first word and those of its operands."""
        word = self.rng.choice(self.rng.choice(groups))
        further = [each & 0o177777 for field in operands_of(modules, word) for each in self._further(field)]
        return array("H", [word, *further])

    def _further(self, field: int) -> tuple[int, ...]:
        if field in (0o27, 0o37):
            return (self.rng.choice(self.maker.addresses),)
        return (self.rng.choice(OFFSETS),) if field >= 0o60 else ()

    def _waiting_loop(self) -> array[int]:
        """TST or TSTB @#flag; BPL, BEQ or BNE back to it: or WAIT; BR back."""
        if self.rng.random() < 0.2:
            return array("H", (0o000001, 0o000776))
        flag = self.rng.choice((*FLAGS, self.rng.choice(self.maker.addresses)))
        return array(
            "H", (self.rng.choice((0o005737, 0o105737)), flag, self.rng.choice((0o100375, 0o001775, 0o001375)))
        )

    def words(self, count: int) -> array[int]:
        """So many words of program."""
        words: array[int] = array("H")
        while len(words) < count:
            for phrase in self.rng.choices(self.phrases, k=(count - len(words)) // 2 + 1):
                words.extend(phrase)
        return words[:count]

    def image(self) -> bytes:
        """A memory full of program, with tables of addresses between; the vectors lead to the menders, or anywhere."""
        memory, maker = self.words(self.maker.top // 2), self.maker
        for at in range(0o200, maker.top // 2, 0o100):
            if self.rng.random() < 0.4:
                memory[at : at + 0o30] = maker.column(maker.addresses, 0o30)
        for at in MENDERS:
            memory[at // 2 : at // 2 + 0o20] = self.mender()
        memory[0:0o200:2] = maker.column(maker.services, 0o100)
        memory[1:0o201:2] = maker.column(maker.states, 0o100)
        if sys.byteorder == "big":
            memory.byteswap()
        return memory.tobytes()

    def mender(self) -> array[int]:
        """A service that gives the registers good values again, so that one trap seldom leads to the next for ever."""
        maker, words = self.maker, array("H")
        for register in range(6):
            words.extend((0o012700 + register, self.rng.choice(maker.addresses)))
        if self.rng.randrange(2):
            words.extend((0o000002, 0o000240, 0o000240, 0o000240))
        else:
            words.extend((0o012706, self.rng.choice(maker.stacks), 0o000137, self.rng.choice(maker.starts)))
        return words

    def trials(self, count: int) -> Any:
        """Places to start from, each with a fresh piece of program."""
        flat = self.words(count * LENGTH)
        return self.maker.trials(count, [flat[n::LENGTH] for n in range(LENGTH)])


# --- words ------------------------------------------------------------------------------------------------------------


@cache
def vocabulary(modules: int, gentle: bool) -> tuple[list[Words], list[Words]]:
    """First words in groups by instruction and by how many operands are frequent ones: often, seldom."""
    groups: dict[tuple[bool, int, int], Words] = {}
    records = _records(modules)
    forms = {record: _form(record) for record in set(records)}
    for word, record in enumerate(records):
        mnemonic, source, destination = forms[record]
        is_seldom = not record or mnemonic in SELDOM
        if gentle and not is_seldom and changes_register(destination, word):
            continue
        frequent = (source > 0 and word >> 6 & 0o77 in FREQUENT) + (destination > 0 and word & 0o77 in FREQUENT)
        groups.setdefault((is_seldom, record, frequent), []).append(word)
    return [words for key, words in groups.items() if not key[0]], [words for key, words in groups.items() if key[0]]


@cache
def _records(modules: int) -> Words:
    return [entry.record for entry in ffi.unpack(lib.ms_decode_table(modules), WORDS)]


def record_of(modules: int, word: int) -> int:
    """The number of the record that owns a word, 0 if none does."""
    return _records(modules)[word]


def mnemonic_of(modules: int, word: int) -> str:
    """The mnemonic of a word without its operands; empty if nobody owns it."""
    return _form(record_of(modules, word))[0]


def operands_of(modules: int, word: int) -> tuple[int, ...]:
    """The operand fields of six bits."""
    _, source, destination = _form(record_of(modules, word))
    return (*([word >> 6 & 0o77] if source else []), *([word & 0o77] if destination else []))


@cache
def _form(record: int) -> tuple[str, int, int]:
    """Mnemonic, use of the source field, use of the destination field."""
    row = lib.ms_records()[record]
    form = lib.ms_form_at(row.form)
    uses = (int(form.source), int(form.destination)) if record else (0, 0)
    return (str(ffi.string(row.mnemonic).decode("ascii")), *uses)


def changes_register(destination: int, word: int) -> bool:
    """A destination that is a register gets a new value; one word in twenty is let through."""
    return destination >= WRITES and (word & 0o77) < 0o10 and word % 20 > 0


# --- running ----------------------------------------------------------------------------------------------------------


def writers_for(pair: Pair, rng: Random, phrases: int) -> tuple[Writer, Writer]:
    """A gentle one and a nasty one."""
    modules, top = pair.raw[0].modules, pair.raw[0].plain_top
    gentle, nasty = Maker(rng, 8, top), Maker(rng, 32, top)
    return (
        Writer(gentle, modules, gentle=True, phrases=phrases),
        Writer(nasty, modules, gentle=False, phrases=phrases),
    )


def run_programs(pair: Pair, rng: Random, instructions: int, phrases: int = 20_000) -> None:
    """Random programs in lock-step, until so many instructions have been compared."""
    writers = writers_for(pair, rng, phrases)
    while pair.report.instructions < instructions:
        writer = rng.choices(writers, weights=(2, 1))[0]
        pair.unmapped()
        pair.put(0, writer.image())
        pair.trials(writer.trials(150), rng.choice((10, 40, 150)))
