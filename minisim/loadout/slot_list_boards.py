"""What stands behind a place: a board by its number, several boards, an empty place, words nobody can place."""

from __future__ import annotations

import re

from minisim.catalogue.model import BoardEntry
from minisim.known import Known
from minisim.loadout.places import ALL_ROWS
from minisim.loadout.slot_list import Entry, Kind, Reading, Sure
from minisim.loadout.slot_list_facts import Facts
from minisim.loadout.slot_list_numbers import Found, Numbers, without_kind
from minisim.loadout.slot_list_places import rows_of_word
from minisim.loadout.slot_list_words import EMPTY, GRANT_CARD

_ROWS_BEHIND = re.compile(
    r"\s*(?:[\[(]\s*(?:(?:in\s+)?(?:rows?|connectors?)\s*)?|,?\s*(?:in\s+)?(?:rows?|connectors?)\s+)"
    r"(?P<rows>[A-F](?:\s*(?:-|,|/|&|\+|and|to)?\s*[A-F]){0,5})(?![A-Za-z0-9])\s*[\])]?"
)
_ROWS_BEFORE = re.compile(
    r"(?P<lead>[,;/+&]|\band\b|\s)\s*(?:rows?\s*)?(?:(?P<rows>[A-F](?:\s*(?:-|,|/)?\s*[A-F]){0,5})\s*[:=]\s*|(?P<bare>[A-F](?:\s*(?:-|,|/)?\s*[A-F]){1,5})\s+)\Z"
)
_UNKNOWN = re.compile(r"\b(?:is )?unknown\b(?: (?:board|card|module))?", re.I)
_BETWEEN = re.compile(r"\s*(?:/|\+|&|\band\b|,|;|\|)?\s*\Z", re.I)
_SAME = re.compile(r"^(?:\"|''|same|ditto|<-*|<=*|\.\.\.|->?|=+>?|\^)$", re.I)
_NOBODY = re.compile(r"^\s*(?:\(unknown\)|unknown(?: (?:board|card|module))?\b|\?+)", re.I)
_OURS = re.compile(r"\[no grant arrives\]")
_TRIM = " \t,;:|-=()[]\"'"
HEIGHT_ROWS = {"single": 1, "dual": 2, "quad": 4, "hex": 6}
_WORST = {Sure.SURE: 0, Sure.LIKELY: 1, Sure.GUESS: 2}


def letters(rows: str) -> str:
    """Rows as places show them: CF for CDEF."""
    return rows if len(rows) <= 2 else rows[0] + rows[-1]


def is_grant_card(board: BoardEntry) -> bool:
    """A card that does nothing but pass the grants."""
    return "grant card" in board.kind


def height_of(board: BoardEntry | None) -> str:
    """The height of a board, "" where it is not known."""
    return str(board.height.peek) if board is not None and isinstance(board.height, Known) else ""


