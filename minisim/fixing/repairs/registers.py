"""Addresses and vectors: switches to the computed, the fixed, or the next free one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from minisim.catalogue.model import RegistersEntry
from minisim.findings import Finding
from minisim.fixing.edits import Edit, SetDescribed, SetSetting
from minisim.fixing.repairs._framework import Changes, repair
from minisim.fixing.situation import Situation, name_of, others_named
from minisim.known import Figure, Known
from minisim.loadout.fields import show_register_address
from minisim.loadout.model import Described
from minisim.wiring.model import Wired, WiredBoard, WiredRegisters

CONSOLE = 0o17560  # offset of the console line in the I/O page [handbook-1969]
CONSOLE_VECTOR = 0o60  # [handbook-1969]
_FLOATING = range(0o300, 0o1000, 0o10)  # vectors left to floating kinds [float-vector-wiki]
_FREE_FOR_OWNERS = range(0o4000, 0o10000, 0o10)  # offsets of 764000 and on, where described boards mostly are
_MOST = 12

BEYOND = {
    "register-ranges-overlap": "one of the two boards has no switches for another free address",
    "no-console-line": "the machine needs a serial board that can be the console",
}


# ---- figures and switches


def registers_of(wired: Wired, board: WiredBoard) -> list[WiredRegisters]:
    """Everything one board answers with."""
    return [one for one in wired.registers if one.board == board.index]


def peeked(figure: Figure[int]) -> int | None:
    """A figure without leaving a trace; None where there is none."""
    return figure.peek if isinstance(figure, Known) else None


def taken(wired: Wired, but: WiredBoard | None = None) -> set[int]:
    """Every byte of the I/O page that something answers at."""
    found: set[int] = set()
    for one in wired.registers:
        base, words = peeked(one.base), peeked(one.words)
        if base is not None and (but is None or one.board != but.index):
            found.update(range(base, base + 2 * (words or 1)))
    for rom in wired.roms:
        if but is None or rom.board != but.index:
            found.update(range(rom.base, rom.base + 2 * rom.words))
    for own in wired.processor_registers:
        found.update(range(own.base, own.base + 2 * own.words))
    return found


def live_vectors(wired: Wired, but: WiredBoard | None = None) -> set[int]:
    """Every vector that something puts on the bus."""
    return {vector.vector for one in wired.registers if but is None or one.board != but.index for vector in one.vectors}


def address_switch(board: WiredBoard, offset: int) -> Edit | None:
    """The edit that sets the address of a board; None where it has no switches for it."""
    written = board.placed.settings.get("address")
    shown = as_written(written.text if written else "", offset)
    if isinstance(board.placed.board, Described):
        was = board.placed.board.registers
        old = show_register_address(was) if was is not None else ""
        return SetDescribed(name_of(board), str(board.place), "address", shown, old) if was is not None else None
    return switch(board, "address", shown)


def as_written(was: str, offset: int) -> str:
    """An address in the 16-, 18- or 22-bit form in which the owner writes the one before it."""
    digits = was.removeprefix("0o").lstrip("0")
    top = {6: 0o160000 if digits.startswith("1") else 0o760000, 8: 0o17760000}.get(len(digits), 0o760000)
    return f"{top + offset:o}"


def vector_switch(board: WiredBoard, vector: int) -> Edit | None:
    """The edit that sets its vector."""
    shown = f"{vector:o}"
    if isinstance(board.placed.board, Described):
        was = board.placed.board.vector
        return SetDescribed(name_of(board), str(board.place), "vector", shown, f"{was:o}") if was is not None else None
    return switch(board, "vector", shown)


def switch(board: WiredBoard, setting: str, value: str) -> SetSetting | None:
    """The edit of one setting; None where the board has none of this name, or it stands so already."""
    if setting not in board.entry.settings:
        return None
    was = board.placed.settings.get(setting)
    if was is not None and was.text == value:
        return None
    return SetSetting(name_of(board), str(board.place), setting, value, was.text if was else "")


def changes(*edits: Edit | None) -> Changes:
    """The edits that there are."""
    return tuple(edit for edit in edits if edit is not None)


# ---- addresses


def addresses_for(wired: Wired, board: WiredBoard) -> list[int]:
    """Addresses the board could be set to, the computed ones first, then those that are free."""
    computed = [at for one in registers_of(wired, board) if (at := peeked(one.computed)) is not None]
    firsts = [one.at.first for one in board.entry.registers if one.at.first is not None]
    listed = [at for one in board.entry.registers for at in one.at.choices]
    if isinstance(board.placed.board, Described):
        listed = list(_FREE_FOR_OWNERS)
    used = taken(wired, board)
    free = [at for at in listed if not used & set(range(at, at + _length(wired, board)))]
    return list(dict.fromkeys([*computed, *firsts, *free[:_MOST]]))


def _length(wired: Wired, board: WiredBoard) -> int:
    return max([2 * (peeked(one.words) or 1) for one in registers_of(wired, board)], default=2)


@repair(
    "register-ranges-overlap",
    "floating-address-out-of-order",
    "first-unit-off-fixed-address",
    "address-outside-io-page",
    "address-misread-octal",
    "parity-register-shared",
)
def another_address(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The board of the finding to another address; where two collide, the other one."""
    boards = [one for one in (situation.board(finding.place),) if one is not None]
    if finding.slug == "register-ranges-overlap":
        boards += others_named(situation, finding)
    boards.sort(key=lambda board: _stands_right(situation.wired, board))
    for board in boards:
        for offset in _with_likely(finding, addresses_for(situation.wired, board)):
            yield changes(address_switch(board, offset))
    for board in boards:
        for setting, value in (("clock", "off"), ("low-window", "out"), ("event-line", "off")):
            if value in board.entry.settings[setting].values if setting in board.entry.settings else False:
                yield changes(switch(board, setting, value))


