"""The drawing of switch packs: what the catalogue firmly knows is drawn, the rest is said to be unknown.

Facts of the pack: switch 1 open takes the start pair from the boot window, switch 2 closed redirects the power-up
fetch (boot-terminator-wiki); switches 3 to 10 are bits 8 to 1 of the start word (from memory, firm).
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from minisim.catalogue import Catalogue
from minisim.loadout.reader import read_loadout
from minisim.problems import InputError
from minisim.sheet.blocks import Drawing
from minisim.sheet.drawing.switches import switch_drawing
from minisim.wiring.resolve import resolve

from .drawings import ENTRIES, KITTIWAKE, MACHINES, ids, is_well_drawn, root, texts, wired, with_data, words

BOARD = "sep-boot-terminator"


def drawings(path: Path) -> dict[str, Drawing]:
    """Id of the board's kind -> its drawing."""
    machine = wired(path)
    made = {board.entry.id: switch_drawing(machine, board.index) for board in machine.boards}
    return {name: drawing for name, drawing in made.items() if drawing is not None}


def pack(drawing: Drawing) -> dict[int, tuple[str, str]]:
    """Number of a switch -> position, and what stands under it from bit to value."""
    found = {}
    for group in with_data(root(drawing.svg), "switch"):
        _, *under = sorted((text.box.y, text.words) for text in texts(group) if text.words != "?" or text.size < 20)
        found[int(group.get("data-switch"))] = (
            group.get("data-position"),
            " ".join(words for _, words in under if words),
        )
    return found


@pytest.mark.parametrize("path", MACHINES, ids=ids)
def test_only_boards_whose_switches_are_known_have_a_drawing(path: Path) -> None:
    made = drawings(path)
    assert set(made) == {BOARD} & {board.entry.id for board in wired(path).boards}
    assert all(is_well_drawn(drawing) == [] for drawing in made.values())


def test_the_demo_machine_has_its_start_word_on_switches_three_to_ten() -> None:
    """173030 is 1 111 011 000 011 000 in binary: of bits 8 to 1 bits 4 and 3 are set."""
    drawing = drawings(KITTIWAKE / "gauge.yaml")[BOARD]
    bits = {3: (8, "000400", 0), 4: (7, "000200", 0), 5: (6, "000100", 0), 6: (5, "000040", 0),
            7: (4, "000020", 1), 8: (3, "000010", 1), 9: (2, "000004", 0), 10: (1, "000002", 0)}  # fmt: skip
    wanted = {number: ("unknown", f"{bit} {weight} {value}") for number, (bit, weight, value) in bits.items()}
    assert pack(drawing) == {1: ("open", "high"), 2: ("closed", "on")} | wanted
    said = " ".join(drawing.lines)
    assert "S1-1: OPEN (OFF); start-from = high" in said and "S1-2: CLOSED (ON); power-up-redirect = on" in said
    assert "S1-7: position not known; start, bit 4 (000020) = 1" in said


def test_what_no_document_says_is_said_to_be_unknown() -> None:
    drawing = drawings(KITTIWAKE / "gauge.yaml")[BOARD]
    for said in (words(root(drawing.svg)), " ".join(drawing.lines)):
        assert "Which end is switch 1, and which way is ON, is not known here" in said
        assert "Whether a closed switch makes a 1 or a 0 in these bits is not known here" in said
        assert "boot-terminator-wiki" in said and "from memory, firm" in said


def test_a_switch_that_the_loadout_does_not_state_has_to_be_read_from_the_board(tmp_path: Path) -> None:
    text = (KITTIWAKE / "gauge.yaml").read_text()
    path = tmp_path / "x.yaml"
    path.write_text(
        text.replace("          start-from: high", "          #").replace("          start: 173030", "          #")
    )
    shutil.copytree(KITTIWAKE / "media", tmp_path / "media")
    drawing = drawings(path)[BOARD]
    assert {number: position for number, (position, _) in pack(drawing).items()} == {
        1: "unknown", 2: "closed", **dict.fromkeys(range(3, 11), "unknown"),
    }  # fmt: skip
    assert "S1-1: position not known; start-from = not stated: read it from" in " ".join(drawing.lines)


def own_board(folder: Path, switches: str) -> Path:
    """An owner's board, like the one known but with other switches for its start word, and a loadout that has it."""
    text = (ENTRIES / "boards" / f"{BOARD}.yaml").read_text().replace(f"id: {BOARD}", "id: own-terminator")
    head, _, rest = text.partition("switches: {pack: S1, numbers: [3,")
    _, _, tail = rest.partition("}}")
    file = folder / "catalogue" / "boards" / "own-terminator.yaml"
    file.parent.mkdir(parents=True)
    file.write_text(head + "switches: {" + switches + ", evidence: owner, sources: []}}" + tail)
    shutil.copytree(KITTIWAKE / "media", folder / "media")
    path = folder / "x.yaml"
    path.write_text((KITTIWAKE / "gauge.yaml").read_text().replace(BOARD, "own-terminator"))
    return path


def test_where_the_catalogue_says_which_position_is_a_one_the_bits_are_drawn_so(tmp_path: Path) -> None:
    path = own_board(tmp_path, 'pack: S2, numbers: [1, 2, 3], bits: [4, 3, 2], open: "1", closed: "0"')
    machine = resolve(read_loadout(path), Catalogue())
    index = next(board.index for board in machine.boards if board.entry.id == "own-terminator")
    drawing = switch_drawing(machine, index)
    assert drawing is not None
    second = next(group for group in with_data(root(drawing.svg), "pack") if group.get("data-pack") == "S2")
    assert [one.get("data-position") for one in with_data(second, "switch")] == ["open", "open", "closed"]
    assert "Whether a closed switch" not in " ".join(drawing.lines)


def test_a_bit_without_a_switch_is_refused_with_its_place(tmp_path: Path) -> None:
    switches = "pack: S1, numbers: [3, 4], bits: [8, 7, 6], open: unknown, closed: unknown"
    with pytest.raises(InputError) as refused:
        read_loadout(own_board(tmp_path, switches))
    assert "bits: one for each of the 2 numbers is expected, there are 3" in str(refused.value)
    assert "own-terminator.yaml:36:" in str(refused.value)
