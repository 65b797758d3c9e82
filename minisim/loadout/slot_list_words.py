"""Patterns of the words in a slot list: empty places, headers, headings, labels, mail around the list."""

from __future__ import annotations

import re

from minisim.loadout.slot_list_places import rows_of_word

EMPTY = re.compile(
    r"^[\[(<\"']?\s*(?:is|are|was|were|left|stays?)?\s*(?:currently\s+|all\s+)?"
    r"(?:empty|vacant|blank|free|unused|unoccupied|not used|open|nothing|none|nil|"
    r"no (?:board|card|module)|n/a|[-=._~]{1,40})"
    r"(?![A-Za-z0-9/+-])",
    re.I,
)
GRANT_CARD = re.compile(
    r"\b(?:bus[- ])?grant[- ](?:continuity[- ])?(?:card|board|jumper|module)\b|\bcontinuity[- ]card\b", re.I
)
BOARD_WORD = re.compile(
    r"\b(?:cpu|processor|memory|ram|core|serial|console|terminator|boot|rom|eprom|disk|floppy|controller|interface|"
    r"clock|grant|tape|printer|parallel|multiplexer|network|ethernet|board|card|module|unknown|third[- ]party|"
    r"home[- ]?made|adapter|adaptor|bridge|dual|quad|hex)\b",
    re.I,
)
RULER = re.compile(r"^[-=_+|*~.\s:#]{2,}$")
_HEADER_WORDS = frozenset(
    [
        "slot",
        "slots",
        "slot#",
        "#",
        "no",
        "no.",
        "nr",
        "nr.",
        "number",
        "numbers",
        "num",
        "row",
        "rows",
        "module",
        "modules",
        "board",
        "boards",
        "card",
        "cards",
        "description",
        "descr",
        "desc",
        "what",
        "what's",
        "it",
        "is",
        "remark",
        "remarks",
        "comment",
        "comments",
        "note",
        "notes",
        "handle",
        "marking",
        "name",
        "function",
        "part",
        "parts",
        "etch",
        "option",
        "options",
        "position",
        "pos",
        "pos.",
        "place",
        "kind",
        "type",
        "content",
        "contents",
        "contains",
        "of",
        "the",
        "on",
        "in",
        "and",
        "or",
        "connector",
        "connectors",
        "m-number",
        "model",
        "height",
        "size",
        "qty",
        "rev",
        "revision",
        "csr",
        "vector",
        "address",
        "settings",
        "setting",
        "item",
        "items",
    ]
)
MAIL = re.compile(
    r"^(?:from|to|cc|bcc|subject|date|sent|reply-to|message-id|in-reply-to|references|mime-version|content-[a-z-]+|"
    r"x-[a-z-]+|user-agent|list-[a-z]+|received|return-path)\s*:",
    re.I,
)
SUBJECT = re.compile(r"^subject\s*:\s*(?:(?:(?:re|fwd?|aw)\s*:|\[[^\]]{1,40}\])\s*)*(.+)$", re.I)
WROTE = re.compile(r"\bwr(?:ote|ites)\s*:\s*$", re.I)
_ORDER = (
    r"upper|lower|top|bottom|first|second|third|fourth|main|expansion|left|right|front|rear|other|processor|"
    r"cpu|[1-9](?:st|nd|rd|th)"
)
HEADING = re.compile(
    rf"^[\[(#=*\s-]*(?P<the>the\s+)?(?:(?P<adjective>{_ORDER})\s+)?"
    r"(?P<noun>box|backplane|unit|card ?cage|cage|chassis|enclosure|drawer|segment)\b\s*"
    r"(?:(?:no|nr|number)\b\.?|#)?\s*(?P<name>[A-Za-z0-9][\w.-]{0,39})?(?P<rest>.*)$",
    re.I,
)
BOX_NOUNS = ("box", "chassis", "enclosure", "drawer")
LABEL = re.compile(
    r"^(?P<label>name|machine|state|notes?|remarks?|backplane|power supply|supply|psu|modified|modifications?|"
    r"joined by|joined-by|dma-grant wires?|halt switch|switch register|switches|grants?|memory|not in this text)\b"
    r"\s*(?:(?P<mark>[:=])\s*|\s+(?:is|was)\s+(?:an?\s+)?|\s+)(?P<value>.*)$",
    re.I,
)
REST_EMPTY = re.compile(
    r"\b(?:rest|remaining(?: slots)?|others?(?: slots)?|other slots|all other slots|everything else)\s+"
    r"(?:(?:of (?:it|them|the (?:slots|box|backplane)))\s+)?(?:(?:is|are)\s+)?(?:all\s+)?"
    r"(?:empty|vacant|free|unused)\b",
    re.I,
)
SLOTS_SAID = re.compile(
    r"\b(four|eight|nine|twelve|thirteen|fourteen|[1-9][0-9]?)[- ]slots?\b(?=.*\b(?:backplane|box|cage|chassis)\b)"
    r"|\b(?:backplane|box|cage|chassis)\b.{0,20}?\b(four|eight|nine|twelve|thirteen|fourteen|[1-9][0-9]?)[- ]slots?\b",
    re.I,
)
BITS_SAID = re.compile(r"\b(18|22)[- ]bit\b(?=.*\bbackplane\b)|\bbackplane\b.{0,30}?\b(18|22)[- ]bit", re.I)
COUNTS = {"four": 4, "eight": 8, "nine": 9, "twelve": 12, "thirteen": 13, "fourteen": 14}
AS_FOUND = re.compile(r"\bas[- ]found\b", re.I)
PLANNED = re.compile(r"\bplanned\b", re.I)


