"""A diagnosis as a person at the machine reads it: short first screen, everything with `whole`."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from minisim.findings import Finding
from minisim.formatters import weakness
from minisim.rules._cautions import CAUTION
from minisim.why.diagnosis import Diagnosis
from minisim.why.model import Head, Question, Ranked

FIRST_SCREEN = 5
"""Causes shown without --all."""

FIRST_QUESTIONS = 1
"""Questions shown without --all."""

FEW_PLACES = 2
"""So many places are listed under any cause; longer lists only under the first, or where something was found."""

COMMON_PRACTICE = "common-practice"
_NUMBER = 4  # columns of "12. "


def text(found: Diagnosis, columns: int, *, whole: bool = False) -> str:
    """The whole answer."""
    lines = [*_head(found, columns), *_questions(found, columns, whole)]
    shown = found.causes if whole else found.causes[:FIRST_SCREEN]
    for number, cause in enumerate(shown, 1):
        lines += ["", *_cause(number, cause, columns, whole)]
    lines += ["", *_rest(found, shown, columns, whole)]
    if any(one.hand for one in shown) or found.damage:
        lines += _wrapped(CAUTION, columns)
    return "\n".join(lines) + "\n"


def _wrapped(words: str, columns: int, first: str = "", other: str | None = None) -> list[str]:
    return textwrap.wrap(
        words, columns, initial_indent=first, subsequent_indent=first if other is None else other,
        break_on_hyphens=False, break_long_words=False,
    )  # fmt: skip


def _head(found: Diagnosis, columns: int) -> Iterator[str]:
    yield from _wrapped(f"{found.report.name} ({found.report.file})", columns, "", "  ")
    yield from _wrapped(f"Symptom: {found.symptom.head.title}.", columns, "", "  ")
    for line in found.tells:
        yield from _wrapped(line, columns, "  ")
    for head in found.also_fits:
        yield from _wrapped(f"These words also fit: {head.title} (say: {head.examples[0]}).", columns, "  ")
    for finding in found.damage:
        yield from _wrapped(_damage(finding), columns, "", "  ")


def _damage(finding: Finding) -> str:
    """Comes before any symptom."""
    what = f"{finding.rule} at {finding.place}: {finding.found}"
    return f"FIRST: damage {what}. Do not switch on. Put right: {finding.fix}."


def _questions(found: Diagnosis, columns: int, whole: bool) -> Iterator[str]:
    for one in found.ask if whole else found.ask[:FIRST_QUESTIONS]:
        yield from _question(one, columns)


def _question(one: Question, columns: int) -> Iterator[str]:
    yield from _wrapped(f"Look first: {one.look}", columns, "", "  ")
    yield from _wrapped(f"Yes: {one.yes}", columns, "  ", "       ")
    yield from _wrapped(f"No:  {one.no}", columns, "  ", "       ")


def _cause(number: int, cause: Ranked, columns: int, whole: bool) -> Iterator[str]:
    indent = " " * _NUMBER
    said = f"{cause.cause[:1].upper()}{cause.cause[1:]}"
    yield from _wrapped(f"{said}{_mark(cause)}", columns, f"{number:>2}. ", indent)
    for finding in cause.findings if whole else cause.findings[:1]:
        yield from _wrapped(_found(finding), columns, indent, indent + "  ")
    if len(cause.findings) > 1 and not whole:
        yield f"{indent}and {len(cause.findings) - 1} more findings of this kind (--all)"
    full = whole or number == 1 or bool(cause.findings) or len(cause.places) <= FEW_PLACES
    if cause.on_paper and full:
        yield from _wrapped("On paper this is right. Is the machine as the loadout says?", columns, indent)
    if full:
        yield from _places(cause, columns, whole)
    elif cause.places:
        yield f"{indent}{_counted(len(cause.places), 'place')} to look at (--all lists them)"
    if cause.mind:
        yield from _wrapped(_ended(cause.mind), columns, f"{indent}Mind:    ", indent + " " * _NUMBER + "     ")
    for head, said in (("Measure: ", cause.measure), ("Expect:  ", cause.expect), ("If not:  ", cause.if_not)):
        yield from _wrapped(_ended(said), columns, indent + head, indent + " " * len(head))


def _folded(need: str) -> str:
    """Without the list of boards, where it is long."""
    head, bracket, rest = need.partition(" (")
    return f"{head} (--all names them)" if bracket and rest.count(", ") > 2 else need


def _ended(sentence: str) -> str:
    """With a full stop, unless it ends already."""
    return sentence if sentence.endswith(("?", ".")) else f"{sentence}."


def _places(cause: Ranked, columns: int, whole: bool) -> Iterator[str]:
    indent = " " * _NUMBER
    for one in cause.not_known if whole else map(_folded, cause.not_known[:1]):
        yield from _wrapped(f"Not known: {one}.", columns, indent, indent + "  ")
    for line in cause.places:
        yield from _wrapped(line, columns, indent + "- ", indent + "  ")


def _mark(cause: Ranked) -> str:
    """What must be said of the evidence, in the line of the cause."""
    weak = " (unconfirmed)" if cause.unconfirmed else ""
    return f"{weak} [{_sources(cause.sources)}]."


def _sources(keys: Sequence[str]) -> str:
    return ", ".join("common practice" if key == COMMON_PRACTICE else key for key in keys)


def _found(finding: Finding) -> str:
    weak = weakness(finding)
    accepted = f" Accepted: {finding.accepted}." if finding.accepted else ""
    said = f"{finding.found}{f' ({weak})' if weak else ''}"
    return f"FOUND: {finding.severity} {finding.rule} [{finding.place}]: {said}. Put right: {finding.fix}.{accepted}"


def _rest(found: Diagnosis, shown: Sequence[Ranked], columns: int, whole: bool) -> Iterator[str]:
    more = len(found.causes) - len(shown)
    if not found.causes:
        yield from _wrapped(
            f"Nothing in this machine, as its loadout tells it, can cause this. {found.otherwise}", columns
        )
    if whole:
        for one in found.ruled_out:
            yield from _wrapped(f"Ruled out: {one.cause}: {one.because}.", columns, "", "  ")
        return
    parts = [_counted(more, "more cause")] if more else []
    parts += [_counted(len(found.ruled_out), "cause") + " ruled out for this machine"] if found.ruled_out else []
    parts += [_counted(len(found.ask) - FIRST_QUESTIONS, "more question")] if len(found.ask) > FIRST_QUESTIONS else []
    if parts:
        yield from _wrapped(f"{'; '.join(parts)} (--all shows them).", columns)


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def listing(all_heads: Iterable[Head], columns: int) -> str:
    """Every symptom with an example of how to say it."""
    lines = ["Symptoms, with one way to say each; other words of the same meaning do as well.", ""]
    for head in all_heads:
        lines += _wrapped(f'"{head.examples[0]}": {head.title}', columns, "  ", "      ")
    return "\n".join(lines) + "\n"
