"""What a fault does in a running machine, as a value; text and JSON are forms of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

Fact = int | str | tuple[int, ...] | tuple[str, ...]


class NotShownError(Exception):
    """This finding can't be shown in the emulated machine; the text says why, as half a sentence."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One consequence: what a small program does in the machine with its fault, what was expected, what happened.

    `facts` hold the numbers it rests on (addresses as octal text); `really` is what the real machine does that the
    model does not show; `trace` tells the decisive steps, one a line; `program` is what ran, as assembler text.
    """

    kind: str
    does: str
    expected: str
    happened: str
    trace: tuple[str, ...]
    facts: Mapping[str, Fact] = field(default_factory=dict)
    really: str = ""
    program: str = ""
