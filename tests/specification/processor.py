"""Registers, bus, operands, stack and traps: what every instruction of the specification stands on.

Written from the facts on the processor (1.5, 6.1, 7) and the rows of differences, and from nothing else: it must not
share a mistake with the core.  Speed is no aim; every step is plain integers.
"""

from __future__ import annotations

from typing import NamedTuple

from .arithmetic import BYTE, WORD, Codes, Width
from .codes import decoder
from .outcomes import CLOSED, Abort, Loose, Open, RedStack, Step, Undefined
from .profiles import Profile

KERNEL, SUPERVISOR, USER = 0, 1, 3
SP, PC = 6, 7
T_BIT = 0o20
PRIORITY = 0o340
IO_PAGE = 0o160000
PS_ADDRESS = 0o177776
SUSPENDED = 0o400  # in the PS: a commercial instruction goes on where it was; no vector sets it (unconfirmed)
ERROR = 0o4  # the vector of bus errors and stack traps: seen, [handbook-1969] pp. 42-43


class Place(NamedTuple):
    """An operand: a register, or an address with the register step that mode 2 made on the way to it."""

    register: int | None
    address: int
    stepped: int | None = None
    by: int = 0


# Registers of the processor in the I/O page about which the facts don't say, for each profile, what a program finds
# there: bus map, management, memory size, error, request and limit registers.  First and last address.
UNCERTAIN_REGISTERS = (
    (0o170200, 0o170377),
    (0o172200, 0o172377),
    (0o172516, 0o172517),
    (0o177572, 0o177577),
    (0o177600, 0o177677),
    (0o177740, 0o177775),
)


def ps_bits_of(profile: Profile) -> int:
    """The bits of the PS that exist (6.1): 15:12 modes, 11 register set, 7:0 always.

    Bit 8 belongs to the commercial instruction set, which this specification doesn't execute: it only keeps the bit.
    """
    bits = 0o377
    if "cis" in profile.optional_modules():
        bits |= SUSPENDED
    if profile.modes > 1:
        bits |= 0o170000
    if profile.register_sets == 2:
        bits |= 0o4000
    return bits


class SpecProcessor:
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
        self.step_now.cycles.append(("read", address, width is BYTE))
        if address < len(self.memory):
            low = self.memory[address]
            return low if width is BYTE else low | self.memory[address + 1] << 8
        word = self._io_read(address & ~1)
        return word if width is WORD else word >> (8 * (address & 1)) & BYTE.mask

    def write(self, address: int, value: int, width: Width = WORD) -> None:
        """One write."""
        if width is WORD and address & 1:
            address = self._word_address(address)
        self.step_now.cycles.append(("write", address, width is BYTE))
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

    def read_before_write(self, place: Place, width: Width) -> None:
        """A last cycle of read, then write, where the old value doesn't matter (D30, D35)."""
        if place.register is None:
            try:
                self.load(place, width)
            except Abort:
                self.ps_open = Open(0o17, "are the codes set before a write that nobody answers?")
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
            self.emergency(old_pc, old_ps)
        except Abort:
            self._bad_stack(old_pc, old_ps)

    def _loosen_pushed_ps(self, address: int) -> None:
        if self.ps_open.mask:
            self.loosen("memory", address, *self.ps_open)
            self.ps_open = CLOSED

    def _take_vector(self, vector: int, old_ps: int) -> None:
        new_pc, new_ps = self.read(vector), self.read(vector + 2) & ~SUSPENDED
        if self.profile.modes > 1:
            new_ps = new_ps & ~0o30000 | old_ps >> 2 & 0o30000
        self.set_ps(new_ps)
        self.pc = new_pc

    def _bad_stack(self, old_pc: int, old_ps: int) -> None:
        """D19: a stack that can't take the words of a trap."""
        if self.profile["D19"] == "emergency_stack":
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
