"""Nine-track reels: CBOR sequences, RFC 8742 (checked against bytes written out by hand from RFC 8949)."""

from __future__ import annotations

from pathlib import Path

import cbor2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from minisim.cli import main
from minisim.media.reel import Block, Gap, Item, TapeMark, lines, read_reel, write_reel
from minisim.problems import InputError

ITEMS = st.lists(
    st.one_of(
        st.binary(min_size=1, max_size=600).map(Block),
        st.just(TapeMark()),
        st.integers(1, 1 << 40).map(Gap),
    )
)


@given(ITEMS)
def test_what_is_written_is_read(tmp_path_factory: pytest.TempPathFactory, items: list[Item]) -> None:
    path = tmp_path_factory.mktemp("reel") / "a.reel"
    write_reel(path, items)
    assert list(read_reel(path)) == items


def test_the_bytes_are_those_of_the_standard(tmp_path: Path) -> None:
    """RFC 8949: a map of one pair is a1, a text of 5 bytes 65, bytes of length 3 43, true f5, 256 is 190100."""
    path = tmp_path / "a.reel"
    write_reel(path, [Block(b"abc"), TapeMark(), Gap(256)])
    assert path.read_bytes() == b"\xa1\x65block\x43abc" + b"\xa1\x64mark\xf5" + b"\xa1\x63gap\x19\x01\x00"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\xa1\x65block\x43ab", "item 1 is no item"),
        (cbor2.dumps({"block": b""}), "item 1 is none of"),
        (cbor2.dumps({"block": b"a", "mark": True}), "item 1 is none of"),
        (cbor2.dumps({"mark": True}) + cbor2.dumps({"mark": False}), "item 2 is none of"),
        (cbor2.dumps({"gap": 0}), "item 1 is none of"),
        (cbor2.dumps({"gap": True}), "item 1 is none of"),
        (cbor2.dumps({"block": bytes(65_537)}), "item 1 is none of"),
        (b"plain text, no reel", "item"),
    ],
)
def test_what_is_no_reel_is_said_with_the_item(tmp_path: Path, data: bytes, said: str) -> None:
    path = tmp_path / "a.reel"
    path.write_bytes(data)
    with pytest.raises(InputError, match=said):
        list(read_reel(path))


def test_runs_of_equal_items_are_one_line() -> None:
    items: list[Item] = [Block(bytes(80)), Block(bytes(512)), Block(bytes(512)), TapeMark(), TapeMark(), Gap(9)]
    assert list(lines(items)) == [
        "  1: block of 80 bytes",
        "  2-3: block of 512 bytes, each",
        "  4-5: tape mark, each",
        "  6: gap of about 9 bytes",
    ]


def test_the_command_makes_and_shows_reels(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    reel, dump = tmp_path / "a.reel", tmp_path / "a.raw"
    assert main(["media", "make", str(reel), "--kind", "reel-nine-track"]) == 0
    assert reel.read_bytes() == b""
    dump.write_bytes(bytes(range(200)) * 6)
    made = tmp_path / "b.reel"
    words = ["media", "import", str(dump), "--kind", "reel-nine-track", "-o", str(made)]
    assert main([*words, "--block-bytes", "512"]) == 0
    blocks = [Block(dump.read_bytes()[at : at + 512]) for at in (0, 512, 1024)]
    assert list(read_reel(made)) == [*blocks, TapeMark(), TapeMark()]
    assert main([*words, "--block-bytes", "512"]) == 2  # never over a file
    capsys.readouterr()
    assert main(["media", "inspect", str(made)]) == 0
    out = capsys.readouterr().out
    assert "3 blocks, 2 marks, 1200 bytes" in out
    assert "  1-2: block of 512 bytes, each" in out
    back = tmp_path / "back.raw"
    assert main(["media", "export", str(made), "-o", str(back)]) == 0
    assert back.read_bytes() == dump.read_bytes()
    dump.write_bytes(b"")
    assert main([*words[:-1], str(tmp_path / "c.reel")]) == 0
    assert list(read_reel(tmp_path / "c.reel")) == [TapeMark()] * 2
