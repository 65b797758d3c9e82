"""A board would get its grants only if the slots were counted straight down.

What is checked
    For a board that GRANT-001 finds cut off: whether the chain to it would be whole if the positions came in the order
    of slots and rows (1AB, 1CD, 2AB, 2CD ...) instead of the order of the backplane.

Why it matters
    In a twin-bus backplane the chain goes to and fro: 1AB 1CD, 2CD 2AB, 3AB 3CD.  Whoever counts straight down sees no
    hole where there is one.

Example
    machine.yaml:13:7: note GRANT-003 serpentine-order-ignored [main/a/2AB]: counted straight down there is no hole,
    but the chain goes 1AB 1CD 2CD 2AB; take the order from the backplane (backplane-upgrade-wiki).

Putting it right
    Take the order from the backplane entry, and put the board in the position that is empty.

Known limits
    It explains a GRANT-001 and never stands alone.  For one backplane the order itself is disputed (D6).

Sources
    backplane-upgrade-wiki: the serpentine order of the twin-bus backplanes.
    slot-order-posts-1999: the order of two mixed backplanes.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Evidence, Known
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule
from minisim.rules._facts import board_subject, known
from minisim.rules._grants import counted_down, cut_off, hole_before
from minisim.wiring.model import GrantKind, Wired


@rule(
    id="GRANT-003",
    slug="serpentine-order-ignored",
    severity=Severity.NOTE,
    sources=("backplane-upgrade-wiki", "slot-order-posts-1999"),
    explains="GRANT-001",
)
def serpentine_order_ignored(wired: Wired) -> Iterator[Result]:
    """Count straight down to the first board behind a hole."""
    if wired.bus != "mux":
        return
    chain, gap = wired.chain(GrantKind.INTERRUPT), cut_off(wired)
    for board in gap.boards[:1]:
        subject, hop = board_subject(board), chain.hop_of(board.index)
        if hop is None:
            yield does_not_apply(subject)
            continue
        known(chain.order_evidence, f"grant order of {board.place.box}/{board.place.unit}")
        if hole_before(counted_down(wired, chain), hop):
            yield passed(subject)
            continue
        way = " ".join(str(one.place).rsplit("/", 1)[-1] for one in chain.hops if one.number <= hop.number)
        disputed = isinstance(chain.order_evidence, Known) and chain.order_evidence.evidence is Evidence.DISPUTED
        yield failed(
            subject,
            found="counted straight down there is no hole before the board",
            limit=f"the chain goes {way}",
            cause="a hole where none is seen",
            fix=f"move the board to {gap.holes[0].place}",
            next_measurement=probe(
                f"with power off, measure the grant from {gap.holes[0].place} to the position before it",
                "a connection",
                "the backplane steps another way than its entry says",
            ),
            disputed=("D6",) if disputed else (),
        )
