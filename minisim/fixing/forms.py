"""How a proposal is shown: in words with its diff, and as data.  Both are made from the same record."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from minisim.findings import Finding
from minisim.fixing.diffs import taken_out
from minisim.fixing.edits import Edit, MoveBoards
from minisim.fixing.proposal import Left, Proposal, Step
from minisim.json_shapes import list_of, record
from minisim.problems import Problem, printable

_COLOURS = {"-": "31", "+": "32", "@": "36"}


# ---- in words


def text(proposal: Proposal, *, written: bool, terminal: bool = False, colour: bool = False) -> str:
    """What is to be done and why, the diff, what stays.

    The diff is exact, so that it can be kept and applied; on a terminal what it would act on is shown by its code.
    """
    diff = proposal.diff
    parts = [_lines([f"{proposal.file}: {proposal.name}", *_steps(proposal)])]
    if diff:
        parts += [_shown(diff, colour=colour) if terminal else diff, _lines(_after_the_diff(proposal, written))]
    parts += [_lines(left) for left in (_left(proposal), _not_all(proposal)) if left]
    return "\n".join(parts)


def _lines(lines: Iterable[str]) -> str:
    return "".join(f"{printable(line)}\n" for line in lines)


def _steps(proposal: Proposal) -> Iterator[str]:
    if not proposal.steps:
        yield "  nothing to change" if proposal.left else "  nothing to put right"
    for number, step in enumerate(proposal.steps, 1):
        yield from _step(number, step)


def _step(number: int, step: Step) -> Iterator[str]:
    """The acts one below the other, then the findings that go."""
    for index, edit in enumerate(step.changes):
        lead = f"{number:3}. " if index == 0 else "     "
        yield f"{lead}{edit.words()}{'' if edit is step.changes[-1] else ', and'}"
    if step.findings:
        yield f"     puts right: {', '.join(_named(one) for one in step.findings)}"
    if step.not_known:
        yield f"     not known after it: {'; '.join(step.not_known)}"


def _named(finding: Finding) -> str:
    return f"{finding.severity} {finding.rule} {finding.slug} at {finding.place}"


def _shown(diff: str, *, colour: bool) -> str:
    """The diff for the eye."""
    lines = []
    for line in diff.removesuffix("\n").split("\n"):
        plain = printable(line.removesuffix("\r").expandtabs())
        code = _COLOURS.get(line[:1]) if colour else None
        lines.append(f"\x1b[{code}m{plain}\x1b[0m\n" if code else f"{plain}\n")
    return "".join(lines)


def _after_the_diff(proposal: Proposal, written: bool) -> Iterator[str]:
    if any(" #" in line for line in taken_out(proposal.diff)):
        yield "A comment stands on a line that changes: see whether it still tells the truth."
    if written:
        yield "The file is written."
    elif proposal.as_found:
        yield "This file is a record (state: as-found) and stays as it is. Copy it, write state: planned in the copy,"
        yield "and put that right."
    else:
        yield "Nothing is written; --write puts the changes into the file."


def _left(proposal: Proposal) -> list[str]:
    if not proposal.left:
        return []
    lines = ["What remains:" if proposal.steps else "No change of this file puts right:"]
    for one in proposal.left:
        lines += [f"  {_named(one.finding)}: {one.finding.found}", f"      {one.why}"]
    return lines


def _not_all(proposal: Proposal) -> list[str]:
    lines = []
    if proposal.bounded:
        lines.append("The search ended at its bound: there may be more that changes can put right.")
    if proposal.notes:
        count = "1 note is" if proposal.notes == 1 else f"{proposal.notes} notes are"
        lines.append(f"{count} left alone; with --fail-on note notes are put right too.")
    return lines


# ---- as data


def json_text(proposals: Sequence[tuple[Proposal, bool]], problems: Sequence[Problem]) -> str:
    """All proposals, each with whether its file was written, and the files that can't be used."""
    data = {
        "fix": 1,
        "files": [_file(proposal, written) for proposal, written in proposals],
        "unusable": [_problem(one) for one in problems],
    }
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def _file(proposal: Proposal, written: bool) -> dict[str, Any]:
    worst = proposal.after.worst
    return {
        "name": proposal.name,
        "file": proposal.file,
        "state": proposal.state,
        "steps": [_step_data(step) for step in proposal.steps],
        "diff": proposal.diff,
        "written": written,
        "left": [_left_data(one) for one in proposal.left],
        "notes_left": proposal.notes,
        "search_bounded": proposal.bounded,
        "worst": None if worst is None else str(worst),
    }


def _step_data(step: Step) -> dict[str, Any]:
    return {
        "changes": [edit_data(edit) for edit in step.changes],
        "puts_right": [_finding_data(one) for one in step.findings],
        "not_known": list(step.not_known),
    }


def edit_data(edit: Edit) -> dict[str, Any]:
    """One change: its kind, its words, its cost, and what it sets where."""
    boards = {"boards": [dataclasses.asdict(one) for one in edit.boards]} if isinstance(edit, MoveBoards) else {}
    fields = {one.name: getattr(edit, one.name) for one in dataclasses.fields(edit) if one.name != "boards"}  # type: ignore[arg-type]  # every edit is a dataclass
    return {"kind": edit.kind, "words": edit.words(), "cost": edit.cost, "details": {**fields, **boards}}


def _finding_data(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "slug": finding.slug,
        "severity": str(finding.severity),
        "place": finding.place,
        "found": finding.found,
    }


def _left_data(left: Left) -> dict[str, Any]:
    return {**_finding_data(left.finding), "why": left.why}


def _problem(problem: Problem) -> dict[str, Any]:
    mark = problem.mark
    return {"file": mark.file, "line": mark.line, "column": mark.column, "message": problem.message}


_TEXT = {"type": "string"}
_SEVERITY = {"enum": ["damage", "fault", "doubt", "note"]}


_FINDING = {"rule": _TEXT, "slug": _TEXT, "severity": _SEVERITY, "place": _TEXT, "found": _TEXT}
_CHANGE = {"kind": _TEXT, "words": _TEXT, "cost": {"type": "integer", "minimum": 0}, "details": {"type": "object"}}
_STEP = {"changes": list_of(record(_CHANGE)), "puts_right": list_of(record(_FINDING)), "not_known": list_of(_TEXT)}
JSON_SHAPE: dict[str, Any] = record(
    {
        "fix": {"const": 1},
        "files": list_of(
            record(
                {
                    "name": _TEXT,
                    "file": _TEXT,
                    "state": {"enum": ["planned", "as-found"]},
                    "steps": list_of(
                        record(
                            {
                                "changes": list_of(record(_CHANGE)),
                                "puts_right": list_of(record(_FINDING)),
                                "not_known": list_of(_TEXT),
                            }
                        )
                    ),
                    "diff": _TEXT,
                    "written": {"type": "boolean"},
                    "left": list_of(record({**_FINDING, "why": _TEXT})),
                    "notes_left": {"type": "integer", "minimum": 0},
                    "search_bounded": {"type": "boolean"},
                    "worst": {"enum": [*_SEVERITY["enum"], None]},
                }
            )
        ),
        "unusable": list_of(
            record({"file": _TEXT, "line": {"type": "integer"}, "column": {"type": "integer"}, "message": _TEXT})
        ),
    }
)
"""What `minisim check --fix --json` prints."""
