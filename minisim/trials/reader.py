"""Reads files of trial cases: everything wrong with a file is told at once, each with its line and column."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from minisim.problems import InputError, Problem
from minisim.trials.model import Case, TrialFile
from minisim.trials.rows import Row, read_table
from minisim.trials.scope import FIELDS, Problems, Scope, read_field, text_of
from minisim.yamltext import Mapping, Node, Scalar, Sequence, parse, read_bytes

FOLDER = Path(__file__).parent / "cases"
"""The cases that come with the project."""

NO_CASES = "unobservable.yaml"
"""Stands among them and tells which rows of the table of differences no case can show."""

VERSION = "1"
FILE_KEYS = ("trials", "title", "tables", *(name for name in FIELDS if name not in ("profile", "row", "about")))
_COUNTED_AS = {"eis": "eis", "fis": "fis", "fpp": "fpp", "cis": "cis", "mmu": "mmu", "csm": "mmu"}
_OTHERS = {"loadout": "minisim check", "stock": "minisim stock", "wish": "minisim plan"}


def module_of(needs: Iterable[str]) -> str:
    """The module a case counts for: the first it needs; the small ones count as base."""
    first = next(iter(needs), "base")
    return _COUNTED_AS.get(first, "base")


@dataclass(frozen=True, slots=True)
class CaseSet:
    """Files of cases, and what is wrong with those that can't be used."""

    files: tuple[TrialFile, ...]
    problems: tuple[Problem, ...] = ()

    @property
    def cases(self) -> tuple[Case, ...]:
        """All cases.  InputError: something is wrong with a file."""
        if self.problems:
            raise InputError(self.problems)
        return tuple(case for file in self.files for case in file.cases)


@cache
def read_set() -> CaseSet:
    """All cases that come with the project, by file name."""
    return read_files(sorted(path for path in FOLDER.glob("*.yaml") if path.name != NO_CASES))


def read_files(paths: Iterable[Path]) -> CaseSet:
    """Several files; an id of a table stands in one of them only."""
    problems: list[Problem] = []
    files: list[TrialFile] = []
    tables: dict[str, str] = {}
    for path in paths:
        try:
            found = read_file(path)
        except InputError as error:
            problems += error.problems
            continue
        twice = [case for case in found.cases if tables.setdefault(case.table, found.name) != found.name]
        if twice:
            message = f'table "{twice[0].table}" stands in {tables[twice[0].table]} too; ids are unique'
            problems.append(Problem(twice[0].lines[0].mark, message))
        else:
            files.append(found)
    return CaseSet(tuple(files), tuple(problems))


def read_file(path: str | Path) -> TrialFile:
    """One file of cases.  InputError lists every problem of it."""
    return read_text(read_bytes(path), str(path), Path(path).stem)


def read_text(data: bytes, file: str, name: str) -> TrialFile:
    """The same from bytes already read."""
    root, syntax = parse(data, file)
    problems = Problems(syntax)
    result = _file(root, name, problems) if root is not None else None
    if problems.found or result is None:
        raise InputError(problems.found)
    return result


def _file(root: Node, name: str, problems: Problems) -> TrialFile | None:
    if not isinstance(root, Mapping) or "trials" not in root:
        _not_ours(root, problems)
        return None
    scope, title = Scope(), ""
    for key, node in root:
        if key.text not in FILE_KEYS:
            problems.unknown(key, "key", FILE_KEYS)
        elif key.text == "trials":
            if text_of(node, problems, "trials") not in (VERSION, None):
                problems.say(node, f"trials: version {VERSION} is the only one there is")
        elif key.text == "title":
            title = text_of(node, problems, "title") or ""
        elif key.text != "tables":
            scope = read_field(scope, key.text, node, problems)
    if not title and "title" not in root:
        problems.say(root, 'key "title" is missing')
    return TrialFile(name, title, tuple(_tables(root, name, scope, problems)))


def _not_ours(root: Node, problems: Problems) -> None:
    names = root.names() if isinstance(root, Mapping) else []
    other = next((word for word in _OTHERS if word in names), None)
    if other:
        problems.say(root, f"this is a {other} file; {_OTHERS[other]} reads it")
    else:
        problems.say(root, f'a file of trial cases begins with "trials: {VERSION}"')


def _tables(root: Mapping, file: str, scope: Scope, problems: Problems) -> list[Case]:
    node = root.get("tables")
    if not isinstance(node, Sequence) or not len(node):
        missing = 'key "tables" is missing'
        problems.say(*((root, missing) if node is None else (node, "tables: a list of tables is expected")))
        return []
    cases: list[Case] = []
    seen: dict[str, Scalar] = {}
    for item in node:
        if not isinstance(item, Mapping):
            problems.say(item, f"a table is a mapping, not a {item.kind}")
            continue
        table = item.get("id")
        if isinstance(table, Scalar) and table.text in seen:
            problems.say(table, f'table "{table.text}" stands twice, first in line {seen[table.text].line}')
        elif isinstance(table, Scalar):
            seen[table.text] = table
        cases += _cases(read_table(item, scope, problems), file, problems)
    return cases


def _cases(rows: list[Row], file: str, problems: Problems) -> list[Case]:
    """Rows to cases: those that carry one id are one case."""
    groups: dict[str, list[Row]] = {}
    for row in rows:
        groups.setdefault(row.id, []).append(row)
    return [_case(group, file, problems) for group in groups.values()]


def _case(rows: list[Row], file: str, problems: Problems) -> Case:
    first = rows[0]
    spoken: dict[str, int] = {}
    for row in rows:
        if len(rows) > 1 and not row.line.profiles:
            problems.say(row.node, f'row "{row.id}" stands twice; rows of one case each name their profiles')
        for profile in row.line.profiles:
            if spoken.setdefault(profile, row.node.line) != row.node.line:
                where = spoken[profile]
                problems.say(row.node, f'row "{row.id}" speaks for {profile} twice, first in line {where}')
    return Case(
        id=f"{first.table}/{first.id}",
        table=first.table,
        file=file,
        about=first.about,
        row=first.row,
        module=module_of(first.line.needs),
        lines=tuple(row.line for row in rows),
    )
