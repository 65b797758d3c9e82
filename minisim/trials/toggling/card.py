"""The card of a trial: a program that sets itself up, runs the case and halts, and what is to be seen then."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from minisim.cpu.disassembler import disassemble
from minisim.cpu.operands import NAMES, SP
from minisim.trials import assembly
from minisim.trials.card import PLACE
from minisim.trials.keys import MEMORY, Key, Value
from minisim.trials.model import Case, Line
from minisim.trials.plan import STACKS, Plan
from minisim.words_text import runs

WORD = 0o177777
HALT = 0o000000
_SET_REGISTER = 0o012700  # of the register in the last digit, from the word behind it
_CLEAR_CODES, _SET_CODES = 0o257, 0o260
_CODES = 0o17
_GIVEN = ("register", "sp", "nzvc", "ps", *MEMORY)
_THEN = ("register", "sp", "pc", "nzvc", "trap", "halted", *MEMORY)
IO_PAGE = 0o160000
_CARD_BYTES = 0o20
_LOWEST = 0o400  # below lie the vectors
_HIGHEST = IO_PAGE  # the registers of devices begin here


class NotToggled(Exception):  # noqa: N818  # an answer, no failure
    """A case can't be keyed in; the message says why."""


@dataclass(frozen=True, slots=True)
class Step:
    """A word to key in."""

    address: int
    word: int
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """What is looked at after the HALT: a `register` (0 to 6), the condition codes (`codes`), or the word at `address`.

    Bits that `mask` leaves out may be either.
    """

    want: int
    mask: int = WORD
    address: int | None = None
    register: int | None = None
    codes: bool = False

    @property
    def name(self) -> str:
        """What is looked at, in words."""
        if self.register is not None:
            return NAMES[self.register]
        return "condition codes" if self.codes else f"{self.address:06o}"


@dataclass(frozen=True, slots=True)
class Card:
    """One card.  `ends` is what the address lamps show after the HALT."""

    trial: str
    about: str
    source: str
    start: int
    steps: tuple[Step, ...]
    ends: int
    checks: tuple[Check, ...]
    notes: tuple[str, ...] = ()

    @property
    def words(self) -> dict[int, int]:
        """All words by address."""
        return {step.address: step.word for step in self.steps}

    def blocks(self) -> list[tuple[Step, ...]]:
        """Steps that lie together, by address: each begins with a load address."""
        by_address = {step.address: step for step in self.steps}
        return [tuple(by_address[at + 2 * n] for n in range(len(words))) for at, words in runs(self.words)]


def card_of(case: Case, line: Line) -> Card:
    """The card of a case.  NotToggled: it needs more than hands can set."""
    return _Maker(case, line).card()


