"""The drawing of a board's switch packs, where the catalogue knows which switch makes which setting.

A table, not the look of the pack: which end is switch 1 and which way is ON has to be read on the pack.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from minisim.catalogue.model import SettingEntry, SwitchesEntry
from minisim.known import Known
from minisim.loadout.model import Setting
from minisim.sheet.blocks import Drawing
from minisim.sheet.drawing import svg
from minisim.sheet.drawing.content import marking
from minisim.sheet.drawing.plain import folded
from minisim.sheet.drawing.svg import Said, fitted, height_of
from minisim.sheet.messages import say
from minisim.sheet.numbers import how_sure
from minisim.wiring.model import Wired, WiredBoard

_EDGE = 10
_FIRST, _MOST_PITCH = 170, 100
_ROW, _SWITCH = 26, 84
_PACK = 40 + _SWITCH + 4 * _ROW + 14  # height of one pack with its table


@dataclass(frozen=True, slots=True)
class _Switch:
    """One switch: its number, the setting it makes, and how it stands as far as known."""

    number: int
    setting: str
    position: str  # open | closed | unknown
    bit: int | None
    value: str  # of the setting (one switch), or 0 and 1 (one bit); "": not stated in the loadout

    @property
    def weight(self) -> str:
        """The value of its bit, in octal."""
        return "" if self.bit is None else f"{1 << self.bit:06o}"


def switch_drawing(wired: Wired, board: int) -> Drawing | None:
    """The packs of one board (index into `wired.boards`); None where the catalogue knows none."""
    one = wired.boards[board]
    packs = _packs(one)
    if not packs:
        return None
    caption = say("drawing-switches-caption", place=str(one.place), marking=marking(one))
    described = " ".join(text for pack, switches in packs.items() for text in _sentences(pack, switches))
    said = [*_evidence(one), *_unknowns(packs)]
    head, foot = fitted([Said(caption, 18, bold=True)]), fitted(map(Said, said))
    height = 2 * _EDGE + height_of(head) + len(packs) * _PACK + height_of(foot)
    picture = svg.picture(height, caption, described)
    y = svg.write(picture, _EDGE, _EDGE, head)
    for pack, switches in packs.items():
        _pack(picture, pack, switches, y)
        y += _PACK
    svg.write(picture, _EDGE, y, foot)
    lines = [line for pack, switches in packs.items() for line in _lines(pack, switches)]
    lines += [line for text in said for line in folded(text)]
    id_ = f"switches-{str(one.place).replace('/', '-')}"
    return Drawing(id_, caption, svg.as_text(picture), described, tuple(lines))


# ---- what the catalogue and the loadout say


def _packs(board: WiredBoard) -> dict[str, tuple[_Switch, ...]]:
    """Pack -> its switches by rising number."""
    found: dict[str, list[_Switch]] = {}
    for entry in board.entry.settings.values():
        if entry.switches is not None:
            written = board.placed.settings.get(entry.name)
            found.setdefault(entry.switches.pack, []).extend(_switches(entry, entry.switches, written))
    return {pack: tuple(sorted(one, key=lambda switch: switch.number)) for pack, one in found.items()}


def _switches(entry: SettingEntry, made_by: SwitchesEntry, written: Setting | None) -> Iterator[_Switch]:
    numbers = made_by.numbers.peek if isinstance(made_by.numbers, Known) else ()
    for at, number in enumerate(numbers):
        bit = made_by.bits[at] if made_by.bits else None
        value = _value(written, bit)
        yield _Switch(number, entry.name, _position(made_by, value), bit, value)


def _value(written: Setting | None, bit: int | None) -> str:
    """What one switch has to say: the whole setting, or its bit of the word."""
    if written is None:
        return ""
    if bit is None:
        return str(written.value)
    return str(written.value >> bit & 1) if isinstance(written.value, int) else ""


def _position(made_by: SwitchesEntry, value: str) -> str:
    known = {made_by.open: "open", made_by.closed: "closed"}
    return known.get(value, "unknown") if value else "unknown"


# ---- words


def _sentences(pack: str, switches: tuple[_Switch, ...]) -> Iterator[str]:
    for switch in switches:
        yield say(
            "drawing-switch",
            name=f"{pack}-{switch.number}",
            position=switch.position,
            meaning=_meaning(switch),
        )


def _meaning(switch: _Switch) -> str:
    value = switch.value or say("drawing-switch-not-stated")
    if switch.bit is None:
        return say("drawing-switch-setting", setting=switch.setting, value=value)
    return say("drawing-switch-bit", setting=switch.setting, bit=str(switch.bit), weight=switch.weight, value=value)


def _evidence(board: WiredBoard) -> Iterator[str]:
    """How sure it is which switch makes which setting."""
    for entry in board.entry.settings.values():
        if entry.switches is not None and isinstance(entry.switches.numbers, Known):
            figure = entry.switches.numbers
            sources = f" ({', '.join(figure.sources)})" if figure.sources else ""
            yield say("drawing-switches-sure", setting=entry.name, sure=how_sure(figure), sources=sources)


def _unknowns(packs: dict[str, tuple[_Switch, ...]]) -> Iterator[str]:
    yield say("drawing-switches-ends")
    if any(switch.position == "unknown" and switch.value for switches in packs.values() for switch in switches):
        yield say("drawing-switches-polarity")
    yield say("drawing-switches-closed")


def _lines(pack: str, switches: tuple[_Switch, ...]) -> Iterator[str]:
    for text in _sentences(pack, switches):
        yield from folded(text, "", "    ")


# ---- picture


def _pack(picture: svg.Element, pack: str, switches: tuple[_Switch, ...], top: float) -> None:
    group = svg.group(picture, pack=pack)
    svg.words(group, _EDGE, top + 30, pack, 22, bold=True)
    pitch = min((svg.WIDTH - _FIRST - _EDGE) / len(switches), _MOST_PITCH)
    heads = ("drawing-switches-head-bit", "drawing-switches-head-weight", "drawing-switches-head-value")
    for at, position in enumerate(("closed", "open")):
        svg.words(group, _EDGE, top + 62 + at * _SWITCH / 2, say(f"drawing-switches-{position}-head"), 14, bold=True)
    for at, key in enumerate(heads):
        svg.words(group, _EDGE, top + 36 + _SWITCH + (at + 1) * _ROW, say(key), 14)
    for at, switch in enumerate(switches):
        _switch(group, switch, _FIRST + (at + 0.5) * pitch, top)
    for setting, middle, width in _spans(switches, pitch):
        y = top + 36 + _SWITCH + 4 * _ROW
        svg.line(group, [(middle - width / 2, y - 16), (middle + width / 2, y - 16)], weight=svg.PLAIN)
        for line, text in enumerate(svg.folded(setting, width + 8, 12)[:2]):
            svg.words(group, middle, y - 2 + 13 * line, text, 12, bold=True, anchor="middle")


def _spans(switches: tuple[_Switch, ...], pitch: float) -> Iterator[tuple[str, float, float]]:
    """Setting, middle and width of each run of switches that make one setting."""
    for setting in dict.fromkeys(switch.setting for switch in switches):
        places = [at for at, switch in enumerate(switches) if switch.setting == setting]
        left, right = _FIRST + places[0] * pitch + 4, _FIRST + (places[-1] + 1) * pitch - 4
        yield setting, (left + right) / 2, right - left


def _switch(parent: svg.Element, switch: _Switch, x: float, top: float) -> None:
    group = svg.group(parent, switch=switch.number, position=switch.position)
    svg.words(group, x, top + 30, str(switch.number), 20, bold=True, anchor="middle")
    y, half = top + 36, _SWITCH / 2
    svg.rectangle(group, x - 20, y, 40, _SWITCH, weight=3)
    if switch.position == "unknown":
        svg.words(group, x, y + half + 9, "?", 26, bold=True, anchor="middle")
    else:
        down = 0 if switch.position == "closed" else half
        svg.rectangle(group, x - 15, y + 5 + down, 30, half - 10, fill="black")
    rows = ("" if switch.bit is None else str(switch.bit), switch.weight, switch.value or "?")
    for at, text in enumerate(rows):
        if text:
            svg.words(group, x, top + 36 + _SWITCH + (at + 1) * _ROW, text, 14, bold=at == 2, anchor="middle")
