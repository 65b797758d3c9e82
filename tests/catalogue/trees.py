"""Bare trees of the catalogue files, for checks of their form."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from minisim.catalogue import Catalogue
from minisim.catalogue.reader import tree
from minisim.yamltext import Mapping, Node, Scalar, Sequence

CATALOGUE = Catalogue()


@cache
def trees(kind: str) -> dict[str, Mapping]:
    """The trees of one folder by id."""
    found: dict[str, Mapping] = {}
    for name in CATALOGUE.ids(kind):
        node = tree(CATALOGUE.path(kind, name))
        assert isinstance(node, Mapping), name
        found[name] = node
    return found


def plain(node: Node) -> Any:
    """A tree as dicts, lists and texts."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [plain(item) for item in node]
    return {key.text: plain(value) for key, value in node}


def walk(node: Node, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Node]]:
    """Every node with the keys that lead to it."""
    yield path, node
    if isinstance(node, Mapping):
        for key, value in node:
            yield from walk(value, (*path, key.text))
    elif isinstance(node, Sequence):
        for item in node:
            yield from walk(item, path)
