"""How well a figure is known, in plain words; and which documents stand behind an entry."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from minisim.known import Evidence
from minisim.problems import InputError
from minisim.yamltext import Mapping, Node, Scalar, Sequence, compose

EVIDENCE_WORDS = {
    "": "nothing is said of how it is known",
    Evidence.OWNER.value: "measured or read by the owner",
    Evidence.SEEN.value: "read in the document named",
    Evidence.DERIVED.value: "follows from other figures",
    Evidence.COMMON_PRACTICE.value: "common practice, no document",
    Evidence.FIRM.value: "firmly remembered from the manual, no document read",
    Evidence.SEEN_SECONDARY.value: "read in a second-hand source",
    Evidence.UNCONFIRMED.value: "unconfirmed, from memory",
    Evidence.ASSUMED.value: "assumed",
    Evidence.DISPUTED.value: "disputed: sources differ",
}
"""Evidence word -> what it means, as a reader needs it."""


_READ = (Evidence.SEEN.value, Evidence.SEEN_SECONDARY.value)


def sources_of_entry(path: Path) -> tuple[str, ...]:
    """The documents in which figures of an entry were read, those of most figures first."""
    try:
        keys = list(_keys(compose(path)))
    except InputError:
        return ()
    return tuple(sorted(dict.fromkeys(keys), key=lambda key: (-keys.count(key), key)))


def _keys(node: Node) -> Iterator[str]:
    if isinstance(node, Sequence):
        for item in node:
            yield from _keys(item)
    elif isinstance(node, Mapping):
        evidence = node.get("evidence")
        read = isinstance(evidence, Scalar) and evidence.text in _READ
        for key, value in node:
            if key.text == "sources":
                items = value.items if isinstance(value, Sequence) else [value]
                items = items if read else []
                yield from (item.text for item in items if isinstance(item, Scalar))
            else:
                yield from _keys(value)
