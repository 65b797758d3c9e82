"""The report as text: a line a program, the whole account of what did not pass."""

from __future__ import annotations

from collections.abc import Iterator

from minisim.trials.own import Verdict
from minisim.trials.running.model import Account, CodeLine, Outcome, counted, said_lines

LAST_LINES = 8  # of what a program printed
_WORD_COLUMNS = 20


def line(one: Outcome) -> str:
    """One program in one line."""
    if one.verdict in (Verdict.NOT_RUN, Verdict.NEEDS_PERSON):
        return f"{one.name}: {one.verdict}: {one.because}"
    counts = [counted(one.passes, "pass", "passes")]
    if one.cases:
        counts.append(counted(one.cases, "case"))
    counts.append(f"{duration(one.seconds)} of its own time")
    because = f": {one.because}" if one.because else ""
    return f"{one.name}: {one.verdict}{because} ({', '.join(counts)})"


def duration(seconds: float) -> str:
    """Guest time with a unit."""
    if seconds < 1:
        return f"{seconds * 1000:.3g} ms"
    return f"{seconds:.1f} s" if seconds < 120 else f"{seconds / 60:.1f} min"


def lines(one: Outcome) -> Iterator[str]:
    """The line, and where it did not pass what was seen."""
    yield line(one)
    for note in one.notes:
        yield f"  {note}"
    if one.verdict is Verdict.PASS or one.stop is None:
        return
    yield from _said(one)
    yield f"  It ended: {one.stop}"
    if one.account is not None:
        yield from _account(one.account)


def _said(one: Outcome) -> Iterator[str]:
    printed = said_lines(one.said, LAST_LINES)
    if not printed:
        yield "  It printed nothing."
        return
    yield "  It printed last:"
    yield from (f"    {text}" for text in printed)


def _account(account: Account) -> Iterator[str]:
    yield f"  Registers: {registers(account)}"
    if account.last:
        yield "  The last instructions:"
        for step in account.last:
            yield f"    {step[0]}" + (f" ; {'; '.join(step[1:])}" if step[1:] else "")
    if account.around:
        yield "  The code there:"
        yield from (f"    {code_text(each)}" for each in account.around)


def registers(account: Account) -> str:
    """Registers and PS in one line."""
    names = (*(f"R{number}" for number in range(6)), "SP", "PC")
    shown = [f"{name} {word:06o}" for name, word in zip(names, account.registers, strict=True)]
    return f"{', '.join(shown)}, PS {account.ps:06o}"


def code_text(code: CodeLine) -> str:
    """One instruction with its words; `>` stands before the one where it ended."""
    words = " ".join(f"{word:06o}" for word in code.words[:3])
    label = f"{code.label}: " if code.label else ""
    remark = f"   ; {code.remark}" if code.remark else ""
    return f"{'>' if code.is_end else ' '} {code.address:06o}  {words:{_WORD_COLUMNS}}  {label}{code.text}{remark}"
