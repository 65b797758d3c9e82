"""`minisim check --fix`: what to change, why, and the diff; with `--write` the file is changed."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from time import monotonic
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.findings import Severity
    from minisim.fixing import Proposal
    from minisim.problems import Problem

FIX = (
    """say what to change in the file so that the findings go, and print it as a diff; notes only with --fail-on note"""
)
WRITE = """with --fix: put the changes into the file; a record (state: as-found) is never changed"""
_FORMS = ("text", "json")


def fix(arguments: argparse.Namespace) -> int:
    """Propose, and write where asked; the exit code of a check after the changes."""
    from minisim.findings import Severity
    from minisim.fixing.forms import json_text, text
    from minisim.rules._cautions import CAUTION

    if not arguments.fix:
        return _refuse("--write stands beside --fix")
    if arguments.format not in _FORMS:
        return _refuse(f"--fix prints text or json, not {arguments.format}")
    least = max(Severity.DOUBT, Severity(arguments.fail_on), key=lambda one: one.rank)
    as_data = arguments.format == "json"
    problems: list[Problem] = []
    done: list[tuple[Proposal, bool]] = []
    for file in dict.fromkeys(arguments.files):
        one = _one(file, arguments, least, problems)
        if one is not None:
            if not as_data:
                shown = text(one[0], written=one[1], terminal=sys.stdout.isatty(), colour=_colour())
                print(f"\n{shown}" if done else shown, end="")
            done.append(one)
    if as_data:
        print(json_text(done, problems), end="")
    elif any(proposal.diff or proposal.left for proposal, _ in done):
        print(f"\n{CAUTION}")
    for problem in problems:
        print(problem, file=sys.stderr)
    return 2 if problems else int(any(_fails(one, arguments.fail_on) for one, _ in done))


def _refuse(message: str) -> int:
    print(f"minisim check: {message}", file=sys.stderr)
    return 2


def _one(
    file: str, arguments: argparse.Namespace, least: Severity, problems: list[Problem]
) -> tuple[Proposal, bool] | None:
    """The proposal for one file, and whether it was written; None where it can't be used."""
    from minisim.fixing import propose, write
    from minisim.problems import InputError

    try:
        with _Progress(file) as progress:
            proposal = propose(file, media_root=arguments.media_root, least=least, tell=progress.tell)
    except InputError as error:
        problems.extend(error.problems)
        return None
    if not arguments.write:
        return proposal, False
    try:
        write(proposal)
    except InputError as error:
        problems.extend(error.problems)
        return proposal, False
    return proposal, bool(proposal.diff)


def _fails(proposal: Proposal, fail_on: str) -> bool:
    from minisim.findings import Severity

    worst = proposal.after.worst
    return worst is not None and worst.rank <= Severity(fail_on).rank


def _colour() -> bool:
    """Only on a terminal that has not been asked to do without."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


class _Progress:
    """One line on a terminal while a search takes longer than a second; it goes when the search ends."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.since = monotonic()
        self.shown = 0

    def __enter__(self) -> _Progress:
        return self

    def __exit__(self, *_: object) -> None:
        if self.shown:
            print("\r" + " " * self.shown + "\r", end="", file=sys.stderr, flush=True)

    @property
    def tell(self) -> Callable[[int], None] | None:
        """What to call with the number of checks; None where nobody looks."""
        return self._tell if sys.stderr.isatty() else None

    def _tell(self, checks: int) -> None:
        if monotonic() - self.since > 1:
            line = f"{self.file}: {checks} changes tried"
            self.shown = len(line)
            print(f"\r{line}", end="", file=sys.stderr, flush=True)
