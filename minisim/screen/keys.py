"""Which key does what in a full-screen view; the editing of the line itself is the library's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from prompt_toolkit.filters import Condition
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.keys import Keys

if TYPE_CHECKING:
    from minisim.screen.show import Show

TOGGLE = "c-]"
NAMES = {"c-m": "enter", "c-j": "enter", "c-i": "tab", "c-h": "backspace"}
SCENE_KEYS = ("up", "down", "left", "right", "c-m", "escape", "pageup", "pagedown", "home", "end", "c-c", "c-d")


def bindings(show: Show) -> KeyBindings:
    """All of ours."""
    found = KeyBindings()
    _for_all(found, show)
    _for_guest(found, show)
    _for_line(found, show)
    _for_scene(found, show)
    return found


def _for_all(keys: KeyBindings, show: Show) -> None:
    keys.add(TOGGLE, eager=True)(lambda event: show.toggle())


def _for_guest(keys: KeyBindings, show: Show) -> None:
    """Every key but ours goes on as the terminal sent it."""
    guest = Condition(lambda: show.scene.guest)

    @keys.add(Keys.Any, filter=guest, eager=True)
    def _(event: KeyPressEvent) -> None:
        show.to_machine("".join(press.data for press in event.key_sequence))

    @keys.add(Keys.BracketedPaste, filter=guest, eager=True)
    def _(event: KeyPressEvent) -> None:
        show.to_machine(event.data.replace("\r\n", "\r").replace("\n", "\r"))


def _for_line(keys: KeyBindings, show: Show) -> None:
    """Beside what the library does to edit a line."""
    scene = show.scene
    at_line = Condition(lambda: not scene.guest and bool(scene.label))
    palette = at_line & Condition(lambda: scene.palette.open)
    pane = at_line & Condition(lambda: scene.pane is not None and not scene.palette.open)
    empty = Condition(lambda: not show.line.text)

    keys.add("c-m", filter=at_line)(lambda event: show.enter())
    keys.add("c-j", filter=at_line)(lambda event: show.enter())
    keys.add("tab", filter=at_line)(lambda event: show.tab())
    keys.add("c-p", filter=at_line)(lambda event: show.open_palette())
    keys.add("escape", filter=at_line, eager=True)(lambda event: show.escape())
    keys.add("c-c", filter=at_line)(lambda event: show.cancel())
    keys.add("c-d", filter=at_line & empty)(lambda event: show.end_of_input())
    keys.add("c-l", filter=at_line)(lambda event: event.app.renderer.clear())
    keys.add("c-x", filter=at_line, eager=True)(lambda event: None)  # no macros
    keys.add("pageup")(lambda event: show.look_back(1))
    keys.add("pagedown")(lambda event: show.look_back(-1))
    for name, step in (("up", -1), ("down", 1)):
        keys.add(name, filter=palette)(lambda event, step=step: scene.palette.move(step))
        keys.add(name, filter=pane)(lambda event, step=step: show.scroll(step))
    keys.add("s-tab", filter=palette)(lambda event: scene.palette.move(-1))


def _for_scene(keys: KeyBindings, show: Show) -> None:
    """A view without an input line takes the keys itself."""
    scene = show.scene
    no_line = Condition(lambda: not scene.guest and not scene.label)

    @keys.add(Keys.Any, filter=no_line)
    def _(event: KeyPressEvent) -> None:
        press = event.key_sequence[0]
        name = press.key.value if isinstance(press.key, Keys) else press.key
        show.scene_key(NAMES.get(name, name))
