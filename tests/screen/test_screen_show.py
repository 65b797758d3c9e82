"""A view on a terminal: keys, palette, panes, sizes, and what is sent over the line."""

from __future__ import annotations

import time
from dataclasses import dataclass

import pytest

from minisim.screen import Canvas, Scene
from screen.rig import Rig, drive


@dataclass(frozen=True, slots=True)
class Word:
    text: str
    start: int
    what: str


class Harbour(Scene):
    """A view of a few words, whose guest shows each key."""

    label = "harbour: "

    def __init__(self) -> None:
        super().__init__()
        self.has_console = True
        self.entered: list[str] = []
        self.typed = b""
        self.drawn = 0
        self.tide = 412

    def draw_view(self, canvas: Canvas) -> None:
        self.drawn += 1
        canvas.bar(0, "Kittiwake Point", f"tide {self.tide}")
        self.draw_paper(canvas, 0, 1, canvas.width, 8)
        canvas.rule(0, 9, canvas.width, "entered")
        for row, text in enumerate(self.entered[-5:]):
            canvas.put(0, 10 + row, text)

    def enter(self, text: str) -> None:
        self.entered.append(text)
        if text == "long":
            self.show("lines", [f"line {number}" for number in range(100)])
        if text == "fail":
            raise RuntimeError("the view failed")
        self.done = text == "leave"

    def complete(self, text: str) -> list[Word]:
        words = {"run": "lets it run", "registers": "all of them", "pause": "stops it"}
        return [Word(word, 0, what) for word, what in words.items() if word.startswith(text)]

    def to_machine(self, keys: bytes) -> None:
        self.typed += keys

    def work(self) -> float | None:
        return 0.01


def test_a_line_is_typed_edited_and_entered() -> None:
    async def script(rig: Rig) -> None:
        seen = await rig.keys("tyde\x1b[D\x1b[D\x7fi")
        assert seen[-2] == "harbour: tide"
        await rig.keys("\r")
        seen = await rig.keys("\x1b[A")
        assert seen[-2] == "harbour: tide"  # the line before
        await rig.keys("\x15high water\r")

    scene = Harbour()
    drive(scene, script)
    assert scene.entered == ["tide", "high water"]


def test_tab_shows_the_words_that_fit_and_enter_takes_the_marked_one() -> None:
    async def script(rig: Rig) -> None:
        seen = await rig.keys("r\t")
        assert [row.split()[0] for row in seen[-4:-2]] == ["run", "registers"]
        seen = await rig.keys("\x1b[B\r")
        assert seen[-2] == "harbour: registers"
        seen = await rig.keys("\x15p\t")
        assert seen[-2] == "harbour: pause"  # the only word that fits

    drive(Harbour(), script)


def test_the_palette_shows_every_word_and_typing_filters_it() -> None:
    async def script(rig: Rig) -> None:
        seen = await rig.keys("\x10")
        assert "3 words" in seen[-6]
        seen = await rig.keys("ru")
        assert "1 word;" in seen[-4]
        assert seen[-3].split() == ["run", "lets", "it", "run"]
        seen = await rig.keys("\x1b")
        assert seen[-3] == ""

    drive(Harbour(), script)


def test_a_long_answer_is_scrolled_and_closed() -> None:
    async def script(rig: Rig) -> None:
        seen = await rig.keys("long\r")
        assert seen[2:4] == ["line 0", "line 1"]
        seen = await rig.keys("\x1b[B")
        assert seen[2] == "line 1"
        seen = await rig.keys("\x1b[6~")
        assert seen[2] == "line 19"  # a page of 19 lines, one of them seen before
        seen = await rig.keys("\x1b")
        assert "console" in seen[1]

    drive(Harbour(), script)


