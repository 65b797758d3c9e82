"""Goals that nothing can reach, or that nobody has reached yet, each with its reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase
from pathlib import Path

import minisim.yamltext as yamltext
from minisim.problems import InputError, Problem

FILE = Path(__file__).parent / "open-goals.yaml"
_SHAPE = "a list of {instructions: patterns with spaces between, goal: pattern, why: text} is expected here"


@dataclass(frozen=True, slots=True)
class Reason:
    """Why goals are open.  Patterns as of file names: `*` is any text, `[ab]` one of these."""

    instructions: tuple[str, ...]
    goal: str
    why: str

    def covers(self, mnemonic: str, goal: str) -> bool:
        """Whether it speaks of this goal."""
        return fnmatchcase(goal, self.goal) and any(fnmatchcase(mnemonic, each) for each in self.instructions)


def open_goals(file: Path = FILE) -> Sequence[Reason]:
    """All reasons.  InputError: the file can't be read."""
    node = yamltext.compose(file)
    rows = node.get("open") if isinstance(node, yamltext.Mapping) else None
    if not isinstance(rows, yamltext.Sequence):
        raise InputError([Problem(node.mark, _SHAPE)])
    return [_reason(row) for row in rows]


def _reason(node: yamltext.Node) -> Reason:
    texts = []
    for key in ("instructions", "goal", "why"):
        scalar = node.get(key) if isinstance(node, yamltext.Mapping) else None
        if not isinstance(scalar, yamltext.Scalar) or scalar.empty:
            raise InputError([Problem(node.mark, _SHAPE)])
        texts.append(scalar.text)
    return Reason(tuple(texts[0].split()), texts[1], texts[2])