@dataclass(slots=True)
class _Maker:
    case: Case
    line: Line
    words: dict[int, int] = field(default_factory=dict)
    remarks: dict[int, str] = field(default_factory=dict)
    halts: set[int] = field(default_factory=set)

    def card(self) -> Card:
        line, plan = self.line, Plan(self.line)
        self._refuse(plan)
        assert line.code is not None
        program = _words_of(plan.blocks)
        self._lay(program, "")
        self._remark_code(line.code.words, line.code.at)
        self._lay(_words_of(plan.memory), "given")
        ends = self._ending(plan)
        start = self._prologue(plan, line.code.at)
        if any(PLACE <= word - IO_PAGE < PLACE + _CARD_BYTES for word in line.code.words):
            raise NotToggled("it needs the trial card, a board that no machine has")
        if any(at + 2 > _HIGHEST for at in self.words):
            raise NotToggled("it lies in the page of the device registers")
        steps = tuple(Step(at, word, self.remarks.get(at, "")) for at, word in sorted(self.words.items()))
        source = ", ".join((*line.sources, *([line.place] if line.place else ())) or ("derived from the rules",))
        checks = tuple(_checks(plan))
        if any(check.address in self.halts for check in checks):
            raise NotToggled("it writes where the HALT lies")
        if not checks and plan.trap in (None, ()):
            raise NotToggled("nothing of it is to be seen after a HALT")
        notes = (line.note,) if line.note else ()
        about = f"{self.case.about} ({line.evidence})"
        return Card(self.case.id, about, source, start, steps, ends, checks, notes)

    def _refuse(self, plan: Plan) -> None:
        if plan.is_static or self.line.code is None:
            raise NotToggled("nothing of it runs on a machine")
        for key, _ in self.line.given:
            if key.kind.name not in _GIVEN:
                raise NotToggled(f"{key.text} can't be set by hand")
        for key, value in self.line.then:
            if value is not None and key.kind.name not in _THEN:
                raise NotToggled(f"{key.text} can't be seen on the lamps")
        if plan.ps & ~_CODES:
            raise NotToggled(f"PS {plan.ps:06o} can't be set by hand")
        if any(key.kind.name == "halted" for key, _ in self.line.then):
            raise NotToggled("it is about the HALT itself")

    def _lay(self, words: Mapping[int, int], remark: str) -> None:
        for address, word in words.items():
            if self.words.get(address, word) != word:
                raise NotToggled(f"two words are wanted at {address:06o}")
            self.words[address] = word
            if remark:
                self.remarks.setdefault(address, remark)

    def _remark_code(self, words: tuple[int, ...], at: int) -> None:
        for line in disassemble(words, at):
            self.remarks[line.address] = line.text

    # --- before and behind --------------------------------------------------------------------------------------------

    def _prologue(self, plan: Plan, at: int) -> int:
        """Instructions that set SP, registers and condition codes, just before the program; where they begin."""
        made: list[int] = []
        sp = plan.value("sp")
        registers = dict(plan.registers)
        used = {key.number for key, _ in (*self.line.given, *self.line.then) if key.kind.name == "register"}
        for number in sorted(used | set(registers)):
            made += [_SET_REGISTER | number, registers.get(number, 0)]
        made += [_SET_REGISTER | SP, sp if isinstance(sp, int) else STACKS[0]]  # a trap must have where to push
        codes = plan.ps & _CODES
        made += [_CLEAR_CODES] + ([_SET_CODES | codes] if codes else [])
        start = at - 2 * len(made)
        if start < _LOWEST:
            raise NotToggled(f"there is no room for its set-up before {at:06o}")
        self._lay({start + 2 * place: word for place, word in enumerate(made)}, "")
        self._remark_code(tuple(made), start)
        return start

    def _ending(self, plan: Plan) -> int:
        """A HALT where the program goes on after the case, and in the catcher of a trap; what the lamps show then."""
        assert self.line.code is not None
        falls = assembly.pc_after(self.line.code.words, self.line.code.at, self.line.steps)
        pc = next((value for key, value in self.line.then if key.kind.name == "pc"), falls)
        if plan.trap:
            return self._catch(plan, falls)
        if "pc" in self.line.mask:
            raise NotToggled("where it goes on is not said")
        if not isinstance(pc, int) or pc & 1:
            raise NotToggled("where it goes on is not said")
        for address in dict.fromkeys((pc, falls)):
            self._halt_at(address)
        return (pc + 2) & WORD

    def _halt_at(self, address: int) -> None:
        self.halts.add(address)
        self._lay({address: HALT}, "")
        self.remarks.setdefault(address, disassemble([HALT], address)[0].text)

    def _catch(self, plan: Plan, falls: int) -> int:
        """The vector leads to a HALT behind it: word n holds n + 2, word n + 2 a HALT."""
        assert plan.trap is not None
        if len(plan.trap) != 1:
            raise NotToggled("it takes several traps")
        vector = plan.trap[0]
        self._lay({vector: vector + 2, vector + 2: HALT}, "catches the trap")
        self._halt_at(falls)
        return vector + 4


def _words_of(blocks: tuple[tuple[int, bytes], ...]) -> dict[int, int]:
    from minisim.words_text import words_in

    return words_in(blocks)


# --- afterwards -------------------------------------------------------------------------------------------------------


def _checks(plan: Plan) -> Iterator[Check]:
    """What `then` names, and registers that must keep what the card put into them."""
    line = plan.line
    named = {key.text for key, value in line.then}
    kept = [(key, value) for key, value in plan.expected
            if key.kind.name == "register" and key.text not in named and _is_set(key, plan)]  # fmt: skip
    stated = [(key, value) for key, value in plan.expected if key.text in named]
    for key, value in (*stated, *kept):
        yield from _check(key, value, plan)


def _is_set(key: Key, plan: Plan) -> bool:
    return key.number in dict(plan.registers)


def _check(key: Key, value: Value, plan: Plan) -> Iterator[Check]:
    name = key.kind.name
    if name == "register" and isinstance(value, int):
        yield Check(value, register=key.number)
    elif name == "sp" and isinstance(value, int):
        yield Check(value, register=SP)
    elif name == "nzvc" and isinstance(value, str) and not plan.trap:
        yield from _codes(value, plan)
    elif name == "word" and isinstance(value, int):
        yield Check(value, address=key.number)
    elif name == "words" and isinstance(value, tuple):
        yield from (Check(word, address=key.number + 2 * place) for place, word in enumerate(value))
    elif name == "byte" and isinstance(value, int):
        yield _byte(key.number, value)
    elif name == "memory-bytes" and isinstance(value, tuple):
        yield from (_byte(key.number + place, byte) for place, byte in enumerate(value))


def _byte(address: int, value: int) -> Check:
    shift = 8 * (address & 1)
    return Check(value << shift, 0o377 << shift, address=address & ~1)


def _codes(value: str, plan: Plan) -> Iterator[Check]:
    """N Z V C; those masked, or not compared, are left out, and `-` is what it was."""
    want = mask = 0
    for place, (name, letter) in enumerate(zip("nzvc", value, strict=True)):
        weight = 8 >> place
        if letter == "x" or name in plan.line.mask or "nzvc" in plan.line.mask:
            continue
        mask |= weight
        want |= plan.ps & weight if letter == "-" else weight * int(letter)
    if mask:
        yield Check(want, mask, codes=True)
