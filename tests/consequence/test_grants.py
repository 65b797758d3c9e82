"""What no grant reaches: interrupts that never come, DMA that never gets the bus."""

from __future__ import annotations

import pytest

from minisim.consequence import NotShownError

from .machines import HERE, fixture, shown

INTERRUPTS = [
    # rule, fixture, place of the board that asks, vector, register that answers
    ("GRANT-001", "two-behind", "main/a/3AB", "064", "777564"),
    ("GRANT-001", "serpentine", "main/a/2AB", "064", "777564"),
    ("GRANT-002", "mux", "main/a/3AB", "064", "777564"),
    ("GRANT-002", "sep-described", "main/a/5CF", "074", "777554"),
    ("GRANT-004", "out-in-twin-bus", "main/a/3AB", "064", "777564"),
    ("GRANT-007", "before-a-board", "main/a/7CF", "074", "777554"),
]


@pytest.mark.parametrize(("rule", "name", "place", "vector", "register"), INTERRUPTS)
def test_the_register_answers_the_request_is_refused_and_no_interrupt_comes(
    rule: str, name: str, place: str, vector: str, register: str
) -> None:
    (one,) = shown(fixture(rule, name), rule)
    assert one.kind == "the interrupt that never comes"
    assert one.facts["place"] == place
    assert (one.facts["interrupts"], one.facts["refused"]) == (0, 1)
    assert one.facts["interrupts_with_grants"] == 1  # the same program, in the same machine with its grants
    assert (one.facts["vector"], one.facts["register"], one.facts["register_reads"]) == (vector, register, "000300")
    assert any(f"writes 000100 to {register}" in line for line in one.trace)
    assert "Interrupts: 0" in one.happened


def test_behind_a_hole_a_disk_gets_neither_the_bus_nor_its_interrupt() -> None:
    dma, interrupt = shown(HERE / "disk-behind-a-hole.yaml", "GRANT-001")
    assert (dma.facts["words_landed"], dma.facts["words_landed_with_grants"], dma.facts["ended"]) == (0, 256, 1)
    # devices.md 6: error bit 9 is "data late"; the model's reading of a bus that never comes
    assert (dma.facts["errors"], dma.facts["errors_with_grants"]) == ("001000", "000000")
    assert (interrupt.facts["interrupts"], interrupt.facts["interrupts_with_grants"]) == (0, 1)
    assert interrupt.facts["vector"] == "220"


def test_a_floppy_that_has_found_its_place_asks_in_vain() -> None:
    (one,) = shown(HERE / "floppies-behind-a-hole.yaml", "GRANT-001")
    assert (one.facts["vector"], one.facts["register"]) == ("264", "777170")
    assert (one.facts["interrupts"], one.facts["refused"], one.facts["interrupts_with_grants"]) == (0, 1, 1)


def test_a_wire_that_is_out_stops_the_dma_and_not_the_interrupts() -> None:
    (one,) = shown(HERE / "disk-without-a-dma-grant.yaml", "GRANT-006")
    assert one.facts["place"] == "main/b/1-4"
    assert (one.facts["words_landed"], one.facts["words_landed_with_grants"]) == (0, 256)


def test_behind_a_cable_that_is_not_plugged_in_nothing_answers_at_all() -> None:
    with pytest.raises(NotShownError, match="lower/a/1CD is behind a cable that is not plugged in"):
        shown(fixture("GRANT-001", "cable-not-plugged"), "GRANT-001")


def test_what_a_turnaround_terminator_makes_of_an_open_grant_is_said_not_to_be_modelled() -> None:
    with pytest.raises(NotShownError, match="turnaround terminator makes a lasting acknowledge"):
        shown(fixture("GRANT-006", "wire-out"), "GRANT-006")
