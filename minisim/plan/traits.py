"""What one board gives to a machine and takes from it, in plain numbers: the columns of the planner's arithmetic.

Everything comes from the catalogue; what is unknown counts nothing and is named by the check of the finished machine.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any

from minisim.catalogue import Catalogue
from minisim.catalogue.model import BoardEntry
from minisim.known import Figure, Known

SERIAL = ("serial-line", "serial-line-modem")
CLOCKS = ("line-clock", "event-line")
_CONSOLE = 0o17560
_MUX_HALF = ("single", "dual")


def peek(figure: Figure[Any], otherwise: Any = None) -> Any:
    """A figure for arithmetic only, without a trace."""
    return figure.peek if isinstance(figure, Known) else otherwise


@dataclass(frozen=True, eq=False)
class Traits:
    """One board kind as the planner sees it."""

    entry: BoardEntry

    @property
    def id(self) -> str:
        """Its id in the catalogue."""
        return self.entry.id

    @cached_property
    def boards(self) -> int:
        """Slots that the set takes."""
        return int(peek(self.entry.boards, 1))

    @cached_property
    def height(self) -> str:
        """single dual quad hex, or empty where it is not known."""
        return str(peek(self.entry.height, ""))

    @cached_property
    def is_half(self) -> bool:
        """On the multiplexed bus: does it take one half of a quad slot?"""
        return self.height in _MUX_HALF

    @property
    def is_processor(self) -> bool:
        """Does it start the grant chain?"""
        return self.entry.processor is not None

    @property
    def profile(self) -> str:
        """The profile of a processor, else nothing."""
        return self.entry.processor.profile if self.entry.processor is not None else ""

    @cached_property
    def memory_kb(self) -> int:
        """The largest size that the board is made with, 0 where it has none or none is known."""
        return max(self.sizes_kb, default=0)

    @cached_property
    def sizes_kb(self) -> tuple[int, ...]:
        """The sizes its memory is made with, smallest first; none where a loadout can't say which."""
        sizes = tuple(sorted(peek(self.entry.memory.kb, ()) or ())) if self.entry.memory is not None else ()
        return sizes if len(sizes) == 1 or "kb" in self.entry.settings else ()

    @property
    def narrow_kb(self) -> int:
        """How far memory that decodes few address bits reaches: in a larger machine it would answer again; 0: far."""
        bits = peek(self.entry.address_bits)
        is_narrow = bool(self.sizes_kb) and isinstance(bits, int) and bits < 22 and not self.is_processor
        return 1 << bits - 10 if is_narrow else 0

    @property
    def forgets(self) -> bool:
        """Memory that does not refresh itself."""
        memory = self.entry.memory
        return memory is not None and peek(memory.refreshes_itself) == "no"

    @property
    def refreshes(self) -> bool:
        """Does it refresh the memory of other boards?"""
        return bool(peek(self.entry.refreshes_others) == "yes")

    @cached_property
    def lines(self) -> int:
        """Serial lines."""
        return sum(one.lines for one in self.entry.registers if one.device in SERIAL)

    @cached_property
    def can_be_console(self) -> bool:
        """Can one of its lines answer at the address of the console?"""
        places = [one.at for one in self.entry.registers if one.device in SERIAL]
        return any(at.fixed == _CONSOLE or _CONSOLE in at.choices for at in places)

    @property
    def is_always_console(self) -> bool:
        """Does one of its lines answer at the address of the console, whatever its switches say?"""
        return any(one.device in SERIAL and one.at.fixed == _CONSOLE for one in self.entry.registers)

    @cached_property
    def fixed_words(self) -> frozenset[int]:
        """I/O-page offsets of the words it always answers at; a clock that can be switched off does not count."""
        switched = "clock" in self.entry.settings
        return frozenset(
            one.at.fixed + 2 * word
            for one in self.entry.registers
            if one.at.fixed is not None and not (switched and one.device in CLOCKS)
            for word in range(peek(one.words, 0) or 0)
        )

    @cached_property
    def devices(self) -> tuple[str, ...]:
        """The device models on it."""
        return tuple(dict.fromkeys(one.device for one in self.entry.registers))

    @property
    def has_clock(self) -> bool:
        """Does it tick?"""
        return any(device in CLOCKS for device in self.devices)

    @property
    def holds_rom(self) -> bool:
        """Has it sockets or windows for a boot ROM?"""
        return self.entry.rom is not None and bool(self.entry.rom.windows)

    @cached_property
    def ends(self) -> str:
        """Which end of the bus it terminates: near, far, either or nothing."""
        strength = peek(self.entry.terminates, "no")
        return self.entry.terminates_end or "either" if strength in ("full", "weak") else ""

    @property
    def turns_grants(self) -> bool:
        """A terminator that gives an unclaimed grant back as an acknowledge."""
        return bool(peek(self.entry.turnaround, "no") == "yes")

    @property
    def uses_bus(self) -> bool:
        """Does it interrupt or transfer by itself?"""
        return "yes" in (peek(self.entry.interrupts, "yes"), peek(self.entry.dma, "yes"))

    @property
    def is_grant_card(self) -> bool:
        """A card that only passes grants on: no registers, no memory, no terminator."""
        entry = self.entry
        plain = not entry.registers and entry.memory is None and entry.rom is None and entry.processor is None
        return plain and not self.ends and not entry.option_adds and self.height in _MUX_HALF and self._passes

    @property
    def _passes(self) -> bool:
        return bool(peek(self.entry.passes_grant) == "yes")

    @cached_property
    def amps(self) -> dict[str, Decimal]:
        """Known currents by rail."""
        return {rail: value for rail, figure in self.entry.amps.items() if (value := peek(figure)) is not None}

    def option(self, name: str) -> str:
        """Where its processor takes an option: standard, socket, board, unknown, never; empty where it has no say."""
        return self.entry.processor.options.get(name, "never") if self.entry.processor else ""

    def adds_to(self, option: str, profile: str) -> bool:
        """Is it the board of this option for processors of a profile?"""
        return option in self.entry.option_adds and (not self.entry.option_to or profile in self.entry.option_to)


def traits_of(names: Iterable[str], catalogue: Catalogue) -> dict[str, Traits]:
    """Boards of which it is known where they may stand, by id."""
    found = {name: Traits(catalogue.board(name)) for name in names}
    return {name: board for name, board in found.items() if board.height or board.is_processor}
