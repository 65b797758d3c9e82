"""Two memory boards have the same parity register.

What is checked
    Whether the parity or error-correction registers of all memory boards, 772100 to 772136, stand at different
    addresses.

Why it matters
    Both boards answer when software asks which one had the error: the error is reported for the wrong board, and the
    wrong board is replaced.

Example
    machine.yaml:12:94: doubt MEM-003 parity-register-shared [main/a/3AB]: the parity register 772100 is that of M0000
    (main/a/2AB) as well; each board needs one of the sixteen from 772100 to 772136 (mos-memory-wiki).

Putting it right
    Set each board to a register of its own, by rising start address.

Known limits
    Boards whose register is not stated are taken at the usual first place if nobody else has it.

Sources
    mos-memory-wiki: the sixteen registers, one to a board.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import device_name, known, names, octal18, registers_subject, short
from minisim.wiring.model import Wired, WiredRegisters

PARITY = "memory-parity"
FIRST, LAST = 0o12100, 0o12136


@rule(
    id="MEM-003",
    slug="parity-register-shared",
    severity=Severity.DOUBT,
    needs=("SLOT-008", "ADDR-004"),
    sources=("mos-memory-wiki",),
)
def parity_register_shared(wired: Wired) -> Iterator[Result]:
    """Compare each parity register with those before it."""
    seen: dict[int, WiredRegisters] = {}
    for registers in wired.registers:
        subject, name = registers_subject(wired, registers), short(wired.boards[registers.board])
        if registers.device != PARITY:
            yield does_not_apply(subject)
            continue
        base = known(registers.base, f"parity register of {name}")
        if base is None:
            yield not_checked(subject, f"address of the {device_name(registers)} of {name}")
        elif base in seen:
            known(seen[base].base, f"parity register of {short(wired.boards[seen[base].board])}")
            yield _finding(wired, registers, seen[base], base)
        else:
            seen[base] = registers
            yield passed(subject)


def _finding(wired: Wired, registers: WiredRegisters, first: WiredRegisters, base: int) -> Result:
    other, mine = wired.boards[first.board], wired.boards[registers.board]
    taken = {one.base.peek for one in wired.registers if one.device == PARITY and hasattr(one.base, "peek")}
    free = next((one for one in range(FIRST, LAST + 2, 2) if one not in taken), None)
    return failed(
        registers_subject(wired, registers),
        found=f"the parity register {octal18(base)} is that of {short(other)} as well",
        limit="each board needs one of the sixteen from 772100 to 772136",
        cause="errors are reported for the wrong board",
        fix=f"set the parity register of {short(mine)} to {octal18(free) if free is not None else 'a free one'}",
        next_measurement=probe(
            f"with power off, take out {short(other)}, then read the word at {octal18(base)} at the console",
            "an answer, as the other board has the same register",
            "the boards are set apart: write the real registers into the loadout",
        ),
        also=names([other]),
    )