class Boards:
    """Makes entries of the text behind a place."""

    def __init__(self, numbers: Numbers) -> None:
        self.numbers = numbers
        self.catalogue = numbers.catalogue

    def board(self, entry: Entry) -> BoardEntry | None:
        """The catalogue's entry of a board, or None."""
        return self.catalogue.board(entry.board) if entry.board else None

    # ---- one place

    def entries(self, reading: Reading, slots: tuple[int, ...], rows: str, side: str, text: str) -> list[Entry]:
        """The boards of a place, one entry for each; one empty entry where nothing stands there."""
        found = [
            one
            for one in self.numbers.found_in(text, first_bare=True)
            if one.of("boards") or not one.identified.candidates
        ]
        if self._is_empty(found, text):
            return [self._empty(reading, slots, rows, side, text)]
        text, with_rows = self._rows_beside(found, text)
        groups = self._groups(found, text, with_rows)
        if not groups:
            return self._copies(reading, self._unnumbered(reading, slots, rows, side, text))
        made = []
        taken = {candidate.entry for members, _ in groups for one in members for candidate in one.of("boards")}
        named = [(one.text, {board.entry for board in one.of("boards")}) for one in found]
        reading.also += [text_ for text_, boards in named if boards and not boards & taken]
        for number, (members, words) in enumerate(groups):
            mine = with_rows.get(members[0].start) or (rows if number == 0 or len(groups) == 1 else "")
            entry = Entry(reading.line.number, slots, mine, side)
            self._fill(reading, entry, members, words)
            made += self._copies(reading, entry)
        return made

    def _is_empty(self, found: list[Found], text: str) -> bool:
        """`empty`, also `empty, was M0000`; but not `empty but for a grant card`."""
        match = EMPTY.match(text)
        if not match or GRANT_CARD.search(text):
            return False
        boards = [candidate.entry for one in found for candidate in one.of("boards")]
        return not boards or (
            match[0].strip("([<\"' ").isalpha() and not any(is_grant_card(self.catalogue.board(one)) for one in boards)
        )

    def _empty(self, reading: Reading, slots: tuple[int, ...], rows: str, side: str, text: str) -> Entry:
        match = EMPTY.match(text)
        remark = tidy(EMPTY.sub("", text[match.end() :].strip(_TRIM), count=1)) if match else ""
        if remark.lower().startswith("gap:"):
            remark = ""  # `write-text` says so itself
        if remark:
            reading.said.append(f'remark "{remark}"')
        return Entry(reading.line.number, slots, rows, side, board=None, remark=remark)

    @staticmethod
    def _rows_beside(found: list[Found], text: str) -> tuple[str, dict[int, str]]:
        """Rows written beside a number, `M0000 (AB)` or `CD: M0000`: blanked out of the text, and by number."""
        rows: dict[int, str] = {}
        for one in found:
            behind = _ROWS_BEHIND.match(text, one.end)
            if behind and (word := rows_of_word(behind["rows"])):
                rows[one.start] = word
                text = _blanked(text, behind.start(), behind.end())
            before = _ROWS_BEFORE.search(text, 0, one.start)
            if before and (word := rows_of_word(before["rows"] or before["bare"])):
                rows[one.start] = word
                text = _blanked(text, before.end("lead"), before.end())
        return text, rows

    def _groups(self, found: list[Found], text: str, with_rows: dict[int, str]) -> list[tuple[list[Found], str]]:
        """Numbers side by side, or with rows of their own, are boards or boards of one set; with the words of each."""
        chosen: list[list[Found]] = []
        end = 0
        for one in found:
            side_by_side = bool(chosen) and _BETWEEN.match(text[end : one.start]) is not None
            if chosen and not side_by_side and one.start not in with_rows:
                break  # a number in the middle of a remark is no board
            if chosen and side_by_side and self._one_set(chosen[-1], one):
                chosen[-1].append(one)
            else:
                chosen.append([one])
            end = one.end
        starts = [group[0].start for group in chosen[1:]] + [len(text)]
        words = [text[group[-1].end : start] for group, start in zip(chosen, starts, strict=False)]
        if chosen:
            words[0] = f"{text[: chosen[0][0].start]} {words[0]}"
        return list(zip(chosen, words, strict=False))

    @staticmethod
    def _one_set(group: list[Found], one: Found) -> bool:
        mine = {candidate.entry for candidate in group[0].of("boards")}
        return bool(mine & {candidate.entry for candidate in one.of("boards")})

    def _fill(self, reading: Reading, entry: Entry, members: list[Found], text: str) -> None:
        entry.number = "/".join(one.text.upper() for one in members)
        entry.identified = members[0].identified
        entry.board, sure, how = self.numbers.board_of(members[0], f"{text}")
        entry.unsure = sure
        self._unsure(reading, sure)
        if how:
            reading.said.append(
                f"{members[0].text}: {how}" if entry.board else f"{members[0].text} may be several boards"
            )
        self._remark(reading, entry, text)

    def _unnumbered(self, reading: Reading, slots: tuple[int, ...], rows: str, side: str, text: str) -> Entry:
        """A board without a number: a grant card by that name, else one to be described."""
        entry = Entry(reading.line.number, slots, rows, side)
        if match := _NOBODY.match(text):
            entry.nobody, text = True, text[match.end() :]
        if GRANT_CARD.search(text):
            entry.number = "grant card"  # which one depends on the bus; `slot_list_assembly` finds it
            text = GRANT_CARD.sub("", text, count=1)
            self._unsure(reading, Sure.LIKELY)
        self._remark(reading, entry, text)
        return entry

    def _remark(self, reading: Reading, entry: Entry, text: str) -> None:
        board = self.board(entry)
        words = _OURS.sub("", without_kind(text, board) if board else _UNKNOWN.sub("", text, count=1))
        facts = Facts(self.catalogue, entry, board, words, reading.line.number)
        left = tidy(facts.take())
        reading.said += facts.said
        self._unsure(reading, entry.unsure)
        if left:
            entry.remark = left if not entry.remark else f"{entry.remark}; {left}"
            reading.said.append(f'remark "{left}"')

    def _copies(self, reading: Reading, entry: Entry) -> list[Entry]:
        """Over several slots: a set of boards, or one board in each."""
        if len(entry.slots) == 1:
            return [entry]
        board = self.board(entry)
        if entry.slots == tuple(range(entry.slots[0], entry.slots[-1] + 1)) and _is_set(board, len(entry.slots)):
            return [entry]
        reading.said.append("one in each of these slots")
        self._unsure(reading, Sure.LIKELY)
        return [_copy(entry, slot) for slot in entry.slots]

    @staticmethod
    def _unsure(reading: Reading, sure: Sure) -> None:
        if _WORST[sure] > _WORST[reading.sure]:
            reading.sure = sure

    # ---- more text, and tables

    def more(self, reading: Reading, entry: Entry) -> None:
        """A further line about the same board."""
        found = self.numbers.found_in(reading.line.text)
        boards = [one for one in found if one.of("boards")]
        if not entry.number and boards and boards[0].start <= 4:
            words = f"{reading.line.text[: boards[0].start]} {reading.line.text[boards[0].end :]}"
            self._fill(reading, entry, boards[:1], words)
            return
        reading.also += [one.text for one in boards]
        before, entry.remark = entry.remark, ""  # a fact may be broken over two lines
        self._remark(reading, entry, f"{before} {reading.line.text}")
        new = entry.remark.removeprefix(before).strip(_TRIM)
        if entry.remark and reading.said and entry.remark != new:
            reading.said[-1:] = [f'remark "{new}"'] if new else []

    def row_cells(self, reading: Reading, slots: tuple[int, ...], cells: list[tuple[str, str]]) -> list[Entry]:
        """The cells of a table with a column for each row; a board as high as several columns takes them all."""
        made: list[Entry] = []
        covered = ""
        for rows, text in cells:
            again = bool(made) and not made[-1].empty and text.upper().startswith(made[-1].number.upper() or "\n")
            if rows[0] in covered and (not text or EMPTY.match(text) or _SAME.match(text) or again):
                continue
            if not text:
                continue
            for entry in self.entries(reading, slots, rows, "", text):
                made.append(entry)
                covered = self._cover(entry, rows)
        return made

    def _cover(self, entry: Entry, rows: str) -> str:
        """Give the entry the rows its height asks for; the rows it covers."""
        if entry.empty:
            return ""
        high = HEIGHT_ROWS.get(height_of(self.board(entry)), len(rows))
        first = ALL_ROWS.index(rows[0])
        entry.rows = ALL_ROWS[first : first + max(high, len(rows))]
        return entry.rows


