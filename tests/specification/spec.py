"""The base instruction set as an executable specification.

Written from the facts on the processor (sections 1, 2, 7) and the rows of differences, and from nothing else: it must not
share a mistake with the core.  Speed is no aim; every step is plain integers.

Three ways to say how much is known:
  settled     the facts decide: the step is compared bit by bit
  `Loose`     the facts leave a few bits open (or call them disputed): these bits are not compared, all others are
  `Undefined` the facts say nothing about what happens next: the comparison ends before this step
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

from .arithmetic import BRANCHES, BYTE, ONE, TWO, WORD, Codes, Width, swap_bytes
from .codes import Row, decoder, whole_table
from .profiles import LATE_SINGLE_CHIP, PROCESSOR_TYPE, SECOND_CHIP_SET, Profile

KERNEL, SUPERVISOR, USER = 0, 1, 3
SP, PC = 6, 7
T_BIT = 0o20
PRIORITY = 0o340
IO_PAGE = 0o160000
PS_ADDRESS = 0o177776

# Vectors: seen, [handbook-1969] pp. 42-43.
ERROR, RESERVED, TRACE, IOT, EMT, TRAP = 0o4, 0o10, 0o14, 0o20, 0o30, 0o34
TRAP_INSTRUCTIONS = {"BPT": TRACE, "IOT": IOT, "EMT": EMT, "TRAP": TRAP}


class Undefined(Exception):  # noqa: N818  an outcome, not an error
    """The facts don't say what happens."""


class Loose(NamedTuple):
    """Bits that are not compared.

    `what` and `where`: "general" and set x 6 + register, "stack" and the mode, "memory" and the address, "ps" and 0.
    """

    what: str
    where: int
    mask: int
    why: str


class Open(NamedTuple):
    """Bits of the PS after the running instruction that the facts leave open: nearly always condition codes."""

    mask: int
    why: str


CLOSED = Open(0, "")


class Abort(Exception):  # noqa: N818  a bus error of the guest, not of this program
    """The running instruction is given up and traps through 4."""

    def __init__(self, kind: str) -> None:
        super().__init__(kind)
        self.kind = kind  # "odd" or "nonexistent"


class RedStack(Exception):  # noqa: N818
    """A reference through SP in the red zone."""


class Place(NamedTuple):
    """An operand: a register, or an address with the register step that mode 2 made on the way to it."""

    register: int | None
    address: int
    stepped: int | None = None
    by: int = 0


@dataclass
class Step:
    """What one instruction did: `traps` are the vectors taken, `stop` is "", "halted" or "waiting"."""

    at: int
    word: int | None = None
    name: str = ""
    traps: list[int] = field(default_factory=list)
    stop: str = ""
    loose: list[Loose] = field(default_factory=list)
    wrote: bool = False  # memory
    diverted: int = 0  # traps whose words went to the emergency stack instead


# Registers of the processor in the I/O page about which the facts don't say, for each profile, what a program finds there:
# management, memory size, error, request and limit registers.  First and last address.
UNCERTAIN_REGISTERS = ((0o172200, 0o172377), (0o172516, 0o172517), (0o177572, 0o177577), (0o177600, 0o177677), (0o177740, 0o177775))


def ps_bits_of(profile: Profile) -> int:
    """The bits of the PS that exist (6.1): 15:12 modes, 11 register set, 7:0 always.

    Bit 8 belongs to the commercial instruction set, which this specification doesn't execute.
    """
    bits = 0o377
    if profile.modes > 1:
        bits |= 0o170000
    if profile.register_sets == 2:
        bits |= 0o4000
    return bits


