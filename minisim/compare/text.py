"""The comparison as text: a matrix that prints in black and white on 80 columns, every difference, the counts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby
from pathlib import Path
from textwrap import wrap

from minisim.compare.report import STRONG, Comparison, Group, grouped
from minisim.trials.keys import show
from minisim.trials.model import Case, Evidence, Line, Result, Status

WIDTH = 80
LABEL = 28
_GLUE = "\N{NO-BREAK SPACE}"  # no line ends between a number and its profile
MOST_WORDS = 12  # of a program that are shown
MARKS = {
    Status.DIFFERS: "#",
    Status.DIFFERS_UNCONFIRMED: "?",
    Status.AGREES: "=",
    Status.AGREES_UNCONFIRMED: "~",
    Status.NOT_DOCUMENTED: "-",
    Status.NOT_FITTED: ".",
}
"""In the order in which they win where a row stands for several cases."""

_MEANINGS = {
    Status.AGREES: "agrees",
    Status.DIFFERS: "differs",
    Status.AGREES_UNCONFIRMED: "agrees with an unconfirmed value",
    Status.DIFFERS_UNCONFIRMED: "differs from an unconfirmed value (a doubt)",
    Status.NOT_DOCUMENTED: "not documented",
    Status.NOT_FITTED: "not fitted",
}
DOUBTS = "Doubts: differences from unconfirmed values (--strict counts them)"
_EVIDENCE = {
    Evidence.SEEN: "seen in print",
    Evidence.DERIVED: "derived from printed rules",
    Evidence.FIRM: "from memory, firm",
    Evidence.PRACTICE: "common practice",
    Evidence.UNCONFIRMED: "unconfirmed",
}


def text(comparison: Comparison, *, whole: bool = False) -> str:
    """Everything, the sum in the last line.  `whole`: a row for every case."""
    parts = [
        *_head(comparison),
        *_matrix(comparison, whole),
        *_differences("Differences", comparison.differences, comparison),
        *_differences(DOUBTS, comparison.doubts, comparison),
        *_module_counts(comparison),
        *_evidence_counts(comparison),
        last_line(comparison),
    ]
    return "\n".join(parts) + "\n"


def label(module: str) -> str:
    """A module as users write it."""
    return module if module == "base" else module.upper()


# --- the matrix -------------------------------------------------------------------------------------------------------


def _head(comparison: Comparison) -> Iterator[str]:
    options = comparison.options
    fitted = "all that each can have" if options is None else ", ".join(options) or "none"
    yield from wrap(f"{_counted(len(comparison.cases), 'case')} on {_counted(len(comparison.profiles), 'profile')}; "
                    f"options: {fitted}", WIDTH)  # fmt: skip
    yield ""
    names = [f"{number:3} {name}" for number, name in enumerate(comparison.profiles, 1)]
    half = (len(names) + 1) // 2
    for row in range(half):
        yield "".join(name.ljust(WIDTH // 2) for name in names[row::half]).rstrip()
    yield ""
    for status, meaning in _MEANINGS.items():
        yield f"  {MARKS[status]} {meaning}"
    yield f"A row for several cases shows the first of {' '.join(MARKS.values())} that one of them has."
    yield ""


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _matrix(comparison: Comparison, whole: bool) -> Iterator[str]:
    """A row for each file; under it the tables and cases with something to say."""
    numbers = "".join(f"{number:3}" for number in range(1, len(comparison.profiles) + 1))
    yield f"{'file, table, case':{LABEL}}{numbers}"
    for file, in_file in _groups(comparison.cases, lambda case: case.file):
        yield _row(f"{file} ({len(in_file)})", in_file, comparison)
        for table, in_table in _groups(in_file, lambda case: case.table):
            if not whole and not _says_something(in_table, comparison):
                continue
            yield _row(f"  {table} ({len(in_table)})", in_table, comparison)
            for case in in_table:
                if whole or _says_something([case], comparison):
                    yield _row(f"    {case.id.partition('/')[2]}", [case], comparison)
    yield from ("" if whole else "Rows in which nothing differs are folded; --all prints them.", "")


def _groups(cases: Iterable[Case], key: Callable[[Case], str]) -> Iterator[tuple[str, list[Case]]]:
    for name, some in groupby(cases, key):
        yield name, list(some)


def _says_something(cases: Sequence[Case], comparison: Comparison) -> bool:
    return any(result.status.differs for case in cases for result in comparison.results[case.id])


def _row(name: str, cases: Sequence[Case], comparison: Comparison) -> str:
    columns = zip(*(comparison.results[case.id] for case in cases), strict=True)
    marks = "".join(f"  {_mark(column)}" for column in columns)
    return f"{_shortened(name):{LABEL}}{marks}"


def _shortened(name: str) -> str:
    """A name that fits its column, with the count behind it."""
    if len(name) <= LABEL:
        return name
    stem, _, count = name.partition(" (")
    count = count and f" ({count}"
    return f"{stem[: LABEL - 2 - len(count)]}..{count}"


def _mark(results: Iterable[Result]) -> str:
    statuses = {result.status for result in results}
    return next((mark for status, mark in MARKS.items() if status in statuses), " ")


# --- differences ------------------------------------------------------------------------------------------------------


def _differences(title: str, results: Sequence[Result], comparison: Comparison) -> Iterator[str]:
    if not results:
        return
    yield f"{title}: {len(results)}"
    yield ""
    for group in grouped(results):
        yield from _group(group, comparison)
        yield ""


def _group(group: Group, comparison: Comparison) -> Iterator[str]:
    case, line = group.case, group.result.line
    row = f" ({case.row})" if case.row else ""
    yield from wrap(f"{case.id}{row}: {case.about}", WIDTH)
    yield from _on(group, comparison)
    if line is not None:
        sources = ", ".join(f"[{key}]" for key in line.sources) or "derived from the rules"
        place = f", {line.place}" if line.place else ""
        yield from _wrapped(f"{_near(line.mark.file)}:{line.mark.line}: {_EVIDENCE[line.evidence]}, {sources}{place}")
        if line.note:
            yield from _wrapped(f"note: {line.note}")
        yield from _wrapped(_set_up(line))
    for one in group.differences:
        xor = f", XOR {one.xor}" if one.xor else ""
        yield from _wrapped(f"{one.what}: documented {one.documented}, found {one.found}{xor}: {one.words}")


def _on(group: Group, comparison: Comparison) -> Iterator[str]:
    """The profiles a group speaks of, with their numbers."""
    if len(group.profiles) == len(comparison.profiles) > 1:
        yield f"  on all {len(group.profiles)} profiles"
        return
    names = ", ".join(f"{comparison.profiles.index(name) + 1}{_GLUE}{name}" for name in group.profiles)
    for row in wrap(f"on {names}", WIDTH, initial_indent="  ", subsequent_indent="     ", break_on_hyphens=False):
        yield row.replace(_GLUE, " ")


def _near(file: str) -> str:
    """The path of a file, from here if it lies below."""
    path, here = Path(file), Path.cwd()
    return str(path.relative_to(here)) if path.is_relative_to(here) else file


def _set_up(line: Line) -> str:
    """What to put in by hand to see the same."""
    given = ", ".join(f"{key.text}: {show(key.kind, value)}" for key, value in line.given)
    parts = [f"set up: {given}"] if given else []
    if line.code is not None:
        words = [f"{word:06o}" for word in line.code.words]
        more = " ..." if len(words) > MOST_WORDS else ""
        steps = _counted(line.steps, "instruction")
        parts.append(f"program at {line.code.at:06o}: {' '.join(words[:MOST_WORDS])}{more}, {steps}")
    return "; ".join(parts)


def _wrapped(sentence: str) -> list[str]:
    return wrap(sentence, WIDTH, initial_indent="  ", subsequent_indent="    ", break_long_words=False,
                break_on_hyphens=False)  # fmt: skip


# --- counts -----------------------------------------------------------------------------------------------------------

_COLUMNS = (
    ("agree", (Status.AGREES,)),
    ("differ", (Status.DIFFERS,)),
    ("agree~", (Status.AGREES_UNCONFIRMED,)),
    ("differ?", (Status.DIFFERS_UNCONFIRMED,)),
    ("not doc.", (Status.NOT_DOCUMENTED,)),
    ("not fitted", (Status.NOT_FITTED,)),
)


def _module_counts(comparison: Comparison) -> Iterator[str]:
    yield f"{'By module':12}" + "".join(f"{name:>11}" for name, _ in _COLUMNS)
    for module, counts in comparison.by_module.items():
        yield f"  {label(module):10}" + "".join(f"{sum(counts[s] for s in some):11}" for _, some in _COLUMNS)
    yield ""
    if reasons := comparison.reasons:
        yield "Why not fitted"
        for reason, count in reasons.items():
            yield from wrap(f"{count:5} {reason}", WIDTH, initial_indent="  ", subsequent_indent=" " * 8)
        for module, count in comparison.waiting.items():
            yield f"  {_counted(count, 'case')} of {label(module)} ran on none of these profiles"
        yield ""


def _evidence_counts(comparison: Comparison) -> Iterator[str]:
    yield f"{'By what the value rests on':36}{'agree':>8}{'differ':>8}"
    for evidence, counts in comparison.by_evidence.items():
        differ = sum(count for status, count in counts.items() if status.differs)
        yield f"  {_EVIDENCE[evidence]:34}{counts.total() - differ:8}{differ:8}"
    yield ""


def last_line(comparison: Comparison) -> str:
    """Cases by module, profiles, differences, and what the results rest on."""
    cases = ", ".join(f"{count} {label(module)}" for module, count in comparison.cases_by_module.items())
    rest = [
        f"{comparison.rests_on(*STRONG)} rest on seen or derived values",
        f"{comparison.rests_on(Evidence.FIRM)} on firm ones",
        f"{comparison.rests_on(Evidence.UNCONFIRMED)} on unconfirmed ones",
    ]
    if practice := comparison.rests_on(Evidence.PRACTICE):
        rest.insert(2, f"{practice} on common practice")
    return (
        f"Cases: {cases or 'none compared'}; {_counted(len(comparison.profiles), 'profile')}; "
        f"{_counted(len(comparison.differences), 'difference')}; of {len(comparison.compared)} compared results "
        + ", ".join(rest)
    )
