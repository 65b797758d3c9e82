"""From the lines of a sheet to the rows of a stock: what each cell means, and every doubt about it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from minisim.findings import Mark
from minisim.stock.cells import Count, Said, condition_of, count_in_marking, count_of, repaired_marking, thing_of
from minisim.stock.columns import Columns
from minisim.stock.defuse import restored
from minisim.stock.history import read_history
from minisim.stock.model import Condition, Doubt, Identified, Row
from minisim.stock.sheets import MOST_CELLS, Line, Sheet
from minisim.stock.words import ANSWERS, HEADINGS, SUMS, plain

_FILLED = ("box", "condition")  # what a merged cell says for each of its rows
_CLEAN = ("item", "marking", "box")  # what a spreadsheet may have taken for a number


class RowReader:
    """Reads the lines of one sheet; the doubts stand in `doubts`."""

    def __init__(
        self,
        file: str,
        sheet: Sheet,
        columns: Columns,
        conditions: Mapping[str, Condition],
        identify: Callable[[str], Identified],
    ) -> None:
        self.doubts: list[Doubt] = []
        self._file = file
        self._sheet = sheet
        self._columns = columns
        self._conditions = {**_answers(columns), **conditions}
        self._identify = identify
        self._names = dict(enumerate(columns.names))
        self._at = [(name, place) for name, place in columns.at.items()]
        self._odd_places = sheet.formulas | sheet.dates
        self._filled = _filled(sheet, columns)
        self._zeros = {name: _width_with_zeros(sheet, columns.at.get(name)) for name in ("item", "marking")}
        self._heading = ""
        self._items: dict[str, int] = {}

    def rows(self) -> Iterator[Row]:
        """The rows, in the order of the file."""
        header = self._columns.header
        names = self._sheet.lines[header].cells if header is not None else None
        for line in self._sheet.lines[0 if header is None else header + 1 :]:
            if line.number in self._sheet.broken:
                self._doubt(line, None, "", Said(self._sheet.broken[line.number], False))
            if line.cells == names:
                self._doubt(line, None, "", Said("the names of the columns again; not read as a piece", True))
            elif not self._is_heading(line):
                yield from self._row(line)

    # --- rows that are no pieces --------------------------------------------------------------------------------------

    def _is_heading(self, line: Line) -> bool:
        """A row that names the box of those under it, or sums them up; it is told, and no piece."""
        if self._sheet.fixed:
            return False
        filled = [cell.strip() for cell in line.cells if cell.strip()]
        words = plain(filled[0]).split(" ")
        if " ".join(words) in SUMS:
            self._doubt(line, None, filled[0], Said("a sum, no piece", True))
            return True
        if len(filled) == 1 and len(self._names) > 1 and words[0] in HEADINGS and len(words) <= 6:
            self._heading = filled[0].rstrip(": ")
            self._doubt(line, None, filled[0], Said("taken as the box of the rows under it", True))
            return True
        return False

    # --- rows that are ------------------------------------------------------------------------------------------------

    def _row(self, line: Line) -> Iterator[Row]:
        """One row, or several where some of its pieces are in another condition."""
        texts = self._texts(line)
        marking, inside = self._marking(line, texts)
        parts = self._parts(line, texts, inside)
        understood = self._identify(marking or texts.get("what", ""))
        history, whole = read_history(texts.get("history", "")) if self._sheet.fixed else ((), True)
        if not whole:
            self._doubt(line, "history", texts["history"], Said("not all of the history can be read", False))
        row = Row(
            number=line.number,
            mark=Mark(self._file, line.line, 1),
            cells=self._cells(line),
            marking=marking,
            count=parts[0][0],
            condition=parts[0][1],
            box=texts.get("box") or self._heading,
            notes=texts.get("notes", ""),
            photo=texts.get("photo", ""),
            item=self._item(line, texts),
            what=texts.get("what", ""),
            understood=understood,
            kind=_kind(understood, texts.get("what") or marking),
            history=history,
            conflict=texts.get("conflict", "") if self._sheet.fixed else "",
        )
        if row.conflict:
            self._doubt(line, "conflict", row.conflict, Said("two lists differ here, and it is not decided", False))
        if line.number in self._sheet.hidden:
            self._doubt(line, None, "", Said("the row is hidden in the sheet; it is read all the same", True))
        yield row
        for count, condition in parts[1:]:
            yield replace(row, count=count, condition=condition)

    def _texts(self, line: Line) -> dict[str, str]:
        """Our names -> texts without blanks around them; formulas and dates are told."""
        cells, width = line.cells, len(line.cells)
        texts = {name: cells[place].strip() for name, place in self._at if place < width}
        if self._sheet.fixed:
            texts = {name: restored(cells[place]) for name, place in self._at if place < width}
        for name in _FILLED if self._filled else ():
            text = self._filled.get((line.number, name))
            if text and not texts.get(name):
                texts[name] = text
                self._doubt(line, name, text, Said("a cell that is one for several rows; it counts for each", True))
        if self._odd_places:
            self._tell_formulas(line, texts)
        return texts

    def _tell_formulas(self, line: Line, texts: Mapping[str, str]) -> None:
        for name, place in self._at:
            if (line.number, place) in self._sheet.formulas and texts.get(name):
                self._doubt(line, name, texts[name], Said("a formula; the value it had when saved is taken", True))

    def _cells(self, line: Line) -> dict[str, str]:
        """All columns as they stand there."""
        cells, width = line.cells, len(line.cells)
        if self._sheet.fixed:
            cells = [restored(cell) for cell in cells]
        return {name: cells[index] if index < width else "" for index, name in self._names.items()}

    def _marking(self, line: Line, texts: Mapping[str, str]) -> tuple[str, int | None]:
        """The marking, and a count that stands within it."""
        text = texts.get("marking", "")
        if self._sheet.fixed:
            return text, None
        if not text:
            if not texts.get("what"):
                self._doubt(line, "marking", "", Said("no marking, and no words for what it is", False))
            return "", None
        repaired, said = self._repair(line, "marking", text)
        if said is not None:
            self._doubt(line, "marking", text, said)
        marking, inside = count_in_marking(repaired)
        return self._with_zeros(line, marking), inside

    def _repair(self, line: Line, name: str, text: str) -> tuple[str, Said | None]:
        here = (line.number, self._columns.at[name])
        return repaired_marking(text, is_date=here in self._sheet.dates, is_number=here in self._sheet.numbers)

    def _with_zeros(self, line: Line, marking: str) -> str:
        """A number that is shorter than the others may have lost zeros; sure where the catalogue knows it with them."""
        if not marking.isdigit() or len(marking) >= 4 or self._identify(marking).sure:
            return marking
        longer = marking.zfill(4)
        if self._identify(longer).sure:
            self._doubt(line, "marking", marking, Said(f"zeros in front were lost; read as {longer}", True))
            return longer
        self._doubt(line, "marking", marking, Said("short for a marking; zeros in front may be lost", False))
        return marking

    def _parts(self, line: Line, texts: Mapping[str, str], inside: int | None) -> list[tuple[int, Condition]]:
        """How many pieces are in which condition; at least one pair."""
        if self._columns.counts:
            return self._counts(line)
        condition = self._condition(line, texts)
        count = self._count(line, texts, inside)
        if count.part is None:
            return [(count.pieces, condition)]
        whole = [(count.pieces - count.part[0], condition)] if count.pieces > count.part[0] else []
        return [*whole, count.part]

    def _counts(self, line: Line) -> list[tuple[int, Condition]]:
        """The same from columns that count one condition each."""
        parts = []
        for place, condition in self._columns.counts:
            text = line.cells[place].strip() if place < len(line.cells) else ""
            count = count_of(text or "0")
            if count.said is not None:
                self._doubt(line, None, text, count.said)
            parts += [(count.pieces, condition)] if count.pieces else []
        if not parts:
            self._doubt(line, None, "", Said("no count in any of its columns; taken as none", False))
        return parts or [(0, Condition.UNKNOWN)]

    def _count(self, line: Line, texts: Mapping[str, str], inside: int | None) -> Count:
        """How many pieces, from the column or from within the marking."""
        text = texts.get("count", "")
        if inside is not None:
            said = Said(f"the count {inside} stands within the marking", not text)
            self._doubt(line, "marking", texts["marking"], said)
            if not text:
                return Count(inside)
        count = count_of(text)
        if not text and "count" in self._columns.at:
            self._doubt(line, "count", "", Said("no count; taken as 1", True))
        if count.said is not None:
            self._doubt(line, "count", text, count.said)
        return count

    def _condition(self, line: Line, texts: Mapping[str, str]) -> Condition:
        text = texts.get("condition", "")
        condition, said = condition_of(text, self._conditions)
        if said is not None:
            self._doubt(line, "condition", text, said)
        return condition

    def _item(self, line: Line, texts: Mapping[str, str]) -> str:
        """The owner's name of the piece; no two rows should have the same."""
        item = texts.get("item", "")
        if not item:
            return ""
        if not self._sheet.fixed:
            item, said = self._repair(line, "item", item)
            if said is not None:
                self._doubt(line, "item", item, said)
            width = self._zeros["item"]
            if item.isdigit() and len(item) < width and not item.startswith("0"):
                self._doubt(line, "item", item, Said("shorter than the others; zeros in front may be lost", False))
        first = self._items.setdefault(item, line.number)
        if first != line.number:
            self._doubt(line, "item", item, Said(f"the same name as in row {first}", False))
        return item

    def _doubt(self, line: Line, name: str | None, seen: str, said: Said) -> None:
        place = self._columns.at.get(name, 0) if name else 0
        before = sum(map(len, line.cells[:place])) if self._sheet.form.startswith("CSV") else 0
        shown = self._columns.names[place] if name in self._columns.at else (name or "")
        mark = Mark(self._file, line.line, before + place + 1)
        self.doubts.append(Doubt(mark, line.number, shown, seen, said.text, said.certain))


