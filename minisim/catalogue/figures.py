"""Every figure of an entry as it stands in its file: label in plain words, value, evidence, sources.

Works on the bare tree, so it shows what the file says of any kind of thing, also what no rule reads.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from minisim.catalogue.reader import Catalogue, tree
from minisim.catalogue.words import NONE, UNKNOWN
from minisim.yamltext import Mapping, Node, Scalar, Sequence

_BESIDE = frozenset({"evidence", "sources", "note"})
_NAMES = ("device", "slot", "height", "flag", "name")  # what an item of a list is called by
_PLAIN = frozenset({"id", "kind", "description", "notes", "settings", "slots-evidence"})  # shown apart
_IN_GROUP = {
    "amps": "current at {}",
    "rails": "rating at {}",
    "minimum": "least load at {}",
    "limits": "most {} loads on it",
    "loads": "{} loads of its own",
    "options": "option {}",
    "rules": "rule {}",
    "line": "line: {}",
    "power": "power: {}",
    "image": "image file: {}",
    "memory": "memory: {}",
    "per-regulator": "one regulator at {}",
}
_LABELS = {
    "ac": "AC loads",
    "dc": "DC loads",
    "amps": "currents",
    "dma": "does DMA",
    "dma-bits": "width of its DMA address",
    "dma-buffered": "its DMA can wait for the bus",
    "interrupts": "asks for interrupts",
    "passes-grant": "passes the grants",
    "passes-dma-grant": "passes the DMA grant",
    "markings": "number on it",
    "kb": "sizes in KB",
    "boards": "cards of the set",
    "watts": "total watts",
    "line-clock": "gives the line clock",
    "uses-spare-lines": "drives the spare lines for itself",
    "turnaround": "turns an unclaimed grant around",
    "bus": "bus",
    "kg": "weight in kg",
}
BUS_WORDS = {"mux": "multiplexed bus", "sep": "separate-line bus", "any": "any bus"}


@dataclass(frozen=True, slots=True)
class Stated:
    """One figure of a file.  `evidence` is empty for plain words of the entry and for what is unknown."""

    path: tuple[str, ...]
    label: str
    value: str
    evidence: str = ""
    sources: tuple[str, ...] = ()
    note: str = ""

    @property
    def unknown(self) -> bool:
        """Exists, not known here."""
        return self.value == UNKNOWN


def stated(catalogue: Catalogue, kind: str, name: str) -> tuple[Stated, ...]:
    """The figures of an entry; InputError where its file can't be used."""
    catalogue.entry(kind, name)
    return tuple(figures_of(tree(catalogue.path(kind, name)), kind))


def what_it_is(entry: object) -> str:
    """The line that says what a thing is."""
    return str(getattr(entry, "kind", getattr(entry, "description", "")))


def notes_of(entry: object) -> tuple[str, ...]:
    """What stands there for people: a text, or several."""
    notes = getattr(entry, "notes", "")
    return tuple(filter(None, [notes] if isinstance(notes, str) else notes))


def figures_of(entry: Node, kind: str = "boards") -> Iterator[Stated]:
    """The figures of an entry of a folder in the order of the file; what does not exist is left out."""
    if isinstance(entry, Mapping):
        for key, node in entry:
            if key.text == "evidence" and isinstance(node, Mapping):
                continue
            if key.text not in _PLAIN:
                for one in _figures((key.text,), node, _beside(entry, key.text)):
                    if one.value not in (NONE, ""):
                        yield _for_kind(one, kind)


def _for_kind(one: Stated, kind: str) -> Stated:
    if kind == "drives" and one.path[0] == "rails":
        return Stated(one.path, f"current at {one.path[1]}", one.value, one.evidence, one.sources, one.note)
    return one


def _beside(entry: Mapping, key: str) -> Mapping | None:
    """Evidence of a key that has no record of its own: `slots-evidence`, or `evidence: {slots: ...}`."""
    apart = entry.get(f"{key}-evidence")
    if isinstance(apart, Mapping):
        return apart
    block = entry.get("evidence")
    inner = block.get(key) if isinstance(block, Mapping) else None
    return inner if isinstance(inner, Mapping) else None


def _figures(path: tuple[str, ...], node: Node, beside: Mapping | None) -> Iterator[Stated]:
    if isinstance(node, Mapping) and "value" in node:
        value = node.get("value")
        yield _stated(path, words(value) if value is not None else UNKNOWN, node)
    elif isinstance(node, Mapping) and beside is None:
        yield from _block(path, node)
    elif isinstance(node, Sequence) and any(isinstance(item, Mapping) for item in node.items):
        for item in node.items:
            yield from _block((*path, _name(item)), item) if isinstance(item, Mapping) else ()
    else:
        text = words(node)
        if text and not (isinstance(node, Sequence) and not node.items):
            yield _stated(path, text, beside)


def _name(item: Node) -> str:
    for key in _NAMES:
        value = item.get(key) if isinstance(item, Mapping) else None
        if isinstance(value, Scalar):
            return value.text.replace("_", " ")
    return ""


def _named_by(item: Mapping) -> str:
    return next((key for key in _NAMES if key in item), "")


def _block(path: tuple[str, ...], node: Mapping) -> Iterator[Stated]:
    """A mapping: its plain words as one figure where the block has evidence of its own, its records one by one."""
    shared = node if "evidence" in node or "sources" in node else None
    plain: list[str] = []
    for key, value in node:
        if key.text in _BESIDE or (key.text == _named_by(node) and len(path) > 1):
            continue
        if _is_record(value):
            yield from _figures((*path, key.text), value, None)
        elif shared is not None:
            plain.append(f"{key.text} {words(value)}")
        else:
            yield from _figures((*path, key.text), value, None)
    if plain:
        yield _stated(path, "; ".join(plain), shared)


def _is_record(node: Node) -> bool:
    return isinstance(node, Mapping) and any(
        key.text == "value" or (isinstance(inner, Mapping) and "value" in inner) for key, inner in node
    )


def _stated(path: tuple[str, ...], value: str, beside: Mapping | None) -> Stated:
    evidence = _text(beside, "evidence")
    sources = beside.get("sources") if beside is not None else None
    items = sources.items if isinstance(sources, Sequence) else [sources]
    keys = tuple(item.text for item in items if isinstance(item, Scalar))
    return Stated(path, label_of(path), value, "" if value == UNKNOWN else evidence, keys, _text(beside, "note"))


def _text(node: Mapping | None, key: str) -> str:
    value = node.get(key) if node is not None else None
    return value.text if isinstance(value, Scalar) else ""


def label_of(path: tuple[str, ...]) -> str:
    """What a figure is called: "current at +5", "AC loads"."""
    first, rest = path[0], path[1:]
    if first == "registers" and rest:
        return ": ".join([f"registers of {rest[0]}", *(_plain_label(part) for part in rest[1:])])
    if rest and first in _IN_GROUP:
        return _IN_GROUP[first].format(", ".join(map(_plain_label, rest)) if first == "memory" else ", ".join(rest))
    return ": ".join(map(_plain_label, path))


def _plain_label(part: str) -> str:
    return _LABELS.get(part, part.replace("-", " "))


def words(node: Node) -> str:
    """A value as it is read aloud."""
    if isinstance(node, Scalar):
        return BUS_WORDS.get(node.text, node.text)
    if isinstance(node, Sequence):
        return ", ".join(words(item) for item in node.items)
    return ", ".join(f"{key.text}: {words(value)}" for key, value in node if key.text not in _BESIDE)
