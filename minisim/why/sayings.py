"""Words in braces that the texts of symptom files may hold: a closed set, each filled in from one case."""

from __future__ import annotations

import re
from collections.abc import Callable

from minisim.known import Known
from minisim.rules._facts import octal18, octal_vector, short, words
from minisim.rules._grants import places, turnarounds
from minisim.why.case import Case, base_of, named
from minisim.why.letters import device_boards, expected_offset, letters_of, rom_of, swapped, word_of
from minisim.why.lists import answering, behind_slot, hops_at, last_needed
from minisim.wiring.model import GrantKind

Saying = Callable[[Case], str]
SAYINGS: dict[str, Saying] = {}
"""All of them by name."""

_BRACES = re.compile(r"\{([a-z-]+)\}")
_BANK_BYTES = 0o20000  # 4 K words


def names_in(text: str) -> list[str]:
    """The words in braces of a text."""
    return _BRACES.findall(text)


def filled(text: str, case: Case) -> str:
    """A text with its words in braces filled in."""
    return _BRACES.sub(lambda match: SAYINGS[match[1]](case), text)


def _saying(function: Saying) -> Saying:
    SAYINGS[function.__name__.replace("_", "-")] = function
    return function


def _octal(value: int | None, digits: int = 6) -> str:
    return "not stated" if value is None else f"{value:0{digits}o}"


# ---- the words


@_saying
def stop(case: Case) -> str:
    """The address where the processor stands."""
    return _octal(case.number("stop"))


@_saying
def address(case: Case) -> str:
    """The address in the words: six digits, eight beyond 18 bits."""
    value = case.number("address")
    return _octal(value, 8 if value is not None and value > 0o777777 else 6)


@_saying
def vector(case: Case) -> str:
    """The vector in the words."""
    return "not stated" if case.vector is None else octal_vector(case.vector)


@_saying
def slot(case: Case) -> str:
    """The slot in the words."""
    return case.text("slot") or "not stated"


@_saying
def slot_places(case: Case) -> str:
    """Its places in the grant chain."""
    return places(hops_at(case)) or "no place of the chain"


@_saying
def slot_boards(case: Case) -> str:
    """Boards that the loadout has there."""
    indexes = dict.fromkeys(hop.board for hop in hops_at(case) if hop.board is not None)
    return named(tuple(case.wired.boards[index] for index in indexes)) or "no board"


@_saying
def behind(case: Case) -> str:
    """Boards behind it that want grants."""
    return named(behind_slot(case)) or "none"


# ---- memory


@_saying
def expected(case: Case) -> str:
    """The expected word."""
    return _octal(case.number("expected"))


@_saying
def found(case: Case) -> str:
    """The word found."""
    return _octal(case.number("found"))


@_saying
def xor(case: Case) -> str:
    """The bits that differ, as a word."""
    return _octal(case.xor)


@_saying
def bits(case: Case) -> str:
    """`bit 0`, `bits 15 and 3`."""
    numbers = [str(bit) for bit in case.bits]
    if len(numbers) < 2:
        return f"bit {numbers[0]}" if numbers else "no bit"
    return f"bits {', '.join(numbers[:-1])} and {numbers[-1]}"


@_saying
def bank(case: Case) -> str:
    """The bank of 4 K words that holds the address."""
    value = case.number("address") or 0
    start = value - value % _BANK_BYTES
    return f"bank {value // _BANK_BYTES:o} (octal; {start:06o} to {start + _BANK_BYTES - 1:06o}, 4 K words)"


@_saying
def memory_there(case: Case) -> str:
    """The memory that answers at the address."""
    boards = tuple(case.wired.boards[span.memory.board] for span in case.spans_there())
    return named(boards) or "no memory of this loadout"


@_saying
def register_there(case: Case) -> str:
    """The board whose register or ROM answers at the address."""
    return named(answering(case)) or "no board of this loadout"


@_saying
def memory_kinds(case: Case) -> str:
    """Which kinds of memory the machine has."""
    kinds = dict.fromkeys(case.wired.boards[one.board].entry.kind for one in case.wired.memories)
    return f"there is {' and '.join(kinds)}" if kinds else "there is no memory in the loadout"


@_saying
def offset_in_board(case: Case) -> str:
    """The address counted from the start of that memory."""
    there = case.spans_there()
    return _octal((case.number("address") or 0) - there[0].start) if there else "not known"


@_saying
def other_byte(case: Case) -> str:
    """`low byte (bits 7 to 0)`, where all bits that differ are in one byte."""
    return "high byte (bits 15 to 8)" if (case.xor or 0) & 0o177400 else "low byte (bits 7 to 0)"


# ---- the machine


@_saying
def processor(case: Case) -> str:
    """The processor with its place."""
    boards = tuple(case.wired.boards[one.board] for one in case.wired.processors)
    return named(boards) or "the processor (none in the loadout)"


@_saying
def options(case: Case) -> str:
    """The options fitted to the processor."""
    fitted = [name.upper() for one in case.wired.processors for name in one.options]
    return ", ".join(fitted) or "none"


@_saying
def console(case: Case) -> str:
    """The board of the console line."""
    line = case.console()
    return short(case.wired.boards[line.board]) if line else "the console board (none in the loadout)"


@_saying
def console_speed(case: Case) -> str:
    """The speed that the loadout gives the console line and its terminal."""
    line = case.console()
    if line is None:
        return "not stated"
    setting = case.wired.boards[line.board].placed.settings.get("baud")
    ends = [one.end.baud for one in case.wired.cables if one.board == line.board and one.end.line in (None, line.unit)]
    terminal = next((str(baud) for baud in ends if baud), "not stated")
    return f"{setting.text if setting else 'not stated'} at the board, {terminal} at the terminal"


