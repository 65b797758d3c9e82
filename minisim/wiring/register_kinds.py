"""Units of one kind, counted over the whole machine: where the rank order wants each, by address and by vector."""

from __future__ import annotations

from dataclasses import replace

from minisim.known import Evidence, Figure, Known, Unknown
from minisim.wiring.floating import address_rank, assign_addresses, assign_vectors, floating_units, vector_rank
from minisim.wiring.floating_ranks import VECTOR_FIRST
from minisim.wiring.register_drafts import SERIAL, Draft, like

IO_PAGE = 0o760000


def computed_addresses(drafts: list[Draft]) -> tuple[dict[int, Figure[int]], frozenset[int]]:
    """Where the rank order wants each unit (index of the draft -> I/O-page offset), and which units float."""
    groups: dict[int, list[int]] = {}
    for index, draft in enumerate(drafts):
        if draft.entry.at.rank is not None:
            groups.setdefault(draft.entry.at.rank, []).append(index)
    fixed = {rank: _fixed_units(rank, drafts, group) for rank, group in groups.items()}
    counts = {rank: len(group) - len(fixed[rank]) for rank, group in groups.items()}
    places: dict[int, Figure[int]] = {}
    extra: set[int] = set()
    for rank, group in groups.items():
        wanted = [one.address for one in assign_addresses(counts) if one.rank == rank]
        floating = [index for index in group if index not in fixed[rank]]
        places.update({index: _first_place(drafts[index]) for index in fixed[rank]})
        places.update(_dealt(rank, drafts, floating, wanted))
        extra.update(floating)
    return places, frozenset(extra)


def _fixed_units(rank: int, drafts: list[Draft], group: list[int]) -> list[int]:
    """The units of a kind that do not float: the first, in bus order, one that stands at the fixed place before all."""
    row = address_rank(rank)
    floats_from = row.floats_from if row else 1
    if not any(drafts[index].entry.at.first is not None for index in group):
        return []
    in_order = sorted(
        group, key=lambda index: (not drafts[index].at_first, _is_set(drafts[index]), drafts[index].position, index)
    )
    return in_order[: len(group) - floating_units(len(group), floats_from)]


def _is_set(draft: Draft) -> bool:
    return draft.base is not None


def _first_place(draft: Draft) -> Figure[int]:
    first = draft.entry.at.first
    return Unknown("fixed address of the first unit") if first is None else like(draft.entry.at_evidence, first)


def _dealt(rank: int, drafts: list[Draft], group: list[int], wanted: list[int | None]) -> dict[int, Figure[int]]:
    """The places of a kind's floating units: who is set to one of them keeps it, the others follow in bus order."""
    left = list(wanted)
    dealt: dict[int, Figure[int]] = {}
    for index in group:
        base = drafts[index].base
        if isinstance(base, Known) and base.peek + IO_PAGE in left:
            left.remove(base.peek + IO_PAGE)
            dealt[index] = _derived(rank, base.peek + IO_PAGE)
    rest = sorted((index for index in group if index not in dealt), key=lambda index: (drafts[index].position, index))
    dealt.update({index: _derived(rank, address) for index, address in zip(rest, left, strict=True)})
    return dealt


def _derived(rank: int, address: int | None) -> Figure[int]:
    row = address_rank(rank)
    if row is None:
        return Unknown(f"floating address of a kind behind the published table (rank {rank})")
    if address is None:
        return Unknown("floating address: no room left in the floating block")
    evidence = max(Evidence.DERIVED, row.evidence, key=lambda word: word.rank)
    note = f"by the order of floating addresses{row.dispute and f' ({row.dispute})'}"
    return Known(address - IO_PAGE, evidence, row.sources, note)


def with_base(draft: Draft, computed: Figure[int] | None) -> Draft:
    """The draft at the place its board gives, else at the computed one."""
    if draft.base is not None or computed is None:
        return draft
    return replace(draft, base=computed)