def test_every_key_but_one_goes_to_the_guest_after_ctrl_bracket() -> None:
    keys = "list\r\x03\x04\x10\t\x1b[A\x1b[5~\x0c\x18\x1a\x7f"

    async def script(rig: Rig) -> None:
        seen = await rig.keys("\x1d")
        assert "keys go here" in seen[1]
        await rig.keys(keys)
        await rig.keys("\x1b")
        await rig.keys("\x1b[200~high\nwater\x1b[201~")
        seen = await rig.keys("\x1d")
        assert "keys go here" not in seen[1]
        await rig.keys("pause\r")

    scene = Harbour()
    drive(scene, script)
    assert scene.typed == keys.encode() + b"\x1b" + b"high\rwater"
    assert scene.entered == ["pause"]


def test_a_paste_of_several_lines_is_one_line_without_control_characters() -> None:
    async def script(rig: Rig) -> None:
        await rig.keys("\x1b[200~run\r\npause\x07\x1b[201~")
        await rig.keys("\r")

    scene = Harbour()
    drive(scene, script)
    assert scene.entered == ["run pause"]


def test_ctrl_c_empties_the_line_and_says_how_to_leave_and_ctrl_d_leaves() -> None:
    async def script(rig: Rig) -> None:
        seen = await rig.keys("abc\x03")
        assert seen[-3:-1] == ["write leave to leave", "harbour:"]
        await rig.keys("\x04")

    scene = Harbour()
    drive(scene, script)
    assert scene.entered == ["leave"]


def test_what_the_view_raises_comes_out() -> None:
    async def script(rig: Rig) -> None:
        await rig.keys("fail\r")

    with pytest.raises(RuntimeError, match="the view failed"):
        drive(Harbour(), script)


def test_the_size_may_change_and_be_too_small_and_leave_still_works() -> None:
    async def script(rig: Rig) -> None:
        rig.wire.resize(120, 40)
        await rig.until(lambda seen: len(seen[0]) == 119 and seen[0].endswith("tide 412"))
        rig.wire.resize(59, 16)
        seen = await rig.until(lambda seen: seen[0].startswith("too small"))
        assert seen[0] == "too small: 60 x 16 at least; leave still works"
        await rig.keys("leave\r")

    scene = Harbour()
    drive(scene, script)
    assert scene.entered == ["leave"]


def test_nothing_is_sent_while_nothing_changes_and_little_when_little_does() -> None:
    async def script(rig: Rig) -> None:
        before = rig.wire.written
        await rig.keys("", 0.5)
        assert rig.wire.written == before
        rig.scene.tide = 413  # type: ignore[attr-defined]
        await rig.keys("", 0.3)
        assert 0 < rig.wire.written - before < 100
        assert rig.seen()[0].endswith("tide 413")

    drive(Harbour(), script)


def test_there_are_at_most_ten_frames_in_a_second() -> None:
    class Ebb(Harbour):
        def work(self) -> float | None:
            self.tide += 1
            return 0.0

    async def script(rig: Rig) -> None:
        before, began = rig.show.frames, time.monotonic()
        await rig.keys("", 1.0)
        assert rig.show.frames - before <= 10 * (time.monotonic() - began) + 2

    drive(Ebb(), script)


@pytest.mark.parametrize("term", ["xterm", "screen", "ansi", "linux"])
def test_a_plain_encoding_gets_plain_characters_and_never_a_colour(term: str) -> None:
    async def script(rig: Rig) -> None:
        seen = await rig.keys("r\t")
        assert all(row.isascii() for row in seen)
        assert seen[1].startswith("- console ---")

    rig = drive(Harbour(), script, encoding="ascii", term=term)
    assert not any(f"{sign}{code}{end}" in rig.wire.all for sign in "[;" for code in (31, 42, 38, 48) for end in ";m")


def test_the_terminal_is_left_as_it_was() -> None:
    async def script(rig: Rig) -> None:
        await rig.keys("")

    rig = drive(Harbour(), script)
    for off, on in (("\x1b[?1049l", "\x1b[?1049h"), ("\x1b[?2004l", "\x1b[?2004h"), ("\x1b[?25h", "\x1b[?25l")):
        assert rig.wire.all.rindex(off) > rig.wire.all.rindex(on)
    assert not any(mode in rig.wire.all for mode in ("?1000h", "?1002h", "?1003h", "?1006h"))  # the mouse
