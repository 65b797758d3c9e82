"""A dual board is put in backwards.

What is checked
    Nothing that a loadout could say: this rule is a line for the hand at the machine.  It stands among the cautions
    and is never counted as passed.

Why it matters
    Dual boards fit both ways where the key is missing or worn.  Put in backwards, supplies meet signal pins at
    power-up: stress for the whole bus, damage to the board.

Example
    machine.yaml:9:7: damage CARE-001 board-reversed [main/a/2AB]: the board may stand backwards; check the key before
    power (slot-order-posts-1999).

Putting it right
    Before power comes on look at every dual board: components on the same side as on its neighbours, the key in its
    slot.

Known limits
    No finding ever carries this id.

Sources
    slot-order-posts-1999: the mishap, told.
"""

from __future__ import annotations

from minisim.findings import Severity
from minisim.rules._framework import machinery

CARE_001 = machinery(
    id="CARE-001",
    slug="board-reversed",
    severity=Severity.DAMAGE,
    module=__name__,
    doc=__doc__,
    sources=("slot-order-posts-1999",),
)