def cells_of(text: str) -> list[tuple[int, str]]:
    """The cells of a line of a table with the column each begins in; tabs, bars and double blanks part them."""
    if "\t" in text or text.count("|") >= 2 or text.count(";") >= 2:
        parts = re.split(r"[\t|;]", text.strip("|"))
        starts = [sum(len(part) + 1 for part in parts[:number]) for number in range(len(parts))]
        return [(start, part.strip()) for start, part in zip(starts, parts, strict=True)]
    return [(match.start(), match[0].strip()) for match in re.finditer(r"\S+(?: \S+)*", text)]


def parted_by_marks(text: str) -> bool:
    """Are the cells parted by tabs, bars or semicolons, so that their number counts and not their column?"""
    return "\t" in text or text.count("|") >= 2 or text.count(";") >= 2


def is_header(text: str) -> bool:
    """`Slot  Module  Description`: only words that head columns, at least two."""
    cells = [cell for _, cell in cells_of(text) if cell]
    if (
        len(cells) >= 2
        and re.fullmatch(r"slots?(?: ?(?:#|no\.?|number))?", cells[0].lower())
        and not re.search("[0-9]", text)
    ):
        return True
    words = [word for word in re.split(r"[\s|;,/:()]+", text.lower()) if word]
    return (len(words) >= 2 and all(word in _HEADER_WORDS for word in words)) or text.lower().strip(" :") in (
        "slots", "boards", "modules", "remarks", "description"
    )  # fmt: skip


def row_columns(text: str) -> list[tuple[int, str]]:
    """The columns of a header such as `Slot  A-B  C-D`: where each begins, and its rows; empty where it is none."""
    cells = [cell for cell in cells_of(text) if cell[1]]
    if len(cells) < 2:
        cells = [(match.start(), match[0]) for match in re.finditer(r"\S+", text)]
    head, rest = (cells[:1], cells[1:]) if cells and not rows_of_word(cells[0][1]) else ([], cells)
    if head and head[0][1].lower().strip(" :.#") not in ("slot", "slots", "no", "nr", "pos", "", "row", "rows"):
        return []
    columns = [(start, _column_rows(word)) for start, word in rest]
    rows = "".join(name for _, name in columns)
    return (
        columns if len(columns) >= 2 and all(name for _, name in columns) and rows == "".join(sorted(set(rows))) else []
    )


def _column_rows(word: str) -> str:
    bare = re.sub(r"(?i)\b(?:rows?|connectors?)\b", "", word).strip(" :()")
    return rows_of_word(bare) if re.fullmatch(r"[A-F](?:\s*(?:-|,|/|&|\+|to)?\s*[A-F]){0,5}", bare) else ""
