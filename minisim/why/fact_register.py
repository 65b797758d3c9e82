"""The register of facts: how a fact is entered, found by its name and asked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from minisim.why.case import Case, named
from minisim.why.model import Answer
from minisim.wiring.model import WiredBoard

Function = Callable[[Case, str], Answer]


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact: its name in files, what it says, whether it takes an argument."""

    name: str
    doc: str
    takes_argument: bool
    of_words: bool  # about the owner's words, not about the machine
    function: Function


FACTS: dict[str, Fact] = {}
"""All facts by name."""


def fact(function: Function) -> Function:
    """Enter a plain fact about the machine, under its name with hyphens."""
    return _enter(function)


def fact_of(function: Function) -> Function:
    """Enter a fact about the machine that takes an argument."""
    return _enter(function, takes_argument=True)


def of_words(function: Function) -> Function:
    """Enter a fact about what the owner saw: where it is false the cause is no matter here."""
    return _enter(function, about_words=True)


def of_words_with(function: Function) -> Function:
    """The same with an argument."""
    return _enter(function, takes_argument=True, about_words=True)


def _enter(function: Function, *, takes_argument: bool = False, about_words: bool = False) -> Function:
    name = function.__name__.replace("_", "-")
    FACTS[name] = Fact(name, (function.__doc__ or "").strip(), takes_argument, about_words, function)
    return function


def boards_answer(found: tuple[WiredBoard, ...], nothing: str, does: str = "is here") -> Answer:
    """True with the boards named and what they do, or False with what is said where there are none."""
    return Answer(bool(found), f"{named(found)} {does}" if found else nothing)
