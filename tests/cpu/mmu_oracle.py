"""Memory management in plain integers: from section 6 of the facts and its written readings alone, never from the core.

Every register and every rule stands here once, in the words of the facts; speed is no aim.  What no document and no
reading settles raises `Open`, and whoever compares leaves that case out and counts it.
"""

from __future__ import annotations

from array import array

from mmu_facts import Facts

KERNEL, SUPERVISOR, UNDEFINED, USER = 0, 1, 2, 3
I_SPACE, D_SPACE = 0, 1
WORD, SP, PC, T_BIT = 0o177777, 6, 7, 0o20
BUS_ERROR, RESERVED, TRACE, MANAGEMENT = 0o4, 0o10, 0o14, 0o250
NON_RESIDENT, LENGTH, READ_ONLY = 0o100000, 0o40000, 0o20000
FROZEN = NON_RESIDENT | LENGTH | READ_ONLY
TRAPPED, TRAP_ENABLE, MAINTENANCE, COMPLETED, ON = 0o10000, 0o1000, 0o400, 0o200, 1
ACCESSED, WRITTEN, DOWNWARDS = 0o200, 0o100, 0o10
D_SPACE_BIT = (4, 2, 0, 1)  # of MMR3, by mode
CALL_BIT, WIDE_BIT, MAP_BIT = 0o10, 0o20, 0o40
LIMIT = 0o400  # of a fixed stack limit; no case sets another

# Registers in the I/O page, by offset in it (6.1): the first of each group of eight, its mode and its space.
PDR_AT = {0o12200: 16, 0o12220: 24, 0o12300: 0, 0o12320: 8, 0o17600: 48, 0o17620: 56}
PAR_AT = {at + 0o40: index for at, index in PDR_AT.items()}
MMR_AT = {0o17572: 0, 0o17574: 1, 0o17576: 2, 0o12516: 3}
PS_AT, MAP_AT, MAP_END = 0o17776, 0o10200, 0o10374
SUSPENDED = 0o400  # PS bit 8; a vector must have it clear (5.5), and does not set it (unconfirmed)
OTHERS = (0o17570, 0o17766, 0o17770, 0o17772, 0o17774, *range(0o17700, 0o17720), 0o10374, 0o10376)


class Open(Exception):  # noqa: N818 - not an error: an end of what is known
    """Nobody has written down what happens here."""


class GivenUp(Exception):  # noqa: N818 - not an error: what the processor does
    """The instruction ends here and traps; `kind` is odd, time-out, fetch or management."""

    def __init__(self, vector: int, kind: str) -> None:
        super().__init__(f"{kind}: trap {vector:o}")
        self.vector, self.kind = vector, kind


def access_rules(three_bits: bool) -> list[tuple[bool, bool, bool, bool]]:
    """For each access field (bits 2:0): does a read abort, a write; does a good read trap, a good write (6.3)?"""
    absent, read_only = (True, True, False, False), (False, True, False, False)
    if not three_bits:
        two = [absent, read_only, absent, (False, False, False, False)]
        return [two[field >> 1] for field in range(8)]
    traps = {1: (False, True, True, False), 2: read_only, 4: (False, False, True, True), 5: (False, False, False, True)}
    return [traps.get(field, (False, False, False, False) if field == 6 else absent) for field in range(8)]


