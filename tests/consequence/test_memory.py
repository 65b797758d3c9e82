"""Memory that a program does not find."""

from __future__ import annotations

import pytest

from minisim.consequence import NotShownError

from .machines import fixture, shown

SIZED = [
    # rule, fixture, what is found, what is fitted (KB), from the settings of the fixture
    ("MEM-001", "mux", 32, 64),
    ("MEM-001", "sep", 64, 128),
    ("MEM-002", "mux", 48, 64),
    ("MEM-002", "sep", 96, 128),
    ("MEM-004", "mux", 248, 256),
    ("MEM-004", "sep", 248, 256),
    ("MEM-005", "mux", 248, 1024),
    ("MEM-005", "sep", 248, 320),
    ("DMA-003", "no-map", 248, 512),
]


@pytest.mark.parametrize(("rule", "name", "found", "fitted"), SIZED)
def test_a_sizing_loop_ends_where_nobody_answers(rule: str, name: str, found: int, fitted: int) -> None:
    (one,) = shown(fixture(rule, name), rule)
    assert (one.facts["sized"], one.facts["fitted"]) == (found * 1024, fitted * 1024)
    assert one.facts["first_address_without_an_answer"] == f"{found * 1024:06o}"
    assert f"{fitted - found} KB less" in one.happened


def test_what_lies_behind_a_gap_is_named() -> None:
    (one,) = shown(fixture("MEM-001", "mux"), "MEM-001")
    assert "What answers at 200000 to 277777 is never found." in one.happened


def test_without_memory_at_0_the_first_trap_halts_the_processor() -> None:
    (one,) = shown(fixture("MEM-009", "mux"), "MEM-009")
    assert (one.facts["lowest_memory"], one.facts["halted"], one.facts["instructions"]) == ("020000", 1, 2)
    assert any("EMT" in line and "halts" in line for line in one.trace)


def test_without_any_memory_no_program_can_run() -> None:
    with pytest.raises(NotShownError, match="no memory"):
        shown(fixture("MEM-009", "sep"), "MEM-009")
