"""Dynamic memory is refreshed by nobody.

What is checked
    For each memory board that does not refresh itself: whether the processor or another board of the machine does.

Why it matters
    Dynamic memory forgets within milliseconds.  Programs run for moments and fail, each time elsewhere.

Example
    machine.yaml:9:7: fault MEM-008 memory-without-refresh [main/a/1CD]: the memory does not refresh itself, and no
    board of the machine refreshes it; dynamic memory must be refreshed every few milliseconds
    (module-comparison-memory).

Putting it right
    Fit a processor or a board that refreshes, or other memory.

Known limits
    Seen in a secondary table only.  Refresh that a jumper switches off is not seen in a loadout.

Sources
    module-comparison-memory: memory boards that need refresh from outside, and who gives it.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import Unknown
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, says, short
from minisim.wiring.model import Wired, WiredBoard


@rule(
    id="MEM-008",
    slug="memory-without-refresh",
    severity=Severity.FAULT,
    needs=("SLOT-008",),
    sources=("module-comparison-memory",),
)
def memory_without_refresh(wired: Wired) -> Iterator[Result]:
    """Ask of each memory who refreshes it."""
    for board in wired.boards:
        subject, memory = board_subject(board), board.entry.memory
        if memory is None:
            yield does_not_apply(subject)
            continue
        itself = says(memory.refreshes_itself, f"refresh of {short(board)}")
        if itself:
            yield passed(subject)
            continue
        others = [one for one in wired.boards if one.index != board.index]
        if any(says(one.entry.refreshes_others, f"refresh by {short(one)}") for one in others):
            yield passed(subject)
        elif itself is None:
            yield not_checked(subject, f"whether {short(board)} refreshes itself")
        elif unsure := [one for one in others if isinstance(one.entry.refreshes_others, Unknown)]:
            yield not_checked(subject, f"whether {short(unsure[0])} refreshes the memory of other boards")
        else:
            yield _finding(board)


def _finding(board: WiredBoard) -> Result:
    return failed(
        board_subject(board),
        found="the memory does not refresh itself, and no board of the machine refreshes it",
        limit="dynamic memory must be refreshed every few milliseconds",
        cause="memory forgets: programs run for moments and fail",
        fix="fit a board that refreshes, or memory that refreshes itself",
        next_measurement=probe(
            "at the console, write a word into this memory, wait a minute, read it back",
            "another word",
            "something refreshes it: find out which board and write it into the loadout",
        ),
    )
