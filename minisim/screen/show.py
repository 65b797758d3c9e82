"""Puts a view on the terminal, full screen, and takes it off again whatever happens."""

from __future__ import annotations

import asyncio
import sys
import time
from typing import Any

from prompt_toolkit.application import Application
from prompt_toolkit.data_structures import Point
from prompt_toolkit.filters import Condition
from prompt_toolkit.formatted_text import StyleAndTextTuples
from prompt_toolkit.input import Input
from prompt_toolkit.layout import ConditionalContainer, HSplit, Layout, VSplit, Window
from prompt_toolkit.layout.controls import BufferControl, FormattedTextControl, UIContent, UIControl
from prompt_toolkit.layout.dimension import Dimension
from prompt_toolkit.output import ColorDepth, Output
from prompt_toolkit.styles import Style

from minisim.screen.canvas import Canvas, Marks, marks_for
from minisim.screen.input_line import input_line
from minisim.screen.keys import bindings
from minisim.screen.scene import SMALLEST, Scene, draw_small
from minisim.terminal import PUT_BACK, HeldTerminal

FRAME = 0.1  # seconds between two frames at least
_ESCAPE = 0.05  # seconds after which Esc is a key of its own


class _ScreenTerminal(HeldTerminal):
    """The terminal of a full-screen view; the modes are the library's."""

    put_back = PUT_BACK

    def __init__(self, number: int, source: Input) -> None:
        super().__init__(number)
        self._source = source

    def ours(self) -> None:
        """As the library will set them in a moment, so that the guard knows them."""
        self._source.raw_mode().__enter__()


class _Picture(UIControl):
    """The canvas as the library wants it."""

    def __init__(self, show: Show) -> None:
        self._show = show

    def is_focusable(self) -> bool:
        """While the keys are for the guest or the view."""
        return True

    def create_content(self, width: int, height: int) -> UIContent:
        """The picture for this size."""
        rows, cursor = self._show.picture(width, height)

        def line(number: int) -> StyleAndTextTuples:
            return [*rows[number]]

        at = Point(*cursor) if cursor else Point(0, 0)
        return UIContent(line, len(rows), cursor_position=at, show_cursor=cursor is not None)


