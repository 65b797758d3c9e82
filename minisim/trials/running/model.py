"""What came out of a run of test programs, as values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from minisim.machine.records import Stop
from minisim.trials.own import Verdict

NS = 1_000_000_000


@dataclass(frozen=True, slots=True)
class CodeLine:
    """One instruction of a disassembly: `label` and `remark` are those of its source, `is_end` marks where it ended."""

    address: int
    words: tuple[int, ...]
    text: str
    label: str = ""
    remark: str = ""
    is_end: bool = False


@dataclass(frozen=True, slots=True)
class Account:
    """How a run that did not pass ended: registers R0 to R7, PS, the last instructions in words, the code around."""

    registers: tuple[int, ...]
    ps: int
    last: tuple[tuple[str, ...], ...]
    around: tuple[CodeLine, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """One program or image.  `cases` are those of one pass; `said` is what it printed; `because` says why a program was
    not run, needs a person or failed, in one sentence; `version` is the SHA-256 of an image.
    """

    name: str
    about: str
    verdict: Verdict
    because: str = ""
    passes: int = 0
    cases: int = 0
    failures: tuple[str, ...] = ()
    said: str = ""
    stop: Stop | None = None
    account: Account | None = None
    version: str = ""
    notes: tuple[str, ...] = ()

    @property
    def seconds(self) -> float:
        """Guest time it took."""
        return self.stop.time_ns / NS if self.stop else 0.0


@dataclass(frozen=True, slots=True)
class Report:
    """All of one call: which machine, and what became of each program or image."""

    file: str
    name: str
    sha256: str
    profile: str
    outcomes: tuple[Outcome, ...]

    def count(self, *verdicts: Verdict) -> int:
        """How many ended so."""
        return sum(one.verdict in verdicts for one in self.outcomes)

    @property
    def passed(self) -> bool:
        """Nothing failed, nothing ran that only a person can judge, and at least one passed."""
        unjudged = any(one.verdict is Verdict.NEEDS_PERSON and one.stop is not None for one in self.outcomes)
        return not self.count(Verdict.FAIL) and not unjudged and self.count(Verdict.PASS) > 0

    @property
    def cases(self) -> int:
        """Cases of all programs that ran."""
        return sum(one.cases for one in self.outcomes)

    @property
    def passes(self) -> int:
        """Passes of all programs."""
        return sum(one.passes for one in self.outcomes)


def heading(report: Report) -> str:
    """The first line: loadout, hash, profile."""
    return f"{report.file}: {report.name} ({report.sha256[:12]}), processor {report.profile}"


def last_line(report: Report) -> str:
    """The last line: programs, cases, passes."""
    count = report.count
    passed, failed = count(Verdict.PASS), count(Verdict.FAIL)
    rest = [f"{counted(passed, 'program')} passed", f"{failed} failed", f"{count(Verdict.NOT_RUN)} not run"]
    if needing := count(Verdict.NEEDS_PERSON):
        rest.append(f"{needing} need{'s' if needing == 1 else ''} a person")
    return f"{', '.join(rest)}; {counted(report.cases, 'case')}, {counted(report.passes, 'pass', 'passes')}"


def counted(number: int, word: str, words: str = "") -> str:
    """`1 case`, `1,234 cases`."""
    return f"{number:,} {word if number == 1 else words or f'{word}s'}"


def said_lines(said: str, most: int) -> Sequence[str]:
    """The last lines of what was printed, without what a printer would not show."""
    lines = [line.rstrip() for line in said.replace("\r", "\n").split("\n")]
    shown = ["".join(letter if letter.isprintable() else f"\\{ord(letter):03o}" for letter in line) for line in lines]
    return [line for line in shown if line][-most:]
