"""Boot ROMs: which windows count, and whether a ROM knows a device of the machine."""

from __future__ import annotations

from dataclasses import dataclass

from minisim.known import Known, Unknown
from minisim.rules._facts import known, octal18, short
from minisim.wiring.model import Wired, WiredRom

BOOT_WINDOWS = {"773000": 0o13000, "765000": 0o5000}


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether one ROM can boot this machine: yes, not known, or why not."""

    rom: WiredRom
    boots: bool = False
    unknown: bool = False
    why: str = ""


def at_boot_window(rom: WiredRom) -> bool:
    """Does it answer at one of the addresses where a machine starts, or at a socket of that window?"""
    return any(start <= rom.base < start + 0o1000 or rom.base <= start < rom.base + 2 * rom.words
               for start in BOOT_WINDOWS.values())  # fmt: skip


def fit_of(wired: Wired, rom: WiredRom) -> Fit:
    """Compare what a ROM knows with the devices of the machine and their addresses."""
    name = short(wired.boards[rom.board])
    devices = known(rom.boots, f"what the ROM of {name} boots")
    if devices is None:
        return Fit(rom, unknown=isinstance(rom.boots, Unknown), why=f"the ROM of {name} boots nothing")
    places = {one.device: one.base for one in wired.registers if one.device in devices}
    if not places:
        wants = ", ".join(devices) or "no device"
        return Fit(rom, why=f"the ROM of {name} knows {wants}, and the machine has none of these")
    wanted = known(rom.expects, f"address the ROM of {name} goes to")
    bases = [one.base for one in wired.registers if one.device in devices]
    if wanted is None or any(not isinstance(base, Known) or base.value == wanted for base in bases):
        return Fit(rom, boots=True)
    seen = ", ".join(octal18(base.value) for base in bases if isinstance(base, Known))
    return Fit(rom, why=f"the ROM of {name} goes to {octal18(wanted)}, and its device is at {seen}")


def hidden_rom(wired: Wired) -> str:
    """A board that has a boot ROM whose window the catalogue does not know; nothing where there is none."""
    for board in wired.boards:
        processor, rom = board.entry.processor, board.entry.rom
        if (processor is not None and processor.boot_rom != "no") or (rom is not None and not rom.windows_known):
            return short(board)
    return ""
