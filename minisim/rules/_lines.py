"""Both ends of a serial line: how the board is set, how what hangs on it is set, and what nobody has stated."""

from __future__ import annotations

from dataclasses import dataclass

from minisim.catalogue.model import CableEntry
from minisim.rules._facts import known
from minisim.rules._options import listed
from minisim.wiring.model import Wired, WiredBoard, WiredCable

LOOP, LEVELS = "current-loop", "eia"
IN_THE_CATALOGUE = {"20 mA": LOOP, "EIA": LEVELS}  # its words for cables and terminals
WORDS = {LOOP: "current loop", LEVELS: "voltage levels"}
FORM = {"bits": "character length", "parity": "parity", "stop-bits": "stop bits"}
WIRING = "wiring"


@dataclass(frozen=True, slots=True)
class Ends:
    """One setting at both ends; "" where it is not stated."""

    line: str
    terminal: str

    @property
    def differ(self) -> bool:
        """Both are stated, and not alike."""
        return bool(self.line and self.terminal and self.line != self.terminal)

    @property
    def agree(self) -> bool:
        """Both are stated alike."""
        return bool(self.line) and self.line == self.terminal


def setting(board: WiredBoard, name: str) -> str:
    """A setting of the board as written; "" where the loadout does not state it."""
    one = board.placed.settings.get(name)
    return one.text if one is not None else ""


def number(text: str) -> int | None:
    """A whole decimal number, or None."""
    return int(text.rstrip(".")) if text.rstrip(".").isdigit() else None


def speeds(board: WiredBoard, one: WiredCable) -> tuple[int | None, int | None]:
    """Baud of the line and of the terminal; None where nobody states it."""
    terminal = one.end.baud if one.end.baud is not None else number(one.drive.line.get("baud", ""))
    return number(setting(board, "baud")), terminal


def form(board: WiredBoard, one: WiredCable, name: str) -> Ends:
    """Character length, parity or stop bits at both ends."""
    said = {"bits": one.end.bits, "parity": one.end.parity, "stop-bits": one.end.stop_bits}[name]
    return Ends(setting(board, name), said or one.drive.line.get(name, ""))


def wirings(board: WiredBoard, one: WiredCable) -> dict[str, str]:
    """Who says current loop and who voltage levels: line, cable, terminal as such, and as the owner has wired it."""
    said = {
        "the line": setting(board, WIRING),
        "the cable": IN_THE_CATALOGUE.get(_loop_of(one.cable), ""),
        "this kind of terminal": IN_THE_CATALOGUE.get(one.drive.line.get("loop", ""), ""),
        "the terminal": one.end.wiring,
    }
    return {who: word for who, word in said.items() if word}


def _loop_of(cable: CableEntry | None) -> str:
    return (known(cable.loop, f"wiring of {cable.id}") or "") if cable is not None else ""


def unstated(board: WiredBoard, one: WiredCable) -> list[str]:
    """What an owner could state of this line and has not, or of one end only."""
    able = board.entry.settings
    words = [word for name, word in FORM.items() if _open(form(board, one, name), name in able)]
    stated = wirings(board, one)
    loop_or_levels = WIRING in able and (len(stated) < 2 or "the line" not in stated)
    return [*words, *([WIRING] if loop_or_levels else [])]


def _open(ends: Ends, settable: bool) -> bool:
    return not (ends.line and ends.terminal) and (settable or bool(ends.line or ends.terminal))


def unstated_anywhere(wired: Wired) -> str:
    """The same of all lines of the machine, as one thing to ask for."""
    missing: dict[str, None] = {}
    places = []
    for one in wired.cables:
        board = wired.boards[one.board] if one.board is not None else None
        if board is not None and one.registers is not None and one.drive.line and (words := unstated(board, one)):
            missing |= dict.fromkeys(words)
            places.append(str(board.place) + (f" line {one.end.line}" if one.end.line else ""))
    return f"{listed(missing)} at both ends of the line of {listed(dict.fromkeys(places))}"
