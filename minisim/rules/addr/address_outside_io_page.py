"""A register address lies outside the I/O page, or is odd.

What is checked
    Whether the registers of each device begin at an even address and end inside the top 8 KB, 760000 to 777777.

Why it matters
    Registers are words.  A board set elsewhere answers elsewhere or nowhere.

Example
    machine.yaml:14:31: fault ADDR-004 address-outside-io-page [main/a/3AB]: four registers at 777774 would end at
    1000003; registers must lie within 760000 to 777777 (processor-handbook).

Putting it right
    Correct the address switches of the board.

Known limits
    Most wrong addresses are already refused when the loadout is read; what is left are ranges that run over the end.

Sources
    processor-handbook: the I/O page is the top 8 KB (from memory, firm).
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Mark, Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule, same_as
from minisim.rules._facts import known, octal18, registers_subject, short
from minisim.wiring.model import Wired

END = 0o20000


@rule(
    id="ADDR-004",
    slug="address-outside-io-page",
    severity=Severity.FAULT,
    needs=("SLOT-008",),
    sources=("processor-handbook",),
)
def address_outside_io_page(wired: Wired) -> Iterator[Result]:
    """Look where each range of registers begins and ends."""
    told: set[tuple[int, Mark]] = set()  # one switch moves all lines of a board
    for registers in wired.registers:
        subject, name = registers_subject(wired, registers), short(wired.boards[registers.board])
        base, words = known(registers.base, f"address of {name}"), known(registers.words, f"registers of {name}")
        if base is None:
            yield does_not_apply(subject)  # where the address is not known, ADDR-001 says so
            continue
        end = base + 2 * (1 if words is None else words)
        if not base % 2 and base >= 0 and end <= END:
            yield passed(subject)
            continue
        if (registers.board, registers.mark) in told:
            yield same_as(subject, subject)
            continue
        told.add((registers.board, registers.mark))
        odd = base % 2 == 1
        yield failed(
            subject,
            found=f"the registers begin at {octal18(base)}, an odd address"
            if odd
            else f"{words} registers at {octal18(base)} would end at {octal18(end - 1)}",
            limit="registers must begin at an even address and lie within 760000 to 777777",
            cause="the board answers elsewhere or nowhere",
            fix=f"correct the address switches of {name}",
            next_measurement=probe(
                "with power off, read the address switches of the board, and which position means 1",
                "the address printed here",
                "write the real setting into the loadout",
            ),
        )
