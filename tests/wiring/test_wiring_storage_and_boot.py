"""Memory, ROM windows, what stands in them, and the way from power-up to a medium."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest

from minisim.known import Evidence, Known, NotApplicable, Unknown
from minisim.problems import InputError
from minisim.wiring.model import Wired
from minisim.wiring.sidecar import read_sidecar

Wire = Callable[..., Wired]
CPU = "1-2: {board: sep-cpu-two-boards-mmu-later}"


def windows(wired: Wired) -> list[tuple[str, int, str]]:
    return [(f"{0o760000 + rom.base:o}", rom.words, rom.entry.id if rom.entry else "") for rom in wired.roms]


# ---- memory


def test_memory_is_where_its_switches_say(mux: Wire) -> None:
    memory = mux("1AB: {board: mos-memory-dual, settings: {start: 100000, kb: 16}}").memories[0]
    assert (memory.start, memory.size) == (Known(0o100000, Evidence.OWNER), Known(16384, Evidence.OWNER))
    assert memory.mark.line == 8


def test_memory_without_switches_is_not_guessed(mux: Wire) -> None:
    memory = mux("1AB: {board: mos-memory-dual}").memories[0]
    assert isinstance(memory.start, Unknown) and isinstance(memory.size, Unknown)


def test_memory_made_in_one_size_has_that_size(mux: Wire) -> None:
    memory = mux("1AB: {board: early-memory-dual, settings: {start: 0}}").memories[0]
    assert isinstance(memory.size, Known) and memory.size.peek == 8192
    assert memory.size.evidence is Evidence.SEEN_SECONDARY


def test_memory_without_a_start_switch_is_taken_to_begin_at_0_and_says_so(mux: Wire) -> None:
    memory = mux("1: {board: first-cpu-quad}").memories[0]
    assert isinstance(memory.start, Known) and memory.start.peek == 0 and memory.start.evidence.needs_saying


# ---- ROM


def test_the_jumper_takes_the_low_window_away(sep: Wire) -> None:
    wired = sep("3AB: {board: sep-boot-terminator, settings: {low-window: out}}")
    assert windows(wired) == [("773000", 256, "")]


def test_boot_proms_stand_in_their_sockets(sep: Wire) -> None:
    """773000, 773200, 773400, 773600, 64 words each (derived, [boot-terminator-wiki])."""
    wired = sep(
        "3AB: {board: sep-boot-terminator, roms: {773000: {rom: rom-letters-dk}, 773400: {rom: rom-letters-pr}}}"
    )
    assert windows(wired) == [
        ("765000", 256, ""),
        ("773000", 64, "rom-letters-dk"),
        ("773200", 64, ""),
        ("773400", 64, "rom-letters-pr"),
        ("773600", 64, ""),
    ]


def test_a_program_longer_than_one_socket_stands_in_several(wire: Wire, tmp_path: Path) -> None:
    (tmp_path / "long.rom").write_bytes(bytes(2 * 200))
    wired = wire(
        "boxes:\n- id: main\n  backplane: sep-nine-slot-unit\n  slots:\n"
        "    2AB: {board: sep-boot-terminator, settings: {low-window: out},"
        " roms: {773000: {rom: rom-ours, image: long.rom}}}\n"
    )
    assert windows(wired) == [("773000", 200, "rom-ours"), ("773620", 56, "")]


def test_a_window_without_sockets_is_one_rom(mux: Wire) -> None:
    wired = mux("4: {board: boot-diagnostic-terminator-quad, roms: {773000: {rom: rom-mux-boot-diagnostics}}}")
    assert windows(wired) == [("773000", 256, "rom-mux-boot-diagnostics")]


def test_a_board_with_one_window_of_many_shows_the_one_it_is_set_to(sep: Wire) -> None:
    assert windows(sep("3CF: {board: sep-diode-rom, settings: {address: 773300}}")) == [("773300", 32, "")]
    assert windows(sep("3CF: {board: sep-diode-rom, roms: {773500: {rom: rom-diode-cards}}}")) == [
        ("773500", 32, "rom-diode-cards")
    ]


# ---- what happens at power-up


def boot(wired: Wired) -> tuple[str, str]:
    """Start and PS as octal text, empty where not known."""
    figures = (wired.boot.start, wired.boot.start_ps)
    start, ps = (f"{figure.peek:06o}" if isinstance(figure, Known) else "" for figure in figures)
    return start, ps


@pytest.mark.parametrize(
    ("board", "mode", "wanted"),
    [
        ("mid-cpu-dual", 2, ("173000", "000340")),  # unconfirmed
        ("small-cpu-dual", 2, ("173000", "000200")),  # unconfirmed
        ("mid-cpu-dual", 0, ("", "")),
        ("mid-cpu-dual", 1, ("", "")),
        ("mid-cpu-dual", 3, ("", "")),
    ],
)
def test_the_power_up_mode_decides_the_start(mux: Wire, board: str, mode: int, wanted: tuple[str, str]) -> None:
    assert boot(mux(f"1AB: {{board: {board}, settings: {{power-up: {mode}}}}}")) == wanted


def test_the_console_mode_has_no_start(mux: Wire) -> None:
    path = mux("1AB: {board: mid-cpu-dual, settings: {power-up: 1}}").boot
    assert path.start == NotApplicable() and "console" in path.how


def test_a_power_up_mode_that_is_not_stated_is_not_guessed(mux: Wire) -> None:
    wired = mux("1AB: {board: mid-cpu-dual}")
    assert isinstance(wired.processors[0].power_up, Unknown) and isinstance(wired.boot.start, Unknown)


@pytest.mark.parametrize(
    ("settings", "wanted"),
    [
        ("start-from: high, power-up-redirect: on, start: 173004", ("173004", "000340")),
        ("start-from: high, power-up-redirect: on, start: 4", ("173004", "000340")),
        ("start-from: low, power-up-redirect: on, start: 20", ("165020", "000340")),
        ("start-from: high, power-up-redirect: on", ("", "000340")),
        ("start-from: high, power-up-redirect: off, start: 4", ("", "")),
        ("start: 4", ("", "")),
    ],
)
def test_the_boot_board_redirects_the_power_up_fetch(sep: Wire, settings: str, wanted: tuple[str, str]) -> None:
    """[boot-terminator-wiki]; bits and PS from memory, firm."""
    assert boot(sep(f"{CPU}\n3AB: {{board: sep-boot-terminator, settings: {{{settings}}}}}")) == wanted


def test_without_a_boot_board_the_vector_in_memory_decides(sep: Wire) -> None:
    assert "24 and 26" in sep(CPU).boot.how


def test_a_rom_that_knows_no_device_of_the_machine_leads_nowhere(sep: Wire) -> None:
    board = "{board: sep-boot-terminator, settings: {start-from: high, power-up-redirect: on, start: 4}"
    wired = sep(f"{CPU}\n3AB: {board}, roms: {{773000: {{rom: rom-letters-dk}}}}}}\n3CF: {{board: sep-paper-tape}}")
    assert wired.boot.rom is not None and wired.boot.device is None
    wired = sep(f"{CPU}\n3AB: {board}, roms: {{773000: {{rom: rom-letters-pr}}}}}}\n3CF: {{board: sep-paper-tape}}")
    assert wired.boot.device is not None and wired.registers[wired.boot.device].device == "paper-tape"


def test_a_device_off_the_address_the_rom_goes_to_does_not_count(sep: Wire) -> None:
    board = "{board: sep-boot-terminator, settings: {start-from: high, power-up-redirect: on, start: 4}"
    slots = f"{CPU}\n3AB: {board}, roms: {{773000: {{rom: rom-letters-tt}}}}}}\n"
    assert sep(slots + "3CF: {board: sep-serial-line, settings: {console: yes}}").boot.device is not None
    assert sep(slots + "3CF: {board: sep-serial-line, settings: {console: no}}").boot.device is None


def test_options_are_standard_named_or_added_by_a_board(mux: Wire, sep: Wire) -> None:
    assert mux("1AB: {board: mid-cpu-dual, options: [fpp]}").processors[0].options == ("eis", "fpp")
    wired = sep(f"{CPU}\n3: {{board: sep-two-board-fpp}}")
    assert wired.processors[0].options == ("eis", "fpp", "mmu")


def test_a_machine_without_a_processor_resolves(mux: Wire) -> None:
    wired = mux("1AB: {board: mos-memory-dual}")
    assert wired.processors == () and wired.boot.rom is None and isinstance(wired.boot.start, Unknown)


# ---- the description beside an image

IMAGE = bytes(range(64))
SUM = hashlib.sha256(IMAGE).hexdigest()


def described(tmp_path: Path, text: str) -> Path:
    image = tmp_path / "boot.rom"
    image.write_bytes(IMAGE)
    (tmp_path / "boot.rom.yaml").write_text(text, encoding="utf-8")
    return image


def test_the_description_of_an_image_decides_what_it_boots(wire: Wire, tmp_path: Path) -> None:
    text = f"rom: 1\nboots: paper-tape\nexpects: 177550\nstart: 173000\nwords: 32\nsha256: {SUM}\nsource: src/boot.s\n"
    described(tmp_path, text)
    wired = wire(
        "boxes:\n- id: main\n  backplane: sep-two-board-mmu-processor-unit\n  slots:\n"
        "    1-2: {board: sep-cpu-two-boards-mmu-later}\n"
        "    3AB: {board: sep-boot-terminator, settings: {start-from: high, power-up-redirect: on, start: 173000},"
        " roms: {773000: {rom: rom-ours, image: boot.rom}}}\n"
        "    3CF: {board: sep-serial-line}\n    4CF: {board: sep-paper-tape}\n"
    )
    rom = wired.roms[1]
    assert (rom.base, rom.words, rom.start) == (0o13000, 64, Known(0o173000, Evidence.OWNER))
    assert isinstance(rom.boots, Known) and rom.boots.peek == ("paper-tape",)
    assert isinstance(rom.expects, Known) and rom.expects.peek == 0o17550
    assert wired.boot.device is not None and wired.registers[wired.boot.device].device == "paper-tape"


def test_an_image_without_a_description_has_none(tmp_path: Path) -> None:
    assert read_sidecar(tmp_path / "boot.rom") is None


def test_a_description_may_name_several_devices(tmp_path: Path) -> None:
    made = read_sidecar(described(tmp_path, "rom: 1\nboots: [paper-tape, serial-line]\n"))
    assert made is not None and made.boots == ("paper-tape", "serial-line") and made.expects is None


def test_every_problem_of_a_description_is_named_with_its_place(tmp_path: Path) -> None:
    image = described(tmp_path, "rom: 2\nboot: paper-tape\nexpects: 177558\nstart: 1730000\nwords: many\nsource: [a]\n")
    with pytest.raises(InputError) as caught:
        read_sidecar(image)
    seen = [(problem.mark.line, problem.message.split()[0]) for problem in caught.value.problems]
    assert seen == [(1, "rom"), (2, "unknown"), (3, "expects"), (4, "start"), (5, "words"), (6, "source:")]
    assert 'did you mean "boots"?' in str(caught.value)


@pytest.mark.parametrize("text", ["boots: paper-tape\n", "- rom\n", "rom: 1\nrom: 1\n", "rom: *a\n", ""])
def test_what_is_no_description_is_refused(tmp_path: Path, text: str) -> None:
    with pytest.raises(InputError):
        read_sidecar(described(tmp_path, text))


def test_a_description_of_another_image_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="another image"):
        read_sidecar(described(tmp_path, f"rom: 1\nsha256: {'0' * 64}\n"))
