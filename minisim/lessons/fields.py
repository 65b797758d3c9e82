"""Pieces of a step as values: texts, lines, lists, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Iterable

from minisim.problems import Problems, nearest
from minisim.yamltext import Node, Scalar, Sequence


def text_of(node: Node | None, problems: Problems, what: str) -> str:
    """A text on one line; "" where there is none."""
    return " ".join(_text(node, problems, what).split())


def line_of(node: Node | None, problems: Problems, what: str) -> str:
    """The same with all its blanks: in what a console prints they count."""
    return " ".join(_text(node, problems, what).split("\n")).strip()


def lines_of(node: Node | None, problems: Problems, what: str) -> tuple[str, ...]:
    """The lines of a text, without empty ones."""
    return tuple(line.strip() for line in _text(node, problems, what).split("\n") if line.strip())


def texts_of(node: Node | None, problems: Problems, what: str) -> tuple[str, ...]:
    """A list of texts."""
    if node is None:
        return ()
    if not isinstance(node, Sequence) or not node.items:
        problems.say(node, f"{what}: a list is expected, each behind a dash")
        return ()
    return tuple(text_of(item, problems, what) for item in node)


def one_of(node: Node | None, allowed: Iterable[str], problems: Problems, what: str) -> str:
    """One of some words; "" where there is none."""
    text = text_of(node, problems, what)
    if text and node is not None and text not in allowed:
        problems.say(node, f'{what}: "{text}" is none of {", ".join(allowed)}{nearest(text, allowed)}')
        return ""
    return text


def yes_of(node: Node | None, problems: Problems, what: str) -> bool:
    """yes or no; no where nothing is said."""
    return one_of(node, ("yes", "no"), problems, what) == "yes"


def _text(node: Node | None, problems: Problems, what: str) -> str:
    if node is None:
        return ""
    if isinstance(node, Scalar) and not node.empty:
        return node.text
    problems.say(node, f"{what}: text is expected")
    return ""
