"""The machine has no way to boot by itself.

What is checked
    Whether a ROM answers at 773000 or 765000; whether one of them knows a device of this machine at the address where
    it is; and whether the windows of two ROM boards overlap.

Why it matters
    Without a ROM that fits, the machine drops to the console, or does nothing.  With two ROMs in one window both drive
    the lines.

Example
    machine.yaml:8:7: fault BOOT-001 no-boot-path [main]: no ROM answers at 773000 or 765000; a boot ROM must answer at
    one of them (processor-handbook).

Putting it right
    Fit a boot ROM that knows the device, or disable one of two.

Known limits
    Contents of a board whose ROMs the loadout does not state are not known; where it states some, all other sockets
    count as empty.  A machine that is started from the console by
    hand needs no ROM; accept the finding for it.

Sources
    processor-handbook: the ROM windows (from memory, firm).
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known
from minisim.rules import Result, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, machine_subject, names, octal18, pairs, short
from minisim.rules._rom import Fit, at_boot_window, fit_of, hidden_rom, is_empty_socket
from minisim.wiring.model import Wired, WiredRom


@rule(id="BOOT-001", slug="no-boot-path", severity=Severity.FAULT, needs=("SLOT-008",), sources=("processor-handbook",))
def no_boot_path(wired: Wired) -> Iterator[Result]:
    """Look at the ROM windows, at what stands in them, and at their overlaps."""
    yield _path(wired)
    told: set[tuple[int, int]] = set()  # boards that meet in two windows meet by one mistake
    for earlier, later in pairs(wired.roms):
        boards = earlier.board, later.board
        apart = earlier.board == later.board or earlier.base + 2 * earlier.words <= later.base
        if not apart and later.base + 2 * later.words > earlier.base and boards not in told:
            told.add(boards)
            yield _overlap(wired, earlier, later)


def _path(wired: Wired) -> Result:
    subject = machine_subject(wired)
    roms = [rom for rom in wired.roms if at_boot_window(rom) and not is_empty_socket(wired, rom)]
    if not roms:
        hidden = hidden_rom(wired)
        return not_checked(subject, f"ROM of {hidden}") if hidden else _none(wired)
    fits = [fit_of(wired, rom) for rom in roms]
    if any(fit.boots for fit in fits):
        return passed(subject)
    unknown = [fit.unknown for fit in fits if fit.unknown]
    return not_checked(subject, *dict.fromkeys(unknown)) if unknown else _stranger(wired, fits)


def _none(wired: Wired) -> Result:
    return failed(
        machine_subject(wired),
        found="no ROM answers at 773000 or 765000",
        limit="a boot ROM must answer at one of them",
        cause="the machine drops to the console, or does nothing",
        fix="fit a board with a boot ROM",
        next_measurement=probe(
            "at the console, read the word at 773000", "no answer", "a ROM is there: write it into the loadout"
        ),
    )


def _stranger(wired: Wired, fits: list[Fit]) -> Result:
    fit = fits[0]
    return failed(
        machine_subject(wired),
        found="; ".join(dict.fromkeys(fit.why for fit in fits)),
        limit="a ROM must know a device of this machine at the address where it is",
        cause="the machine drops to the console",
        fix=f"fit a ROM for a device of this machine in {short(wired.boards[fit.rom.board])}",
        next_measurement=probe(
            f"at the console, read the first word of the ROM at {octal18(fit.rom.base)}",
            _first_word(fit.rom),
            "another ROM stands there: write it into the loadout",
        ),
        also=tuple(dict.fromkeys(names([wired.boards[fit.rom.board] for fit in fits]))),
    )


def _first_word(rom: WiredRom) -> str:
    word = rom.entry.first_word if rom.entry else None
    return f"{word.value:06o}" if isinstance(word, Known) else "the first word of the ROM named in the loadout"


def _overlap(wired: Wired, earlier: WiredRom, later: WiredRom) -> Result:
    first, second = wired.boards[earlier.board], wired.boards[later.board]
    return failed(
        board_subject(second),
        found=f"its ROM window at {octal18(later.base)} overlaps that of {short(first)}",
        limit="one ROM only may answer in a window",
        cause="two boards drive the lines: neither program is read rightly",
        fix=f"disable the ROM of {short(second)}",
        next_measurement=probe(
            f"with power off, take out {short(first)}, then read the word at {octal18(later.base)} at the console",
            "another word than with both boards in",
            "one window is switched off: write it into the loadout",
        ),
        also=names([first]),
        leans_on=(str(first.place),),
    )
