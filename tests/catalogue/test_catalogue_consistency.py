"""What the catalogue files say about each other and about themselves."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from trees import CATALOGUE, plain, trees

from minisim.catalogue.model import At, BoardEntry
from minisim.catalogue.words import NONE, RAILS, SLOT_KINDS, UNKNOWN
from minisim.known import Known, NotApplicable, Unknown

BOARDS = [CATALOGUE.board(name) for name in CATALOGUE.ids("boards")]
BACKPLANES = [CATALOGUE.backplane(name) for name in CATALOGUE.ids("backplanes")]
ADDRESS_RANKS = range(1, 33)  # [float-address-wiki]
VECTOR_RANKS = range(1, 59)  # 55 ranks of [float-vector-wiki], two further kinds, the multiplexer with DMA output

REFERENCES = (
    ("chassis", "holds", "backplanes"),
    ("chassis", "supplies", "supplies"),
    ("supplies", "serves", "chassis"),
    ("supplies", "units", "backplanes"),
    ("drives", "media", "media"),
    ("drives", "cable", "cables"),
    ("drives", "boards", "boards"),
    ("roms", "boards", "boards"),
    ("roms", "also-fits", "boards"),
    ("backplanes", "takes", "boards"),
    ("backplanes", "profiles", "profiles"),
)


@pytest.mark.parametrize(("kind", "key", "target"), REFERENCES)
def test_every_reference_leads_to_an_entry(kind: str, key: str, target: str) -> None:
    wrong, seen = [], 0
    for name, node in trees(kind).items():
        value = plain(node).get(key, NONE)
        value = value.get("value", NONE) if isinstance(value, dict) else value
        for one in value if isinstance(value, list) else [value]:
            if one not in (NONE, UNKNOWN, "any"):
                seen += 1
                wrong += [] if CATALOGUE.has(target, one) else [f"{name}: {key} {one}"]
    assert wrong == []
    assert seen > 0


def test_every_profile_a_board_names_exists() -> None:
    named = {board.processor.profile for board in BOARDS if board.processor}
    named |= {profile for board in BOARDS for profile in board.option_to}
    assert named and named <= set(CATALOGUE.ids("profiles"))


def _fitting(profile_word: str) -> set[str]:
    """Where an option may fit on a board, for each word of the profile."""
    return {
        "never": {"never", UNKNOWN},
        "standard": {"standard", "socket", "board", UNKNOWN},
        "option": {"standard", "socket", "board", "never", UNKNOWN},
    }[profile_word]


def test_no_board_offers_an_option_that_its_profile_never_has() -> None:
    wrong = []
    for board in BOARDS:
        profile = CATALOGUE.profile(board.processor.profile) if board.processor else None
        for option, figure in profile.options.items() if profile and board.processor else ():
            if isinstance(figure, Known) and board.processor.options[option] not in _fitting(figure.peek):
                wrong.append(f"{board.id}: {option} {board.processor.options[option]}, profile {figure.peek}")
    assert wrong == []


def test_an_option_on_a_board_of_its_own_has_such_a_board_and_every_such_board_a_processor() -> None:
    wanted = {
        (board.processor.profile, option)
        for board in BOARDS
        if board.processor
        for option, where in board.processor.options.items()
        if where == "board"
    }
    made = {(profile, option) for board in BOARDS for profile in board.option_to for option in board.option_adds}
    assert wanted and wanted == made


def test_what_an_option_needs_is_an_option_of_its_processors() -> None:
    """The floating instructions of the five-board processor need the integer ones (kind of the board, firm)."""
    needs = {(board.id, need) for board in BOARDS for need in board.option_needs}
    assert needs == {("sep-mid-fis", "eis")}
    for board in BOARDS:
        for profile in board.option_to if board.option_needs else ():
            words = [CATALOGUE.profile(profile).options[need] for need in board.option_needs]
            assert all(isinstance(word, Known) and word.peek != "never" for word in words), board.id


def test_options_of_one_chip_sit_in_a_socket() -> None:
    chips = [(board.id, board.processor) for board in BOARDS if board.processor and board.processor.one_chip]
    assert {name for name, _ in chips} == {"first-cpu-quad", "small-cpu-dual"}
    assert all(block.options[option] == "socket" for _, block in chips for option in block.one_chip)


def test_option_boards_say_how_well_that_is_known() -> None:
    adding = [board for board in BOARDS if board.option_adds]
    assert len(adding) == 7 and all(isinstance(board.option_figure, Known) for board in adding)


def test_a_slot_of_every_kind_a_board_asks_for_exists_on_its_bus() -> None:
    there = {(plane.bus, kind) for plane in BACKPLANES for rows in plane.slots.values() for kind in rows.values()}
    wrong = [f"{board.id}: {kind}" for board in BOARDS for kind in board.slots if (board.bus, kind) not in there]
    assert wrong == []


def test_no_slot_kind_is_allowed_and_forbidden() -> None:
    assert [board.id for board in BOARDS if set(board.slots) & set(board.forbidden)] == []
    assert all(board.slots for board in BOARDS)
    assert {kind for board in BOARDS for kind in board.forbidden} <= set(SLOT_KINDS)


def test_every_rail_of_either_group_has_a_current() -> None:
    groups = [(board, rail) for board in BOARDS for group in board.either for rail in group]
    assert groups and all(rail in board.amps for board, rail in groups)
    assert all(rail in RAILS for board in BOARDS for rail in board.amps)


def test_dma_width_belongs_to_boards_with_dma_and_to_no_others() -> None:
    with_dma = {board.id for board in BOARDS if isinstance(board.dma, Known) and board.dma.peek == "yes"}
    named = {name for name, node in trees("boards").items() if "dma-bits" in node}
    assert with_dma == named


def test_the_dma_grant_is_stated_for_the_separate_line_bus_and_only_there() -> None:
    named = {name for name, node in trees("boards").items() if "passes-dma-grant" in node}
    assert named == {board.id for board in BOARDS if board.bus == "sep"}


def _has_vector(board: BoardEntry) -> bool:
    return any(registers.vector_count for registers in board.registers)


def test_a_board_interrupts_exactly_where_it_has_a_vector() -> None:
    wrong = []
    for board in BOARDS:
        unknown = any(registers.vector_at.unknown for registers in board.registers)
        if isinstance(board.interrupts, Known) and not board.processor and not unknown:
            wrong += [] if (board.interrupts.peek == "yes") == _has_vector(board) else [board.id]
    assert wrong == []


def test_nothing_without_a_vector_has_a_request_level() -> None:
    pairs = [(board.id, registers) for board in BOARDS for registers in board.registers]
    assert [name for name, registers in pairs if registers.vector_at.none and isinstance(registers.level, Known)] == []


def _places(at: At) -> Iterable[int]:
    yield from at.choices
    yield from (place for place in (at.fixed, at.first) if place is not None)


def test_registers_of_one_board_never_lie_on_each_other_at_their_fixed_places() -> None:
    wrong = []
    for board in BOARDS:
        taken: set[int] = set()
        for registers in board.registers:
            if registers.at.fixed is None or not isinstance(registers.words, Known):
                continue
            places = set(range(registers.at.fixed, registers.at.fixed + 2 * registers.words.peek, 2))
            wrong += [board.id] if places & taken else []
            taken |= places
    assert wrong == []


def test_every_choice_stands_once_and_every_rank_exists() -> None:
    for board in BOARDS:
        for registers in board.registers:
            for at, ranks in ((registers.at, ADDRESS_RANKS), (registers.vector_at, VECTOR_RANKS)):
                assert len(set(at.choices)) == len(at.choices), board.id
                assert at.rank is None or at.rank in ranks, board.id
            assert all(place % 2 == 0 and 0 <= place <= 0o17776 for place in _places(registers.at)), board.id
            assert all(place % 4 == 0 and place <= 0o774 for place in _places(registers.vector_at)), board.id


def test_two_fixed_vectors_begin_at_a_multiple_of_10() -> None:
    """[float-vector-wiki]"""
    pairs = [(board.id, registers) for board in BOARDS for registers in board.registers]
    two = [(name, item.vector_at.fixed) for name, item in pairs if item.vector_count > 1 and item.vector_at.fixed]
    assert two and [name for name, vector in two if vector % 8] == []


def test_memory_decodes_address_bits_and_its_sizes_rise() -> None:
    memories = [board for board in BOARDS if board.memory]
    assert len(memories) == 21
    for board in memories:
        assert not isinstance(board.address_bits, NotApplicable), board.id
        sizes = board.memory.kb.peek if board.memory and isinstance(board.memory.kb, Known) else ()
        assert list(sizes) == sorted(sizes), board.id


def test_every_place_of_a_grant_order_exists_and_stands_there_once() -> None:
    ordered = [plane for plane in BACKPLANES if plane.grant_order]
    assert len(ordered) == 19
    for plane in ordered:
        places = {f"{slot}{rows}" for slot, kinds in plane.slots.items() for rows in kinds}
        assert len(set(plane.grant_order)) == len(plane.grant_order), plane.id
        assert not places or set(plane.grant_order) <= places, plane.id


def test_every_place_that_carries_grants_is_in_the_grant_order() -> None:
    """A twin-bus or dual place that the order leaves out could never be reached."""
    wrong = []
    for plane in BACKPLANES:
        if plane.bus != "mux" or not plane.grant_order:
            continue
        for slot, kinds in plane.slots.items():
            for rows, kind in kinds.items():
                if kind in ("twin-bus", "dual") and f"{slot}{rows}" not in plane.grant_order:
                    wrong.append(f"{plane.id}: {slot}{rows}")
    assert wrong == []


def test_the_registers_of_settings_are_not_chosen_twice_under_one_name() -> None:
    for name, node in trees("boards").items():
        names = [item["name"] for item in plain(node)["settings"]]
        assert len(set(names)) == len(names), name


def test_a_setting_with_choices_belongs_to_registers_that_have_some() -> None:
    wrong = [
        board.id
        for board in BOARDS
        for setting in board.settings.values()
        if setting.kind == "choices" and not any(item.at.choices or item.vector_at.choices for item in board.registers)
    ]
    assert wrong == []


def test_every_unknown_figure_says_what_is_not_known() -> None:
    board = CATALOGUE.board("boot-diagnostic-terminator-quad")
    unknown = [entry.ac for entry in BOARDS if isinstance(entry.ac, Unknown)]
    assert unknown and all(figure.why.startswith("AC loads of board ") for figure in unknown)
    assert isinstance(board.ac, Known)
