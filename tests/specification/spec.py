"""The base instruction set and EIS as an executable specification.

Written from the facts on the processor (sections 1, 2, 7) and the rows of differences, and from nothing else: it must
not share a mistake with the core.  What the words settled, loose and undefined mean: outcomes.py.
"""

from __future__ import annotations

from collections.abc import Callable

from .arithmetic import BRANCHES, BYTE, ONE, TWO, WORD, Codes, Width, swap_bytes
from .codes import Row, whole_table
from .extended import EXTENDED
from .outcomes import CLOSED, Abort, Open, RedStack, Step, Undefined
from .processor import ERROR, KERNEL, PC, PRIORITY, SP, T_BIT, SpecProcessor
from .profiles import LATE_SINGLE_CHIP, PROCESSOR_TYPE, SECOND_CHIP_SET

# Vectors: seen, [handbook-1969] pp. 42-43.
RESERVED, TRACE, IOT, EMT, TRAP = 0o10, 0o14, 0o20, 0o30, 0o34
TRAP_INSTRUCTIONS = {"BPT": TRACE, "IOT": IOT, "EMT": EMT, "TRAP": TRAP}


class SpecMachine(SpecProcessor):
    """A processor with its instructions."""

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
        old = 0
        if name not in ("CLR", "SXT"):
            old = self.load(place, width)
        elif self.profile["D35"] == "read_write":
            self.read_before_write(place, width)
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
        old = 0
        if name != "MOV":
            old = self.load(place, width)
        elif self.profile["D30"] == "read_write" and (width is BYTE or self.profile.id != "chipset-one-level"):
            self.read_before_write(place, width)  # one profile does so for bytes only, says a note of the row
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

    def arithmetic(self, row: Row, word: int) -> None:
        """EIS: the source operand first, with the steps of its mode, then the registers."""
        name, number = row.names[0], word >> 6 & 7
        if number >= SP and (name != "ASH" or number == PC):
            raise Undefined(f"{name} of SP or PC")
        operand = self.load(self.place(word & 0o77, WORD), WORD)
        odd = bool(number & 1)
        result = EXTENDED[name](self.register(number), self.register(number | 1), operand, odd)
        if name == "ASH" or not odd:
            self.set_register(number, result.high)
        if name != "ASH":
            self.set_register(number | 1, result.low)
        if result.open_codes:
            self.ps_open = Open(result.open_codes, f"N and Z of {name} with V set")
        self._finish(result.codes)

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
    "arithmetic": SpecMachine.arithmetic,
}
