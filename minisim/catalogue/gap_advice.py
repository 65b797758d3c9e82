"""For each sort of figure: which rules use it, the words in which an outcome misses it, and how to find it out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from minisim.catalogue.fields import Fields, refuse, text, words_of
from minisim.catalogue.reader import HERE, tree
from minisim.problems import Problem
from minisim.yamltext import Mapping as MappingNode

FILE = HERE / "gap-advice.yaml"
OTHERWISE = "otherwise"


@dataclass(frozen=True, slots=True)
class Advice:
    """`rules`: those that can't be checked, or end otherwise, without the figure; `phrase`: what an outcome says that
    waits for it, where {} stands for the last part of the figure's path; `how` an owner finds it out.
    """

    how: str
    rules: tuple[str, ...] = ()
    phrase: str = ""


@cache
def every_advice() -> Mapping[str, Advice]:
    """By the last or first part of a figure's path; `OTHERWISE` for the others."""
    problems: list[Problem] = []
    top = tree(FILE)
    assert isinstance(top, MappingNode)
    found = {key.text: _advice(Fields(node, str(FILE), problems, key.text)) for key, node in top}
    refuse(problems)
    return found


def _advice(fields: Fields) -> Advice:
    nothing: tuple[str, ...] = ()
    found = Advice(
        fields.read("how", text, ""), fields.maybe("rules", words_of, nothing), fields.maybe("waits-for", text, "")
    )
    fields.finish()
    return found


def advice_for(path: tuple[str, ...]) -> Advice:
    """The advice for a figure by its path; what a drive takes from the mains is not what a supply gives."""
    every = every_advice()
    sort = path[-1] if path[-1] in every and path[0] != "power" else path[0]
    return every.get(sort, every[OTHERWISE])
