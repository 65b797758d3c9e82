"""What hangs on the boards: the right controller, the right cable, one speed; clocks, switches and acceptances."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from difflib import get_close_matches

from minisim.findings import Finding
from minisim.fixing.edits import HaltOff, SetAcceptance, SetCable
from minisim.fixing.repairs._framework import Changes, repair
from minisim.fixing.repairs.registers import changes, switch
from minisim.fixing.situation import Situation
from minisim.rules._framework import all_rules
from minisim.rules._lines import FORM, form
from minisim.wiring.model import WiredBoard, WiredCable

BEYOND = {
    "drive-on-wrong-controller": "the drive needs its controller",
    "cable-chain-open": "the chain needs the cable or panel that is missing",
    "cable-does-not-fit": "the catalogue knows no cable for the two ends",
    "too-many-units": "the drive needs a free unit of a controller",
    "line-clock-missing-or-doubled": "the machine needs a line clock, or a box that gives the signal",
    "console-speed-mismatch": "line and terminal have no speed and no wiring in common",
    "no-medium-to-boot-from": "write drive and medium under cables, or fit a ROM for another device",
}


def _numbered(situation: Situation, place: str) -> list[tuple[int, WiredCable]]:
    """The cables that leave a board, with their numbers in the file."""
    wired = situation.wired
    leaving = [(number, one) for number, one in enumerate(wired.cables) if one.board is not None]
    return [(number, one) for number, one in leaving if str(wired.boards[one.board or 0].place) == place]


def _set(number: int, cable: WiredCable, key: str, value: str, was: str = "") -> SetCable:
    return SetCable(number, f"the cable from {cable.end.board} to {cable.end.to}", key, value, was)


@repair("drive-on-wrong-controller", "too-many-units")
def another_controller(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The cable into a board that has the controller of the drive; a unit number that is free."""
    wired = situation.wired
    for number, cable in _numbered(situation, finding.place):
        if finding.slug == "too-many-units":
            yield from (
                (_set(number, cable, "unit", str(unit), _text(cable.end.unit)),) for unit in _free(situation, finding)
            )
        device = cable.drive.controller or cable.drive.line_device
        for board in wired.boards:
            if any(one.device == device for one in board.entry.registers) and str(board.place) != finding.place:
                yield (_set(number, cable, "from", str(board.place)),)


def _text(number: int | None) -> str:
    return "" if number is None else str(number)


def _free(situation: Situation, finding: Finding) -> Iterable[int]:
    """Unit numbers that no cable of the board has."""
    used = {cable.end.unit or 0 for _, cable in _numbered(situation, finding.place)}
    return [unit for unit in range(8) if unit not in used]


@repair("cable-does-not-fit", "console-speed-mismatch")
def another_cable(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The kind of cable that fits both ends."""
    catalogue = situation.source.catalogue
    for number, cable in _numbered(situation, finding.place):
        kinds = (
            [*cable.drive.cables, *catalogue.ids("cables")]
            if finding.slug == "console-speed-mismatch"
            else cable.drive.cables
        )
        for kind in dict.fromkeys(kinds):
            if kind in catalogue.ids("cables") and kind != cable.end.cable:
                yield (_set(number, cable, "cable", kind, cable.end.cable or ""),)


@repair("console-speed-mismatch")
def one_speed(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The line at the speed of the terminal, or the terminal at that of the line; the wiring of the other end."""
    board = situation.board(finding.place)
    if board is None:
        return
    baud = board.placed.settings.get("baud")
    for number, cable in _numbered(situation, finding.place):
        speeds = [cable.end.baud, _number(cable.drive.line.get("baud", ""))]
        for speed in dict.fromkeys(speed for speed in speeds if speed):
            yield changes(switch(board, "baud", str(speed)))
            end = _set(number, cable, "baud", str(speed), _text(cable.end.baud))
            yield changes(switch(board, "baud", str(speed)), end if speed != cable.end.baud else None)
        if baud is not None and cable.end.baud is not None:
            yield (_set(number, cable, "baud", baud.text, str(cable.end.baud)),)
    yield from _common_speeds(board, _numbered(situation, finding.place))


def _common_speeds(board: WiredBoard, cables: Iterable[tuple[int, WiredCable]]) -> Iterator[Changes]:
    """Both ends at a speed that is neither's now."""
    for number, cable in cables:
        for speed in _SPEEDS if cable.end.baud is not None else ():
            yield changes(switch(board, "baud", speed), _set(number, cable, "baud", speed, _text(cable.end.baud)))


@repair("speed-not-of-the-crystal")
def speed_of_the_crystal(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """A speed that the crystal gives, at the line or both ends, first what terminals have; or another crystal."""
    board = situation.board(finding.place)
    if board is None:
        return
    given = [word for word in finding.limit.replace(",", " ").split() if word.isdigit()]
    for speed in sorted(given, key=lambda one: (one not in _USUAL, -int(one))):
        ends = [
            _set(number, cable, "baud", speed, str(cable.end.baud))
            for number, cable in _numbered(situation, finding.place)
            if cable.end.baud is not None and str(cable.end.baud) != speed
        ]
        yield changes(switch(board, "baud", speed), *ends)
    for crystal in board.entry.settings["crystal"].values if "crystal" in board.entry.settings else ():
        yield changes(switch(board, "crystal", crystal))


_USUAL = frozenset({"110", "150", "300", "600", "1200", "2400", "4800", "9600"})
_SPEEDS = ("9600", "1200", "300")  # that most lines and terminals have


@repair("console-speed-mismatch")
def one_form(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """Bits, parity, stop bits of the line as those of the terminal, or the reverse; wiring and loop of either end."""
    board = situation.board(finding.place)
    if board is None:
        return
    for number, cable in _numbered(situation, finding.place):
        ends = {name: form(board, cable, name) for name in FORM}
        differing = {name: one for name, one in ends.items() if one.differ}
        yield changes(*(switch(board, name, one.terminal) for name, one in differing.items()))
        yield tuple(_set(number, cable, name, one.line, one.terminal) for name, one in differing.items())
        for name in ("wiring", "loop"):
            for value in board.entry.settings[name].values if name in board.entry.settings else ():
                yield changes(switch(board, name, value))
                yield (_set(number, cable, name, value),)


def _number(text: str) -> int | None:
    return int(text) if text.isdigit() else None


@repair("line-clock-missing-or-doubled")
def one_clock(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The clock of a board or of the processor on, or the second one off."""
    for board in situation.wired.boards:
        for name in ("event-line", "clock"):
            setting = board.entry.settings.get(name)
            for value in setting.values if setting is not None and setting.kind == "list" else ():
                yield changes(switch(board, name, value))


@repair("halt-switch-on")
def halt_off(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The halt switch off."""
    yield (HaltOff(),)


@repair("acceptance-without-finding")
def acceptance(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The rule spelt as it is; the place where the rule has its finding; else the entry out."""
    names = [name for one in all_rules() for name in (one.id, one.slug)]
    for number, one in enumerate(situation.wired.loadout.accept):
        if one.rule not in finding.found or one.at != finding.place:
            continue
        if one.rule not in names:
            yield from (
                (SetAcceptance(number, one.rule, one.at, "rule", name),)
                for name in get_close_matches(one.rule, names, n=1)
            )
        places = [f.place for f in situation.report.findings if one.rule in (f.rule, f.slug) and not f.accepted]
        yield from ((SetAcceptance(number, one.rule, one.at, "at", place),) for place in places)
        yield (SetAcceptance(number, one.rule, one.at),)