@_saying
def turnaround(case: Case) -> str:
    """The terminator that turns grants around."""
    return named(turnarounds(case.wired)) or "the terminator that turns grants around (none here)"


@_saying
def far_terminator(case: Case) -> str:
    """The board that ends the bus at its far end."""
    indexes = dict.fromkeys(one.board for one in case.wired.terminators if one.at_end == "far")
    return named(tuple(case.wired.boards[index] for index in indexes if index is not None)) or "the terminator"


@_saying
def middle_place(case: Case) -> str:
    """The place in the middle of the part of the chain that must be closed."""
    hops = [hop for hop in case.wired.chain(GrantKind.INTERRUPT).hops if hop.number <= last_needed(case.wired)]
    return str(hops[len(hops) // 2].place) if hops else "the middle place"


@_saying
def clock(case: Case) -> str:
    """What interrupts as line clock."""
    clocks = tuple(one for one in case.wired.registers if one.device in ("line-clock", "event-line"))
    return named(case.boards_of(tuple(one for one in clocks if one.vectors) or clocks)) or "the line clock (none here)"


@_saying
def clock_switch(case: Case) -> str:
    """What takes the line clock away here: a setting of a board, the switch of the supply."""
    settings = [
        f'setting "{name}" of {short(board)}'
        for board in case.wired.boards
        for entry in board.entry.registers
        for name in (_CLOCK_SETTINGS.get(entry.device, ""),)
        if name in board.entry.settings
    ]
    line = case.wired.event_line
    supply = [f"clock switch of the {line.peek}"] if isinstance(line, Known) and not settings else []
    return " and ".join([*dict.fromkeys(settings), *supply]) or "the switch of the clock"


_CLOCK_SETTINGS = {"line-clock": "clock", "event-line": "event-line"}


@_saying
def event_source(case: Case) -> str:
    """Where the ticks come from."""
    line = case.wired.event_line
    return str(line.peek) if isinstance(line, Known) else "a source that is not known"


@_saying
def vector_users(case: Case) -> str:
    """What interrupts through the vector: device and board."""
    found_ones = [f"the {words(one.device)} of {short(case.wired.boards[one.board])}" for one in case.at_vector()]
    return " and ".join(dict.fromkeys(found_ones)) or "no device of this machine"


@_saying
def vector_registers(case: Case) -> str:
    """The status registers of these devices."""
    bases = [octal18(base) for one in case.at_vector() if (base := base_of(one)) is not None]
    return " and ".join(dict.fromkeys(bases)) or "its registers"


@_saying
def boot_how(case: Case) -> str:
    """How the first instruction is found."""
    return case.wired.boot.how


@_saying
def boot_start(case: Case) -> str:
    """The address of the first instruction."""
    start = case.wired.boot.start
    return _octal(start.peek) if isinstance(start, Known) else "an address that is not known"


@_saying
def boot_register(case: Case) -> str:
    """The address of its first register."""
    index = case.wired.boot.device
    base = base_of(case.wired.registers[index]) if index is not None else None
    return octal18(base) if base is not None else "its first register"


@_saying
def boot_medium(case: Case) -> str:
    """The medium that is in it."""
    cable = case.wired.boot.cable
    return cable.media_text if cable is not None and cable.media_text else "no medium"


# ---- boot ROM words


@_saying
def rom_word(case: Case) -> str:
    """The word of the ROM."""
    return _octal(word_of(case))


@_saying
def rom_letters(case: Case) -> str:
    """Its two letters, and the two bytes in octal."""
    word = word_of(case)
    if word is None:
        return "no word"
    letters = letters_of(word)
    halves = f"high byte {word >> 8:03o}, low byte {word & 0o377:03o}"
    return f"the letters {letters} ({halves})" if letters else f"no letters ({halves})"


@_saying
def rom_swapped(case: Case) -> str:
    """The letters with the bytes the other way round."""
    word = word_of(case)
    return letters_of(swapped(word)) or "no letters" if word is not None else "no word"


@_saying
def rom_kind(case: Case) -> str:
    """The ROM of the catalogue with this word."""
    rom = rom_of(case)
    return rom.kind if rom else "no ROM of the catalogue"


@_saying
def rom_expects(case: Case) -> str:
    """The address that it goes to."""
    wanted = expected_offset(case)
    return octal18(wanted) if wanted is not None else "an address that is not known"


@_saying
def rom_device(case: Case) -> str:
    """The board of this machine that it can boot."""
    return named(device_boards(case)) or "no board of this machine"


# ---- trials


@_saying
def trial(case: Case) -> str:
    """The trial case in the words."""
    return case.text("case") or "not stated"


@_saying
def trial_about(case: Case) -> str:
    """What it is about."""
    from minisim.why.trial import case_of

    known = case_of(case.text("case"))
    return known.about if known else "no such case"


@_saying
def trial_program(case: Case) -> str:
    """Its instructions, as octal words."""
    from minisim.why.trial import case_of

    known = case_of(case.text("case"))
    code = known.lines[0].code if known else None
    return " ".join(f"{word:06o}" for word in code.words) if code else "no program"


@_saying
def trial_missing(case: Case) -> str:
    """Options it needs that are not fitted."""
    from minisim.why.trial import missing_options

    return ", ".join(missing_options(case)).upper() or "none"