def _stands_right(wired: Wired, board: WiredBoard) -> bool:
    """Is its address one it can have?  Where two collide, the one that stands wrong is moved first."""
    setting = board.placed.settings.get("address")
    own = {at for one in board.entry.registers for at in (*one.at.choices, one.at.first) if at is not None}
    own |= {at for one in registers_of(wired, board) if (at := peeked(one.computed)) is not None}
    return setting is None or not own or setting.value in own


def _with_likely(finding: Finding, offsets: Iterable[int]) -> list[int]:
    """Those that the finding itself names first."""
    return sorted(offsets, key=lambda offset: show_register_address(offset) not in finding.fix)


# ---- vectors


def vectors_for(wired: Wired, board: WiredBoard) -> list[int]:
    """Vectors it could be set to: the computed ones, the usual first one, then free multiples of 10 from 300 on."""
    computed = [at for one in registers_of(wired, board) if (at := peeked(one.computed_vector)) is not None]
    firsts = [at for one in board.entry.registers for at in _usual_vectors(one)]
    used = live_vectors(wired, board)
    count = max([len(one.vectors) for one in registers_of(wired, board)], default=1)
    free = [at for at in _FLOATING if not used & set(range(at, at + 4 * count, 4))]
    usual = [at for at in firsts if at not in used]
    console = [CONSOLE_VECTOR] if any(peeked(one.base) == CONSOLE for one in registers_of(wired, board)) else []
    return list(dict.fromkeys([*computed, *console, *usual, *free[:_MOST]]))


def _usual_vectors(entry: RegistersEntry) -> list[int]:
    """Vectors its entry names.  That of the console belongs to the console alone."""
    at = entry.vector_at
    return [one for one in (at.fixed, at.first, *at.choices) if one is not None and one != CONSOLE_VECTOR]


@repair(
    "vector-shared", "vector-misaligned", "vector-outside-floating-space", "vector-outside-vectors", "vector-on-trap"
)
def another_vector(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The board of the finding to another vector; where two collide, the other one."""
    boards = [one for one in (situation.board(finding.place),) if one is not None]
    if finding.slug == "vector-shared":
        boards += others_named(situation, finding)
    boards.sort(key=lambda board: not _console_elsewhere(situation.wired, board))
    for board in boards:
        for vector in vectors_for(situation.wired, board):
            yield changes(vector_switch(board, vector))


def _console_elsewhere(wired: Wired, board: WiredBoard) -> bool:
    """Is it the console, with another vector than the console has?"""
    lines = [one for one in registers_of(wired, board) if peeked(one.base) == CONSOLE]
    return any(peeked(one.vector) != CONSOLE_VECTOR for one in lines)


# ---- the console


@repair("two-console-lines")
def one_console(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """One of the two lines to another address, and to a vector of its own."""
    for board in (situation.board(finding.place), *others_named(situation, finding)):
        if board is None:
            continue
        plain = switch(board, "console", "no") if "console" in board.placed.settings else None
        yield changes(plain)
        for offset in addresses_for(situation.wired, board)[:4]:
            if offset == CONSOLE:
                continue
            yield changes(address_switch(board, offset), plain)
            for vector in vectors_for(situation.wired, board)[:3]:
                yield changes(address_switch(board, offset), vector_switch(board, vector), plain)


@repair("no-console-line")
def make_a_console(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """One of the serial lines to 777560 and vector 60."""
    for board in situation.wired.boards:
        if not any(CONSOLE in one.at.choices for one in board.entry.registers):
            continue
        yes = switch(board, "console", "yes") if "console" in board.entry.settings else None
        has = board.placed.settings
        address = switch(board, "address", "777560") if "address" in has or yes is None else None
        vector = switch(board, "vector", "60") if "vector" in has else None
        yield changes(yes)
        yield changes(address, vector, yes if "console" in has else None)
        yield changes(address, vector, yes)