class Show:
    """One view on one terminal."""

    def __init__(self, scene: Scene, source: Input | None = None, output: Output | None = None) -> None:
        self.scene = scene
        self.line = input_line(scene.palette.filter)
        self.frames = 0  # drawn so far
        self._picture = Window(_Picture(self), always_hide_cursor=Condition(lambda: not scene.guest))
        self._input = Window(BufferControl(self.line), height=1)
        self._rows: list[list[tuple[str, str]]] = []
        self._cursor: tuple[int, int] | None = None
        self._size = (0, 0)
        self._wake = asyncio.Event()
        self._drawn = 0.0
        self.app: Application[None] = Application(
            layout=Layout(self._layout(), self._picture),
            key_bindings=bindings(self),
            style=Style([]),
            include_default_pygments_style=False,
            full_screen=True,
            mouse_support=False,
            color_depth=ColorDepth.DEPTH_1_BIT,
            erase_when_done=True,
            min_redraw_interval=FRAME,
            input=source,
            output=output,
        )
        self.app.ttimeoutlen = _ESCAPE
        self._marks: Marks = marks_for(self.app.output.encoding() or "")
        self._focus()

    def _layout(self) -> HSplit:
        scene = self.scene
        mark = FormattedTextControl(lambda: [("bold", scene.label)])

        def width() -> Dimension:
            return Dimension.exact(len(scene.label))

        line = VSplit([Window(mark, width=width, height=1), self._input])
        foot = Window(FormattedTextControl(lambda: [("reverse", self._help())]), height=1)
        return HSplit([self._picture, ConditionalContainer(line, Condition(lambda: bool(scene.label))), foot])

    def _help(self) -> str:
        """The help line, as wide as the screen."""
        width = self.app.output.get_size().columns
        return f" {self.scene.help()}"[:width].ljust(width)

    # --- running ------------------------------------------------------------------------------------------------------

    def run(self) -> None:
        """Until the view is done; an error of the view comes out here, behind a terminal that is put back."""
        asyncio.run(self.run_async())

    async def run_async(self) -> None:
        """The same inside a loop that runs already."""
        asyncio.get_running_loop().set_exception_handler(self._failed)
        try:
            await self.app.run_async(pre_run=self._begin, set_exception_handler=False, handle_sigint=False)
        except EOFError:  # the terminal is gone
            self.scene.done = True

    def _begin(self) -> None:
        """The view's own work goes on beside the keys."""
        self.app.create_background_task(self._work())

    def _failed(self, _loop: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
        """Something the library called has failed: leave with it."""
        self._end(context.get("exception") or RuntimeError(str(context.get("message"))))

    def _end(self, error: BaseException | None = None) -> None:
        if self.app.future is None or self.app.future.done():
            return
        if error is None:
            self.app.exit()
        else:
            self.app.exit(exception=error)

    def wake(self) -> None:
        """Something has changed from outside: the work goes on at once."""
        self._wake.set()

    async def _work(self) -> None:
        """The view's own work, and a frame after it if something is to be seen."""
        while not self.scene.done:
            self._wake.clear()
            pause = self.scene.work()
            left = self._look()
            if left and (pause is None or pause > left):  # the last frame is not left out
                await self._pause(left)
                self._look(at_once=True)
                pause = None if pause is None else pause - left
            if pause is None:
                await self._wake.wait()
            else:
                await self._pause(pause)
        self._end()

    async def _pause(self, seconds: float) -> None:
        """So long, or until a key comes."""
        if seconds <= 0:
            await asyncio.sleep(0)
            return
        try:
            await asyncio.wait_for(self._wake.wait(), seconds)
        except TimeoutError:
            return

    def _look(self, *, at_once: bool = False) -> float:
        """A frame, if it is time for one and it would differ; else the seconds until it is time."""
        now = time.monotonic()
        left = self._drawn + FRAME - now
        if left > 0 and not at_once:
            return left
        self._drawn = now
        if self._draw(*self._size):
            self.app.invalidate()
        return 0.0

    def _draw(self, width: int, height: int) -> bool:
        """Draw the picture; True: it differs from the last one."""
        canvas = Canvas(width, height, self._marks)
        lines = height + (2 if self.scene.label else 1)
        if width < SMALLEST[0] or lines < SMALLEST[1]:
            draw_small(canvas)
        else:
            self.scene.draw(canvas)
        rows = canvas.rows()
        differs = rows != self._rows or canvas.cursor != self._cursor
        self._rows, self._cursor, self._size = rows, canvas.cursor, (width, height)
        return differs

    def picture(self, width: int, height: int) -> tuple[list[list[tuple[str, str]]], tuple[int, int] | None]:
        """What is to be shown, and where the cursor is in it."""
        self.frames += 1
        if (width, height) != self._size:
            self._draw(width, height)
        return self._rows, self._cursor

    # --- keys ---------------------------------------------------------------------------------------------------------

    def _done(self) -> None:
        """After each key: the picture, who gets the next key, and the work that it may have begun."""
        if self.scene.wipe:
            self.scene.wipe = False
            self.line.reset()
        self._focus()
        self._look(at_once=True)
        self.wake()

    def _focus(self) -> None:
        at_line = bool(self.scene.label) and not self.scene.guest
        self.app.layout.focus(self._input if at_line else self._picture)

    def toggle(self) -> None:
        """The keys to the guest, or back."""
        self.scene.message = ""
        self.scene.toggle()
        self._done()

    def to_machine(self, keys: str) -> None:
        """Keys for the guest."""
        self.scene.to_machine(keys.encode("utf-8", "surrogateescape"))
        self._done()

    def scene_key(self, name: str) -> None:
        """A key for a view without an input line."""
        self.scene.message = ""
        self.scene.key(name)
        self._done()

    def enter(self) -> None:
        """Take the marked word, or do the line."""
        scene, text = self.scene, self.line.text
        scene.message = ""
        if scene.palette.open and scene.palette.found:
            taken = scene.palette.taken(text)
            scene.palette.close()
            self._set(taken)
        else:
            scene.palette.close()
            scene.pane = None
            self.line.append_to_history()
            self.line.reset()
            scene.enter(text)
        self._done()

    def tab(self) -> None:
        """The only word that fits, or all of them; once more: the next."""
        palette = self.scene.palette
        if palette.open:
            palette.move(1)
        else:
            palette.show(self.line.text)
            if len(palette.found) == 1:
                taken = palette.taken(self.line.text)
                palette.close()
                self._set(taken)
        self._done()

    def open_palette(self) -> None:
        """All words that may stand next."""
        self.scene.palette.show(self.line.text)
        self._done()

    def escape(self) -> None:
        """Close what is open; else the view may want it; else empty the line."""
        if not self.scene.close() and not self.scene.key("escape"):
            self.line.reset()
        self._done()

    def cancel(self) -> None:
        """Ctrl-C: empty the line, and say how one leaves."""
        self.scene.palette.close()
        self.line.reset()
        self.scene.message = f"write {self.scene.left} to leave"
        self._done()

    def end_of_input(self) -> None:
        """Ctrl-D on an empty line: as if one had written the word that leaves."""
        self.scene.enter(self.scene.left)
        self._done()

    def look_back(self, pages: int) -> None:
        """PgUp and PgDn."""
        self.scene.look_back(pages)
        self._done()

    def scroll(self, lines: int) -> None:
        """Up and Down in an open pane."""
        if self.scene.pane is not None:
            self.scene.pane.scroll(lines)
        self._done()

    def _set(self, text: str) -> None:
        self.line.text = text
        self.line.cursor_position = len(text)


def run_screen(scene: Scene, source: Input | None = None, output: Output | None = None) -> None:
    """Show a view full screen until it is done.

    With `source` and `output` (tests) no terminal is touched.  Else the terminal is put back whatever happens: at the
    end, on an error, when the process is told to go, and by a guard process when it is killed outright.
    """
    if source is not None:
        Show(scene, source, output).run()
        return
    show = Show(scene)
    sys.stdout.flush()
    with _ScreenTerminal(sys.stdin.fileno(), show.app.input):
        show.run()
