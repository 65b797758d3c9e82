"""Whole instructions under memory management, for the oracle: moves between modes and spaces, CSM, a few base ones.

Sections 1.5, 2 and 2.1 of the facts.  `step` executes one instruction and the trap that may follow it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from mmu_oracle import (
    CALL_BIT,
    D_SPACE,
    FROZEN,
    I_SPACE,
    KERNEL,
    MANAGEMENT,
    PC,
    RESERVED,
    SP,
    SUPERVISOR,
    T_BIT,
    TRACE,
    UNDEFINED,
    USER,
    WORD,
    GivenUp,
    Management,
    Open,
)

# D47: where it is impossible, nobody says what comes instead.
IO_OPEN = "what executing out of the I/O page finds"


class Operand(NamedTuple):
    """A register, or an address in a space; `stepped` by mode 2 through this register on the way, by so much."""

    register: int
    address: int = 0
    space: int = D_SPACE
    stepped: int = -1
    by: int = 0


class Processor(Management):
    """Memory management with a processor that executes some instructions; all other words raise Open."""

    # --- operands ---------------------------------------------------------------------------------------------------

    def fetch(self) -> int:
        """The next word of the instruction, in instruction space.  D31: what PC an error leaves.

        After an abort PC is past the words fetched; whether that counts the one that was not to be had is open.
        """
        at = self.pc
        try:
            physical = self.locate(at, self.mode, I_SPACE, False, False, False)
        except GivenUp as given_up:
            self.pc_open = given_up.kind == "management"
            self.pc = (at + 2) & WORD if self.pc_open or self.facts.fetch_steps else at
            raise
        if physical >= self.size:
            raise Open(IO_OPEN)
        self.pc = (at + 2) & WORD
        return self.memory[physical] | self.memory[physical + 1] << 8

    def place(self, field: int, byte: bool) -> Operand:
        """Find an operand (1.5).  Immediate and absolute words, and index words, are instruction space (6.4)."""
        mode, number = field >> 3, field & 7
        if mode == 0:
            return Operand(number)
        if mode == 1:
            return Operand(-1, self.register(number))
        if mode >= 6:
            index = self.fetch()
            address = self.register(number) + index & WORD
            return Operand(-1, address if mode == 6 else self.read(address, self.mode, D_SPACE))
        by = 1 if byte and number < SP and mode in (2, 4) else 2
        if mode >= 4:
            self.step_register(number, -by)
            address = self.register(number)
            if number == SP:
                self.watch_stack(address)
            return Operand(-1, address if mode == 4 else self.read(address, self.mode, D_SPACE))
        here = Operand(-1, self.register(number), I_SPACE if number == PC else D_SPACE, number, by)
        self.step_register(number, by)
        return here if mode == 2 else Operand(-1, self.pointer(here))

    def pointer(self, here: Operand) -> int:
        """The word of mode 3.  D32 and D33 speak of mode 2 alone: open where that would not have stepped."""
        try:
            return self.read(here.address, self.mode, here.space)
        except GivenUp as given_up:
            if not self.steps_stay(given_up.kind):
                raise Open("is the register of mode 3 stepped?") from given_up
            self.through_pc(here, given_up.kind)
            raise

    def steps_stay(self, kind: str) -> bool:
        """D32, D33; in an abort by management they stay."""
        return {"odd": self.facts.odd_steps, "time-out": self.facts.timeout_steps}.get(kind, True)

    def through_pc(self, here: Operand, kind: str) -> None:
        """A word behind the instruction: is it fetched (D31), or an operand of mode 2 (D32, D33, readings 3)?"""
        if here.stepped != PC:
            return
        if kind == "management":
            self.pc_open = True
        elif self.facts.fetch_steps != self.steps_stay(kind):
            raise Open("an operand word behind the instruction that can't be had")

    def step_back(self, operand: Operand, kind: str) -> None:
        """A reference of mode 2 failed."""
        self.through_pc(operand, kind)
        if operand.stepped >= 0 and not self.steps_stay(kind):
            if self.has_mmr1:
                raise Open("a step taken back, and MMR1")
            self.set_register(operand.stepped, self.register(operand.stepped) - operand.by)

    def load(self, operand: Operand, byte: bool, last: bool = False) -> int:
        """The value; of a register the low byte."""
        if operand.register >= 0:
            return self.register(operand.register) & (0o377 if byte else WORD)
        try:
            return self.read(operand.address, self.mode, operand.space, byte, last)
        except GivenUp as given_up:
            self.step_back(operand, given_up.kind)
            raise

    def store(self, operand: Operand, value: int, byte: bool) -> None:
        """A destination operand; a byte leaves the other byte of a register alone."""
        if operand.register >= 0:
            kept = self.register(operand.register) & 0o177400 if byte else 0
            self.set_register(operand.register, kept | value)
            return
        try:
            self.write(operand.address, value, self.mode, operand.space, byte, last=True)
        except GivenUp as given_up:
            self.step_back(operand, given_up.kind)
            raise

    def codes(self, n: int, z: int, v: int, c: int | None = None) -> None:
        """New condition codes; C keeps its value where none is given."""
        c = self.ps & 1 if c is None else c
        self.ps = self.ps & ~0o17 | n << 3 | z << 2 | v << 1 | c

    def codes_of(self, value: int, byte: bool = False) -> None:
        """N and Z of a value, V 0, C kept."""
        self.codes(value >> (7 if byte else 15) & 1, int(value == 0), 0)

    # --- one instruction --------------------------------------------------------------------------------------------

    def step(self) -> None:
        """One instruction; then the trap that it made, was given up for, or that follows it."""
        traced, codes = self.ps & T_BIT, self.ps & 0o17
        self.trap_due = self.ps_written = self.mmr1_open = self.pc_open = False
        if not self.mmr[0] & FROZEN:
            self.mmr[1], self.mmr[2] = 0, self.pc
        try:
            vector = decoded(word := self.fetch())(self, word)
        except GivenUp as given_up:
            vector, traced = given_up.vector, 0
            self.ps = self.ps & ~0o17 | codes
            if self.trap_due:
                raise Open("a management trap in an instruction that was given up") from given_up
        if vector:
            if self.trap_due:
                raise Open("a management trap in an instruction that traps")
            self.trap(vector)
        else:
            self.afterwards(traced)

    def afterwards(self, traced: int) -> None:
        """The management trap comes before that of T."""
        if self.trap_due and traced:
            raise Open("a management trap and T")
        if self.trap_due or traced:
            self.trap(MANAGEMENT if self.trap_due else TRACE)

    # --- base instructions ------------------------------------------------------------------------------------------

    def source(self, word: int, byte: bool) -> tuple[int, Operand, Operand]:
        """Source value and both operands; a register may be looked at late (D01 to D03)."""
        first = self.place(word >> 6 & 0o77, byte)
        value = self.load(first, byte)
        second = self.place(word & 0o77, byte)
        if first.register >= 0 and self.is_late(first.register, word >> 3 & 7, word & 7):
            value = self.load(first, byte)
        return value, first, second

    def is_late(self, register: int, mode: int, number: int) -> bool:
        """Is the source register read after the destination was settled?"""
        if mode >= 6:
            return register == PC and self.facts.late_pc
        if register != number or mode < 2:
            return False
        return self.facts.late if mode in (2, 4) else self.facts.late_deferred

    def mov(self, word: int) -> int:
        """MOV, MOVB: a byte into a register extends its sign."""
        byte = word >= 0o100000
        value, _, second = self.source(word, byte)
        if byte and second.register >= 0:
            self.set_register(second.register, value | (0o177400 if value & 0o200 else 0))
        else:
            self.store(second, value, byte)
        self.codes_of(value, byte)
        return 0

    def cmp(self, word: int) -> int:
        """CMP, CMPB: source - destination."""
        byte = word >= 0o100000
        a, _, second = self.source(word, byte)
        b = self.load(second, byte, last=True)
        mask, sign = (0o377, 0o200) if byte else (WORD, 0o100000)
        result = a - b & mask
        overflow = (a ^ b) & sign and not (b ^ result) & sign
        self.codes(int(bool(result & sign)), int(result == 0), int(bool(overflow)), int(a < b))
        return 0

    def add(self, word: int) -> int:
        """ADD."""
        a, _, second = self.source(word, False)
        b = self.load(second, False, last=True)
        result = a + b & WORD
        self.store(second, result, False)
        overflow = not (a ^ b) & 0o100000 and (a ^ result) & 0o100000
        self.codes(result >> 15, int(result == 0), int(bool(overflow)), int(a + b > WORD))
        return 0

    def inc(self, word: int) -> int:
        """INC, INCB."""
        byte = word >= 0o100000
        operand = self.place(word & 0o77, byte)
        old = self.load(operand, byte, last=True)
        mask, most = (0o377, 0o177) if byte else (WORD, 0o77777)
        result = old + 1 & mask
        self.store(operand, result, byte)
        self.codes(int(result > most), int(result == 0), int(old == most))
        return 0

    def tst(self, word: int) -> int:
        """TST, TSTB."""
        byte = word >= 0o100000
        value = self.load(self.place(word & 0o77, byte), byte, last=True)
        self.codes(value >> (7 if byte else 15), int(value == 0), 0, 0)
        return 0

    def sob(self, word: int) -> int:
        """SOB: not a step that MMR1 tells of."""
        number = word >> 6 & 7
        if number == PC:
            raise Open("SOB with PC as its counter")
        self.set_register(number, self.register(number) - 1)
        if self.register(number):
            self.pc = self.pc - 2 * (word & 0o77) & WORD
        return 0

    def target(self, word: int) -> int:
        """Where JMP and JSR go: the address before a step of mode 2 (D04, on every processor with management)."""
        if word & 0o77 == 0o46 and self.register(SP) < 0o402:
            raise Open("is a jump through -(SP) a reference?")
        return self.place(word & 0o77, False).address

    def jmp(self, word: int) -> int:
        """JMP; a register traps (D05)."""
        if not word & 0o70:
            return self.facts.jump_trap
        self.pc = self.target(word)
        return 0

    def jsr(self, word: int) -> int:
        """JSR: the address first, then the push."""
        number = word >> 6 & 7
        if not word & 0o70:
            return self.facts.jump_trap
        if number == SP:
            raise Open("JSR SP: is SP pushed before or after its step?")
        target = self.target(word)
        self.push(self.register(number), True)
        self.set_register(number, self.pc)
        self.pc = target
        return 0

    def rts(self, word: int) -> int:
        """RTS."""
        number = word & 7
        if number == SP:
            raise Open("RTS SP: is SP stepped after it was popped?")
        new_pc = self.register(number)
        value = self.pop()
        self.pc = new_pc
        self.set_register(number, value)
        return 0

    def pop(self) -> int:
        """A word from the stack, in data space; where SP stands when it can't be read is open."""
        try:
            value = self.read(self.register(SP), self.mode, D_SPACE)
        except GivenUp as given_up:
            raise Open("a pop that fails") from given_up
        self.step_register(SP, 2)
        return value

    # --- between modes and spaces (readings 10 and 11) --------------------------------------------------------------

    def other_space(self, word: int, writes: bool) -> int:
        """MFPD and MTPD: data space; MFPI of user mode from user mode acts as MFPD where spaces are split."""
        if word & 0o100000:
            return D_SPACE
        both_user = self.ps & 0o170000 == 0o170000
        return D_SPACE if both_user and not writes and self.facts.data_space else I_SPACE

    @property
    def previous(self) -> int:
        """Previous mode."""
        return self.ps >> 12 & 3

    def previous_stack(self) -> int:
        """Whose stack pointer register 6 is (D45, D53)."""
        mode = self.previous
        return USER if mode == UNDEFINED and self.facts.mode_10_user else self.stack_of(mode)

    def between_modes(self, word: int) -> None:
        """Whether maintenance moves the operand of these is nowhere said."""
        if self.mmr[0] & 0o401 == 0o400:
            raise Open("MFPx and MTPx under maintenance")

    def mfp(self, word: int) -> int:
        """MFPI, MFPD: the address is formed in the current mode, the word is read in the previous one, then pushed."""
        self.between_modes(word)
        space = self.other_space(word, False)
        operand = self.place(word & 0o77, False)
        if operand.register == SP:
            value = self.stacks[self.previous_stack()]
        elif operand.register >= 0:
            value = self.register(operand.register)
        else:
            try:
                value = self.read(operand.address, self.previous, space)
            except GivenUp as given_up:
                self.step_back(operand, given_up.kind)
                raise
        self.push(value, True)
        self.codes_of(value)
        return 0

    def mtp(self, word: int) -> int:
        """MTPI, MTPD: popped first; then the address is formed, then the word is written in the previous mode."""
        self.between_modes(word)
        space = self.other_space(word, True)
        value = self.pop()
        operand = self.place(word & 0o77, False)
        if operand.register == SP:
            self.stacks[self.previous_stack()] = value
        elif operand.register >= 0:
            self.set_register(operand.register, value)
        else:
            try:
                self.write(operand.address, value, self.previous, space)
            except GivenUp as given_up:
                self.step_back(operand, given_up.kind)
                raise
        self.codes_of(value)
        return 0

    def csm(self, word: int) -> int:
        """CSM: the operand is read first; then PS without codes, PC and operand go on the supervisor stack (2.1)."""
        if not self.facts.call or not self.mmr[3] & CALL_BIT or self.mode == KERNEL:
            return RESERVED
        value = self.load(self.place(word & 0o77, False), False, last=True)
        old, self.mmr1_open = self.ps, not self.mmr[0] & FROZEN
        self.stacks[SUPERVISOR] = self.register(SP)
        self.ps = old & ~0o170000 & ~T_BIT | SUPERVISOR << 14 | old >> 2 & 0o30000
        try:
            for each in (old & ~0o17, self.pc, value):
                self.push_in_call(each)
            self.pc = self.read(0o10, SUPERVISOR, I_SPACE)
        except GivenUp as given_up:
            raise Open("a call to supervisor that is given up half-way") from given_up
        return 0

    def push_in_call(self, value: int) -> None:
        """Three pushes do not all fit into MMR1: what it then holds is open (`mmr1_open`)."""
        self.set_register(SP, self.register(SP) - 2)
        self.write(self.register(SP), value, SUPERVISOR, D_SPACE)

    def reserved(self, word: int) -> int:
        """A word that nobody owns."""
        return RESERVED

    def beyond(self, word: int) -> int:
        """A word that this oracle does not execute."""
        raise Open(f"the word {word:06o}")


Body = Callable[[Processor, int], int]
P = Processor

# First word, mask, body; most special first.
TABLE: tuple[tuple[int, int, Body], ...] = (
    (0o000100, 0o177700, P.jmp),
    (0o000200, 0o177770, P.rts),
    (0o004000, 0o177000, P.jsr),
    (0o005200, 0o077700, P.inc),
    (0o005700, 0o077700, P.tst),
    (0o006500, 0o077700, P.mfp),
    (0o006600, 0o077700, P.mtp),
    (0o007000, 0o177700, P.csm),
    (0o007100, 0o177700, P.reserved),
    (0o007400, 0o177400, P.reserved),
    (0o060000, 0o170000, P.add),
    (0o010000, 0o070000, P.mov),
    (0o020000, 0o070000, P.cmp),
    (0o077000, 0o177000, P.sob),
)


def _body(word: int) -> Body:
    return next((body for value, mask, body in TABLE if word & mask == value), P.beyond)


BODIES: tuple[Body, ...] = tuple(_body(word) for word in range(1 << 16))


def decoded(word: int) -> Body:
    """The body of a first word."""
    return BODIES[word]
