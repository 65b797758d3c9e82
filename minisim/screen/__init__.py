"""Shared parts of all full-screen views: the bench, lessons, the event mode.

A view is a `Scene`.  Derive yours, write what it draws and does, and give it to `run_screen`:

    class Greeting(Scene):
        label = "lesson: "                                   # of the input line; "" for a view that takes keys itself

        def draw_view(self, canvas: Canvas) -> None:         # the whole picture, at any size from 60 x 14 cells
            canvas.bar(0, "Octal and words", "step 2 of 5")  # a row in reverse
            y = canvas.put_lines(0, 2, wrap("Some *plain* prose.", canvas.width), canvas.width, 5)
            canvas.rule(0, y, canvas.width, "registers")
            canvas.put(0, y + 1, line("PC ", bold("001000")))
            self.draw_paper(canvas, 0, y + 2, canvas.width, canvas.height - y - 2)   # the guest's console

        def enter(self, text: str) -> None: ...              # a line was typed; `self.show(title, lines)` opens a pane,
                                                             # `self.message` is one line until the next key
        def complete(self, text: str): ...                   # bench.complete(text) for instance: Tab and Ctrl-P show it
        def work(self) -> float | None: ...                  # a slice of 30 ms; seconds to the next, None: after a key
        def to_machine(self, keys: bytes) -> None: ...       # bench.type(keys), where has_console is True (Ctrl-])
        def key(self, name: str) -> bool: ...                # without a label: "up", "enter", "a", "1" ...

    run_screen(Greeting())                                   # until scene.done

The input line and the help line (`help`) lie under the canvas.  `self.paper.feed(bench.printed())` keeps the console
current; `minisim.bench.panels` draws the parts of a machine (registers, next instruction, bus, devices) for any view.
Emphasis is bold, reverse and underline only.  The picture is sent as the difference to the last one, at most ten times
a second and only if it differs, so `draw_view` may draw everything each time.  Tests call `scene.draw(Canvas(80, 22))`
and look at `canvas.text()`, or drive a whole `Show` with the library's pipe input.
"""

from minisim.screen.canvas import ASCII, DRAWN, Canvas, Marks
from minisim.screen.pane import Palette, Pane, Suggestion
from minisim.screen.paper import Paper
from minisim.screen.scene import Scene
from minisim.screen.show import Show, run_screen
from minisim.screen.spans import EMPTY, Line, Span, bold, clip, line, plain, reverse, underlined, width_of, wrap

__all__ = [
    "ASCII",
    "DRAWN",
    "EMPTY",
    "Canvas",
    "Line",
    "Marks",
    "Palette",
    "Pane",
    "Paper",
    "Scene",
    "Show",
    "Span",
    "Suggestion",
    "bold",
    "clip",
    "line",
    "plain",
    "reverse",
    "run_screen",
    "underlined",
    "width_of",
    "wrap",
]
