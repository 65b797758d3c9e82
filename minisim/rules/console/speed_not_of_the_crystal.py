"""A line is set to a speed that its crystal does not give.

What is checked
    For serial boards with one of several crystals: whether the speed stated for the line (baud) is among those that
    its crystal and the speed switches give.

Why it matters
    The switches pick a fraction of the crystal.  With another crystal the same position is another speed: both ends
    are set to 9600 by their labels, and the screen fills with garbage.

Example
    machine.yaml:12:60: doubt CONSOLE-005 speed-not-of-the-crystal [main/a/5CF]: the line is set to 9600 baud with the
    crystal of 844.8 kHz; that gives 36.7, 55, 110, 220, 440, 880, 1320 and 1760 (serial-notes-page).

Putting it right
    Fit the crystal of the speed, or take a speed of the crystal at both ends.

Known limits
    Receiver and transmitter may be set to different speeds; a loadout states one for both.

Sources
    serial-notes-page: the four crystals and the eight speeds of each.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import at_mark, board_subject, short
from minisim.rules._lines import setting
from minisim.rules._options import listed
from minisim.wiring.model import Wired, WiredBoard

CRYSTAL = "crystal"
SPEEDS = {  # kHz -> baud
    "844.8": ("36.7", "55", "110", "220", "440", "880", "1320", "1760"),
    "1032.96": ("44.8", "67.3", "134.5", "269", "538", "1076", "1614", "2152"),
    "1152": ("50", "75", "150", "300", "600", "1200", "1800", "2400"),
    "4608": ("200", "300", "600", "1200", "2400", "4800", "7200", "9600"),
}


@rule(
    id="CONSOLE-005",
    slug="speed-not-of-the-crystal",
    severity=Severity.DOUBT,
    needs=("SLOT-008",),
    sources=("serial-notes-page",),
)
def speed_not_of_the_crystal(wired: Wired) -> Iterator[Result]:
    """Look at every board that may have one of several crystals."""
    for board in wired.boards:
        subject, baud = board_subject(board), setting(board, "baud").rstrip(".")
        if CRYSTAL not in board.entry.settings or not baud:
            yield does_not_apply(subject)
        elif not (crystal := setting(board, CRYSTAL)):
            yield not_checked(subject, f"crystal of {short(board)}")
        elif baud in SPEEDS.get(crystal, (baud,)):
            yield passed(subject)
        else:
            yield _finding(board, baud, crystal)


def _finding(board: WiredBoard, baud: str, crystal: str) -> Result:
    able = next((one for one, speeds in SPEEDS.items() if baud in speeds), "")
    return failed(
        at_mark(board, board.placed.settings["baud"].mark),
        found=f"the line is set to {baud} baud with the crystal of {crystal} kHz",
        limit=f"that gives {listed(SPEEDS[crystal])}",
        cause="garbage on both sides, although both say the same speed",
        fix=f"fit the crystal of {able} kHz" if able else f"set both ends to {SPEEDS[crystal][-1]} baud",
        next_measurement=probe(
            "with power off, read the frequency on the crystal",
            f"{crystal} kHz",
            "write the crystal that is there into the loadout",
        ),
    )
