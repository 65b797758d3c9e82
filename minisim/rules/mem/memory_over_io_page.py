"""Memory reaches above the limit of the machine's address width.

What is checked
    Whether the memory ends at or below the I/O page of the machine: 56 KB with 16 address bits, 248 KB with 18, and
    with 22 bits 4088 KB on the multiplexed bus, 3840 KB on the separate-line bus, whose top 256 KB are the window of
    the bus.

Why it matters
    The top of the address space is the I/O page.  On the multiplexed bus the memory there is only hidden and not
    counted; on the separate-line bus it answers together with registers.

Example
    machine.yaml:9:68: note MEM-004 memory-over-io-page [main/a/1CD]: 000000 to 777777 reaches over 760000; there the
    I/O page of 18 address bits begins (map-wiki).

Putting it right
    Limit the size by the switches of the board, where it has any; else know that the top is lost.

Known limits
    The ceilings are from memory, firm.  A board that switches itself off over the I/O page is not told apart.

Sources
    map-wiki: the spaces of 18 and 22 bits on the separate-line bus.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, does_not_apply, failed, passed, probe, rule
from minisim.rules._facts import Span, machine_subject, memory_subject, short, span_of, span_text
from minisim.wiring.addresses import address_bits, page_start
from minisim.wiring.model import Wired

BUS_WINDOW = 0o17000000  # 22 bits, separate-line bus: from here on the addresses are those of the bus


@rule(
    id="MEM-004",
    slug="memory-over-io-page",
    severity=Severity.FAULT,
    needs=("SLOT-008", "MEM-005", "DMA-003"),
    sources=("map-wiki",),
)
def memory_over_io_page(wired: Wired) -> Iterator[Result]:
    """Compare the end of each memory with the limit of the machine."""
    bits = address_bits(wired)
    limit = BUS_WINDOW if (wired.bus, bits) == ("sep", 22) else page_start(bits)
    machine = machine_subject(wired).place
    for memory in wired.memories:
        subject, span = memory_subject(wired, memory), span_of(wired, memory)
        if span is None or len(wired.processors) != 1:
            yield does_not_apply(subject)  # MEM-002 says what is missing, SLOT-011 which processor is too many
        elif span.end <= limit:
            yield passed(subject)
        else:
            yield _finding(wired, span, limit, bits, machine)


def _finding(wired: Wired, span: Span, limit: int, bits: int, machine: str) -> Result:
    hidden = wired.bus == "mux"
    what = "the window of the bus" if limit == BUS_WINDOW else "the I/O page"
    return failed(
        memory_subject(wired, span.memory),
        found=f"{span_text(span)} reaches over {limit:o}",
        limit=f"there {what} of {bits} address bits begins",
        cause="the part above is hidden and not counted" if hidden else "the part above is hidden, or clashes",
        fix=f"limit {short(wired.boards[span.memory.board])} to end at {limit:o}, or count the part above as lost",
        next_measurement=probe(
            f"at the console, write and read back the word below {limit:o}",
            "the word written",
            "the memory ends earlier: write its real size into the loadout",
        ),
        severity=Severity.NOTE if hidden else None,
        leans_on=(machine,) if not hidden else (),
    )
