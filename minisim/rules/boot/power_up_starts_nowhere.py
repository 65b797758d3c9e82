"""Power-up starts at an address where no ROM answers.

What is checked
    Where it is known at which address the first instruction is fetched (power-up mode 2 of a multiplexed-bus processor,
    or a redirected power-up on the separate-line bus): whether a ROM answers there, whether its socket holds one, and
    where the program in it begins, if its description tells.

Why it matters
    A ROM that knows every device is of no use where nobody goes to it: the first fetch times out, and the processor
    halts or enters its console.

Example
    machine.yaml:9:7: fault BOOT-002 power-up-starts-nowhere [main]: power-up starts at 165024, and no ROM answers
    there; a ROM must answer at the first address (boot-terminator-wiki).

Putting it right
    Set the start switches to the beginning of the program in the ROM, or fit the ROM where the processor starts.

Known limits
    A processor that takes its start from memory at 24 and 26, or enters its console, is not asked.  Switches that are
    not stated are asked for.

Sources
    boot-terminator-wiki: the redirected power-up and its switches.
    processor-handbook: the start at 773000 (from memory, firm).
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Known, Unknown
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import known, machine_subject, short
from minisim.rules._rom import hidden_rom, is_empty_socket
from minisim.wiring.model import Wired, WiredRom

IO_PAGE_16 = 0o160000
FROM_MEMORY = "24 and 26"


@rule(
    id="BOOT-002",
    slug="power-up-starts-nowhere",
    severity=Severity.FAULT,
    needs=("SLOT-008", "BOOT-001"),
    sources=("boot-terminator-wiki", "processor-handbook"),
)
def power_up_starts_nowhere(wired: Wired) -> Iterator[Result]:
    """Follow the first fetch."""
    subject, start = machine_subject(wired), wired.boot.start
    if not wired.processors or (isinstance(start, Unknown) and FROM_MEMORY in start.why):
        yield does_not_apply(subject)
    elif isinstance(start, Unknown):
        yield not_checked(subject, start.why)
    elif not isinstance(start, Known) or start.peek < IO_PAGE_16:
        yield does_not_apply(subject)
    else:
        yield _first_fetch(wired, known(start, "address of the first instruction") or 0)


def _first_fetch(wired: Wired, start: int) -> Result:
    rom = wired.roms[wired.boot.rom] if wired.boot.rom is not None else None
    if not wired.roms and not hidden_rom(wired):
        return does_not_apply(machine_subject(wired))  # BOOT-001 says it
    if rom is None and (hidden := hidden_rom(wired)):
        return not_checked(machine_subject(wired), f"ROM of {hidden}")
    if rom is None:
        return _finding(wired, f"power-up starts at {start:06o}, and no ROM answers there", None)
    if is_empty_socket(wired, rom):
        name = short(wired.boards[rom.board])
        return _finding(wired, f"power-up starts at {start:06o}, and the socket of {name} there is empty", None)
    program = known(rom.start, f"where the program in the ROM of {short(wired.boards[rom.board])} begins")
    if program is not None and program != start:
        found = f"power-up starts at {start:06o}, and the program in the ROM begins at {program:06o}"
        return _finding(wired, found, rom, f"set the start to {program:06o}", Severity.DOUBT)
    return passed(machine_subject(wired))


def _finding(wired: Wired, found: str, rom: WiredRom | None, fix: str = "", severity: Severity | None = None) -> Result:
    return failed(
        machine_subject(wired),
        found=found,
        limit="a ROM must answer at the first address"
        if rom is None
        else "the first address must be that of a program",
        cause="the first fetch times out: the processor halts or enters its console"
        if rom is None
        else "the processor runs into the middle of a program",
        fix=fix or _act(wired),
        next_measurement=probe(
            f"at the console, read the word at {wired.boot.start.peek:06o}"
            if isinstance(wired.boot.start, Known)
            else "",
            "no answer" if rom is None else "a word that begins nothing",
            "write ROMs and start switches as they are into the loadout",
        ),
        severity=severity,
        sources=("processor-handbook",) if wired.bus == "mux" else ("boot-terminator-wiki",),
    )


def _act(wired: Wired) -> str:
    """The start of a ROM that is there, else the ROM itself."""
    there = [rom for rom in wired.roms if not is_empty_socket(wired, rom) and rom.fitted is not None]
    if wired.bus == "sep" and there:
        first = there[0].start.peek if isinstance(there[0].start, Known) else IO_PAGE_16 + there[0].base
        return f"set the start switches to {first:06o}"
    return "fit a ROM that answers at 773000" if wired.bus == "mux" else "fit a ROM where the processor starts"