class Management:
    """Processor registers, memory from 0 up, and the registers of memory management of one processor.

    PARs and PDRs stand at 16 x mode + 8 x space + page.  `written`: addresses of words written to memory, in order.
    """

    def __init__(self, facts: Facts, memory: bytearray) -> None:
        self.facts, self.memory, self.size = facts, memory, len(memory)
        self.par, self.pdr = array("H", bytes(128)), array("H", bytes(128))
        self.mmr = [0, 0, 0, 0]
        self.bus_map = [[0, 0] for _ in range(32)]
        self.sets = [[0] * 6, [0] * 6]
        self.stacks = [0] * 4
        self.pc = self.ps = 0
        self.rules = access_rules(facts.access_bits)
        self.has_mmr1 = facts.modes == 3
        self.io = (1 << facts.address_bits) - 0o20000
        self.ps_bits = 0o377 | (0o170000 if facts.modes > 1 else 0) | (0o4000 if facts.sets > 1 else 0)
        self.ps_bits |= SUSPENDED if facts.commercial else 0
        self.pdr_bits = 0o77416 | (1 if facts.access_bits else 0) | (0o100000 if facts.bypass else 0)
        self.par_bits = (1 << facts.par_bits) - 1
        self.mmr0_bits = FROZEN | ON | (TRAPPED | TRAP_ENABLE if facts.trap_bits else 0)
        self.mmr0_bits |= MAINTENANCE if facts.maintenance else 0
        self.mmr3_bits = (7 if facts.data_space else 0) | (0o60 if facts.wide else 0) | (CALL_BIT if facts.call else 0)
        self.written: list[int] = []
        self.trap_due = self.ps_written = False
        self.mmr1_open = self.pc_open = False  # what MMR1 holds, where a fetch that aborts leaves PC: nowhere said

    # --- from a virtual address to a physical one (6.2 to 6.4) ----------------------------------------------------

    def owner(self, mode: int) -> int | None:
        """Whose PARs and PDRs a mode has; None: it has none, and every reference aborts (D45)."""
        if mode in (KERNEL, USER) or (mode == SUPERVISOR and self.facts.modes == 3):
            return mode
        return USER if self.facts.undefined_mode == "unsafe" else None

    def translate(self, virtual: int, mode: int, space: int, write: bool, last: bool = False) -> int:
        """The physical address, or an abort.  `last`: the destination operand itself (what maintenance relocates)."""
        mmr0 = self.mmr[0]
        if not (mmr0 & ON or (last and mmr0 & MAINTENANCE)):
            return virtual if virtual < 0o160000 else self.io + (virtual & 0o17777)
        if space and not self.mmr[3] & D_SPACE_BIT[mode]:
            space = I_SPACE
        page, block, owner = virtual >> 13, virtual >> 6 & 0o177, self.owner(mode)
        if owner is None:
            self.abort(NON_RESIDENT, mode, space, page)
        index = owner << 4 | space << 3 | page  # type: ignore[operator]
        pdr = self.pdr[index]
        read_aborts, write_aborts, read_traps, write_traps = self.rules[pdr & 7]
        wrong = NON_RESIDENT if read_aborts else READ_ONLY if write and write_aborts else 0
        length = pdr >> 8 & 0o177
        if block < length if pdr & DOWNWARDS else block > length:
            wrong |= LENGTH
        if wrong:
            self.abort(wrong, mode, space, page)
        self.pdr[index] |= (WRITTEN if write else 0) | (ACCESSED if self.facts.access_bits else 0)
        if write_traps if write else read_traps:
            self.note_trap()
        return self.relocated(self.par[index], block, virtual & 0o77)

    def relocated(self, par: int, block: int, byte: int) -> int:
        """(PAR + block) x 100 + byte, in 18 or in 22 bits; the I/O page is at the top of either."""
        if self.facts.par_bits == 16 and self.mmr[3] & WIDE_BIT:
            at = ((par + block) * 0o100 + byte) & 0o17777777
            return at if at >= 0o17760000 or at < 0o17000000 else self.through_bus_map(at)
        at = (((par & 0o7777) + block) * 0o100 + byte) & 0o777777
        return at if at < 0o760000 else self.io + (at & 0o17777)

    def through_bus_map(self, at: int) -> int:
        """17000000 to 17757777 goes out to the bus, and back through the map (6.5)."""
        if self.facts.bus_map == "none":
            return at
        if self.facts.bus_map == "open":
            raise Open("is the bus map fitted?")
        bus = at & 0o777777
        if not self.mmr[3] & MAP_BIT:
            return bus
        low, high = self.bus_map[bus >> 13]
        at = ((high & 0o77) << 16 | low & 0o177776) + (bus & 0o17777) & 0o17777777
        if at >= 0o17000000:
            raise Open("a bus map that leads out to the bus again")
        return at

    def abort(self, wrong: int, mode: int, space: int, page: int) -> None:
        """Recorded if nothing is frozen; the trap comes either way."""
        if not self.mmr[0] & FROZEN:
            self.mmr[0] = self.mmr[0] & ~(FROZEN | 0o376) | wrong | mode << 5 | space << 4 | page << 1
        raise GivenUp(MANAGEMENT, "management")

    def note_trap(self) -> None:
        """A reference that is allowed and noticed (D48, D50)."""
        if self.mmr[0] & (TRAPPED | TRAP_ENABLE) == TRAP_ENABLE:
            self.trap_due = True
        self.mmr[0] |= TRAPPED if self.mmr[0] & FROZEN else TRAPPED | COMPLETED

    # --- references -----------------------------------------------------------------------------------------------

    def locate(self, virtual: int, mode: int, space: int, write: bool, byte: bool, last: bool) -> int:
        """Odd address first, then abort, then time-out (6.4).  The I/O page answers for itself."""
        if virtual & 1 and not byte:
            if self.facts.odd_traps:
                raise GivenUp(BUS_ERROR, "odd")
            virtual &= ~1
        at = self.translate(virtual, mode, space, write, last)
        if self.size <= at < self.io:
            raise GivenUp(BUS_ERROR, "time-out")
        return at

    def read(self, virtual: int, mode: int, space: int, byte: bool = False, last: bool = False) -> int:
        """A word or a byte."""
        at = self.locate(virtual, mode, space, False, byte, last)
        if at < self.size:
            return self.memory[at] if byte else self.memory[at] | self.memory[at + 1] << 8
        word = self.register_read(at - self.io & 0o17776)
        return word if not byte else word >> 8 if at & 1 else word & 0o377

    def write(self, virtual: int, value: int, mode: int, space: int, byte: bool = False, last: bool = False) -> None:
        """A word or a byte."""
        at = self.locate(virtual, mode, space, True, byte, last)
        if at >= self.size:
            self.register_write(at - self.io, value, byte)
            return
        self.written.append(at & ~1)
        self.memory[at] = value & 0o377
        if not byte:
            self.memory[at + 1] = value >> 8

    # --- registers in the I/O page (6.1) ----------------------------------------------------------------------------

    def mapped_register(self, offset: int) -> tuple[array[int], int] | None:
        """The PAR or PDR at this word of the I/O page."""
        for bank, places in ((self.pdr, PDR_AT), (self.par, PAR_AT)):
            index = places.get(offset & ~0o17)
            if index is None or (index >> 4 == SUPERVISOR and self.facts.modes < 3):
                continue
            if not index & 8 or self.facts.data_space:
                return bank, index + (offset >> 1 & 7)
        return None

    def register_read(self, offset: int) -> int:
        """A word of the I/O page."""
        if offset == PS_AT:
            return self.ps
        if offset in MMR_AT and (MMR_AT[offset] != 3 or self.mmr3_bits):
            return self.mmr[MMR_AT[offset]]
        if place := self.mapped_register(offset):
            return place[0][place[1]]
        if MAP_AT <= offset < MAP_END and self.facts.bus_map != "none":
            return self.map_word(offset)[offset >> 1 & 1]
        return self.nobody(offset)

    def nobody(self, offset: int) -> int:
        """No device is there."""
        if offset in OTHERS or offset in MMR_AT:
            raise Open("another register of the processor")
        raise GivenUp(BUS_ERROR, "time-out")

    def map_word(self, offset: int) -> list[int]:
        """The pair of words of the bus map at this place."""
        if self.facts.bus_map == "open":
            raise Open("is the bus map fitted?")
        return self.bus_map[(offset - MAP_AT) >> 2]

    def register_write(self, offset: int, value: int, byte: bool) -> None:
        """A word or a byte of the I/O page; the other byte keeps its value."""
        if byte:
            old = self.register_read(offset & ~1)
            value = old & 0o377 | value << 8 if offset & 1 else old & 0o177400 | value & 0o377
        offset &= ~1
        if offset == PS_AT:
            self.set_ps(value & ~T_BIT | self.ps & T_BIT)  # D18: cannot change T, on every processor with management
            self.ps_written = True
        elif offset in MMR_AT and (MMR_AT[offset] != 3 or self.mmr3_bits):
            self.write_mmr(MMR_AT[offset], value)
        elif place := self.mapped_register(offset):
            self.write_mapping(place[0], place[1], value)
        elif MAP_AT <= offset < MAP_END and self.facts.bus_map != "none":
            self.map_word(offset)[offset >> 1 & 1] = value & (0o77 if offset & 2 else 0o177776)
        else:
            self.nobody(offset)

    def write_mmr(self, number: int, value: int) -> None:
        """MMR0 and MMR3 in the bits they have; the other two only tell."""
        if number == 0:
            self.mmr[0] = self.mmr[0] & ~self.mmr0_bits | value & self.mmr0_bits
        elif number == 3:
            self.mmr[3] = value & self.mmr3_bits

    def write_mapping(self, bank: array[int], index: int, value: int) -> None:
        """Any write of a PAR or PDR clears the accessed and written bits of the PDR."""
        bank[index] = value & (self.par_bits if bank is self.par else self.pdr_bits)
        self.pdr[index] &= ~(ACCESSED | WRITTEN)

    # --- processor registers ----------------------------------------------------------------------------------------

    @property
    def mode(self) -> int:
        """Current mode."""
        return self.ps >> 14

    def stack_of(self, mode: int) -> int:
        """Whose stack pointer a mode uses; mode 10 may have that of user mode (D45)."""
        return USER if mode == UNDEFINED and self.facts.undefined_mode == "abort_r6_user" else mode

    def register(self, number: int) -> int:
        """Of the current set and mode."""
        if number < SP:
            return self.sets[self.ps >> 11 & 1][number]
        return self.stacks[self.stack_of(self.ps >> 14)] if number == SP else self.pc

    def set_register(self, number: int, value: int) -> None:
        """Of the current set and mode."""
        if number < SP:
            self.sets[self.ps >> 11 & 1][number] = value & WORD
        elif number == SP:
            self.stacks[self.stack_of(self.ps >> 14)] = value & WORD
        else:
            self.pc = value & WORD

    def set_ps(self, value: int) -> None:
        """All bits that the processor has."""
        self.ps = value & self.ps_bits

    def step_register(self, number: int, by: int) -> None:
        """Modes 2 to 5, pushes and pops: MMR1 tells of them, the first in its low byte; not of PC."""
        self.set_register(number, self.register(number) + by)
        if number == PC or not self.has_mmr1 or self.mmr[0] & FROZEN:
            return
        change = (by & 0o37) << 3 | number
        if self.mmr[1] > 0o377:
            raise Open("a third change for MMR1")
        self.mmr[1] |= change << 8 if self.mmr[1] else change

    # --- stack and traps (7.1) --------------------------------------------------------------------------------------

    def watch_stack(self, virtual: int) -> None:
        """A stepping-down reference through SP: limits compare virtual addresses; what they do is tested elsewhere."""
        if virtual < LIMIT and (self.mode == KERNEL or (self.mode == USER and self.facts.user_limit)):
            raise Open("the stack limit")

    def push(self, value: int, recorded: bool) -> None:
        """SP - 2, then a write in data space; those of a trap are not recorded."""
        if recorded:
            self.step_register(SP, -2)
        else:
            self.set_register(SP, self.register(SP) - 2)
        virtual = self.register(SP)
        self.watch_stack(virtual)
        self.write(virtual, value, self.mode, D_SPACE)
        if self.ps_written:
            raise Open("a stack in the PS")

    def trap(self, vector: int) -> None:
        """New PC and PS from kernel data space; the previous mode is the old one; both pushed on the new stack."""
        if self.facts.vectors_in_mmr2 and not self.mmr[0] & FROZEN:
            self.mmr[2] = vector
        old_pc, old_ps, self.trap_due = self.pc, self.ps, False
        before = len(self.written)
        if self.ps_written:
            raise Open("condition codes after a write of the PS")
        try:
            pc, ps = self.read(vector, KERNEL, D_SPACE), self.read(vector + 2, KERNEL, D_SPACE)
            self.set_ps(ps & ~(0o30000 | SUSPENDED) | old_ps >> 2 & 0o30000)
            self.pc = pc
            self.push(old_ps, False)
            self.push(old_pc, False)
        except GivenUp as given_up:
            raise Open("D19: a stack or vector that a trap can't use") from given_up
        if self.trap_due:
            raise Open("a management trap by the pushes of a trap")
        if self.pc_open and len(self.written) < before + 2:
            raise Open("an open PC, pushed into a register")
