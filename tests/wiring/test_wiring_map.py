"""`minisim map`: rows by address, free stretches, widths, and what stands at the end because nobody knows its place."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim.catalogue import Catalogue
from minisim.cli import main
from minisim.wiring.addresses import Kind, address_bits, address_map, page_start
from minisim.wiring.model import Wired
from minisim.wiring.processor_registers import processor_registers

Wire = Callable[..., Wired]
DATA = Path(__file__).parent / "data"


def rows(wired: Wired) -> list[tuple[str, str, str]]:
    return [
        (row.what, "" if row.first is None else f"{row.first:06o}", "" if row.last is None else f"{row.last:06o}")
        for row in address_map(wired)
    ]


def test_the_map_of_the_desktop_machine(desk: Wired) -> None:
    assert rows(desk) == [
        ("memory, 32 KB (16 K words)", "000000", "077777"),
        ("free", "100000", "757777"),
        ("free", "760000", "772776"),
        ("ROM 256 words, rom-ours", "773000", "773776"),
        ("free", "774000", "777516"),
        ("boot registers", "777520", "777524"),
        ("free", "777526", "777544"),
        ("line clock", "777546", "777546"),
        ("free", "777550", "777556"),
        ("serial line, console", "777560", "777566"),
        ("free", "777570", "777776"),
        ("event line, vector only", "", ""),
    ]


def test_the_processor_answers_what_its_profile_tells(catalogue: Catalogue) -> None:
    """Addresses: PS [addressing-faq], MMU status [mmu-registers-page], page registers from memory, firm."""
    own = processor_registers(catalogue.profile("two-board-ttl-mmu"), ["eis", "mmu"])
    assert [(f"{0o760000 + one.base:o}", one.words) for one in own] == [
        ("772300", 8),
        ("772340", 8),
        ("777570", 1),
        ("777572", 3),
        ("777600", 8),
        ("777640", 8),
        ("777776", 1),
    ]
    assert processor_registers(catalogue.profile("chipset-one-level"), []) == ()


@pytest.mark.parametrize(
    ("processor", "backplane", "bits"),
    [
        ("small-cpu-dual", "mux-twin-4-18bit", 16),
        ("mid-cpu-dual", "mux-twin-4-18bit", 18),
        ("mid-cpu-dual", "mux-twin-4-22bit", 22),
    ],
)
def test_addresses_are_as_wide_as_processor_and_backplane_allow(
    wire: Wire, processor: str, backplane: str, bits: int
) -> None:
    wired = wire(f"boxes:\n- id: main\n  backplane: {backplane}\n  slots: {{1AB: {{board: {processor}}}}}\n")
    assert address_bits(wired) == bits


def test_the_io_page_is_the_top_8_kb() -> None:
    """[map-wiki], [addressing-faq]"""
    assert [f"{page_start(bits):o}" for bits in (16, 18, 22)] == ["160000", "760000", "17760000"]


def test_memory_that_reaches_into_the_io_page_is_shown_as_far_as_it_answers(mux: Wire) -> None:
    wired = mux("1AB: {board: small-cpu-dual}\n1CD: {board: mos-memory-dual, settings: {start: 0, kb: 64}}")
    assert rows(wired)[0] == ("memory, 64 KB (32 K words), top hidden by the I/O page", "000000", "157777")


def test_what_has_no_known_place_stands_at_the_end(mux: Wire) -> None:
    wired = mux("1AB: {board: mos-memory-dual}\n1CD: {board: parallel-64-bit}")
    assert [row[0] for row in rows(wired)][-2:] == [
        "memory, size not stated, start not stated",
        "parallel 64, address not known",
    ]


@given(
    st.lists(st.tuples(st.sampled_from(["1AB", "1CD", "2CD", "2AB", "3AB", "3CD"]), st.integers(0, 255)), max_size=6)
)
def test_rows_and_free_stretches_cover_every_address_once(
    catalogue: Catalogue, tmp_path_factory: pytest.TempPathFactory, placed: list[tuple[str, int]]
) -> None:
    from minisim.loadout.reader import read_loadout
    from minisim.wiring.resolve import resolve

    slots = "".join(
        f"    {place}: {{board: serial-line-single, settings: {{address: {0o770000 + 0o10 * step:o}}}}}\n"
        for place, step in dict(placed).items()
    )
    file = tmp_path_factory.mktemp("map") / "machine.yaml"
    head = "loadout: 1\nname: m\nboxes:\n- id: main\n  backplane: mux-twin-4-18bit\n"
    file.write_text(head + (f"  slots:\n{slots}" if slots else ""), encoding="utf-8")
    wired = resolve(read_loadout(file, catalogue=catalogue), catalogue)
    free = 0
    for row in address_map(wired):
        assert row.first is not None and row.last is not None
        assert row.first <= free  # nothing is left out
        if row.kind is Kind.FREE:
            assert row.first == free  # and nothing free is taken
        free = max(free, row.last + (2 if row.last % 2 == 0 else 1))
    assert free == 1 << 18


# ---- the command


@pytest.mark.parametrize("name", ["desk", "gauge"])
def test_the_command_prints_lines_that_fit_a_terminal(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", str(DATA / f"{name}.yaml")]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 79
    assert lines[4].split()[0] == "place" and any("777560 to 777566" in line for line in lines)


def test_the_command_shows_the_place_that_stops_the_grants(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (DATA / "desk.yaml").read_text(encoding="utf-8").replace("2CD", "2AB")
    file = tmp_path / "moved.yaml"
    file.write_text(text, encoding="utf-8")
    assert main(["map", str(file)]) == 0
    assert "4 open at 3" in capsys.readouterr().out


def test_the_command_gives_json_with_octal_text(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", "--json", str(DATA / "desk.yaml")]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["address-bits"] == 18
    options = {one["option"]: one["fitted"] for one in found["processors"][0]["options"]}
    assert options["eis"] and not options["fpp"]
    console = next(row for row in found["rows"] if "console" in row["what"])
    assert (console["place"], console["first"], console["last"]) == ("main/a/2CD", "777560", "777566")
    assert (console["vectors"], console["grant"], console["reached"]) == (["060", "064"], 3, "yes")


def test_the_command_refuses_a_file_that_is_no_loadout(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "bad.yaml"
    file.write_text("loadout: 1\n", encoding="utf-8")
    assert main(["map", str(file)]) == 2
    assert "Traceback" not in capsys.readouterr().err
