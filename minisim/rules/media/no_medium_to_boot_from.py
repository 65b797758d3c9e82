"""The boot ROM goes to a device that has nothing to read.

What is checked
    Where it is known which ROM runs at power-up and which device it goes to: whether a drive hangs on that device, and
    whether a medium is in it.

Why it matters
    Everything else may be right, and the machine still waits at its first read, or drops to the console.

Example
    machine.yaml:14:5: note MEDIA-001 no-medium-to-boot-from [main/a/2AB]: the boot ROM goes to the floppy single, and
    no medium is in its drive; a medium must be there to boot from (common-practice).

Putting it right
    Write the medium of the drive under cables, or boot another device.

Known limits
    What stands on a medium is not looked at here: an image of the right size can hold anything.  Loadouts without any
    cables are not asked.

Sources
    common-practice: the chain from ROM to medium must be closed.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Evidence, Known
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import at_mark, device_name, machine_subject, short
from minisim.wiring.model import Wired

LINE = "serial-line"


@rule(
    id="MEDIA-001",
    slug="no-medium-to-boot-from",
    severity=Severity.NOTE,
    needs=("SLOT-008", "BOOT-001"),
    sources=("common-practice",),
)
def no_medium_to_boot_from(wired: Wired) -> Iterator[Result]:
    """Follow the boot path to its end."""
    boot = wired.boot
    if boot.device is None:
        yield does_not_apply(machine_subject(wired))
        return
    registers = wired.registers[boot.device]
    board = wired.boards[registers.board]
    subject = at_mark(board, boot.cable.mark if boot.cable else board.mark)
    if _is_guess(wired):
        yield does_not_apply(subject)
        return
    if boot.cable is not None and boot.cable.media_text:
        yield passed(subject)
        return
    device = device_name(registers)
    if boot.cable is None:
        # A loadout that lists no cable at all has left them out; one that lists some may have forgotten this one.
        need = f"what hangs on the {device} of {short(board)}"
        yield not_checked(subject, need) if wired.loadout.cables else does_not_apply(subject)
        return
    yield failed(
        subject,
        found=f"the boot ROM goes to the {device}, and no medium is in its drive",
        limit="a medium must be there to boot from",
        cause="the machine waits at its first read, or drops to the console",
        fix="write drive and medium under cables, or fit a ROM for another device",
        next_measurement=probe(
            "look at the drive the ROM goes to",
            "no medium in it",
            "write the medium into the loadout",
        ),
    )


def _is_guess(wired: Wired) -> bool:
    """Does it end at a terminal, by a ROM of which nobody says that it boots from there?"""
    boot = wired.boot
    if boot.rom is None or boot.device is None or wired.registers[boot.device].device != LINE:
        return False
    boots = wired.roms[boot.rom].boots
    return not (isinstance(boots, Known) and boots.evidence is Evidence.OWNER)
