"""Read a slot list: line by line, nothing dropped.  `slot_list_assembly` puts together what the lines say."""

from __future__ import annotations

import re

from minisim.catalogue.reader import Catalogue
from minisim.loadout import slot_list_words as words
from minisim.loadout.slot_list import BoxText, Entry, Kind, Reading, SlotList, Sure, TextLine, UnitText
from minisim.loadout.slot_list_boards import Boards, letters
from minisim.loadout.slot_list_labels import Labels
from minisim.loadout.slot_list_lines import clean_lines, decode
from minisim.loadout.slot_list_numbers import Numbers
from minisim.loadout.slot_list_places import PlaceWords, bare, place_at_start, place_inside, rows_at_start, several

_SIGNATURE_LINES = 10
_FURTHER_IN = 4  # columns; less may be the numbers of a list set flush right


def read_slot_list(data: bytes, file: str, catalogue: Catalogue) -> SlotList:
    """The slot list in the bytes of a mail.  InputError only where it is far too long or no text at all."""
    text, note = decode(data, file)
    reader = _Reader(SlotList(file, encoding_note=note), catalogue)
    lines = clean_lines(text, file)
    for number, line in enumerate(lines):
        reader.line(line, left=len(lines) - number)
    reader.finish()
    return reader.list


class _Reader:
    """The state between lines."""

    def __init__(self, slot_list: SlotList, catalogue: Catalogue) -> None:
        self.list = slot_list
        self.numbers = Numbers(catalogue)
        self.boards = Boards(self.numbers)
        self.labels = Labels(self)
        self.columns: list[tuple[int, str]] = []
        self.table = False  # a header "Slot ..." was seen: a number at the start of a line is a slot
        self.open_slot: PlaceWords | None = None  # "Slot 2:" alone; lines with rows follow
        self.last: Reading | None = None  # the reading that a line of more text belongs to
        self.signature = False
        self.previous_slot = 0  # slot of the line just above
        self.box = self._new_box("main", 0)
        self.unit = self._new_unit("a", 0)

    # ---- boxes and units

    def _new_box(self, name: str, line: int) -> BoxText:
        box = BoxText(name, line)
        self.list.boxes.append(box)
        return box

    def _new_unit(self, name: str, line: int) -> UnitText:
        unit = UnitText(self.box.id, name, line)
        self.list.units.append(unit)
        return unit

    def start_box(self, name: str, line: int) -> str:
        """A heading that begins a box; the first box gets the name of the first heading."""
        untouched = not self.box.line and not self.box.supply and not self.list.units_of(self.box.id)[-1].entries
        if untouched and len(self.list.boxes) == 1 and not self.unit.backplane:
            self.box.id = self.unit.box = name
            self.box.line = line
            return name
        self.box = self._new_box(self._free(name, [box.id for box in self.list.boxes]), line)
        self.unit = self._new_unit("a", line)
        return self.box.id

    def start_unit(self, name: str, line: int, *, guessed: bool = False) -> str:
        """A heading that begins a backplane."""
        if not self.unit.entries and not self.unit.backplane and not guessed and self.unit.line in (0, self.box.line):
            self.unit.id, self.unit.line = name, line
            return name
        taken = [unit.id for unit in self.list.units_of(self.box.id)]
        self.unit = self._new_unit(self._free(name, taken), line)
        self.unit.guessed = guessed
        return self.unit.id

    @staticmethod
    def _free(name: str, taken: list[str]) -> str:
        if name not in taken:
            return name
        return next(f"{name[:36]}-{number}" for number in range(2, 3000) if f"{name[:36]}-{number}" not in taken)

    # ---- one line

    def line(self, line: TextLine, *, left: int) -> None:
        """Take one line for what it is."""
        if not line.text:
            self.last = self.labels.open = None
            if line.raw.strip(" >\t\xa0"):  # nothing but marks a terminal can't show
                self._add(Reading(line, Kind.REMARK))
            return
        reading = Reading(line, Kind.REMARK)
        self._add(reading)
        if self.labels.more(reading):
            return
        if self._around_the_list(reading, left) or self._header(reading):
            self.last = None
            return
        ways = (self._slot, self._rows_of_open_slot, self._more, self.labels.take, self._inside, self.labels.take_prose)
        if not any(way(reading) for way in ways):
            self._leftover(reading)

    def _add(self, reading: Reading) -> None:
        self.list.readings.append(reading)

    def _around_the_list(self, reading: Reading, left: int) -> bool:
        """Heads of a mail, "X wrote:", the signature."""
        text = reading.line.text
        if text == "--" and left <= _SIGNATURE_LINES and self.list.units[0].entries and not self.open_slot:
            self.signature = True
        if self.signature or words.WROTE.search(text):
            return True
        if not words.MAIL.match(text):
            return False
        subject = words.SUBJECT.match(text)
        if subject and not self.list.name:
            self.list.name = subject[1].strip()
            reading.said.append(f'the machine is called "{self.list.name}"')
        return True

    def _header(self, reading: Reading) -> bool:
        line = reading.line
        label = words.LABEL.match(line.text)
        if label and label["mark"]:
            return False
        if words.RULER.match(line.text):
            reading.kind = Kind.HEADER
            return True
        columns = words.row_columns(line.text)
        if columns or words.is_header(line.text):
            self.columns = [(start + line.indent, rows) for start, rows in columns]
            self.table = True
            reading.kind = Kind.HEADER
            if columns:
                reading.said.append(f"columns for the rows {', '.join(rows for _, rows in columns)}")
            return True
        return False

    # ---- slots

    def _slot(self, reading: Reading) -> bool:
        text = reading.line.text.strip("| \t") if reading.line.text.startswith("|") else reading.line.text
        if self._several(reading, text):
            return True
        place = place_at_start(text)
        if place is None or self._far_in(reading, text) or not self._believed(place, reading):
            return False
        self._restart(place, reading)
        self._place(reading, place)
        return True

    def _believed(self, place: PlaceWords, reading: Reading) -> bool:
        """Is a line that begins with a bare number a slot?"""
        if place.explicit or self.table or words.EMPTY.match(place.rest) or not place.rest:
            return True
        if self.numbers.found_in(place.rest, first_bare=True) or "\t" in reading.line.text or "|" in reading.line.text:
            return True
        if words.BOARD_WORD.search(place.rest):
            reading.sure = Sure.LIKELY
            return True
        reading.sure = Sure.GUESS
        return self.last is not None and self.last.kind in (Kind.SLOT, Kind.EMPTY) and (
            self.previous_slot < place.slots[0] <= self.previous_slot + 2
        )  # fmt: skip

    def _several(self, reading: Reading, text: str) -> bool:
        """`1: M0000, 2: M0000` on one line."""
        parts = [(place_at_start(part), part) for part in several(text)]
        places = [place for place, part in parts if place and self._is_board_or_empty(place.rest)]
        if len(places) < 2 or len(places) < len(parts):
            return False
        for place in places:
            self._restart(place, reading)
            self._place(reading, place)
        reading.place = ", ".join(shown(place) for place in places)
        return True

    def _is_board_or_empty(self, text: str) -> bool:
        return bool(self.numbers.found_in(text, first_bare=True) or words.EMPTY.match(text))

    def _far_in(self, reading: Reading, text: str) -> bool:
        """Much further in than the slot line above: more of that line, though it begins with a number."""
        last = self.last
        return (
            last is not None and last.kind is Kind.SLOT and self.open_slot is None
            and reading.line.indent > last.line.indent + _FURTHER_IN and not text.lower().startswith("slot")
        )  # fmt: skip

    def _restart(self, place: PlaceWords, reading: Reading) -> None:
        """Numbers that begin again without a heading: another backplane, most likely."""
        seen = self.unit.entries
        first = place.slots[0]
        if seen and first == seen[0].slots[0] < seen[-1].slots[-1] and first <= 1:
            name = self.start_unit(_next_name(self.unit.id), reading.line.number, guessed=True)
            reading.said.append(f"slot {first} again: taken for another backplane, {self.box.id}/{name}")

    def _place(self, reading: Reading, place: PlaceWords) -> None:
        reading.place = shown(place)
        self.previous_slot = place.slots[-1]
        self.last = reading
        self.open_slot = place if not place.rest and not place.rows else None
        if self.open_slot is not None:
            reading.kind = Kind.SLOT
            reading.entries.append(Entry(reading.line.number, place.slots, side=place.side))
            self.unit.entries += reading.entries
            reading.said.append("nothing is written behind it")
            return
        if (
            self.columns
            and not place.rows
            and not place.side
            and len(place.slots) == 1
            and self._columns(reading, place)
        ):
            return
        self._add_entries(reading, self.boards.entries(reading, place.slots, place.rows, place.side, place.rest))
        if place.open_end:
            self.unit.rest_empty = self.unit.rest_empty or reading.kind is Kind.EMPTY

    def _add_entries(self, reading: Reading, entries: list[Entry]) -> None:
        reading.entries += entries
        self.unit.entries += entries
        if reading.kind is not Kind.SLOT:
            reading.kind = Kind.EMPTY if all(entry.empty for entry in entries) else Kind.SLOT

    def _columns(self, reading: Reading, place: PlaceWords) -> bool:
        """A line of a table with a column for each row; False where the cells don't suit it."""
        cells = self._cells(reading.line)
        if cells is None:
            return False
        self._add_entries(reading, self.boards.row_cells(reading, place.slots, cells))
        return True

    def _cells(self, line: TextLine) -> list[tuple[str, str]] | None:
        """(rows, text) of each cell of the line behind the slot."""
        text = line.text.strip("|") if line.text.startswith("|") else line.text
        cells = words.cells_of(text)
        first = re.match(r"\W*(?:slots?\s*)?#?[0-9]+[:.)]?\s*", cells[0][1], re.I) if cells else None
        if first is None:
            return None
        rest = cells[0][1][first.end() :]
        behind = ([(cells[0][0] + first.end(), rest)] if rest else []) + cells[1:]
        if words.parted_by_marks(text):
            named = [(rows, cell) for (_, rows), (_, cell) in zip(self.columns, behind, strict=False)]
            extra = "  ".join(cell for _, cell in behind[len(self.columns) :])
        else:
            places = [(self._column(start + line.indent), cell) for start, cell in behind]
            named = [(self.columns[index][1], cell) for index, cell in places]
            extra = ""
            if len({rows for rows, _ in named}) < len(named):
                return None
        return [*named[:-1], (named[-1][0], f"{named[-1][1]}  {extra}".strip())] if named else None

    def _column(self, start: int) -> int:
        """The column of the table a cell stands under."""
        return min(range(len(self.columns)), key=lambda index: abs(self.columns[index][0] - start))

    def _rows_of_open_slot(self, reading: Reading) -> bool:
        """`A-B: M8044` below `Slot 2:`."""
        found = rows_at_start(reading.line.text) if self.open_slot else None
        if found is None or self.open_slot is None:
            return False
        rows, rest = found
        self.unit.entries = [
            one for one in self.unit.entries if one.number or one.rows or one.empty or one.slots != self.open_slot.slots
        ]
        place = PlaceWords(self.open_slot.slots, rows, "", True, rest)
        reading.place = shown(place)
        self._add_entries(reading, self.boards.entries(reading, place.slots, rows, "", rest))
        self.last = reading
        return True

    def _more(self, reading: Reading) -> bool:
        """A line further in than the slot line above belongs to it."""
        last = self.last
        if last is None or last.kind is not Kind.SLOT or reading.line.indent <= last.line.indent:
            return False
        entry = next((one for one in reversed(last.entries) if not one.empty), None)
        if entry is None:
            return False
        reading.kind = Kind.MORE
        reading.place = last.place
        if self.open_slot is not None and not entry.number and not entry.remark:
            self.unit.entries = [one for one in self.unit.entries if one is not entry]
            self._add_entries(
                reading, self.boards.entries(reading, entry.slots, entry.rows, entry.side, reading.line.text)
            )
            last.said.clear()
            self.open_slot, self.last = None, reading
            return True
        self.boards.more(reading, entry)
        return True

    def _inside(self, reading: Reading) -> bool:
        """`M8044 in slot 2`."""
        found = place_inside(bare(reading.line.text))
        if found is None:
            return False
        place, rest = found
        if not (self.numbers.found_in(rest) or words.EMPTY.match(rest) or words.BOARD_WORD.search(rest)):
            return False
        if not self.numbers.found_in(rest):
            reading.sure = Sure.LIKELY
        self.open_slot = None
        reading.place = shown(place)
        self.last = reading
        self._add_entries(reading, self.boards.entries(reading, place.slots, place.rows, place.side, rest))
        return True

    def _leftover(self, reading: Reading) -> None:
        """Neither place nor fact: a remark, unless it looks as if it meant a board."""
        text = reading.line.text
        self.last = None
        boards = [found for found in self.numbers.found_in(text) if found.of("boards")]
        if boards:
            reading.kind = Kind.UNKNOWN
            reading.said.append(f"it names {boards[0].text}, but no slot")
        elif place_at_start(text) is not None:
            reading.kind = Kind.UNKNOWN
            reading.said.append('it begins with a number, but names no board; write "slot 3: ..." if it is a slot')
        elif self.table and re.match(r"#?[0-9]{1,2}[^0-9\s]", text) and not re.match(r"[0-9]+[.:]?[0-9]", text):
            reading.kind = Kind.UNKNOWN
            reading.said.append("it begins with a number, but what follows is no place")
        elif re.match(r"^\s*slots?\b.*[0-9]", text, re.I):
            reading.kind = Kind.UNKNOWN
            reading.said.append("it speaks of a slot, but the slot is not clear")

    def finish(self) -> None:
        """Leave out what stayed without any word."""
        self.list.units = [
            unit for unit in self.list.units
            if unit.entries or unit.backplane or unit is self.list.units[0] or (unit.line and not unit.guessed)
        ]  # fmt: skip


def shown(place: PlaceWords) -> str:
    """`2AB`, `5-7`, `1, 3`."""
    first, last = place.slots[0], place.slots[-1]
    if place.slots == tuple(range(first, last + 1)):
        slots = str(first) if first == last else f"{first}-{last}"
    else:
        slots = ",".join(map(str, place.slots))
    return f"{slots}{letters(place.rows)}{f' {place.side}' if place.side else ''}"


def _next_name(name: str) -> str:
    """The letter after a unit called by a letter."""
    return chr(ord(name) + 1) if len(name) == 1 and "a" <= name < "z" else f"{name[:36]}-2"
