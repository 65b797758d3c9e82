"""The first word of a boot ROM: two letters, the first in the high byte, and the device they name."""

from __future__ import annotations

from minisim.catalogue.model import RomEntry
from minisim.known import Known, NotApplicable
from minisim.rules._facts import words
from minisim.why.case import Case
from minisim.wiring.model import WiredBoard

_PRINTABLE = range(0o41, 0o177)


def word_of(case: Case) -> int | None:
    """The word, or the word that the two letters make."""
    letters = case.text("letters")
    if len(letters) == 2:
        return ord(letters[0]) << 8 | ord(letters[1])
    return case.number("rom")


def letters_of(word: int) -> str:
    """`FW` for 043127; nothing where a byte is no letter or sign."""
    pair = (word >> 8 & 0o377, word & 0o377)
    return "".join(map(chr, pair)) if all(byte in _PRINTABLE for byte in pair) else ""


def swapped(word: int) -> int:
    """The word with its bytes the other way round."""
    return (word & 0o377) << 8 | word >> 8


def rom_of(case: Case) -> RomEntry | None:
    """The ROM of the catalogue that begins with the word."""
    word = word_of(case)
    return None if word is None else rom_beginning(case, word)


def rom_beginning(case: Case, word: int) -> RomEntry | None:
    """The ROM of the catalogue that begins with this word."""
    entries = (case.catalogue.rom(name) for name in case.catalogue.ids("roms"))
    return next((one for one in entries if isinstance(one.first_word, Known) and one.first_word.peek == word), None)


def boots_of(case: Case) -> str:
    """What the ROM boots, in words; nothing where it is not known."""
    rom = rom_of(case)
    if rom is None or not isinstance(rom.boots, Known) or not rom.boots.peek:
        return ""
    return ", ".join(words(device) for device in rom.boots.peek)


def device_boards(case: Case) -> tuple[WiredBoard, ...]:
    """Boards of the machine with a device that the ROM boots."""
    rom = rom_of(case)
    able = rom.boots.peek if rom is not None and isinstance(rom.boots, Known) else ()
    return case.boards_of(tuple(one for one in case.wired.registers if one.device in able))


def expected_offset(case: Case) -> int | None:
    """The I/O-page offset of the register that the ROM goes to."""
    rom = rom_of(case)
    return rom.expects_csr.peek if rom is not None and isinstance(rom.expects_csr, Known) else None


def expects_nothing(rom: RomEntry) -> bool:
    """Does the catalogue say that the ROM goes to no register?"""
    return isinstance(rom.expects_csr, NotApplicable)
