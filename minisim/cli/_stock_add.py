"""Where the answers of `minisim stock add` come from: a terminal with completion, or plain lines."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from minisim.problems import printable

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.stock.adding import OwnList
    from minisim.stock.dialogue import Asker


_LONGEST = 10_000  # bytes of a line


def sitting(path: str, box: str, condition: str) -> int:
    """Ask until the input ends; 0."""
    from minisim.catalogue import Catalogue
    from minisim.stock.adding import OwnList
    from minisim.stock.dialogue import Dialogue, counted
    from minisim.stock.model import Condition

    own = OwnList(path)
    catalogue = Catalogue().beside(path)
    box = box or (own.rows[-1].box if own.rows else "")
    _say(f"{path}: {counted(own)}")
    _say('Type the number on a handle; "help" tells the rest.')
    dialogue = Dialogue(own, _asker(own, catalogue), _say, _looker(catalogue, path), box, Condition(condition))
    try:
        added = dialogue.run()
    except KeyboardInterrupt:
        added = len(dialogue.added)
        _say("")
    _say(f"{path}: {added} added, {counted(own)}")
    return 0


def _say(text: str) -> None:
    print("\n".join(printable(line) for line in text.split("\n")), flush=True)


def _looker(catalogue: Catalogue, path: str) -> Callable[[str], str]:
    """What a marking is, in one line."""
    from minisim.stock.reader import identifier
    from minisim.stock.showing import describer

    look_up, describe = identifier(catalogue, path), describer(catalogue)

    def look(text: str) -> str:
        identified = look_up(text)
        what, known = describe(identified), identified.entry
        if known is not None and known.score < 1:
            return f"{text}, read as {known.marking or known.entry} ({known.how}): {what}"
        return f"{text}: {what}" if what else f"{text}: not in the catalogue; kept as typed"

    return look


def _asker(own: OwnList, catalogue: Catalogue) -> Asker:
    if sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM", "dumb") != "dumb":
        return _terminal(own, catalogue)
    return _plain


def _plain(label: str, default: str, *, markings: bool) -> str | None:
    """A line of the input; what is no text in it is shown by a sign."""
    del markings
    print(_label(label, default), end="", flush=True)
    line = sys.stdin.buffer.readline(_LONGEST).decode("utf-8", "replace")
    if not sys.stdin.isatty():
        _say("")  # nobody pressed Enter on the screen
    return line or None


def _label(label: str, default: str) -> str:
    return f"{label} [{printable(default)}]: " if default else f"{label}: "


def _terminal(own: OwnList, catalogue: Catalogue) -> Asker:
    """Completion of markings while typing, boxes of the list, and earlier answers with the arrow keys."""
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import WordCompleter

    known = _markings(catalogue)
    session: PromptSession[str] = PromptSession(complete_while_typing=True, reserve_space_for_menu=4)

    def ask(label: str, default: str, *, markings: bool) -> str | None:
        if markings:
            words = sorted({*known, *(row.marking for row in own.rows if row.marking)})
        else:
            words = sorted({row.box for row in own.rows if row.box}) if label == "box" else []
        try:
            completer = WordCompleter(words, ignore_case=True, sentence=True)
            return session.prompt(_label(label, default), completer=completer)
        except EOFError:
            return None

    return ask


def _markings(catalogue: Catalogue) -> set[str]:
    """Every number that the catalogue knows of handles, and the names of what has none."""
    from minisim.known import Known

    found: set[str] = set()
    for kind in ("boards", "backplanes", "supplies"):
        for name in catalogue.ids(kind):
            markings = getattr(catalogue.entry(kind, name), "markings", None)
            found.update(markings.peek if isinstance(markings, Known) else ())
    return found