def _is_set(board: BoardEntry | None, slots: int) -> bool:
    """Are so many neighbouring slots one set of boards, and not several boards of one kind?"""
    if board is None:
        return False
    count = board.boards.peek if isinstance(board.boards, Known) else 0  # 0: a set of which nobody knows the number
    return count == 0 or (count > 1 and (slots <= count or slots % count != 0))


def _blanked(text: str, start: int, end: int) -> str:
    return f"{text[:start]}{' ' * (end - start)}{text[end:]}"


def _copy(entry: Entry, slot: int) -> Entry:
    return Entry(
        entry.line, (slot,), entry.rows, entry.side, entry.board, entry.number, entry.identified,
        dict(entry.settings), dict(entry.described), dict(entry.amps), list(entry.options), dict(entry.roms),
        "", entry.remark, list(entry.modifications), entry.unsure, entry.size_text, copy=True,
    )  # fmt: skip


def tidy(text: str) -> str:
    """What is left of a remark after the facts were cut out."""
    text = re.sub(r"\(\s*[,;:/-]*\s*\)|\[\s*\]", " ", text)
    text = re.sub(r"\s+([,;.)])", r"\1", " ".join(text.split()))
    text = re.sub(r"([,;]\s*){2,}", ", ", text)
    text = re.sub(r"(?:^|(?<=[,;]))\s*(?:and|with|at|is|the|set to|as|for|,|;|:)?\s*(?=[,;]|$)", "", text, flags=re.I)
    text = re.sub(r"(?i)\s+(?:and|with|at|is|as|for|from|on|in)$", "", text.strip(_TRIM + ".")).strip(_TRIM)
    text = re.sub(r"(?i)^(?:and|with|at|is|as|on|in)\s+", "", text).strip(_TRIM)
    if text.count("(") != text.count(")"):
        text = text.strip("()")
    return "" if re.fullmatch(r"(?i)(?:and|with|at|is|as|the|a|on|of|to|\W)*", text) else text


def is_kind(reading: Reading) -> bool:
    """Is the reading about a place?"""
    return reading.kind in (Kind.SLOT, Kind.EMPTY, Kind.MORE)