def _answers(columns: Columns) -> Mapping[str, Condition]:
    """What yes and no mean in the column of the condition: its name is the question."""
    name = plain(columns.mapping.get("condition", ""))
    return next((answers for stem, answers in ANSWERS.items() if name.startswith(stem)), {})


def _kind(understood: Identified, words: str) -> str:
    """What kind of thing a piece is: from the catalogue where that leaves one kind open, else by its words."""
    kinds = {each.kind for each in understood.candidates}
    return kinds.pop() if len(kinds) == 1 else thing_of(words)


def _filled(sheet: Sheet, columns: Columns) -> dict[tuple[int, str], str]:
    """(row, our name) -> the text of the merged cell that reaches down to it."""
    filled: dict[tuple[int, str], str] = {}
    by_place = {columns.at[name]: name for name in _FILLED if name in columns.at}
    wanted = [area for area in sheet.merged if area[2] in by_place and area[1] > area[0]]
    if not wanted:
        return {}
    texts = {line.number: line.cells for line in sheet.lines}
    last = sheet.lines[-1].number
    left = MOST_CELLS
    for first, end, place, _ in wanted:
        cells = texts.get(first, [])
        text = cells[place].strip() if place < len(cells) else ""
        left -= min(end, last) - first
        if left < 0:
            break
        for row in range(first + 1, min(end, last) + 1) if text else ():
            filled[row, by_place[place]] = text
    return filled


def _width_with_zeros(sheet: Sheet, place: int | None) -> int:
    """The width of the numbers of a column that are written with zeros in front, 0 where none is."""
    if place is None:
        return 0
    cells = (line.cells[place].strip() for line in sheet.lines if place < len(line.cells))
    return max((len(cell) for cell in cells if cell.isdigit() and cell.startswith("0")), default=0)
