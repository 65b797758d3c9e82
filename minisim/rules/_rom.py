"""Boot ROMs: which windows count, and whether a ROM knows a device of the machine."""

from __future__ import annotations

from dataclasses import dataclass

from minisim.known import Known, Unknown
from minisim.rules._facts import known, octal18, short, words
from minisim.wiring.model import Wired, WiredRom

BOOT_WINDOWS = {"773000": 0o13000, "765000": 0o5000}


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether one ROM can boot this machine: yes, what would have to be known, or why not."""

    rom: WiredRom
    boots: bool = False
    unknown: str = ""
    why: str = ""


def at_boot_window(rom: WiredRom) -> bool:
    """Does it answer at one of the addresses where a machine starts, or at a socket of that window?"""
    return any(start <= rom.base < start + 0o1000 or rom.base <= start < rom.base + 2 * rom.words
               for start in BOOT_WINDOWS.values())  # fmt: skip


def is_empty_socket(wired: Wired, rom: WiredRom) -> bool:
    """Is this the rest of a window in which the loadout names what is fitted?  What it doesn't name is not there."""
    return rom.fitted is None and bool(wired.boards[rom.board].placed.roms)


def fit_of(wired: Wired, rom: WiredRom) -> Fit:
    """Compare what a ROM knows with the devices of the machine and their addresses."""
    name = short(wired.boards[rom.board])
    devices = known(rom.boots, f"what the ROM of {name} boots")
    if devices is None:
        unsure = f"contents of the ROM of {name}" if isinstance(rom.boots, Unknown) else ""
        return Fit(rom, unknown=unsure, why=f"the ROM of {name} boots nothing")
    bases = [one.base for one in wired.registers if one.device in devices]
    if not bases:
        wants = ", ".join(words(one) for one in devices) or "no device"
        return Fit(rom, why=f"the ROM of {name} knows {wants}, and the machine has none of these")
    if isinstance(rom.expects, Unknown):
        return Fit(rom, unknown=f"address the ROM of {name} goes to")
    wanted = known(rom.expects, f"address the ROM of {name} goes to")
    if wanted is None or any(isinstance(base, Known) and base.value == wanted for base in bases):
        return Fit(rom, boots=True)
    if any(isinstance(base, Unknown) for base in bases):
        return Fit(rom, unknown=f"address of the device that the ROM of {name} boots")
    seen = ", ".join(octal18(base.value) for base in bases if isinstance(base, Known))
    return Fit(rom, why=f"the ROM of {name} goes to {octal18(wanted)}, and its device is at {seen}")


def hidden_rom(wired: Wired) -> str:
    """A board that has a boot ROM whose window the catalogue does not know; nothing where there is none."""
    for board in wired.boards:
        processor, rom = board.entry.processor, board.entry.rom
        if (processor is not None and processor.boot_rom != "no") or (rom is not None and not rom.windows_known):
            return short(board)
    return ""
