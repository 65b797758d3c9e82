"""The planted defects: tests/mutants/*.yaml, one file for each source of the core.

A file has `file` (of cpu/), `module` (what it belongs to) and `mutants`; a mutant has

    id, kind, what   a name, one of KINDS, what the defect does in a sentence
    in               a text that stands once in the file: the instruction or function it is in
    from, to         C: what stands there once from `in` to the end of the function, and what the defect makes of it.
                     With a semicolon at the end both are statements, else expressions
    module           where it is another one than that of the file
    survives         the reason why nothing can tell it; only for those that nothing can tell
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "tests" / "mutants"
KINDS = (
    *("wrong-flag", "shift-by-one", "off-by-one", "wrong-width", "swapped-operands", "missing-side-effect"),
    *("extra-side-effect", "wrong-constant", "wrong-condition", "wrong-operation"),
)
MODULES = (
    *("base", "later-base", "traps", "stack-limit", "ps", "spl", "mfpt", "pair", "eis", "fis", "fpp", "cis"),
    *("mmu", "csm", "map", "bus"),
)
KEYS = {"id", "kind", "what", "in", "from", "to"}
MORE = {"module", "survives"}
ENDS = ("\n}", "\nINSN(", "\n#define")  # what a function, an instruction or a macro ends before


class DefectError(Exception):
    """A defect that can't be planted; the message says which and why."""


@dataclass(frozen=True, slots=True)
class Defect:
    """One defect; `number` is what the core is told to have it."""

    number: int
    id: str
    kind: str
    module: str
    what: str
    file: str
    within: str
    old: str
    new: str
    survives: str = ""

    @property
    def is_statement(self) -> bool:
        """Statements end with a semicolon."""
        return self.old.endswith(";")


def read(folder: Path = FOLDER) -> list[Defect]:
    """All defects, numbered from 1 in the order of files and lines."""
    found: list[Defect] = []
    for path in sorted(folder.glob("*.yaml")):
        data = yaml.safe_load(path.read_text(encoding="utf-8"))
        if not isinstance(data, dict) or set(data) != {"file", "module", "mutants"}:
            raise DefectError(f"{path.name}: file, module and mutants must stand in it, and nothing else")
        for row in data["mutants"]:
            found.append(_defect(len(found) + 1, path.name, data, row))
    names = [each.id for each in found]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise DefectError(f"two defects have the same id: {', '.join(twice)}")
    return found


def _defect(number: int, file: str, data: dict[str, Any], row: dict[str, Any]) -> Defect:
    name = row.get("id", f"number {number}")
    if missing := KEYS - set(row):
        raise DefectError(f"{file}: {name}: {', '.join(sorted(missing))} missing")
    if unknown := set(row) - KEYS - MORE:
        raise DefectError(f"{file}: {name}: {', '.join(sorted(unknown))} means nothing here")
    row = {"module": data["module"], "survives": "", **row}
    if wrong := next((key for key, value in row.items() if not isinstance(value, str)), None):
        raise DefectError(f"{file}: {name}: {wrong} must be a text; put it in quotes")
    for key, allowed in (("kind", KINDS), ("module", MODULES)):
        if row[key] not in allowed:
            raise DefectError(f'{file}: {name}: {key} is one of {", ".join(allowed)}, not "{row[key]}"')
    if row["from"].endswith(";") != row["to"].endswith(";"):
        raise DefectError(f"{file}: {name}: one is a statement, the other an expression")
    return Defect(
        number, name, row["kind"], row["module"], row["what"], data["file"],
        row["in"], row["from"], row["to"], row["survives"],
    )  # fmt: skip


def place(defect: Defect, text: str) -> int:
    """Where its old C stands in the text of its file.  DefectError: nowhere, or not in one place."""
    times = text.count(defect.within)
    if times != 1:
        raise DefectError(f'{defect.id}: "{defect.within}" stands {times} times in cpu/{defect.file}, not once')
    start = text.index(defect.within)
    ends = [at for end in ENDS if (at := text.find(end, start + len(defect.within))) >= 0]
    body = text[start : min(ends, default=len(text))]
    if (times := body.count(defect.old)) != 1:
        how = "does not stand" if not times else f"stands {times} times, not once,"
        raise DefectError(f'{defect.id}: "{defect.old}" {how} behind "{defect.within}" in cpu/{defect.file}')
    return start + body.index(defect.old)


def planted(text: str, defects: Sequence[Defect]) -> str:
    """The text of one file with these defects, each behind a look at ms_mutant.  DefectError: two overlap.

    Several may have the very same place.
    """
    spots: dict[tuple[int, int], list[Defect]] = {}
    for defect in defects:
        at = place(defect, text)
        spots.setdefault((at, at + len(defect.old)), []).append(defect)
    before = (0, 0)
    for spot in sorted(spots):
        if spot[0] < before[1]:
            raise DefectError(f"{spots[before][0].id} and {spots[spot][0].id} overlap in cpu/{defects[0].file}")
        before = spot
    for (first, last), here in sorted(spots.items(), reverse=True):
        text = text[:first] + _switch(here) + text[last:]
    return text


def _switch(here: Sequence[Defect]) -> str:
    old = here[0].old
    if here[0].is_statement:
        chosen = "".join(f"if (ms_mutant == {one.number}) {{ {one.new} }} else " for one in here)
        return f"{{ {chosen}{{ {old} }} }}"
    return "(" + "".join(f"ms_mutant == {one.number} ? ({one.new}) : " for one in here) + f"({old}))"


def by_file(defects: Sequence[Defect]) -> Iterator[tuple[str, list[Defect]]]:
    """The defects of each source."""
    for file in dict.fromkeys(each.file for each in defects):
        yield file, [each for each in defects if each.file == file]
