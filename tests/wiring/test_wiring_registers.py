"""Addresses and vectors of boards: switches, usual places, fixed first units, floating ones, lines and consoles."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from minisim.known import Evidence, Known, Unknown
from minisim.wiring.model import Wired, WiredRegisters

Wire = Callable[..., Wired]


def octal(one: WiredRegisters) -> tuple[str | None, list[str]]:
    """18-bit address and vectors of one run of registers."""
    base = f"{0o760000 + one.base.peek:o}" if isinstance(one.base, Known) else None
    return base, [f"{vector.vector:o}" for vector in one.vectors]


def all_of(wired: Wired) -> list[tuple[str | None, list[str]]]:
    return [octal(one) for one in wired.registers]


def test_a_switch_decides_before_the_usual_place(mux: Wire) -> None:
    wired = mux("1AB: {board: serial-line-single, settings: {address: 776510, vector: 310}}")
    one = wired.registers[0]
    assert octal(one) == ("776510", ["310", "314"])
    assert isinstance(one.base, Known) and one.base.evidence is Evidence.OWNER
    assert one.mark.line == 8 and one.vector_mark is not None


def test_without_a_switch_a_serial_line_is_at_its_usual_place(mux: Wire) -> None:
    """[serial-boards-wiki], [handbook-1969]: 777560, vectors 60 and 64."""
    wired = mux("1AB: {board: serial-line-single}")
    assert all_of(wired) == [("777560", ["60", "64"])]
    assert isinstance(wired.registers[0].base, Known) and wired.registers[0].base.evidence is Evidence.SEEN


@pytest.mark.parametrize(("console", "address"), [("yes", "777560"), ("no", "776500")])
def test_the_console_switch_chooses_the_place(mux: Wire, console: str, address: str) -> None:
    wired = mux(f"1AB: {{board: serial-line-single, settings: {{console: {console}}}}}")
    assert octal(wired.registers[0])[0] == address


def test_the_first_line_that_is_no_console_has_vector_300(mux: Wire) -> None:
    """[serial-boards-wiki]"""
    assert all_of(mux("1AB: {board: serial-line-single, settings: {console: no}}")) == [("776500", ["300", "304"])]


def test_four_lines_step_by_ten_in_address_and_vector(mux: Wire) -> None:
    """[serial-boards-wiki]"""
    wired = mux("1AB: {board: serial-lines-four}")
    assert all_of(wired) == [
        ("776500", ["300", "304"]),
        ("776510", ["310", "314"]),
        ("776520", ["320", "324"]),
        ("776530", ["330", "334"]),
    ]
    assert [(one.unit, one.words) for one in wired.registers] == [
        (line, Known(4, Evidence.SEEN, ("serial-boards-wiki",))) for line in range(4)
    ]


def test_the_switches_of_a_four_line_board_move_all_lines_and_the_fourth_can_be_the_console(mux: Wire) -> None:
    wired = mux("1AB: {board: serial-lines-four, settings: {address: 776540, vector: 340, console: yes}}")
    assert all_of(wired) == [
        ("776540", ["340", "344"]),
        ("776550", ["350", "354"]),
        ("776560", ["360", "364"]),
        ("777560", ["60", "64"]),
    ]


def test_the_lines_of_a_combined_board_are_the_console_and_the_first_extra_one(mux: Wire) -> None:
    wired = mux("1AB: {board: memory-two-lines-rom-dual}")
    assert all_of(wired) == [("777560", ["60", "64"]), ("776500", ["300", "304"])]


def test_lines_take_floating_vectors_in_the_order_of_their_addresses(mux: Wire) -> None:
    wired = mux(
        "1AB: {board: serial-line-single, settings: {address: 776510}}\n"
        "1CD: {board: serial-line-single, settings: {address: 776500}}"
    )
    assert all_of(wired) == [("776510", ["310", "314"]), ("776500", ["300", "304"])]


def test_multiplexers_float_in_address_and_vector(mux: Wire) -> None:
    """F3 and V2: 760100 and 300 (derived); the next unit 10 further in both."""
    wired = mux("1AB: {board: async-mux-four-line-dual}\n1CD: {board: async-mux-four-line-dual}")
    assert all_of(wired) == [("760100", ["300", "304"]), ("760110", ["310", "314"])]
    assert all(one.computed == one.base for one in wired.registers)


def test_a_unit_set_to_a_floating_place_keeps_it_and_the_others_follow(mux: Wire) -> None:
    wired = mux(
        "1AB: {board: async-mux-four-line-dual, settings: {address: 760110}}\n1CD: {board: async-mux-four-line-dual}"
    )
    assert [octal(one)[0] for one in wired.registers] == ["760110", "760100"]


def test_a_misplaced_unit_shows_where_the_order_wants_it(mux: Wire) -> None:
    wired = mux("1AB: {board: async-mux-four-line-dual, settings: {address: 760120}}")
    one = wired.registers[0]
    assert octal(one)[0] == "760120"
    assert isinstance(one.computed, Known) and one.computed.peek == 0o100


def test_of_two_disk_ports_the_second_floats(mux: Wire) -> None:
    """F5: 760334 (derived, equal to the known value)."""
    wired = mux("1AB: {board: disk-port-dual}\n1CD: {board: disk-port-dual}")
    assert [octal(one)[0] for one in wired.registers] == ["772150", "760334"]
    assert [one.vectors[0].vector for one in wired.registers] == [0o154, 0o300]
    assert all(one.vectors[0].software_set for one in wired.registers)


def test_two_floppies_of_different_density_share_one_address_rank(mux: Wire) -> None:
    wired = mux("1AB: {board: floppy-single-density}\n1CD: {board: floppy-double-density}")
    assert octal(wired.registers[0]) == ("777170", ["264"])
    assert octal(wired.registers[1]) == ("760230", ["300"])  # by hand: ranks 1 to 17 leave 760010 to 760220 (derived)


def test_a_fixed_vector_in_the_floating_space_is_reserved(mux: Wire) -> None:
    """The instrument bus interface holds 420 to 437 (note of its entry)."""
    lines = "\n".join(f"{slot}: {{board: async-mux-four-line-quad}}" for slot in ("2", "3", "4"))
    wired = mux(f"1AB: {{board: instrument-bus-interface}}\n{lines}")
    assert octal(wired.registers[0]) == ("760150", ["420", "424", "430", "434"])
    taken = [vector.vector for one in wired.registers for vector in one.vectors]
    assert len(taken) == len(set(taken))


@pytest.mark.parametrize(
    ("board", "switch", "device"),
    [("mid-cpu-dual", "event-line", "event-line"), ("boot-diagnostic-terminator-quad", "clock", "line-clock")],
)
def test_a_clock_switched_off_is_not_there(mux: Wire, board: str, switch: str, device: str) -> None:
    assert device in {one.device for one in mux(f"1: {{board: {board}}}").registers}
    off = mux(f"1: {{board: {board}, settings: {{{switch}: off}}}}")
    assert device not in {one.device for one in off.registers}


def test_a_clock_half_keeps_its_vector_when_the_line_is_moved(sep: Wire) -> None:
    wired = sep("3CF: {board: sep-serial-line-and-clock, settings: {address: 776500, vector: 300}}")
    assert all_of(wired) == [("776500", ["300", "304"]), ("777546", ["100"])]


def test_only_one_unset_memory_has_the_first_parity_register(mux: Wire) -> None:
    """Sixteen places, each unique [mos-memory-wiki]."""
    wired = mux("1AB: {board: mos-memory-parity-dual}\n1CD: {board: mos-memory-parity-dual}")
    assert octal(wired.registers[0])[0] == "772100"
    assert isinstance(wired.registers[1].base, Unknown)


def test_a_board_whose_address_nobody_knows_says_so(mux: Wire) -> None:
    one = mux("1AB: {board: parallel-64-bit}").registers[0]
    assert isinstance(one.base, Unknown) and isinstance(one.vector, Unknown) and one.vectors == ()


def test_vectors_carry_the_level_of_the_board(mux: Wire) -> None:
    one = mux("1AB: {board: serial-line-single}").registers[0]
    assert [vector.level for vector in one.vectors] == [Known(4, Evidence.SEEN, ("handbook-1969",))] * 2
