"""The line a person types into: one line of printable characters, with a history of bounded length."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable

from prompt_toolkit.buffer import Buffer
from prompt_toolkit.document import Document
from prompt_toolkit.history import History

LONGEST = 240  # characters of a line
_KEPT = 200  # lines of history


class _Recent(History):
    """The last lines, nothing on a disk."""

    def __init__(self) -> None:
        super().__init__()
        self._lines: deque[str] = deque(maxlen=_KEPT)

    def load_history_strings(self) -> Iterable[str]:
        """Newest first."""
        return reversed(self._lines)

    def store_string(self, string: str) -> None:
        """Behind the others; the oldest goes."""
        self._lines.append(string)

    def append_string(self, string: str) -> None:
        """Keep a line; the library would keep all."""
        super().append_string(string)
        del self._loaded_strings[_KEPT:]


def input_line(changed: Callable[[str], None]) -> Buffer:
    """The buffer; `changed` is told each new text."""
    buffer = Buffer(multiline=False, history=_Recent())

    def tidy(_: Buffer) -> None:
        text = tidied(buffer.text)
        if text == buffer.text:
            changed(text)
        else:
            buffer.document = Document(text, min(buffer.cursor_position, len(text)))

    buffer.on_text_changed += tidy
    return buffer


def tidied(text: str) -> str:
    """What a line may hold: pasted ends of lines become spaces, other control characters go."""
    if text.isascii() and text.isprintable() and len(text) <= LONGEST:
        return text
    spaced = " ".join(text.splitlines()) if "\n" in text or "\r" in text else text.replace("\t", " ")
    return "".join(each for each in spaced if each.isprintable())[:LONGEST]
