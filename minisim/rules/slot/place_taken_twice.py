"""Two boards claim the same place.

What is checked
    Whether any slot and row of a backplane is claimed by more than one board of the loadout, counting every row that a
    board of its height covers and every slot of a set.

Why it matters
    One of the two is not in the machine, or the list was taken down wrongly: every other answer about grants, loads
    and addresses then speaks of a machine that does not exist.

Example
    A quad board written at 2 and a dual one at 2CD:
    machine.yaml:11:7: fault SLOT-009 place-taken-twice [main/a/2CD]: slot 2, rows CD, is already taken; one board to a
    place (common-practice).

Putting it right
    Look into the box and correct the list, or give one of the two another place.

Known limits
    A dual and two single boards that share one small-peripheral slot are no conflict as long as their rows differ.

Sources
    common-practice: two boards don't fit one connector.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, failed, passed, probe, rule
from minisim.rules._facts import board_subject, names
from minisim.rules._places import shared_rows
from minisim.wiring.model import Wired


@rule(id="SLOT-009", slug="place-taken-twice", severity=Severity.FAULT, sources=("common-practice",))
def place_taken_twice(wired: Wired) -> Iterator[Result]:
    """Look for boards before this one that cover one of its rows."""
    for board in wired.boards:
        subject = board_subject(board)
        others = tuple(other for other in wired.boards[: board.index] if shared_rows(other, board))
        if not others:
            yield passed(subject)
            continue
        slot, rows = shared_rows(others[0], board)[0]
        yield failed(
            subject,
            found=f"slot {slot}, rows {rows}, is already taken by {', '.join(names(others))}",
            limit="one board to a place",
            cause="one of them is not in the machine",
            fix="look into the box and correct the list",
            next_measurement=probe(
                f"with power off, look which board stands in slot {slot}",
                "one board only",
                "the rows of the two don't overlap and the list names the wrong rows",
            ),
            also=names(others),
        )
