"""`minisim stock add`: the questions and answers, apart from where they come from and go to."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Protocol

from minisim.problems import nearest
from minisim.stock.adding import OwnList, entry
from minisim.stock.cells import condition_of, count_in_marking, count_of
from minisim.stock.model import Condition, Row

HELP = """Type the number on the handle, then count and box; Enter takes what stands in brackets.
  3x NUMBER        the number with its count in one line
  undo, undo 3     takes the last entries back; at count or box: this one
  works, untested, unknown, incomplete, faulty
                   the condition of the last entry
  condition WORD   the condition of all that follow (now {condition})
  box NAME         the box of all that follow (now {box})
  item NAME        your name for the last entry; note TEXT and photo FILE likewise
  last             the last five entries
  done             ends; so does the end of the input. All entries are in the file already."""
_LONGEST = 500


class Asker(Protocol):
    """Where answers come from."""

    def __call__(self, label: str, default: str, *, markings: bool) -> str | None:
        """One answer; None at the end of the input."""


@dataclass(slots=True)
class Dialogue:
    """One sitting: what was added in it, and what stays the same until it is changed."""

    own: OwnList
    ask: Asker
    say: Callable[[str], None]
    look_up: Callable[[str], str]
    box: str = ""
    condition: Condition = Condition.UNTESTED
    added: list[Row] = field(default_factory=list)

    def run(self) -> int:
        """Ask until the input ends; give how many entries were added."""
        while True:
            answer = self._answer("marking", "", markings=True)
            if answer is None or answer == "done":
                return len(self.added)
            if not answer:
                self.say('  nothing typed; "done" ends, "help" tells the rest')
            elif not self._command(answer) and not self._entry(answer):
                return len(self.added)

    def _answer(self, label: str, default: str, *, markings: bool = False) -> str | None:
        answer = self.ask(label, default, markings=markings)
        if answer is None:
            return None
        return " ".join(re.sub(r"[\x00-\x1f\x7f-\x9f]", " ", answer[:_LONGEST]).split())

    # --- an entry -----------------------------------------------------------------------------------------------------

    def _entry(self, text: str) -> bool:
        """Ask for the rest of an entry and keep it; False at the end of the input."""
        marking, inside = count_in_marking(text)
        self.say(f"  {self.look_up(marking)}")
        count = inside if inside is not None else self._ask_count()
        if count is None:
            return False
        if count < 0:
            return True
        box = self._answer("box", self.box)
        if box is None:
            return False
        if box in ("undo", "back"):
            self.say("  not kept")
            return True
        self.box = "" if box == "-" else (box or self.box)
        return self._keep(entry(marking, count, self.box, self.condition))

    def _ask_count(self) -> int | None:
        """A count; -1 where the entry is taken back, None at the end of the input."""
        while True:
            answer = self._answer("count", "1")
            if answer is None:
                return None
            if answer in ("undo", "back"):
                self.say("  not kept")
                return -1
            count = count_of(answer)
            if count.part is None and (count.said is None or count.said.certain):
                return count.pieces
            self.say(f'  "{answer}" is no count: a number, or Enter for 1')

    def _keep(self, row: Row) -> bool:
        placed = self.own.add(row)
        self.added.append(placed)
        self.say(f"  kept, row {placed.number}: {spoken(placed)}")
        return True

    # --- words instead of a marking -----------------------------------------------------------------------------------

    def _command(self, answer: str) -> bool:
        """Do what a word says; False where it is none of ours."""
        word, _, rest = answer.partition(" ")
        if answer in [each.value for each in Condition]:
            self._change(condition=Condition(answer))
        elif word in ("help", "?") and not rest:
            self.say(HELP.format(condition=self.condition, box=self.box or "none"))
        elif word == "undo" and (not rest or rest.isdigit()):
            self._undo(int(rest[:6] or "1"))
        elif word == "last" and not rest:
            self._last()
        elif word == "condition" and rest:
            self._condition(rest)
        elif word == "box" and rest:
            self.box = "" if rest == "-" else rest
            self.say(f"  box {self.box or 'none'} from now on")
        elif word == "item" and any(row.item == rest for row in self.own.rows):
            self.say(f"  {rest} is the name of another piece already")
        elif word in ("item", "note", "photo") and rest:
            self._change(**{"notes" if word == "note" else word: rest})
        else:
            return False
        return True

    def _undo(self, times: int) -> None:
        for _ in range(times):
            if not self.added:
                self.say("  nothing more to take back; entries of earlier sittings stay")
                return
            row = self.added.pop()
            gone = self.own.put(row)
            self.say(f"  taken back: {spoken(row)}" if gone else f"  changed by somebody else, left: {spoken(row)}")

    def _last(self) -> None:
        for row in self.own.rows[-5:]:
            self.say(f"  row {row.number}: {spoken(row)}")
        self.say(f"  {counted(self.own)}")

    def _condition(self, text: str) -> None:
        condition, said = condition_of(text, {})
        if said is not None and not said.certain:
            words = [each.value for each in Condition]
            self.say(f"  no condition; they are {', '.join(words)}{nearest(text, words)}")
            return
        self.condition = condition
        self.say(f"  {condition} from now on")

    def _change(self, **fields: object) -> None:
        if not self.added:
            self.say("  nothing was added in this sitting yet")
            return
        row = self.added[-1]
        new = replace(row, **fields)  # type: ignore[arg-type]  # the names are those of Row
        if self.own.put(row, new):
            self.added[-1] = new
            self.say(f"  changed, row {new.number}: {spoken(new)}")
        else:
            self.say(f"  changed by somebody else, left: {spoken(row)}")


def counted(own: OwnList) -> str:
    """`2 rows, 3 pieces`."""
    rows, pieces = len(own.rows), own.pieces
    return f"{rows} row{'s' * (rows != 1)}, {pieces} piece{'s' * (pieces != 1)}"


def spoken(row: Row) -> str:
    """An entry in one line."""
    parts = [f"{row.count} {row.marking or row.what or 'without a marking'}", row.condition.value]
    parts += [f"box {row.box}" if row.box and not row.box.casefold().startswith("box") else row.box]
    parts += [f"item {row.item}" if row.item else "", row.notes]
    return ", ".join(part for part in parts if part)
