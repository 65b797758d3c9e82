"""A board wired for the private memory link stands in a twin-bus slot.

What is checked
    Whether a board whose catalogue entry names twin-bus slots as places that damage it stands in one.

Why it matters
    Rows C-D of such a board are wired to its neighbour, those of a twin-bus slot to the bus.  The board is permanently
    damaged: told of one board in an engineering note, of another on a reference page.

Example
    machine.yaml:10:7: damage SLOT-001 private-link-board-in-twin-bus-slot [main/a/5]: the board carries the private
    link on rows C-D and stands in a twin-bus slot; it belongs in a private-link slot (mux-backplanes-wiki, ...).

Putting it right
    Move the board to a private-link slot; in the mixed backplanes these are the first slots.

Known limits
    How the board is harmed is not understood (disputed D14).  Boards with a link that may be switched off are not
    told apart from others: the catalogue entry decides.

Sources
    mux-backplanes-wiki: which backplanes have which slots, and the warning.
    engineering-note-28: the warning, quoted there.
    mos-memory-wiki: the same of a second memory board.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule
from minisim.rules._facts import board_subject, kinds_are_known
from minisim.rules._free import slot_hint
from minisim.wiring.model import Wired

HARMFUL = "twin-bus"


@rule(
    id="SLOT-001",
    slug="private-link-board-in-twin-bus-slot",
    severity=Severity.DAMAGE,
    needs=("SLOT-008",),
    sources=("mux-backplanes-wiki", "engineering-note-28", "mos-memory-wiki"),
)
def private_link_board_in_twin_bus_slot(wired: Wired) -> Iterator[Result]:
    """Look at boards that a twin-bus slot damages."""
    for board in wired.boards:
        subject = board_subject(board)
        severity, _, sources = board.entry.forbidden.get(HARMFUL, ("", "", ()))
        if severity != Severity.DAMAGE.value:
            yield does_not_apply(subject)
            continue
        kinds_are_known(wired, board)
        if HARMFUL not in board.kinds:
            yield passed(subject)
            continue
        yield failed(
            subject,
            found="the board carries the private link on rows C-D and stands in a twin-bus slot, where they are bus",
            limit="it belongs in a private-link slot",
            cause="the board is permanently damaged at power-up",
            fix="move the board to a private-link slot before power comes on"
            + slot_hint(wired, board, ("private-link",)),
            next_measurement=probe(
                "with power off, read the number on the handle and count the slots from the processor's end",
                "a private-link board in a twin-bus slot",
                "correct the loadout",
            ),
            sources=sources or None,
            disputed=("D14",),
        )
