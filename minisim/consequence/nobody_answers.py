"""The address where nobody answers: software goes to the usual place of a device, and that is set elsewhere."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.consequence._bench import IO_PAGE, STACK, Bench, shown
from minisim.consequence._framework import shows
from minisim.consequence._places import board_at
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.known import Known
from minisim.wiring.model import Wired

CONSOLE = 0o17560
PROGRAM = """
        mov #{sp:o}, sp
        mov #none, @#4          ; the handler of a time-out
        tst @#{at:o}            ; does the {name} answer?
        inc heard               ; somebody answers
        halt
none:   inc silent              ; nobody answers
        halt
heard:  .word 0
silent: .word 0
"""


@shows("floating-address-out-of-order", "first-unit-off-fixed-address", "no-console-line")
def nobody_answers(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Look for a device at the place where software expects it."""
    name, wanted, real = _expected(finding, wired)
    bench = Bench(wired, catalogue)
    bench.load(PROGRAM.format(sp=STACK, at=IO_PAGE + wanted, name=name))
    bench.run()
    heard, silent = bench.word("heard"), bench.word("silent")
    there = [one for one in bench.machine.layout.devices if any(at == wanted for _, at in one.registers.values())]
    if heard and not there:
        raise NotShownError(f"something answers at {shown(IO_PAGE + wanted)} that is no device")
    happened = (
        f"A time-out through 004: nobody answers at {shown(IO_PAGE + wanted)}."
        if silent
        else f"The {there[0].id} at {there[0].place} answers there, and software takes it for the {name}."
    )
    elsewhere = f" It answers at {shown(IO_PAGE + real)}." if real is not None else ""
    return Shown(
        kind="the address where nobody answers",
        does=f"The program looks for the {name} where software expects it, at {shown(IO_PAGE + wanted)}.",
        expected=f"The {name} answers there.",
        happened=happened + elsewhere,
        trace=tuple(bench.trace),
        facts={
            "place": finding.place,
            "expected_at": shown(IO_PAGE + wanted),
            "answers_at": "" if real is None else shown(IO_PAGE + real),
            "answered": heard,
            "time_outs": silent,
        },
        program=bench.source,
    )


def _expected(finding: Finding, wired: Wired) -> tuple[str, int, int | None]:
    """What is looked for, where software expects it, where it is."""
    if finding.slug == "no-console-line":
        return "console line", CONSOLE, None
    board = board_at(wired, finding.place)
    for one in wired.registers:
        base, wanted = one.base, one.computed
        if one.board == board and isinstance(base, Known) and isinstance(wanted, Known) and base.value != wanted.value:
            return one.device.replace("-", " "), wanted.value, base.value
    raise NotShownError("where software expects the device is not known")