class SpecMachine:
    """Processor and memory of one profile.

    `memory` is the fitted size in bytes, from 0 up without a gap.  `start` is the power-up address, for D38.  `beyond`
    names modules that are fitted and that this specification doesn't execute: their words are Undefined, not reserved.
    """

    def __init__(
        self, profile: Profile, memory: int = IO_PAGE, *, start: int | None = None, beyond: frozenset[str] = frozenset()
    ) -> None:
        self.profile = profile
        self.decoded = decoder(profile.modules())
        self.memory = bytearray(min(memory, IO_PAGE))
        self.start = start
        self.beyond = beyond
        self.sets = [[0] * 6, [0] * 6]
        self.stacks = [0] * 4
        self.pc = 0
        self.ps = 0
        self.step_now = Step(0)
        self.yellow = False
        self.ps_written = False
        self.ps_open = CLOSED
        self.traced = False
        self.odd_traps = profile["D25"] == "yes"
        self.ps_bits = ps_bits_of(profile)

    # --- registers and PS ---------------------------------------------------------------------------------------

    @property
    def mode(self) -> int:
        """Current mode, PS bits 15:14; 0 on a machine with one mode."""
        return self.ps >> 14

    @property
    def codes(self) -> Codes:
        """The condition codes."""
        return Codes.of(self.ps)

    @codes.setter
    def codes(self, codes: Codes) -> None:
        self.ps = self.ps & ~0o17 | codes.bits()

    def register(self, number: int) -> int:
        """A register of the current set and mode."""
        if number < SP:
            return self.sets[self.ps >> 11 & 1][number]
        return self.stacks[self.mode] if number == SP else self.pc

    def set_register(self, number: int, value: int) -> None:
        """Write a register of the current set and mode."""
        value &= WORD.mask
        if number < SP:
            self.sets[self.ps >> 11 & 1][number] = value
        elif number == SP:
            self.stacks[self.mode] = value
        else:
            self.pc = value

    def set_ps(self, value: int) -> None:
        """Every bit that the profile has.  An undefined mode ends what is known (D45)."""
        value &= self.ps_bits
        mode = value >> 14
        if mode == 2 or (mode == SUPERVISOR and self.profile.modes == 2):
            raise Undefined(f"D45: mode {mode}")
        self.ps = value

    def loosen(self, what: str, where: int, mask: int, why: str) -> None:
        """Leave these bits out of the comparison of this step."""
        self.step_now.loose.append(Loose(what, where, mask, why))

    def loosen_register(self, number: int, why: str) -> None:
        """Leave a whole register, as it is called in the current set and mode, out of the comparison."""
        if number == PC:
            raise Undefined(why)
        if number == SP:
            self.loosen("stack", self.mode, WORD.mask, why)
        else:
            self.loosen("general", (self.ps >> 11 & 1) * 6 + number, WORD.mask, why)

    # --- bus ----------------------------------------------------------------------------------------------------

    def read(self, address: int, width: Width = WORD) -> int:
        """One read.  A word at an odd address traps, or ignores the low bit (D25)."""
        if width is WORD and address & 1:
            address = self._word_address(address)
        if address < len(self.memory):
            low = self.memory[address]
            return low if width is BYTE else low | self.memory[address + 1] << 8
        word = self._io_read(address & ~1)
        return word if width is WORD else word >> (8 * (address & 1)) & BYTE.mask

    def write(self, address: int, value: int, width: Width = WORD) -> None:
        """One write."""
        if width is WORD and address & 1:
            address = self._word_address(address)
        if address < len(self.memory):
            self.step_now.wrote = True
            self.memory[address] = value & BYTE.mask
            if width is WORD:
                self.memory[address + 1] = value >> 8 & BYTE.mask
        else:
            self._io_write(address, value, width)

    def _word_address(self, address: int) -> int:
        """D25: an odd address of a word."""
        if self.odd_traps:
            self._ps_answers(address & ~1)  # raises Undefined for the general registers, which step by 1 there
            raise Abort("odd")
        return address & ~1

    def _io_read(self, address: int) -> int:
        """The I/O page and the gap below it: the PS may be there (D22), else nobody answers."""
        if self._ps_answers(address):
            return self.ps
        raise Abort("nonexistent")

    def _io_write(self, address: int, value: int, width: Width) -> None:
        if not self._ps_answers(address & ~1):
            raise Abort("nonexistent")
        if width is BYTE:
            value = self.ps & ~BYTE.mask | value if not address & 1 else self.ps & BYTE.mask | value << 8
        if self.profile["D18"] == "cannot":
            value = value & ~T_BIT | self.ps & T_BIT
        self.set_ps(value)
        self.ps_written = True
        self.ps_open = Open(0o17, "the instruction's own codes, or the bits it wrote into the PS?")

    def _ps_answers(self, address: int) -> bool:
        if address == PS_ADDRESS:
            return self.profile["D22"] in ("address", "both")
        if 0o177700 <= address < 0o177720 and self.profile["D07"] == "program":
            raise Undefined("D07: general registers as memory")
        if self.profile.modes > 1 and any(first <= address <= last for first, last in UNCERTAIN_REGISTERS):
            raise Undefined("which further processor registers answer")
        return False

    # --- operands -----------------------------------------------------------------------------------------------

    def fetch(self) -> int:
        """The next instruction word.  D31: what PC a failing fetch leaves."""
        address = self.pc
        self.pc = (address + 2) & WORD.mask
        if address >= IO_PAGE and self._ps_answers(address & ~1):
            raise Undefined("D47: executing out of a processor register")
        try:
            return self.read(address)
        except Abort:
            if self.profile["D31"] == "not_incremented":
                self.pc = address
            raise

    def place(self, field_: int, width: Width) -> Place:
        """Find an operand by mode and register, with the side effects of the mode (1.5)."""
        mode, number = field_ >> 3, field_ & 7
        if mode == 0:
            return Place(number, 0)
        if mode == 1:
            return Place(None, self.register(number))
        if mode >= 6:
            index = self.fetch()
            address = (self.register(number) + index) & WORD.mask
            return Place(None, address if mode == 6 else self.read(address))
        by = 2 if mode in (3, 5) or width is WORD or number >= SP else 1
        if mode in (2, 3):
            address = self.register(number)
            self.set_register(number, address + by)
            here = Place(None, address, number, by)
            return here if mode == 2 else Place(None, self._pointer(here, number))
        self.set_register(number, self.register(number) - by)
        address = self.register(number)
        if number == SP:
            self.stack_reference(address)
        return Place(None, address) if mode == 4 else Place(None, self.read(address))

    def _pointer(self, here: Place, number: int) -> int:
        """The word of mode 3.  D32 and D33 speak of mode 2 only: open where mode 2 would not have stepped."""
        try:
            return self.load(here, WORD)
        except Abort as abort:
            if self.profile["D33" if abort.kind == "odd" else "D32"] == "not_incremented":
                if number == SP:
                    raise Undefined("is SP stepped before the trap pushes?") from abort
                self.loosen_register(number, "is the register of mode 3 stepped when its pointer can't be read?")
            raise

    def load(self, place: Place, width: Width) -> int:
        """Read an operand; a byte of a register is its low byte."""
        if place.register is not None:
            return self.register(place.register) & width.mask
        try:
            return self.read(place.address, width)
        except Abort as abort:
            self._step_back(place, abort.kind)
            raise

    def store(self, place: Place, value: int, width: Width) -> None:
        """Write an operand; a byte goes into the low byte of a register and leaves the high one."""
        if place.register is not None:
            keep = self.register(place.register) & ~width.mask
            self.set_register(place.register, keep | value)
            return
        try:
            self.write(place.address, value, width)
        except Abort as abort:
            self.ps_open = Open(0o17, "are the codes set before a write that nobody answers?")
            self._step_back(place, abort.kind)
            raise

    def _step_back(self, place: Place, kind: str) -> None:
        """D32, D33: is the register of mode 2 stepped when the reference fails?"""
        row = "D33" if kind == "odd" else "D32"
        if place.stepped == PC and self.profile["D31"] != self.profile[row]:
            raise Undefined(f"is an operand word after the instruction a fetch (D31) or a reference of mode 2 ({row})?")
        if place.stepped is not None and self.profile[row] == "not_incremented":
            self.set_register(place.stepped, self.register(place.stepped) - place.by)

    # --- stack --------------------------------------------------------------------------------------------------

    def stack_reference(self, address: int) -> None:
        """A stepping-down reference through SP: the stack limit (D24; 7.2 and 7.3)."""
        rule = self.profile["D24"]
        in_user = self.mode == USER and self.profile.id == "fast-ttl-three-mode"  # 7.3: there the fixed limit holds
        if rule == "none" or not (self.mode == KERNEL or in_user) or address >= 0o400:
            return
        if in_user and address < 0o340:
            raise Undefined("what a red stack does in user mode")
        if address < 0o340 and self.profile.id != "first-hardwired":  # 7.2 knows no red zone there
            if rule == "fixed_400_yellow":
                raise Undefined("D24: red is fatal")
            if self.profile.id == "two-board-ttl-basic":
                raise Undefined("is it one of the later machines that have a red zone (7.3)?")
            raise RedStack
        self.yellow = True

    def push(self, value: int) -> None:
        """SP - 2, then store there."""
        address = (self.register(SP) - 2) & WORD.mask
        self.set_register(SP, address)
        self.stack_reference(address)
        if address >= IO_PAGE and self._ps_answers(address & ~1):
            raise Undefined("a stack in the registers of the processor")
        self.write(address, value)

    def pop(self) -> int:
        """Load, then SP + 2.  Where SP stands when the load fails is nowhere said."""
        try:
            value = self.read(self.register(SP))
        except Abort as abort:
            raise Undefined("a pop that fails") from abort
        self.set_register(SP, self.register(SP) + 2)
        return value

    # --- traps --------------------------------------------------------------------------------------------------

    def trap(self, vector: int) -> None:
        """New PC and PS from the vector; previous mode = old mode; old PS, then old PC go on the new stack (7.1)."""
        old_pc, old_ps = self.pc, self.ps
        self.step_now.traps.append(vector)
        self._take_vector(vector, old_ps)
        try:
            self.push(old_ps)
            self._loosen_pushed_ps(self.register(SP))
            self.push(old_pc)
        except RedStack:
            self.step_now.diverted += 1
            self.emergency(old_pc, old_ps)
        except Abort:
            self._bad_stack(old_pc, old_ps)

    def _loosen_pushed_ps(self, address: int) -> None:
        if self.ps_open.mask:
            self.loosen("memory", address, *self.ps_open)
            self.ps_open = CLOSED

    def _take_vector(self, vector: int, old_ps: int) -> None:
        new_pc, new_ps = self.read(vector), self.read(vector + 2)
        if self.profile.modes > 1:
            new_ps = new_ps & ~0o30000 | old_ps >> 2 & 0o30000
        self.set_ps(new_ps)
        self.pc = new_pc

    def _bad_stack(self, old_pc: int, old_ps: int) -> None:
        """D19: a stack that can't take the words of a trap."""
        if self.profile["D19"] == "emergency_stack":
            self.step_now.diverted += 1
            self.emergency(old_pc, old_ps)
        elif self.profile["D19"] == "halt":
            self.step_now.stop = "halted"
        else:
            raise Undefined("D19")

    def emergency(self, old_pc: int, old_ps: int) -> None:
        """SP becomes 4, old PC and PS are stored in 0 and 2, then trap 4 (D19, red stack in 7.3)."""
        self.step_now.traps.append(ERROR)
        self._take_vector(ERROR, old_ps)
        if self.mode != KERNEL:
            raise Undefined("whose SP becomes 4 when vector 4 leads out of kernel mode?")
        self.write(2, old_ps)
        self._loosen_pushed_ps(2)
        self.write(0, old_pc)
        self.set_register(SP, 0)
        self.yellow = False

    # --- one instruction ----------------------------------------------------------------------------------------

    def step(self) -> Step:
        """Execute one instruction and the traps that follow it.  Raises Undefined."""
        self.step_now = Step(self.pc)
        self.yellow = self.ps_written = False
        self.ps_open = CLOSED
        self.traced = bool(self.ps & T_BIT)
        try:
            self._instruction()
        except Abort as abort:
            if self.yellow:
                raise Undefined("does the stack trap still follow an instruction that was given up?") from abort
            self.traced = False
            self.trap(ERROR)
        except RedStack:
            self.traced = False
            self.emergency(self.pc, self.ps)
        if not self.step_now.stop:
            self._afterwards()
        if self.ps_open.mask:
            self.loosen("ps", 0, *self.ps_open)
        return self.step_now

    def _afterwards(self) -> None:
        """Trace trap, then stack trap (7.2, 7.3)."""
        if self.traced:
            self.trap(TRACE)
        if self.yellow and not self.step_now.stop:
            self.trap(ERROR)
            self.yellow = False

    def _instruction(self) -> None:
        word = self.fetch()
        row = self.decoded[word]
        self.step_now.word = word
        if row is None:
            self._reserved(word)
            return
        self.step_now.name = row.name(word)
        FORMS[row.form](self, row, word)

    def _trap_now(self, vector: int) -> None:
        """A trap that the instruction itself makes: it is not traced; the T bit comes back with RTI (7.2)."""
        self.traced = False
        self.trap(vector)

    def _reserved(self, word: int) -> None:
        row = whole_table()[word]
        if row is not None and row.module in self.beyond:
            raise Undefined(f"module {row.module} is fitted and not in this specification")
        if self.profile["D40"] == "maintenance" and 0o210 <= word <= 0o217:
            raise Undefined("D40: maintenance use")
        if self.profile["D39"] == "read_then_trap_10" and 0o075040 <= word <= 0o075377:
            self.read(self.register(word & 7))  # the EIS/FIS part counts as fitted: the machine has every option
        self._trap_now(RESERVED)

    # --- forms with operands ------------------------------------------------------------------------------------

    def one(self, row: Row, word: int) -> None:
        """One operand: read unless the old value can't matter, then write."""
        name, width = row.names[0], width_of(row, word)
        if name in ("TSTSET", "WRTLCK"):
            self._locked(name, word)
            return
        place = self.place(word & 0o77, width)
        old = 0 if name in ("CLR", "SXT") else self.load(place, width)
        if name == "SWAB":
            result = swap_bytes(old, v=0 if self.profile["D06"] == "cleared" else self.codes.v)
        else:
            result = ONE[name](width, old, self.codes)
        if name == "SBC" and not self.codes.c:
            self.ps_open = Open(0o2, "V after SBC with C = 0 is disputed (10.4)")
        if name == "SWAB" and self.profile.id == "first-hardwired":
            self.ps_open = Open(0o2, "V after SWAB is disputed (10.1)")
        if result.value is not None:
            self.store(place, result.value, width)
        self._finish(result.codes)

    def two(self, row: Row, word: int) -> None:
        """Source first, then destination; a register as source may be looked at late (D01 to D03)."""
        name, width = row.names[0], width_of(row, word)
        source_field, destination = word >> 6 & 0o77, word & 0o77
        self._combine(name, width, source_field, destination)

    def _combine(self, name: str, width: Width, source_field: int, destination: int) -> None:
        source_place = self.place(source_field, width)
        source = self.load(source_place, width)
        place = self.place(destination, width)
        if source_place.register is not None and self._looked_at_late(source_place.register, destination):
            source = self.load(source_place, width)
        old = 0 if name == "MOV" else self.load(place, width)
        result = TWO[name](width, source, old, self.codes)
        if name == "MOV" and width is BYTE and place.register is not None:
            self.store(place, BYTE.signed(source) & WORD.mask, WORD)  # MOVB to a register extends the sign
        elif result.value is not None:
            self.store(place, result.value, width)
        self._finish(result.codes)

    def _looked_at_late(self, register: int, destination: int) -> bool:
        """Is the source register read after the destination was found?"""
        mode = destination >> 3
        if mode in (6, 7):
            return register == PC and self.profile["D03"] == "plus4"
        if register != destination & 7:
            return False
        return self.profile["D01" if mode in (2, 4) else "D02"] == "after"

    def _finish(self, codes: Codes) -> None:
        """Condition codes come last.  After a write to the PS itself it is open which value stays."""
        if not self.ps_written:
            self.codes = codes

    def _locked(self, name: str, word: int) -> None:
        """TSTSET and WRTLCK (2.1); mode 0 traps to 10 (1.1)."""
        if word & 0o70 == 0:
            self._trap_now(RESERVED)
            return
        if name == "WRTLCK" and word & 7 == 0 and 2 <= word >> 3 & 7 <= 5:
            raise Undefined("WRTLCK: is R0 read before or after its own step?")
        place = self.place(word & 0o77, WORD)
        if name == "TSTSET":
            old = self.load(place, WORD)
            self.store(place, old | 1, WORD)
            self.set_register(0, old)
            self._finish(Codes(old >> 15, int(old == 0), 0, old & 1))
            return
        value = self.register(0)
        self.store(place, value, WORD)
        self._finish(Codes(value >> 15, int(value == 0), 0, self.codes.c))

    def ps_byte(self, row: Row, word: int) -> None:
        """MTPS and MFPS: the low byte of the PS (D22)."""
        place = self.place(word & 0o77, BYTE)
        if row.names[0] == "MFPS":
            value = self.ps & BYTE.mask
            if place.register is not None:
                self.store(place, BYTE.signed(value) & WORD.mask, WORD)
            else:
                self.store(place, value, BYTE)
            self._finish(Codes(value >> 7, int(value == 0), 0, self.codes.c))
            return
        value = self.load(place, BYTE)
        self.ps = self.ps & ~0o17 | value & 0o17  # T never changes
        if self._mtps_sets_priority():
            self.ps = self.ps & ~PRIORITY | value & PRIORITY

    def _mtps_sets_priority(self) -> bool:
        """Outside kernel mode: no on the second chip set and the last chip; D46 for the rest."""
        if self.mode == KERNEL:
            return True
        if self.profile.id in SECOND_CHIP_SET + LATE_SINGLE_CHIP or self.profile["D46"] == "cc_only":
            return False
        raise Undefined("D46: depends on memory management")

    # --- flow ---------------------------------------------------------------------------------------------------

    def branch(self, row: Row, word: int) -> None:
        """Counted in words from the updated PC."""
        if BRANCHES[row.names[0]](self.codes):
            self.pc = (self.pc + 2 * BYTE.signed(word & BYTE.mask)) & WORD.mask

    def loop(self, _row: Row, word: int) -> None:
        """SOB: backwards only."""
        number = word >> 6 & 7
        if number == PC:
            raise Undefined("SOB with PC as its counter")
        left = (self.register(number) - 1) & WORD.mask
        self.set_register(number, left)
        if left:
            self.pc = (self.pc - 2 * (word & 0o77)) & WORD.mask

    def target(self, field_: int) -> int:
        """The address that JMP and JSR go to.  Mode 0 has none (D05)."""
        mode, number = field_ >> 3, field_ & 7
        if mode == 4 and number == SP and self.profile["D24"] != "none" and self.register(SP) < 0o402:
            raise Undefined("is a jump through -(SP) a reference?")
        place = self.place(field_, WORD)
        return place.address + 2 if mode == 2 and self.profile["D04"] == "after" else place.address

    def jump(self, _row: Row, word: int) -> None:
        """JMP."""
        if word & 0o70 == 0:
            self._trap_now(int(self.profile["D05"] or "", 8))
            return
        self.pc = self.target(word & 0o77) & WORD.mask

    def register_destination(self, row: Row, word: int) -> None:
        """JSR and XOR: a register, then a destination."""
        number = word >> 6 & 7
        if row.names[0] == "XOR":
            self._combine("XOR", WORD, number, word & 0o77)
            return
        if word & 0o70 == 0:
            self._trap_now(int(self.profile["D05"] or "", 8))
            return
        target = self.target(word & 0o77) & WORD.mask
        self.push(self.register(number))
        if number == SP:
            self.loosen("memory", self.register(SP), WORD.mask, "JSR SP: is SP pushed before or after its step?")
        self.set_register(number, self.pc)
        self.pc = target

    def return_from_subroutine(self, _row: Row, word: int) -> None:
        """RTS: PC = R, R popped."""
        number = word & 7
        self.pc = self.register(number)
        value = self.pop()
        if number == SP:
            self.loosen_register(SP, "RTS SP: is SP stepped after it was popped?")
        self.set_register(number, value)

    def count(self, row: Row, word: int) -> None:
        """SPL and MARK."""
        if row.names[0] == "SPL":
            if self.mode == KERNEL:
                self.ps = self.ps & ~PRIORITY | (word & 7) << 5
            return
        self.set_register(SP, self.pc + 2 * (word & 0o77))
        self.pc = self.register(5)
        self.set_register(5, self.pop())

    def change_codes(self, row: Row, word: int) -> None:
        """Clear or set the selected condition codes; none selected: no operation."""
        selected = word & 0o17
        self.ps = self.ps | selected if row.names[0] == "SET-CODES" else self.ps & ~selected

    # --- no operand ---------------------------------------------------------------------------------------------

    def control(self, row: Row, _word: int) -> None:
        """Instructions without an operand."""
        name = row.names[0]
        if name in TRAP_INSTRUCTIONS:
            self._trap_now(TRAP_INSTRUCTIONS[name])
        elif name == "MFPT":
            self.set_register(0, PROCESSOR_TYPE[self.profile.id])
        elif name in ("RTI", "RTT"):
            self._return_from_trap(name)
        elif name == "WAIT":
            self._wait()
        elif name == "HALT":
            self._halt()
        # RESET: nothing here to initialise; outside kernel mode it does nothing

    def _wait(self) -> None:
        """D17: does the trace trap end it?"""
        if self.traced and self.profile["D17"] == "ends_wait":
            return
        self.step_now.stop = "waiting"

    def _halt(self) -> None:
        """D36 outside kernel mode, D37 and D38 in it."""
        if self.mode != KERNEL:
            self._trap_now(int(self.profile["D36"] or "", 8))
            return
        if self.profile["D38"] == "restart":
            self._restart()
            return
        self.traced = False  # on continue the next instruction is traced (7.2)
        self.step_now.stop = "halted"

    def _restart(self) -> None:
        if self.start is None:
            raise Undefined("D38: no start address")
        self.push(self.ps)
        self.push(self.pc)
        self.pc = (self.start + 4) & WORD.mask
        self.ps_open = Open(WORD.mask, "D38 doesn't say which PS follows")

    def _return_from_trap(self, name: str) -> None:
        """RTI and RTT: PC, then PS; outside kernel mode bits 15:11 can only be set and 7:5 stay (2.1)."""
        pc = self.pop()
        ps = self.pop()
        if self.mode != KERNEL:
            ps = (ps | self.ps) & 0o174000 | ps & ~(0o174000 | PRIORITY) | self.ps & PRIORITY
        if self.traced and (name == "RTT" or not ps & T_BIT):
            raise Undefined("a traced return that clears T, or a traced RTT")
        self.pc = pc
        self.set_ps(ps)
        if name == "RTI" and self.ps & T_BIT and self.profile["D15"] == "at_once":
            self.traced = True


def width_of(row: Row, word: int) -> Width:
    """Byte form or word form."""
    return BYTE if row.pattern[0] == "*" and word & 0o100000 else WORD


FORMS: dict[str, Callable[[SpecMachine, Row, int], None]] = {
    "none": SpecMachine.control,
    "count": SpecMachine.count,
    "codes": SpecMachine.change_codes,
    "branch": SpecMachine.branch,
    "register": SpecMachine.return_from_subroutine,
    "register-destination": SpecMachine.register_destination,
    "loop": SpecMachine.loop,
    "one": SpecMachine.one,
    "one-byte": SpecMachine.ps_byte,
    "two": SpecMachine.two,
    "jump": SpecMachine.jump,
}
