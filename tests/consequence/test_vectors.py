"""Interrupts that come through a vector of something else."""

from __future__ import annotations

import pytest

from .machines import fixture, shown

VECTORS = [
    ("VECT-001", "mux", "304"),
    ("VECT-001", "two-boards-of-four-lines", "304"),
    ("VECT-001", "sep", "074"),  # the other device of the two has no model: the tape punch asks
    ("VECT-003", "mux", "244"),
    ("VECT-003", "sep", "134"),
    ("VECT-005", "mux", "034"),
    ("VECT-005", "sep", "244"),
]


@pytest.mark.parametrize(("rule", "name", "vector"), VECTORS)
def test_the_handler_of_something_else_runs_and_the_right_one_never(rule: str, name: str, vector: str) -> None:
    (one,) = shown(fixture(rule, name), rule)
    assert one.facts["vector"] == vector
    assert (one.facts["right_handler"], one.facts["wrong_handler"]) == (0, 1)
    assert any(f"an interrupt comes through {vector}" in line for line in one.trace)
