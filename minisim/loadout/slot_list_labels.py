"""Lines about the machine as a whole: headings, `Backplane: ...`, `Supply: ...`, `Name: ...`, prose with facts."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from minisim.loadout import slot_list_words as words
from minisim.loadout.fields import METRES, WORD, FieldError, listed
from minisim.loadout.slot_list import Kind, Reading, Sure
from minisim.loadout.slot_list_numbers import Found

if TYPE_CHECKING:
    from minisim.loadout.slot_list_reader import _Reader

_NAME_OK = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,39}\Z")
_UNKNOWN = re.compile(r"^(?:not known|unknown|\?+|don't know|no idea)", re.I)
_WIRES = re.compile(r"([0-9]{1,2}(?:\s*-\s*[0-9]{1,2})?)\s*[:=]?\s*(in|out)\b", re.I)
_JOINT = re.compile(r"\b([0-9]+(?:\.[0-9]+)?)\s*m\b")
_HALT = re.compile(r"\bhalt switch\b\s*(?:is|:|=)?\s*(on|off|up|down|in halt|set to halt)?", re.I)
_REGISTER = re.compile(r"\bswitch register\b\s*(?:is|at|:|=)?\s*([0-7]{1,6})\b", re.I)
_SUPPLY_WORD = re.compile(r"\b(?:supply|psu|power)\b", re.I)


class Labels:
    """Takes headings and labelled facts, and the facts in prose."""

    def __init__(self, reader: _Reader) -> None:
        self.reader = reader
        self.open: tuple[Reading, str] | None = None  # the labelled line above, and its value so far

    def take(self, reading: Reading) -> bool:
        """A heading or a labelled line; False where it is neither."""
        return self._heading(reading) or self._label(reading)

    def more(self, reading: Reading) -> bool:
        """A line further in than the labelled line above goes on with its text."""
        above, self.open = self.open, None
        if above is None or reading.line.indent <= above[0].line.indent:
            return False
        first, value = above
        whole = f"{value} {reading.line.text}"
        reading.kind = Kind.MORE
        reading.said.append(f"goes on with line {first.line.number}")
        _GOES_ON.get(_label_of(first), Labels._nothing)(self, whole)
        self.open = first, whole
        return True

    def _nothing(self, _whole: str) -> None:
        """A label whose further lines say nothing new."""

    def _name_on(self, whole: str) -> None:
        self.reader.list.name = whole

    def _note_on(self, whole: str) -> None:
        self.reader.list.notes[-1] = whole

    def _modified_on(self, whole: str) -> None:
        self.reader.list.modifications[-1] = whole

    def _wires_on(self, whole: str) -> None:
        self.reader.unit.wires.update(_wire_states(whole))

    # ---- headings

    def _heading(self, reading: Reading) -> bool:
        text = reading.line.text
        match = words.HEADING.match(text)
        if not match or not self._is_heading(match):
            return False
        noun = match["noun"].lower().replace(" ", "")
        name = self._name(match)
        line = reading.line.number
        reading.kind = Kind.HEADING
        if noun in words.BOX_NOUNS:
            name = self.reader.start_box(name or "box", line)
            reading.said.append(f"box {name}")
        else:
            name = self.reader.start_unit(name or "b", line)
            reading.said.append(f"backplane {self.reader.box.id}/{name}")
        self.reader.columns, self.reader.table = [], False
        self.reader.open_slot = self.reader.last = None
        self._facts_of(reading, match["rest"])
        return True

    def _is_heading(self, match: re.Match[str]) -> bool:
        name, rest = match["name"] or "", match["rest"].strip()
        if name and not self._is_name(name):
            return False
        if not (match["adjective"] or name):
            return not rest or rest in (":", "-")
        if re.match(r"^[:,(\[=-]|$|\]?$", rest) and (rest[:1] in (":", "(", "[", "=", "-", ",") or not rest):
            return True
        return rest.endswith(":")

    def _is_name(self, name: str) -> bool:
        found = self.reader.numbers.found_in(name)
        if found and found[0].identified.candidates:
            return False
        return bool(re.fullmatch(r"[0-9]{1,2}|[A-Za-z]|[A-Za-z][\w.-]*", name)) and name.lower() not in (
            "is", "has", "was", "with", "in", "of", "and", "came", "the", "to", "for", "on", "facts", "numbers"
        )  # fmt: skip

    @staticmethod
    def _name(match: re.Match[str]) -> str:
        name = match["name"] or (match["adjective"] or "").lower()
        return name if _NAME_OK.match(name) else ""

    def _facts_of(self, reading: Reading, text: str) -> None:
        """Backplane and supply named in a heading or in prose."""
        for found in self.reader.numbers.found_in(text):
            self._thing(reading, found, text)
        self._geometry(reading, text)

    # ---- labelled lines

    def _label(self, reading: Reading) -> bool:
        match = words.LABEL.match(reading.line.text)
        if not match:
            return False
        label = match["label"].lower().replace(" ", "-")
        take = _LABELS.get(label)
        if take is None or not (match["mark"] or label in _WITHOUT_MARK):
            return False
        value = match["value"].strip()
        taken = take(self, reading, value)
        self.open = (reading, value) if taken and value else None
        return taken

    def _fact(self, reading: Reading, said: str) -> bool:
        reading.kind = Kind.FACT
        reading.said.append(said)
        return True

    def _backplane(self, reading: Reading, value: str) -> bool:
        found = [one for one in self.reader.numbers.found_in(value) if one.of("backplanes")]
        if found:
            self._facts_of(reading, value)
            return True
        self._geometry(reading, value)
        if reading.kind is Kind.FACT:
            return True
        if _UNKNOWN.match(value):
            return self._fact(reading, "the backplane is not known")
        if reading.line.text.lower().startswith("backplane:") or ":" in reading.line.text[:12]:
            if not value:
                return False
            self.reader.list.notes.append(reading.line.text)
            reading.kind = Kind.UNKNOWN
            reading.said.append("no backplane of the catalogue has this number; it stays in the notes")
            return True
        return False

    def _supply(self, reading: Reading, value: str) -> bool:
        found = [one for one in self.reader.numbers.found_in(value) if one.of("supplies")]
        if found:
            for one in found[:1]:
                self._thing(reading, one, f"supply {value}")
            return True
        if _UNKNOWN.match(value):
            self.reader.box.supply_unknown = True
            return self._fact(reading, f"the supply of box {self.reader.box.id} is not known")
        if not value:
            return False
        reading.kind = Kind.UNKNOWN
        self.reader.list.notes.append(reading.line.text)
        reading.said.append("no supply of the catalogue has this number; it stays in the notes")
        return True

    def _machine_name(self, reading: Reading, value: str) -> bool:
        if not value:
            return False
        self.reader.list.name = value
        return self._fact(reading, f'the machine is called "{value}"')

    def _state(self, reading: Reading, value: str) -> bool:
        if words.AS_FOUND.search(value):
            self.reader.list.state = "as-found"
        elif words.PLANNED.search(value):
            self.reader.list.state = "planned"
        else:
            return False
        return self._fact(reading, f"state {self.reader.list.state}")

    def _notes(self, reading: Reading, value: str) -> bool:
        if value:
            self.reader.list.notes.append(value)
            reading.said.append("a note")
        return True

    def _modified(self, reading: Reading, value: str) -> bool:
        if not value:
            return False
        self.reader.list.modifications.append(value)
        return self._fact(reading, f"modified: {value}")

    def _joined(self, reading: Reading, value: str) -> bool:
        cable = next((one for found in self.reader.numbers.found_in(value) for one in found.of("cables")), None)
        if cable is None:
            return False
        joint = {"cable": cable.entry}
        if length := _JOINT.search(value):
            joint["length-m"] = METRES.show(METRES.read(length[1]))
        if re.search(r"\bnot (?:connected|plugged in)\b|\bunplugged\b", value, re.I):
            joint["connected"] = "no"
        self.reader.unit.joint = joint
        return self._fact(reading, f"joined to the backplane before it by {cable.entry}")

    def _wires(self, reading: Reading, value: str) -> bool:
        wires = _wire_states(value)
        if not wires:
            return False
        self.reader.unit.wires.update(wires)
        return self._fact(
            reading, f"DMA-grant wires: {', '.join(f'{slots} {state}' for slots, state in wires.items())}"
        )

    def _remark(self, reading: Reading, _value: str) -> bool:
        """Lines that `write-text` makes from the facts themselves."""
        reading.kind = Kind.REMARK
        return True

    def _switches(self, reading: Reading, _value: str) -> bool:
        return self._panel(reading)

    def _panel(self, reading: Reading) -> bool:
        text = reading.line.text
        register, halt = _REGISTER.search(text), _HALT.search(text)
        if register:
            try:
                self.reader.list.register = WORD.show(WORD.read(register[1]))
                self._fact(reading, f"switch register {self.reader.list.register}")
            except FieldError as error:
                reading.said.append(f"not taken: switch register {register[1]}: {error}")
        if halt and halt[1]:
            self.reader.list.halt = halt[1].lower() not in ("off", "up")
            self._fact(reading, f"halt switch {'on' if self.reader.list.halt else 'off'}")
        return reading.kind is Kind.FACT

    # ---- prose

    def take_prose(self, reading: Reading) -> bool:
        """Facts in a sentence: a backplane, a supply, "the rest is empty", a modification."""
        text = reading.line.text
        if words.REST_EMPTY.search(text):
            self.reader.unit.rest_empty = True
            self._fact(reading, "all slots that are not in the list are empty")
        for found in self.reader.numbers.found_in(text):
            self._thing(reading, found, text)
        self._geometry(reading, text)
        self._panel(reading)
        modified = re.search(r"\b(?:modified|modification)\s*:\s*(.+)$", text, re.I)
        if modified:
            self._modified(reading, modified[1].strip())
        return reading.kind is Kind.FACT

    def _thing(self, reading: Reading, found: Found, text: str) -> None:
        """A backplane or a supply by its number."""
        if found.of("boards"):
            return
        names = {one.entry for one in found.of("backplanes")}
        if len(names) == 1 and not (found.of("supplies") and _SUPPLY_WORD.search(text)):
            self._named_backplane(reading, names.pop(), found)
            return
        if names and not found.of("supplies"):
            self.reader.unit.may_be = tuple(sorted(names))
            self._fact(reading, f"{found.text} may be {listed(self.reader.unit.may_be)}")
            return
        names = {one.entry for one in found.of("supplies")}
        if len(names) == 1:
            self.reader.box.supply = names.pop()
            self._fact(reading, f"supply of box {self.reader.box.id}: {found.text}, {self.reader.box.supply}")
        elif names:
            self.reader.box.may_be = tuple(sorted(names))
            self._fact(reading, f"{found.text} may be {listed(self.reader.box.may_be)}")

    def _named_backplane(self, reading: Reading, name: str, found: Found) -> None:
        unit = self.reader.unit
        if unit.backplane and unit.backplane != name:
            reading.said.append(f"{found.text} is not taken: line {unit.backplane_line} names {unit.backplane}")
            self._fact(reading, "two backplanes are named")
            return
        unit.backplane, unit.backplane_line = name, reading.line.number
        if found.identified.candidates[0].score < 1:
            reading.sure = Sure.LIKELY
            reading.said.append(f"{found.text}: {found.identified.candidates[0].how}")
        self._fact(reading, f"backplane {unit.name}: {found.text}, {name}")

    def _geometry(self, reading: Reading, text: str) -> None:
        """`nine-slot backplane`, `22-bit backplane` narrow the choice."""
        unit = self.reader.unit
        slots = words.SLOTS_SAID.search(text if "backplane" in text.lower() else f"backplane {text}")
        if slots and re.search(r"backplane|box|cage|chassis", reading.line.text, re.I):
            word = (slots[1] or slots[2]).lower()
            unit.slots_said = words.COUNTS.get(word) or int(word)
            self._fact(reading, f"backplane {unit.name}: {unit.slots_said} slots")
        bits = words.BITS_SAID.search(reading.line.text)
        if bits:
            unit.bits_said = int(bits[1] or bits[2])
            self._fact(reading, f"backplane {unit.name}: {unit.bits_said} address bits")


def _wire_states(text: str) -> dict[str, str]:
    return {re.sub(r"\s", "", slots): state.lower() for slots, state in _WIRES.findall(text)}


def _label_of(reading: Reading) -> str:
    match = words.LABEL.match(reading.line.text)
    return match["label"].lower().replace(" ", "-") if match else ""


_WITHOUT_MARK = (
    "backplane",
    "supply",
    "power-supply",
    "psu",
    "joined-by",
    "halt-switch",
    "switch-register",
    "dma-grant-wires",
)
_LABELS = {
    "name": Labels._machine_name,
    "machine": Labels._machine_name,
    "state": Labels._state,
    "note": Labels._notes,
    "notes": Labels._notes,
    "remark": Labels._notes,
    "remarks": Labels._notes,
    "backplane": Labels._backplane,
    "supply": Labels._supply,
    "power-supply": Labels._supply,
    "psu": Labels._supply,
    "modified": Labels._modified,
    "modification": Labels._modified,
    "modifications": Labels._modified,
    "joined-by": Labels._joined,
    "dma-grant-wire": Labels._wires,
    "dma-grant-wires": Labels._wires,
    "halt-switch": Labels._switches,
    "switch-register": Labels._switches,
    "switches": Labels._switches,
    "grant": Labels._remark,
    "grants": Labels._remark,
    "memory": Labels._remark,
    "not-in-this-text": Labels._remark,
}
_GOES_ON = {
    "name": Labels._name_on,
    "machine": Labels._name_on,
    "note": Labels._note_on,
    "notes": Labels._note_on,
    "remark": Labels._note_on,
    "remarks": Labels._note_on,
    "modified": Labels._modified_on,
    "modification": Labels._modified_on,
    "modifications": Labels._modified_on,
    "dma-grant-wire": Labels._wires_on,
    "dma-grant-wires": Labels._wires_on,
}
