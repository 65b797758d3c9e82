"""Where boards stand: kinds under them, parts they claim, impossible places that must resolve all the same."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from minisim.known import Evidence, Known, Unknown
from minisim.wiring.model import Wired

Wire = Callable[..., Wired]
CPU = "1-2: {board: sep-cpu-two-boards-mmu-later}"


def board_at(wired: Wired, place: str):  # type: ignore[no-untyped-def]
    return next(board for board in wired.boards if str(board.place) == place)


def claims(wired: Wired, slot: int) -> dict[str, tuple[int, ...]]:
    return {part.place.rows: part.boards for part in wired.slots if part.place.slots == (slot,)}


def test_a_dual_board_may_stand_in_rows_c_and_d_of_a_twin_bus_slot(mux: Wire) -> None:
    wired = mux("2CD: {board: serial-line-single}")
    board = board_at(wired, "main/a/2CD")
    assert (board.rows, board.kinds) == ("CD", ("twin-bus",))


def test_a_board_without_rows_in_its_place_takes_its_own(mux: Wire) -> None:
    wired = mux("2: {board: serial-line-single}\n3: {board: cartridge-disk-quad}")
    assert [board.rows for board in wired.boards] == ["AB", "ABCD"]


@pytest.mark.parametrize(
    ("slot", "kinds"),
    [("3", ("processor", "modified")), ("5", ("modified",)), ("9", ("bus-end",))],
)
def test_a_hex_board_is_judged_by_a_and_b_or_by_all_six_rows(sep: Wire, slot: str, kinds: tuple[str, ...]) -> None:
    wired = sep(f"{slot}: {{board: mos-memory-hex-modified}}")
    assert board_at(wired, f"main/a/{slot}").kinds == kinds


def test_a_small_board_is_judged_by_its_own_rows(sep: Wire) -> None:
    wired = sep("3CF: {board: sep-serial-line}\n3AB: {board: sep-boot-terminator}")
    assert board_at(wired, "main/a/3CF").kinds == ("small-peripheral",)
    assert board_at(wired, "main/a/3AB").kinds == ("modified",)


def test_a_set_covers_all_its_slots(sep: Wire) -> None:
    wired = sep(CPU)
    assert board_at(wired, "main/a/1-2").kinds == ("processor",)
    assert claims(wired, 1) == claims(wired, 2) == {"ABCDEF": (0,)}


def test_an_empty_slot_shows_its_parts(sep: Wire) -> None:
    wired = sep(CPU)
    assert claims(wired, 5) == {"AB": (), "CDEF": ()}
    part = next(part for part in wired.slots if part.place.slots == (3,) and part.place.rows == "AB")
    assert part.kinds == {"ABCDEF": "processor", "AB": "modified"}


def test_a_card_in_d_leaves_the_rest_of_its_rows_free(sep: Wire) -> None:
    wired = sep(f"{CPU}\n6D: {{board: sep-grant-card-interrupts}}")
    assert claims(wired, 6) == {"AB": (), "C": (), "D": (1,), "EF": ()}


def test_a_place_taken_twice_names_both_boards(sep: Wire) -> None:
    wired = sep(f"{CPU}\n6D: {{board: sep-grant-card-interrupts}}\n6CF: {{board: sep-serial-line}}")
    assert claims(wired, 6) == {"AB": (), "C": (2,), "D": (1, 2), "EF": (2,)}


def test_a_board_of_the_other_bus_and_of_the_wrong_height_resolves(mux: Wire) -> None:
    wired = mux("1: {board: sep-paper-tape}\n2: {board: mos-memory-hex-modified}\n3AB: {board: cartridge-disk-quad}")
    assert [board.rows for board in wired.boards] == ["CDEF", "ABCDEF", "AB"]
    assert len(wired.registers) == 3


def test_a_described_board_stands_on_the_figures_of_the_owner(mux: Wire) -> None:
    wired = mux(
        "1AB: {board: {describe: {height: dual, interrupts: yes, dma: no, passes-grant: yes, amps: {'+5': 1.5},"
        " ac: 1, address: 764000, words: 2, vector: 400, vectors: 2, level: 5}}}"
    )
    board = wired.boards[0]
    assert board.assumed and board.rows == "AB"
    assert board.entry.interrupts == Known("yes", Evidence.ASSUMED)
    assert isinstance(board.entry.dc, Unknown)
    registers = wired.registers[0]
    assert (registers.base, registers.words) == (Known(0o4000, Evidence.ASSUMED), Known(2, Evidence.ASSUMED))
    assert [vector.vector for vector in registers.vectors] == [0o400, 0o404]
    assert [part.name for part in wired.boxes[0].rails[0].load.parts] == ["main/a/1AB described"]


def test_a_board_described_without_a_height_takes_the_whole_slot(mux: Wire) -> None:
    wired = mux("2: {board: {describe: {interrupts: no}}}")
    assert wired.boards[0].rows == "ABCD"


def test_a_place_is_written_as_short_as_owners_write_it(gauge: Wired) -> None:
    assert [str(board.place) for board in gauge.boards][:4] == ["main/a/1-2", "main/a/3AB", "main/a/3CF", "main/a/4"]
