"""Nothing answers a grant that nobody takes, and the processor waits for it without end.

What is checked
    On the separate-line bus: whether a processor without a grant time-out has a turnaround terminator, or a board that
    answers unclaimed grants.

Why it matters
    A request can vanish between request and grant.  Such a processor then waits for an acknowledge for ever: the
    machine stands still at a moment nobody can repeat.

Example
    machine.yaml:8:7: doubt GRANT-009 unclaimed-grant-hangs-processor [main/a/1-2]: the processor has no grant
    time-out, and nothing answers a grant that nobody takes; a turnaround terminator or a time-out board must answer it
    (termination-wiki, grant-timeout-wiki).

Putting it right
    Fit a turnaround terminator at the far end, or the time-out board.

Known limits
    Which processors have a time-out is partly not known.  A later version of the processor board may stand under the
    same name: look at the revision.

Sources
    termination-wiki: processors that need the turnaround terminator.
    grant-timeout-wiki: processors without a time-out, the board that adds one, the later version.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.known import reading
from minisim.rules import Result, does_not_apply, failed, not_checked, passed, probe, rule
from minisim.rules._facts import board_subject, known, says, short
from minisim.rules._grants import turnarounds
from minisim.wiring.model import Wired, WiredBoard

TIMEOUT = "grant-timeout"


@rule(
    id="GRANT-009",
    slug="unclaimed-grant-hangs-processor",
    severity=Severity.DOUBT,
    needs=("SLOT-008",),
    sources=("termination-wiki", "grant-timeout-wiki"),
)
def unclaimed_grant_hangs_processor(wired: Wired) -> Iterator[Result]:
    """Ask of each processor who answers a grant that nobody takes."""
    for one in wired.processors:
        board = wired.boards[one.board]
        subject, block = board_subject(board), board.entry.processor
        word = block.extra.get(TIMEOUT) if block else None
        if wired.bus != "sep" or word is None:
            yield does_not_apply(subject)
            continue
        with reading():  # that nothing answers rests on every board; one line would say nothing
            answered = bool(turnarounds(wired)) or _answering(wired)
        if word == "yes" or answered:
            yield passed(subject)
        elif word == "unknown":
            yield not_checked(subject, f"whether {short(board)} has a grant time-out")
        else:
            yield _finding(board)


def _answering(wired: Wired) -> bool:
    figures = ((one.entry.answers_unclaimed, short(one)) for one in wired.boards)
    return any(says(figure, f"answer of {name} to unclaimed grants") for figure, name in figures)


def _finding(board: WiredBoard) -> Result:
    if board.entry.processor is not None:
        known(board.entry.processor.figure, f"grant time-out of {short(board)}")
    return failed(
        board_subject(board),
        found="the processor has no grant time-out, and nothing answers a grant that nobody takes",
        limit="a turnaround terminator or a time-out board must answer it",
        cause="the machine stands still at the first grant nobody takes",
        fix="fit a turnaround terminator at the far end of the bus",
        next_measurement=probe(
            "when the machine stands still, measure the grant lines at the last slot",
            "one of them asserted for good",
            "something else stops it: look at the grants first",
        ),
    )
