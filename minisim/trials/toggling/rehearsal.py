"""Rehearsing a card: what a person keys into the emulated machine is compared with it, word by word."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from minisim.machine.errors import NotFittedError
from minisim.machine.machine import Machine
from minisim.machine.records import Reason, Stop
from minisim.trials.toggling.card import Card, Check

FILLER = 0o125252
"""Lies everywhere before the first word is keyed in, so that a word that was left out is seen, a HALT too."""
FROM = 0o0
LIMIT = 1_000_000
_WORD = 0o177777
_CODES = 0o17


@dataclass(frozen=True, slots=True)
class WrongWord:
    """One word that is not as the card has it; `is_missing`: nothing was keyed in there."""

    address: int
    want: int
    found: int

    @property
    def is_missing(self) -> bool:
        """The filler still lies there."""
        return self.found == FILLER

    def __str__(self) -> str:
        if self.is_missing:
            return f"{self.address:06o}: not keyed in yet; {self.want:06o} is wanted"
        differing = self.want ^ self.found
        return f"{self.address:06o}: {self.want:06o} is wanted, {self.found:06o} found, xor {differing:06o}"


@dataclass(slots=True)
class Rehearsal:
    """One machine and one card."""

    machine: Machine
    card: Card
    top: int = 0
    _seen: bytes = field(default=b"", repr=False)

    def __post_init__(self) -> None:
        self.top = int(self.machine._raw.ram_top)
        if any(address + 2 > self.top for address in self.card.words):
            last = max(self.card.words) + 1
            raise NotFittedError(f"the card needs memory up to {last:06o}; this machine has less")
        self.machine.memory[FROM : self.top] = FILLER.to_bytes(2, "little") * ((self.top - FROM) // 2)
        self._seen = self.machine.memory[: self.top]

    def wrong(self) -> list[WrongWord]:
        """Every word that is not as the card has it, by address."""
        memory = self.machine.memory
        found = ((address, want, memory.word(address)) for address, want in sorted(self.card.words.items()))
        return [WrongWord(address, want, word) for address, want, word in found if word != want]

    def news(self) -> Iterator[str]:
        """What is to be said of the words that changed since the last look; nothing where they are right."""
        now, before = self.machine.memory[: self.top], self._seen
        self._seen = now
        if now == before:
            return
        for address in range(0, self.top, 2):
            if now[address : address + 2] == before[address : address + 2]:
                continue
            word = int.from_bytes(now[address : address + 2], "little")
            want = self.card.words.get(address)
            if want is None:
                yield f"{address:06o}: the card has no word there; {word:06o} was keyed in"
            elif want != word:
                yield str(WrongWord(address, want, word))

    def state(self) -> str:
        """How far it is, in a sentence."""
        wrong = self.wrong()
        done = len(self.card.words) - len(wrong)
        if not wrong:
            return f"all {done} words are as the card has them"
        first = next((one for one in wrong if not one.is_missing), wrong[0])
        return f"{done} of {len(self.card.words)} words are right; the first that is not: {first}"

    def after(self, stop: Stop) -> list[str]:
        """What differs from the card after the machine has run; empty if nothing does."""
        if stop.reason is not Reason.HALTED:
            return [f"it did not halt: {stop}"]
        if stop.pc != self.card.ends:
            return [f"it halted with {stop.pc:06o} in the address lamps; the card says {self.card.ends:06o}"]
        return [line for check in self.card.checks if (line := self._differs(check))]

    def _differs(self, check: Check) -> str:
        found = self._found(check)
        if (found ^ check.want) & check.mask == 0:
            return ""
        want, seen = check.want & check.mask, found & check.mask
        return f"{check.name}: {want:06o} is wanted, {seen:06o} found, xor {want ^ seen:06o}"

    def _found(self, check: Check) -> int:
        if check.register is not None:
            return self.machine.cpu.r[check.register]
        if check.codes or check.address is None:
            return self.machine.cpu.ps & _CODES
        return self.machine.memory.word(check.address)


def run_card(machine: Machine) -> Stop:
    """Run what was keyed in and started."""
    return machine.run(LIMIT)


def key_in(machine: Machine, card: Card) -> None:
    """Put the card into memory and start it, as somebody would who makes no mistake."""
    for step in card.steps:
        machine.memory.put(step.address, step.word)
    machine.cpu.ps = 0
    machine.cpu.pc = card.start