def computed_vectors(drafts: list[Draft], extra: frozenset[int]) -> dict[int, Figure[int]]:
    """Where the rank order wants each unit's first vector: index of the draft -> vector."""
    groups: dict[int, list[int]] = {}
    for index, draft in enumerate(drafts):
        if draft.entry.vector_at.rank is not None:
            groups.setdefault(draft.entry.vector_at.rank, []).append(index)
    firsts = {rank: _first_vectors(drafts, group, extra) for rank, group in groups.items()}
    counts: dict[int | str, int] = {rank: len(group) - len(firsts[rank]) for rank, group in groups.items()}
    assigned = assign_vectors(counts, reserved=_reserved(drafts))
    places: dict[int, Figure[int]] = {}
    for rank, group in groups.items():
        places.update({index: _first_vector(drafts[index]) for index in firsts[rank]})
        row = vector_rank(rank)
        wanted = [one.address for one in assigned if one.rank == (row.rank if row else rank)]
        floating = [index for index in group if index not in firsts[rank]]
        places.update(_dealt_vectors(rank, drafts, floating, wanted))
    return places


def _dealt_vectors(
    rank: int, drafts: list[Draft], group: list[int], wanted: list[int | None]
) -> dict[int, Figure[int]]:
    """Vectors of a kind's floating units: who is set to one of them keeps it, the others follow by their addresses."""
    left = list(wanted)
    dealt: dict[int, Figure[int]] = {}
    for index in group:
        vector = drafts[index].vector
        if isinstance(vector, Known) and vector.peek in left:
            left.remove(vector.peek)
            dealt[index] = _derived_vector(rank, vector.peek)
    rest = sorted(
        (index for index in group if index not in dealt), key=lambda index: _vector_order(drafts[index], index)
    )
    dealt.update({index: _derived_vector(rank, vector) for index, vector in zip(rest, left, strict=True)})
    return dealt


def _vector_order(draft: Draft, index: int) -> tuple[int, int, int]:
    """Units of a kind take their vectors in the order of their addresses."""
    base = draft.base.peek if isinstance(draft.base, Known) else 0o20000
    return base, draft.position, index


def _first_vectors(drafts: list[Draft], group: list[int], extra: frozenset[int]) -> list[int]:
    """The unit with the fixed vector: the console among serial lines, else the first unit of the kind.

    A unit whose address floats as an extra one has a floating vector too, also where kinds of one address rank have
    vector ranks of their own (the two floppy densities).
    """
    able = [index for index in group if drafts[index].entry.vector_at.first is not None and index not in extra]
    if able and drafts[able[0]].entry.device == SERIAL:
        return [index for index in able if drafts[index].at_first]
    return sorted(able, key=lambda index: (not drafts[index].at_first, *_vector_order(drafts[index], index)))[:1]


def _first_vector(draft: Draft) -> Figure[int]:
    first = draft.entry.vector_at.first
    return Unknown("fixed vector of the first unit") if first is None else like(draft.entry.vector_evidence, first)


def _reserved(drafts: list[Draft]) -> list[tuple[int, int]]:
    """Ranges of floating vector space that boards with a fixed vector hold."""
    return [
        (at.fixed, at.fixed + 4 * draft.entry.vector_count)
        for draft in drafts
        if (at := draft.entry.vector_at).fixed is not None and at.fixed >= VECTOR_FIRST
    ]


def _derived_vector(rank: int, vector: int | None) -> Figure[int]:
    row = vector_rank(rank)
    if row is None:
        return Unknown(f"floating vector of a kind that is not in the published table (rank {rank})")
    if vector is None:
        return Unknown("floating vector: no room left below 1000")
    dispute = row.dispute or ("D3" if row.size > 0o10 else "")  # D3: alignment of kinds with three and more vectors
    evidence = Evidence.DISPUTED if dispute else max(Evidence.DERIVED, row.evidence, key=lambda word: word.rank)
    return Known(vector, evidence, row.sources, f"by the order of floating vectors{dispute and f' ({dispute})'}")
