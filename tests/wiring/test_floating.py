"""The published examples of floating addresses and vectors, and what must hold for any set of boards."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim.wiring.floating import (
    alignment,
    assign_addresses,
    assign_vectors,
    floating_units,
    gaps,
    vector_rank,
)
from minisim.wiring.floating_ranks import ADDRESS_RANKS, VECTOR_RANKS

MODULUS = {row.rank: row.modulus for row in ADDRESS_RANKS}
SIZE = {row.rank: row.size for row in VECTOR_RANKS}

counts = st.dictionaries(st.sampled_from(sorted(MODULUS)), st.integers(0, 4), max_size=8)
vector_counts = st.dictionaries(st.sampled_from([row.rank for row in VECTOR_RANKS]), st.integers(0, 3), max_size=8)


def places(units: dict[int, int]) -> list[tuple[int | str, str]]:
    return [(one.rank, f"{one.address:o}") for one in assign_addresses(units) if one.address is not None]


def gap_places(units: dict[int, int]) -> dict[int, str]:
    return {gap.rank: f"{gap.address:o}" for gap in gaps(units)}


def test_one_of_rank_1_and_one_of_rank_2_lie_as_published() -> None:
    """F1 [float-address-wiki]: rank 2 at 760040, not 760030."""
    assert places({1: 1, 2: 1}) == [(1, "760010"), (2, "760040")]
    assert gap_places({1: 1, 2: 1})[1] == "760020"


def test_ranks_1_2_and_4_lie_as_published() -> None:
    """F2 [float-post-2016] as far as 760070; the last step is derived."""
    assert places({1: 1, 2: 1, 4: 1}) == [(1, "760010"), (2, "760040"), (4, "760100")]
    gap = gap_places({1: 1, 2: 1, 4: 1})
    assert (gap[2], gap[3]) == ("760060", "760070")


def test_a_lone_eight_line_multiplexer_is_at_760100() -> None:
    """F3: derived, equal to the known default (from memory, firm)."""
    assert places({8: 1}) == [(8, "760100")]
    gap = gap_places({8: 1})
    assert [gap[rank] for rank in range(1, 8)] == [
        "760010", "760020", "760030", "760040", "760050", "760060", "760070",
    ]  # fmt: skip


def test_the_second_disk_port_alone_is_at_760334() -> None:
    """F5: derived, equal to the known value (from memory, firm)."""
    second = floating_units(2, floats_from=2)
    assert places({26: second}) == [(26, "760334")]


def test_a_lone_multiplexer_with_dma_is_at_760440() -> None:
    """F7: derived, equal to the known default (from memory, firm)."""
    assert places({32: 1}) == [(32, "760440")]


def test_two_voice_options_stand_ten_apart() -> None:
    """V1 [voice-manual]: first free vector 320; a kind of four words each, as rank 27 is."""
    assert [one.address for one in assign_vectors({27: 2}, first=0o320)] == [0o320, 0o330]


def test_one_eight_line_multiplexer_has_vector_300() -> None:
    """V2: derived."""
    assert [one.address for one in assign_vectors({27: 1})] == [0o300]


def test_four_words_at_300_put_the_next_free_place_at_310() -> None:
    """[voice-manual] 1.4.1."""
    assert [one.address for one in assign_vectors({27: 1, 28: 1})] == [0o300, 0o310]


def test_a_kind_with_two_vectors_leaves_one_place_unused_after_an_odd_one() -> None:
    """[float-vector-wiki]: a kind with two vectors starts on a multiple of 10."""
    assert [one.address for one in assign_vectors({5: 1, 8: 1})] == [0o300, 0o310]


def test_a_fixed_vector_in_the_floating_space_is_stepped_over() -> None:
    assert [one.address for one in assign_vectors({27: 3}, reserved=[(0o310, 0o320)])] == [0o300, 0o320, 0o330]


def test_kinds_behind_the_table_get_no_place() -> None:
    assert [one.address for one in assign_addresses({33: 2})] == [None, None]
    assert [one.address for one in assign_vectors({56: 1})] == [None]


def test_units_that_do_not_fit_get_no_place() -> None:
    assert assign_addresses({1: 400})[-1].address is None
    assert assign_vectors({27: 50})[-1].address is None


@pytest.mark.parametrize(("fitted", "floats_from", "floating"), [(1, 1, 1), (1, 2, 0), (3, 2, 2), (2, 3, 0), (3, 3, 1)])
def test_of_a_kind_with_a_fixed_first_unit_only_the_others_float(fitted: int, floats_from: int, floating: int) -> None:
    assert floating_units(fitted, floats_from) == floating


def test_a_rank_of_two_parts_is_found_by_its_number() -> None:
    row = vector_rank(26)
    assert row is not None and row.rank == "26A"
    assert vector_rank(56) is None


def test_both_tables_are_complete_and_in_order() -> None:
    assert [row.rank for row in ADDRESS_RANKS] == list(range(1, 33))
    numbers = [int(row.rank.rstrip("AB")) for row in VECTOR_RANKS]
    assert numbers == sorted(numbers) and set(numbers) == {*range(1, 56), 58}


@given(counts)
def test_floating_addresses_are_aligned_ordered_and_apart(units: dict[int, int]) -> None:
    placed = assign_addresses(units)
    assert len(placed) == sum(units.values())
    end = 0o760010
    for one in placed:
        assert one.address is not None and isinstance(one.rank, int)
        assert one.address % MODULUS[one.rank] == 0
        assert one.address >= end
        end = one.address + MODULUS[one.rank]


@given(counts)
def test_no_unit_answers_in_a_gap(units: dict[int, int]) -> None:
    taken = [(one.address, one.address + MODULUS[one.rank]) for one in assign_addresses(units)]  # type: ignore[index, operator]
    for gap in gaps(units):
        assert all(not first <= gap.address < end for first, end in taken)


@given(counts, st.sampled_from(sorted(MODULUS)))
def test_taking_one_unit_out_moves_only_later_ones(units: dict[int, int], rank: int) -> None:
    more = {**units, rank: units.get(rank, 0) + 1}
    before = {(one.rank, one.unit): one.address for one in assign_addresses(units)}
    after = {(one.rank, one.unit): one.address for one in assign_addresses(more)}
    for (kind, unit), address in before.items():
        assert kind > rank or after[kind, unit] == address  # type: ignore[operator]
        assert after[kind, unit] >= address  # type: ignore[operator]


@given(vector_counts, st.lists(st.integers(0o300 // 4, 0o600 // 4), max_size=3))
def test_floating_vectors_are_aligned_ordered_apart_and_off_reserved_places(
    units: dict[int | str, int], held: list[int]
) -> None:
    reserved = [(4 * place, 4 * place + 8) for place in held]
    end = 0o300
    for one in assign_vectors(units, reserved=reserved):
        size = SIZE[str(one.rank)]
        if one.address is None:
            continue
        assert one.address % alignment(size) == 0 and one.address >= end
        end = one.address + size
        assert all(one.address >= last or end <= first for first, last in reserved)
