"""A board with few address lines in a machine of more memory."""

from __future__ import annotations

import pytest

from .machines import HERE, fixture, shown


@pytest.mark.parametrize(
    ("name", "words", "status"), [("disk-of-18-bits", 256, "177404"), ("larger-disk-of-18-bits", 128, "174400")]
)
def test_the_words_of_a_sector_land_256_kb_too_low(name: str, words: int, status: str) -> None:
    (one,) = shown(HERE / f"{name}.yaml", "DMA-001")
    assert (one.facts["buffer"], one.facts["landed_at"]) == ("1010000", "10000")
    assert one.facts["lower_by"] == 0o1000000
    assert (one.facts["words_at_the_buffer"], one.facts["words_landed"]) == (0, words)
    assert "256 KB lower" in one.happened
    assert any(f"tstb @#{status}" in line for line in one.trace)  # by the registers of the disk


def test_a_board_without_a_program_of_ours_is_shown_by_its_address_lines() -> None:
    (one,) = shown(fixture("DMA-001", "18-bit-floppy"), "DMA-001")
    assert (one.facts["address_lines"], one.facts["lower_by"]) == (18, 0o1000000)
    assert (one.facts["words_at_the_buffer"], one.facts["words_landed"]) == (0, 8)
    assert one.program == ""
